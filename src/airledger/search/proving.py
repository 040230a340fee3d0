"""What is known of every context and listing of the doors on loops, and how the rooms' worst is brought nearer.

A row is a context with one listing of those doors; all else is free in it. Buffer spaces are held at the lowest and
highest that they can reach.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from airledger.house.readout import Readout
from airledger.physics.held import hold
from airledger.physics.network import OUTSIDE
from airledger.search.bounds import Bounding, Layout
from airledger.search.chains import Chains, Flags, Goal, Ground, Stage, run, stage
from airledger.search.sought import HOUSE, Sought, fixed_reference
from airledger.search.states import Index

Array = NDArray[np.float64]

CLOSE = 0.01
"""How much worse than found a bound may be for a target to count as proved [Pa]."""

MOST_KEPT = 20_000
PAST = 1_000.0
"""Pressure past which a fan cannot hold its flow [Pa]: then nothing is proved."""


class Proving:
    """One proof under way. Rows: (context, listing of the doors on loops), all else free; buffer spaces held."""

    def __init__(
        self, ground: Ground, sought: tuple[Sought, ...], loops: Index, on_loop: Sequence[bool], held: Index
    ) -> None:
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
        self.kept: list[tuple[Index, Array]] = [(self.start[:0], self.low[:-1, :0])]
        self.buffers = held
        self.held = hold(ground.model.network, self.buffers)
        others = np.setdiff1d(np.arange(len(ground.model.nodes)), self.buffers)
        self.beside = Bounding(ground, Layout(others, self.buffers))
        self.locked = np.array(on_loop, dtype=bool)
        self.offsets = self._offsets()
        self.listed = np.full((len(sought), rows), np.inf)
        self.ends = {sense: np.zeros((len(ground.model.nodes), rows), dtype=np.intp) for sense in (-1.0, 1.0)}
        self.row_reference = self._references()

    def _references(self) -> Index:
        """Node of the room whose pressure is the house's in every row: doors may be on loops, or in the contexts."""
        model = self.ground.model
        place = {name: index for index, name in enumerate(model.nodes)}
        fixed = fixed_reference(model.house)
        if fixed is not None:
            return np.full(len(self.start), place[fixed], dtype=np.intp)
        settings = self.ground.listing.settings(self.start, self.ground.change)
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

    def hold_buffers(self) -> None:
        """How low and high buffer spaces can get, from what is known of the rooms by now."""
        if not len(self.buffers):
            return
        shape = (-1, len(self.contexts), self.width)
        done = np.all(np.isneginf(self.listed), axis=0)  # rows solved in full need no bound
        low = np.maximum(np.where(done, np.inf, self.low[:-1]).reshape(shape).min(axis=2), -PAST)
        high = np.minimum(np.where(done, -np.inf, self.high[:-1]).reshape(shape).max(axis=2), PAST)
        low, high = np.minimum(low, PAST), np.maximum(high, -PAST)
        low, high = self.beside.joints_between(low, high)
        self.least, self.greatest = low[self.buffers], high[self.buffers]
        self.low[self.buffers] = np.maximum(self.low[self.buffers], np.repeat(self.least, self.width, axis=1))
        self.high[self.buffers] = np.minimum(self.high[self.buffers], np.repeat(self.greatest, self.width, axis=1))

    def excess(self, place: int) -> float:
        """How much worse one thing might still be than what was found [Pa]; 0 where its rows are all solved.

        Parameters
        ----------
        place : int
            which, among what is sought [-]
        """
        more = self.most(place) - self.best[place]
        return float(np.max(more, initial=0.0))

    def most(self, place: int) -> Array:
        """The worst that the ranges of every row allow for one thing [Pa].

        Parameters
        ----------
        place : int
            which, among what is sought [-]
        """
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

    def note(self, numbers: Index, pressure: Array) -> None:
        """Keep the worst of solved combinations for everything that is sought.

        Parameters
        ----------
        numbers : Index
            combinations [-]
        pressure : Array
            of all nodes in them, (nodes, combinations) [Pa]
        """
        sound = np.all(np.abs(np.nan_to_num(pressure, nan=np.inf)) <= PAST, axis=0)
        numbers, pressure = numbers[sound], pressure[:, sound]
        if not len(numbers):
            return
        padded = np.concatenate([pressure, np.zeros((1, len(numbers)))])
        context, loop = self._row(numbers)
        worst = []
        for place, one in enumerate(self.sought):
            if one.a == HOUSE:
                value = -padded[self.row_reference[context * self.width + loop], np.arange(len(numbers))]
            else:
                value = padded[one.b] - padded[one.a]
            if one.opening is not None:
                value = np.abs(value - self.offsets[place, context])
                if one.door >= 0:
                    value = np.where(self.ground.listing.digits(numbers, one.door) == one.shut, value, -np.inf)
            at = int(np.argmax(value))
            if value[at] > self.best[place]:
                self.best[place] = value[at]
                worst.append(at)
        if sum(len(n) for n, _ in self.kept) + len(numbers) > MOST_KEPT:
            numbers, pressure = numbers[worst], pressure[:, worst]
        self.kept.append((numbers, pressure))

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
            wanted |= self.most(place) > self.best[place] + CLOSE
        return wanted

    def reach(self, sense: float, places: Sequence[int]) -> None:
        """The lowest (or highest) of every node in the rows in which it may matter, exactly.

        Parameters
        ----------
        sense : float
            -1 for the lowest, +1 for the highest [-]
        places : sequence of int
            what it may matter for, among what is sought [-]
        """
        goals = {place: self._nodes(self.sought[place]) for place in places}
        nodes = sorted(set().union(*goals.values()))
        if not nodes:
            return
        at = self.stage([Goal(((int(self.held.place[node]), sense),)) for node in nodes])
        alike = np.concatenate([at.near, at.sense])
        _, first, kind = np.unique(alike, axis=1, return_index=True, return_inverse=True)
        end = self.low if sense < 0 else self.high
        kinds = kind.reshape(-1)
        mine = [[node for node, own in zip(nodes, kinds, strict=True) if own == number] for number in range(len(first))]
        asked = [[place for place in places if goals[place] & set(own)] for own in mine]
        for some in self._portions():
            rows_of = [np.flatnonzero(self._open_rows(own) & some) for own in asked]
            rows = np.concatenate(rows_of)
            if not len(rows):
                continue
            which = np.repeat(np.arange(len(first)), [len(own) for own in rows_of])
            way = self.ends[sense][which, self.row_context[rows] * self.width]
            found = self.chains(at, first[which], rows, self.start[rows] + way, self.shift(end, rows))
            self.ends[sense][which, rows] = found.numbers - self.start[rows]
            for number, own in enumerate(mine):
                part = which == number
                reached = found.pressure[self.held.place[own]][:, part]
                kept = np.where(found.settled[part], reached, sense * np.inf)
                end[np.array(own)[:, None], rows_of[number][None, :]] = kept
            self.try_ends(found, rows, which, asked)

    def shift(self, end: Array, rows: Index) -> Array:
        """What the held buffer spaces add at every element, at one of their ends [Pa]; not a number: unknown.

        Parameters
        ----------
        end : Array
            pressure of every node and of outdoors in every row, (nodes + 1, rows) [Pa]
        rows : Index
            which rows [-]
        """
        known = np.where(np.isfinite(end[:-1, rows]), end[:-1, rows], np.nan)
        return self.held.shift(known)

    def try_ends(self, found: Chains, rows: Index, which: Index, asked: Sequence[Sequence[int]]) -> None:
        """Note where chains ended; with buffer spaces held the ends that promise most are solved for real first.

        Parameters
        ----------
        found : Chains
            where they ended [-]
        rows : Index
            the row of each chain [-]
        which : Index
            the kind of goal of each [-]
        asked : sequence of sequences of int
            what each kind matters for, among what is sought [-]
        """
        if not len(self.buffers):
            self.note(found.numbers, np.where(found.settled, found.pressure, np.nan))
            return
        chosen: list[Index] = []
        for number, places in enumerate(asked):
            mine = np.flatnonzero(which == number)
            context = self.row_context[rows[mine]]
            for place in places:
                order = np.lexsort((-self.most(place)[rows[mine]], context))
                chosen.append(mine[order[np.flatnonzero(np.diff(context[order], prepend=-1))]])
        numbers = np.unique(found.numbers[np.unique(np.concatenate(chosen))])
        self.note(numbers, self.ground.real(numbers))

    def _nodes(self, one: Sought) -> set[int]:
        """Nodes whose range bears on one thing."""
        if one.a == HOUSE:
            return {int(node) for node in np.unique(self.row_reference)}
        return {node for node in (one.a, one.b) if node >= 0 and self.held.place[node] >= 0}

    def stage(self, goals: Sequence[Goal]) -> Stage:
        """The network made ready for goals, doors on loops left as listed.

        Parameters
        ----------
        goals : sequence of Goal
            what is sought [-]
        """
        at = stage(self.held, self.ground.groups, goals)
        near = at.near.copy()
        near[self.locked] = OUTSIDE
        return replace(at, near=near)

    def _portions(self) -> tuple[Flags, Flags]:
        """Rows in two portions: one of every context, which shows the rest the way, and the rest."""
        first = np.zeros(len(self.start), dtype=bool)
        first[:: self.width] = True
        return first, ~first

    def chains(self, at: Stage, goal: Index, rows: Index, start: Index, shift: Array) -> Chains:
        """Chains of some rows.

        Parameters
        ----------
        at : Stage
            the network made ready [-]
        goal : Index
            which of its goals each row has [-]
        rows : Index
            the rows [-]
        start : Index
            a combination of each to start from [-]
        shift : Array
            what held pressures add at every element, (elements, rows) [Pa]
        """
        return run(self.ground, at, start, self.row_context[rows], goal, shift)

    def is_on_loop(self, one: Sought) -> bool:
        """Whether a door is listed because more than one way leads past it.

        Parameters
        ----------
        one : Sought
            a door [-]
        """
        pairs = zip(self.ground.groups, self.locked, strict=True)
        return any(locked and one.door in group.freedoms for group, locked in pairs)

    def cut(self, one: Sought) -> int:
        """The group that is a door between two parts of the house and nothing else; -1 where it is none.

        Parameters
        ----------
        one : Sought
            a door [-]
        """
        places = [i for i, group in enumerate(self.ground.groups) if group.freedoms == (one.door,)]
        return places[0] if places and not self.locked[places[0]] else -1


def _places(known: Index, wanted: Index) -> Index:
    order = np.argsort(known)
    found: Index = order[np.searchsorted(known[order], wanted)]
    return found
