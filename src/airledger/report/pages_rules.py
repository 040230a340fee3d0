"""What the rules of the place ask for: words first, then each rule with its formula, then the wet rooms."""

from __future__ import annotations

from collections.abc import Sequence

from airledger.findings import Finding, ordered
from airledger.quantities import text
from airledger.report.blocks import Section, item, sentence, table
from airledger.report.facts import figure, rows
from airledger.report.outcome import Outcome
from airledger.report.pages_back import WORDS
from airledger.studies.protocol import Row

RULE_KEYS = ("rule", "holds", "asks_m3s", "formula", "verdict")
ROOM_KEYS = ("room", "asks_on_demand_m3s", "asks_all_day_m3s", "own_m3s", "all_day_m3s", "boost_m3s", "verdict")
DUCT_KEYS = ("machine", "rule", "length_m", "elbows", "longest_m", "verdict")
SMALL = 8.2


def rules(outcome: Outcome, system: str) -> Section | None:
    """The section of the papers; None where neither study ran.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    asked, rooms = rows(outcome, "ventilation_rate", "rules"), rows(outcome, "local_exhaust", "rooms")
    ducts = rows(outcome, "local_exhaust", "ducts")
    if not asked and not rooms and not ducts:
        return None
    section = Section(_first(asked, system), own_page=False)
    findings = [f for study in ("ventilation_rate", "local_exhaust") for f in _findings(outcome, study)]
    section.blocks.append({"kind": "items", "items": [_item(f) for f in findings]})
    if asked:
        shares = {"rule": 1.5, "holds": 0.8, "formula": 2.2, "verdict": 1}
        section.blocks.append({
            **table(asked, RULE_KEYS, system, shares, SMALL), "whole": True,
            "title": "All day, rule by rule; what does not hold here stands for comparison",
        })  # fmt: skip
    conditions = rows(outcome, "ventilation_rate", "conditions")
    if conditions:
        section.blocks.append({
            **table(conditions, ("condition", "verdict", "because"), system, {"condition": 1.6, "because": 1.6}, SMALL),
            "whole": True, "title": "What some editions allow 30 % less for",
        })  # fmt: skip
    if rooms:
        section.blocks.append({
            **table(rooms, ROOM_KEYS, system, {"room": 1, "verdict": 1.4}, SMALL), "whole": True,
            "title": "Kitchen, baths, laundry: asked for, and given",
        })  # fmt: skip
    if ducts:
        section.blocks.append({
            **table(ducts, DUCT_KEYS, system, {"verdict": 1.6}, SMALL), "whole": True,
            "title": "Ducts of fans and dryers: how long they may be",
        })  # fmt: skip
    return section


def _first(asked: Sequence[Row], system: str) -> str:
    here = [row for row in asked if row["holds"] == "here"]
    if not here:
        return "Nobody has looked up what this place asks for all day: ask the official."
    flows = [figure(row["asks_m3s"]) for row in here]
    low, high = (text(flow, "air flow", system) for flow in (min(flows), max(flows)))
    told = low if low == high else f"{low} by the equation, {high} by the table"
    doubt = "" if all(row["confirmed"] == "yes" for row in here) else " (unconfirmed here)"
    return f"All day the rules ask for {told}{doubt}."


def _findings(outcome: Outcome, study: str) -> list[Finding]:
    result = outcome.results.get(study)
    return list(ordered(result.findings)) if result else []


def _item(finding: Finding) -> dict[str, object]:
    return item(
        WORDS[finding.severity], f"{sentence(finding.message)} {sentence(finding.action)}".strip(), finding.source
    )
