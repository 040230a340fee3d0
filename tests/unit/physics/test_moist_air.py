"""Moist air against PsychroLib 2.5.0 (ideal gas, the same equations) and CoolProp 8.0.0 (real gas)."""

import numpy as np
import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.physics import moist_air as air
from airledger.physics.saturation import log_saturation, saturation_temperature, wet_bulb_balance

psychrolib.SetUnitSystem(psychrolib.SI)
TEMPERATURES = (-30.0, -10.0, -1.0, 4.0, 20.0, 33.0, 45.0)
STATES = [(t, rh, p) for t in TEMPERATURES for rh in (0.1, 0.5, 0.9, 1.0) for p in (101325.0, 8e4)]


@pytest.mark.parametrize(("t", "rh", "p"), STATES)
def test_every_quantity_equals_psychrolib(t, rh, p):
    ratio = psychrolib.GetHumRatioFromRelHum(t, rh, p)
    assert air.humidity_ratio_from_relative_humidity(t, rh, p) == pytest.approx(ratio, rel=1e-12)
    assert air.relative_humidity(t, ratio, p) == pytest.approx(rh, rel=1e-12)
    assert air.vapour_pressure(ratio, p) == pytest.approx(psychrolib.GetVapPresFromHumRatio(ratio, p), rel=1e-12)
    assert air.enthalpy(t, ratio) == pytest.approx(psychrolib.GetMoistAirEnthalpy(t, ratio), rel=1e-12)
    assert air.specific_volume(t, ratio, p) == pytest.approx(psychrolib.GetMoistAirVolume(t, ratio, p), rel=1e-12)
    assert air.dry_air_density(t, ratio, p) == pytest.approx(1 / psychrolib.GetMoistAirVolume(t, ratio, p), rel=1e-12)
    assert air.density(t, ratio, p) == pytest.approx(psychrolib.GetMoistAirDensity(t, ratio, p), rel=1e-12)
    assert air.dew_point(ratio, p) == pytest.approx(psychrolib.GetTDewPointFromHumRatio(t, ratio, p), abs=1e-6)
    bulb, witness = air.wet_bulb(t, ratio, p), psychrolib.GetTWetBulbFromHumRatio(t, ratio, p)
    if bulb * witness < 0:
        # just below freezing the balance has two roots, over water and over ice: ours must be one too
        assert psychrolib.GetHumRatioFromTWetBulb(t, bulb, p) == pytest.approx(ratio, rel=1e-9)
    else:
        # PsychroLib stops its bisection within 0.001 K
        assert bulb == pytest.approx(witness, abs=2e-3)


@pytest.mark.parametrize(("t", "rh", "p"), STATES)
def test_the_water_that_a_wet_bulb_tells_equals_psychrolib(t, rh, p):
    bulb = psychrolib.GetTWetBulbFromRelHum(t, rh, p)
    told = psychrolib.GetHumRatioFromTWetBulb(t, bulb, p)
    assert air.humidity_ratio_from_wet_bulb(t, bulb, p) == pytest.approx(told, rel=1e-12)


@pytest.mark.parametrize("bulb", [-0.5, 0.0, 0.5, 1.0])
def test_a_wet_bulb_at_freezing_is_wetted_with_water_from_zero_on_as_in_psychrolib(bulb):
    ratio = air.humidity_ratio_from_wet_bulb(6.0, bulb, 95000.0)
    # up to the triple point PsychroLib takes the vapour over ice even where the bulb is wetted with water
    assert ratio == pytest.approx(psychrolib.GetHumRatioFromTWetBulb(6.0, bulb, 95000.0), abs=2e-6)


@pytest.mark.parametrize("bulb", [0.0, 0.05, 0.5, 4.0])
def test_a_bulb_wetted_with_water_is_found_again_though_ice_would_answer_too(bulb):
    assert air.wet_bulb(6.0, air.humidity_ratio_from_wet_bulb(6.0, bulb)) == pytest.approx(bulb, abs=1e-9)


@pytest.mark.parametrize("t", [-30.0, -2.0, 0.5, 13.0, 28.0])
def test_the_water_that_a_dew_point_tells_equals_psychrolib(t):
    told = psychrolib.GetHumRatioFromTDewPoint(t, 84_000.0)
    assert air.humidity_ratio_from_dew_point(t, 84_000.0) == pytest.approx(told, rel=1e-12)
    assert air.dew_point(told, 84_000.0) == pytest.approx(t, abs=1e-9)
    at_sea = psychrolib.GetHumRatioFromTDewPoint(t, 101_325.0)
    assert air.humidity_ratio_from_dew_point(t) == pytest.approx(at_sea, rel=1e-12)


