"""Leaks: round trips, limits, cracks between laminar and square."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.physics import crack, leakage
from airledger.physics.moist_air import REFERENCE_DENSITY, REFERENCE_VISCOSITY, density, viscosity

EXPONENT = st.floats(0.5, 1.0)
COEFFICIENT = st.floats(1e-5, 10.0)


@given(COEFFICIENT, EXPONENT, st.floats(-500.0, 500.0))
def test_pressure_and_flow_are_inverse_and_odd(coefficient, exponent, pressure):
    flow = leakage.leakage_flow(coefficient, pressure, exponent)
    assert leakage.leakage_pressure(flow, coefficient, exponent) == pytest.approx(pressure, rel=1e-9, abs=1e-12)
    assert leakage.leakage_flow(coefficient, -pressure, exponent) == -flow


@given(COEFFICIENT, EXPONENT, st.floats(-500.0, 500.0), st.floats(1e-3, 100.0))
def test_more_pressure_means_more_flow(coefficient, exponent, pressure, more):
    assert leakage.leakage_flow(coefficient, pressure + more, exponent) > leakage.leakage_flow(
        coefficient, pressure, exponent
    )


def test_reference_air_needs_no_correction_and_cold_air_is_heavier_and_thinner():
    assert leakage.air_correction(0.65, REFERENCE_DENSITY, REFERENCE_VISCOSITY) == 1.0
    # an orifice (n 0.5) feels density alone, a long crack (n 1) viscosity alone
    cold = density(-10.0), viscosity(-10.0)
    assert leakage.air_correction(0.5, *cold) == pytest.approx(math.sqrt(REFERENCE_DENSITY / cold[0]))
    assert leakage.air_correction(1.0, *cold) == pytest.approx(REFERENCE_VISCOSITY / cold[1])


@given(COEFFICIENT, EXPONENT)
def test_reference_coefficient_and_correction_cancel(coefficient, exponent):
    cold = density(-10.0), viscosity(-10.0)
    reference = leakage.reference_flow_coefficient(coefficient, exponent, *cold)
    assert reference * leakage.air_correction(exponent, *cold) == pytest.approx(coefficient)


@given(COEFFICIENT, EXPONENT)
def test_an_area_passes_the_same_flow_at_its_reference_pressure(coefficient, exponent):
    area = leakage.equivalent_leakage_area(coefficient, exponent)
    orifice = 0.611 * area * math.sqrt(2 * 10 / REFERENCE_DENSITY)
    assert orifice == pytest.approx(leakage.leakage_flow(coefficient, 10.0, exponent))
    assert leakage.flow_coefficient_from_area(area, exponent, 10.0, 0.611) == pytest.approx(coefficient)
    four = leakage.converted_leakage_area(area, exponent, (10.0, 4.0), (0.611, 1.0))
    assert four == pytest.approx(leakage.effective_leakage_area(coefficient, exponent))


def test_air_changes_return():
    assert leakage.air_changes(leakage.flow_from_air_changes(0.7, 600.0), 600.0) == pytest.approx(0.7)


@given(COEFFICIENT, COEFFICIENT, EXPONENT)
def test_two_leaks_in_series_pass_less_than_either_and_share_the_pressure(one, other, exponent):
    both = leakage.series_flow_coefficient(one, other, exponent)
    assert both < min(one, other)
    flow = leakage.leakage_flow(both, 10.0, exponent)
    shares = leakage.leakage_pressure(flow, one, exponent) + leakage.leakage_pressure(flow, other, exponent)
    assert shares == pytest.approx(10.0)


def test_a_narrow_crack_is_laminar_and_a_wide_one_an_orifice():
    narrow, wide = crack.Crack(1e-5, 1.0, 0.1), crack.Crack(0.05, 1.0, 1e-4)
    assert crack.crack_exponent(4.0, narrow, 1.2, 1.8e-5) == pytest.approx(1.0, abs=1e-4)
    assert crack.crack_exponent(4.0, wide, 1.2, 1.8e-5) == pytest.approx(0.5, abs=1e-4)


@given(st.floats(1e-3, 200.0))
def test_the_local_exponent_is_the_slope_on_log_paper(pressure):
    joint = crack.Crack(0.001, 1.0, 0.05, 1.0)
    flows = [crack.crack_flow(pressure * (1 + side), joint, 1.2, 1.8e-5) for side in (-1e-5, 1e-5)]
    slope = np.log(flows[1] / flows[0]) / np.log((1 + 1e-5) / (1 - 1e-5))
    assert crack.crack_exponent(pressure, joint, 1.2, 1.8e-5) == pytest.approx(slope, rel=1e-6)


def test_no_pressure_no_flow_through_a_crack():
    assert crack.crack_flow(0.0, crack.Crack(0.001, 1.0, 0.05), 1.2, 1.8e-5) == 0.0


@pytest.mark.parametrize("exponent", [0.45, 1.05, float("nan")])
def test_an_exponent_that_no_leak_has_is_refused(exponent):
    for call in (
        lambda: leakage.flow_coefficient(0.1, 50.0, exponent),
        lambda: leakage.leakage_flow(0.1, 50.0, exponent),
        lambda: leakage.leakage_pressure(0.1, 0.01, exponent),
    ):
        with pytest.raises(OutOfRange, match="pressure exponent"):
            call()


def test_no_coefficient_without_pressure():
    with pytest.raises(OutOfRange) as refused:
        leakage.flow_coefficient(0.1, 0.0, 0.65)
    assert str(refused.value) == "pressure difference 0 Pa is outside 0 to inf Pa, where the method holds"


def test_an_exponent_that_is_refused_is_refused_in_whole_words():
    for call in (
        lambda: leakage.flow_coefficient(0.1, 50.0, 0.45),
        lambda: leakage.leakage_flow(0.1, 50.0, 0.45),
        lambda: leakage.leakage_pressure(0.1, 0.01, 0.45),
    ):
        with pytest.raises(OutOfRange) as refused:
            call()
        assert str(refused.value) == "pressure exponent 0.45 - is outside 0.5 to 1 -, where the method holds"


def test_an_area_told_alone_is_that_of_a_perfect_hole_in_any_air():
    coefficient = leakage.flow_coefficient_from_area(0.01, 0.5, 4.0, density=0.9)
    assert coefficient == pytest.approx(0.01 * math.sqrt(2.0 / 0.9))


def test_a_house_twice_as_high_leaks_more_by_the_power_of_four_tenths():
    one, two = (leakage.normalized_leakage(0.05, 200.0, height) for height in (2.5, 5.0))
    assert two / one == pytest.approx(2.0**0.4)
