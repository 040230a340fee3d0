"""How tight the house is: verdict, what to do while the wall is open, numbers, the standard's rules, the annex."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airledger.findings import Finding, ordered
from airledger.quantities import number
from airledger.report.blocks import Section, capital, item, sentence, table
from airledger.report.facts import figure, unit_of
from airledger.report.pages_back import WORDS
from airledger.report.reading_pictures import Reading, deviations, logarithms
from airledger.studies.protocol import Result, Row

POINT_KEYS = ("pressure_pa", "flow_m3s", "off_the_fit", "wind_moves_it_by", "odd")
RULE_KEYS = ("rule", "required", "found", "verdict")
SMALL = 8.2


def airtightness(result: Result | None, system: str) -> Section | None:
    """The section of the papers; None where no test was read.

    Parameters
    ----------
    result : Result
        of the study
    system : str
        ``ip`` or ``si``
    """
    if result is None or not result.tables.get("results"):
        return None
    told = verdict_first(result.findings)
    section = Section(sentence(told[0].message.partition(";")[0].partition(". ")[0]))
    section.blocks.append({"kind": "items", "items": [_item(f) for f in told]})
    for place, row in enumerate(result.tables["results"], 1):
        points = [p for p in result.tables["points"] if p["role"] == row["role"]]
        if row["role"]:
            section.heading(capital(f"{row['role']}: how far each reading lies from the fit"))
        section.picture(f"deviation-{place}.svg", deviations(_readings(points), f"deviation-{place}"))
    decision = result.tables.get("decision", ())
    if decision:
        keys = ("tightness", "option", "verdict", "house_pressure_pa", "price_usd")
        section.blocks.append({
            **table(decision, keys, system, {"tightness": 0.7, "option": 2.4, "verdict": 1}, SMALL),
            "whole": True, "title": "The make-up air by the guess and by the test",
        })  # fmt: skip
    for row in readable_rows(result):
        section.blocks.append({**_numbers(row, result, system), "whole": True})
    _rules(section, result.tables["rules"], system)
    _annex(section, result, system)
    return section


def verdict_first(findings: Sequence[Finding]) -> list[Finding]:
    """Findings in the order of their severity, but what the test says first, then what to do while the wall is open.

    Parameters
    ----------
    findings : sequence of Finding
        of the study
    """
    order = {"come_back": 0, "tightness": 0, "decision": 1}
    return sorted(ordered(tuple(findings)), key=lambda finding: order.get(finding.code, 2))


def readable_rows(result: Result) -> list[Row]:
    """The tests that can be read: of one to come back for no number is shown.

    Parameters
    ----------
    result : Result
        of the study
    """
    return [row for row in result.tables["results"] if row["verdict"] != "come back"]


def _item(finding: Finding) -> dict[str, Any]:
    words = f"{sentence(finding.message)} {sentence(finding.action)}".strip()
    return item(WORDS[finding.severity], words, finding.source if finding.basis != "user" else "")


def _readings(points: Sequence[Row]) -> list[Reading]:
    return [
        Reading(
            figure(p["pressure_pa"]), figure(p["flow_m3s"]), figure(p["deviation_ratio"]), figure(p["wind_ratio"]),
            bool(p["odd"]),
        )
        for p in points
    ]  # fmt: skip


def number_lines(row: Row, flows: Sequence[Row], system: str) -> list[tuple[str, str, str]]:
    """A test's numbers as lines: what, value with unit, its interval.

    Parameters
    ----------
    row : dict
        of the results
    flows : sequence of dict
        the flows of the same test
    system : str
        ``ip`` or ``si``
    """
    lines = []

    def add(what: str, key: str, quantity: str, unit: str = "", digits: int | None = None) -> None:
        end = f"_{unit}" if unit else ""
        if row.get(f"{key}{end}") is None:
            return
        cells = [figure(row[f"{key}{part}{end}"]) for part in ("", "_low", "_high")]
        if quantity:
            shown = [number(cell, quantity, system, digits) for cell in cells]
            said = unit_of(quantity, system)
        else:
            shown, said = [f"{cell:.{digits or 3}f}" for cell in cells], ""
        lines.append((what, f"{shown[0]} {said}".strip(), f"{shown[1]} to {shown[2]}"))

    add("air changes at 50 Pa", "ach50", "tightness")
    for flow in flows:
        cells = [number(figure(flow[key]), "air flow", system) for key in ("flow_m3s", "flow_low_m3s", "flow_high_m3s")]
        said = unit_of("air flow", system)
        lines.append((f"flow at {figure(flow['pressure_pa']):g} Pa", f"{cells[0]} {said}", f"{cells[1]} to {cells[2]}"))
    add("for each area of floor, at 50 Pa", "per_floor", "flow per area", "m3s_m2")
    add("for each area of envelope, at 50 Pa", "per_envelope", "flow per area", "m3s_m2")
    add("leakage area at 4 Pa, as a smooth nozzle", "ela4", "small area", "m2", 1)
    add("leakage area at 10 Pa, as a sharp hole", "eqla10", "small area", "m2", 1)
    add("exponent", "exponent", "")
    return lines


def _numbers(row: Row, result: Result, system: str) -> dict[str, Any]:
    flows = [f for f in result.tables["flows"] if f["role"] == row["role"]]
    rows: list[Row] = [
        {"what": what, "value": value, "95_in_100_between": between}
        for what, value, between in number_lines(row, flows, system)
    ]
    title = f"Numbers by {row['method']}, {row['direction']}, at {row['air']}"
    block = table(
        rows, ("what", "value", "95_in_100_between"), system, {"what": 2, "value": 0, "95_in_100_between": 0}, SMALL
    )
    return {**block, "title": f"{capital(str(row['role']))}: {title}" if row["role"] else title}


def _rules(section: Section, rules: Sequence[Row], system: str) -> None:
    if not rules:
        return
    shares = {"rule": 1.4, "required": 1.5, "found": 1.2, "verdict": 0.7}
    section.blocks.append({
        **table(rules, RULE_KEYS, system, shares, SMALL),
        "title": "What the standard asks of a test (recalled, unconfirmed: the bought text decides)",
    })  # fmt: skip


def _percent(share: float) -> str:
    """A share with its sign, in percent to a tenth."""
    return f"{100 * share:+.1f} %".replace("-", "−")


def _share(share: float) -> str:
    return f"±{100 * share:.1f} %"


def _annex(section: Section, result: Result, system: str) -> None:
    """Readings one by one, and both axes in logarithms."""
    section.heading("Details: the readings")
    told: list[Row] = [
        {
            **p,
            "off_the_fit": _percent(figure(p["deviation_ratio"])),
            "wind_moves_it_by": _share(figure(p["wind_ratio"])),
        }
        for p in result.tables["points"]
    ]
    shares = {"odd": 1, "off_the_fit": 0, "wind_moves_it_by": 0}
    of_two = len({p["direction"] for p in told}) == 2
    section.blocks.append(table(told, ("direction", *POINT_KEYS) if of_two else POINT_KEYS, system, shares, SMALL))
    for place, row in enumerate(result.tables["results"], 1):
        points = _readings([p for p in result.tables["points"] if p["role"] == row["role"]])
        near = min(points, key=lambda p: abs(p.deviation))  # the fit through the readings as read, drawn from one on it
        exponent, through = figure(row["exponent"]), near.flow / (1.0 + near.deviation)
        ends = min(p.pressure for p in points), max(p.pressure for p in points)
        line = [(end, through * (end / near.pressure) ** exponent) for end in ends]
        section.picture(f"log-{place}.svg", logarithms(points, line, system, f"log-{place}"))
