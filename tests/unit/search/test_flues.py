"""Fans on and off at a flue, and the flue opened: limiting cases whose answer follows from physics."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from airledger.errors import InputError
from airledger.house.flues import flue_element, has_flue
from airledger.house.house import Appliance
from airledger.house.operating_state import OperatingState
from airledger.io.house_file import loads
from airledger.runs.work import HouseWork
from airledger.search.flues import named_moments, open_flues, pulls_at, solved, stilled
from tests.unit.search.combustion_houses import WINTER_BASEMENT
from tests.unit.search.houses import TWO_ROOMS, house

HOUSE = loads(WINTER_BASEMENT)
WORK = HouseWork(HOUSE, {})
MOMENTS = named_moments(HOUSE, WORK.named())
HEATER = HOUSE.appliances[0]


def test_a_stilled_state_keeps_its_doors_and_weather():
    state = OperatingState("s", settings=((("speed", "range hood"), 1.0), (("open", "bedroom door"), 0.0)))
    still = dict(stilled(house(TWO_ROOMS), state).settings)
    assert still["open", "bedroom door"] == 0.0
    assert {value for (kind, _), value in still.items() if kind == "speed"} == {0.0}
    assert ("speed", "ventilator supply") in still


def test_the_change_is_the_pressure_less_that_with_fans_off():
    (limit,) = WORK.limits().appliances
    pulls = pulls_at(HOUSE, limit, solved(HOUSE, WORK.solver(HOUSE), MOMENTS))
    assert [pull.moment.state for pull in pulls] == ["every fan off", "a small fan", "a fan"]
    for pull in pulls:
        assert pull.change == pytest.approx(pull.pressure - pull.fans_off, abs=1e-12)
        assert pull.low <= pull.change <= pull.high


def test_the_two_pressures_told_are_those_of_the_end_that_is_judged():
    """What stands at a tight end is told with the stack of that end, not of the likely tightness."""
    wide = loads(WINTER_BASEMENT.replace("1.0 ach50", "1.0 to 4 ach50 (likely 2)"))
    work = HouseWork(wide, {})
    (limit,) = work.limits().appliances
    *_, pull = pulls_at(wide, limit, solved(wide, work.solver(wide), named_moments(wide, work.named())))
    assert pull.low < pull.change < pull.high
    assert pull.deepest - pull.deepest_fans_off == pytest.approx(pull.low, rel=1e-9)
    assert pull.pressure - pull.fans_off == pytest.approx(pull.change, rel=1e-9)


def test_more_fan_never_lets_more_air_up_the_flue():
    flows = []
    for cfm in (20, 60, 120, 200, 400):
        one = loads(WINTER_BASEMENT.replace("high: 80 cfm", f"high: {cfm} cfm"))
        flows.append(open_flues(one, HEATER, named_moments(one, HouseWork(one, {}).named())[2:])[0].flow)
    assert flows == sorted(flows, reverse=True)
    assert flows[0] > 0 > flows[-1]


def test_the_flow_in_an_open_flue_is_what_its_losses_let_through():
    """Own sum: draft and room pressure at the inlet against friction (Haaland) and ends, by a root finder."""
    (found,) = open_flues(HOUSE, HEATER, MOMENTS[:1])
    spec = flue_element(HOUSE, HEATER, "basement")
    density, viscosity = 1.199, 1.815e-5  # room air at 20 C, 30 % [handbook values]
    outside = 1.413  # dry air at -23.3 C [ideal gas]
    # 2.5: entry 0.5, elbow 1, exit through the cap 1 [common practice]
    head = found.pressure + 9.80665 * (outside - density) * (spec.z_head - HOUSE.floor("basement"))

    def short(speed):
        reynolds = density * speed * spec.diameter / viscosity
        friction = (-1.8 * np.log10((spec.roughness / spec.diameter / 3.7) ** 1.11 + 6.9 / reynolds)) ** -2
        return head - (2.5 + friction * spec.length / spec.diameter) * density * speed**2 / 2

    assert found.flow == pytest.approx(brentq(short, 0.1, 20.0) * spec.area, rel=0.04)


def test_no_draft_no_fan_no_flow():
    still = WINTER_BASEMENT.replace("outdoors: -10 F, dew point: -15 F", "outdoors: 68 F, dew point: 35 F")
    one = loads(still)
    (found,) = open_flues(one, HEATER, named_moments(one, HouseWork(one, {}).named())[:1])
    assert abs(found.flow) < 0.02 * abs(open_flues(HOUSE, HEATER, MOMENTS[:1])[0].flow)


@pytest.mark.parametrize(
    ("vents", "size", "open_to_room"),
    [("natural draft", 0.1, True), ("direct vent", 0.1, False), ("natural draft", None, False)],
)
def test_only_a_flue_that_stands_open_to_its_room_is_opened(vents, size, open_to_room):
    appliance = Appliance("it", burns="gas", vents=vents, room="basement", flue_diameter=size, flue_height=7.0)
    assert has_flue(appliance) is open_to_room
    if not open_to_room:
        with pytest.raises(InputError, match="size and height of the flue of it"):
            open_flues(HOUSE, appliance, MOMENTS)


def test_a_flue_whose_room_nobody_told_cannot_be_opened():
    with pytest.raises(InputError, match="or its room, are not told"):
        open_flues(HOUSE, replace(HEATER, room=""), MOMENTS)
