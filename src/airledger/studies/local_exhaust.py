"""What kitchens, baths and laundries have to get rid of by the rules of the place, beside what takes air from them.

And how long the ducts of fans and dryers may be, where they are drawn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from airledger import parts
from airledger.errors import OutOfRange
from airledger.findings import Finding
from airledger.house.duct_terms import section
from airledger.house.house import Duct, Exhaust, House, Room
from airledger.quantities import within_words
from airledger.rules.exhaust_ducts import FLEX, SMOOTH, DuctLength, dryer_duct, exhaust_duct
from airledger.rules.jurisdictions import Jurisdiction, jurisdiction
from airledger.rules.local_exhaust import ExhaustAnswer, exhaust_of, local_exhaust
from airledger.search.freedoms import top_flow
from airledger.search.work import Work
from airledger.studies.protocol import Result, Row

name = "local_exhaust"
needs = ("site", "rooms")
reads = ("ventilator", "exhausts", "rulings", "rules")
after: tuple[str, ...] = ()

MODEL_RULES = ("irc kitchen", "irc bath")
KINDS = {"bath": "bath", "shower": "bath", "kitchen": "kitchen", "laundry": "laundry", "utility": "utility",
         "toilet": "toilet", "powder": "toilet", "half bath": "toilet"}  # fmt: skip
ENOUGH = 0.995
MODEL_DUCTS = ("exhaust duct length", "dryer duct length")
"""Tables of ducts that are told, unconfirmed, where nobody looked the place up."""
FAN, DRYER = "duct of a fan", "duct of a dryer"
TOO_LONG, NOT_READ = "longer than the table lets it be", "the table does not speak of it"
INSTEAD = "make it shorter or wider; the maker's design, or a flow measured at the grille, may stand instead"
BY_MAKER = "make it shorter, or go by the dryer maker's instructions"


@dataclass(frozen=True)
class WetRoom:
    """A room that has to get rid of air. all_day, boost, own [m3/s]: by the ventilator low and top, by its own fans."""

    room: Room
    kind: str
    all_day: float
    boost: float
    own: float
    by: tuple[str, ...]


def run(house: House, options: Any, work: Work) -> Result:
    """Every wet room against every local rule of the place.

    Parameters
    ----------
    house : House
        what the file says [-]
    options : object
        none yet [-]
    work : Work
        the local rules that the house names [-]
    """
    del options
    own = work.data("local rules").get("exhaust", ())
    place = jurisdiction(house.site.place)
    rows: list[Row] = []
    findings: list[Finding] = []
    for wet in wet_rooms(house):
        local = [exhaust_of(entry) for entry in own]
        answers = [*local, *(local_exhaust(key, _volume(wet.room)) for key in place.local or MODEL_RULES)]
        asked = [answer for answer in answers if answer.room == wet.kind]
        if not asked:
            rows.append(_silent(wet))
        for answer in asked:
            adopted = answer in local or (place.source.confirmed and bool(place.local))
            row = _row(wet, answer, adopted)
            rows.append(row)
            findings.append(_finding(wet, answer, row, place))
    ducts = [
        _drawn(machine, machine.duct, place)
        for machine in house.exhausts
        if machine.duct is not None and _is_ruled(machine, place)
    ]
    findings += [_duct_finding(row, place) for row in ducts]
    return Result(tuple(findings), {"rooms": tuple(rows), "ducts": tuple(ducts)}, {})


def wet_rooms(house: House) -> tuple[WetRoom, ...]:
    """The rooms that have to get rid of air, by their names and their machines, with what takes air from them.

    Parameters
    ----------
    house : House
        its rooms, ventilator and exhausts [-]
    """
    found = []
    for room in house.conditioned:
        machines = [m for m in house.exhausts if m.room == room.name and m.vented != "heat pump"]
        kind = next((kind for word, kind in reversed(KINDS.items()) if word in room.name.lower()), "")
        if any(machine.kind == "hood" for machine in machines):
            kind = kind or "kitchen"
        if not kind:
            continue
        own = [m for m in machines if m.kind in (("hood",) if kind == "kitchen" else ("bath fan", "exhaust"))]
        share, by = 0.0, [machine.name for machine in own]
        low = top = 0.0
        if house.ventilator is not None:
            share = dict(house.ventilator.takes_from).get(room.name, 0.0)
            low, top = (share * house.ventilator.speeds[place].exhaust for place in (0, -1))
            by += [house.ventilator.kind.upper()] if share else []
        found.append(WetRoom(room, kind, low, top, sum(top_flow(machine) for machine in own), tuple(by)))
    return tuple(found)


def _is_ruled(machine: Exhaust, place: Jurisdiction) -> bool:
    """Whether a rule of the place speaks of a machine's duct."""
    tables = place.tables if place.looked_up else MODEL_DUCTS
    name = {"dryer": "dryer duct length", "bath fan": "exhaust duct length", "exhaust": "exhaust duct length"}
    return name.get(machine.kind) in tables and machine.vented != "heat pump"


