"""Where the envelope leaks: outside walls, facades, shares."""

from __future__ import annotations

import pytest

from airledger.house.envelope import ach50, exponent, leak_places, leaks, nearest_facade, outside_walls
from airledger.house.house import Envelope, House, Leak, Room, Site, Wind
from airledger.uncertain import Uncertain


def rectangle(name: str, x: float, y: float, width: float, depth: float) -> Room:
    corners = ((x, y), (x + width, y), (x + width, y + depth), (x, y + depth))
    return Room(name, area=width * depth, outline=corners)


def house(*rooms: Room, wind: Wind | None = None, leaks: tuple[Leak, ...] = ()) -> House:
    return House("test", Site(wind=wind), Envelope(Uncertain.exactly(1.0), leaks=leaks), rooms)


def test_a_wall_behind_which_another_room_stands_is_no_outside_wall() -> None:
    one, other = rectangle("one", 0, 0, 5, 4), rectangle("other", 5.1, 0, 5, 6)
    walls = outside_walls(house(one, other), one)
    assert sorted((wall.length, wall.faces) for wall in walls) == [(4, 270), (5, 0), (5, 180)]
    assert sum(wall.length for wall in outside_walls(house(one, other), other)) == pytest.approx(5 + 6 + 5 + 2)


def test_clockwise_outlines_face_the_same_way() -> None:
    room = rectangle("one", 0, 0, 5, 4)
    turned = Room("one", area=20, outline=room.outline[::-1])
    assert sorted(outside_walls(house(room), room)) == sorted(outside_walls(house(turned), turned))


def test_a_room_without_outline_has_the_walls_of_a_square() -> None:
    room = Room("store", area=9.0)
    assert [wall.length for wall in outside_walls(house(room), room)] == [3, 3, 3, 3]


def test_shares_add_up_to_the_whole_and_follow_the_walls() -> None:
    plan = house(
        rectangle("one", 0, 0, 5, 4),
        rectangle("other", 5, 0, 10, 4),
        leaks=(Leak("sill", 0.6, 0.0), Leak("plate", 0.4, 2.4)),
    )
    places = leak_places(plan)
    assert sum(place.share for place in places) == pytest.approx(1.0, abs=1e-12)
    sill = {place.room: place.share for place in places if place.leak == "sill"}
    assert sill["one"] / sill["other"] == pytest.approx(14 / 24)


def test_with_wind_a_leak_is_split_by_facade() -> None:
    plan = house(rectangle("one", 0, 0, 5, 4), wind=Wind(0, 5), leaks=(Leak("sill", 1.0, 0.0),))
    shares = {place.faces: place.share for place in leak_places(plan)}
    assert shares == pytest.approx({0.0: 5 / 18, 180.0: 5 / 18, 90.0: 4 / 18, 270.0: 4 / 18})


@pytest.mark.parametrize(("faces", "facade"), [(0, 0), (44, 0), (46, 90), (181, 180), (300, 270), (359, 0)])
def test_nearest_facade(faces: float, facade: float) -> None:
    assert nearest_facade(faces) == facade


def test_silent_file_gives_thirds_and_says_so() -> None:
    made, assumed = leaks(house(Room("all", area=100, ceiling=3.0)))
    assert [leak.height for leak in made] == [0.0, 1.5, 3.0]
    assert assumed[0].path == "envelope / leaks"
    assert exponent(house(Room("all", area=100)))[1][0].path == "envelope / exponent"


def test_a_flow_at_fifty_pascals_is_turned_into_air_changes() -> None:
    room = Room("all", area=100, ceiling=2.5)
    plan = House("test", Site(), Envelope(Uncertain.exactly(0.1), "flow50"), (room,))
    assert ach50(plan).likely == pytest.approx(0.1 * 3600 / 250)
