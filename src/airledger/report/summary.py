"""What a terminal shows: the whole run on one screen, and the first answer on one screen."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from airledger.findings import SEVERITIES, ordered
from airledger.quantities import text
from airledger.report.blocks import capital
from airledger.report.facts import figure, notches, rows, worst_of_house
from airledger.report.outcome import Outcome
from airledger.report.pages_answer import search_words
from airledger.report.pages_back import WORDS
from airledger.report.pressure_tape import pascals_text
from airledger.studies.protocol import Result, Row

WIDE, TALL = 100, 24
MOST_STATES, MOST_PUNCH = 7, 3


def summary(outcome: Outcome, system: str = "ip") -> str:
    """The run on one screen: the sentence, what is running with its pascals, the best way out, what is open.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    lines = _dangers(outcome)
    lines += _wrapped(outcome.headline or f"{outcome.house.name}: how it breathes.", 3)
    lines += ["", *_states(outcome), "", *_way_out(outcome, system), *_punch(outcome)]
    return "\n".join(_no_double_blanks(lines)[:TALL]) + "\n"


def _dangers(outcome: Outcome) -> list[str]:
    found = [finding for finding in outcome.findings if finding.severity == "danger"]
    lines = [line for finding in found[:2] for line in _wrapped(f"DANGER: {finding.message} {finding.action}", 2)]
    if len(found) > 2:
        lines.append(f"DANGER: {len(found) - 2} more on the punch list.")
    return lines


def _states(outcome: Outcome) -> list[str]:
    """Each state with its pascals, marked where it passes a limit; of many, the hardest pulls."""
    marks = notches(outcome)
    if len(marks) > MOST_STATES:
        kept = sorted(marks, key=lambda mark: mark.pascals)[:MOST_STATES]
        marks = [mark for mark in marks if mark in kept]
    lines = []
    for mark in marks:
        word = "danger" if mark.danger else "past a limit" if mark.passes_limit else ""
        lines.append(f"  {_cut(mark.name, 60):<60} {pascals_text(mark.pascals):>7} Pa   {word}".rstrip())
    worst = worst_of_house(outcome)
    if worst is not None:
        lines += [f"  worst found: {_cut(str(worst['state']), WIDE - 16)}", f"  {search_words(outcome)}"]
    return lines


def _way_out(outcome: Outcome, system: str) -> list[str]:
    """The recommendation, and what can wait; else the nearest misses; then the actions."""
    advice = next(iter(rows(outcome, "make_up_air", "recommendation")), None)
    lines = _wrapped(str(advice["sentence"]), 2) if advice and str(advice["sentence"]) not in outcome.headline else []
    if advice and advice.get("verdict") != "holds":
        for place, row in enumerate(rows(outcome, "make_up_air", "misses")[:2]):
            by = text(figure(row["by_pa"]), "house pressure", system)
            lines.append(_cut(f"  {'near' if place else 'nearest'} miss: {row['option']}, by {by}", WIDE))
    for place, row in enumerate(rows(outcome, "make_up_air", "actions")[:3]):
        lines.append(_cut(f"  {place + 1}  {row['action']}", WIDE))
    return lines


def _punch(outcome: Outcome) -> list[str]:
    """How many punch items of each kind, and the first ones past a limit."""
    count = {severity: sum(f.severity == severity for f in outcome.findings) for severity in SEVERITIES}
    told = [f"{number} {WORDS[severity].lower()}" for severity, number in count.items() if number]
    lines = ["", f"Punch list: {', '.join(told)}."] if told else []
    failing = [finding for finding in ordered(outcome.findings) if finding.severity == "fail"]
    lines += [_cut(f"  - {finding.message}", WIDE) for finding in failing[:MOST_PUNCH]]
    if outcome.not_run:
        lines.append(
            _cut("Not looked at: " + ", ".join(study.replace("_", " ") for study, _ in outcome.not_run) + ".", WIDE)
        )
    return lines


def ask_screen(result: Result, system: str = "ip") -> str:
    """The first answer on one screen of at most 40 lines.

    Parameters
    ----------
    result : Result
        of the study first_answer
    system : str
        ``ip`` or ``si``
    """
    tables = result.tables
    lines = [line for row in tables.get("answer", ()) for line in _wrapped(str(row["line"]), 3)]
    lines += ["", *[_law(row) for row in tables.get("law", ())[:4]]]
    lines += _listed("What the house does", [_pull(row, system) for row in tables.get("pulls", ())[:8]])
    lines += _listed("Three ways out", [_way(row) for row in tables.get("ways", ())[:3]])
    biggest = [f"{row['opening']}: {_told(row, 'hood_m3s', 'air flow', system)}" for row in tables.get("biggest", ())]
    lines += _listed("Biggest hood for the duct", _wrapped("   ".join(biggest), 2) if biggest else [])
    frame = "; ".join(str(row["item"]) for row in tables.get("frame_now", ()))
    wait = "; ".join(str(row["item"]) for row in tables.get("can_wait", ()))
    lines += _wrapped(f"Frame now: {frame}", 3) if frame else []
    lines += _wrapped(f"Can wait for the rough-in test: {wait}", 3) if wait else []
    return "\n".join(_no_double_blanks(lines)[:40]) + "\n"


def _law(row: Row) -> str:
    place = ", ".join(str(row[key]) for key in ("section", "edition") if row.get(key))
    doubt = "" if row.get("confirmed") in (True, 1, "yes") else " (unconfirmed: ask the official)"
    return _cut(f"Code, {row['rule']}: {row['verdict']}{f', {place}' if place else ''}{doubt}", WIDE)


def _pull(row: Row, system: str) -> str:
    pressure = pascals_text(figure(row["house_pressure_pa"]))
    low, high = (pascals_text(figure(row[key])) for key in ("low_pa", "high_pa"))
    door = _told(row, "door_force_n", "force", system)
    return _cut(
        f"{_cut(str(row['what']), 34):<34} {pressure:>5} Pa ({low} to {high})  door {door}  {row.get('feels') or ''}",
        WIDE - 2,
    )


def _way(row: Row) -> str:
    parts = [f"{pascals_text(figure(row['house_pressure_pa']))} Pa"] if row.get("house_pressure_pa") is not None else []
    parts += [str(row[key]) for key in ("wall_space", "trades", "power") if row.get(key)]
    parts += [text(figure(row["price_usd"]), "money", "ip")] if row.get("price_usd") is not None else []
    return _cut(f"{capital(str(row['option']))}: {', '.join(parts)}", WIDE - 2)


def _told(row: Row, key: str, quantity: str, system: str) -> str:
    return "not known" if row.get(key) is None else text(figure(row[key]), quantity, system)


def _listed(head: str, entries: Sequence[str]) -> list[str]:
    return ["", head, *(f"  {entry}" for entry in entries)] if entries else []


def _wrapped(words: str, most: int) -> list[str]:
    lines = textwrap.wrap(words, WIDE, break_on_hyphens=False)
    if len(lines) <= most:
        return lines
    return [*lines[: most - 1], _cut(" ".join(lines[most - 1 :]), WIDE)]


def _cut(words: str, wide: int) -> str:
    return words if len(words) <= wide else words[: wide - 1].rstrip() + "…"


def _no_double_blanks(lines: Sequence[str]) -> list[str]:
    kept: list[str] = []
    for line in lines:
        if line or (kept and kept[-1]):
            kept.append(line)
    return kept
