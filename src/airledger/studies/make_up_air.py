"""Make-up air: every option solved and judged, the simplest that holds, or the plain statement that none does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from airledger.findings import Finding
from airledger.house.envelope import ach50
from airledger.house.house import House, Price
from airledger.rules.law_words import law_findings, law_row
from airledger.rules.make_up_trigger import make_up_trigger
from airledger.search import make_up_words as words
from airledger.search.bare import without_drawn
from airledger.search.binding import UNCONFIRMED, binding_of
from airledger.search.freedoms import top_flow
from airledger.search.judge import Judged, Trial, screened, verified
from airledger.search.limits import Limits
from airledger.search.make_up_actions import Action, Site, actions, cheapest
from airledger.search.moments import Moment, moments
from airledger.search.options import DRAWN, HEAT_PUMP, LEAST_HOOD, LESS, NONE, ONE, PREFERENCE, Option, all_options
from airledger.search.prices import Bill, bill, grille_speed, parts_of, wall_space
from airledger.search.slots import Slots, slots
from airledger.search.start import Start, start_of, start_rows, start_sentence
from airledger.search.states import Index
from airledger.search.tempered import tempered_rows, tempered_sentence
from airledger.search.wording import series
from airledger.search.work import Work
from airledger.search.worst import candidates
from airledger.sources import Source
from airledger.studies.protocol import Result, Row

name = "make_up_air"
needs = ("site", "envelope", "rooms", "exhausts")
reads = (
    "house", "levels", "rulings", "people", "openings", "ventilator", "make-up air", "appliances", "states", "limits",
    "stages", "prices", "rules", "start up",
)  # fmt: skip
after: tuple[str, ...] = ()

VERIFIED_ROUNDS = 16
NEAREST_MISSES = 3
ENOUGH = 0.02
Tried = tuple[Judged, Moment, Bill]


def run(house: House, options: Any, work: Work) -> Result:
    """All options in order, the one to build, the nearest misses and three actions.

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
    place = slots(house)
    numbers, highest = _deciding(place, work)
    trial = Trial(
        place=place,
        listing=replace(work.listing(), house=place.house),
        numbers=numbers,
        highest=highest,
        solve=work.solver(place.house),
        judged=work.limits(),
    )
    wanted = place.machine.wanted if place.machine is not None else None
    judged = screened(trial, all_options(place, wanted))
    doing = dict(zip((one.option for one in judged), moments(trial, judged, ach50(house).likely), strict=True))
    judged = ranked([_short(one, doing[one.option], place) for one in judged], house, place)
    prices: Sequence[Price] = work.data("prices")
    bills = {one.option: bill(parts_of(one.option, place, house), prices) for one in judged}
    judged = _verified(trial, judged, bills, house, work)
    tried = [(one, doing[one.option], bills[one.option]) for one in judged]
    rows = [_option_row(rank, entry, trial, house) for rank, entry in enumerate(tried, 1)]
    verdicts = make_up_trigger(house)
    recommendation = _recommendation(tried, place, trial.judged)
    steps = actions(tried[0], tried[1:], Site(house, place, trial.judged))
    tables: dict[str, Sequence[Row]] = {
        "options": rows,
        "recommendation": [recommendation],
        "misses": _misses(judged, place),
        "actions": _actions(steps),
        "law": [law_row(verdict) for verdict in verdicts],
    }
    findings = [*_findings(tried, place, trial.judged, steps[0]), *law_findings(verdicts, name)]
    for table, (lines, finding) in _beside(judged, trial, house).items():
        tables[table] = lines
        findings.append(finding)
    figures = {"pressure_by_size": _by_size(tried)}
    return Result(tuple(findings), {key: tuple(value) for key, value in tables.items()}, figures)


def _deciding(place: Slots, work: Work) -> tuple[Index, Index]:
    """The combinations that decide: without what is drawn, deepest first, then those that decide with it."""
    found = work.survey()
    numbers, highest = candidates(found)
    if not place.drawn:
        return numbers, highest
    bare, _ = candidates(without_drawn(found, place, work.solver(place.house), work.limits()))
    both = np.concatenate([bare, numbers[~np.isin(numbers, bare)]])
    return both, highest[~np.isin(highest, both)]


