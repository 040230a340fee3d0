"""The rooms that burners take their air from."""

from dataclasses import replace

import pytest

from airledger.house.house import Appliance, Opening
from airledger.io.house_file import loads
from airledger.rules.combustion_air import standard_volume
from airledger.search.burner_air import BurnerRoom, burner_rooms, joined_rooms, on_room_air
from airledger.units import BTU, FOOT
from tests.unit.search.combustion_houses import WINTER_BASEMENT

WITH_DOOR = WINTER_BASEMENT.replace("clear: 3 ft x 8 ft}", "clear: 3 ft x 8 ft, door: basement door}")
HOUSE, SHUT = loads(WINTER_BASEMENT), loads(WITH_DOOR)


def test_an_opening_without_a_door_joins_rooms_and_one_with_a_door_does_not():
    assert joined_rooms(HOUSE, "basement") == ("living", "basement")
    assert joined_rooms(SHUT, "basement") == ("basement",)


def test_an_appliance_whose_room_nobody_told_has_all_of_them():
    assert joined_rooms(SHUT, "") == ("living", "basement")


def test_the_volume_is_that_of_the_joined_rooms():
    (both,), (alone,) = burner_rooms(HOUSE), burner_rooms(SHUT)
    assert both.volume == pytest.approx(900 * (9 + 7.5) * FOOT**3)
    assert alone.volume == pytest.approx(900 * 7.5 * FOOT**3)


def test_appliances_in_joined_rooms_share_them():
    furnace = Appliance("furnace", burns="gas", vents="fan-assisted", room="living", input=20000.0)
    (space,) = burner_rooms(replace(HOUSE, appliances=(*HOUSE.appliances, furnace)))
    assert space.appliances == ("water heater", "furnace")
    apart = burner_rooms(replace(SHUT, appliances=(*SHUT.appliances, furnace)))
    assert [space.appliances for space in apart] == [("water heater",), ("furnace",)]


def test_air_leaks_in_as_slowly_as_at_the_tight_end():  # a twentieth of the air changes at 50 Pa [practice]
    (space,) = burner_rooms(loads(WINTER_BASEMENT.replace("1.0 ach50", "2 to 8 ach50 (likely 4)")))
    assert space.air_changes == pytest.approx(0.1, rel=0.1)


def test_a_window_between_rooms_joins_nothing():
    pane = Opening("pane", "window", ("living", "basement"), 1.0, 1.0)
    assert joined_rooms(replace(HOUSE, openings=(pane,)), "living") == ("living",)


def test_a_room_between_the_methods_is_too_small():
    """4 air changes at 50 Pa, 0.2 an hour: 40,000 Btu/h asks 4,200 ft3; 300 ft2 of basement hold 2,250."""
    small = WITH_DOOR.replace("1.0 ach50", "4 ach50").replace("basement, area: 900 ft2", "basement, area: 300 ft2")
    (space,) = burner_rooms(loads(small))
    assert space.known == pytest.approx(4200 * FOOT**3)
    assert (space.verdict, space.standard_allowed) == ("too small", False)


@pytest.mark.parametrize(
    ("burns", "vents", "on_it"),
    [
        ("gas", "natural draft", True),
        ("oil", "", True),
        ("oil", "fan-assisted", True),
        ("gas", "power vent", True),
        ("gas", "direct vent", False),
        ("gas", "none", False),
        ("wood", "natural draft", False),
        ("", "natural draft", False),
    ],
)
def test_what_burns_on_room_air(burns, vents, on_it):
    assert on_room_air(Appliance("it", burns=burns, vents=vents)) is on_it


def burning(ach50, *appliances, volume=None):
    """What is said of the basement by itself, with these burners in it (name, how it vents, Btu/h)."""
    case = loads(WITH_DOOR.replace("1.0 ach50", ach50))
    rooms = [replace(room, volume=volume) if room.name == "basement" else room for room in case.rooms]
    made = [Appliance(n, burns="gas", vents=v, room="basement", input=i and i * BTU / 3600) for n, v, i in appliances]
    (space,) = burner_rooms(replace(case, rooms=tuple(rooms), appliances=tuple(made)))
    return space