@pytest.mark.parametrize("t", [-20.0, 0.005, 0.01, 0.015, 20.0, 40.0])
def test_saturation_equals_psychrolib_on_both_sides_of_the_triple_point(t):
    assert air.saturation_pressure(t) == pytest.approx(psychrolib.GetSatVapPres(t), rel=1e-12)


@pytest.mark.parametrize(("t", "rh", "p"), [state for state in STATES if state[0] > -25])
def test_real_gas_lies_within_the_enhancement_factor(t, rh, p):
    ratio = air.humidity_ratio_from_relative_humidity(t, rh, p)
    real = HAPropsSI("W", "T", t + 273.15, "P", p, "R", rh)
    assert ratio == pytest.approx(real, rel=0.008)
    volume = HAPropsSI("Vda", "T", t + 273.15, "P", p, "W", ratio)
    assert air.specific_volume(t, ratio, p) == pytest.approx(volume, rel=0.0015)


def test_elevation_equals_psychrolib():
    for elevation in (0.0, 300.0, 1655.0, 3000.0):
        witness = psychrolib.GetStandardAtmPressure(elevation)
        assert air.standard_pressure(elevation) == pytest.approx(witness, rel=1e-12)


def test_reference_air_is_dry_air_at_twenty_degrees():
    assert air.density(20.0) == pytest.approx(air.REFERENCE_DENSITY, abs=1e-4)  # 287.042 J/(kg K)
    assert air.dry_air_density(20.0) == air.density(20.0)
    assert air.viscosity(20.0) == pytest.approx(air.REFERENCE_VISCOSITY, rel=1e-12)


def test_saturated_air_has_one_temperature():
    for t in (-15.0, 8.0, 30.0):
        ratio = air.humidity_ratio_from_relative_humidity(t, 1.0)
        assert air.dew_point(ratio) == pytest.approx(t, abs=1e-9)
        assert air.wet_bulb(t, ratio) == pytest.approx(t, abs=1e-9)


def test_damp_air_is_lighter_than_dry_air():
    assert air.density(30.0, 0.02) < air.density(30.0, 0.0)
    assert air.dry_air_density(30.0, 0.02) < air.density(30.0, 0.02)


@given(st.floats(-55.0, 75.0), st.floats(0.02, 1.0), st.floats(7e4, 1.05e5))
def test_wet_bulb_lies_between_dew_point_and_dry_bulb_and_returns(t, rh, p):
    ratio = air.humidity_ratio_from_relative_humidity(t, rh, p)
    bulb = air.wet_bulb(t, ratio, p)
    assert air.dew_point(ratio, p) - 0.02 <= bulb <= t
    if not 0.0 <= t <= 0.02:
        # between 0 and 0.01 C the equations for ice and water disagree by their rounding
        returned, _ = wet_bulb_balance(t, bulb, p, bulb >= 0.0)
        assert returned == pytest.approx(ratio, rel=1e-9, abs=2e-9 + 1.1e-6 * (t < 0.1))


@given(st.floats(-99.0, 199.0))
def test_saturation_and_its_inverse_agree(t):
    assert saturation_temperature(air.saturation_pressure(t)) == pytest.approx(t, abs=1e-9)


def test_at_the_triple_point_ice_gives_the_temperature_back():
    assert saturation_temperature(air.saturation_pressure(0.01)) == pytest.approx(0.01, abs=1e-9)


@pytest.mark.parametrize("odd", [1e-4, 2e6])
def test_no_ice_and_no_water_of_the_equations_has_such_a_pressure(odd):
    low, high = psychrolib.GetSatVapPres(-100.0), psychrolib.GetSatVapPres(200.0)
    with pytest.raises(OutOfRange) as refused:
        saturation_temperature(odd)
    words = f"vapour pressure {odd:g} Pa is outside {low:g} to {high:g} Pa, where the method holds"
    assert str(refused.value) == words


@given(st.floats(-60.0, 90.0), st.booleans())
def test_slopes_equal_difference_quotients(t, over_water):
    step = 1e-4
    above, below = log_saturation(t + step, over_water)[0], log_saturation(t - step, over_water)[0]
    assert log_saturation(t, over_water)[1] == pytest.approx((above - below) / (2 * step), rel=1e-6)
    above, below = (wet_bulb_balance(t + 5, t + side, 101325.0, over_water)[0] for side in (step, -step))
    assert wet_bulb_balance(t + 5, t, 101325.0, over_water)[1] == pytest.approx((above - below) / (2 * step), rel=1e-6)