def _actions(steps: Sequence[Action]) -> list[Row]:
    return [{"order": order, "action": action, "detail": detail} for order, (action, detail) in enumerate(steps, 1)]


def ranked(judged: Sequence[Judged], house: House, place: Slots) -> list[Judged]:
    """Options in the order of recommendation: what holds, simplest first; then the misses, nearest first.

    Parameters
    ----------
    judged : sequence of Judged
        the options [-]
    house : House
        for what their parts need [-]
    place : Slots
        the house with every candidate [-]
    """

    def key(one: Judged) -> tuple[float, ...]:
        option = one.option
        if not one.holds:
            return (1.0, float(one.short > 0), one.ratio, option.preference, option.diameter or 0.0)
        unguarded = bool(option.damper == "motorized" and not option.waits)
        starts_with_all = len(option.starts_with) < len(place.starting) and not option.heat_pump_dryer
        return (
            0.0,
            option.preference,
            float(option.heat_pump_dryer and option.preference != PREFERENCE[HEAT_PUMP]),
            float(unguarded),
            float(starts_with_all and bool(option.starts_with)),
            -(option.hood_limit or 0.0),
            option.diameter or 0.0,
            len(parts_of(option, place, house)),
            float(not one.as_wanted),
            -one.pressure,
        )

    return sorted(judged, key=key)


def _verified(trial: Trial, judged: list[Judged], bills: dict[Option, Bill], house: House, work: Work) -> list[Judged]:
    """Every combination for the two options that the first page tells: the one at the top, the cheapest beside it.

    While that finds worse and re-ranks, the next ones.
    """
    current, done = judged, set()
    for _ in range(VERIFIED_ROUNDS):
        other = cheapest([(one, bills[one.option]) for one in current[1:]])
        told = [current[0], *([other[0]] if other is not None else [])]
        unsure = next((one for one in told if one.option not in done), None)
        if unsure is None:
            break
        done.add(unsure.option)
        work.check_cancelled()
        rest = [one for one in current if one is not unsure]
        current = ranked([verified(trial, unsure), *rest], house, trial.place)
    return current


def _option_row(rank: int, tried: Tried, trial: Trial, house: House) -> Row:
    one, doing, cost = tried
    option, place = one.option, trial.place
    holds = "does not hold" if not one.holds else ("holds" if one.as_wanted else "holds, not as wanted")
    space, cavity = wall_space(option, place)
    rated = doing.rated
    tightest = min(one.changes, key=lambda pair: pair[1], default=None)
    return {
        "rank": rank,
        "option": words.option_name(option, place),
        "short": words.short_name(option, place),
        "family": option.family,
        "parts": "; ".join(dict.fromkeys(f"{part.item} {part.size}".strip() for part in cost.parts)),
        "holds": holds,
        "house_pressure_pa": _likely(one, doing),
        "low_pa": one.pressure,
        "high_pa": one.shallowest,
        "worst_state": trial.listing.why(one.number),
        "fault_pressure_pa": one.fault_pressure,
        "fault_state": one.fault or None,
        "hood_rated_m3s": rated,
        "hood_m3s": doing.real,
        "hood_share_ratio": doing.real / rated if rated > 0 else None,
        "hood_loss_pa": -doing.pressure,
        "make_up_m3s": doing.make_up,
        "make_up_share_ratio": doing.make_up / rated if rated > 0 else None,
        "door_force_n": one.door_force if one.door else None,
        "door": one.door or None,
        "appliance": tightest[0] if tightest else None,
        "appliance_change_pa": tightest[1] if tightest else None,
        "heat_w": doing.heat,
        "water_kgs": doing.water,
        "heat_per_flow_ws_m3": doing.heat / doing.real if doing.real > 1e-6 else None,
        "water_per_flow_kg_m3": doing.water / doing.real if doing.real > 1e-6 else None,
        "grille_speed_ms": grille_speed(doing.make_up, option, place),
        "wall_space": space or None,
        "cavity": cavity or None,
        "trades": ", ".join(cost.trades),
        "power": words.power(option, place, house),
        "price_usd": cost.price,
        "diameter_m": option.diameter,
        "count": option.count,
        "note": words.note(one, cost, place),
    }


