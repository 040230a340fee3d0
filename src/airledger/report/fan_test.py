"""A fan test without a house: on the screen, as JSON, as a sheet of its own."""

from __future__ import annotations

import datetime
import json
import textwrap
from dataclasses import replace
from typing import Any

from airledger.findings import ordered
from airledger.quantities import in_units
from airledger.report.blocks import sentence
from airledger.report.facts import figure
from airledger.report.json_text import finding_object, result_object
from airledger.report.pages_airtightness import airtightness, number_lines, readable_rows, verdict_first
from airledger.report.pages_back import WORDS
from airledger.report.sheets.sheet import Sheet, sheet_pdf
from airledger.studies.protocol import Result, Row

WIDE = 100  # letters of a line on the screen


def in_system(result: Result, system: str) -> Result:
    """A result with the values within its words in the units of a reader.

    Parameters
    ----------
    result : Result
        of the study
    system : str
        ``ip`` or ``si``
    """
    findings = tuple(
        replace(f, message=in_units(f.message, system), action=in_units(f.action, system)) for f in result.findings
    )
    tables = {
        name: tuple(
            {key: in_units(cell, system) if isinstance(cell, str) else cell for key, cell in row.items()}
            for row in rows
        )
        for name, rows in result.tables.items()
    }
    return replace(result, findings=findings, tables=tables)


def screen(result: Result, system: str) -> str:
    """The test on one screen: verdict, odd readings, numbers, rules missed.

    Parameters
    ----------
    result : Result
        of the study
    system : str
        ``ip`` or ``si``
    """
    result = in_system(result, system)
    lines: list[str] = []
    for finding in verdict_first(result.findings):
        words = f"{sentence(finding.message)} {sentence(finding.action)}".strip()
        lines += [*textwrap.wrap(f"{WORDS[finding.severity]}: {words}", WIDE, subsequent_indent="  "), ""]
    for row in readable_rows(result):
        flows = [flow for flow in result.tables["flows"] if flow["role"] == row["role"]]
        for what, value, between in number_lines(row, flows, system):
            lines.append(f"  {what:<44} {value:>14}   {between}")
        lines.append("")
    points = result.tables["points"]
    of_two = len({point["direction"] for point in points}) == 2
    odd = [point for point in points if point["odd"]]
    for point in odd:
        of = f" of the {point['direction']}" if of_two else ""
        lines.append(f"  line {point['line']}{of}, {figure(point['pressure_pa']):.1f} Pa: {point['odd']}")
    if readable_rows(result):
        lines += [""] if odd else []
        lines.append("The second figures hold the truth in 95 of 100 tests that scatter like this one;")
        lines.append("a gauge that reads high or low moves them all and is not in them.")
    return "\n".join(lines).rstrip() + "\n"


def json_of_test(result: Result) -> str:
    """The test as one JSON object, ending in a newline; of several tests the first one's numbers stand on top.

    Parameters
    ----------
    result : Result
        of the study
    """
    result = in_system(result, "ip")
    row = result.tables["results"][0]
    flows = [flow for flow in result.tables["flows"] if flow["role"] == row["role"]]
    told: dict[str, Any] = {
        "schema": 1,
        "verdict": row["verdict"],
        "method": row["method"],
        "direction": row["direction"],
        "air": row["air"],
        "pressure_exponent": _three(row, "exponent"),
        "flow_coefficient": _three(row, "flow_coefficient"),
        "flow_pa": {f"{figure(flow['pressure_pa']):g}": _three(flow, "flow", "m3s") for flow in flows},
        "ach50": _three(row, "ach50"),
        "ela4": _three(row, "ela4", "m2"),
        "eqla10": _three(row, "eqla10", "m2"),
        "validity": [dict(rule) for rule in result.tables["rules"]],
        "findings": [finding_object(finding) for finding in ordered(result.findings)],
        **result_object(result),
    }
    return json.dumps(told, allow_nan=False, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def _three(row: Row, key: str, unit: str = "") -> dict[str, float] | None:
    end = f"_{unit}" if unit else ""
    if row.get(f"{key}{end}") is None:
        return None
    return {
        name: figure(row[f"{key}{part}{end}"]) + 0.0
        for name, part in (("value", ""), ("low", "_low"), ("high", "_high"))
    }


def pdf_of_test(
    result: Result, called: str, system: str, date: datetime.date | None = None, paper: str = "letter"
) -> bytes:
    """The test as a sheet of its own, PDF/A.

    Parameters
    ----------
    result : Result
        of the study
    called : str
        address or file name, printed on top
    system : str
        ``ip`` or ``si``
    date : date
        printed and kept as metadata; None prints "undated"
    paper : str
        ``letter`` or ``a4``
    """
    section = airtightness(in_system(result, system), system)
    assert section is not None, "a test that was read has results"
    made = Sheet("how tight it is", section.sentence, most_pages=4)
    section.sentence, section.own_page = "", False
    made.sections.append(section)
    return sheet_pdf(made, called, date, paper)
