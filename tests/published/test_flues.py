"""What flues stand and what each pull does to them, row by row; source and tag beside each check."""

import numpy as np
import pytest

from airledger import runs
from airledger.findings import SEVERITIES
from airledger.house.flues import standing_draft
from airledger.house.house import Appliance
from airledger.house.outdoors import weather
from airledger.io.house_file import loads
from airledger.physics.leakage import flow_coefficient_from_area, leakage_pressure
from airledger.physics.stack_and_wind import stack_pressure
from airledger.search.limits import appliance_limit, limits, open_fireplaces
from airledger.units import CFM, INCH_OF_WATER
from tests.unit.search.combustion_houses import FIREPLACE, SEALED, WINTER_BASEMENT
from tests.unit.search.houses import TWO_ROOMS, house

FLUE = 7.3  # 24 ft [m]
DRY_AIR = 1.2041 * 293.15  # density times absolute temperature at sea level: ideal gas


def rows(text, table="appliances"):
    return runs.study(loads(text), ("combustion_safety",)).results["combustion_safety"].tables[table]


def changed(pascals):
    """The winter basement with a fan that changes its pressure by about so much: power law, exponent 0.65."""
    flow = 80 * (pascals / 7.0) ** 0.65
    return {row["state"]: row for row in rows(WINTER_BASEMENT.replace("high: 80 cfm", f"high: {flow:.1f} cfm"))}[
        "a fan"
    ]


# BPI technical standard, depressurization by appliance [memory]
@pytest.mark.parametrize(
    ("name", "vents", "shared", "pascals"),
    [
        ("water heater", "natural draft", (), -2),
        ("boiler", "natural draft", ("water heater",), -3),
        ("boiler", "natural draft", (), -5),
        ("boiler", "fan-assisted", ("water heater",), -5),
        ("boiler", "fan-assisted", (), -15),
        ("water heater", "fan-assisted", (), -15),
        ("furnace", "power vent", (), -50),
    ],
)
def test_limits_by_venting(name, vents, shared, pascals):
    found = appliance_limit(Appliance(name, burns="gas", vents=vents, shared_with=shared), house(TWO_ROOMS))
    assert (found.pressure, found.source.tag) == (pascals, "memory")


def test_wood_and_open_fire_stand_five_pascals():  # Canadian municipal guidance [practice]
    (fire,) = open_fireplaces(house(FIREPLACE))
    assert (fire.pressure, fire.source.tag) == (-5.0, "practice")
    assert appliance_limit(Appliance("stove", burns="wood"), house(TWO_ROOMS)).pressure == -5.0


def test_a_house_without_a_chimney_is_held_to_ten_and_twenty():  # CSA F326 [memory, low confidence]
    judged = limits(house(SEALED))
    assert (judged.house_pressure.wanted, judged.house_pressure.tolerated) == (-10.0, -20.0)
    assert judged.house_source.tag == "memory"
    assert judged.appliances == ()


def test_five_pascals_turn_a_chimney_in_its_off_cycle():  # CMHC Technical Series 04-121 (2004) [published]
    """24 ft of room air at 20 C draws 4 Pa or so against 7 C outdoors (ideal gas): less than the fans pull."""
    mild = WINTER_BASEMENT.replace("outdoors: -10 F, dew point: -15 F", "outdoors: 45 F, dew point: 30 F")
    mild = mild.replace("high: 80 cfm", "high: 72 cfm")
    flue = {row["state"]: row for row in rows(mild, "open_flue")}["a fan"]
    pull = {row["state"]: row for row in rows(mild)}["a fan"]
    assert pull["change_pa"] == pytest.approx(-6.5, abs=1.5)
    assert 0 < flue["cold_draft_pa"] < 5
    assert (flue["goes"], flue["fans_off_goes"]) == ("down the flue", "up the flue")


def test_thirty_pascals_are_the_draft_of_a_hot_running_chimney():  # CMHC Technical Series 04-121 (2004) [published]
    """Smoke of 120 to 180 C on average over 24 ft, against air at 10 C: 30 Pa lies between; ideal gas."""
    cool, hot = (float(stack_pressure(FLUE, DRY_AIR / (273.15 + t), DRY_AIR / 283.15)) for t in (120, 180))
    assert cool < 30 < hot + 4
    assert 20 < cool < hot < 40


def test_two_hundredths_of_an_inch_are_the_five_pascals_of_natural_draft():  # gas-trade training text [practice]
    assert pytest.approx(5.0, abs=0.05) == 0.02 * INCH_OF_WATER
    assert appliance_limit(Appliance("furnace", burns="gas", vents="natural draft"), house(TWO_ROOMS)).pressure == -5.0


def test_a_radon_fan_adds_to_the_risk_only_in_tight_houses():  # Henschel 1997 [published]: 1 to 2 cm2/m2 at 4 Pa
    """50 cfm drawn from a house of 150 m2: the change passes 2 Pa below, and not above, those leakage areas."""
    areas = np.array([0.5, 1.0, 2.0, 4.0]) * 1e-4 * 150
    pulls = leakage_pressure(50 * CFM, flow_coefficient_from_area(areas, 0.65, 4.0, 1.0), 0.65)
    assert pulls[0] > 2.0 > pulls[-1]
    assert pulls[1] > pulls[2]
    assert np.interp(2.0, pulls[::-1], areas[::-1]) / 150 * 1e4 == pytest.approx(1.5, abs=0.75)


# wording of levels [memory]: 0 to -2 ordinary; -2 to -3 a water heater at risk; danger shows it
@pytest.mark.parametrize(("pascals", "verdict"), [(0.5, "within"), (1.5, "within"), (2.5, "danger"), (10, "danger")])
def test_a_water_heater_is_at_risk_from_two_pascals_on(pascals, verdict):
    row = changed(pascals)
    assert row["change_pa"] == pytest.approx(-pascals, rel=0.03)
    assert row["verdict"] == verdict


def test_stack_alone_is_a_few_pascals_in_winter():  # a few Pa of stack in winter [memory]
    """Two floors, 31 K apart, half of their height away from the neutral level: ideal gas."""
    outside, inside = DRY_AIR / (273.15 - 10), DRY_AIR / (273.15 + 21)
    assert 2.0 < float(stack_pressure(2.5, inside, outside)) < 5.0
    assert (
        standing_draft(house(WINTER_BASEMENT), house(WINTER_BASEMENT).appliances[0], weather(house(WINTER_BASEMENT))[0])
        > 5
    )


def test_from_ten_pascals_on_an_open_fireplace_fails():  # -10 to -20 Pa [memory]
    calm = FIREPLACE.replace("lit: 300 cfm", "lit: 1 cfm").replace("on: 80 cfm", "on: 135 cfm")
    (worst,) = [row for row in rows(calm) if row["found"] == "worst found"]
    assert -20 < worst["change_pa"] < -10
    assert worst["verdict"] == "danger"


def test_fifty_pascals_are_the_tested_flow_itself():  # 100 cfm in a house of 100 cfm50 [computed, definition]
    text = SEALED.replace("tightness: 1.0 ach50", "tightness: 100 cfm50").replace("high: 400 cfm", "high: 100 cfm")
    found = runs.study(loads(text), ("depressurization",)).results["depressurization"].tables["named"]
    assert min(row["house_pressure_pa"] for row in found) == pytest.approx(-50.0, rel=1e-3)


def test_danger_is_the_first_of_all_severities():
    assert SEVERITIES[0] == "danger"