def _recommendation(tried: Sequence[Tried], place: Slots, judged: Limits) -> Row:
    one, doing, cost = tried[0]
    return {
        "verdict": "holds" if one.holds else "none holds",
        "option": words.option_name(one.option, place),
        "sentence": words.sentence(tried[0], tried[1:], place, judged),
        "house_pressure_pa": _likely(one, doing) if one.holds else one.pressure,
        "low_pa": one.pressure,
        "high_pa": one.shallowest,
        "price_usd": cost.price,
        "wait": words.can_wait([entry[0] for entry in tried], place, judged),
    }


def _misses(judged: Sequence[Judged], place: Slots) -> list[Row]:
    """The options that come nearest without holding, the simplest ones first named by what stops them."""
    missed = [one for one in judged if not one.holds][:NEAREST_MISSES]
    return [
        {
            "option": words.option_name(one.option, place),
            "short": words.short_name(one.option, place),
            "by_pa": one.miss,
            "why": words.why_not(one),
        }
        for one in sorted(missed, key=lambda one: (one.short > 0, one.miss))
    ]


def _likely(one: Judged, doing: Moment) -> float:
    """Pressure in the worst state at the likely tightness, within what was found at the ends [Pa]."""
    return min(max(doing.worst_at_likely, one.pressure), one.shallowest)


def _by_size(tried: Sequence[Tried]) -> dict[str, tuple[tuple[float, float], ...]]:
    """House pressure against the size of one opening that starts with everything, with the band of the tightness."""
    most = max((len(one.option.starts_with) for one, _, _ in tried if one.option.family == ONE), default=0)
    curve = []
    for one, doing, _ in tried:
        option = one.option
        plain = option.family == ONE and not option.filtered and option.waits and not option.heat_pump_dryer
        if plain and len(option.starts_with) == most and option.diameter is not None:
            curve.append((option.diameter, _likely(one, doing), one.tight, one.loose))
    curve.sort()
    return {
        "likely": tuple((size, middle) for size, middle, _, _ in curve),
        "tight": tuple((size, tight) for size, _, tight, _ in curve),
        "loose": tuple((size, loose) for size, _, _, loose in curve),
    }


def _short(one: Judged, doing: Moment, place: Slots) -> Judged:
    """The option with what its hood moves less than is wanted: a hood that the house chokes is no answer."""
    if place.machine is None or place.machine.kind != "hood":
        return one
    wanted = LEAST_HOOD if place.machine.wanted is None else place.machine.wanted
    wanted = min(wanted, top_flow(place.machine))
    return replace(one, short=max(0.0, wanted * (1 - ENOUGH) - doing.real))


def _findings(tried: Sequence[Tried], place: Slots, judged: Limits, step: Action) -> list[Finding]:
    """That the limits are passed as the house stands; what is the way out, or that there is none; its worst fault."""
    one = tried[0][0]
    code, severity = ("way_out", "ok") if one.holds else ("none_holds", "fail")
    if one.holds and one.option.family in (NONE, DRAWN):
        code = "nothing_needed"
    message = words.sentence(tried[0], tried[1:], place, judged)
    listed = [*_standing_findings(tried, judged), _bound_finding(code, severity, message, " ".join(step), one, judged)]
    listed += _fault_findings(one, place, judged)
    if one.holds and one.option.family == LESS and place.machine is not None and tried[0][1].real > 0:
        ask = words.less_hood(one.option, place)
        listed.append(_bound_finding("ask_the_client", "caution", ask, "ask the client", one, judged))
    return listed


def _standing_findings(tried: Sequence[Tried], judged: Limits) -> list[Finding]:
    """As drawn, or with nothing drawn, a limit is passed."""
    standing = next((one for one, _, _ in tried if one.option.family == DRAWN), None)
    how = "With the make-up air as drawn"
    if standing is None:
        standing = next((one for one, _, _ in tried if one.option.family == NONE), None)
        how = "Without make-up air"
    if standing is None or standing.holds:
        return []
    message = f"{how} it does not hold: {words.why_not(standing)} at worst."
    action = "build one of the ways that hold" if tried[0][0].holds else "none of the ways tried is enough"
    return [_bound_finding("passed_as_it_stands", "fail", message, action, standing, judged)]


