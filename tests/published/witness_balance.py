"""The balance of the witness: absolute pressures, column by column of air, and every node closed at once by scipy.

    P(room, z) = P0 - rho_out g z_floor + p(room) - rho_room g (z - z_floor),   P(outdoors, z) = P0 - rho_out g z + wind

Every law rises with its pressure difference, so that there is one solution wherever the root finder starts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq, root

from tests.published.witness_laws import Air, Law, Rounding

GRAVITY = 9.80665
OUT = "outdoors"


@dataclass(frozen=True)
class Way:
    """One way for air: from tail at a height to head at another, the air between, its law in kg/s of dry air."""

    through: str
    tail: str
    head: str
    z_tail: float
    z_head: float
    law: Law
    filled: str = ""
    wind: float = 0.0


class Balance:
    """Ways for air between nodes; with `test` every room inside is held at -50 Pa and no column of air counts."""

    ways: list[Way]
    heights: dict[str, float]
    inside: list[str]
    test: bool

    def air(self, node: str) -> Air:
        """The air at a node."""
        raise NotImplementedError

    def absolute(self, node: str, z: float, gauge: Mapping[str, float]) -> float:
        """Pressure at a height, less what undisturbed outdoors has at the datum."""
        if self.test:
            return gauge[node]
        outside = self.air(OUT).density * GRAVITY
        if node == OUT:
            return -outside * z
        floor = self.heights[node]
        return -outside * floor + gauge[node] - self.air(node).density * GRAVITY * (z - floor)

    def difference(self, way: Way, gauge: Mapping[str, float]) -> float:
        filled = 0.0 if self.test else self.air(way.filled or way.tail).density
        drive = self.absolute(way.tail, way.z_tail, gauge) - self.absolute(way.head, way.z_head, gauge)
        drive -= filled * GRAVITY * (way.z_head - way.z_tail)
        return drive + way.wind * ((way.tail == OUT) - (way.head == OUT))

    def sums(self, pressures: Sequence[float], held: Mapping[str, float], nodes: list[str]) -> np.ndarray:
        """What flows into each node, less what flows out [kg/s]."""
        gauge = {**held, **dict(zip(nodes, pressures, strict=True))}
        place = {node: index for index, node in enumerate(nodes)}
        total = np.zeros(len(nodes))
        for way in self.ways:
            flow = way.law(self.difference(way, gauge))
            for node, sign in ((way.tail, -1), (way.head, 1)):
                if node in place:
                    total[place[node]] += sign * flow
        return total

    def solved(self) -> dict[str, float]:
        """Pressure of every node: one by one by bracketing, then all at once, ever less rounded; the residual held."""
        gauge = dict.fromkeys(self.heights, 0.0) | (dict.fromkeys(self.inside, -50.0) if self.test else {})
        nodes = [name for name in self.heights if name != OUT and not (self.test and name in self.inside)]
        around = {node: [way for way in self.ways if node in (way.tail, way.head)] for node in nodes}

        def left_at(node: str, pressure: float) -> float:
            trial = {**gauge, node: pressure}
            return sum(w.law(self.difference(w, trial)) * ((w.head == node) - (w.tail == node)) for w in around[node])

        for Rounding.width in (1.0, 1e-2, 1e-4, 1e-6, 1e-7):
            for node in nodes if Rounding.width == 1.0 else ():
                gauge[node] = brentq(lambda p, n=node: left_at(n, p), -1e5, 1e5, xtol=1e-13)
            found = root(self.sums, [gauge[n] for n in nodes], (gauge, nodes), jac=self.slopes, tol=1e-15)
            gauge |= dict(zip(nodes, map(float, found.x), strict=True))
        largest = max((abs(way.law(self.difference(way, gauge))) for way in self.ways), default=0.0)
        left = float(np.abs(self.sums(found.x, gauge, nodes)).max(initial=0.0))
        assert left <= 1e-9 * largest + 1e-12, (left, largest, found.message)
        return gauge

    def slopes(self, pressures: Sequence[float], held: Mapping[str, float], nodes: list[str]) -> np.ndarray:
        """Derivatives of the sums by difference quotients, each law on its own scale."""
        gauge = {**held, **dict(zip(nodes, pressures, strict=True))}
        place = {node: index for index, node in enumerate(nodes)}
        table = np.zeros((len(nodes), len(nodes)))
        for way in self.ways:
            x = self.difference(way, gauge)
            step = 1e-4 * max(abs(x), Rounding.width)
            slope = (way.law(x + step) - way.law(x - step)) / (2 * step)
            for one, sign in ((way.tail, -1), (way.head, 1)):
                for other, turn in ((way.tail, 1), (way.head, -1)):
                    if one in place and other in place:
                        table[place[one], place[other]] += sign * turn * slope
        return table

    def flows(self, gauge: Mapping[str, float]) -> dict[tuple[str, str, str], float]:
        """Mass flow of dry air by what it goes through, from and to."""
        total: dict[tuple[str, str, str], float] = {}
        for way in self.ways:
            flow = way.law(self.difference(way, gauge))
            ends = (way.tail, way.head) if flow >= 0 else (way.head, way.tail)
            total[way.through, *ends] = total.get((way.through, *ends), 0.0) + abs(flow)
        return total
