"""The worst combination for the house, for each room, each door and each appliance, found by solving all of them.

`solve` is handed in; nothing here knows how a state is solved. A row that the solver leaves unsolved, or in which a fan
taken as holding its flow passes 1,000 Pa, is refused: it is counted and never becomes a worst state.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import OUTDOORS, House, Opening
from airledger.house.ledger import DoorForce, StateResult
from airledger.house.operating_state import WIND_FROM, WIND_SPEED, Settings
from airledger.house.readout import Readout, wind_words
from airledger.house.ways import swing_of
from airledger.search.freedoms import top_flow
from airledger.search.limits import Limits
from airledger.search.states import Change, Index, Listing

Array = NDArray[np.float64]
Solve = Callable[[Settings], Readout]
Read = Callable[[Index], Readout]

KEPT = 2_000
STIFF_LIMIT = 1_000.0
SAME = 1e-9
HELD_SHUT, THROWN_OPEN = "held shut", "thrown open"


@dataclass(frozen=True)
class Survey:
    """Solved combinations side by side. Pressures [Pa], one column a combination.

    doors [N]: force at the knob, positive holds the door shut, negative throws it open;
    depressurization [Pa]: the change that the fans make in each appliance's room; refused: rows that count for nothing;
    reference: the room whose pressure is the house's; solved: how many states were solved to find them; proof: "all"
    where that is every combination, "proved" where the others cannot be worse, else "best found"; open: for what
    nothing was proved.
    """

    listing: Listing
    numbers: Index
    house: Array
    rooms: Array
    doors: Array
    depressurization: Array
    refused: NDArray[np.bool_]
    unsolved: NDArray[np.bool_]
    reference: NDArray[np.object_]
    worst_residual: float
    solved: int = 0
    proof: str = "all"
    open: tuple[str, ...] = ()

    def lowest(self, values: Array) -> int:
        """Place of the lowest value among rows that were not refused; of equal ones the first.

        Parameters
        ----------
        values : Array
            one value a combination [same as the quantity]
        """
        counted = np.where(self.refused, np.inf, values)
        least = float(np.min(counted))
        if not np.isfinite(least):
            return 0
        return int(np.flatnonzero(counted <= least + SAME * max(1.0, abs(least)))[0])

    def deepest(self, count: int = KEPT) -> Index:
        """Places of the combinations with the lowest house pressure, deepest first, in the same order every time.

        Parameters
        ----------
        count : int
            how many at most [-]
        """
        order = np.lexsort((self.numbers, np.where(self.refused, np.inf, self.house)))
        kept: Index = order[: min(count, int(np.count_nonzero(~self.refused)))]
        return kept


@dataclass(frozen=True)
class Worst:
    """The worst combination for one thing. kind: house | room | door | appliance; value [Pa or N]; place in it."""

    target: str
    kind: str
    value: float
    place: int


def leaf_doors(house: House) -> tuple[str, ...]:
    """Names of the doors that have a leaf to pull at.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    return tuple(opening.name for opening in house.openings if opening.kind == "door")


