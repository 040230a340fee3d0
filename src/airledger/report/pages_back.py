"""The last pages: punch list, what was assumed, where numbers come from, what was not looked at, cautions."""

from __future__ import annotations

from airledger.findings import Finding, ordered
from airledger.quantities import QUANTITIES, text
from airledger.report.blocks import Section, item, sentence
from airledger.report.facts import CAUTIONS
from airledger.report.outcome import Outcome
from airledger.report.trade_words import length_words
from airledger.sources import Assumption

MOST_SOURCES = 60  # what one page holds
WORDS = {"danger": "DANGER", "fail": "past a limit", "caution": "caution", "unknown": "not known", "ok": "good to know"}
BASES = {
    "law": "law",
    "standard": "a standard",
    "maker": "the maker's",
    "practice": "practice",
    "user": "your own limit",
}


def punch_list(outcome: Outcome) -> Section | None:
    """Every punch item, danger first, each with what to do and what it rests on.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    if not outcome.findings:
        return None
    open_items = [finding for finding in outcome.findings if finding.severity != "ok"]
    count = {0: "Nothing is open", 1: "One thing is open"}.get(len(open_items), f"{len(open_items)} things are open")
    section = Section(f"{count} on the punch list.")
    section.blocks.append({"kind": "items", "items": [punch_item(finding) for finding in ordered(outcome.findings)]})
    return section


def punch_item(finding: Finding) -> dict[str, object]:
    """A punch item as a line of a list: what is wrong, what to do, where, and what it rests on.

    Parameters
    ----------
    finding : Finding
        what a study found
    """
    place = ", ".join(part for part in (finding.where, finding.state) if part)
    source = finding.source or BASES[finding.basis]
    rests = source if finding.basis == "user" or not finding.source else f"{BASES[finding.basis]}: {source}"
    said = finding.confirmed or finding.basis in ("user", "practice") or "unconfirmed" in rests
    doubt = "" if said else " (unconfirmed)"
    words = f"{sentence(finding.message)} {sentence(finding.action)}".strip()
    small = " · ".join(part for part in (place, rests + doubt) if part)
    return item(WORDS[finding.severity], words, small, finding.severity == "danger")


def assumptions(outcome: Outcome, system: str) -> Section | None:
    """Everything that was taken because the house file is silent.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    if not outcome.assumed:
        return None
    count = len(outcome.assumed)
    section = Section(
        f"{count} {'value was' if count == 1 else 'values were'} taken because the house file is silent.",
        own_page=False,
    )
    lines = []
    for entry in outcome.assumed:
        small = " · ".join(part for part in (entry.why, entry.source.text) if part)
        lines.append({"what": f"{entry.path}\n{small}", "taken": value_text(entry, system)})
    section.blocks.append({
        "kind": "table", "whole": False, "title": "", "size": 8.2, "share": {"0": 3, "1": 1},
        "columns": [{"heading": "where in the house file", "unit": "", "words": True},
                    {"heading": "taken", "unit": "", "words": True}],
        "rows": [{"cells": [line["what"], line["taken"]], "strong": False, "below": ""} for line in lines],
    })  # fmt: skip
    return section


UNITS = {
    "Pa": "house pressure", "m3/s": "air flow", "N": "force", "m": "length", "m2": "area", "m3": "volume",
    "degC": "temperature",    "m/s": "air speed", "W": "heat flow", "kg/s": "mass flow", "s/year": "hours a year",
}  # fmt: skip


def value_text(entry: Assumption, system: str) -> str:
    """An assumed value as printed.

    Parameters
    ----------
    entry : Assumption
        what was taken
    system : str
        ``ip`` or ``si``
    """
    if isinstance(entry.value, str):
        return entry.value
    quantity = UNITS.get(entry.unit)
    if quantity is None:
        return f"{entry.value:.3g} {entry.unit.replace('-', '').strip()}".strip()
    if quantity == "air speed" and "wind" in entry.path:
        quantity = "wind speed"
    if quantity == "length" and abs(entry.value) < 0.3:
        return length_words(entry.value, system)
    if quantity == "area" and abs(entry.value) < 0.3:
        quantity = "small area"
    return text(entry.value, quantity, system, QUANTITIES[quantity].shown(system).digits)


def sources(outcome: Outcome) -> Section | None:
    """Where the limits and the assumed values come from, the unconfirmed ones said so.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    told = dict.fromkeys(entry.source.text for entry in outcome.assumed if entry.source.text)
    told.update(dict.fromkeys(_cited(finding) for finding in outcome.findings if finding.source))
    if not told:
        return None
    unconfirmed = sum("unconfirmed" in line for line in told)
    sentence = f"{len(told)} sources stand behind these numbers; {unconfirmed or 'none'} of them unconfirmed."
    section = Section(sentence, own_page=False, whole=len(told) <= MOST_SOURCES)
    section.words(" · ".join(sorted(told)), True)
    return section


def _cited(finding: Finding) -> str:
    doubt = not finding.confirmed and finding.basis not in ("user", "practice") and "unconfirmed" not in finding.source
    return f"{finding.source} (unconfirmed)" if doubt else finding.source


def cautions(outcome: Outcome) -> Section:
    """What was not looked at, and the cautions.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    section = Section("Before anyone builds from this paper.", own_page=False, whole=True)
    section.blocks.append({"kind": "items", "items": [item(word, words) for word, words in CAUTIONS]})
    if outcome.not_run:
        section.heading("Not looked at")
        lines = [
            item("not run", f"{study.replace('_', ' ')}: the house file lacks {needs}.")
            for study, needs in outcome.not_run
        ]
        section.blocks.append({"kind": "items", "items": lines})
    return section
