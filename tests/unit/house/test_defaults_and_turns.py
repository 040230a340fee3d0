"""What a file leaves out, what a run adds up to, and a house turned in the wind."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from airledger.house import duct_terms
from airledger.house.assemble import build
from airledger.house.elements import Orifice
from airledger.house.house import House
from airledger.house.operating_state import WIND_FROM, WIND_SPEED, Settings
from airledger.house.readout import Readout
from airledger.house.state_words import named_states
from airledger.house.ways import swing_of
from airledger.io.house_file import loads
from airledger.physics.solver import solve
from tests.houses import CHECK_HOUSE, with_opening

FOOT = 0.3048


def test_a_door_that_does_not_say_swings_into_the_house_or_into_its_second_room() -> None:
    """Common practice, no source: an entry door opens in; an inner door opens into the room it leads to."""
    text = CHECK_HOUSE.replace("rooms: {", "rooms: {store: {area: 100 ft2, ceiling: 10 ft}, ").replace(
        "swings: out}\n  back", "swings: out}\n  inner door: {between: [house, store], leaf: 30 in x 80 in}\n  back"
    )
    doors = {door.name: replace(door, swings="") for door in loads(text, "doors.yaml").openings}
    assert swing_of(doors["entry door"]) == "in"
    assert swing_of(doors["inner door"]) == "out"
    assert swing_of(replace(doors["inner door"], swings="in")) == "in"


def make_up(duct: str, run: str) -> duct_terms.Terms:
    text = (
        with_opening(10.0).replace("10.0 in round, made of: galvanized", duct).replace("straight: 15 ft, loss: 3", run)
    )
    arrangements = loads(text, "run.yaml").make_up_air
    assert arrangements
    return duct_terms.of_make_up(arrangements[0])


def test_flexible_duct_pressed_together_is_longer_by_its_factor() -> None:
    """ASHRAE Fundamentals 2021 ch. 21 eq. 22 and 23: 1 + 0.58 x 15 exp(-0.00496 x 254) for 15 % and 254 mm."""
    factor = 1 + 0.58 * 15 * math.exp(-0.00496 * 254)
    flexible = make_up("10 in round, made of: flex, compressed: 15 %", "straight: 15 ft, loss: 3, straight: 5 ft")
    assert flexible.length == pytest.approx(20 * FOOT * factor)
    assert make_up("10 in round, made of: galvanized", "straight: 15 ft").length == pytest.approx(15 * FOOT)


def test_a_run_climbs_by_what_its_straight_parts_climb() -> None:
    climbs = make_up("10 in round, made of: galvanized", "straight: 9 ft up, straight: 4 ft, straight: 3 ft down")
    assert climbs.rise == pytest.approx(6 * FOOT)
    assert climbs.length == pytest.approx(16 * FOOT)


def test_half_of_a_stream_s_loss_lies_in_its_branches() -> None:
    """Common practice, no source. One branch alone: trunk and branch are holes of one size."""
    unit = "ventilator: {kind: erv, speeds: {boost: 200 cfm}, supplies: {house: 100 %}, takes from: {house: 100 %}}\n"
    model = build(loads(CHECK_HOUSE.replace("states:", unit + "states:"), "unit.yaml"))
    holes = {spec.through: float(spec.area) for spec in model.specs if isinstance(spec, Orifice)}
    assert holes["ventilator supply duct"] == pytest.approx(holes["ventilator supply to house"])
    assert holes["ventilator exhaust duct"] == pytest.approx(holes["ventilator exhaust from house"])


WINDY = """
house: turned
site: {elevation: 0 ft, wind: {speed: 0 to 25 mph, from: any}, surroundings: open fields, north: 30 deg}
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms: {hall: {size: 60 ft x 12 ft, corner: [0 ft, 0 ft], ceiling: 9 ft}}
openings:
  window: {between: [hall, outdoors], sash: 36 in x 48 in, sill: 3 ft, opens up to: 20 in, faces: east}
exhausts: {fan: {room: hall, speeds: {on: 50 cfm}}}
make-up air: none
states:
  windy: {wind: 15 mph from west}
  windy with the window open: {window: open, wind: 15 mph from west}
"""


def hall_pressures(house: House, wind_from: float) -> np.ndarray:
    """Window shut, window open [Pa]."""
    settings = Settings.of(house, named_states(house)).with_({WIND_SPEED: 7.0, WIND_FROM: wind_from})
    model = build(house)
    solution = solve(model.network, model.rows(settings))
    return np.asarray(Readout(model, settings, solution).room_pressure("hall"))


def turned(house: House, degrees: float) -> House:
    return replace(house, site=replace(house.site, north=house.site.north + degrees))


def test_walls_turned_with_the_wind_feel_the_same_and_walls_turned_alone_do_not() -> None:
    """The walls of a long house stand as its plan is drawn, so they turn with the plan's north."""
    house = loads(WINDY, "windy.yaml")
    shut = hall_pressures(house, 30.0)[0]
    assert hall_pressures(turned(house, 90.0), 120.0)[0] == pytest.approx(shut, rel=1e-6)
    assert abs(hall_pressures(turned(house, 90.0), 30.0)[0] - shut) > 0.5


@pytest.mark.parametrize("north", [0.0, 45.0, 160.0])
def test_a_window_to_the_east_looks_east_however_the_plan_is_turned(north: float) -> None:
    house = turned(loads(WINDY, "windy.yaml"), north - 30.0)
    pressures = [hall_pressures(house, float(angle))[1] for angle in range(0, 360, 15)]
    assert int(np.argmax(pressures)) * 15 == 90
