"""What a terminal shows of a run: the whole of it on one screen."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from airledger.findings import SEVERITIES, Finding, ordered
from airledger.quantities import text
from airledger.report.blocks import sentence
from airledger.report.facts import figure, notches, rows, running, worst_of_house
from airledger.report.in_units import in_units
from airledger.report.outcome import Outcome
from airledger.report.pages_answer import search_words
from airledger.report.pages_back import WORDS
from airledger.report.pressure_tape import pascals_text

WIDE, TALL = 100, 24
MOST_STATES, MOST_PUNCH, MOST_TESTS = 7, 3, 2


def summary(outcome: Outcome, system: str = "ip") -> str:
    """The run on one screen: the sentence, what is running with its pascals, the best way out, what is open.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    outcome = in_units(outcome, system)
    lines = [*_dangers(outcome), *_tested(outcome)]
    lines += _wrapped(outcome.headline or f"{outcome.house.name}: how it breathes.", 5)
    lines += ["", *_states(outcome), "", *_way_out(outcome, system), *_punch(outcome)]
    return "\n".join(_no_double_blanks(lines)[:TALL]) + "\n"


def _dangers(outcome: Outcome) -> list[str]:
    found = [finding for finding in outcome.findings if finding.severity == "danger"]
    lines = [
        line
        for finding in found[:2]
        for line in _wrapped(f"DANGER: {sentence(finding.message)} {sentence(finding.action)}", 2)
    ]
    if len(found) > 2:
        lines.append(f"DANGER: {len(found) - 2} more on the punch list.")
    return lines


def _tested(outcome: Outcome) -> list[str]:
    """What the tests of airtightness say, and what they change: it stands before what is reckoned with them.

    Beside a whole study each has one line, so that the punch list stays on the screen.
    """
    told = sorted((f for f in outcome.findings if f.study == "airtightness"), key=lambda f: f.state == "rough-in")
    crowded = bool(notches(outcome))
    lines = []
    for code in ("come_back", "tightness", "odd_in_file", "decision"):
        for finding in [f for f in told if f.code == code][: 1 if crowded else MOST_TESTS]:
            words = _said(finding)
            lines += [_cut(words, WIDE)] if crowded else _wrapped(words, 3)
    return [*lines, ""] if lines else []


def _said(finding: Finding) -> str:
    """A punch item of a test; what to do about the make-up air follows on the screen by itself."""
    action = "" if finding.code == "decision" else sentence(finding.action)
    return f"{sentence(finding.message)} {action}".strip()


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
        lines += [f"  worst found: {_cut(running(worst), WIDE - 16)}", f"  {search_words(outcome)}"]
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
