"""Small networks for the published cases.

Volume flows in L/s or m3/s at one density, so that printed numbers compare as they stand.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airledger.physics.fan import fan_curve
from airledger.physics.laws import FanLaw, FixedFlow, PowerLaw, RunLaw
from airledger.physics.network import Element, Network, Rows
from airledger.physics.solver import Solution, solve

CFM = 0.3048**3 / 60


def column(values: Sequence[float]) -> np.ndarray:
    return np.array(values, dtype=float).reshape(-1, 1)


class Sketch:
    """A network in the making: elements with unit density, so that a mass flow is a volume flow."""

    def __init__(self, nodes: Sequence[str]) -> None:
        self.nodes = tuple(nodes)
        self.powers: list[tuple[str, str, float, float, float]] = []
        self.machines: list[tuple[str, float]] = []
        self.runs: list[tuple[str, str, dict[str, float]]] = []
        self.fans: list[tuple[str, str, tuple[tuple[float, float], ...]]] = []

    def power(self, tail: str, head: str, coefficient: float, exponent: float, offset: float = 0.0) -> None:
        """A leak or orifice Q = C dP^n; offset: pressure at an outdoor tail minus 0 [Pa]."""
        self.powers.append((tail, head, coefficient, exponent, offset))

    def machine(self, room: str, flow: float) -> None:
        """A machine of fixed flow out of a room (negative: into it)."""
        self.machines.append((room, flow))

    def run(self, tail: str, head: str, **facts: float) -> None:
        """A duct: length, diameter, roughness [m], loss [-], density [kg/m3], viscosity [Pa s]."""
        self.runs.append((tail, head, facts))

    def fan(self, tail: str, head: str, points: tuple[tuple[float, float], ...]) -> None:
        """A fan by its points (flow, pressure rise)."""
        self.fans.append((tail, head, points))

    def solved(self) -> Solution:
        place = {name: index for index, name in enumerate(self.nodes)} | {"outdoors": -1}
        ends = [(t, h) for t, h, *_ in self.powers] + [(r, "outdoors") for r, _ in self.machines]
        ends += [(t, h) for t, h, _ in self.runs] + [(t, h) for t, h, _ in self.fans]
        elements = tuple(Element(f"{t} to {h}", "test", place[t], place[h]) for t, h in ends)
        laws, start = [], 0

        def indices(count: int) -> np.ndarray:
            nonlocal start
            start += count
            return np.arange(start - count, start)

        if self.powers:
            coefficient, exponent = column([p[2] for p in self.powers]), column([p[3] for p in self.powers])
            laws.append((indices(len(self.powers)), PowerLaw(coefficient, coefficient, exponent)))
        if self.machines:
            laws.append((indices(len(self.machines)), FixedFlow(column([flow for _, flow in self.machines]))))
        for _, _, facts in self.runs:
            laws.append((indices(1), duct(**facts)))
        for _, _, points in self.fans:
            curve = fan_curve(points)
            stiff = curve.knots[-1] / curve.coefficients[3][0] ** 2
            one = column([1.0])
            laws.append((indices(1), FanLaw(curve.knots, curve.coefficients, stiff, one, one, one, one)))
        offset = column([p[4] for p in self.powers] + [0.0] * (len(elements) - len(self.powers)))
        network = Network(self.nodes, elements)
        solution = solve(network, Rows(tuple(laws), offset, 1))
        assert solution.converged.all()
        assert solution.residual_relative.max() < 1e-12
        return solution


def duct(length: float, diameter: float, roughness: float, loss: float, density: float, viscosity: float) -> RunLaw:
    """A duct whose mass flow is a volume flow: the dry-air density is taken as 1."""
    area = np.pi / 4 * diameter**2
    zero, one = column([0.0]), column([1.0])
    return RunLaw(
        column([length]),
        column([diameter]),
        column([roughness]),
        column([area]),
        column([loss / (2 * area**2)]),
        zero,
        one,
        one,
        column([density]),
        column([density]),
        one,
        one,
        column([viscosity]),
    )


def room_pressure(solution: Solution, room: str) -> float:
    return float(solution.pressure[solution.network.nodes.index(room), 0])
