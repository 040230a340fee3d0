"""Rows over a network: picked with their names, cut to some elements, sums at nodes, rooms without a way out."""

from __future__ import annotations

import numpy as np
import pytest

from airledger.physics.laws import FixedFlow, PowerLaw
from airledger.physics.network import Element, Network, Rows


def leak(tail: int, head: int) -> Element:
    return Element(f"{tail} to {head}", "leak", tail, head)


def two_laws(offset: np.ndarray) -> Rows:
    """Elements 0, 2, 3 leak, element 1 is a machine; three rows."""
    forward = np.array([[1.0, 2.0, 3.0], [4.0, 5.0, 6.0], [7.0, 8.0, 9.0]])
    leaks = PowerLaw(forward, 10 * forward, np.array([[0.5], [0.6], [0.7]]))
    machine = FixedFlow(np.array([[0.1, 0.2, 0.3]]))
    return Rows(((np.array([0, 2, 3]), leaks), (np.array([1]), machine)), offset, 3, ("winter", "test day", "summer"))


def test_picked_rows_keep_their_numbers_offset_and_name():
    rows = two_laws(np.arange(12.0).reshape(4, 3)).of_rows(np.array([2, 0]))
    (_, leaks), (place, machine) = rows.laws
    assert rows.size == 2
    assert leaks.forward[:, 0].tolist() == [3.0, 6.0, 9.0]
    assert machine.mass_flow.tolist() == [[0.3, 0.1]]
    assert place.tolist() == [1]
    assert rows.offset.tolist() == [[2.0, 0.0], [5.0, 3.0], [8.0, 6.0], [11.0, 9.0]]
    assert [rows.name(row) for row in range(2)] == ["summer", "winter"]


def test_an_offset_that_all_rows_share_stays_one_column():
    rows = two_laws(np.arange(4.0)[:, None]).of_rows(np.array([2, 0]))
    assert rows.offset.tolist() == [[0.0], [1.0], [2.0], [3.0]]


def test_two_rows_are_picked_from_two():
    rows = two_laws(np.arange(12.0).reshape(4, 3)).of_rows(np.array([0, 1])).of_rows(np.array([1]))
    assert rows.offset.tolist() == [[1.0], [4.0], [7.0], [10.0]]
    assert rows.name(0) == "test day"


def test_a_row_without_a_name_is_called_by_its_number():
    rows = Rows((), np.zeros((0, 1)), 2, ("winter",))
    assert [rows.name(row) for row in range(3)] == ["winter", "row 1", "row 2"]
    assert Rows((), np.zeros((0, 1)), 2).of_rows(np.array([1])).name(0) == "row 0"
    assert [rows.of_rows(np.array([1, 0])).name(row) for row in range(2)] == ["row 1", "winter"]


def test_some_elements_are_numbered_anew():
    rows = two_laws(np.arange(12.0).reshape(4, 3)).of_elements(np.array([2, 3]))
    ((index, leaks),) = rows.laws  # the machine is gone
    assert index.tolist() == [0, 1]
    assert leaks.forward.tolist() == [[4.0, 5.0, 6.0], [7.0, 8.0, 9.0]]
    assert leaks.exponent.tolist() == [[0.6], [0.7]]
    assert rows.offset.tolist() == [[6.0, 7.0, 8.0], [9.0, 10.0, 11.0]]
    assert rows.size == 3
    assert rows.name(1) == "test day"


def test_what_leaves_a_room_is_counted_against_what_enters():
    """Kirchhoff's rule at three rooms; an element from a room into itself, or past the house, counts nowhere."""
    ends = ((-1, 0), (0, 1), (1, 2), (2, 0), (2, -1), (1, 1), (-1, -1))
    network = Network(("a", "b", "c"), tuple(leak(*pair) for pair in ends))
    flow = np.array([[1.0], [2.0], [4.0], [8.0], [16.0], [32.0], [64.0]]) * np.array([[1.0, -3.0]])
    assert network.at_node.of(flow).tolist() == [[-7.0, 21.0], [2.0, -6.0], [20.0, -60.0]]
    assert network.at_node.unsigned.of(flow)[:, 0].tolist() == [11.0, 6.0, 28.0]
    assert network.to_outdoors.of(flow)[:, 0].tolist() == [1.0, 0.0, 16.0]
    assert dict(zip(network.pairs, network.at_pair.of(flow)[:, 0].tolist(), strict=True)) == {
        (0, 1): 2.0, (1, 2): 4.0, (0, 2): 8.0,
    }  # fmt: skip


