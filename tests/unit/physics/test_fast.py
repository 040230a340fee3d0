import numpy as np
import pytest

from airledger.physics import fast, solver
from airledger.physics.fast_laws import LAYOUT, MOST_NUMBERS, flow_and_slope
from airledger.physics.laws import FixedFlow, PowerLaw
from airledger.physics.network import Element, Network, Rows
from tests.property.random_networks import random_network

SAME = 1e-9


def test_random_networks_of_every_law_have_the_same_answer_as_the_numpy_engine():
    met = set()
    for seed in range(25):
        network, rows = random_network(seed, 20)
        met |= {type(law) for _, law in rows.laws}
        compiled, plain = fast.solve(network, rows), solver.solve(network, rows)
        assert compiled.converged.tolist() == plain.converged.tolist() == [True] * 20
        size = np.maximum(np.abs(plain.pressure), 1.0)
        assert np.max(np.abs(compiled.pressure - plain.pressure) / size) < SAME, seed
        largest = np.maximum(np.max(np.abs(plain.flow), axis=0), 1e-6)
        assert np.max(np.abs(compiled.flow - plain.flow) / largest) < SAME, seed
        assert np.max(compiled.residual_relative) < SAME, seed
        # a step more or less where the last one is as small as rounding
        assert np.max(np.abs(compiled.iterations - plain.iterations)) <= 1, seed
    assert met == set(LAYOUT), "a law was never met"


@pytest.mark.parametrize("difference", [-300.0, -5.0, -0.3, -1e-9, 0.0, 1e-9, 0.3, 10.2, 300.0])
def test_every_law_alone_gives_the_flow_and_slope_of_its_class(difference):
    for seed in range(4):
        network, rows = random_network(seed, 3)
        kinds, curves, numbers = fast.packed(network, rows)
        for index, law in rows.laws:
            here = np.full((len(index), 3), difference)
            flow, slope = law.flow_and_slope(here)
            for place, element in enumerate(index):
                row = numbers.of_row[1], numbers.common
                held = [row[0][s] if s >= 0 else row[1][~s] for s in numbers.slot[element]]
                one, its_slope = flow_and_slope(kinds[element], np.array([held]), 0, curves, difference, 0.0)
                assert one == pytest.approx(flow[place, 1], rel=1e-12, abs=1e-18), law
                assert its_slope == pytest.approx(slope[place, 1], rel=1e-10, abs=1e-18), law


def test_a_row_does_not_depend_on_its_neighbours():
    network, rows = random_network(3, 12)
    together = fast.solve(network, rows)
    for row in range(12):
        alone = fast.solve(network, rows.of_rows(np.array([row])))
        assert np.array_equal(alone.pressure[:, 0], together.pressure[:, row])


@pytest.mark.parametrize("size", [1, 2])
def test_a_batch_of_one_or_two_rows_is_answered_as_by_the_numpy_engine(size):
    for seed in (1, 4, 9):
        network, rows = random_network(seed, size)
        compiled, plain = fast.solve(network, rows), solver.solve(network, rows)
        np.testing.assert_allclose(compiled.pressure, plain.pressure, rtol=SAME, atol=SAME)


def test_what_is_solved_picks_rows_and_steps_are_counted_whole():
    network, rows = random_network(5, 4)
    solved = fast.solve(network, rows)
    assert solved.pressure[:, solved.converged].shape == solved.pressure.shape
    assert sum(np.bincount(solved.iterations)) == 4


def leaks(*ways):
    """Rooms `hall` and `bath` with leaks: (tail, head, coefficient), exponent 0.65, and a hood in the hall."""
    elements = (*(Element(f"leak {n}", "leak", tail, head) for n, (tail, head, _) in enumerate(ways)),)
    coefficient = np.array([[c] for _, _, c in ways])
    laws = (
        (np.arange(len(ways)), PowerLaw(coefficient, coefficient, np.full_like(coefficient, 0.65))),
        (np.array([len(ways)]), FixedFlow(np.array([[0.1]]))),
    )
    network = Network(("hall", "bath"), (*elements, Element("hood", "hood", 0, -1)))
    return network, Rows(laws, np.zeros((len(elements) + 1, 1)), 1)


def test_a_way_that_leads_back_where_it_began_changes_nothing():
    ways = ((-1, 0, 0.02), (0, 1, 0.01), (-1, 1, 0.005))
    plain = fast.solve(*leaks(*ways))
    for back in ((0, 0), (1, 1), (-1, -1)):
        with_it = fast.solve(*leaks(*ways, (*back, 50.0)))
        assert with_it.pressure == pytest.approx(plain.pressure, rel=1e-12)
        assert with_it.iterations.tolist() == plain.iterations.tolist()


def test_every_place_of_a_law_points_at_a_number_that_is_there():
    for network, rows in (leaks((-1, 0, 0.02), (0, 1, 0.01)), random_network(3, 1), random_network(3, 5)):
        _, _, numbers = fast.packed(network, rows)
        assert numbers.slot.max(initial=-1) < numbers.of_row.shape[1]
        assert (~numbers.slot).max() < len(numbers.common)


def test_a_single_leaky_room_is_pulled_as_the_closed_form_says():
    network = Network(("room",), (Element("leak", "leak", -1, 0), Element("hood", "hood", 0, -1)))
    flow, coefficient, exponent = 0.1, 0.02, 0.65
    laws = (
        (np.array([0]), PowerLaw(np.array([[coefficient]]), np.array([[coefficient]]), np.array([[exponent]]))),
        (np.array([1]), FixedFlow(np.array([[flow]]))),
    )
    solved = fast.solve(network, Rows(laws, np.zeros((2, 1)), 1))
    assert solved.pressure[0, 0] == pytest.approx(-((flow / coefficient) ** (1 / exponent)), rel=1e-9)


def test_a_sealed_room_with_a_machine_is_refused_as_by_the_numpy_engine():
    from airledger.errors import NoWayForAir

    network = Network(("room",), (Element("hood", "hood", 0, -1),))
    rows = Rows(((np.array([0]), FixedFlow(np.array([[0.1]]))),), np.zeros((1, 1)), 1)
    with pytest.raises(NoWayForAir):
        fast.solve(network, rows)


def test_the_layout_names_every_number_of_a_law_once():
    for law, (_, names) in LAYOUT.items():
        assert len(set(names)) == len(names) <= MOST_NUMBERS
        fields = set(law.__dataclass_fields__)
        assert fields - {"knots", "coefficients"} == set(names) - {"curve"}
