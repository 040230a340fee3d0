"""What an answer of the solver costs: counted, never timed. And houses at the edge: without rooms, far past any fan."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
import pytest

from airledger.errors import StiffFan
from airledger.physics import solver
from airledger.physics.laws import FixedFlow, Law, PowerLaw, RunLaw
from airledger.physics.network import Element, Network, Rows
from tests.property.random_networks import random_network


class CountedLeak(PowerLaw):
    """A leak that counts for how many rows it is asked."""

    asked: ClassVar[int] = 0

    def flow_and_slope(self, difference: np.ndarray, near: np.ndarray | None = None) -> tuple[np.ndarray, np.ndarray]:
        CountedLeak.asked += difference.shape[1]
        return super().flow_and_slope(difference, near)


class CountedRun(RunLaw):
    """A duct that counts for how many rows its loss is asked."""

    asked: ClassVar[int] = 0

    def loss_and_slope(self, flow: np.ndarray, density: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        CountedRun.asked += flow.shape[1]
        return super().loss_and_slope(flow, density)


def counted(rows: Rows) -> Rows:
    """The same rows; the first group of leaks and the ducts count what they are asked."""
    laws: list[tuple[np.ndarray, Law]] = []
    for index, law in rows.laws:
        if isinstance(law, RunLaw):
            laws.append((index, CountedRun(*(getattr(law, name) for name in RunLaw.__dataclass_fields__))))
        elif isinstance(law, PowerLaw) and not laws:
            laws.append((index, CountedLeak(law.forward, law.reverse, law.exponent)))
        else:
            laws.append((index, law))
    return Rows(tuple(laws), rows.offset, rows.size, rows.names)


WORK = {2: (28, 111, 407), 14: (23, 94, 376), 16: (26, 141, 574), 19: (31, 110, 515)}


@pytest.mark.parametrize("seed", WORK)
def test_hard_random_networks_cost_no_more_work_than_they_did(seed: int) -> None:
    """Newton steps, rows asked of a leak, rows asked of a duct: as measured, and 3 in 100 for other roundings."""
    CountedLeak.asked = CountedRun.asked = 0
    network, rows = random_network(seed, 5)
    solution = solver.solve(network, counted(rows))
    assert solution.converged.all()
    work = int(solution.iterations.sum()), CountedLeak.asked, CountedRun.asked
    assert all(now <= 1.03 * before for now, before in zip(work, WORK[seed], strict=True)), work


def leaky(ends: tuple[tuple[int, int], ...], nodes: tuple[str, ...], offset: float) -> tuple[Network, Rows]:
    count = len(ends)
    law = PowerLaw(np.full((count, 1), 0.01), np.full((count, 1), 0.01), np.full((count, 1), 0.65))
    laws = ((np.arange(count), law),) if count else ()
    elements = tuple(Element("way", "way", tail, head) for tail, head in ends)
    return Network(nodes, elements), Rows(laws, np.full((count, 1), offset), 1)


def test_a_way_from_outdoors_to_outdoors_needs_no_room() -> None:
    network, rows = leaky(((-1, -1),), (), 4.0)
    solution = solver.solve(network, rows)
    assert solution.flow[0, 0] == pytest.approx(0.01 * 4**0.65, rel=1e-12)
    assert solution.converged.tolist() == [True]
    assert solution.residual_relative.tolist() == [0.0]


def test_a_room_without_any_way_stands_at_nothing() -> None:
    network, rows = leaky((), ("store",), 0.0)
    solution = solver.solve(network, rows)
    assert solution.pressure.tolist() == [[0.0]]
    assert solution.flow.shape == (0, 1)
    assert solution.residual_relative.tolist() == [0.0]


@pytest.mark.parametrize("pull", [0.3, 5.0])
def test_a_fan_far_too_strong_is_refused_as_such_and_not_as_unsolved(pull: float) -> None:
    """A million pascals and more: rounding then allows a small room no better than the house's pressure times 1e-11."""
    elements = (Element("leak", "leak", -1, 0), Element("door", "door", 0, 1), Element("vent", "vent", 1, -1))
    law = PowerLaw(*(np.array([[1e-5], [3.0], [1e-9]]) for _ in range(2)), np.array([[0.65], [0.5], [0.9]]))
    laws = ((np.arange(3), law), (np.array([3]), FixedFlow(np.array([[pull]]))))
    network = Network(("house", "store"), (*elements, Element("hood", "hood", 0, -1)))
    rows = Rows(laws, np.array([[0.0], [0.0], [2.0], [0.0]]), 1, ("hood high",))
    solution = solver.solve(network, rows)
    assert solution.converged.all()
    with pytest.raises(StiffFan, match=r"^hood high: house would reach"):
        solver.require_solved(solution, rows)
