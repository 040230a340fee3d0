"""The rooms that burners take their air from."""

from dataclasses import replace

import pytest

from airledger.house.house import Appliance, Opening
from airledger.io.house_file import loads
from airledger.search.burner_air import burner_rooms, joined_rooms, on_room_air
from airledger.units import FOOT
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
        ("gas", "direct vent", False),
        ("gas", "none", False),
        ("wood", "natural draft", False),
        ("", "natural draft", False),
    ],
)
def test_what_burns_on_room_air(burns, vents, on_it):
    assert on_room_air(Appliance("it", burns=burns, vents=vents)) is on_it
