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
from airledger.search.binding import Binding, binding_of
from airledger.search.freedoms import top_flow
from airledger.search.judge import Judged, Pulls, Trial, judged_on
from airledger.search.limits import Limits
from airledger.search.options import LEAST_HOOD, ONE, TRADE_SIZES, TWO, Option, changed, stacked
from airledger.search.slots import Slots, slots
from airledger.search.states import Index
from airledger.search.wording import pascals
from airledger.search.work import Work
from airledger.search.worst import Survey, leaf_doors, outer_doors
from airledger.studies.protocol import Result, Row
from airledger.units import CFM, INCH

name = "biggest_hood"
needs = ("site", "envelope", "rooms", "exhausts")
reads = (
    "house", "levels", "rulings", "people", "openings", "ventilator", "make-up air", "appliances", "states", "limits",
    "stages", "prices", "rules", "start up",
)  # fmt: skip
after: tuple[str, ...] = ()

Array = NDArray[np.float64]
Decisive = dict[bool, Index]
SMALLEST_HOOD, LARGEST_HOOD = 1 * CFM, 2_000 * CFM
ROUNDS = 5
INSIDE = -1e-3
MOST_TRIED = 2_000
SIZES_OF_TWO = (8, 10, 12)
CHECKED = (0, 10)
"""Openings [in], one or two, whose hoods are tried in every combination; all of them where an appliance is watched."""


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
    flows = {}
    flows[False], decisive = _biggest(stiff, questions, found, judged, work)
    if stiff is not place:
        flows[True], _ = _biggest(place, questions, found, judged, work, decisive)
    rows = [_row(option, index, flows, judged) for index, option in enumerate(ducts)]
    biggest = max(flows[False][::2], key=lambda found: found[0])
    return Result(tuple(_findings(rows, place.machine, biggest, judged)), {"ducts": tuple(rows)})


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
    place: Slots,
    questions: Sequence[Question],
    found: Survey,
    judged: Limits,
    work: Work,
    decisive: Decisive | None = None,
) -> tuple[list[tuple[float, Judged]], Decisive]:
    """The largest rated flow of the hood for each question, all of them in one batch a round.

    With it the combinations that decided. A hood on its curve starts from those of the hood that holds its flow, which
    pulls harder in each of them, and is then tried in every combination only where an appliance is watched.
    """
    machine = place.machine
    trial = Trial(
        place,
        replace(found.listing, house=place.house),
        found.numbers[:0],
        found.numbers[:0],
        work.solver(place.house),
        judged,
    )
    every = {dryer: _with_hood(found, place, dryer) for dryer in (False, True)}
    checked = range(0) if decisive else CHECKED
    numbers = decisive or {dryer: _hardest(found, every[dryer], trial) for dryer in (False, True)}
    while machine is not None:
        best, bound = _search(trial, questions, numbers, work)
        passed = _passed(trial, questions, best, every, checked)
        if not any(len(more) for more in passed.values()):
            return [(float(factor) * top_flow(machine), one) for factor, one in zip(best, bound, strict=True)], numbers
        numbers = {dryer: np.union1d(mine, passed[dryer]) for dryer, mine in numbers.items()}
    return [], numbers


def _hardest(found: Survey, numbers: Index, trial: Trial) -> Index:
    """Of combinations with the hood at its top, those that pull hardest."""
    places = np.minimum(np.searchsorted(found.numbers, numbers), len(found.numbers) - 1)
    if not np.array_equal(found.numbers[places], numbers):
        bare = Option("none")
        rest = trial.at_rest(numbers)
        still = None if rest is None else changed(bare, trial.place, rest)
        return _deepest(trial.pulls(changed(bare, trial.place, trial.listing.columns(numbers)), still), numbers)
    outer = [leaf_doors(found.listing.house).index(door) for door in outer_doors(found.listing.house)]
    seen = Pulls(found.house, found.doors[outer], found.depressurization)
    return _deepest(seen.of(places), numbers)


def _search(trial: Trial, questions: Sequence[Question], numbers: Decisive, work: Work) -> tuple[Array, list[Judged]]:
    """The largest hood that holds on the given combinations, as a share of the hood's top flow."""
    machine = trial.place.machine
    if machine is None:
        return np.zeros(0), []
    top = top_flow(machine)
    low, high = np.full(len(questions), SMALLEST_HOOD / top), np.full(len(questions), LARGEST_HOOD / top)
    dryers = sum(top_flow(exhaust) for exhaust in trial.place.starting if exhaust.name in trial.place.dryers)
    besides = np.array([dryers / top if question.with_dryer else 0.0 for question in questions])
    ends = _tried(trial, (*questions, *questions), numbers, np.concatenate([low, high]))
    at_low, at_high = ends[: len(questions)], ends[len(questions) :]
    bracket = Bracket(np.log(low + besides), np.log(high + besides), _used(at_low), _used(at_high))
    best, bound = np.where([one.holds for one in at_low], low, 0.0), at_low
    for _ in range(ROUNDS):
        work.check_cancelled()
        middle = bracket.next()
        factor = np.exp(middle) - besides
        bound = _tried(trial, questions, numbers, factor)
        best = np.where([one.holds for one in bound], np.maximum(best, factor), best)
        bracket = bracket.narrowed(middle, _used(bound))
    return best, bound


