"""Verdicts on make-up air in words: one sentence, punch items and table rows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from airledger.findings import Finding
from airledger.rules.jurisdictions import NOT_LOOKED_UP, jurisdiction
from airledger.rules.make_up_trigger import VERDICTS, Verdict, overall

COUNTED = "the most it can move counts: common practice"
_SEVERITY = {"yes": "caution", "ask the official": "unknown"}
_ASK = "ask the official and write the ruling down"


def law_sentence(verdicts: Sequence[Verdict], place_name: str) -> str:
    """What the code asks, in one sentence; what is only recalled is said apart, the adoption of a code too.

    Parameters
    ----------
    verdicts : sequence of Verdict
        what `make_up_trigger` gave [-]
    place_name : str
        city or county and state [-]
    """
    place = jurisdiction(place_name)
    if not place.looked_up:
        ruled = next((f"; {verdict.text}" for verdict in verdicts if verdict.ruling), "; model codes differ")
        return f"{NOT_LOOKED_UP[:1].upper()}{NOT_LOOKED_UP[1:]}{ruled}."
    seen = tuple(verdict for verdict in verdicts if verdict.confirmed)
    recalled = tuple(verdict for verdict in verdicts if not verdict.confirmed)
    adopted = "" if place.source.confirmed else ", its adoption recalled and unconfirmed"
    told = f"Code ({place.code}, edition {place.edition}{adopted}): {_ASKS[overall(seen)]}"
    if recalled and VERDICTS.index(overall(recalled)) < VERDICTS.index(overall(seen)):
        told += f"; but a rule recalled and not confirmed says: {overall(recalled)}"
    return f"{told}."


_ASKS = {
    "yes": "it asks for make-up air",
    "ask the official": "ask the official",
    "silent": "it is silent on what blows out here",
    "no": "it asks for no make-up air here",
}


def law_findings(verdicts: Iterable[Verdict], study: str) -> list[Finding]:
    """A finding for each verdict that asks for something or leaves it open.

    Parameters
    ----------
    verdicts : iterable of Verdict
        what `make_up_trigger` gave [-]
    study : str
        the study that finds them [-]
    """
    return [
        Finding(
            study=study,
            code="make_up_air_law",
            severity=_SEVERITY[verdict.verdict],
            basis="law",
            where=verdict.machine or "house",
            state="",
            message=f"{verdict.rule}: {verdict.verdict}; {_text(verdict)}{_counted(verdict)}{_hedge(verdict)}.",
            action=verdict.asks if verdict.verdict == "yes" else _ASK,
            source=verdict.source.text,
            confirmed=verdict.confirmed,
            value=verdict.flow,
            limit=verdict.over,
            unit="m3/s" if verdict.flow is not None else "",
        )
        for verdict in verdicts
        if verdict.verdict in _SEVERITY
    ]


def law_with_numbers(verdicts: Iterable[Verdict]) -> list[Finding]:
    """Every verdict with its formula and its numbers, those that ask for nothing too.

    Parameters
    ----------
    verdicts : iterable of Verdict
        what `make_up_trigger` gave [-]
    """
    found = []
    for verdict in verdicts:
        if verdict.verdict not in ("yes", "ask the official", "no"):
            continue
        spoken = law_findings([replace(verdict, verdict="yes")], "make_up_air")[0]
        where = f"{verdict.machine}: " if verdict.machine else ""
        because = f", because {verdict.formula}" if verdict.formula else ""
        words = f"{where}{verdict.rule}: {verdict.verdict}; {_text(verdict)}{because} ({_place_in_code(verdict)}"
        words = f"{words}{', recalled, unconfirmed' if not verdict.confirmed else ''})."
        severity = _SEVERITY.get(verdict.verdict, "ok")
        action = {"yes": verdict.asks, "no": ""}.get(verdict.verdict, _ASK)
        found.append(replace(spoken, message=words[:1].upper() + words[1:], severity=severity, action=action))
    return found


def _text(verdict: Verdict) -> str:
    """The verdict's words without what the verdict itself says already."""
    return verdict.text.replace(", ask the official", "", 1) if verdict.verdict == "ask the official" else verdict.text


def _hedge(verdict: Verdict) -> str:
    return "" if verdict.confirmed else " (unconfirmed)"


def _counted(verdict: Verdict) -> str:
    """Which of a machine's flows the rule was held to, where it is about a machine."""
    return "" if verdict.flow is None or verdict.over is None else f"; {COUNTED}"


def _place_in_code(verdict: Verdict) -> str:
    """The code and the section in it, the code said once."""
    if verdict.code == "unknown":
        return "code and section unknown"
    if not verdict.section or verdict.section.startswith(tuple(verdict.code.split(", "))):
        return verdict.section or verdict.code
    return f"{verdict.code}{', ' if verdict.section[0].islower() else ' '}{verdict.section}"


def law_row(verdict: Verdict) -> dict[str, float | int | str | None]:
    """A verdict as a row of a table.

    Parameters
    ----------
    verdict : Verdict
        the verdict [-]
    """
    return {
        "rule": verdict.rule,
        "machine": verdict.machine,
        "verdict": verdict.verdict,
        "text": _text(verdict),
        "code": verdict.code,
        "section": _place_in_code(verdict),
        "edition": "edition unknown" if verdict.edition == "unknown" else verdict.edition,
        "formula": verdict.formula,
        "counted": COUNTED if verdict.flow is not None and verdict.over is not None else "",
        "required_m3s": verdict.required,
        "source": verdict.source.text,
        "ruling": verdict.ruling,
        "confirmed": "yes" if verdict.confirmed else "no",
    }
