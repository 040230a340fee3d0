"""Plain answers as people give them -> values: `Homestead, Florida`, `9 ft 6 in`, `0.7 to 1.2`, `two 10 in`.

Each reader takes the text as typed; what it cannot read is a `QuantityError` that says what may stand there.
"""

from __future__ import annotations

import re

from airledger.errors import QuantityError
from airledger.house.answers import WallDuct
from airledger.io import phrases
from airledger.uncertain import Uncertain
from airledger.units import FOOT, UNITS, leading_number, parse

NOT_KNOWN = (
    "", "not known", "unknown", "don't know", "do not know", "dont know", "i don't know", "i dont know", "dunno",
    "no idea", "not sure", "unsure", "not yet", "?", "-",
)  # fmt: skip
NOTHING = ("none", "no", "nothing", "none at all")
COUNT_WORDS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "a": 1, "an": 1}


def place(text: str) -> str:
    """City or county and state; empty where it is not known.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        no place has such a name.
    """
    cleaned = " ".join(text.split())
    if cleaned.lower() in NOT_KNOWN:
        return ""
    if not re.search(r"[^\W\d_]{2}", cleaned) or len(cleaned) > 80 or any(c < " " or c in '{}[]#:"/' for c in cleaned):
        raise QuantityError(text, "city or county and state, for example Homestead, Florida; or not known")
    return cleaned


def floor_area(text: str) -> float:
    """Floor area inside the envelope [m2].

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        no area of a house.
    """
    try:
        area = parse(text, "area")
    except QuantityError:
        raise QuantityError(text, _of_what(text, ("ft2", "m2"), "one number and its unit: 2480 ft2")) from None
    if not 10 <= area <= 5000:
        raise QuantityError(text, "the floor area of a house, for example 2480 ft2")
    return area


def ceiling(text: str, area: float) -> float:
    """Ceiling height [m]; a volume is divided by the floor area.

    Parameters
    ----------
    text : str
        a height such as 9 ft 6 in, or a volume such as 25000 ft3 [-]
    area : float
        floor area [m2]

    Raises
    ------
    QuantityError
        no height of a room.
    """
    unit = _unit_word(text)
    allowed = "a ceiling height, for example 9 ft 6 in, or the air volume, for example 22000 ft3"
    try:
        height = parse(text, "volume") / area if unit in UNITS["volume"] else parse(text, "length")
    except QuantityError:
        raise QuantityError(text, _of_what(text, ("ft", "m"), allowed)) from None
    if not 1.8 <= height <= 9:
        raise QuantityError(text, allowed)
    return height


def _of_what(text: str, units: tuple[str, str], allowed: str) -> str:
    """What may stand in place of an answer that is a number without its unit, or something else."""
    said = text.strip()
    if re.fullmatch(r"\d[\d,]*(\.\d+)?", said):
        return f"{said} of what? Say {said} {units[0]} or {said} {units[1]}"
    return allowed


def _unit_word(text: str) -> str:
    try:
        return leading_number(text, "volume")[1].strip().lower()
    except QuantityError:
        return ""


def whole(text: str, low: int, high: int, example: str) -> int:
    """A count, in figures or as a word.

    Parameters
    ----------
    text : str
        what was typed [-]
    low, high : int
        the least and the most [-]
    example : str
        what may stand there [-]

    Raises
    ------
    QuantityError
        no whole number between them.
    """
    word = re.sub(r"\s*(bed(room)?s?|br|stor(e?y|eys|ies)|floors?|levels?)$", "", text.strip().lower())
    number = COUNT_WORDS.get(word, int(word) if word.isascii() and word.isdigit() and len(word) < 4 else -1)
    if not low <= number <= high:
        half = "; a half one counts as one more" if re.search(r"\.5|half|1/2|½", word) else ""
        raise QuantityError(text, f"a whole number from {low} to {high}, for example {example}{half}")
    return number


def tightness(text: str) -> tuple[Uncertain, str] | None:
    """How tight the houses usually get, as `house.Envelope` holds it; None where it is not known.

    Parameters
    ----------
    text : str
        a range such as 0.7 to 1.2, with or without ach50, or a flow such as 300 cfm50 [-]

    Raises
    ------
    QuantityError
        no tightness that a house has.
    """
    said = text.strip()
    if said.lower() in (*NOT_KNOWN, "not tested"):
        return None
    bare = not re.search(r"ach|cfm|m3|l/s", said, re.IGNORECASE)
    named = re.sub(r"\bach\b", "ach50", said, flags=re.IGNORECASE)
    try:
        value, unit = phrases.tightness(_with_air_changes(said) if bare else named)
    except QuantityError as problem:
        plain = (
            "air changes an hour at 50 Pa, one number or a range: 0.7 to 1.2; or a test flow: 300 cfm50; or not known"
        )
        raise QuantityError(text, problem.expected if re.search(r"\d", said) else plain) from None
    if unit == "ach50" and not 0.03 <= value.low <= value.high <= 30:
        raise QuantityError(text, "from very tight to leaky, for example 0.7 to 1.2 ach50")
    return value, unit


def _with_air_changes(text: str) -> str:
    number, mark, rest = next((p for m in ("(", "+-", "+/-", "±") if (p := text.partition(m))[1]), (text, "", ""))
    return f"{number.strip()} ach50 {mark}{rest}".strip()


def wall_duct(text: str) -> WallDuct | None:
    """The round duct that the wall can take; None where it is not known.

    Parameters
    ----------
    text : str
        10 in, two 10 in, or not known [-]

    Raises
    ------
    QuantityError
        no such duct.
    """
    word = text.strip().lower().removesuffix("round").strip()
    if word in NOT_KNOWN:
        return None
    allowed = "a round duct from 3 in to 24 in, for example 10 in, or two 10 in; or not known"
    if re.search(r"\d\D*\b(x|by)\b\s*\d", word) and not re.match(r"[12]\s*x", word):
        raise QuantityError(text, "only round ducts are tried here: the round one that fits in it, for example 10 in")
    if re.fullmatch(r"\d+(\.\d+)?", word):
        raise QuantityError(text, _of_what(word, ("in", "mm"), allowed))
    match = re.fullmatch(r"(?:(one|two|1|2)(?:\s*x)?\s+)?(\d.*?)\s*(?:ducts?|openings?)?", word)
    if not match:
        raise QuantityError(text, allowed)
    try:
        diameter = parse(match[2], "length")
    except QuantityError:
        raise QuantityError(text, allowed) from None
    if not 3 * FOOT / 12 <= diameter <= 2 * FOOT:
        raise QuantityError(text, allowed)
    return WallDuct(diameter, 2 if match[1] in ("two", "2") else 1)


def swings(text: str) -> str | None:
    """Which way the entry door swings: in or out; None where it is not known.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        neither way.
    """
    words = {"in": "in", "inward": "in", "inwards": "in", "out": "out", "outward": "out", "outwards": "out"}
    word = text.strip().lower().removeprefix("swings ")
    if word in NOT_KNOWN:
        return None
    if word not in words:
        raise QuantityError(text, "in or out; or not known")
    return words[word]