def test_two_ways_between_the_same_rooms_add_up_whichever_way_they_are_drawn():
    network = Network(("a", "b"), (leak(0, 1), leak(1, 0), leak(-1, 0), leak(0, -1), leak(1, -1)))
    slope = np.array([[1.0], [2.0], [4.0], [8.0], [16.0]])
    assert network.pairs == ((0, 1),)
    assert network.at_pair.of(slope).tolist() == [[3.0]]
    assert network.to_outdoors.of(slope).tolist() == [[12.0], [16.0]]


@pytest.mark.parametrize("hub", [0, 3, 6])
def test_rooms_on_a_tree_are_solved_without_a_new_pair(hub):
    """Leaves first: a hall with six rooms, whichever number it has, needs no more pairs than it has doors."""
    rooms = [room for room in range(7) if room != hub]
    network = Network(tuple("abcdefg"), tuple(leak(hub, room) for room in rooms))
    assert set(network.pairs) == {(min(hub, room), max(hub, room)) for room in rooms}
    assert [node for node, *_ in network.steps][:5] == rooms[:5]


@pytest.mark.parametrize("seed", range(8))
def test_every_pair_stands_once_those_of_doors_first(seed):
    random = np.random.default_rng(seed)
    ends = [(int(a), int(b)) for a, b in random.integers(-1, 9, (22, 2))]
    network = Network(tuple("abcdefghi"), tuple(leak(*pair) for pair in ends))
    doors = {(min(pair), max(pair)) for pair in ends if min(pair) >= 0 and pair[0] != pair[1]}
    assert len(set(network.pairs)) == len(network.pairs)
    assert set(network.pairs[: len(doors)]) == doors
    assert all(low < high for low, high in network.pairs)


def test_a_house_of_no_rooms_and_no_openings_sums_to_nothing():
    network = Network((), ())
    assert network.at_node.of(np.zeros((0, 2))).shape == (0, 2)
    assert network.pairs == ()
    assert network.sealed_groups(Rows((), np.zeros((0, 1)), 1)) == ()


def machines_at(*places: int) -> Rows:
    return Rows(((np.array(places), FixedFlow(np.full((len(places), 1), 0.1))),), np.zeros((9, 1)), 1)


SEALED = {
    "no element at all": ((), (), ((0,), (1,), (2,), (3,))),
    "each room leaks": (((-1, 0), (1, -1), (-1, 2), (3, -1)), (), ()),
    "one room leaks and the rest hangs on it": (((0, -1), (1, 0), (2, 1), (2, 3)), (), ()),
    "the last room leaks and the rest hangs on it": (((3, -1), (0, 1), (1, 2), (2, 3)), (), ()),
    "joined from the far end": (((2, 3), (1, 2), (0, 1), (-1, 0)), (), ()),
    "joined in the middle last": (((0, 1), (2, 3), (1, 3), (-1, 2)), (), ()),
    "two pairs, one sealed": (((0, 1), (2, 3), (3, -1)), (), ((0, 1),)),
    "the first pair leaks": (((0, -1), (0, 1), (2, 3)), (), ((2, 3),)),
    "a ring that leaks nowhere": (((0, 1), (1, 2), (2, 3), (3, 0)), (), ((0, 1, 2, 3),)),
    "a machine is no way out": (((0, 1), (2, -1), (3, 2), (0, -1), (1, 2)), (3, 4), ((0, 1),)),
    "twice the same way out": (((0, -1), (-1, 0), (0, 1), (1, -1), (1, 2), (2, 3)), (), ()),
    "a room with a way into itself": (((0, 0), (1, -1), (2, -1), (3, -1)), (), ((0,),)),
}


@pytest.mark.parametrize("name", SEALED)
def test_rooms_without_a_way_out_are_found_in_their_groups(name):
    ends, machines, groups = SEALED[name]
    network = Network(("a", "b", "c", "d"), tuple(leak(*pair) for pair in ends))
    assert network.sealed_groups(machines_at(*machines)) == groups


@pytest.mark.parametrize("seed", range(30))
def test_rooms_without_a_way_out_are_those_that_scipy_finds_in_other_components(seed):
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components  # scipy 1.16: a general graph library

    random = np.random.default_rng(seed)
    count = 12
    ends = random.integers(-1, count, (int(random.integers(0, 12)), 2))
    network = Network(tuple(f"room {room}" for room in range(count)), tuple(leak(int(a), int(b)) for a, b in ends))
    places = np.where(ends < 0, count, ends)
    graph = coo_matrix((np.ones(len(ends)), (places[:, 0], places[:, 1])), shape=(count + 1, count + 1))
    _, label = connected_components(graph, directed=False)
    expected = {}
    for room in range(count):
        if label[room] != label[count]:
            expected.setdefault(label[room], []).append(room)
    assert set(network.sealed_groups(machines_at())) == {tuple(group) for group in expected.values()}