def _fault_findings(one: Judged, place: Slots, judged: Limits) -> list[Finding]:
    limit = judged.house_pressure.tolerated
    if not one.holds or one.fault_pressure is None or (one.fault_pressure >= limit and not one.fault_appliance):
        return []
    held = one.option.waits
    message = words.fault_sentence(one, place)
    severity = "danger" if one.fault_appliance else "caution"
    action = (
        "hold the machines until the damper's end switch, or give an alarm" if not held else "give the fan an alarm"
    )
    return [_finding("fault_past_limit", severity, message, action, replace(one, pressure=one.fault_pressure), judged)]


def _beside(judged: Sequence[Judged], trial: Trial, house: House) -> dict[str, tuple[list[Row], Finding]]:
    """Beside the options: the start of what is drawn, else of the first way that has one; the first heater's loads."""
    told: dict[str, tuple[list[Row], Finding]] = {}
    place = trial.place
    drawn_first = sorted(judged, key=lambda one: one.option.family != DRAWN)
    opened, start = next(((one, start) for one in drawn_first if (start := start_of(trial, one))), (None, None))
    if opened is not None and start is not None:
        called = words.option_name(opened.option, place)
        rows = start_rows(start, called, trial.listing.why(start.number))
        told["start"] = (rows, _start_finding(start, opened, called, trial.judged))
    warmed = next((one for one in judged if one.option.tempered), None)
    if warmed is not None:
        action = "a licensed electrician sizes the circuit and its breaker"
        message = tempered_sentence(warmed.option, place, house)
        found = _finding("tempered_load", "ok", message, action, warmed, trial.judged)
        found = replace(found, message=message, basis="practice", source="common practice", confirmed=False)
        found = replace(found, value=None, low=None, high=None, limit=None, unit="", where="make-up air", state="")
        told["tempered"] = (tempered_rows(warmed.option, place, house), found)
    return told


def _start_finding(start: Start, one: Judged, called: str, judged: Limits) -> Finding:
    """How far down the house goes at the start, and what waiting for the end switch saves."""
    drawn = one.option.family == DRAWN
    waits = drawn and start.moving.waits
    severity = "caution" if start.at_once.below_tolerated > 0 and not waits else "ok"
    opens = f"the {series(start.moving.dampers)}" if drawn else called
    message = start_sentence(start, series(start.moving.machines), opens)
    action = "wire the machines to wait for the damper's end switch" if severity == "caution" else ""
    found = _finding("start_pull", severity, message, action, one, judged)
    lowest = start.at_once.lowest
    state = "while the damper opens"
    return replace(found, value=lowest, low=lowest, high=max(lowest, start.softened), state=state)


def _finding(code: str, severity: str, message: str, action: str, one: Judged, judged: Limits) -> Finding:
    """A finding on the house pressure."""
    source = judged.house_source
    return Finding(
        study=name,
        code=code,
        severity=severity,
        basis=judged.house_basis,
        where="house",
        state="worst for the house",
        message=message + _hedge(source),
        action=action,
        source=source.text,
        confirmed=source.confirmed,
        value=one.pressure,
        low=one.pressure if code != "fault_past_limit" else None,
        high=one.shallowest if code != "fault_past_limit" else None,
        limit=judged.house_pressure.tolerated,
        unit="Pa",
    )


def _bound_finding(code: str, severity: str, message: str, action: str, one: Judged, judged: Limits) -> Finding:
    """A finding on the limit that binds: the house's pressure, the pull at a door, or what an appliance can take."""
    found = _finding(code, severity, message, action, one, judged)
    bound = binding_of(one, judged)
    if bound.where == found.where:
        return found
    return replace(
        found, basis=bound.basis, where=bound.where, state=f"worst for {bound.where}", message=message + bound.hedge,
        source=bound.source.text, confirmed=bound.source.confirmed, value=bound.value, low=None, high=None,
        limit=bound.limit, unit=bound.unit,
    )  # fmt: skip


def _hedge(source: Source) -> str:
    return UNCONFIRMED if source.tag == "memory" else ""
