"""Random networks: all solved, closing, within their laws; refused only for the two reasons there are."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from airledger.errors import NoWayForAir, StiffFan
from airledger.physics.laws import FixedFlow, PowerLaw
from airledger.physics.network import Element, Network, Rows
from airledger.physics.solver import Solution, require_solved, solve
from tests.property.random_networks import random_network

RELATIVE = 1e-9


def differences(network: Network, rows: Rows, pressure: np.ndarray) -> np.ndarray:
    padded = np.concatenate([pressure, np.zeros((1, pressure.shape[1]))])
    return padded[network.tail] - padded[network.head] + rows.offset


def law_flows(rows: Rows, difference: np.ndarray) -> np.ndarray:
    flow = np.empty_like(difference)
    for index, law in rows.laws:
        flow[index] = law.flow_and_slope(difference[index])[0]
    return flow


def refused(network: Network, rows: Rows, solution: Solution) -> np.ndarray:
    """Rows in which a machine of fixed flow holds one of its rooms past 1,000 Pa: no real fan does."""
    past = np.zeros(rows.size, dtype=bool)
    for index, law in rows.laws:
        if isinstance(law, FixedFlow):
            moved = np.broadcast_to(law.mass_flow, (len(index), rows.size)) != 0
            for place, element in enumerate(index):
                ends = (network.elements[element].tail, network.elements[element].head)
                for node in (end for end in ends if end >= 0):
                    past |= moved[place] & (np.abs(solution.pressure[node]) > 1000.0)
    return past


def check_solved(network: Network, rows: Rows, solution: Solution) -> None:
    """Every row is refused for a stiff fan, by name, or solved.

    Solved: every node balances, added up here anew; every flow lies within its law at the reported pressures.
    """
    past = refused(network, rows, solution)
    if past.any():
        with pytest.raises(StiffFan, match="would reach"):
            require_solved(solution, rows)
    good = ~past
    assert solution.converged[good].all()
    flow, pressure = solution.flow[:, good], solution.pressure[:, good]
    balance, size = np.zeros_like(pressure), np.zeros_like(pressure)
    for place, element in enumerate(network.elements):
        for node, sign in ((element.tail, 1.0), (element.head, -1.0)):
            if node >= 0:
                balance[node] += sign * flow[place]
                size[node] += 0.5 * np.abs(flow[place])
    largest = np.abs(flow).max(axis=0)
    assert (np.abs(balance) <= RELATIVE * np.maximum(size, 1e-6 * largest)).all()
    part = rows.of_rows(np.flatnonzero(good))
    slack = RELATIVE * np.maximum(1.0, np.abs(pressure).max(axis=0, initial=0.0))
    difference = differences(network, part, pressure)
    rounding = 1e-14 * largest
    assert (flow >= law_flows(part, difference - slack) - rounding).all()
    assert (flow <= law_flows(part, difference + slack) + rounding).all()


@pytest.mark.parametrize("block", range(20))
def test_two_thousand_random_networks(block: int) -> None:
    """20 blocks of 20 topologies with 5 rows each."""
    for seed in range(20 * block, 20 * block + 20):
        network, rows = random_network(seed, 5)
        check_solved(network, rows, solve(network, rows))


@pytest.mark.soak
@pytest.mark.parametrize("block", range(100))
def test_hundred_thousand_random_networks(block: int) -> None:
    """100 blocks of 20 topologies with 50 rows each."""
    for seed in range(1_000_000 + 20 * block, 1_000_000 + 20 * block + 20):
        network, rows = random_network(seed, 50)
        check_solved(network, rows, solve(network, rows))


@pytest.mark.parametrize("seed", range(500, 512))
def test_a_row_does_not_depend_on_its_neighbours(seed: int) -> None:
    network, rows = random_network(seed, 40)
    together = solve(network, rows)
    for row in (0, 7, 39):
        alone = solve(network, rows.of_rows(np.array([row])))
        assert np.array_equal(alone.pressure[:, 0], together.pressure[:, row])
        assert np.array_equal(alone.flow[:, 0], together.flow[:, row])


@pytest.mark.parametrize("seed", range(600, 620))
def test_more_exhaust_never_raises_a_pressure(seed: int) -> None:
    network, rows = random_network(seed, 10)
    place = next(i for i, (_, law) in enumerate(rows.laws) if isinstance(law, FixedFlow))
    index, law = rows.laws[place]
    assert isinstance(law, FixedFlow)
    more = FixedFlow(law.mass_flow + np.abs(law.mass_flow).max() * 0.1 + 1e-6)
    changed = Rows((*rows.laws[:place], (index, more), *rows.laws[place + 1 :]), rows.offset, rows.size)
    before, after = solve(network, rows), solve(network, changed)
    slack = RELATIVE * np.maximum(1.0, np.abs(before.pressure).max(axis=0))
    assert (after.pressure <= before.pressure + slack).all()


def symmetric_network(seed: int) -> tuple[Network, Rows]:
    """Leaks and machines alone, the same in both directions."""
    random = np.random.default_rng(seed)
    rooms = int(random.integers(2, 9))
    elements = [Element("leak", "leak", -1, room) for room in range(rooms)]
    elements += [Element("gap", "gap", int(random.integers(0, room)), room) for room in range(1, rooms)]
    coefficient = 10 ** random.uniform(-5, -1, (len(elements), 1))
    law = PowerLaw(coefficient, coefficient, random.uniform(0.5, 1.0, (len(elements), 1)))
    machine = Element("machine", "machine", 0, -1)
    flow = FixedFlow(random.normal(0, 0.2, (1, 1)))
    network = Network(tuple(f"room {i}" for i in range(rooms)), (*elements, machine))
    offset = random.normal(0, 3, (len(elements) + 1, 1))
    return network, Rows(((np.arange(len(elements)), law), (np.array([len(elements)]), flow)), offset, 1)


@pytest.mark.parametrize("seed", range(700, 715))
def test_reversing_what_drives_reverses_every_flow(seed: int) -> None:
    network, rows = symmetric_network(seed)
    (leaks, law), (machine, fixed) = rows.laws
    assert isinstance(fixed, FixedFlow)
    mirrored = Rows(((leaks, law), (machine, FixedFlow(-fixed.mass_flow))), -rows.offset, 1)
    one, other = solve(network, rows), solve(network, mirrored)
    assert np.allclose(one.flow, -other.flow, rtol=1e-9, atol=1e-12)
    assert np.allclose(one.pressure, -other.pressure, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("seed", range(800, 830))
def test_one_room_agrees_with_a_bracketing_root_finder(seed: int) -> None:
    random = np.random.default_rng(seed)
    count = int(random.integers(1, 8))
    coefficient, exponent = 10 ** random.uniform(-6, -1, count), random.uniform(0.5, 1.0, count)
    offset, machine = random.normal(0, 5, count), float(random.normal(0, 0.3))

    def net(pressure: float) -> float:
        x = offset - pressure
        return float(np.sum(np.sign(x) * coefficient * np.abs(x) ** exponent)) - machine

    high = 1.0
    while net(-high) < 0 or net(high) > 0:
        high *= 2
    expected = brentq(net, -high, high, xtol=1e-13, rtol=1e-14)
    elements = (*(Element("leak", "leak", -1, 0) for _ in range(count)), Element("machine", "machine", 0, -1))
    law = PowerLaw(coefficient[:, None], coefficient[:, None], exponent[:, None])
    rows = Rows(
        ((np.arange(count), law), (np.array([count]), FixedFlow(np.array([[machine]])))),
        np.append(offset, 0.0)[:, None],
        1,
    )
    solution = solve(Network(("house",), elements), rows)
    assert solution.pressure[0, 0] == pytest.approx(
        expected, rel=1e-9, abs=2e-7
    )  # laws are rounded off over 1e-7 Pa at zero


@pytest.mark.parametrize("seed", range(900, 910))
def test_the_order_of_rooms_and_elements_does_not_matter(seed: int) -> None:
    network, rows = symmetric_network(seed)
    random = np.random.default_rng(seed)
    nodes, order = random.permutation(len(network.nodes)), random.permutation(len(network.elements) - 1)
    place = {int(old): new for new, old in enumerate(nodes)} | {-1: -1}
    (_, law), (_, fixed) = rows.laws
    assert isinstance(law, PowerLaw)
    shuffled = PowerLaw(law.forward[order], law.reverse[order], law.exponent[order])
    renamed = [network.elements[i] for i in order] + [network.elements[-1]]
    elements = tuple(Element(e.through, e.kind, place[e.tail], place[e.head]) for e in renamed)
    other = Network(tuple(network.nodes[i] for i in nodes), elements)
    offset = np.concatenate([rows.offset[order], rows.offset[-1:]])
    last = np.array([len(order)])
    one = solve(network, rows)
    two = solve(other, Rows(((np.arange(len(order)), shuffled), (last, fixed)), offset, 1))
    assert np.allclose(one.pressure[nodes], two.pressure, rtol=1e-9, atol=1e-9)


def sealed_room(flow: float) -> tuple[Network, Rows]:
    """A hall with a leak and a store that a machine alone joins to it."""
    elements = (Element("leak", "leak", -1, 0), Element("transfer fan", "machine", 1, 0))
    law, fixed = PowerLaw(np.array([[0.01]]), np.array([[0.01]]), np.array([[0.65]])), FixedFlow(np.array([[flow]]))
    return Network(("hall", "store"), elements), Rows(
        ((np.array([0]), law), (np.array([1]), fixed)), np.zeros((2, 1)), 1, ("fan on",)
    )


def test_forced_flow_without_a_way_for_air_is_refused_by_name() -> None:
    network, rows = sealed_room(0.02)
    with pytest.raises(NoWayForAir, match="fan on: a fan moves air in store, but no opening joins it to outdoors"):
        solve(network, rows)


def test_a_sealed_room_without_forced_flow_is_pinned() -> None:
    network, rows = sealed_room(0.0)
    assert solve(network, rows).pressure[1, 0] == 0.0


def test_a_stiff_fan_past_a_thousand_pascals_is_refused_by_name() -> None:
    elements = (Element("leak", "leak", -1, 0), Element("hood", "machine", 0, -1))
    law, fixed = PowerLaw(np.array([[1e-4]]), np.array([[1e-4]]), np.array([[0.65]])), FixedFlow(np.array([[0.3]]))
    network = Network(("kitchen",), elements)
    rows = Rows(((np.array([0]), law), (np.array([1]), fixed)), np.zeros((2, 1)), 1, ("hood high",))
    with pytest.raises(StiffFan, match="hood high: kitchen would reach"):
        require_solved(solve(network, rows), rows)
