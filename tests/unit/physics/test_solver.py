"""The solver by itself: straight laws, sealed rooms, blocks of rows, what is refused, what it tells of the balance."""

from __future__ import annotations

import numpy as np
import pytest

from airledger.errors import NotConverged, NoWayForAir, StiffFan
from airledger.physics import solver
from airledger.physics.laws import FixedFlow, PowerLaw
from airledger.physics.network import Element, Network, Rows
from tests.property.random_networks import random_network


def way(tail: int, head: int) -> Element:
    return Element(f"{tail} to {head}", "way", tail, head)


def leaks(ends, coefficient, exponent=1.0, machines=(), flows=(), offset=0.0, names=()) -> tuple[Network, Rows]:
    """Leaks of one exponent, the same both ways, then machines; coefficients and flows (elements, rows)."""
    coefficient = np.atleast_2d(np.asarray(coefficient, dtype=float).T).T
    flows = np.asarray(flows, dtype=float) if len(machines) else np.zeros((0, 1))
    size = np.broadcast_shapes(coefficient[:1].shape, flows[:1].shape[:0] + flows.shape[1:], np.shape(offset)[1:])[-1]
    elements = tuple(way(*pair) for pair in (*ends, *machines))
    count = 1 + max(max(e.tail, e.head) for e in elements)
    laws = [(np.arange(len(ends)), PowerLaw(coefficient, coefficient, np.full((len(ends), 1), exponent)))]
    if len(machines):
        laws.append((np.arange(len(ends), len(elements)), FixedFlow(flows)))
    driven = np.broadcast_to(offset, (len(elements), size)).copy()
    return Network(tuple("ABCDEFGHIJKLMNOP"[:count]), elements), Rows(tuple(laws), driven, size, names)


def straight(seed: int, size: int = 4) -> tuple[Network, Rows, np.ndarray, np.ndarray]:
    """Rooms on loops, joined by straight laws; with it the matrix of conductances and what is driven into each room."""
    random = np.random.default_rng(seed)
    rooms = 8
    ends = [(-1, 0), (5, -1), *((i, (i + 1) % rooms) for i in range(rooms)), (0, 4), (2, 6), (1, 5), (3, 7), (0, 4)]
    conductance = 10 ** random.uniform(-4, 1, (len(ends), size))
    machines, flows = [(0, -1), (3, 6)], random.normal(0, 0.2, (2, size))
    offset = random.normal(0, 5, (len(ends) + 2, size))
    network, rows = leaks(ends, conductance, 1.0, machines, flows, offset)
    matrix, driven = np.zeros((size, rooms, rooms)), np.zeros((size, rooms))
    for place, (tail, head) in enumerate(ends):
        for node, sign in ((tail, 1.0), (head, -1.0)):
            if node >= 0:
                driven[:, node] -= sign * conductance[place] * offset[place]
                for other, other_sign in ((tail, 1.0), (head, -1.0)):
                    if other >= 0:
                        matrix[:, node, other] += sign * other_sign * conductance[place]
    for place, (tail, head) in enumerate(machines):
        for node, sign in ((tail, 1.0), (head, -1.0)):
            if node >= 0:
                driven[:, node] -= sign * flows[place]
    return network, rows, matrix, driven


@pytest.mark.parametrize("seed", range(12))
def test_straight_laws_are_a_linear_system_and_need_no_second_step(seed):
    """Against numpy.linalg.solve; the secants of straight laws are the laws, so that the first guess is the answer."""
    network, rows, matrix, driven = straight(seed)
    solution = solver.solve(network, rows)
    expected = np.linalg.solve(matrix, driven[..., None])[..., 0].T
    np.testing.assert_allclose(solution.pressure, expected, rtol=1e-8, atol=1e-8)
    assert (solution.iterations <= 1).all()
    assert solution.converged.all()


@pytest.mark.parametrize("exponent", [0.5, 0.65, 0.8])
@pytest.mark.parametrize("flow", [1e-3, 0.02, -3.0])
def test_a_leaky_room_with_a_machine_takes_few_steps_from_any_size(exponent, flow):
    """P = (Q/C)^(1/n); four secants shrink the logarithm of the error by (1 - n)^4, then Newton doubles the digits."""
    network, rows = leaks([(-1, 0)], [0.01], exponent, [(0, -1)], [[flow]])
    solution = solver.solve(network, rows)
    assert solution.pressure[0, 0] == pytest.approx(-np.sign(flow) * (abs(flow) / 0.01) ** (1 / exponent), rel=1e-9)
    assert solution.iterations[0] <= 6


