"""Air in, air out: the two-sided account of the named states, where air comes from, and the year's air by cause."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from airledger.findings import Finding
from airledger.house.assemble import LEAST_LEFT
from airledger.house.house import House
from airledger.house.ledger import Flow, StateResult
from airledger.house.operating_state import SEASON, OperatingState, Settings, full_flow, speeds_of, ventilator_settings
from airledger.house.outdoors import is_humid_climate, seasons
from airledger.house.readout import Readout
from airledger.quantities import within_words
from airledger.search.hours import YEAR, speed_share
from airledger.search.wording import amount
from airledger.search.work import Work
from airledger.studies.protocol import Result, Row

name = "air_balance"
needs = ("site", "envelope", "rooms")
reads = ("openings", "ventilator", "exhausts", "make-up air", "appliances", "states", "limits")
after: tuple[str, ...] = ()

COLD_WINTER = 5.0
SET_WITHIN = 0.01
WITHIN, EVEN = "within the goal", "even: the sign is left to chance"
STILL = 1e-4
NEAR_THE_AIM = 0.02
LEAST_SHARE = 5e-4
SEAL_FIRST = "seal the wall and door between it and the house before the pull is cured elsewhere"
GOALS = {
    "humid": (0.0, 0.10),
    "cold": (-0.10, 0.0),
    "both": (-0.05, 0.05),
    "neither": (-0.10, 0.10),
}


def run(house: House, options: Any, work: Work) -> Result:
    """Accounts, sources, the ventilator's balance and the year's air through the envelope.

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
    seen = work.named_at(None)
    states = [seen.state(i, s.name, s.kind, s.why) for i, s in enumerate(work.named())]
    inside = _inside(house)
    accounts = [row for state in states for row in account_rows(state, inside)]
    sources = [row for state in states for row in source_rows(state, inside, house)]
    balance = ventilator_rows(house, states, seen) if house.ventilator is not None else []
    yearly = yearly_rows(house, work)
    tables = {"account": accounts, "sources": sources, "ventilator": balance, "yearly_air": yearly}
    findings = [*_yearly_findings(yearly), *_balance_findings(house, balance), *_source_findings(sources)]
    findings += _envelope_findings(seen.model.left_for_envelope)
    return Result(tuple(findings), {key: tuple(value) for key, value in tables.items()})


def _inside(house: House) -> frozenset[str]:
    """The rooms within the envelope; what is neither one of them nor a buffer space nor outdoors is a duct junction."""
    return frozenset(room.name for room in house.conditioned)


def crossing(state: StateResult, inside: frozenset[str]) -> list[tuple[str, Flow, str]]:
    """Flows that cross the envelope: (side, flow, the room or junction inside).

    Air that a duct brings from outdoors to a junction and on into a room is counted once, where it enters the room.

    Parameters
    ----------
    state : StateResult
        a solved state [-]
    inside : frozenset of str
        rooms within the envelope [-]
    """
    found = []
    for flow in state.flows:
        enters, leaves = flow.to in inside, flow.from_ in inside
        if enters != leaves and flow.mass_flow > 0:
            found.append(("in" if enters else "out", flow, flow.to if enters else flow.from_))
    return found


def account_rows(state: StateResult, inside: frozenset[str]) -> list[Row]:
    """The two-sided account of the whole house, the biggest entry of each side first; sides equal by weight.

    Parameters
    ----------
    state : StateResult
        a solved state [-]
    inside : frozenset of str
        rooms within the envelope [-]
    """
    flows = crossing(state, inside)
    listed: list[Row] = []
    for side in ("in", "out"):
        mine = [(flow, place) for way, flow, place in flows if way == side]
        total = sum(flow.mass_flow for flow, _ in mine)
        for flow, place in sorted(mine, key=lambda entry: (-entry[0].mass_flow, entry[0].through, entry[1])):
            listed.append(
                {
                    "state": state.name,
                    "side": side,
                    "through": flow.through,
                    "kind": flow.kind,
                    "place": place,
                    "flow_m3s": flow.volume_flow,
                    "mass_flow_kgs": flow.mass_flow,
                    "share_ratio": flow.mass_flow / total if total > 0 else 0.0,
                }
            )
    return listed


def source_rows(state: StateResult, inside: frozenset[str], house: House) -> list[Row]:
    """Where the air that comes in comes from, ranked: leak paths, buffer spaces, ventilator, make-up air.

    Parameters
    ----------
    state : StateResult
        a solved state [-]
    inside : frozenset of str
        rooms within the envelope [-]
    house : House
        for its buffer spaces [-]
    """
    buffers = {room.name for room in house.rooms} - inside
    volumes: dict[str, float] = {}
    masses: dict[str, float] = {}
    for side, flow, _ in crossing(state, inside):
        if side == "in":
            source = _source(flow, buffers, house)
            volumes[source] = volumes.get(source, 0.0) + flow.volume_flow
            masses[source] = masses.get(source, 0.0) + flow.mass_flow
    total = sum(masses.values())
    ranked = sorted(
        (source for source, mass in masses.items() if mass > LEAST_SHARE * total),
        key=lambda source: (-masses[source], source),
    )
    return [
        {
            "state": state.name,
            "source": source,
            "flow_m3s": volumes[source],
            "share_ratio": masses[source] / total if total > 0 else 0.0,
        }
        for source in ranked
    ]


