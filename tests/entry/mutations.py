"""Seeded damage to house files: what a hurried hand, a bad copy or another program does to a text."""

from __future__ import annotations

import random

CHARACTERS = "{}[]:,#&*!|>'\"%@`-? \t\n0123456789.eE+~^$°½é\u2028\U0001f3e0<"
SCRAPS = (
    "cfm", "Pa", "ft", "in", "inwc", "%", "1e999", "-1", "0", "nan", "inf", "1,200 cfm", "0 cfm", "-5 Pa", "null",
    "1e-300 ft", "~", "[]", "{}", "[[[]]]", "{a: {b: {c: d}}}", "outdoors", "hall", "range hood", "undecided", "none",
    "open", "shut",
    "100 %", "0 %", "250 %", "1 ft x 1 ft", "0 in round", "yes", "true", "<<", "house", "- x", "a: b", "? a", "1/0 in",
)  # fmt: skip


def damaged(text: str, seed: int) -> str:
    """The text with one to four kinds of damage."""
    chance = random.Random(seed)
    for _ in range(chance.choice([1, 1, 1, 2, 3])):
        text = chance.choice(DAMAGES)(text, chance)
    return text


def _lines(text: str, chance: random.Random) -> tuple[list[str], int]:
    lines = text.split("\n")
    return lines, chance.randrange(len(lines))


def _without_line(text: str, chance: random.Random) -> str:
    lines, place = _lines(text, chance)
    return "\n".join(lines[:place] + lines[place + 1 :])


def _line_twice(text: str, chance: random.Random) -> str:
    lines, place = _lines(text, chance)
    return "\n".join(lines[: place + 1] + lines[place:])


def _lines_swapped(text: str, chance: random.Random) -> str:
    lines, place = _lines(text, chance)
    other = chance.randrange(len(lines))
    lines[place], lines[other] = lines[other], lines[place]
    return "\n".join(lines)


def _indented(text: str, chance: random.Random) -> str:
    lines, place = _lines(text, chance)
    lines[place] = chance.choice(["  ", " ", "\t"]) + lines[place] if chance.random() < 0.6 else lines[place].lstrip()
    return "\n".join(lines)


def _character(text: str, chance: random.Random) -> str:
    place = chance.randrange(len(text) + 1)
    return text[:place] + chance.choice(CHARACTERS) + text[place + chance.randint(0, 1) :]


def _number(text: str, chance: random.Random) -> str:
    places = [place for place, character in enumerate(text) if character.isdigit()]
    if not places:
        return text
    place = chance.choice(places)
    return text[:place] + chance.choice(["0", "9", "00", "-1", "1e9", ".", "1e400", ""]) + text[place + 1 :]


def _value(text: str, chance: random.Random) -> str:
    """Something else behind a colon, a comma or a bracket."""
    places = [place for place, character in enumerate(text) if character in ":,[{"]
    if not places:
        return text
    start = chance.choice(places) + 1
    end = start
    while end < len(text) and text[end] not in ",}]\n:":
        end += 1
    return text[:start] + " " + chance.choice(SCRAPS) + text[end:]


def _word(text: str, chance: random.Random) -> str:
    """One word in place of another from the same file."""
    words = text.split(" ")
    place, other = chance.randrange(len(words)), chance.randrange(len(words))
    words[place] = words[other]
    return " ".join(words)


def _cut(text: str, chance: random.Random) -> str:
    return text[: chance.randrange(len(text) + 1)] if chance.random() < 0.2 else text


DAMAGES = (
    _without_line, _line_twice, _lines_swapped, _indented, _character, _number, _value, _value, _word, _word, _cut
)  # fmt: skip
