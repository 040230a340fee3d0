"""Held nodes: a room whose pressure is given is a piece of outdoors; laws picked apart by element and by row."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from airledger.physics.batched import Batched
from airledger.physics.held import Held, hold
from airledger.physics.laws import OrificeLaw, PowerLaw
from airledger.physics.network import OUTSIDE, Element, Network, Rows
from airledger.physics.solver import solve
from tests.property.random_networks import random_network

# hall 0, bath 1, attic 2, garage 3; every element tells where it goes
WAYS = [
    ("wall of the hall", OUTSIDE, 0),
    ("door of the bath", 0, 1),
    ("window of the bath", 1, OUTSIDE),
    ("hatch", 2, 0),
    ("ridge", OUTSIDE, 2),
    ("door of the garage", 0, 3),
    ("gate", 3, OUTSIDE),
    ("chase", 2, 3),
]


def house() -> tuple[Network, Rows]:
    network = Network(
        ("hall", "bath", "attic", "garage"), tuple(Element(name, "leak", tail, head) for name, tail, head in WAYS)
    )
    chance = np.random.default_rng(8)
    leaks, holes = np.array([0, 2, 3, 4, 6]), np.array([1, 5, 7])
    forward = chance.uniform(0.001, 0.02, (5, 3))
    laws = (
        (leaks, PowerLaw(forward, 1.1 * forward, np.full((5, 1), 0.65))),
        (holes, OrificeLaw(chance.uniform(0.01, 0.1, (3, 1)), np.full((1, 1), 0.05))),
    )
    return network, Rows(laws, chance.normal(0.0, 5.0, (len(WAYS), 3)), 3, ("calm", "windy", "cold"))


@pytest.mark.parametrize("nodes", [[2], [3, 2], [0], [0, 1, 3]])
def test_a_room_held_where_it_stands_anyway_changes_nothing_for_the_others(nodes: list[int]) -> None:
    network, rows = house()
    whole = solve(network, rows)
    held = hold(network, np.array(nodes))
    alone = solve(held.network, held.rows(rows, held.shift(whole.pressure)))
    np.testing.assert_allclose(alone.pressure, whole.pressure[held.free], rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(alone.flow, whole.flow[held.elements], rtol=1e-7, atol=1e-12)


@pytest.mark.parametrize("seed", [0, 1, 3, 4, 5, 6])
def test_the_same_for_random_houses_of_every_law(seed: int) -> None:
    network, rows = random_network(seed, 5)
    whole = solve(network, rows)
    good = np.flatnonzero(whole.converged & (np.abs(whole.pressure).max(axis=0) < 1000))
    assert len(good)
    rows, pressure = rows.of_rows(good), whole.pressure[:, good]
    held = hold(network, np.arange(0, len(network.nodes), 2))
    alone = solve(held.network, held.rows(rows, held.shift(pressure)))
    np.testing.assert_allclose(alone.pressure, pressure[held.free], rtol=1e-6, atol=1e-6)


def test_with_nothing_held_the_house_is_whole() -> None:
    network, rows = house()
    held = hold(network, np.array([], dtype=np.intp))
    assert held.network == network
    assert held.whole is network
    assert held.free.tolist() == held.place.tolist() == [0, 1, 2, 3]
    still = np.zeros((len(WAYS), 3))
    assert held.rows(rows, still).laws is rows.laws
    assert (solve(held.network, held.rows(rows, still)).pressure == solve(network, rows).pressure).all()


def attic_and_garage() -> Held:
    return hold(house()[0], np.array([2, 3]))


def test_what_lies_between_held_rooms_and_outdoors_is_left_out_and_the_rest_keeps_its_name_and_direction() -> None:
    held = attic_and_garage()
    assert held.network.nodes == ("hall", "bath")
    assert held.free.tolist() == [0, 1]
    assert held.place.tolist() == [0, 1, -1, -1]
    assert held.elements.tolist() == [0, 1, 2, 3, 5]  # not the ridge, the gate, the chase
    assert held.network.elements == (
        Element("wall of the hall", "leak", -1, 0),
        Element("door of the bath", "leak", 0, 1),
        Element("window of the bath", "leak", 1, -1),
        Element("hatch", "leak", -1, 0),
        Element("door of the garage", "leak", 0, -1),
    )


def test_rooms_are_numbered_anew_past_a_held_one() -> None:
    held = hold(house()[0], np.array([1]))
    assert held.network.nodes == ("hall", "attic", "garage")
    assert held.place.tolist() == [0, -1, 1, 2]
    assert [(e.tail, e.head) for e in held.network.elements][-1] == (1, 2)  # the chase


def test_a_held_pressure_pushes_at_its_own_end_and_what_is_free_is_not_looked_at() -> None:
    held = attic_and_garage()
    pressure = np.array([[7.0, 7.5], [9.0, 9.5], [2.0, -3.0], [5.0, 6.0]])
    #            wall  door  window  hatch   ridge       garage      gate    chase
    assert held.shift(pressure).T.tolist() == [
        [0.0, 0.0, 0.0, 2.0, -2.0, -5.0, 5.0, -3.0],
        [0.0, 0.0, 0.0, -3.0, 3.0, -6.0, 6.0, -9.0],
    ]


def test_rows_keep_their_names_and_size_and_the_shift_lies_on_the_offset() -> None:
    network, rows = house()
    for held in (attic_and_garage(), hold(network, np.array([], dtype=np.intp))):
        shift = np.arange(24.0).reshape(8, 3)
        some = held.rows(rows, shift)
        assert (some.size, some.names) == (3, ("calm", "windy", "cold"))
        np.testing.assert_array_equal(some.offset, (rows.offset + shift)[held.elements])


def test_what_touches_a_free_room_is_found_in_the_whole_house() -> None:
    held = attic_and_garage()
    hall, bath = np.array([True, False]), np.array([False, True])
    assert np.flatnonzero(held.touching(hall)).tolist() == [0, 1, 3, 5]
    assert np.flatnonzero(held.touching(bath)).tolist() == [1, 2]
    assert not held.touching(hall & bath).any()


@dataclass(frozen=True)
class Numbers(Batched):
    """A law with a number of each shape that a law may have."""

    whole: np.ndarray
    a_column: np.ndarray
    a_row: np.ndarray
    one: np.ndarray
    points: tuple[float, ...] = (1.0, 2.0)
    line: np.ndarray | None = None


def numbers() -> Numbers:
    return Numbers(
        np.arange(12.0).reshape(4, 3), np.arange(4.0)[:, None], np.arange(3.0)[None, :], np.array([[7.0]]),
        line=np.array([5.0, 6.0, 7.0, 8.0]),
    )  # fmt: skip


def test_some_rows_of_a_law_are_its_numbers_for_those_rows() -> None:
    law, some = numbers(), numbers().of_rows(np.array([2, 0]))
    assert type(some) is Numbers
    assert some.whole.tolist() == [[2.0, 0.0], [5.0, 3.0], [8.0, 6.0], [11.0, 9.0]]
    assert some.a_row.tolist() == [[2.0, 0.0]]
    assert some.a_column.tolist() == law.a_column.tolist()
    assert some.one.tolist() == [[7.0]]
    assert some.points == (1.0, 2.0)
    assert some.line is not None
    assert some.line.tolist() == [5.0, 6.0, 7.0, 8.0]
    assert some.whole.flags.c_contiguous


def test_some_elements_of_a_law_are_its_numbers_for_those_elements() -> None:
    law, some = numbers(), numbers().of_elements(np.array([1, 3]))
    assert type(some) is Numbers
    assert some.whole.tolist() == [[3.0, 4.0, 5.0], [9.0, 10.0, 11.0]]
    assert some.a_column.tolist() == [[1.0], [3.0]]
    assert some.a_row.tolist() == law.a_row.tolist()
    assert some.one.tolist() == [[7.0]]
    assert some.points == (1.0, 2.0)
    assert some.line is not None
    assert some.line.tolist() == [5.0, 6.0, 7.0, 8.0]
    assert some.whole.flags.c_contiguous


def test_two_rows_of_a_law_are_picked_apart_as_three_are() -> None:
    two = Numbers(np.array([[1.0, 2.0], [3.0, 4.0]]), np.array([[1.0], [2.0]]), np.array([[1.0, 2.0]]), np.ones((1, 1)))
    assert two.of_rows(np.array([1])).whole.tolist() == [[2.0], [4.0]]
    assert two.of_elements(np.array([1])).a_column.tolist() == [[2.0]]