def _drawn(machine: Exhaust, duct: Duct, place: Jurisdiction) -> Row:
    """A duct as drawn, beside the longest that its table lets it be."""
    straight = sum(item.length for item in machine.run if item.kind == "straight")
    elbows = [item for item in machine.run if item.kind == "elbow"]
    try:
        if machine.kind == "dryer":
            # how a bend is made is not told: mitered takes the most
            longest = dryer_duct([("mitered", 45 if elbow.angle <= 45.0 else 90) for elbow in elbows])
        else:
            made_of = FLEX if parts.is_flexible(duct.made_of) else SMOOTH
            longest = exhaust_duct(top_flow(machine), _diameter(duct), made_of, len(elbows))
    except OutOfRange:
        longest = None
    return {
        "machine": machine.name,
        "rule": DRYER if machine.kind == "dryer" else FAN,
        "section": "" if longest is None else longest.section,
        "length_m": straight,
        "elbows": len(elbows),
        "longest_m": None if longest is None or math.isinf(longest.length) else longest.length,
        "verdict": _length_verdict(straight, longest),
        "confirmed": "yes" if longest is not None and longest.source.confirmed and place.source.confirmed else "no",
        "source": "" if longest is None else longest.source.text,
    }


def _diameter(duct: Duct) -> float:
    """Of a round duct, or hydraulic [m]; 0 where the file gives no size, which is not in the table."""
    told = duct.diameter is not None or (duct.width and duct.height)
    return section("a duct", duct)[0] if told else 0.0


def _length_verdict(straight: float, longest: DuctLength | None) -> str:
    if longest is None:
        return NOT_READ
    if math.isinf(longest.length):
        return "no limit at this size"
    return "within the table" if longest.allowed and straight <= longest.length * (1.0 + 1e-9) else TOO_LONG


def _duct_finding(row: Row, place: Jurisdiction) -> Finding:
    verdict, longest = str(row["verdict"]), row["longest_m"]
    sure = row["confirmed"] == "yes"
    drawn = f"{within_words(float(str(row['length_m'])), 'length')} with {row['elbows']} elbows"
    allowed = f"; at most {within_words(float(str(longest)), 'length')}" if longest is not None else ""
    cited = f" (IRC {row['section']}{'' if sure else ', unconfirmed here'})" if row["section"] else ""
    message = f"{row['machine']}: its duct is {drawn}{allowed}{cited}: {verdict}."
    met = verdict not in (TOO_LONG, NOT_READ)
    by_maker = BY_MAKER if row["rule"] == DRYER else INSTEAD
    action = by_maker if verdict == TOO_LONG else "go by the fan maker's design of the duct"
    return Finding(
        study=name, code="exhaust_duct_length", severity="ok" if met else "unknown", basis="law",
        where=str(row["machine"]), state="", message=message[:1].upper() + message[1:],
        action="" if met else action,
        source=str(row["source"]) or place.source.text, confirmed=sure, value=float(str(row["length_m"])),
        limit=None if longest is None else float(str(longest)), unit="m",
    )  # fmt: skip


