"""The worst combinations for the house, each room and each door, proved without solving every combination.

Contexts whose bound (`search.bounds`) lies within what a real combination already reaches cannot be worse. In the
others the doors on a loop are listed, and for each listing whatever else acts on one way for air takes the choice that
lets in least (`search.chains`): that is exact. A door on a loop is listed with all that is free, where either side's
range leaves room for worse. docs/theory/worst-state.md tells it so that a tester can follow.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airledger.house.assemble import Model
from airledger.house.house import OUTDOORS, House, Opening
from airledger.house.operating_state import can_move, standing_position
from airledger.house.readout import Readout
from airledger.physics.held import hold
from airledger.physics.network import OUTSIDE
from airledger.search.bounds import Bounding
from airledger.search.chains import Chains, Flags, Goal, Ground, SolveRows, Stage, parted, run, stage
from airledger.search.reach import groups_of
from airledger.search.states import CHUNK, Change, Index, Listing

Array = NDArray[np.float64]

CLOSE = 0.01
"""How much worse than found a bound may be for a target to count as proved [Pa]."""

FEW = 3_000
"""Listings of loop doors up to which no bound is worked out first."""

MOST_SOLVED = 200_000
HOUSE = -2
"""Stands for the node of the room whose pressure is the house's, which doors may decide."""

PAST = 1_000.0
"""Pressure past which a fan cannot hold its flow [Pa]: then nothing is proved."""


@dataclass(frozen=True)
class Proof:
    """What was proved. numbers: combinations in which the worst are reached; open: what was left open.

    open: (target, how much worse it might be [Pa], inf where nothing is known); solved: how many states were solved.
    """

    numbers: Index
    open: tuple[tuple[str, float], ...]
    solved: int


@dataclass(frozen=True)
class Sought:
    """One thing that may get worse: the pressure from node a to node b [Pa], b = -1 for outdoors.

    a: -2 for the house, whose room may change; door: position of the freedom that shuts it, -1 where it is always shut;
    shut: that choice; opening: None of a room, of which only the lowest counts.
    """

    name: str
    a: int
    b: int
    door: int = -1
    shut: int = 0
    opening: Opening | None = None


def sought_of(listing: Listing, model: Model) -> tuple[Sought, ...]:
    """Everything that a house is asked the worst of: its rooms, and its doors with a leaf that are ever shut.

    Parameters
    ----------
    listing : Listing
        the combinations [-]
    model : Model
        the house as a network [-]
    """
    house = model.house
    place = {name: index for index, name in enumerate(model.nodes)} | {OUTDOORS: OUTSIDE}
    found = [Sought("house", HOUSE, OUTSIDE)]
    found += [Sought(room.name, place[room.name], OUTSIDE) for room in house.conditioned]
    for opening in house.openings:
        if opening.kind != "door":
            continue
        a, b = (place[name] for name in sorted(opening.between, key=lambda name: name == OUTDOORS))
        free = [
            (position, choice)
            for position, freedom in enumerate(listing.freedoms)
            for choice, entry in enumerate(freedom.choices)
            if dict(entry.settings).get(("open", opening.name)) == 0.0
        ]
        if free:
            found.append(Sought(opening.name, a, b, *free[0], opening))
        elif can_move(opening) and standing_position(house, opening) == 0.0:
            found.append(Sought(opening.name, a, b, opening=opening))
    return tuple(found)


def prove(listing: Listing, model: Model, solve: SolveRows, change: Change | None = None) -> Proof:
    """The worst combinations of a listing, with what could not be proved.

    Parameters
    ----------
    listing : Listing
        all combinations; never solved as a whole here [-]
    model : Model
        the house as a network [-]
    solve : callable
        network and rows to solution [-]
    change : callable
        what an option makes different [-]
    """
    groups = groups_of(listing, model, change, frozenset())
    sought = sought_of(listing, model)
    grouped = {place for group in groups for place in group.freedoms}
    contexts = _product([0], _steps(listing, [p for p in range(len(listing.freedoms)) if p not in grouped]))
    whole = hold(model.network, np.zeros(0, dtype=np.intp))
    all_doors = fixed_reference(model.house) is None
    on_loop = [
        cut is not None and OUTSIDE not in cut.nodes and (not cut.parts or all_doors) for cut in parted(whole, groups)
    ]
    loops = _product([0], [group.steps for group, on in zip(groups, on_loop, strict=True) if on])
    if contexts is None or loops is None or len(contexts) * len(loops) > MOST_SOLVED:
        return Proof(np.zeros(0, dtype=np.intp), tuple((one.name, np.inf) for one in sought), 0)
    ground = Ground(listing, model, solve, groups, contexts, change)
    return _Proving(ground, sought, loops, on_loop).proof()


