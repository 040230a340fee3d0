"""Loads of an air flow: nothing to do between equal states, signs, and the sum that is the enthalpy."""

import pytest

from airledger.physics import air_loads as loads
from airledger.physics.moist_air import AirState

OUTDOORS, INDOORS = AirState(33.0, 0.019), AirState(24.0, 0.0093)


def test_equal_states_cost_nothing():
    assert loads.sensible_heat(0.3, INDOORS, INDOORS) == 0.0
    assert loads.latent_heat(0.3, INDOORS, INDOORS) == 0.0


def test_warm_wet_air_gives_heat_and_water_and_cold_dry_air_takes_them():
    assert loads.sensible_heat(0.3, OUTDOORS, INDOORS) > 0
    assert loads.condensed_water(0.3, OUTDOORS, INDOORS) == pytest.approx(0.3 * 0.0097)
    assert loads.latent_heat(0.3, INDOORS, OUTDOORS) == -loads.latent_heat(0.3, OUTDOORS, INDOORS)


def test_sensible_and_latent_heat_make_the_enthalpy_but_for_the_vapour_that_cools():
    total = 0.3 * (OUTDOORS.enthalpy - INDOORS.enthalpy)
    parts = loads.sensible_heat(0.3, OUTDOORS, INDOORS) + loads.latent_heat(0.3, OUTDOORS, INDOORS)
    left = 0.3 * 1860.0 * INDOORS.temperature * (OUTDOORS.humidity_ratio - INDOORS.humidity_ratio)
    assert parts + left == pytest.approx(total)


def test_a_cubic_metre_holds_its_dry_air():
    assert loads.dry_air_mass_flow(2.0, OUTDOORS) == 2.0 * OUTDOORS.dry_air_density