def test_rows_solved_in_blocks_are_those_solved_together_bit_for_bit(monkeypatch):
    network, rows = random_network(12, 11)
    together = solver.solve(network, rows)
    for block in (1, 4, 10, 11):
        monkeypatch.setattr(solver, "TOGETHER", block)
        parts = solver.solve(network, rows)
        assert parts.network is network
        for name in ("pressure", "flow", "converged", "residual_relative", "iterations"):
            one, other = getattr(together, name), getattr(parts, name)
            assert one.shape == other.shape
            assert one.dtype == other.dtype
            assert np.array_equal(one, other), name


def test_what_a_solution_is_made_of():
    network, rows = random_network(12, 3)
    solution = solver.solve(network, rows)
    assert solution.pressure.shape == (len(network.nodes), 3)
    assert solution.flow.shape == (len(network.elements), 3)
    assert solution.converged.dtype == np.bool_
    assert solution.iterations.dtype.kind == "i"
    assert solution.iterations.min() > 0


def test_rows_that_need_more_steps_are_carried_on_with_their_own_numbers():
    """One still row, one straight pull and one that is hard, in one batch, as each alone."""
    network, rows = leaks([(-1, 0), (0, 1), (-1, 1)], [[0.01], [0.5], [1e-3]], 0.5, [(1, -1)], [[0.0, 0.01, 2.0]])
    solution = solver.solve(network, rows)
    assert len(set(solution.iterations.tolist())) > 1
    for row in range(3):
        alone = solver.solve(network, rows.of_rows(np.array([row])))
        assert np.array_equal(alone.pressure[:, 0], solution.pressure[:, row])
        assert alone.iterations[0] == solution.iterations[row]


# -- rooms without a way out ------------------------------------------------------------------------------------------

SEALED = [(-1, 0), (1, 2)]  # A leaks; B and C are joined to each other alone


@pytest.mark.parametrize(("coefficient", "exponent"), [(0.02, 0.65), (1.0, 1.0), (1.0, 0.5)])
def test_air_sent_round_between_sealed_rooms_comes_back_through_what_joins_them(coefficient, exponent):
    network, rows = leaks(SEALED, [0.01, coefficient], exponent, [(2, 1)], [[0.05]])
    solution = solver.solve(network, rows)
    assert solution.pressure[:, 0] == pytest.approx([0.0, 0.0, -((0.05 / coefficient) ** (1 / exponent))], rel=1e-9)
    assert solution.flow[1, 0] == pytest.approx(0.05, rel=1e-12)
    assert solver.pinned_nodes(network, rows).tolist() == [1]


def test_sealed_rooms_that_nothing_drives_stay_at_nothing():
    network, rows = leaks([(-1, 0), (1, 2), (3, 4)], [0.01, 0.02, 0.03], 0.65, [(0, -1)], [[0.05]])
    solution = solver.solve(network, rows)
    assert solution.pressure[1:, 0].tolist() == [0.0] * 4
    assert solver.pinned_nodes(network, rows).tolist() == [1, 3]
    assert solver.pinned_nodes(network, rows).dtype == np.intp


NO_WAY = {
    "pulled out": ([(2, -1)], [[0.0, 0.02]], "B", "hood"),
    "blown in": ([(-1, 1)], [[0.02, 0.02]], "B", "fans off"),
    "moved from a room that leaks": ([(0, 2)], [[0.0, 1e-9]], "B", "hood"),
    "moved to a room that leaks": ([(1, 0)], [[0.0, -3.0]], "B", "hood"),
    "more out than in": ([(1, -1), (-1, 2)], [[0.02, 0.03], [0.02, 0.02]], "B", "hood"),
}


@pytest.mark.parametrize("name", NO_WAY)
def test_a_fan_in_sealed_rooms_is_refused_by_state_and_room(name):
    machines, flows, room, state = NO_WAY[name]
    network, rows = leaks(SEALED, [0.01, 0.02], 0.65, machines, flows, names=("fans off", "hood"))
    with pytest.raises(NoWayForAir) as refused:
        solver.solve(network, rows)
    assert str(refused.value) == f"{state}: a fan moves air in {room}, but no opening joins it to outdoors"


def test_as_much_in_as_out_of_a_sealed_room_has_an_answer():
    network, rows = leaks(SEALED, [0.01, 0.02], 0.65, [(1, -1), (-1, 1)], [[0.03, 0.0], [0.03, 0.0]])
    solution = solver.solve(network, rows)
    assert solution.pressure.tolist() == [[0.0, 0.0]] * 3


