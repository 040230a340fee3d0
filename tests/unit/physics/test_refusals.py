"""What the methods refuse, word for word: quantity, value, unit and the range, after the docstrings."""

import math

import pytest

from airledger.errors import OutOfRange
from airledger.physics import duct_friction as duct
from airledger.physics import duct_sizing, fan, fitting_loss, moist_air, pressure_lag, saturation
from airledger.physics import filter as air_filter

HOLDS = ", where the method holds"
CASES = [
    (lambda: air_filter.filter_coefficients((0.1, 10.0), (0.2, 80.0)),
     "exponent of the filter's loss 3 - is outside 1 to 2 -"),
    (lambda: air_filter.filter_power_loss(0.1, 0.1, 20.0, 2.5),
     "exponent of the filter's loss 2.5 - is outside 1 to 2 -"),
    (lambda: air_filter.filter_exponent((0.2, 10.0), (0.1, 80.0)),
     "flow of the filter's second point 0.1 m3/s is outside 0.2 to inf m3/s"),
    (lambda: air_filter.filter_exponent((0.2, 10.0), (0.2, 80.0)),
     "flow of the filter's second point 0.2 m3/s is outside 0.2 to inf m3/s"),
    (lambda: air_filter.filter_exponent((0.0, 10.0), (0.2, 80.0)),
     "flow of the filter's second point 0.2 m3/s is outside 0 to inf m3/s"),
    (lambda: pressure_lag.settling_time(450.0, 0.0, 101325.0),
     "slope of the leaks 0 m3/(s Pa) is outside 0 to inf m3/(s Pa)"),
    (lambda: duct_sizing.diameter_for_friction(-0.1, 1.0, 9e-5, 1.2, 1.8e-5),
     "flow -0.1 m3/s is outside 0 to inf m3/s"),
    (lambda: duct_sizing.diameter_for_friction(0.1, 0.0, 9e-5, 1.2, 1.8e-5),
     "friction for each metre 0 Pa/m is outside 0 to inf Pa/m"),
    (lambda: duct_sizing.diameter_for_friction(0.01, 50.0, 0.02, 1.2, 1.8e-5),
     "relative roughness 0.556902 - is outside 0 to 0.05 -"),
    (lambda: fan.fan_flow(500.0, fan.fan_curve(((0.0, 200.0), (0.1, 150.0), (0.2, 20.0)))),
     "pressure rise of the fan 500 Pa is outside 20 to 200 Pa"),
    (lambda: duct.flex_compression_factor(0.15, 0.6), "compression 0.6 - is outside 0 to 0.45 -"),
    (lambda: duct.flex_compression_factor(0.05, 0.1), "diameter of flexible duct 0.05 m is outside 0.075 to 0.51 m"),
    (lambda: duct.colebrook(100.0, 1e-3), "Reynolds number 100 - is outside 2000 to 1e+08 -"),
    (lambda: duct.colebrook(1e5, 0.2), "relative roughness 0.2 - is outside 0 to 0.05 -"),
    (lambda: duct.friction_factor(-1.0, 1e-3), "Reynolds number -1 - is outside 0 to 1e+08 -"),
    (lambda: duct.friction_factor(1e5, -0.1), "relative roughness -0.1 - is outside 0 to 0.05 -"),
    (lambda: duct.friction_factor_slope(2e8, 1e-3), "Reynolds number 2e+08 - is outside 0 to 1e+08 -"),
    (lambda: duct.friction_factor_slope(1e5, 0.06), "relative roughness 0.06 - is outside 0 to 0.05 -"),
    (lambda: fan.fan_curve(((0.1, 100.0),)), "points of a fan curve 1 points is outside 2 to inf points"),
    (lambda: fan.fan_curve(((0.0, 100.0), (0.1, 120.0))),
     "fall of pressure from one point of a fan curve to the next -20 Pa is outside 0 to inf Pa"),
    (lambda: fan.fan_curve(((0.2, 100.0), (0.1, 80.0))),
     "rise of flow from one point of a fan curve to the next -0.1 m3/s is outside 0 to inf m3/s"),
    (lambda: fan.fan_power(0.1, 100.0, 1.5), "fan efficiency 1.5 - is outside 0 to 1 -"),
    (lambda: fan.fan_power(0.1, 100.0, 0.0), "fan efficiency 0 - is outside 0 to 1 -"),
    (lambda: fitting_loss.sudden_expansion(1.5), "diameter ratio 1.5 - is outside 0 to 1 -"),
    (lambda: fitting_loss.sudden_contraction(-0.5), "diameter ratio -0.5 - is outside 0 to 1 -"),
    (lambda: fitting_loss.conical_contraction(1.5, 0.5), "diameter ratio 1.5 - is outside 0 to 1 -"),
    (lambda: fitting_loss.conical_contraction(0.5, 4.0), "cone angle 4 rad is outside 0.0174533 to 3.14159 rad"),
    (lambda: fitting_loss.mitred_bend(3.0), "turn of a mitred bend 3 rad is outside 0 to 2.61799 rad"),
    (lambda: fitting_loss.smooth_bend(0.4, 1.0), "radius ratio of a bend 0.4 - is outside 0.5 to 10 -"),
    (lambda: fitting_loss.smooth_bend(1.0, 4.0), "turn of a bend 4 rad is outside 0 to 3.14159 rad"),
    (lambda: fitting_loss.grille_loss(0.01), "free area ratio 0.01 - is outside 0.05 to 1 -"),
    (lambda: fitting_loss.diameter_for_loss(0.1, 0.0, 1.0, 1.2), "pressure difference 0 Pa is outside 0 to inf Pa"),
    (lambda: moist_air.standard_pressure(20_000.0), "elevation 20000 m is outside -500 to 11000 m"),
    (lambda: moist_air.humidity_ratio(60_000.0),
     "vapour pressure over barometric pressure 0.592154 - is outside 0 to 0.5 -"),
    (lambda: moist_air.humidity_ratio_from_relative_humidity(20.0, 1.5), "relative humidity 1.5 - is outside 0 to 1 -"),
    (lambda: moist_air.humidity_ratio_from_wet_bulb(20.0, 25.0), "dry bulb minus wet bulb -5 K is outside 0 to inf K"),
    (lambda: moist_air.wet_bulb(100.0, 0.01), "temperature 100 degC is outside -60 to 90 degC"),
    (lambda: moist_air.specific_volume(20.0, 0.01, 1000.0),
     "barometric pressure 1000 Pa is outside 20000 to 120000 Pa"),
    (lambda: moist_air.viscosity(300.0), "temperature 300 degC is outside -100 to 200 degC"),
    (lambda: saturation.saturation_pressure(-101.0), "temperature -101 degC is outside -100 to 200 degC"),
]  # fmt: skip


@pytest.mark.parametrize(("call", "words"), CASES, ids=[words for _, words in CASES])
def test_a_value_out_of_range_is_refused_word_for_word(call, words):
    with pytest.raises(OutOfRange) as told:
        call()
    assert str(told.value) == words + HOLDS


def test_the_ends_of_a_range_belong_to_it():
    assert fitting_loss.smooth_bend(0.5, math.pi) > 0
    assert fitting_loss.mitred_bend(math.radians(150.0)) > 0
    assert duct.flex_compression_factor(0.51, 0.45) > 1
    assert fan.fan_power(0.1, 100.0, 1.0) == pytest.approx(10.0)
    assert moist_air.humidity_ratio_from_wet_bulb(20.0, 20.0) > 0.01