def _source(flow: Flow, buffers: set[str], house: House) -> str:
    if flow.from_ in buffers:
        return f"{flow.from_}, through {flow.through}" if flow.kind == "leak" else flow.from_
    if flow.kind == "ventilator":
        kind = house.ventilator.kind.upper() if house.ventilator is not None else "ventilator"
        return f"{kind} supply" if "supply" in flow.from_ or "supply" in flow.through else f"{kind}, running backwards"
    if flow.kind == "exhaust":
        return f"{flow.through.removesuffix(' duct')}, backwards"
    return flow.through


def ventilator_rows(house: House, states: Sequence[StateResult], seen: Readout) -> list[Row]:
    """The ventilator's two streams in each named state and whether their balance suits the climate.

    Parameters
    ----------
    house : House
        ventilator and climate [-]
    states : sequence of StateResult
        the named states [-]
    seen : Readout
        the same states, solved [-]
    """
    flows = seen.ventilator_flow()
    low, high = GOALS[climate(house)]
    listed: list[Row] = []
    for index, state in enumerate(states):
        supply, exhaust = float(flows[0][index]), float(flows[1][index])
        ratio = _balance(supply, exhaust)
        listed.append(
            {
                "state": state.name,
                "supply_m3s": supply,
                "exhaust_m3s": exhaust,
                "balance_ratio": ratio,
                "goal_low_ratio": low,
                "goal_high_ratio": high,
                "verdict": _balance_verdict(supply, exhaust, (low, high)),
            }
        )
    return listed


def _balance(supply: float, exhaust: float) -> float | None:
    """Supply over exhaust as a share of the larger; None where the unit is off or a stream runs backwards."""
    larger = max(supply, exhaust)
    return (supply - exhaust) / larger if larger > STILL and min(supply, exhaust) >= 0 else None


def _balance_verdict(supply: float, exhaust: float, goal: tuple[float, float]) -> str:
    """The balance in words; where the goal begins or ends at even, even leaves the sign to chance."""
    ratio = _balance(supply, exhaust)
    if ratio is None:
        if max(abs(supply), abs(exhaust)) <= STILL:
            return "off"
        return f"the {'exhaust' if exhaust < 0 else 'supply'} stream runs backwards"
    low, high = goal
    if abs(ratio) <= SET_WITHIN and 0.0 in goal:
        return EVEN
    if low <= ratio <= high:
        return WITHIN
    return "below the goal: too little in" if ratio < low else "above the goal: too much in"


def climate(house: House) -> str:
    """Which sign of imbalance a climate asks for: humid, cold, both or neither.

    Parameters
    ----------
    house : House
        its seasons [-]
    """
    humid = is_humid_climate(house)
    cold = any(season.outdoor_temperature < COLD_WINTER for season in house.site.seasons)
    if humid and cold:
        return "both"
    return "humid" if humid else ("cold" if cold else "neither")


def yearly_rows(house: House, work: Work) -> list[Row]:
    """Air through the envelope in a year, by cause: hours times (inflow with the machine minus without, else everyday).

    Parameters
    ----------
    house : House
        machines and their use [-]
    work : Work
        for solving [-]
    """
    causes = _causes(house)
    count = len(seasons(house))
    states = [OperatingState(cause, settings=settings) for cause, _, settings in causes]
    batch = Settings.of(house, states * count)
    index = np.repeat(np.arange(count, dtype=float), len(states))
    inflow = work.solver(house)(batch.with_({SEASON: index})).envelope_inflow().reshape(count, len(states))
    inflow = inflow.mean(axis=0)
    everyday, still = inflow[0], inflow[1]
    air: dict[str, tuple[float, float]] = {"wind and stack": (YEAR, YEAR * float(still))}
    if house.ventilator is not None:
        air["the ventilator's two streams not equal"] = (YEAR, YEAR * float(everyday - still))
    for (cause, seconds, _), flow in list(zip(causes, inflow, strict=True))[2:]:
        before = air.get(cause, (0.0, 0.0))
        air[cause] = (before[0] + seconds, before[1] + seconds * float(flow - everyday))
    ranked = sorted(air, key=lambda cause: -air[cause][1])
    return [{"cause": cause, "hours_s": air[cause][0], "air_m3": air[cause][1]} for cause in ranked]


