"""The network of a house: topology, made once, and rows of numbers laid over it.

A node is a room or a duct junction; its unknown is a pressure [Pa]. An element joins two nodes, or a node and
outdoors (index -1), and lets
dry air [kg/s] through by its law at x = p(tail) - p(head) + offset, where outdoors is 0 Pa and the offset holds
stack, wind and columns of air.
States, seasons, sampled unknowns, options and faults are rows; a row's answer does not depend on its neighbours.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from airledger.physics.laws import FixedFlow, Law

Array = NDArray[np.float64]
Index = NDArray[np.intp]

OUTSIDE = -1
"""Index of outdoors, whose pressure is 0 by definition."""


@dataclass(frozen=True)
class Element:
    """One way for air: what it goes through, its kind in words, and the nodes at its ends (-1 = outdoors)."""

    through: str
    kind: str
    tail: int
    head: int


@dataclass(frozen=True)
class Rows:
    """Numbers for a batch of states over one topology.

    laws: (indices of elements, law) for all elements; offset [Pa] (elements, rows or 1); names: one a row, for
    messages.
    """

    laws: tuple[tuple[Index, Law], ...]
    offset: Array
    size: int
    names: tuple[str, ...] = ()

    def of_rows(self, rows: Index) -> Rows:
        """Some of the rows.

        Parameters
        ----------
        rows : Index
            which rows [-]
        """
        offset = self.offset if self.offset.shape[1] == 1 else np.ascontiguousarray(self.offset[:, rows])
        names = tuple(self.name(int(row)) for row in rows) if self.names else ()
        return Rows(tuple((index, law.of_rows(rows)) for index, law in self.laws), offset, len(rows), names)

    def of_elements(self, elements: Index) -> Rows:
        """The numbers of some of the elements, numbered anew in the order given.

        Parameters
        ----------
        elements : Index
            which elements, rising [-]
        """
        laws = []
        for index, law in self.laws:
            places = np.flatnonzero(np.isin(index, elements))
            if len(places):
                laws.append((np.searchsorted(elements, index[places]), law.of_elements(places)))
        return Rows(tuple(laws), self.offset[elements], self.size, self.names)

    def name(self, row: int) -> str:
        """What a row is called in a message.

        Parameters
        ----------
        row : int
            which row [-]
        """
        return self.names[row] if row < len(self.names) else f"row {row}"


@dataclass(frozen=True)
class Gathering:
    """Sums of elements at places, each row by itself.

    order: places with the longest lists first; layers of (elements, signs or None for all +1): the first elements of
    all lists, then the second ones of those that have two, and so on.
    """

    order: Index
    layers: tuple[tuple[Index, Array | None], ...]

    def of(self, values: Array) -> Array:
        """The sums, (places, rows).

        Parameters
        ----------
        values : Array
            one value an element and row [same as the sums]
        """
        total = np.zeros((len(self.order), values.shape[1]))
        for elements, signs in self.layers:
            part = values[elements]
            if signs is not None:
                part *= signs
            total[: len(elements)] += part
        placed = np.empty_like(total)
        placed[self.order] = total
        return placed

    @property
    def unsigned(self) -> Gathering:
        """The same sums with every sign taken as +1."""
        return Gathering(self.order, tuple((elements, None) for elements, _ in self.layers))


@dataclass(frozen=True)
class Network:
    """Nodes by name and the elements between them."""

    nodes: tuple[str, ...]
    elements: tuple[Element, ...]

    @cached_property
    def tail(self) -> Index:
        """Node at each element's tail; -1 is outdoors."""
        return np.array([element.tail for element in self.elements], dtype=np.intp)

    @cached_property
    def head(self) -> Index:
        """Node at each element's head; -1 is outdoors."""
        return np.array([element.head for element in self.elements], dtype=np.intp)

    @cached_property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        """Pairs of nodes that elements join, each once, lower index first.

        Pairs that elimination fills in come last.
        """
        joined = {
            (min(e.tail, e.head), max(e.tail, e.head))
            for e in self.elements
            if min(e.tail, e.head) >= 0 and e.tail != e.head
        }
        filled = list(joined)
        for _, near in self._elimination:
            for position, left in enumerate(near):
                for right in near[position + 1 :]:
                    pair = (min(left, right), max(left, right))
                    if pair not in joined:
                        joined.add(pair)
                        filled.append(pair)
        return tuple(filled)

    @cached_property
    def _elimination(self) -> tuple[tuple[int, tuple[int, ...]], ...]:
        """Nodes in the order of least degree, each with the nodes still there that it is joined to."""
        near: list[set[int]] = [set() for _ in self.nodes]
        for element in self.elements:
            if min(element.tail, element.head) >= 0 and element.tail != element.head:
                near[element.tail].add(element.head)
                near[element.head].add(element.tail)
        left = set(range(len(self.nodes)))
        order: list[tuple[int, tuple[int, ...]]] = []
        while left:
            node = min(left, key=lambda candidate: (len(near[candidate]), candidate))
            left.discard(node)
            around = tuple(sorted(near[node]))
            order.append((node, around))
            for one in around:
                near[one] |= set(around) - {one}
                near[one].discard(node)
        return tuple(order)

    @cached_property
    def steps(self) -> tuple[tuple[int, tuple[int, ...], tuple[int, ...], tuple[tuple[int, int, int], ...]], ...]:
        """Elimination written out.

        Node, its neighbours, the pair index to each, and (left, right, pair) triples to update.
        """
        number = {pair: index for index, pair in enumerate(self.pairs)}
        written = []
        for node, near in self._elimination:
            links = tuple(number[min(node, one), max(node, one)] for one in near)
            fills = tuple(
                (i, j, number[min(near[i], near[j]), max(near[i], near[j])])
                for i in range(len(near))
                for j in range(i + 1, len(near))
            )
            written.append((node, near, links, fills))
        return tuple(written)

    @cached_property
    def at_node(self) -> Gathering:
        """How the flows of elements add up at every node: out at the tail, in at the head."""
        lists: list[list[tuple[int, float]]] = [[] for _ in self.nodes]
        for index, element in enumerate(self.elements):
            if element.tail != element.head:
                for node, sign in ((element.tail, 1.0), (element.head, -1.0)):
                    if node >= 0:
                        lists[node].append((index, sign))
        return _gathering(lists)

    @cached_property
    def at_pair(self) -> Gathering:
        """How the slopes of the elements between two nodes add up."""
        number = {pair: index for index, pair in enumerate(self.pairs)}
        lists: list[list[tuple[int, float]]] = [[] for _ in self.pairs]
        for index, e in enumerate(self.elements):
            if min(e.tail, e.head) >= 0 and e.tail != e.head:
                lists[number[min(e.tail, e.head), max(e.tail, e.head)]].append((index, 1.0))
        return _gathering(lists)

    @cached_property
    def to_outdoors(self) -> Gathering:
        """How the slopes of the elements between a node and outdoors add up."""
        lists: list[list[tuple[int, float]]] = [[] for _ in self.nodes]
        for index, e in enumerate(self.elements):
            if min(e.tail, e.head) < 0 and max(e.tail, e.head) >= 0:
                lists[max(e.tail, e.head)].append((index, 1.0))
        return _gathering(lists)

    def sealed_groups(self, rows: Rows) -> tuple[tuple[int, ...], ...]:
        """Groups of nodes that no element but machines of fixed flow joins to outdoors.

        Parameters
        ----------
        rows : Rows
            the laws tell which elements hold their flow [-]
        """
        fixed = {int(i) for index, law in rows.laws if isinstance(law, FixedFlow) for i in index}
        parent = list(range(len(self.nodes) + 1))

        def root(node: int) -> int:
            while parent[node] != node:
                node = parent[node]
            return node

        for index, element in enumerate(self.elements):
            if index not in fixed:
                one, other = root(element.tail), root(element.head)  # -1 is the last place: outdoors
                parent[max(one, other)] = min(one, other)
        groups: dict[int, list[int]] = {}
        outdoors = root(len(self.nodes))
        for node in range(len(self.nodes)):
            if root(node) != outdoors:
                groups.setdefault(root(node), []).append(node)
        return tuple(tuple(group) for group in groups.values())


def _gathering(lists: list[list[tuple[int, float]]]) -> Gathering:
    order = sorted(range(len(lists)), key=lambda place: (-len(lists[place]), place))
    layers = []
    for depth in range(max((len(entries) for entries in lists), default=0)):
        entries = [lists[place][depth] for place in order if len(lists[place]) > depth]
        signs = None if all(sign == 1.0 for _, sign in entries) else np.array([[sign] for _, sign in entries])
        layers.append((np.array([element for element, _ in entries], dtype=np.intp), signs))
    return Gathering(np.array(order, dtype=np.intp), tuple(layers))
