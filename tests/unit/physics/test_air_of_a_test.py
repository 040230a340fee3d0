"""Air during a fan test: against a general psychrometric library, one mass through fan and leaks, refusals."""

import psychrolib
import pytest

from airledger.errors import OutOfRange
from airledger.physics.air_of_a_test import (
    baseline_corrected,
    e779_density,
    envelope_flow,
    iso_density,
    iso_vapour_pressure,
)


# airtightness.md 10: formula 5 lies within 0.01 % of PsychroLib (computed)
@pytest.mark.parametrize(
    ("temperature", "humidity", "barometer"),
    [(-30, 0.8, 101325), (-20, 0.8, 101325), (0, 0, 101325), (20, 0.5, 101325), (35, 0.5, 101325), (20, 0.5, 84556)],
)
def test_the_iso_density_is_that_of_a_general_library(temperature, humidity, barometer):
    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio = psychrolib.GetHumRatioFromRelHum(temperature, humidity, barometer)
    there = psychrolib.GetMoistAirDensity(temperature, ratio, barometer)
    assert iso_density(temperature, humidity, barometer) == pytest.approx(there, rel=1.2e-4)


def test_dry_air_at_20_degrees_at_sea_level_is_the_reference_of_both_within_a_third_of_a_percent():
    assert e779_density(20.0, 0.0) == pytest.approx(1.2041, abs=5e-5)
    assert iso_density(20.0, 0.0, 101325.0) == pytest.approx(1.2041, abs=5e-5)
    assert iso_vapour_pressure(20.0, 0.0) == 0.0


# independent witness: the standard atmosphere of PsychroLib; the standard's own formula keeps within 0.7 % to 3,000 m
@pytest.mark.parametrize("elevation", [0.0, 500.0, 1655.0, 3000.0])
@pytest.mark.parametrize("temperature", [-20.0, 21.0])
def test_air_of_e779_thins_with_height_as_the_standard_atmosphere_does(temperature, elevation):
    psychrolib.SetUnitSystem(psychrolib.SI)
    thinner = psychrolib.GetStandardAtmPressure(elevation) / psychrolib.GetStandardAtmPressure(0.0)
    there = 1.2041 * thinner * 293.0 / (temperature + 273.0)
    assert e779_density(temperature, elevation) == pytest.approx(there, rel=0.007)


# independent witness: PsychroLib over water; below freezing the standard stays with water, so that ice says less
@pytest.mark.parametrize("temperature", [0.02, 10.0, 20.0, 30.0, 40.0])
def test_the_iso_vapour_pressure_is_that_of_saturated_water(temperature):
    psychrolib.SetUnitSystem(psychrolib.SI)
    there = psychrolib.GetSatVapPres(temperature)
    assert iso_vapour_pressure(temperature, 1.0) == pytest.approx(there, rel=0.002)
    assert iso_vapour_pressure(temperature, 0.4) == pytest.approx(0.4 * there, rel=0.002)


def test_the_same_mass_goes_through_fan_and_leaks():
    assert envelope_flow(0.2, 1.16, 1.27) * 1.27 == pytest.approx(0.2 * 1.16)
    assert envelope_flow(0.2, 1.2, 1.2) == 0.2


def test_a_baseline_is_taken_off_signed():
    assert baseline_corrected(-52.4, -2.6, -2.2) == pytest.approx(-50.0)
    assert baseline_corrected(50.0, 1.0, -1.0) == 50.0


def test_the_ends_of_a_range_belong_to_it():
    assert e779_density(60.0, -500.0) > e779_density(60.0, 6000.0) > 0
    assert iso_density(-60.0, 1.0, 40_000.0) < iso_density(-60.0, 1.0, 110_000.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: e779_density(70.0, 0.0), "temperature 70 degC is outside -60 to 60 degC"),
        (lambda: e779_density(20.0, 7000.0), "elevation 7000 m is outside -500 to 6000 m"),
        (lambda: iso_density(20.0, 1.2, 101325.0), "relative humidity 1.2 - is outside 0 to 1 -"),
        (lambda: e779_density(20.0, 6000.5), "elevation 6000.5 m is outside -500 to 6000 m"),
        (lambda: e779_density(20.0, -500.5), "elevation -500.5 m is outside -500 to 6000 m"),
        (lambda: iso_density(20.0, 0.5, 39_999.5), "barometric pressure 39999.5 Pa is outside 40000 to 110000 Pa"),
        (lambda: iso_density(20.0, 0.5, 110_001.0), "barometric pressure 110001 Pa is outside 40000 to 110000 Pa"),
        (lambda: iso_density(20.0, 0.5, 1013.0), "barometric pressure 1013 Pa is outside 40000 to 110000 Pa"),
        (lambda: iso_vapour_pressure(-61.0, 0.5), "temperature -61 degC is outside -60 to 60 degC"),
    ],
)
def test_air_that_cannot_be_is_refused_word_for_word(call, words):
    with pytest.raises(OutOfRange) as told:
        call()
    assert str(told.value) == f"{words}, where the method holds"
