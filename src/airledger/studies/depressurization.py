"""How hard the house is pulled: the named states, and the worst one for the house, each room, appliance and door."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from airledger.findings import Finding
from airledger.house.envelope import ach50
from airledger.house.house import House
from airledger.search.beside import beside_the_pull
from airledger.search.capture import capture_rows
from airledger.search.faults import Fault, failed, faults_of
from airledger.search.hours import yearly_hours
from airledger.search.limits import PAST, Limits, both_ends, pressure_verdict
from airledger.search.states import Listing
from airledger.search.surveyed import worst_under
from airledger.search.wind import wind_rows, windy
from airledger.search.wording import amount, capital, pascals, series
from airledger.search.work import Work
from airledger.search.worst import Survey, Worst, direction_of, state_names, worst_of
from airledger.studies.protocol import Result, Row

name = "depressurization"
needs = ("site", "envelope", "rooms")
reads = ("openings", "ventilator", "exhausts", "make-up air", "appliances", "states", "limits")
after: tuple[str, ...] = ()

HOOD_GIVES_UP = -100.0
CLEARLY = 1.1


def run(house: House, options: Any, work: Work) -> Result:
    """The pull in the named states and in the worst ones.

    Parameters
    ----------
    house : House
        what the file says [-]
    options : object
        none yet [-]
    work : Work
        solving and what is shared [-]
    """
    del options
    judged, found = work.limits(), work.survey()
    named = named_rows(house, work, judged)
    blown = work.solver(windy(found.listing.house))
    worst = worst_of(found, judged)
    names = state_names(found, worst)
    rows = ranked([worst_row(found, one, names[int(found.numbers[one.place])]) for one in worst])
    faults = fault_rows(found, judged, house, work)
    findings = [
        *_named_findings(named, judged),
        *_worst_findings(rows[0], worst[0], found, judged),
        *_appliance_findings(rows, faults, judged),
        *_fault_findings(faults, worst[0].value, judged),
        *_search_findings(found),
        *beside_the_pull(name, found, blown, worst[0]),
    ]
    fans = capture_rows(house, work.named_at(None), [state.name for state in work.named()])
    tables: dict[str, Sequence[Row]] = {"named": named, "worst": [*rows, *faults], "fans": fans}
    tables["wind"] = wind_rows(found, blown, judged, worst)
    return Result(tuple(findings), {key: tuple(value) for key, value in tables.items()})


def named_rows(house: House, work: Work, judged: Limits) -> list[Row]:
    """The named states: pressure at the likely tightness with its range, and the lowest room.

    Parameters
    ----------
    house : House
        its rooms and tightness [-]
    work : Work
        for the named states [-]
    judged : Limits
        the limits [-]
    """
    limit = judged.house_pressure
    likely = work.named_at(None)
    ends = [work.named_at(end).house_pressure() for end in ach50(house).ends]
    rooms = [room.name for room in house.conditioned]
    pressures = np.array([likely.room_pressure(room) for room in rooms])
    listed: list[Row] = []
    for index, state in enumerate(work.named()):
        value = float(likely.house_pressure()[index])
        several = [value, *(float(end[index]) for end in ends)]
        lowest = int(np.argmin(pressures[:, index]))
        verdict = both_ends(tuple(pressure_verdict(one, limit) for one in several))
        listed.append(
            {
                "state": state.name,
                "kind": state.kind,
                "house_pressure_pa": value,
                "low_pa": min(several),
                "high_pa": max(several),
                "reference_room": likely.reference_room()[index],
                "worst_room": rooms[lowest],
                "worst_room_pressure_pa": float(pressures[lowest, index]),
                "wanted_pa": limit.wanted,
                "tolerated_pa": limit.tolerated,
                "verdict": verdict,
            }
        )
    return listed


def worst_row(found: Survey, one: Worst, state: str, fault: Fault | None = None) -> Row:
    """One worst state as a line of the table.

    Parameters
    ----------
    found : Survey
        where it was found [-]
    one : Worst
        the worst [-]
    state : str
        what to call the state [-]
    fault : Fault
        what failed in it; None for a normal state [-]
    """
    number = int(found.numbers[one.place])
    taken = {freedom.kind: choice for freedom, choice in found.listing.choices(number)}
    is_door = one.kind == "door"
    why = found.listing.why(number)
    return {
        "target": one.target,
        "target_kind": one.kind,
        "state": state,
        "kind": "normal" if fault is None else "fault",
        "why": why if fault is None else f"{fault.why}; {why}",
        "ach50": taken["tightness"].settings[0][1],
        "season": taken["season"].words,
        "pressure_pa": float(found.house[one.place]) if is_door else one.value,
        "force_n": abs(one.value) if is_door else None,
        "direction": direction_of(one.value) if is_door else None,
        "hours_s": yearly_hours(found.listing.share_of_year(number)),
        "proof": "best found" if one.target in found.open else found.proof,
    }


def ranked(rows: list[Row]) -> list[Row]:
    """The worst states with their rank by pull and by hours a year, 1 = hardest, 1 = most often; alike share a rank.

    Often and mild against seldom and hard is the owner's to weigh; at an appliance only the hardest counts.

    Parameters
    ----------
    rows : list of dict
        lines of `worst_row` [-]
    """
    pulls = sorted({amount(row["pressure_pa"]) for row in rows})
    hours = sorted({amount(row["hours_s"]) for row in rows}, reverse=True)
    return [
        {
            **row,
            "pull_rank": 1 + pulls.index(amount(row["pressure_pa"])),
            "hours_rank": 1 + hours.index(amount(row["hours_s"])),
        }
        for row in rows
    ]


def fault_rows(found: Survey, judged: Limits, house: House, work: Work) -> list[Row]:
    """The worst state for the house, and for each appliance, under each single fault.

    Parameters
    ----------
    found : Survey
        the normal states, solved [-]
    judged : Limits
        the limits [-]
    house : House
        what may fail in it [-]
    work : Work
        for solving [-]
    """
    listed = []
    at_top = not any(arrangement.starts_with for arrangement in house.make_up_air or ())
    for fault in faults_of(house):
        work.check_cancelled()
        tried = worst_under(
            found.listing,
            work.solver(house),
            judged,
            lambda columns, fault=fault: failed(columns, fault),  # type: ignore[misc]
            at_top,
        )
        for one in worst_of(tried, judged):
            if one.kind in ("house", "appliance"):
                listed.append(worst_row(tried, one, fault.name, fault))
    return listed


def _pressure_finding(row: Row, judged: Limits, state: str, code: str, where: str) -> Finding:
    limit, source = judged.house_pressure, judged.house_source
    value = amount(row["pressure_pa"])
    verdict = pressure_verdict(value, limit)
    bound = limit.tolerated if verdict == PAST else limit.wanted
    hedge = "" if source.confirmed else ", a limit recalled and unconfirmed"
    severity = "fail" if verdict == PAST else ("ok" if value >= limit.wanted else "caution")
    told = {
        "fail": f"more than the {pascals(bound)} that is tolerated{hedge}",
        "caution": f"more than the {pascals(bound)} that is wanted{hedge}",
        "ok": f"within the {pascals(bound)} that is wanted{hedge}",
    }[severity]
    action = "give it make-up air or a smaller pull: see the make-up air options" if severity != "ok" else ""
    message = capital(f"{row['why']}: the house stands at {pascals(value)} against outdoors, {told}.")
    return Finding(
        study=name,
        code=code,
        severity=severity,
        basis=judged.house_basis,
        where=where,
        state=state,
        message=message,
        action=action,
        source=source.text,
        confirmed=source.confirmed,
        value=value,
        low=_number(row.get("low_pa")),
        high=_number(row.get("high_pa")),
        limit=bound,
        unit="Pa",
    )


def _number(cell: object) -> float | None:
    return float(cell) if isinstance(cell, int | float) else None


def _named_findings(named: list[Row], judged: Limits) -> list[Finding]:
    found = []
    for row in named:
        if row["verdict"] != "as wanted":
            worst = {**row, "pressure_pa": row["low_pa"], "why": f'"{row["state"]}" at the tight end'}
            if row["low_pa"] == row["high_pa"]:
                worst["why"] = f'"{row["state"]}"'
            finding = _pressure_finding(worst, judged, str(row["state"]), "named_state_pull", "house")
            is_fault = row["kind"] == "fault" and finding.severity == "fail"
            found.append(replace(finding, severity="caution") if is_fault else finding)
    return found


def _worst_findings(row: Row, one: Worst, found: Survey, judged: Limits) -> list[Finding]:
    listed = [_pressure_finding(row, judged, str(row["state"]), "worst_pull", "house")]
    if one.value < HOOD_GIVES_UP:
        message = (
            f"At {pascals(one.value)} no ordinary machine moves its rated air: the hood will not do what its box says, "
            "and a machine without a curve is shown as if it did."
        )
        listed.append(
            Finding(
                study=name,
                code="machines_give_up",
                severity="caution",
                basis="practice",
                where="house",
                state=str(row["state"]),
                message=message,
                action="give the fan curves of the machines",
                source="common practice",
                confirmed=False,
                value=one.value,
                limit=HOOD_GIVES_UP,
                unit="Pa",
            )
        )
    return listed


def _appliance_findings(rows: list[Row], faults: list[Row], judged: Limits) -> list[Finding]:
    listed = []
    for appliance in judged.appliances:
        for row in [row for row in (*rows, *faults) if row["target"] == appliance.name]:
            value = amount(row["pressure_pa"])
            passed = value < appliance.pressure
            normal = next(amount(r["pressure_pa"]) for r in rows if r["target"] == appliance.name)
            if row["kind"] == "fault" and not (passed and _news(value, normal, appliance.pressure)):
                continue
            told = "more than" if passed else "within"
            hedge = "" if appliance.source.confirmed else " (unconfirmed)"
            message = (
                f"The fans pull {pascals(max(-value, 0.0))} at the {appliance.name}, {told} the "
                f"{pascals(-appliance.pressure)}{hedge} that it can take: {row['why']}. Its flue was taken as shut."
            )
            action = "do not light it until a licensed person has done a combustion test with the fans on"
            listed.append(
                Finding(
                    study=name,
                    code="appliance_pull",
                    severity="danger" if passed else "ok",
                    basis="standard",
                    where=appliance.name,
                    state=str(row["state"]),
                    message=message,
                    action=action if passed else "",
                    source=appliance.source.text,
                    confirmed=appliance.source.confirmed,
                    value=value,
                    limit=appliance.pressure,
                    unit="Pa",
                )
            )
    return listed


def _news(fault: float, normal: float, limit: float) -> bool:
    """Whether a fault says more than the normal worst: that passes no limit itself, or is clearly less deep."""
    return normal >= limit or fault < CLEARLY * normal


def _fault_findings(faults: list[Row], normal: float, judged: Limits) -> list[Finding]:
    limit = judged.house_pressure.tolerated
    listed = []
    for row in faults:
        value = amount(row["pressure_pa"])
        if row["target_kind"] == "house" and value < limit and _news(value, normal, limit):
            message = f"If {row['why']}: the house stands at {pascals(value)}, past the {pascals(limit)} tolerated."
            listed.append(
                Finding(
                    study=name,
                    code="fault_pull",
                    severity="caution",
                    basis=judged.house_basis,
                    where="house",
                    state=str(row["state"]),
                    message=message,
                    action="hold the machines back, or give an alarm",
                    source=judged.house_source.text,
                    confirmed=judged.house_source.confirmed,
                    value=value,
                    limit=limit,
                    unit="Pa",
                )
            )
    return listed


def _search_findings(found: Survey) -> list[Finding]:
    listing: Listing = found.listing
    listed = []
    refused = np.flatnonzero(found.refused)
    if len(refused):
        first = int(refused[np.argmax(found.house[refused])])
        running = listing.why(int(found.numbers[first])).partition(";")[0]
        message = (
            f"With {running} the house would pass 1,000 Pa if the machines held their flow; "
            f"no fan does: they will move far less than their rating. {len(refused):,} of {len(found.numbers):,} ways "
            "to run the house are like that and are not among the worst states shown."
        )
        listed.append(
            Finding(
                study=name,
                code="no_fan_could",
                severity="fail",
                basis="practice",
                where="house",
                state=running,
                message=message,
                action="give the machines' fan curves, or pick smaller ones",
                source="common practice",
                confirmed=False,
                limit=-1000.0,
                unit="Pa",
            )
        )
    if found.open:
        message = f"The worst pull at {series(list(found.open))} is the worst found, not proved; all else is proved."
        listed.append(_unknown("best_found", message, "name the states that worry you in the house file"))
    elif listing.left_out:
        message = f"Not every combination was tried, the worst is the worst found: {'; '.join(listing.left_out)}."
        listed.append(_unknown("best_found", message, "name the states that worry you in the house file"))
    return listed


def _unknown(code: str, message: str, action: str) -> Finding:
    return Finding(
        study=name,
        code=code,
        severity="unknown",
        basis="practice",
        where="house",
        state="",
        message=message,
        action=action,
        source="",
        confirmed=True,
    )