def _steps(listing: Listing, positions: Sequence[int]) -> list[tuple[int, ...]]:
    return [tuple(listing.strides[p] * c for c in range(len(listing.freedoms[p].choices))) for p in positions]


def _product(start: Sequence[int], steps: Sequence[Sequence[int]]) -> Index | None:
    """Sums of one step of each kind, the first kind slowest; None where there are too many."""
    found = np.array(start, dtype=np.intp)
    for own in steps:
        if len(found) * len(own) > MOST_SOLVED:
            return None
        found = (found[:, None] + np.array(own, dtype=np.intp)[None, :]).ravel()
    return found


def fixed_reference(house: House) -> str | None:
    """The room whose pressure is the house's whatever is open or shut; None where doors decide it.

    Parameters
    ----------
    house : House
        its rooms and openings [-]
    """
    rooms = {room.name: room.area for room in house.conditioned}
    largest = max(rooms, key=lambda name: rooms[name])
    group = {largest}
    for _ in rooms:
        for opening in house.openings:
            if opening.kind != "grille" and not can_move(opening) and set(opening.between) <= set(rooms):
                group |= set(opening.between) if set(opening.between) & group else set()
    joined = sum(rooms[name] for name in group)
    alone = sum(area == rooms[largest] for area in rooms.values()) == 1
    return largest if alone and joined > sum(rooms.values()) - joined else None


