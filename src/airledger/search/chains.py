"""The lowest, or highest, that one node of a held network can reach over all choices of what acts on it.

Every flow rises with its pressure difference, so the answer follows from one solution and a look around. If no group,
changed alone, would let less air in towards the node at the pressures found, then no combination of them leaves the
node lower: each part of the network beyond a group is then already at the least that it can pass on
(docs/theory/worst-state.md). Until it is so, every group takes the choice that lets in least, and the network is
solved again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from airledger.house.assemble import Model
from airledger.physics.held import Held
from airledger.physics.network import OUTSIDE, Network, Rows
from airledger.physics.solver import Solution
from airledger.search.reach import Group, Sides, sides
from airledger.search.states import CHUNK, Change, Index, Listing

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
SolveRows = Callable[[Network, Rows], Solution]

TURNS = 40
"""Times that choices are taken anew before a row counts as unsettled [-]."""

TIE = 1e-9
"""Share of a flow below which two choices let in the same [-]."""


@dataclass(frozen=True)
class Goal:
    """What is sought: nodes to bring low (-1) or high (+1), each on its own side of a group that is kept as it is."""

    roots: tuple[tuple[int, float], ...]
    cut: int = -1


@dataclass
class Ground:
    """What all chains share: combinations, network, groups, contexts.

    solved: how many solutions were made; visited: the combinations that they were of.
    """

    listing: Listing
    model: Model
    solve: SolveRows
    groups: tuple[Group, ...]
    contexts: Index
    change: Change | None = None
    solved: int = 0
    residual: float = 0.0
    visited: list[Index] = field(default_factory=list)
    _laws: dict[int, Rows] = field(default_factory=dict)

    def rows(self, numbers: Index) -> Rows:
        """Network rows of combinations.

        Parameters
        ----------
        numbers : Index
            numbers of combinations [-]
        """
        return self.model.rows(self.listing.settings(numbers, self.change))

    def real(self, numbers: Index) -> Array:
        """Pressures of all nodes in combinations, (nodes, combinations) [Pa]; not a number where one was not solved.

        Parameters
        ----------
        numbers : Index
            numbers of combinations [-]
        """
        parts = [np.zeros((len(self.model.nodes), 0))]
        for part in self.listing.chunks(numbers):
            solution = self.solve(self.model.network, self.rows(part))
            parts.append(np.where(solution.converged, solution.pressure, np.nan))
            self.residual = max(
                self.residual, float(np.max(solution.residual_relative[solution.converged], initial=0.0))
            )
            self.solved += len(part)
            self.visited.append(part)
        return np.concatenate(parts, axis=1)

    def choice(self, numbers: Index, group: Group) -> Index:
        """Which choice of a group each combination takes.

        Parameters
        ----------
        numbers : Index
            numbers of combinations [-]
        group : Group
            one of the groups [-]
        """
        taken = np.zeros(len(numbers), dtype=np.intp)
        for position in group.freedoms:
            taken = taken * len(self.listing.freedoms[position].choices) + self.listing.digits(numbers, position)
        return taken

    def laws(self, place: int) -> Rows:
        """Laws of a group's elements, a row for each context and choice: nothing else that is free changes them.

        Parameters
        ----------
        place : int
            which group [-]
        """
        if place not in self._laws:
            group = self.groups[place]
            numbers = (self.contexts[:, None] + np.array(group.steps)[None, :]).ravel()
            self._laws[place] = self.rows(numbers).of_elements(group.elements)
        return self._laws[place]


@dataclass(frozen=True)
class Stage:
    """A held network with what is sought in it: for each group and goal the node at which it is felt, and the sense."""

    held: Held
    goals: tuple[Goal, ...]
    near: Index
    sense: Array


def parted(held: Held, groups: Sequence[Group]) -> list[Sides | None]:
    """What each group parts in a held network.

    Parameters
    ----------
    held : Held
        the network [-]
    groups : sequence of Group
        the groups [-]
    """
    return [sides(held, group.elements) for group in groups]


def stage(held: Held, groups: Sequence[Group], goals: Sequence[Goal]) -> Stage:
    """A held network made ready for its goals.

    Parameters
    ----------
    held : Held
        the network [-]
    groups : sequence of Group
        groups that part it, or that join a node to outdoors [-]
    goals : sequence of Goal
        what is sought [-]
    """
    cuts = parted(held, groups)
    near = np.full((len(groups), len(goals)), OUTSIDE, dtype=np.intp)
    sense = np.zeros((len(groups), len(goals)))
    for column, goal in enumerate(goals):
        for root, wanted in goal.roots:
            own = _own_side(cuts, goal, root)
            for place, cut in enumerate(cuts):
                if cut is None or place == goal.cut or not (cut.parts or OUTSIDE in cut.nodes):
                    continue
                for node, side in zip(cut.nodes, (cut.of_first, cut.of_second), strict=True):
                    if node != OUTSIDE and side[root] and (own is None or own[node]):
                        near[place, column], sense[place, column] = node, wanted
    return Stage(held, tuple(goals), near, sense)


def _own_side(cuts: Sequence[Sides | None], goal: Goal, root: int) -> Flags | None:
    """Nodes on the root's own side of the group that the goal keeps; None where it keeps none."""
    cut = cuts[goal.cut] if goal.cut >= 0 else None
    if cut is None:
        return None
    return cut.of_first if cut.of_first[root] else cut.of_second