def _passed(
    trial: Trial, questions: Sequence[Question], best: Array, every: Decisive, checked: Sequence[int]
) -> Decisive:
    """Combinations in which a hood that was found passes a limit after all, whatever decided it so far.

    A hood at its top decides other combinations than a small one beside an ERV and a dirty filter. Some openings stand
    for those between them.
    """
    everywhere = bool(trial.judged.appliances)
    asked = [i for i, q in enumerate(questions) if best[i] > 0 and (everywhere or q.option.inches in checked)]
    mine = [questions[i] for i in asked]
    found: dict[bool, list[Index]] = {False: [], True: []}
    if mine:
        for question, pulls in zip(mine, _pulls(trial, mine, every, best[asked]), strict=True):
            numbers = every[question.with_dryer]
            if not judged_on(trial, question.option, 1.0, numbers, pulls).holds:
                found[question.with_dryer].append(_deepest(pulls, numbers))
    none = np.zeros(0, dtype=np.intp)
    return {dryer: np.concatenate([none, *several]) for dryer, several in found.items()}


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


def _with_hood(found: Survey, place: Slots, with_dryer: bool) -> Index:
    """Combinations at the tight end with the hood at its top, dryers on or off, other machines off.

    All else as in the combinations that were found, the deepest first where they are many.
    """
    listing, machine = found.listing, place.machine
    numbers = found.numbers[~found.unsolved][np.argsort(found.house[~found.unsolved], kind="stable")]
    for position, (freedom, stride) in enumerate(zip(listing.freedoms, listing.strides, strict=True)):
        if freedom.kind in ("tightness", "machine"):
            on = machine is not None and freedom.name in (machine.name, "machines")
            on = on or (with_dryer and freedom.name in place.dryers)
            wanted = len(freedom.choices) - 1 if on and freedom.kind == "machine" else 0
            numbers = numbers + (wanted - listing.digits(numbers, position)) * stride
    _, first = np.unique(numbers, return_index=True)
    kept: Index = np.sort(numbers[np.sort(first)[:MOST_TRIED]])
    return kept


def _deepest(pulls: Pulls, numbers: Index) -> Index:
    """The combinations that pull hardest on the house, on each door to outdoors, on each appliance."""
    if not len(numbers):
        return numbers
    values = (pulls.house, *(-np.abs(pulls.doors)), *pulls.appliances)
    return np.unique(numbers[[int(np.argmin(one)) for one in values]])


def _pulls(trial: Trial, questions: Sequence[Question], numbers: Decisive, factors: Array) -> list[Pulls]:
    """What decides, for every question at one size of its hood."""
    place, machine = trial.place, trial.place.machine
    parts: list[dict[Key, Array]] = []
    rests: list[dict[Key, Array]] = []
    for question, factor in zip(questions, factors, strict=True):
        mine = numbers[question.with_dryer]
        columns = trial.listing.columns(mine)
        if machine is not None:
            columns["flow", machine.name] = np.full(len(mine), factor)
            columns["speed", machine.name] = np.full(len(mine), top_flow(machine) / full_flow(machine))
        parts.append(changed(question.option, place, columns))
        still = trial.at_rest(mine)
        if still is not None:
            rests.append(changed(question.option, place, still))
    pulls = trial.pulls(stacked(parts, place.house), stacked(rests, place.house) if rests else None)
    ends = np.cumsum([len(numbers[question.with_dryer]) for question in questions])
    return [pulls.of(slice(end - len(numbers[q.with_dryer]), end)) for q, end in zip(questions, ends, strict=True)]


def _tried(trial: Trial, questions: Sequence[Question], numbers: Decisive, factors: Array) -> list[Judged]:
    """Every question at one size of its hood, judged."""
    pulls = _pulls(trial, questions, numbers, factors)
    return [
        judged_on(trial, question.option, 1.0, numbers[question.with_dryer], part)
        for question, part in zip(questions, pulls, strict=True)
    ]


def _row(option: Option, index: int, flows: dict[bool, list[tuple[float, Judged]]], judged: Limits) -> Row:
    alone, with_dryer = flows[False][2 * index], flows[False][2 * index + 1]
    bound = binding_of(alone[1], judged)
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
        "limit_pa": bound.limit if bound.unit == "Pa" else None,
        "limit_n": bound.limit if bound.unit == "N" else None,
        "bound_by": alone[1].bound_by,
    }


def _findings(rows: Sequence[Row], machine: Exhaust, biggest: tuple[float, Judged], judged: Limits) -> list[Finding]:
    """The biggest hood without an opening, with one and with two; or that none is worth having, and what binds."""
    by_name = {row["opening"]: row for row in rows}
    shown = [by_name[key] for key in ("no opening", "one 10 in", "two 10 in")]
    told = []
    for row in shown:
        flow = row["hood_m3s"]
        told.append(f"{row['opening']}: {within_words(float(flow or 0.0), 'air flow')}")
    message = f"The biggest {machine.name} the house takes by itself, whatever it moves for real: {'; '.join(told)}."
    action = "let the client pick within it"
    most, one = biggest
    bound = binding_of(one, judged)
    if most < LEAST_HOOD:
        message = (
            f"No opening by itself carries a {machine.name} worth having: at most {within_words(most, 'air flow')}. "
            f"What binds is {_bound_words(bound)}."
        )
        action = "see the make-up air options"
    return [
        Finding(
            study=name,
            code="biggest_hood",
            severity="ok",
            basis=bound.basis,
            where=machine.name,
            state=f"worst for {'the house' if bound.where == 'house' else bound.where}",
            message=message + bound.hedge,
            action=action,
            source=bound.source.text,
            confirmed=bound.source.confirmed,
            limit=bound.limit,
            unit=bound.unit,
        )
    ]


def _bound_words(bound: Binding) -> str:
    """The limit that binds, as a sentence ends with it."""
    if bound.unit == "N":
        return f"the {bound.where}: {within_words(bound.limit, 'force')} to open it"
    if bound.where == "house":
        return f"the house pressure: {pascals(bound.limit)}"
    return f"the {bound.where}, which can take {pascals(abs(bound.limit))}"
