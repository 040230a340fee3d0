"""What each thing that may differ acts on: which elements of the network, and from which node it is felt.

Found by trying: the laws of all elements are compared before and after each single change, from several combinations.
So a damper that follows a hood belongs to the hood, whatever the file calls it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.house.assemble import Model
from airledger.physics.held import Held
from airledger.physics.network import OUTSIDE, Network, Rows
from airledger.search.states import Change, Index, Listing

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

PROBES = (-180.0, -23.0, -1.7, -0.11, 0.13, 2.3, 31.0, 230.0)
"""Pressure differences at which laws are compared [Pa]."""

BASES = 6
"""Combinations drawn beside the first and the last, from which single changes are tried [-]."""

MOST_TOGETHER = 4_096
"""Choices of one group that are weighed at once; freedoms of a larger one are listed [-]."""


@dataclass(frozen=True)
class Group:
    """Freedoms that act on the same elements, looked at as one thing.

    freedoms: positions in the listing; elements: those that it changes; steps: what each of its choices adds to the
    number of a combination in which all of it stands at its first choice.
    """

    freedoms: tuple[int, ...]
    elements: Index
    steps: tuple[int, ...]


def touched(listing: Listing, model: Model, change: Change | None) -> list[Flags]:
    """Which elements each freedom of a listing changes.

    Parameters
    ----------
    listing : Listing
        the combinations [-]
    model : Model
        the house as a network [-]
    change : callable
        what an option makes different [-]
    """
    strides = listing.strides
    drawn = np.random.default_rng(0).integers(0, listing.size, BASES)
    bases = np.unique(np.concatenate([[0, listing.size - 1], drawn]))
    numbers, pairs = [bases], []
    first = len(bases)
    for position, freedom in enumerate(listing.freedoms):
        own = listing.digits(bases, position)
        for choice in range(len(freedom.choices)):
            pairs.append((position, slice(first, first + len(bases))))
            numbers.append(bases + (choice - own) * strides[position])
            first += len(bases)
    rows = model.rows(listing.settings(np.concatenate(numbers), change))
    marks = fingerprints(rows, len(model.network.elements))
    found = [np.zeros(len(model.network.elements), dtype=bool) for _ in listing.freedoms]
    for position, place in pairs:
        found[position] |= (marks[:, :, place] != marks[:, :, : len(bases)]).any(axis=(0, 2))
    return found


def fingerprints(rows: Rows, elements: int) -> Array:
    """What every element lets through at a few differences, and its offset, (probes + 1, elements, rows).

    Parameters
    ----------
    rows : Rows
        the numbers of a batch [-]
    elements : int
        how many elements there are [-]
    """
    told = np.empty((len(PROBES) + 1, elements, rows.size))
    told[-1] = rows.offset
    for place, difference in enumerate(PROBES):
        for index, law in rows.laws:
            told[place][index] = law.flow_and_slope(np.full((len(index), rows.size), difference))[0]
    return told


def groups_of(listing: Listing, model: Model, change: Change | None, kept: frozenset[str]) -> tuple[Group, ...]:
    """The freedoms that act on one way for air each; the others have to be listed.

    Parameters
    ----------
    listing : Listing
        the combinations [-]
    model : Model
        the house as a network [-]
    change : callable
        what an option makes different [-]
    kept : frozenset of str
        names of freedoms that shall be listed whatever they act on [-]
    """
    network = model.network
    marks = touched(listing, model, change)
    simple = [
        place
        for place, freedom in enumerate(listing.freedoms)
        if freedom.name not in kept and len(freedom.choices) > 1 and _is_one_way(network, marks[place])
    ]
    bundles: list[list[int]] = []
    for place in simple:
        mates = [bundle for bundle in bundles if any((marks[place] & marks[one]).any() for one in bundle)]
        bundles = [bundle for bundle in bundles if bundle not in mates] + [
            [*(one for mate in mates for one in mate), place]
        ]
    found = []
    for bundle in bundles:
        union = np.logical_or.reduce([marks[place] for place in bundle])
        if _is_one_way(network, union):
            if math.prod(len(listing.freedoms[place].choices) for place in bundle) > MOST_TOGETHER:
                continue
            steps = [0]
            for place in sorted(bundle):
                stride = listing.strides[place]
                steps = [step + c * stride for step in steps for c in range(len(listing.freedoms[place].choices))]
            found.append(Group(tuple(sorted(bundle)), np.flatnonzero(union), tuple(steps)))
    return tuple(found)


def _is_one_way(network: Network, elements: Flags) -> bool:
    """Whether elements all join the same two nodes, or the same node and outdoors."""
    pairs = {frozenset((int(network.tail[i]), int(network.head[i]))) for i in np.flatnonzero(elements)}
    return len(pairs) == 1


@dataclass(frozen=True)
class Sides:
    """A held network cut at a group: its two nodes (-1: outdoors), and which nodes are on the side of each."""

    nodes: tuple[int, int]
    of_first: Flags
    of_second: Flags

    @property
    def parts(self) -> bool:
        """Whether no way leads from one side to the other but through the group."""
        return not (self.of_first & self.of_second).any()


def sides(held: Held, elements: Index) -> Sides | None:
    """What a group parts in a held network; None where it acts on held nodes only.

    Parameters
    ----------
    held : Held
        the held network [-]
    elements : Index
        elements of the whole network, all between the same two nodes [-]
    """
    whole = held.whole
    first, second = (int(end[elements[0]]) for end in (whole.tail, whole.head))
    one, other = (OUTSIDE if node == OUTSIDE else int(held.place[node]) for node in (first, second))
    if one == other == OUTSIDE:
        return None
    pair = {one, other}
    left = [e for e in held.network.elements if {e.tail, e.head} != pair]
    return Sides((one, other), _reached(held.network, left, one), _reached(held.network, left, other))


def _reached(network: Network, elements: list, start: int) -> Flags:  # type: ignore[type-arg]
    reached = np.zeros(len(network.nodes), dtype=bool)
    if start == OUTSIDE:
        return reached
    near: dict[int, list[int]] = {}
    for element in elements:
        if min(element.tail, element.head) >= 0:
            near.setdefault(element.tail, []).append(element.head)
            near.setdefault(element.head, []).append(element.tail)
    waiting = [start]
    reached[start] = True
    while waiting:
        for node in near.get(waiting.pop(), []):
            if not reached[node]:
                reached[node] = True
                waiting.append(node)
    return reached