@dataclass(frozen=True)
class Chains:
    """Where chains ended: numbers of the combinations, pressures of the free nodes (nodes, rows) [Pa], settled rows."""

    numbers: Index
    pressure: Array
    settled: Flags


def run(ground: Ground, at: Stage, numbers: Index, context: Index, goal: Index, shift: Array) -> Chains:
    """Chains, a row each, in batches.

    Parameters
    ----------
    ground : Ground
        what is shared [-]
    at : Stage
        the held network and the goals [-]
    numbers : Index
        combinations to start from [-]
    context : Index
        the context of each [-]
    goal : Index
        the goal of each [-]
    shift : Array
        what held pressures add at every element, (elements, rows) [Pa]; a row in which one is not known settles nothing
    """
    parts = []
    for first in range(0, len(numbers), CHUNK):
        part = slice(first, first + CHUNK)
        parts.append(_chunk(ground, at, numbers[part], context[part], goal[part], shift[:, part]))
    return Chains(
        np.concatenate([one.numbers for one in parts]),
        np.concatenate([one.pressure for one in parts], axis=1),
        np.concatenate([one.settled for one in parts]),
    )


def _chunk(ground: Ground, at: Stage, numbers: Index, context: Index, goal: Index, shift: Array) -> Chains:
    numbers = numbers.copy()
    pressure = np.zeros((len(at.held.free), len(numbers)))
    settled = np.zeros(len(numbers), dtype=bool)
    left = np.flatnonzero(np.isfinite(shift).all(axis=0))
    for _ in range(TURNS):
        if not len(left):
            break
        rows = at.held.rows(ground.rows(numbers[left]), shift[:, left])
        solution = ground.solve(at.held.network, rows)
        ground.solved += len(left)
        ground.visited.append(numbers[left])
        pressure[:, left] = solution.pressure
        taken = _least(ground, at, numbers[left], context[left], goal[left], solution.pressure, shift[:, left])
        moved = (taken != numbers[left]) & solution.converged
        settled[left] = ~moved & solution.converged
        numbers[left[moved]] = taken[moved]
        left = left[moved]
    return Chains(numbers, pressure, settled)


def _least(  # noqa: PLR0913, PLR0917
    ground: Ground, at: Stage, numbers: Index, context: Index, goal: Index, pressure: Array, shift: Array
) -> Index:
    """The combinations in which every group takes the choice that lets in least (or most) at these pressures."""
    held, taken = at.held, numbers.copy()
    whole = np.zeros((len(held.place) + 1, len(numbers)))  # the last place: outdoors
    whole[held.free] = pressure
    for place, group in enumerate(ground.groups):
        near = at.near[place, goal]
        some = np.flatnonzero(near >= 0)
        if not len(some):
            continue
        tail, head = held.whole.tail[group.elements], held.whole.head[group.elements]
        laws, choices = ground.laws(place), len(group.steps)
        node = held.free[near[some]]
        sign = (head[:, None] == node).astype(float) - (tail[:, None] == node)
        between = whole[tail][:, some] - whole[head][:, some] + shift[group.elements][:, some]
        inflow = np.empty((choices, len(some)))
        for choice in range(choices):
            rows = laws.of_rows(context[some] * choices + choice)
            inflow[choice] = _inflow(rows, between, sign)
        wanted = inflow * at.sense[place, goal[some]]
        own = ground.choice(numbers[some], group)
        best = np.argmax(wanted, axis=0)
        there = np.arange(len(some))
        gain = wanted[best, there] - wanted[own, there]
        better = gain > TIE * np.max(np.abs(inflow), axis=0) + 1e-15
        steps = np.array(group.steps)
        taken[some] += np.where(better, steps[best] - steps[own], 0)
    return taken


def _inflow(rows: Rows, between: Array, sign: Array) -> Array:
    """Flow into the near node through a group's elements [kg/s]."""
    difference = between + rows.offset
    total = np.zeros(between.shape[1])
    for index, law in rows.laws:
        flow, _ = law.flow_and_slope(difference[index])
        total += (flow * sign[index]).sum(axis=0)
    return total