def _volume(room: Room) -> float:
    return room.volume if room.volume is not None else room.area * room.ceiling


def _silent(wet: WetRoom) -> Row:
    told: Row = {"room": wet.room.name, "kind": wet.kind, "rule": "the code is silent", "section": ""}
    told |= {"all_day_m3s": wet.all_day, "boost_m3s": wet.boost, "own_m3s": wet.own}
    told |= {"asks_all_day_m3s": None, "asks_on_demand_m3s": None, "by": ", ".join(wet.by)}
    return told | {"verdict": "silent", "confirmed": "yes", "source": ""}


def _row(wet: WetRoom, answer: ExhaustAnswer, adopted: bool) -> Row:
    return {
        "room": wet.room.name,
        "kind": wet.kind,
        "rule": answer.code,
        "section": answer.section,
        "all_day_m3s": wet.all_day,
        "boost_m3s": wet.boost,
        "own_m3s": wet.own,
        "asks_all_day_m3s": answer.continuous,
        "asks_on_demand_m3s": answer.on_demand,
        "by": ", ".join(wet.by),
        "verdict": _verdict(wet, answer),
        "confirmed": "yes" if answer.source.confirmed and adopted else "no",
        "source": answer.source.text,
    }


def _verdict(wet: WetRoom, answer: ExhaustAnswer) -> str:
    """All day, on demand by the boost, or on demand by a fan of its own: any of them is enough."""
    if answer.continuous is not None and wet.all_day >= ENOUGH * answer.continuous:
        return "met all day"
    if answer.on_demand is not None and wet.own >= ENOUGH * answer.on_demand:
        return "met on demand"
    if answer.on_demand is not None and wet.boost >= ENOUGH * answer.on_demand:
        return "met on boost"
    if answer.continuous is not None and wet.boost >= ENOUGH * answer.continuous:
        return "met all day only if the boost runs all day"
    return "not met" if wet.by else "nothing takes air from it"


def _finding(wet: WetRoom, answer: ExhaustAnswer, row: Row, place: Jurisdiction) -> Finding:
    verdict = str(row["verdict"])
    met = verdict in ("met all day", "met on demand", "met on boost")
    sure = row["confirmed"] == "yes"
    asks = " or ".join(
        f"{within_words(flow, 'air flow')} {how}"
        for flow, how in ((answer.on_demand, "on demand"), (answer.continuous, "all day"))
        if flow is not None
    )
    gives = [f"{within_words(wet.own, 'air flow')} by {wet.by[0]}"] if wet.own else []
    if wet.boost:
        gives.append(
            f"{within_words(wet.all_day, 'air flow')} all day and {within_words(wet.boost, 'air flow')} on boost"
        )
    hedge = "" if sure else ", unconfirmed here"
    message = f"{wet.room.name}: {asks} ({answer.code}{hedge}); it has {' and '.join(gives) or 'nothing'}: {verdict}."
    action = "" if met else "take a bigger share from this room, boost higher, or give it a fan; the shares make 100 %"
    severity = "ok" if met else ("fail" if sure else "unknown")
    if not met and not sure:
        action = f"ask the official whether the rule holds here; if so, {action}"
    best = max(wet.own, wet.boost)
    return Finding(
        study=name, code="local_exhaust", severity=severity, basis="law", where=wet.room.name, state="",
        message=message[:1].upper() + message[1:], action=action, source=f"{answer.source.text}; {place.source.text}"
        if place.source.name else answer.source.text, confirmed=sure,
        value=best, limit=answer.on_demand if answer.on_demand is not None else answer.continuous, unit="m3/s",
    )  # fmt: skip