def outer_doors(house: House) -> tuple[str, ...]:
    """Names of the doors with a leaf that lead to outdoors: those that make-up air can ease.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    return tuple(o.name for o in house.openings if o.kind == "door" and OUTDOORS in o.between)


def survey(
    listing: Listing,
    solve: Solve,
    judged: Limits,
    numbers: Index | None = None,
    change: Change | None = None,
    read: Read | None = None,
) -> Survey:
    """Combinations of a listing, solved.

    Parameters
    ----------
    listing : Listing
        the combinations [-]
    solve : callable
        settings to readout [-]
    judged : Limits
        for the appliances whose rooms are watched [-]
    numbers : Index
        which combinations; None takes all [-]
    change : callable
        what an option or a fault makes different [-]
    read : callable
        numbers to readout, where the combinations are solved already [-]
    """
    rooms = tuple(room.name for room in listing.house.conditioned)
    doors = leaf_doors(listing.house)
    parts = []
    for chunk in listing.chunks(numbers):
        seen = solve(listing.settings(chunk, change)) if read is None else read(chunk)
        pressures = np.array([seen.room_pressure(room) for room in rooms]).reshape(len(rooms), len(chunk))
        forces = np.array([signed_force(seen, door) for door in doors]).reshape(len(doors), len(chunk))
        change_by_fans = _by_fans(listing, solve, judged, chunk, change, seen)
        solution = seen.solution
        unsolved = ~solution.converged
        refused = unsolved | (np.max(np.abs(pressures), axis=0) > STIFF_LIMIT)
        reference = np.array(seen.reference_room(), dtype=object)
        residual = np.where(refused, 0.0, solution.residual_relative)
        told = (refused, unsolved, reference, residual)
        parts.append((chunk, seen.house_pressure(), pressures, forces, change_by_fans, *told))
    joined = [np.concatenate(columns, axis=-1) for columns in zip(*parts, strict=True)]
    numbered, house, in_rooms, at_doors, by_fans, is_refused, is_unsolved, references, residuals = joined
    return Survey(
        listing=listing,
        numbers=numbered,
        house=house,
        rooms=in_rooms,
        doors=at_doors,
        depressurization=by_fans,
        refused=is_refused,
        unsolved=is_unsolved,
        reference=references,
        worst_residual=float(np.max(residuals, initial=0.0)),
        solved=int(np.count_nonzero(~is_unsolved)),
        proof=listing.proof,
    )


def _by_fans(
    listing: Listing, solve: Solve, judged: Limits, chunk: Index, change: Change | None, seen: Readout
) -> Array:
    """How far the fans change the pressure at each appliance: minus all fans off, same doors, same weather."""
    watched = [appliance.room for appliance in judged.appliances]
    if not watched:
        return np.zeros((0, len(chunk)))
    at_rest, back = np.unique(chunk - chunk % listing.fan_block, return_inverse=True)
    rest = solve(listing.settings(at_rest, change))
    return np.array([_pressure(seen, room) - _pressure(rest, room)[back] for room in watched])


def _pressure(seen: Readout, room: str) -> Array:
    return seen.room_pressure(room) if room else seen.house_pressure()


def signed_force(seen: Readout, opening: str) -> Array:
    """Force at a door's knob [N], positive where it is held shut, negative where it is thrown open.

    Parameters
    ----------
    seen : Readout
        solved states [-]
    opening : str
        the door [-]
    """
    door = opening_named(seen.house, opening)
    force, difference = seen.door_force(door)
    pushed_out = difference > 0
    thrown = pushed_out if swing_of(door) == "out" else ~pushed_out
    signed: Array = np.where(thrown, -np.abs(force), np.abs(force))
    return signed


def opening_named(house: House, name: str) -> Opening:
    """The opening of a name.

    Parameters
    ----------
    house : House
        what the file says [-]
    name : str
        one of its openings [-]
    """
    return next(opening for opening in house.openings if opening.name == name)


def direction_of(force: float) -> str:
    """What a signed force does to its door.

    Parameters
    ----------
    force : float
        positive holds shut, negative throws open [N]
    """
    if force == 0:
        return "none"
    return HELD_SHUT if force > 0 else THROWN_OPEN


def worst_of(found: Survey, judged: Limits) -> tuple[Worst, ...]:
    """The worst combination for the house, each room, each door and each appliance.

    Parameters
    ----------
    found : Survey
        solved combinations [-]
    judged : Limits
        for the appliances [-]
    """
    place = found.lowest(found.house)
    listed = [Worst("house", "house", float(found.house[place]), place)]
    for name, values in zip((room.name for room in found.listing.house.conditioned), found.rooms, strict=True):
        place = found.lowest(values)
        listed.append(Worst(name, "room", float(values[place]), place))
    for name, values in zip(leaf_doors(found.listing.house), found.doors, strict=True):
        place = found.lowest(-np.abs(values))
        listed.append(Worst(name, "door", float(values[place]), place))
    for appliance, values in zip(judged.appliances, found.depressurization, strict=True):
        place = found.lowest(values)
        listed.append(Worst(appliance.name, "appliance", float(values[place]), place))
    return tuple(listed)


def candidates(found: Survey) -> tuple[Index, Index]:
    """Numbers of the combinations that decide: where air is pulled out, and where a fan pushes it in.

    The deepest for each end of the tightness and each set of the three biggest machines running, for each end in each
    season and at each speed of the ventilator, and the worst for each door to outdoors and each appliance at
    each end, deepest first; and the highest of each set of machines.

    Parameters
    ----------
    found : Survey
        solved combinations [-]
    """
    listing = found.listing
    biggest = sorted((f for f in listing.freedoms if f.kind == "machine"), key=lambda f: -_pull(listing.house, f.name))
    grouped = {freedom.name for freedom in biggest[:3]}
    ends = _group(found, {f.name for f in listing.freedoms if f.kind == "tightness"})
    places, highest = _extremes(found, _group(found, grouped | {"tightness"}))
    for besides in ({"season"}, {"ventilator"}):
        places |= _extremes(found, _group(found, besides | {"tightness"}))[0]
    outer = [leaf_doors(listing.house).index(door) for door in outer_doors(listing.house)]
    for end in np.unique(ends):
        for values in (*(-np.abs(found.doors[outer])), *found.depressurization):
            places.add(found.lowest(np.where(ends == end, values, np.inf)))
    return _numbers(found, places), _numbers(found, highest - places)


def _group(found: Survey, names: set[str]) -> Index:
    """One number for each set of choices of some freedoms."""
    group = np.zeros(len(found.numbers), dtype=np.intp)
    for position, freedom in enumerate(found.listing.freedoms):
        if freedom.name in names:
            group = group * len(freedom.choices) + found.listing.digits(found.numbers, position)
    return group


def _extremes(found: Survey, group: Index) -> tuple[set[int], set[int]]:
    """Places of the deepest and of the highest row of each group.

    A row in which a machine could not hold its flow counts: with make-up air it can.
    """
    counted = np.flatnonzero(~found.unsolved)
    order = counted[np.lexsort((found.numbers[counted], found.house[counted], group[counted]))]
    firsts = np.flatnonzero(np.diff(group[order], prepend=-1))
    lasts = np.append(firsts[1:], len(order)) - 1
    return {int(place) for place in order[firsts]}, {int(place) for place in order[lasts]}


def _numbers(found: Survey, places: set[int]) -> Index:
    """Numbers of the combinations at some places, deepest first."""
    kept = np.array(sorted(places), dtype=np.intp)
    numbers: Index = found.numbers[kept][np.argsort(found.house[kept], kind="stable")]
    return numbers


def _pull(house: House, machine: str) -> float:
    return next((top_flow(exhaust) for exhaust in house.exhausts if exhaust.name == machine), 0.0)


def state_names(found: Survey, worst: Sequence[Worst]) -> dict[int, str]:
    """Names of the worst states by the number of their combination: each after the first thing it is worst for.

    Parameters
    ----------
    found : Survey
        solved combinations [-]
    worst : sequence of Worst
        the worst for each thing, the house first [-]
    """
    names: dict[int, str] = {}
    for one in worst:
        number = int(found.numbers[one.place])
        names.setdefault(number, "worst for the house" if one.kind == "house" else f"worst for {one.target}")
    return names


def plain_state(found: Survey, place: int, name: str) -> StateResult:
    """A surveyed combination as a state without its flows, as the list of the deepest holds it.

    Parameters
    ----------
    found : Survey
        solved combinations [-]
    place : int
        place in the survey [-]
    name : str
        name of the state [-]
    """
    listing = found.listing
    number = int(found.numbers[place])
    taken = {freedom.kind: choice for freedom, choice in listing.choices(number)}
    rooms = (room.name for room in listing.house.conditioned)
    forces = zip(leaf_doors(listing.house), found.doors[:, place].tolist(), strict=True)
    return StateResult(
        name=name,
        kind="normal",
        why=listing.why(number),
        season=taken["season"].words,
        wind=_wind_words(listing.fixed.get(WIND_SPEED, 0.0), listing.fixed.get(WIND_FROM, 0.0)),
        ach50=taken["tightness"].settings[0][1],
        house_pressure=float(found.house[place]),
        reference_room=str(found.reference[place]),
        rooms=tuple(zip(rooms, found.rooms[:, place].tolist(), strict=True)),
        flows=(),
        door_forces=tuple(DoorForce(door, abs(force), direction_of(force)) for door, force in forces),
        residual_relative=found.worst_residual,
    )


@cache
def _wind_words(speed: float, from_: float) -> str:
    return wind_words(Settings({WIND_SPEED: np.array([speed]), WIND_FROM: np.array([from_])}, 1))
