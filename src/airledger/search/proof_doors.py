"""The worst pull at doors between rooms: proved side by side where a door parts the house, else listed.

A door on a loop of ways for air parts nothing. But what hangs on the house by one of the door's own two rooms acts on
that room more than on the other, so that its choice is known all the same; only what acts elsewhere is listed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from airledger.physics.network import OUTSIDE, Network
from airledger.search.chains import Flags, Goal, Stage, parted
from airledger.search.proving import CLOSE, Proving
from airledger.search.reach import Sides, sides
from airledger.search.states import CHUNK, Index, product

Array = NDArray[np.float64]


def list_all(proving: Proving, place: int, most: int) -> None:
    """Every combination of what is free, in the rows in which a door might be pulled at harder than found.

    Parameters
    ----------
    proving : Proving
        what is known [-]
    place : int
        which door, among what is sought [-]
    most : int
        how many states may be solved in all [-]
    """
    rows = np.flatnonzero(proving.most(place) > proving.best[place] + CLOSE)
    if not len(rows):
        return
    steps = product([group.steps for group in proving.free], most)
    if steps is None or proving.ground.solved + len(rows) * len(steps) > most:
        return
    for some in _deepest_first(proving, place, rows, max(1, CHUNK // len(steps))):
        numbers = (proving.start[some][:, None] + steps[None, :]).ravel()
        proving.note(numbers, proving.ground.real(numbers))
        proving.listed[:, some] = -np.inf  # all of it solved, for whatever is sought


def _deepest_first(proving: Proving, place: int, rows: Index, size: int) -> Iterator[Index]:
    """Rows in portions, those that allow the worst first, as long as any allows worse than found."""
    rows = rows[np.argsort(-proving.most(place)[rows], kind="stable")]
    for first in range(0, len(rows), size):
        some = rows[first : first + size]
        some = some[proving.most(place)[some] > proving.best[place] + CLOSE]
        if not len(some):
            return
        yield some


def beside_loops(proving: Proving, place: int, most: int) -> None:
    """The worst at a door on a loop, with what acts on neither of its two rooms alone listed.

    Parameters
    ----------
    proving : Proving
        what is known [-]
    place : int
        which door, among what is sought [-]
    most : int
        how many states may be solved in all [-]
    """
    rows = np.flatnonzero(proving.most(place) > proving.best[place] + CLOSE)
    one, held, groups = proving.sought[place], proving.held, proving.ground.groups
    a, b = int(held.place[one.a]), int(held.place[one.b])
    if not len(rows) or min(a, b) < 0:
        return
    felt, sense, apart = _hanging(held.network, parted(held, groups), a, b)
    third = [group for i, group in enumerate(groups) if apart[i] and not proving.locked[i]]
    steps = product([group.steps for group in third], most)
    if len(third) == len(proving.free) or steps is None or proving.ground.solved + 2 * len(rows) * len(steps) > most:
        return
    felt = np.where(proving.locked | apart, OUTSIDE, felt)[:, None]
    goals = (Goal(((a, -1.0), (b, 1.0))), Goal(((a, 1.0), (b, -1.0))))
    at = Stage(held, goals, np.repeat(felt, 2, axis=1), np.stack([sense, -sense], axis=1))
    every = np.repeat(rows, len(steps))
    start, shift = proving.start[every] + np.tile(steps, len(rows)), proving.shift(proving.low, every)
    # held spaces that come out higher than held raise no pressure by more than themselves
    loose = np.max((proving.high - proving.low)[proving.buffers][:, rows], axis=0, initial=0.0)
    worst = np.full(len(rows), -np.inf)
    for goal in range(2):
        found = proving.chains(at, np.full(len(every), goal, dtype=np.intp), every, start, shift)
        across = found.pressure[a] - found.pressure[b] + proving.offsets[place, proving.row_context[every]]
        reached = np.where(found.settled, np.abs(across), np.inf).reshape(len(rows), -1).max(axis=1)
        worst = np.maximum(worst, reached + loose)
        proving.listed[place, rows] = worst
        proving.try_ends(found, every, np.zeros(len(every), dtype=np.intp), [[place]])


def _hanging(network: Network, cuts: Sequence[Sides | None], a: int, b: int) -> tuple[Index, Array, Flags]:
    """For each group the node at which two rooms feel it, whether it shall let in least (-1) or most, whether neither.

    What hangs by the first room shall let in least, what hangs by the second most.
    """
    from_a, from_b = _reached(network, a, b), _reached(network, b, a)
    felt, sense = np.full(len(cuts), OUTSIDE, dtype=np.intp), np.zeros(len(cuts))
    apart = np.zeros(len(cuts), dtype=bool)
    for place, cut in enumerate(cuts):
        if cut is None:
            continue
        nodes = [node for node in cut.nodes if node != OUTSIDE]
        for root, wanted, own, other in ((a, -1.0, from_a, from_b), (b, 1.0, from_b, from_a)):
            if all(own[node] and not other[node] for node in nodes):
                felt[place] = next(
                    n for n, side in zip(cut.nodes, (cut.of_first, cut.of_second), strict=True) if side[root]
                )
                sense[place] = wanted
        apart[place] = felt[place] == OUTSIDE and any(from_a[node] or from_b[node] for node in nodes)
    return felt, sense, apart


def _reached(network: Network, start: int, without: int) -> Flags:
    """Nodes that can be reached from one without passing through another."""
    reached = np.zeros(len(network.nodes), dtype=bool)
    reached[start] = True
    for _ in network.nodes:
        for element in network.elements:
            ends = (element.tail, element.head)
            if OUTSIDE not in ends and without not in ends and (reached[ends[0]] or reached[ends[1]]):
                reached[list(ends)] = True
    return reached


def both_sides(proving: Proving, doors: Sequence[tuple[int, int]]) -> None:
    """One side of a door brought low and the other high, each by itself: the door parts them.

    Parameters
    ----------
    proving : Proving
        what is known [-]
    doors : sequence of (int, int)
        doors among what is sought, with the group that each is [-]
    """
    goals, rows_of, starts, shifts = [], [], [], []
    for place, cut in doors:
        one, group = proving.sought[place], proving.ground.groups[cut]
        rows = np.flatnonzero(proving.most(place) > proving.best[place] + CLOSE)
        own = sides(proving.held, group.elements)
        a, b = int(proving.held.place[one.a]), int(proving.held.place[one.b])
        if own is not None:
            beside_a = proving.held.touching(own.of_first if own.of_first[a] else own.of_second)[:, None]
            low, high = proving.shift(proving.low, rows), proving.shift(proving.high, rows)
            goals += [Goal(((a, sense), (b, -sense)), cut) for sense in (-1.0, 1.0)]
            rows_of += [rows, rows]
            starts += [proving.start[rows] + group.steps[one.shut]] * 2
            shifts += [np.where(beside_a, low, high), np.where(beside_a, high, low)]
    if not goals or not sum(len(rows) for rows in rows_of):
        return
    which = np.repeat(np.arange(len(goals)), [len(rows) for rows in rows_of])
    rows = np.concatenate(rows_of)
    found = proving.chains(proving.stage(goals), which, rows, np.concatenate(starts), np.concatenate(shifts, axis=1))
    for number, goal in enumerate(goals):
        place = next(p for p, cut in doors if cut == goal.cut)
        part, (a, b) = which == number, (goal.roots[0][0], goal.roots[1][0])
        across = (
            found.pressure[a, part] - found.pressure[b, part] + proving.offsets[place, proving.row_context[rows[part]]]
        )
        worst = np.where(found.settled[part], np.abs(across), np.inf)
        known = proving.listed[place, rows_of[number]]
        # of the two senses the second may only raise what the first said
        proving.listed[place, rows_of[number]] = worst if number % 2 == 0 else np.maximum(known, worst)
    proving.try_ends(found, rows, which, [[next(p for p, cut in doors if cut == goal.cut)] for goal in goals])
