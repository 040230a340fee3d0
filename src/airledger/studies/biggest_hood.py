"""The other way round: for each duct the wall can take, the biggest hood, and hood with dryer, within the limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airledger.findings import Finding
from airledger.house.house import Exhaust, House
from airledger.house.operating_state import Key, full_flow
from airledger.quantities import within_words
from airledger.search.bare import without_drawn
from airledger.search.freedoms import top_flow
from airledger.search.judge import Judged, Trial, judged_on
from airledger.search.limits import Limits
from airledger.search.options import ONE, TRADE_SIZES, TWO, Option, changed, stacked
from airledger.search.slots import Slots, slots
from airledger.search.states import Index
from airledger.search.work import Work
from airledger.search.worst import Survey, leaf_doors, outer_doors
from airledger.studies.protocol import Result, Row
from airledger.units import CFM, INCH

name = "biggest_hood"
needs = ("site", "envelope", "rooms", "exhausts")
reads = (
    "house", "levels", "rulings", "people", "openings", "ventilator", "make-up air", "appliances", "states", "limits",
    "stages", "prices",
)  # fmt: skip
after: tuple[str, ...] = ()

Array = NDArray[np.float64]
SMALLEST_HOOD, LARGEST_HOOD = 1 * CFM, 2_000 * CFM
ROUNDS = 5
INSIDE = -1e-3
SIZES_OF_TWO = (8, 10, 12)


@dataclass(frozen=True)
class Question:
    """One search: an option's openings, with the dryers or without."""

    option: Option
    with_dryer: bool


