"""How low and how high each room can get in each context, without listing what stands free: a bound.

Weather, tightness and whatever acts on several ways for air at once, such as the ventilator's speed, make the contexts.
Attic, garage and the ventilator's boxes join rooms that only doors join otherwise. Their pressures are held at the
lowest (or highest) that they can reach themselves, so that the house falls apart at its doors and the rest follows door
by door (`search.chains`). No combination goes past the bound; it may be that none reaches it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.house.assemble import Model
from airledger.physics.held import Held, hold
from airledger.physics.network import OUTSIDE
from airledger.search.chains import Flags, Goal, Ground, Stage, parted, run, stage
from airledger.search.states import Index

Array = NDArray[np.float64]

ROUNDS = 10
ROUNDING = 1e-9
MARGIN = 1e-4
STEEPEST = 0.9


@dataclass(frozen=True)
class Bounds:
    """The least and the most that every node can reach in each context, (nodes, contexts) [Pa].

    numbers: combinations in which single rooms were brought lowest and highest, worth trying for real.
    """

    low: Array
    high: Array
    numbers: Index


@dataclass(frozen=True)
class Layout:
    """The nodes of a house: rooms inside the envelope, and joints: whatever else joins two or more of them."""

    rooms: Index
    joints: Index


def buffers(model: Model) -> Index:
    """Nodes of attic, crawl space and garage: next to outdoors, so that holding them costs a bound next to nothing.

    Parameters
    ----------
    model : Model
        the house as a network [-]
    """
    inside = {room.name for room in model.house.conditioned}
    names = [room.name for room in model.house.rooms if room.name not in inside]
    return np.array([model.nodes.index(name) for name in names], dtype=np.intp)


def layout(model: Model) -> Layout:
    """Rooms and joints of a house.

    Parameters
    ----------
    model : Model
        the house as a network [-]
    """
    place = {name: index for index, name in enumerate(model.nodes)}
    rooms = [place[room.name] for room in model.house.conditioned]
    spaces = buffers(model).tolist()
    near: dict[int, set[int]] = {}
    for element in model.network.elements:
        if min(element.tail, element.head) >= 0:
            near.setdefault(element.tail, set()).add(element.head)
            near.setdefault(element.head, set()).add(element.tail)
    boxes = []
    seen: set[int] = set()
    known = {*rooms, *spaces}
    for start in range(len(model.nodes)):
        if start in known or start in seen:
            continue
        part, waiting = {start}, [start]
        while waiting:
            for node in near.get(waiting.pop(), set()) - known - part:
                part.add(node)
                waiting.append(node)
        seen |= part
        if len({room for node in part for room in near.get(node, set()) & known}) > 1:
            boxes += [node for node in sorted(part) if near[node] & known]
    return Layout(np.array(rooms, dtype=np.intp), np.array([*spaces, *boxes], dtype=np.intp))


class Bounding:
    """The means of a bound: the network with its joints held, and with its rooms held."""

    def __init__(self, ground: Ground, parts: Layout | None = None) -> None:
        self.ground = ground
        self.layout = parts if parts is not None else layout(ground.model)
        self.upper = hold(ground.model.network, self.layout.joints)
        self.lower = hold(ground.model.network, self.layout.rooms)
        self.of_rooms = self._stage(self.upper, self.layout.rooms)
        self.of_joints = self._stage(self.lower, self.layout.joints)

    @property
    def falls_apart(self) -> bool:
        """Whether each group parts the held network; a ring of doors does not fall apart, and then nothing is bound."""
        cuts = [cut for held in (self.upper, self.lower) for cut in parted(held, self.ground.groups)]
        return all(cut is None or cut.parts or OUTSIDE in cut.nodes for cut in cuts)

    def _stage(self, held: Held, nodes: Index) -> Stage:
        goals = [Goal(((int(node), sense),)) for sense in (-1.0, 1.0) for node in held.place[nodes]]
        return stage(held, self.ground.groups, goals)

    def bounds(self) -> Bounds:
        """The least and the most that every node can reach in each context; -inf or inf where none was found.

        Pressures held for the joints are good once the joints, with every room at its own least, come out no lower.
        """
        rooms, joints = self.layout.rooms, self.layout.joints
        numbers = self.ground.contexts
        start = self.ground.real(numbers)
        low, high, of_rooms, _ = self._turn(self.of_rooms, rooms, start, start, np.tile(numbers, 2 * len(rooms)))
        seen = self.ground.real(of_rooms).reshape(len(low), -1, len(numbers))
        low[joints], high[joints] = np.nanmin(seen[joints], axis=1), np.nanmax(seen[joints], axis=1)
        good = Bounds(np.full_like(low, -np.inf), np.full_like(low, np.inf), of_rooms)
        of_joints = np.tile(numbers, 2 * len(joints))
        before = np.full((2, 1, len(numbers)), np.inf)
        for count in range(ROUNDS):
            low, high, of_rooms, settled = self._turn(self.of_rooms, rooms, low, high, of_rooms)
            lower, higher, of_joints, still = self._turn(self.of_joints, joints, low, high, of_joints)
            step = np.array([(low - lower)[joints], (higher - high)[joints]])
            fine = np.all(step <= ROUNDING, axis=1) & settled & still
            good = _better(good, fine, low, high, of_rooms)
            if np.isfinite(good.low).all() and np.isfinite(good.high).all():
                break
            size = np.max(step, axis=1, keepdims=True, initial=0.0)  # joints pull each other along: one ratio a context
            ratio = np.clip(np.nan_to_num(size / before, nan=0.0, posinf=0.0, neginf=0.0), 0.0, STEEPEST)
            before = np.maximum(size, 1e-300)
            further = np.maximum(step, 0.0) * ratio / (1 - ratio) + MARGIN * 2.0**count
            low[joints], high[joints] = lower[joints] - further[0], higher[joints] + further[1]
        return good

    def joints_between(self, low: Array, high: Array) -> tuple[Array, Array]:
        """The same ends with those of the joints as low and as high as all other nodes at theirs let them come.

        Parameters
        ----------
        low : Array
            the least of every node in every context, (nodes, contexts) [Pa]
        high : Array
            the most of every node in every context, (nodes, contexts) [Pa]
        """
        joints = self.layout.joints
        start = np.tile(self.ground.contexts, 2 * len(joints))
        lower, higher, _, settled = self._turn(self.of_joints, joints, low, high, start)
        lower[joints] = np.where(settled[0], lower[joints], -np.inf)
        higher[joints] = np.where(settled[1], higher[joints], np.inf)
        return lower, higher

    def _turn(
        self, at: Stage, nodes: Index, low: Array, high: Array, numbers: Index
    ) -> tuple[Array, Array, Index, Flags]:
        """The least and most of some nodes with all others held at their own, and the combinations that reach them.

        With them whether all of it was settled, (lows and highs, contexts).
        """
        count, contexts = len(nodes), len(self.ground.contexts)
        if not count:
            return low, high, numbers, np.ones((2, contexts), dtype=bool)
        shift = np.concatenate([np.tile(at.held.shift(end), count) for end in (low, high)], axis=1)
        goal = np.repeat(np.arange(2 * count), contexts)
        found = run(self.ground, at, numbers, np.tile(np.arange(contexts), 2 * count), goal, shift)
        place = at.held.place[np.tile(nodes, 2)][goal]
        reached = found.pressure[place, np.arange(len(goal))].reshape(2, count, contexts)
        lower, higher = low.copy(), high.copy()
        lower[nodes], higher[nodes] = reached[0], reached[1]
        settled: Flags = np.all(found.settled.reshape(2, count, contexts), axis=1)
        return lower, higher, found.numbers, settled


def _better(good: Bounds, fine: Flags, low: Array, high: Array, numbers: Index) -> Bounds:
    """Bounds with those of the contexts that were found to be good just now, where none was known."""
    lower = np.where(np.isfinite(good.low), good.low, np.where(fine[0], low, -np.inf))
    higher = np.where(np.isfinite(good.high), good.high, np.where(fine[1], high, np.inf))
    return Bounds(lower, higher, np.unique(np.concatenate([good.numbers, numbers])))
