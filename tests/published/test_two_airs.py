"""Indoor and outdoor air of unequal weight through the whole package, held to sums written out here.

Witness of each value: psychrolib for the air, scipy's bracketing root finder for the balance of masses; the laws are
ASHRAE Fundamentals 2021 ch. 16 eq. 24 to 26, 36 and 40, PUBLISHED.
"""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from scipy.optimize import brentq

from airledger.house.ledger import Ledger
from tests.houses import LBF, solved

psychrolib.SetUnitSystem(psychrolib.SI)
GRAVITY = 9.80665
INCH = 0.0254

COLD_DAY = """
house: tall room
site:
  elevation: 0 ft
  winter: {outdoors: -10 C, dew point: -15 C, indoors: 20 C, humidity: 40 %}
envelope:
  tightness: 3.0 ach50
  exponent: 0.65
  leaks: {low: {share: 50 %, height: 0.5 m}, high: {share: 50 %, height: 5.5 m}}
rooms: {house: {area: 100 m2, ceiling: 6 m}}
openings:
  window: {between: [house, outdoors], sash: 1 m x 1.5 m, sill: 1 m, opens up to: 1 m}
  entry door: {between: [house, outdoors], leaf: 36 in x 80 in, swings: out, knob: 3 in, closer: 5 lbf, stands: shut}
make-up air: none
states: {rest: {}, window open: {window: 1 m}}
"""
Air = tuple[float, float, float]


def air(temperature: float, humidity_ratio: float) -> Air:
    """Moist density, dry-air density [kg/m3], viscosity by Sutherland's formula [Pa s]."""
    volume = psychrolib.GetMoistAirVolume(temperature, humidity_ratio, 101325.0)
    kelvin = temperature + 273.15
    return (1 + humidity_ratio) / volume, 1 / volume, 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)


INDOOR = air(20.0, psychrolib.GetHumRatioFromRelHum(20.0, 0.40, 101325.0))
OUTDOOR = air(-10.0, psychrolib.GetHumRatioFromTDewPoint(-15.0, 101325.0))
GRADIENT = (OUTDOOR[0] - INDOOR[0]) * GRAVITY


def leak(inward: float, coefficient: float) -> float:
    density, dry, viscosity = OUTDOOR if inward > 0 else INDOOR
    correction = (1.2041 / density) ** 0.35 * ((1.458e-6 * 293.15**1.5 / 403.55) / viscosity) ** 0.3
    return float(np.sign(inward)) * dry * coefficient * correction * abs(inward) ** 0.65


def hole(inward: float, area: float) -> float:
    density, dry, _ = OUTDOOR if inward > 0 else INDOOR
    return float(np.sign(inward)) * dry * 0.6 * area * np.sqrt(2 * abs(inward) / density)


def inward(pressure: float, z: float) -> float:
    return -(pressure + GRADIENT * z)


COEFFICIENT = 0.5 * 3.0 * 600 / 3600 / 50**0.65
STRIPS = (1 + 1 / 6, 1 + 1 / 2, 1 + 5 / 6)


def balanced(strip_area: float) -> float:
    def net(pressure: float) -> float:
        leaks = sum(leak(inward(pressure, z), COEFFICIENT) for z in (0.5, 5.5))
        return leaks + sum(hole(inward(pressure, z), strip_area) for z in STRIPS)

    return float(brentq(net, -100, 100, xtol=1e-13))


def test_a_window_breathes_what_its_strips_let_through_each_with_the_air_that_enters() -> None:
    expected = balanced(1 / 3)
    readout = solved(COLD_DAY)
    assert readout.house_pressure()[1] == pytest.approx(expected, abs=1e-4)
    flows = [hole(inward(expected, z), 1 / 3) for z in STRIPS]
    account = Ledger.of(readout.state(1, "window open"), "house", ("outdoors",))
    came = sum(entry.mass_flow for entry in account.entries_in if entry.through == "window")
    went = sum(entry.mass_flow for entry in account.entries_out if entry.through == "window")
    assert came == pytest.approx(sum(f for f in flows if f > 0), rel=1e-4)
    assert went == pytest.approx(-sum(f for f in flows if f < 0), rel=1e-4)
    assert min(came, went) > 0


def test_a_door_is_pulled_at_its_mid_height_at_the_knob_and_by_its_closer() -> None:
    """SFPE Handbook, 5th edition, ch. 50 eq. 50.14, PUBLISHED, with the stack at the middle of the leaf."""
    width, height = 36 * INCH, 80 * INCH
    across = abs(inward(balanced(0.0), height / 2))
    expected = 5 * LBF + width * width * height * across / (2 * (width - 3 * INCH))
    force, words = solved(COLD_DAY).door("entry door")
    assert force[0] == pytest.approx(expected, rel=1e-4)
    assert words[0] == "held shut"  # below the neutral level the house is lower than outdoors: the door swings out


WIND = """
house: box
site:
  elevation: 0 ft
  winter: {outdoors: -10 C, dew point: -15 C, indoors: 20 C, humidity: 40 %}
  wind: {speed: 0 to 20 mph, from: any}
  surroundings: open fields
envelope: {tightness: 2.0 ach50, exponent: 0.65, leaks: {walls: {share: 100 %, height: 0 m}}}
rooms: {box: {size: 10 m x 10 m, corner: [0 m, 0 m], ceiling: 3 m}}
make-up air: none
states: {wind: {wind: 10 m/s from north}}
"""


def test_wind_presses_with_the_weight_of_outdoor_air() -> None:
    speed = 10.0 * (270 / 10) ** 0.14 * (3 / 270) ** 0.14  # ASHRAE Fundamentals 2021 ch. 24 eq. 4: open, eaves at 3 m
    dynamic = OUTDOOR[0] * speed**2 / 2
    faces = (0.6, -0.3, -0.65, -0.65)

    def net(pressure: float) -> float:
        return sum(leak(cp * dynamic - pressure, 1.0) for cp in faces)

    assert solved(WIND).house_pressure()[0] == pytest.approx(brentq(net, -100, 100, xtol=1e-13), rel=1e-4)


CORE = """
house: core
site:
  elevation: 0 ft
  winter: {outdoors: -10 C, dew point: -15 C, indoors: 20 C, humidity: 40 %}
envelope: {tightness: 1.0 ach50}
rooms: {house: {area: 100 m2, ceiling: 3 m}}
ventilator:
  kind: hrv
  speeds: {low: 30 L/s, boost: 60 L/s}
  recovery: {sensible: 75 %, at: 30 L/s}
  supplies: {house: 100 %}
  takes from: {house: 100 %}
make-up air: none
"""


def test_air_behind_a_core_is_as_warm_as_its_effectiveness_makes_it() -> None:
    """Supply = outdoors + 0.75 (indoors - outdoors) = 12.5 C, what leaves = 20 - 22.5 = -2.5 C: its definition."""
    readout = solved(CORE)
    density = readout.model.air(readout.settings).density
    outdoor_water = psychrolib.GetHumRatioFromTDewPoint(-15.0, 101325.0)  # an HRV hands on no water
    indoor_water = psychrolib.GetHumRatioFromRelHum(20.0, 0.40, 101325.0)
    for node, temperature, water in (("supply", 12.5, outdoor_water), ("outlet", -2.5, indoor_water)):
        place = readout.model.nodes.index(f"ventilator/{node}")
        assert density[place][0] == pytest.approx(air(temperature, water)[0], rel=2e-4)