Cause = tuple[str, float, tuple[tuple[tuple[str, str], float], ...]]


def _causes(house: House) -> list[Cause]:
    """Everyday, all off, and everyday with each machine at each of its speeds: (cause, seconds a year, settings)."""
    off = tuple(ventilator_settings(house, "off").items()) if house.ventilator is not None else ()
    causes: list[Cause] = [("everyday", YEAR, ()), ("all off", YEAR, off)]
    for exhaust in house.exhausts:
        for _, flow in speeds_of(exhaust):
            settings = ((("speed", exhaust.name), flow / full_flow(exhaust)),)
            causes.append((exhaust.name, YEAR * speed_share(exhaust), settings))
    return causes


def _yearly_findings(yearly: list[Row]) -> list[Finding]:
    """The headline of the year: which cause draws the most air through the walls."""
    first = yearly[0]
    air = amount(first["air_m3"])
    if air <= 0:
        return []
    rest = [f"{row['cause']} {within_words(amount(row['air_m3']), 'air a year')}" for row in yearly[1:3]]
    message = f"Most of the year's air through the walls: {first['cause']} {within_words(air, 'air a year')}"
    message += f"; then {', '.join(rest)}." if rest else "."
    return [_finding("yearly_air", "ok", ("envelope", ""), (message, ""), (air, "m3"))]


def _balance_findings(house: House, rows: list[Row]) -> list[Finding]:
    """How the first state in which the unit runs is balanced: that is how it is set."""
    row = next((row for row in rows if row["verdict"] != "off"), None)
    if row is None:
        return []
    state, verdict, value = str(row["state"]), str(row["verdict"]), None
    low, high = amount(row["goal_low_ratio"]), amount(row["goal_high_ratio"])
    if row["balance_ratio"] is None:
        message = f'In "{state}" {verdict}: nothing can be said of its balance.'
        told = (message, "take what pulls so hard out of that state, or give it make-up air")
    else:
        value = amount(row["balance_ratio"])
        message = f'In "{state}" supply is {_percent(value)} % against exhaust; {_asked(climate(house), low, high)}.'
        if verdict == EVEN:
            message += " Even is on the edge: a loading filter decides the sign."
        aim = (low + high) / 2
        between = f"{_percent(aim - NEAR_THE_AIM)} to {_percent(aim + NEAR_THE_AIM)} %"
        action = f"set the balancing dampers by the unit's flow stations; aim for {between}"
        told = (message, "" if verdict == WITHIN else action)
    severity = "ok" if verdict == WITHIN else "caution"
    return [_finding("ventilator_balance", severity, ("ventilator", state), told, (value, "-"))]


def _asked(kind: str, low: float, high: float) -> str:
    where = {"humid": "a humid climate", "cold": "a cold climate", "both": "a humid summer and a cold winter"}
    asks = "ask" if kind == "both" else "asks"
    return f"{where.get(kind, 'this climate')} {asks} for {_percent(low)} to {_percent(high)} %"


def _percent(ratio: float) -> str:
    """A share in whole percent with its sign; none at even."""
    whole = round(100 * ratio)
    return f"{whole:+d}".replace("-", "−") if whole else "0"


def _envelope_findings(left: float) -> list[Finding]:
    """The openings of the file take most of what the house was tested to leak."""
    if left >= LEAST_LEFT:
        return []
    taken = 100 * (1 - left)
    message = (
        f"The openings in the file pass {taken:.0f} % of what the house leaks at 50 Pa: the envelope gets the rest."
    )
    action = "check what was sealed during the blower-door test, and list it under  taped at the test"
    return [_finding("little_left", "caution", ("envelope", ""), (message, action), (left, "-"))]


def _source_findings(sources: list[Row]) -> list[Finding]:
    """Air from a garage or a crawl space: its share matters more than the total."""
    listed = []
    for row in sources:
        source = str(row["source"]).lower()
        if ("garage" in source or "crawl" in source) and amount(row["share_ratio"]) > 0.01:
            share = amount(row["share_ratio"])
            message = f'In "{row["state"]}" {100 * share:.0f} % of the air that comes in comes from {row["source"]}.'
            listed.append(
                _finding(
                    "air_from_buffer",
                    "caution",
                    (str(row["source"]), str(row["state"])),
                    (message, SEAL_FIRST),
                    (share, "-"),
                )
            )
    return listed


def _finding(
    code: str, severity: str, place: tuple[str, str], told: tuple[str, str], figure: tuple[float | None, str]
) -> Finding:
    """A finding of practice. place: where and state; told: message and action; figure: value and unit."""
    return Finding(
        study=name,
        code=code,
        severity=severity,
        basis="practice",
        where=place[0],
        state=place[1],
        message=told[0],
        action=told[1],
        source="common practice",
        confirmed=False,
        value=figure[0],
        unit=figure[1],
    )
