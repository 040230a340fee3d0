"""The inspector's page: law alone. Rule, section, edition, required, designed or measured, instrument, ruling."""

from __future__ import annotations

import re

from airledger.quantities import QUANTITIES, text
from airledger.report.blocks import capital, table
from airledger.report.facts import figure, rows
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, signatures
from airledger.rules.jurisdictions import Jurisdiction, jurisdiction
from airledger.studies.protocol import Cell, Row

KEYS = ("rule", "required", "designed_or_measured", "verdict", "ruling")
WIDTHS = {"rule": 2.0, "required": 1.5, "designed_or_measured": 1.5, "verdict": 1.0, "ruling": 0.8}
RULE_ON = {"ask the official": "yours to rule", "yes": "asked for", "no": "not asked for"}
OPEN = ("not met", "yours to rule", "ask", "nothing", "measured below", "cannot", "longer", "the table does not")


def sheet(outcome: Outcome, system: str) -> Sheet:
    """What the law asks of this house, and what was found.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    found = [*_rates(outcome, system), *_rooms(outcome, system), *_ducts(outcome, system), *_make_up(outcome, system)]
    lines = sorted(({**line, "strong": _is_open(line)} for line in found), key=lambda line: not line["strong"])
    made = Sheet("for the inspector", _sentence(lines), dangers=False)
    made.under.append(_adopted(jurisdiction(outcome.house.site.place)))
    for ruling in outcome.house.rulings:
        who, when = ruling.by or "name not written down", ruling.on or "date not written down"
        made.under.append(f"Ruled on {ruling.subject}: {ruling.says} ({who}, {when}).")
    section = made.section("What the law asks, and what was found")
    section.blocks.append({**table(lines, KEYS, system, WIDTHS, 8.2), "whole": False})
    section.words(
        '"Unconfirmed" stands where a rule, or its adoption here, was not seen in print. A value without an instrument '
        "is as designed, not measured.", True
    )  # fmt: skip
    section.blocks.append(
        signatures([
            "permit number", "address", "builder, licence, date", "ventilation contractor, licence, date",
            "tester, certificate, date", "inspector, date",
        ])
    )  # fmt: skip
    return made


def _adopted(place: Jurisdiction) -> str:
    """Which code holds at the place, and whether that was seen in print."""
    if not place.looked_up:
        return f"{capital(place.text)}."
    known = "" if place.source.confirmed else " The adoption was not seen in print: correct it here."
    return (
        f"{capital(place.place)}: {place.code}, edition {place.edition}, in force since: {place.date}; amendments: "
        f"{place.amendments}.{known}"
    )


def _is_open(line: Row) -> bool:
    return str(line["verdict"]).startswith(OPEN)


def _sentence(lines: list[Row]) -> str:
    open_ones = [str(line["rule"]).split("\n", maxsplit=1)[0] for line in lines if line["strong"]]
    if not lines:
        return "No rule was looked up for this place."
    if not open_ones:
        return f"{len(lines)} rules were looked at; none is open."
    named = ", ".join(dict.fromkeys(open_ones))
    return f"Of {len(lines)} rules looked at, {len(open_ones)} {'is' if len(open_ones) == 1 else 'are'} open: {named}."


def _cited(code: object, section: object, edition: object, confirmed: object) -> str:
    """Where a rule stands: its code once, its section, the editions it was seen in."""
    first = re.split(r"[,\s]", str(code), maxsplit=1)[0]
    place = str(section) if first and first in str(section) else f"{code} {section}"
    seen = str(edition or "")
    if seen and not seen.startswith(("edition", "as ", "where ")):
        seen = f"{'editions' if ',' in seen else 'edition'} {seen}"
    return ", ".join(part for part in (place, seen, "" if confirmed == "yes" else "unconfirmed") if part)


def _cited_in(row: Row) -> str:
    return _cited(row["code"], row["section"], row["edition"], row["confirmed"])


def _flow(value: object, system: str) -> str:
    return text(figure(value), "air flow", system) if isinstance(value, int | float) else "–"


def _read(outcome: Outcome, state: str, what: str, where: str) -> Row | None:
    """What start-up read of a stream, a grille or a machine in a state; None where nothing was read."""
    for row in rows(outcome, "start_up", "readings"):
        if (row["state"], row["what"], row["where"]) == (state, what, where):
            return row
    return None


def _measured(row: Row, words: str) -> str:
    return f"measured {row['read']}{words}, {row['instrument']}"


def _below(row: Row | None, asked: Cell, system: str) -> bool:
    """Whether a value that was read stands below what is asked."""
    if row is None or not isinstance(asked, int | float):
        return False
    shown = QUANTITIES["air flow"].shown(system)
    return float(str(row["read"]).split()[0].replace(",", "")) * shown.factor < float(asked)


def _rates(outcome: Outcome, system: str) -> list[Row]:
    """Outdoor air all day, by the rules that hold here."""
    found: list[Row] = []
    unit = outcome.house.ventilator
    name, speed = (unit.kind.upper(), unit.speeds[0].name) if unit is not None else ("", "")
    streams = {way: _read(outcome, speed, f"{way} stream", name) for way in ("supply", "exhaust")}
    for row in rows(outcome, "ventilation_rate", "rules"):
        if row["holds"] != "here":
            continue
        given = ["no unit" if row["low_m3s"] is None else _flow(row["low_m3s"], system)]
        given += [_measured(read, f" {way}") for way, read in streams.items() if read is not None]
        verdict = str(row["verdict"]).replace("as set", "as designed").replace("top", "highest")
        if any(_below(read, row["asks_m3s"], system) for read in streams.values()):
            verdict = "measured below what is asked"
        found.append({
            "rule": f"outdoor air, all day\n{_cited_in(row)}",
            "required": f"{_flow(row['asks_m3s'], system)}\n{row['formula']}",
            "designed_or_measured": "; ".join(given), "verdict": verdict, "ruling": "",
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
        told, verdict = _room(outcome, row, system)
        found.append({
            "rule": f"local exhaust, {row['room']}\n{_cited(row['rule'], row['section'], '', row['confirmed'])}",
            "required": " or ".join(asks), "designed_or_measured": told, "verdict": verdict, "ruling": "",
        })  # fmt: skip
    return found


def _room(outcome: Outcome, row: Row, system: str) -> tuple[str, str]:
    """What takes air from a room, as designed and as read, and the verdict: below every ask once read so."""
    gives = [
        f"{_flow(row[key], system)} {how}"
        for key, how in (("own_m3s", "rated, on demand"), ("all_day_m3s", "all day"), ("boost_m3s", "at boost"))
        if row[key]
    ]
    verdict = str(row["verdict"])
    unit = outcome.house.ventilator
    for speed in unit.speeds if unit is not None else ():
        read = _read(outcome, speed.name, "pick-up", str(row["room"]))
        if read is not None:
            gives.append(_measured(read, f" at {speed.name}"))
            asked = [figure(row[key]) for key in ("asks_on_demand_m3s", "asks_all_day_m3s") if row[key] is not None]
            if asked and _below(read, min(asked), system):
                verdict = "measured below what is asked"
    return ", ".join(gives) or "nothing", verdict


def _ducts(outcome: Outcome, system: str) -> list[Row]:
    """How long the ducts of fans and dryers may be; where no table of the place was looked up, none."""
    if not jurisdiction(outcome.house.site.place).tables:
        return []
    return [
        {
            "rule": f"{row['rule']}, {row['machine']}\n{_cited('IRC', row['section'], '', row['confirmed'])}",
            "required": "no limit at this size" if row["longest_m"] is None and row["section"] else
            "not in the table" if row["longest_m"] is None else
            f"at most {text(figure(row['longest_m']), 'length', system)}",
            "designed_or_measured": f"{text(figure(row['length_m']), 'length', system)}, {row['elbows']} elbows",
            "verdict": str(row["verdict"]), "ruling": "",
        }
        for row in rows(outcome, "local_exhaust", "ducts")
    ]  # fmt: skip


def _make_up(outcome: Outcome, system: str) -> list[Row]:
    """Make-up air, a line a rule that speaks of the house."""
    found: list[Row] = []
    for row in rows(outcome, "make_up_air", "law"):
        if row["verdict"] in ("silent", "beside that"):
            continue
        what = f"make-up air, {row['machine']}" if row["machine"] else "make-up air"
        verdict = RULE_ON.get(str(row["verdict"]), str(row["verdict"]))
        found.append({
            "rule": f"{what}\n{_cited_in(row)}",
            "required": _flow(row["required_m3s"], system) if row["required_m3s"] else capital(str(row["text"])),
            "designed_or_measured": str(row["formula"]), "verdict": verdict, "ruling": str(row["ruling"] or ""),
        })  # fmt: skip
    return found