# -- what is refused ---------------------------------------------------------------------------------------------------


def unsolved(monkeypatch) -> tuple[solver.Solution, Rows]:
    """Two rows, one Newton step allowed: the still row is solved, the other is not."""
    monkeypatch.setattr(solver, "ITERATIONS", 1)
    network, rows = leaks(
        [(-1, 0), (0, 1), (-1, 1)], [0.01, 0.5, 1e-3], 0.5, [(1, -1)], [[0.0, 1.7]], names=("fans off", "hood high")
    )
    return solver.solve(network, rows), rows


def test_a_row_left_unsolved_is_told_with_the_point_it_reached(monkeypatch):
    solution, _ = unsolved(monkeypatch)
    assert solution.converged.tolist() == [True, False]
    assert solution.iterations.tolist() == [0, 1]
    assert np.isfinite(solution.pressure).all()
    assert solution.pressure[0, 1] < -1000.0


def test_a_row_left_unsolved_is_refused_by_state_worst_room_and_imbalance(monkeypatch):
    solution, rows = unsolved(monkeypatch)
    flow = solution.flow.copy()
    flow[3, 1] += 1.0  # the hood's room is out of balance
    broken = solver.Solution(
        solution.network, solution.pressure, flow, solution.converged, np.array([0.0, 0.25]), solution.iterations
    )
    with pytest.raises(NotConverged) as refused:
        solver.require_solved(broken, rows)
    assert str(refused.value) == "hood high: not solved; worst room B, relative imbalance 2.50e-01"
    assert (refused.value.state, refused.value.room, refused.value.residual) == ("hood high", "B", 0.25)


def pulled(pressures, flows, ends=((-1, 0), (0, 1)), machines=((1, -1),)) -> tuple[solver.Solution, Rows]:
    network, rows = leaks(ends, [0.01] * len(ends), 0.65, machines, flows, names=("fans off", "hood", "dryer"))
    pressure = np.array(pressures, dtype=float)
    size = pressure.shape[1]
    flow = np.zeros((len(network.elements), size))
    done = np.ones(size, dtype=bool)
    return solver.Solution(network, pressure, flow, done, np.zeros(size), np.zeros(size, dtype=np.intp)), rows


def test_a_fan_that_would_hold_a_room_past_a_thousand_pascals_is_refused_by_state_room_and_pressure():
    solution, rows = pulled([[0.0, -900.0, -900.0], [0.0, -1000.5, -1800.0]], [[0.0, 0.5, 0.2]])
    with pytest.raises(StiffFan) as refused:
        solver.require_solved(solution, rows)
    assert (refused.value.state, refused.value.room, refused.value.pressure) == ("hood", "B", -1000.5)
    assert str(refused.value).startswith("hood: B would reach -1000 Pa because a fan is taken as holding its flow")


@pytest.mark.parametrize("machine", [(1, -1), (-1, 1), (1, 0), (0, 1)])
@pytest.mark.parametrize("pressure", [-2000.0, 2000.0])
def test_either_end_of_a_stiff_fan_counts(machine, pressure):
    solution, rows = pulled([[0.0, 0.0], [0.0, pressure]], [[0.0, 1.0]], machines=(machine,))
    with pytest.raises(StiffFan, match=r"^hood: B would reach"):
        solver.require_solved(solution, rows)


def test_what_is_no_reason_to_refuse():
    """A fan that stands, a room without a fan, 1,000 Pa and not more; another fan runs."""
    held = (
        pulled([[0.0], [-2000.0]], [[0.0]]),
        pulled([[-2000.0], [0.0]], [[0.5]]),
        pulled([[0.0], [-1000.0]], [[0.5]]),
        pulled([[0.0], [-2000.0]], [[0.0], [0.5]], machines=((1, -1), (0, -1))),
    )
    assert [solver.require_solved(*one) for one in held] == [None] * 4  # each is let pass


# -- how well it closes ------------------------------------------------------------------------------------------------


def imbalance(solution: solver.Solution) -> np.ndarray:
    """By the definition: |sum of flows| over half the sum of their sizes or 1e-6 of the row's largest."""
    worst = []
    for row in range(solution.flow.shape[1]):
        flows, rooms = solution.flow[:, row], []
        for node in range(len(solution.network.nodes)):
            ends = [(e.tail == node) * 1.0 - (e.head == node) * 1.0 for e in solution.network.elements]
            half = 0.5 * sum(abs(sign * flow) for sign, flow in zip(ends, flows, strict=True))
            net = abs(sum(sign * flow for sign, flow in zip(ends, flows, strict=True)))
            rooms.append(net / max(half, 1e-6 * np.abs(flows).max(), 1e-300))
        worst.append(max(rooms))
    return np.array(worst)