class _Proving:
    """One proof under way. Rows: (context, listing of the doors on loops), all else free."""

    def __init__(self, ground: Ground, sought: tuple[Sought, ...], loops: Index, on_loop: Sequence[bool]) -> None:
        self.ground, self.sought, self.loops = ground, sought, loops
        self.contexts, self.width = ground.contexts, len(loops)
        self.free = tuple(group for group, on in zip(ground.groups, on_loop, strict=True) if not on)
        rows = len(self.contexts) * self.width
        self.row_context = np.repeat(np.arange(len(self.contexts)), self.width)
        self.start = (self.contexts[:, None] + loops[None, :]).ravel()
        self.low = np.full((len(ground.model.nodes) + 1, rows), -np.inf)
        self.high = np.full((len(ground.model.nodes) + 1, rows), np.inf)
        self.low[-1] = self.high[-1] = 0.0  # outdoors
        self.best = np.full(len(sought), -np.inf)
        self.numbers: list[int] = []
        self.whole = hold(ground.model.network, np.zeros(0, dtype=np.intp))
        self.locked = np.array(on_loop, dtype=bool)
        self.offsets = self._offsets()
        self.listed = np.full((len(sought), rows), np.inf)
        self.ends = {sense: np.zeros(rows, dtype=np.intp) for sense in (-1.0, 1.0)}
        self.reference = self._references()
        self.row_reference = np.tile(self.reference, len(self.contexts))

    def _references(self) -> Index:
        """Node of the room whose pressure is the house's in each listing of the doors on loops."""
        model = self.ground.model
        place = {name: index for index, name in enumerate(model.nodes)}
        fixed = fixed_reference(model.house)
        if fixed is not None:
            return np.full(self.width, place[fixed], dtype=np.intp)
        settings = self.ground.listing.settings(self.contexts[0] + self.loops, self.ground.change)
        names = Readout(model, settings, None).reference_room()  # type: ignore[arg-type]  # needs no pressures
        return np.array([place[name] for name in names], dtype=np.intp)

    def _offsets(self) -> Array:
        """What columns of air add to the pressure at a door's mid-height, (sought, contexts) [Pa]."""
        settings = self.ground.listing.settings(self.contexts, self.ground.change)
        solution = self.ground.solve(self.ground.model.network, self.ground.model.rows(settings))
        self.ground.solved += len(self.contexts)
        seen = Readout(self.ground.model, settings, solution)
        padded = np.concatenate([solution.pressure, np.zeros((1, len(self.contexts)))])
        return np.array(
            [
                np.zeros(len(self.contexts))
                if one.opening is None
                else seen.door_difference(one.opening) - (padded[one.a] - padded[one.b])
                for one in self.sought
            ]
        )

    def proof(self) -> Proof:
        """The combinations that are worst, and what is left open."""
        if len(self.start) > FEW:
            found = Bounding(self.ground).bounds()
            self.low[:-1] = np.repeat(found.low, self.width, axis=1)
            self.high[:-1] = np.repeat(found.high, self.width, axis=1)
            self._note(found.numbers, self.ground.real(found.numbers))
        self._reach(-1.0, range(len(self.sought)))
        doors = [place for place, one in enumerate(self.sought) if one.opening is not None]
        for place in doors:
            if self._is_on_loop(self.sought[place]):
                self._list_all(place)
        self._reach(1.0, doors)
        for place in doors:
            if (cut := self._cut(self.sought[place])) >= 0:
                self._both_sides(place, cut)
            elif self._excess(place) > CLOSE:
                self._list_all(place)
        left = [(one.name, self._excess(place)) for place, one in enumerate(self.sought)]
        numbers = np.unique(np.array(self.numbers, dtype=np.intp))
        return Proof(numbers, tuple((name, more) for name, more in left if more > CLOSE), self.ground.solved)

    def _excess(self, place: int) -> float:
        """How much worse one thing might still be than what was found [Pa]; 0 where its rows are all solved."""
        more = self._most(place) - self.best[place]
        return float(np.max(more, initial=0.0))

    def _most(self, place: int) -> Array:
        """The worst that the ranges of every row allow for one thing [Pa]."""
        one = self.sought[place]
        if one.opening is None:
            node = self.row_reference if one.a == HOUSE else one.a
            down: Array = -self.low[node, np.arange(len(self.start))]
            known: Array = np.minimum(down, self.listed[place])
            return known
        offset = self.offsets[place, self.row_context]
        both = np.maximum(self.high[one.b] - self.low[one.a] - offset, self.high[one.a] - self.low[one.b] + offset)
        shut: Array = np.where(self._may_be_shut(one), both, -np.inf)
        most: Array = np.minimum(shut, self.listed[place])
        return most

    def _may_be_shut(self, one: Sought) -> Flags:
        """Rows in which a door is shut, or free to be."""
        group = next((g for g in self.ground.groups if one.door in g.freedoms), None)
        if one.door < 0 or group in self.free:
            return np.ones(len(self.start), dtype=bool)
        return np.asarray(self.ground.listing.digits(self.start, one.door) == one.shut)

    def _note(self, numbers: Index, pressure: Array) -> None:
        """Keep the worst of solved combinations for everything that is sought."""
        sound = np.all(np.abs(np.nan_to_num(pressure, nan=np.inf)) <= PAST, axis=0)
        numbers, pressure = numbers[sound], pressure[:, sound]
        if not len(numbers):
            return
        padded = np.concatenate([pressure, np.zeros((1, len(numbers)))])
        context, loop = self._row(numbers)
        for place, one in enumerate(self.sought):
            if one.a == HOUSE:
                value = -padded[self.reference[loop], np.arange(len(numbers))]
            else:
                value = padded[one.b] - padded[one.a]
            if one.opening is not None:
                value = np.abs(value - self.offsets[place, context])
                if one.door >= 0:
                    value = np.where(self.ground.listing.digits(numbers, one.door) == one.shut, value, -np.inf)
            at = int(np.argmax(value))
            if value[at] > self.best[place]:
                self.best[place] = value[at]
                self.numbers.append(int(numbers[at]))

    def _row(self, numbers: Index) -> tuple[Index, Index]:
        """Context and listing of loop doors of each combination."""
        base, loop = numbers.copy(), np.zeros_like(numbers)
        for group, locked in zip(self.ground.groups, self.locked, strict=True):
            step = np.array(group.steps)[self.ground.choice(numbers, group)]
            base -= step
            loop += step if locked else 0
        return _places(self.contexts, base), _places(self.loops, loop)

    def _open_rows(self, places: Sequence[int]) -> Flags:
        """Rows in which any of some things might be worse than found."""
        wanted = np.zeros(len(self.start), dtype=bool)
        for place in places:
            wanted |= self._most(place) > self.best[place] + CLOSE
        return wanted

    def _reach(self, sense: float, places: Sequence[int]) -> None:
        """The lowest (or highest) of every node in the rows in which it may matter, exactly."""
        goals = {place: self._nodes(self.sought[place]) for place in places}
        nodes = sorted(set().union(*goals.values()))
        at = self._stage([Goal(((node, sense),)) for node in nodes])
        alike = np.concatenate([at.near, at.sense])
        _, first, kind = np.unique(alike, axis=1, return_index=True, return_inverse=True)
        for number, goal in enumerate(first):
            mine = [node for place, node in enumerate(nodes) if kind.reshape(-1)[place] == number]
            asked = [place for place in places if goals[place] & set(mine)]
            for rows, start in self._portions(asked, sense):
                found = self._chains(at, int(goal), rows, start)
                sound = np.where(found.settled, found.pressure, np.nan)
                end = self.low if sense < 0 else self.high
                end[np.array(mine)[:, None], rows[None, :]] = np.where(
                    found.settled, found.pressure[mine], sense * np.inf
                )
                self._note(found.numbers, sound)
                self.ends[sense][rows] = found.numbers - self.start[rows]

    def _nodes(self, one: Sought) -> set[int]:
        """Nodes whose range bears on one thing."""
        if one.a == HOUSE:
            return {int(node) for node in self.reference}
        return {node for node in (one.a, one.b) if node >= 0}

    def _stage(self, goals: Sequence[Goal]) -> Stage:
        """The whole network made ready for goals, doors on loops left as listed."""
        at = stage(self.whole, self.ground.groups, goals)
        near = at.near.copy()
        near[self.locked] = OUTSIDE
        return replace(at, near=near)

    def _portions(self, places: Sequence[int], sense: float) -> Iterator[tuple[Index, Index]]:
        """Rows still open with combinations to start from: one of every context first, which shows the rest the way."""
        first = np.zeros(len(self.start), dtype=bool)
        first[:: self.width] = True
        for some in (first, ~first):
            rows = np.flatnonzero(self._open_rows(places) & some)
            if len(rows):
                way = self.ends[sense][self.row_context[rows] * self.width]
                yield rows, self.start[rows] + way

    def _chains(self, at: Stage, goal: int, rows: Index, start: Index) -> Chains:
        goals = np.full(len(rows), goal, dtype=np.intp)
        nothing_held = np.broadcast_to(np.zeros((1, 1)), (len(self.ground.model.network.elements), len(rows)))
        return run(self.ground, at, start, self.row_context[rows], goals, nothing_held)

    def _is_on_loop(self, one: Sought) -> bool:
        """Whether a door is listed because more than one way leads past it."""
        pairs = zip(self.ground.groups, self.locked, strict=True)
        return any(locked and one.door in group.freedoms for group, locked in pairs)

    def _cut(self, one: Sought) -> int:
        """The group that is a door between two parts of the house and nothing else; -1 where it is none."""
        places = [i for i, group in enumerate(self.ground.groups) if group.freedoms == (one.door,)]
        return places[0] if places and not self.locked[places[0]] else -1

    def _list_all(self, place: int) -> None:
        """Every combination of what is free, in the rows in which a door might be pulled at harder than found."""
        steps = _product([0], [group.steps for group in self.free])
        rows = np.flatnonzero(self._most(place) > self.best[place] + CLOSE)
        if steps is None or self.ground.solved + len(rows) * len(steps) > MOST_SOLVED:
            return
        for some in self._deepest_first(place, rows, max(1, CHUNK // len(steps))):
            numbers = (self.start[some][:, None] + steps[None, :]).ravel()
            self._note(numbers, self.ground.real(numbers))
            self.listed[:, some] = -np.inf  # all of it solved, for whatever is sought

    def _deepest_first(self, place: int, rows: Index, size: int) -> Iterator[Index]:
        """Rows in portions, those that allow the worst first, as long as any allows worse than found."""
        rows = rows[np.argsort(-self._most(place)[rows], kind="stable")]
        for first in range(0, len(rows), size):
            some = rows[first : first + size]
            some = some[self._most(place)[some] > self.best[place] + CLOSE]
            if not len(some):
                return
            yield some

    def _both_sides(self, place: int, cut: int) -> None:
        """One side of a door brought low and the other high, each by itself: the door parts them."""
        rows = np.flatnonzero(self._most(place) > self.best[place] + CLOSE)
        if not len(rows):
            return
        one = self.sought[place]
        at = self._stage([Goal(((one.a, sense), (one.b, -sense)), cut) for sense in (-1.0, 1.0)])
        start = self.start[rows] + self.ground.groups[cut].steps[one.shut]
        worst = np.full(len(rows), -np.inf)
        for goal in range(2):
            found = self._chains(at, goal, rows, start)
            value = np.abs(found.pressure[one.a] - found.pressure[one.b] + self.offsets[place, self.row_context[rows]])
            worst = np.where(found.settled, np.maximum(worst, value), np.inf)
            self._note(found.numbers, np.where(found.settled, found.pressure, np.nan))
        self.listed[place, rows] = worst


def _places(known: Index, wanted: Index) -> Index:
    order = np.argsort(known)
    found: Index = order[np.searchsorted(known[order], wanted)]
    return found
