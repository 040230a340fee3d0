"""Stack and wind: limits whose answer follows from physics."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.physics import leakage, moist_air, opening
from airledger.physics import stack_and_wind as drive

ANGLE = st.floats(-7.0, 7.0)


def test_equal_air_makes_no_stack_and_a_warm_house_pushes_out_at_the_top():
    assert drive.stack_pressure(6.0, 1.2, 1.2) == 0.0
    assert drive.stack_pressure(6.0, 1.2, 1.3) > 0.0


def test_temperatures_and_densities_tell_the_same_stack():
    # dry air at one pressure: rho_i = rho_o To/Ti, so rho_o (Ti - To)/Ti = rho_o - rho_i
    inside, outside = moist_air.density(20.0), moist_air.density(-10.0)
    by_temperature = drive.stack_pressure_from_temperatures(5.0, 2.0, 20.0, -10.0, outside)
    assert by_temperature == pytest.approx(-drive.stack_pressure(3.0, inside, outside))


def test_no_stack_at_the_neutral_level():
    assert drive.stack_pressure_from_temperatures(2.0, 2.0, 20.0, -10.0, 1.3) == 0.0


@given(st.floats(0.1, 10.0), st.floats(0.5, 1.0))
def test_at_the_neutral_level_two_leaks_pass_the_same(ratio, exponent):
    level = drive.neutral_level_of_leaks(5.0, ratio, exponent)
    low, high = leakage.leakage_flow(ratio, level, exponent), leakage.leakage_flow(1.0, 5.0 - level, exponent)
    assert low == pytest.approx(high)


@given(st.floats(0.1, 10.0))
def test_at_the_neutral_level_two_orifices_pass_the_same_mass(ratio):
    inside, outside = 1.19, 1.37
    level = drive.neutral_level_of_orifices(5.0, ratio, inside, outside)
    low = outside * opening.orifice_flow(level, ratio, 0.6, outside)
    high = inside * opening.orifice_flow(5.0 - level, 1.0, 0.6, inside)
    assert low == pytest.approx(high)


def test_wind_pressure_goes_with_the_square_of_speed():
    assert drive.wind_pressure(0.6, 10.0, 1.2) == pytest.approx(4 * drive.wind_pressure(0.6, 5.0, 1.2))


@pytest.mark.parametrize("terrain", drive.TERRAINS)
def test_aloft_the_wind_is_the_same_everywhere(terrain):
    layer = drive.TERRAINS[terrain].layer_thickness
    aloft = drive.wind_speed_at_height(5.0, layer, terrain)
    assert aloft == pytest.approx(5.0 * (270.0 / 10.0) ** 0.14)


def test_at_the_station_the_wind_is_the_station_wind():
    assert drive.wind_speed_at_height(7.0, 10.0, "open") == pytest.approx(7.0)


@given(ANGLE)
def test_a_wall_does_not_know_left_from_right(angle):
    for law in (drive.facade_pressure_coefficient, lambda x: drive.wall_mean_pressure_coefficient(x, 1.6)):
        # eq. 26 has roots of cos^2: near 90 degrees the last digits are lost
        assert law(angle) == pytest.approx(law(-angle), abs=1e-6)
        assert law(angle) == pytest.approx(law(angle + 2 * math.pi), abs=1e-4)


def test_the_four_given_coefficients_return_at_the_four_walls():
    given_values = (0.6, -0.3, -0.7, -0.5)
    angles = np.radians([0.0, 180.0, 90.0, 270.0])
    np.testing.assert_allclose(drive.facade_pressure_coefficient(angles, given_values), given_values, atol=1e-3)


def test_out_of_range_is_refused():
    with pytest.raises(OutOfRange) as refused:
        drive.wind_speed_at_height(5.0, 500.0, "suburb")
    assert str(refused.value) == "height above ground 500 m is outside 0 to 370 m, where the method holds"
    with pytest.raises(OutOfRange, match="side ratio 9"):
        drive.wall_mean_pressure_coefficient(0.0, 9.0)
    with pytest.raises(ValueError, match="terrain is one of city, suburb, open, water, not 'forest'"):
        drive.wind_speed_at_height(5.0, 5.0, "forest")


# Swami and Chandra's formula in plain arithmetic, from memory
@pytest.mark.parametrize("ratio", [0.4, 2.0, 4.0])
@pytest.mark.parametrize("degrees", [20.0, 75.0, 140.0])
def test_a_long_wall_s_mean_coefficient_holds_every_term_of_its_formula(ratio, degrees):
    angle, plan = math.radians(degrees), math.log(ratio)
    twist = math.sin(2 * angle * plan)
    terms = (
        1.248, -0.703 * math.sin(angle / 2), -1.175 * math.sin(angle) ** 2, 0.131 * twist * twist * twist,
        0.769 * math.cos(angle / 2), 0.07 * plan**2 * math.sin(angle / 2) ** 2, 0.717 * math.cos(angle / 2) ** 2,
    )  # fmt: skip
    assert drive.wall_mean_pressure_coefficient(angle, ratio) == pytest.approx(0.6 * math.log(sum(terms)))


def test_a_wall_too_long_for_the_formula_is_refused_in_whole_words():
    with pytest.raises(OutOfRange) as refused:
        drive.wall_mean_pressure_coefficient(0.0, 4.5)
    assert str(refused.value) == "side ratio 4.5 - is outside 0.25 to 4 -, where the method holds"


def test_wind_near_the_ground_has_a_speed():
    low, high = (drive.wind_speed_at_height(5.0, height, "open") for height in (0.5, 10.0))
    assert 0 < low < high
