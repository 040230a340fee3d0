"""The inspector's page: law alone. Rule, section, edition as adopted, required, measured or set, instrument, ruling."""

from __future__ import annotations

from airledger.quantities import text
from airledger.report.blocks import capital, table
from airledger.report.facts import figure, rows
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, signatures
from airledger.rules.jurisdictions import jurisdiction
from airledger.studies.protocol import Row

KEYS = ("rule", "required", "found", "verdict")
WIDTHS = {"rule": 2.3, "required": 1.2, "found": 1.4, "verdict": 1.1}


def sheet(outcome: Outcome, system: str) -> Sheet:
    """What the law asks of this house, and what was found.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    lines = [*_rates(outcome, system), *_rooms(outcome, system), *_make_up(outcome, system)]
    place = jurisdiction(outcome.house.site.place)
    made = Sheet("for the inspector", _sentence(lines), dangers=False)
    known = "" if place.source.confirmed and place.looked_up else " Ask of the adoption: it was not seen in print."
    made.under.append(f"{capital(place.text)}.{known}")
    for ruling in outcome.house.rulings:
        who, when = ruling.by or "name not written down", ruling.on or "date not written down"
        made.under.append(f"Ruled on {ruling.subject}: {ruling.says} ({who}, {when}).")
    section = made.section("What the law asks, and what was found")
    section.blocks.append({**table(lines, KEYS, system, WIDTHS, 8.2), "whole": False})
    section.words(
        '"Unconfirmed" stands where a rule, or its adoption here, was not seen in print. "Set" is as the unit was set, '
        "by its own stations; a measured value names its instrument.", True
    )  # fmt: skip
    section.blocks.append(
        signatures(["builder, date", "ventilation contractor, licence", "tester, certificate", "inspector, date"])
    )
    return made


def _sentence(lines: list[Row]) -> str:
    open_ones = [line for line in lines if str(line["verdict"]).startswith(("not met", "ask", "nothing"))]
    if not lines:
        return "No rule was looked up for this place."
    if not open_ones:
        return f"{len(lines)} rules were looked at; none is open."
    return f"Of {len(lines)} rules that were looked at {len(open_ones)} {'is' if len(open_ones) == 1 else 'are'} open."


def _doubt(row: Row) -> str:
    return "" if row["confirmed"] == "yes" else ", unconfirmed"


def _flow(value: object, system: str) -> str:
    return text(figure(value), "air flow", system) if isinstance(value, int | float) else "–"


def _rates(outcome: Outcome, system: str) -> list[Row]:
    """Outdoor air all day, by the rules that hold here."""
    found: list[Row] = []
    for row in rows(outcome, "ventilation_rate", "rules"):
        if row["holds"] != "here":
            continue
        cited = f"{row['code']} {row['section']}, edition {row['edition']}{_doubt(row)}"
        given = "no unit" if row["low_m3s"] is None else f"set to {_flow(row['low_m3s'], system)}"
        found.append({
            "rule": f"outdoor air, all day\n{cited}", "required": f"{_flow(row['asks_m3s'], system)}\n{row['formula']}",
            "found": given, "verdict": str(row["verdict"]).replace("top", "highest"),
        })  # fmt: skip
    return found


def _rooms(outcome: Outcome, system: str) -> list[Row]:
    """Local exhaust, a line a room and rule; where no rule of the place was looked up, none."""
    if not jurisdiction(outcome.house.site.place).local:
        return []
    found: list[Row] = []
    for row in rows(outcome, "local_exhaust", "rooms"):
        if row["verdict"] == "silent":
            continue
        asks = [
            f"{_flow(row[key], system)} {how}"
            for key, how in (("asks_on_demand_m3s", "on demand"), ("asks_all_day_m3s", "all day"))
            if row[key] is not None
        ]
        gives = [
            f"{_flow(row[key], system)} {how}"
            for key, how in (
                ("own_m3s", "rated, on demand"),
                ("all_day_m3s", "set, all day"),
                ("boost_m3s", "set, boost"),
            )
            if row[key]
        ]
        found.append({
            "rule": f"local exhaust, {row['room']}\n{row['rule']} {row['section']}{_doubt(row)}",
            "required": " or ".join(asks), "found": ", ".join(gives) or "nothing", "verdict": str(row["verdict"]),
        })  # fmt: skip
    return found


def _make_up(outcome: Outcome, system: str) -> list[Row]:
    """Make-up air, a line a rule that speaks of the house."""
    found: list[Row] = []
    for row in rows(outcome, "make_up_air", "law"):
        if row["verdict"] in ("silent", "beside that"):
            continue
        what = f"make-up air, {row['machine']}" if row["machine"] else "make-up air"
        verdict = {"yes": "asked for", "no": "not asked for"}.get(str(row["verdict"]), str(row["verdict"]))
        edition = f", edition {row['edition']}" if row["edition"] else ""
        found.append({
            "rule": f"{what}\n{row['code']} {row['section']}{edition}{_doubt(row)}",
            "required": _flow(row["required_m3s"], system) if row["required_m3s"] else capital(str(row["text"])),
            "found": str(row["formula"]), "verdict": f"{verdict}\n{row['ruling']}" if row["ruling"] else verdict,
        })  # fmt: skip
    return found