@given(st.floats(-40.0, 60.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_more_water_means_a_higher_dew_point_and_enthalpy(t, one, other):
    dry, wet = sorted((one, other))
    ratios = [air.humidity_ratio_from_relative_humidity(t, max(rh, 1e-3)) for rh in (dry, wet)]
    assert air.dew_point(ratios[1]) >= air.dew_point(ratios[0]) - 1e-9
    assert air.enthalpy(t, ratios[1]) >= air.enthalpy(t, ratios[0])


def test_a_state_gives_what_the_functions_give():
    state = air.AirState(26.0, 0.012, 9.5e4)
    assert state.density == air.density(26.0, 0.012, 9.5e4)
    assert state.dry_air_density == air.dry_air_density(26.0, 0.012, 9.5e4)
    assert state.viscosity == air.viscosity(26.0)
    assert state.enthalpy == air.enthalpy(26.0, 0.012)
    assert state.dew_point == air.dew_point(0.012, 9.5e4)
    assert state.relative_humidity == air.relative_humidity(26.0, 0.012, 9.5e4)


REFUSED = {
    "temperature 250 degC is outside -100 to 200 degC, where the method holds": lambda: air.saturation_pressure(250.0),
    "temperature -120 degC is outside -100 to 200 degC, where the method holds": lambda: air.viscosity(-120.0),
    "relative humidity 1.2 - is outside 0 to 1 -, where the method holds": (
        lambda: air.humidity_ratio_from_relative_humidity(20.0, 1.2)
    ),
    "elevation 20000 m is outside -500 to 11000 m, where the method holds": lambda: air.standard_pressure(2e4),
    "barometric pressure 50 Pa is outside 20000 to 120000 Pa, where the method holds": (
        lambda: air.density(20.0, 0.0, 50.0)
    ),
    "dry bulb minus wet bulb -5 K is outside 0 to inf K, where the method holds": (
        lambda: air.humidity_ratio_from_wet_bulb(20.0, 25.0)
    ),
    "humidity ratio from wet bulb -0.00851941 kg/kg is outside 0 to inf kg/kg, where the method holds": (
        lambda: air.humidity_ratio_from_wet_bulb(40.0, 5.0)
    ),
    "relative humidity 1.34976 - is outside 0 to 1 -, where the method holds": lambda: air.wet_bulb(20.0, 0.02),
    "temperature 90.5 degC is outside -60 to 90 degC, where the method holds": lambda: air.wet_bulb(90.5, 0.01),
    "temperature -60.5 degC is outside -60 to 90 degC, where the method holds": lambda: air.wet_bulb(-60.5, 1e-6),
    "elevation -500.5 m is outside -500 to 11000 m, where the method holds": lambda: air.standard_pressure(-500.5),
    "elevation 11000.5 m is outside -500 to 11000 m, where the method holds": lambda: air.standard_pressure(11_000.5),
    "barometric pressure 19999.5 Pa is outside 20000 to 120000 Pa, where the method holds": (
        lambda: air.specific_volume(20.0, 0.0, 19_999.5)
    ),
    "barometric pressure 120001 Pa is outside 20000 to 120000 Pa, where the method holds": (
        lambda: air.specific_volume(20.0, 0.0, 120_000.6)
    ),
    "vapour pressure over barometric pressure 0.9 - is outside 0 to 0.5 -, where the method holds": (
        lambda: air.humidity_ratio(9e4, 1e5)
    ),
}


@pytest.mark.parametrize("message", REFUSED)
def test_out_of_range_is_refused(message):
    with pytest.raises(OutOfRange) as refused:
        REFUSED[message]()
    assert str(refused.value) == message


def test_the_ends_of_a_range_belong_to_it():
    assert air.standard_pressure(-500.0) > air.standard_pressure(11_000.0) > 0
    assert air.specific_volume(20.0, 0.0, 20_000.0) == pytest.approx(6 * air.specific_volume(20.0, 0.0, 120_000.0))
    assert air.wet_bulb(-60.0, 1e-6) < air.wet_bulb(90.0, 1e-6)


@pytest.mark.parametrize(
    "call",
    [
        lambda: air.dew_point(0.0),
        lambda: air.wet_bulb(20.0, 0.05),
        lambda: air.wet_bulb(95.0, 0.01),
        lambda: air.humidity_ratio_from_wet_bulb(40.0, 5.0),
        lambda: air.saturation_pressure(np.array([20.0, np.nan])),
    ],
)
def test_what_cannot_be_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
