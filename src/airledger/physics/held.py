"""A network with the pressure of some nodes held: they become a piece of outdoors at a pressure of their own.

What happens at one held node no longer reaches the others, so that a network in which every node is joined to every
other by way of an attic or a ventilator falls into parts that can be looked at one by one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.physics.network import OUTSIDE, Element, Network, Rows

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True)
class Held:
    """A network without some of its nodes.

    network: the nodes that are left free, and the elements with at least one free end; free, elements: where they stand
    in the whole network; place: of every node of the whole network among the free ones, -1 where it is held.
    """

    whole: Network
    network: Network
    free: Index
    elements: Index
    place: Index

    def rows(self, rows: Rows, shift: Array) -> Rows:
        """The rows of a batch with the held nodes at given pressures.

        Parameters
        ----------
        rows : Rows
            rows of the whole network [-]
        shift : Array
            pressure at the held end of every element of the whole network, 0 where no end is held; minus it where the
            head is held, (elements, rows) [Pa]
        """
        if len(self.elements) == len(shift):
            return Rows(rows.laws, rows.offset + shift, rows.size, rows.names)
        some = rows.of_elements(self.elements)
        return Rows(some.laws, some.offset + shift[self.elements], rows.size, rows.names)

    def shift(self, pressure: Array) -> Array:
        """What held pressures add to the difference at every element of the whole network, (elements, rows) [Pa].

        Parameters
        ----------
        pressure : Array
            pressure of every node of the whole network, those that are free not used, (nodes, rows) [Pa]
        """
        fixed = np.concatenate([np.where((self.place < 0)[:, None], pressure, 0.0), np.zeros((1, pressure.shape[1]))])
        added: Array = fixed[self.whole.tail] - fixed[self.whole.head]
        return added

    def touching(self, nodes: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Elements of the whole network with an end among some of the free nodes.

        Parameters
        ----------
        nodes : NDArray[np.bool_]
            which of the free nodes [-]
        """
        inside = np.zeros(len(self.place) + 1, dtype=bool)  # the last place: outdoors
        inside[self.free] = nodes
        found: NDArray[np.bool_] = inside[self.whole.tail] | inside[self.whole.head]
        return found


def hold(network: Network, nodes: Index) -> Held:
    """The network that is left when some nodes are held.

    Parameters
    ----------
    network : Network
        the whole network [-]
    nodes : Index
        which nodes are held [-]

    Reference: a Dirichlet condition at inner nodes; docs/theory/worst-state.md.
    """
    is_held = np.zeros(len(network.nodes), dtype=bool)
    is_held[nodes] = True
    free = np.flatnonzero(~is_held)
    place = np.full(len(network.nodes) + 1, OUTSIDE, dtype=np.intp)  # the last place: outdoors, index -1
    place[free] = np.arange(len(free))
    ends = np.stack([place[network.tail], place[network.head]], axis=1)
    elements = np.flatnonzero((ends >= 0).any(axis=1))
    kept = tuple(
        Element(network.elements[i].through, network.elements[i].kind, int(ends[i, 0]), int(ends[i, 1]))
        for i in elements
    )
    names = tuple(network.nodes[node] for node in free)
    return Held(network, Network(names, kept), free, elements, place[:-1])