def run(house: House, options: Any, work: Work) -> Result:
    """For each duct size the biggest hood, and hood with dryer, within the limits.

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
    if place.machine is None:
        return Result()
    judged = work.limits()
    found = without_drawn(work.survey(), place, work.solver(place.house), judged)
    ducts = _ducts(place)
    stiff = _without_curve(place)
    questions = [Question(option, with_dryer) for option in ducts for with_dryer in (False, True)]
    flows = {False: _biggest(stiff, questions, found, judged, work)}
    if place.machine.fan_curve is not None or place.machine.rated is not None:
        flows[True] = _biggest(place, questions, found, judged, work)
    rows = [_row(option, index, flows, judged) for index, option in enumerate(ducts)]
    return Result(tuple(_findings(rows, place.machine, judged)), {"ducts": tuple(rows)})


def _ducts(place: Slots) -> list[Option]:
    starts = tuple(exhaust.name for exhaust in place.starting)
    one = Option(ONE, count=1, damper="motorized", starts_with=starts, waits=True)
    bare = [Option("none")]
    single = [replace(one, diameter=inches * INCH) for inches in TRADE_SIZES]
    return [*bare, *single, *(replace(one, family=TWO, count=2, diameter=inches * INCH) for inches in SIZES_OF_TWO)]


def _without_curve(place: Slots) -> Slots:
    """The house with a hood that holds its flow, the worst case for pressure."""
    machine = place.machine
    if machine is None or (machine.fan_curve is None and machine.rated is None):
        return place
    speeds = machine.speeds or (("high", top_flow(machine)),)
    stiff = replace(machine, fan_curve=None, rated=None, speeds=speeds)
    exhausts = tuple(stiff if exhaust is machine else exhaust for exhaust in place.house.exhausts)
    starting = tuple(stiff if exhaust is machine else exhaust for exhaust in place.starting)
    return replace(place, house=replace(place.house, exhausts=exhausts), machine=stiff, starting=starting)


def _biggest(
    place: Slots, questions: Sequence[Question], found: Survey, judged: Limits, work: Work
) -> list[tuple[float, Judged]]:
    """The largest rated flow of the hood for each question, all of them in one batch a round."""
    machine = place.machine
    if machine is None:
        return []
    numbers = {dryer: _deciding(found, place, dryer) for dryer in (False, True)}
    trial = Trial(
        place,
        replace(found.listing, house=place.house),
        numbers[False],
        numbers[False],
        work.solver(place.house),
        judged,
    )
    top = top_flow(machine)
    speed = top / full_flow(machine)
    low, high = np.full(len(questions), SMALLEST_HOOD / top), np.full(len(questions), LARGEST_HOOD / top)
    dryers = sum(top_flow(exhaust) for exhaust in place.starting if exhaust.name in place.dryers)
    besides = np.array([dryers / top if question.with_dryer else 0.0 for question in questions])
    at_low, at_high = (_tried(trial, questions, numbers, end, speed) for end in (low, high))
    bracket = Bracket(np.log(low + besides), np.log(high + besides), _used(at_low), _used(at_high))
    best, bound = np.where([one.holds for one in at_low], low, 0.0), at_low
    for _ in range(ROUNDS):
        work.check_cancelled()
        middle = bracket.next()
        factor = np.exp(middle) - besides
        bound = _tried(trial, questions, numbers, factor, speed)
        best = np.where([one.holds for one in bound], np.maximum(best, factor), best)
        bracket = bracket.narrowed(middle, _used(bound))
    return [(float(factor) * top, one) for factor, one in zip(best, bound, strict=True)]


def _used(judged: Sequence[Judged]) -> Array:
    """Logarithm of what is used up of the limit that binds, 0 a little inside of it."""
    return np.log([max(one.ratio, 1e-6) for one in judged]) - INSIDE


@dataclass(frozen=True)
class Bracket:
    """Sizes on a logarithmic scale between which the limit is met, with what they use up of it.

    What is used up rises nearly as a power of all that is blown out, so that a straight line on a log-log chart lands
    close; an end that stays twice counts half (the Illinois rule), so that both ends close in.
    """

    low: Array
    high: Array
    used_low: Array
    used_high: Array
    side: Array | None = None

    def next(self) -> Array:
        """The next size to try."""
        rise = np.maximum(self.used_high - self.used_low, 1e-12)
        along: Array = self.low + np.clip(-self.used_low / rise, 0.0, 1.0) * (self.high - self.low)
        return along

    def narrowed(self, tried: Array, used: Array) -> Bracket:
        """The bracket with a size tried in place of one of its ends.

        Parameters
        ----------
        tried : Array
            the sizes [-]
        used : Array
            what they use up [-]
        """
        inside = used <= 0
        side = np.where(inside, 1.0, -1.0)
        again = np.zeros_like(inside) if self.side is None else side == self.side
        used_low = np.where(inside, used, np.where(again, 0.5 * self.used_low, self.used_low))
        used_high = np.where(inside, np.where(again, 0.5 * self.used_high, self.used_high), used)
        return Bracket(np.where(inside, tried, self.low), np.where(inside, self.high, tried), used_low, used_high, side)


def _deciding(found: Survey, place: Slots, with_dryer: bool) -> Index:
    """The deepest combinations at the tight end with the hood at its top, dryers on or off, all else off."""
    listing = found.listing
    chosen = np.ones(len(found.numbers), dtype=bool)
    machine = place.machine
    for position, freedom in enumerate(listing.freedoms):
        digits = listing.digits(found.numbers, position)
        if freedom.kind == "tightness":
            chosen &= digits == 0
        if freedom.kind == "machine":
            on = machine is not None and (freedom.name in (machine.name, "machines"))
            on = on or (with_dryer and freedom.name in place.dryers)
            chosen &= digits == (len(freedom.choices) - 1 if on else 0)
    places = np.flatnonzero(chosen & ~found.unsolved)
    deepest = [int(places[np.argmin(found.house[places])])] if len(places) else []
    outer = [leaf_doors(listing.house).index(door) for door in outer_doors(listing.house)]
    for values in (*(-np.abs(found.doors[outer])), *found.depressurization):
        deepest += [int(places[np.argmin(values[places])])] if len(places) else []
    numbers: Index = found.numbers[np.array(sorted(set(deepest)), dtype=np.intp)]
    return numbers


def _tried(
    trial: Trial, questions: Sequence[Question], numbers: dict[bool, Index], factors: Array, at: float
) -> list[Judged]:
    """Every question at one size of its hood."""
    place = trial.place
    parts: list[dict[Key, Array]] = []
    rests: list[dict[Key, Array]] = []
    for question, factor in zip(questions, factors, strict=True):
        mine = numbers[question.with_dryer]
        columns = trial.listing.columns(mine)
        if place.machine is not None:
            columns["flow", place.machine.name] = np.full(len(mine), factor)
            columns["speed", place.machine.name] = np.full(len(mine), at)
        parts.append(changed(question.option, place, columns))
        still = trial.at_rest(mine)
        if still is not None:
            rests.append(changed(question.option, place, still))
    pulls = trial.pulls(stacked(parts), stacked(rests) if rests else None)
    judged, first = [], 0
    for question in questions:
        mine = numbers[question.with_dryer]
        part = pulls.of(slice(first, first + len(mine)))
        judged.append(judged_on(trial, question.option, 1.0, mine, part))
        first += len(mine)
    return judged


def _row(option: Option, index: int, flows: dict[bool, list[tuple[float, Judged]]], judged: Limits) -> Row:
    alone, with_dryer = flows[False][2 * index], flows[False][2 * index + 1]
    curved = flows.get(True)
    words = {0: "no opening", 1: f"one {option.inches} in", 2: f"two {option.inches} in"}
    return {
        "opening": words[option.count],
        "diameter_m": option.diameter,
        "count": option.count,
        "hood_m3s": alone[0],
        "hood_with_dryer_m3s": with_dryer[0],
        "hood_by_its_curve_m3s": curved[2 * index][0] if curved is not None else None,
        "hood_with_dryer_by_its_curve_m3s": curved[2 * index + 1][0] if curved is not None else None,
        "limit": "tolerated",
        "limit_pa": judged.house_pressure.tolerated,
        "bound_by": alone[1].bound_by,
    }


def _findings(rows: Sequence[Row], machine: Exhaust, judged: Limits) -> list[Finding]:
    by_name = {row["opening"]: row for row in rows}
    shown = [by_name[key] for key in ("no opening", "one 10 in", "two 10 in")]
    told = []
    for row in shown:
        flow = row["hood_m3s"]
        told.append(f"{row['opening']}: {within_words(float(flow or 0.0), 'air flow')}")
    message = f"The biggest {machine.name} the house takes by itself, whatever it moves for real: {'; '.join(told)}."
    return [
        Finding(
            study=name,
            code="biggest_hood",
            severity="ok",
            basis=judged.house_basis,
            where=machine.name,
            state="worst for the house",
            message=message,
            action="let the client pick within it",
            source=judged.house_source.text,
            confirmed=judged.house_source.confirmed,
            limit=judged.house_pressure.tolerated,
            unit="Pa",
        )
    ]