def test_the_imbalance_told_is_that_of_its_definition():
    """Rooms held at the wrong pressure do not balance: the worst room of each row tells by how much."""
    flows = [[0.2, 0.5, 0.0, 3e-4], [0.0, 0.0, 1e-9, 2e-9], [0.7, 0.0, 0.0, 5.0]]
    network, rows = leaks([(-1, 0), (-1, 1), (2, -1)], [0.5, 0.9, 0.4], 1.0, [(0, -1), (1, -1), (-1, 2)], flows)
    done, count = np.ones(4, dtype=bool), np.array([3, 1, 4, 1])
    wrong = np.zeros((3, 4))
    solution = solver.reported(network, rows, wrong, np.array([0, 1, 2]), done, count)
    np.testing.assert_allclose(solution.residual_relative, imbalance(solution), rtol=1e-12)
    assert solution.residual_relative[0] > 0.3
    assert solution.iterations.tolist() == [3, 1, 4, 1]
    assert solution.converged.all()
    # a linear room held by 1 kg/(s Pa) beside its leak of 0.5: two tangent steps leave 1/1.5^2 of what the hood pulls
    assert solution.flow[0, 0] == pytest.approx(0.2 * (1 - 1 / 1.5**2), rel=1e-12)


def test_a_room_of_next_to_no_flow_is_measured_by_the_largest_flow_of_its_row():
    network, rows = leaks([(-1, 0), (-1, 1)], [0.5, 0.5], 1.0, [(0, -1), (1, -1)], [[1.0, 1e-9], [1e-9, 1e-9]])
    solution = solver.reported(
        network, rows, np.zeros((2, 2)), np.array([1]), np.ones(2, dtype=bool), np.zeros(2, dtype=np.intp)
    )
    np.testing.assert_allclose(solution.residual_relative, imbalance(solution), rtol=1e-9)
    assert solution.residual_relative[0] < 1e-2 < solution.residual_relative[1]


def test_a_row_at_rest_is_told_as_nothing_and_its_neighbour_as_it_is():
    network, rows = leaks([(-1, 0), (0, 1)], [0.5, 0.5], 1.0, [(1, -1)], [[0.0, 0.1]])
    done, count = np.ones(2, dtype=bool), np.zeros(2, dtype=np.intp)
    rest = np.array([[1e-31, -0.2], [-1e-32, -0.4]])
    solution = solver.reported(network, rows, rest, np.array([], dtype=np.intp), done, count)
    assert solution.pressure.tolist() == [[0.0, -0.2], [0.0, -0.4]]
    assert solution.flow[:, 0].tolist() == [0.0, 0.0, 0.0]
    assert solution.flow[:, 1] == pytest.approx([0.1, 0.1, 0.1], rel=1e-12)
    assert solution.residual_relative[0] == 0.0


def test_what_rounding_leaves_in_a_house_at_rest_is_told_as_nothing():
    """Rooms on a ring: the last digits do not cancel, and nobody wants to read of 1e-47 kg/s."""
    ends = [(-1, 0), *((room, (room + 1) % 6) for room in range(6)), (1, 4)]
    network, rows = leaks(ends, 10 ** np.random.default_rng(1).uniform(-3, 1, len(ends)))
    rest = np.random.default_rng(2).normal(0, 1e-32, (6, 1))
    solution = solver.reported(network, rows, rest, np.array([], dtype=np.intp), np.ones(1, dtype=bool), np.array([1]))
    assert solution.flow.tolist() == [[0.0]] * 8
    assert solution.pressure.tolist() == [[0.0]] * 6


def test_flows_less_than_a_breath_are_still_flows():
    """1e-12 kg/s is no rest; pressures of a room at rest that something holds are kept."""
    network, rows = leaks([(-1, 0)], [0.5], 1.0, [(0, -1)], [[1e-12]])
    solution = solver.solve(network, rows)
    assert solution.flow[0, 0] == pytest.approx(1e-12, rel=1e-9)
    still, still_rows = leaks([(-1, 0)], [0.5], 1.0, offset=np.array([[3.0]]))
    held = solver.solve(still, still_rows)
    assert held.pressure[0, 0] == pytest.approx(3.0, rel=1e-12)
    assert abs(held.flow[0, 0]) < 1e-12