HEATER, FURNACE = ("water heater", "natural draft", 40000), ("furnace", "fan-assisted", 60000)


def test_openings_join_room_after_room_and_leave_the_others_out():
    case = replace(HOUSE, rooms=tuple(replace(HOUSE.rooms[0], name=name) for name in "abcdef"))
    ways = (("c", "b"), ("a", "b"), ("c", "d"), ("e", "f"), ("f", "outdoors"))
    case = replace(case, openings=tuple(Opening("".join(way), "clear", way, 1.0, 1.0) for way in ways))
    assert [joined_rooms(case, room) for room in "abcd"] == [("a", "b", "c", "d")] * 4
    assert joined_rooms(case, "e") == joined_rooms(case, "f") == ("e", "f")


def test_a_volume_that_is_told_beats_area_times_ceiling():
    assert burning("1.0 ach50", HEATER, volume=77.0).volume == 77.0


def test_an_input_that_nobody_told_leaves_the_methods_open():
    assert burning("8 ach50", HEATER, ("boiler", "natural draft", None)) == BurnerRoom(
        rooms=("basement",),
        appliances=("water heater", "boiler"),
        volume=pytest.approx(900 * 7.5 * FOOT**3),
        input=None,
        air_changes=pytest.approx(0.4),
        standard=None,
        standard_allowed=True,
        known=None,
        verdict="input not told",
    )


def test_both_methods_side_by_side():
    """NFPA 54 9.3.2 (published, restated): 50 ft3 for 1,000 Btu/h; known rate 21, with a fan 15 ft3, by the rate."""
    assert burning("8 ach50", HEATER, FURNACE) == BurnerRoom(
        rooms=("basement",),
        appliances=("water heater", "furnace"),
        volume=pytest.approx(6750 * FOOT**3),
        input=pytest.approx(100000 * BTU / 3600),
        air_changes=pytest.approx(0.4),
        standard=pytest.approx(5000 * FOOT**3),
        standard_allowed=True,
        known=pytest.approx((21 * 40 + 15 * 60) / 0.4 * FOOT**3),
        verdict="large enough",
    )


@pytest.mark.parametrize(
    ("ach50", "cubic_feet", "verdict"),
    [
        ("8 ach50", 4999, "large enough"),  # known rate alone: 4,350 ft3
        ("8 ach50", 4300, "too small"),
        ("6 ach50", 5700, "too small"),  # 5,800 by the known rate; the standard's 5,000 are not allowed
        ("6 ach50", 5900, "large enough"),
        ("1.9 ach50", 99999, "air must come from outdoors"),  # slower than 0.10 an hour, no volume will do
        ("2 ach50", 17300, "too small"),  # at 0.10 an hour just 17,400
        ("2 ach50", 17500, "large enough"),
        ("16 ach50", 2950, "large enough"),  # a rate above 0.60 counts as 0.60: 2,900
        ("16 ach50", 2850, "too small"),
    ],
)
def test_how_large_is_large_enough(ach50, cubic_feet, verdict):
    assert burning(ach50, HEATER, FURNACE, volume=cubic_feet * FOOT**3).verdict == verdict


def test_a_room_of_just_what_is_asked_is_large_enough():
    least = burning("6 ach50", HEATER, FURNACE).known
    assert burning("6 ach50", HEATER, FURNACE, volume=least).verdict == "large enough"
    fan = ("furnace", "natural draft", 10)  # 50 ft3 for 1,000 Btu/h where the standard is allowed
    assert burning("8 ach50", fan, volume=standard_volume(10 * BTU / 3600)).verdict == "large enough"


def test_a_burner_of_no_input_asks_for_no_volume():
    out = burning("8 ach50", ("pilot out", "natural draft", 0.0), ("fan off", "fan-assisted", 0.0))
    assert (out.input, out.standard, out.known) == (0.0, 0.0, 0.0)
