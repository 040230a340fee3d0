"""The power law through readings: against scipy and numpy, limiting cases, what is refused."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from airledger.errors import OutOfRange
from airledger.physics.power_law_fit import (
    fitted_flow,
    fitted_flow_limits,
    organic_correlation,
    power_law_fit,
    single_point_flow,
    student,
    two_point_exponent,
)

P = [60.0, 50.0, 40.0, 31.0, 22.0, 14.0]
Q = [0.251, 0.222, 0.188, 0.163, 0.126, 0.098]
noise = st.lists(st.floats(0.9, 1.1), min_size=len(P), max_size=len(P))


# independent witness: scipy.stats.linregress, and scipy.stats.t
@given(noise)
def test_fit_and_errors_are_those_of_a_general_regression(factors):
    flows = [q * f for q, f in zip(Q, factors, strict=True)]
    found = power_law_fit(P, flows)
    line = stats.linregress(np.log(P), np.log(flows))
    assert found.exponent == pytest.approx(line.slope, rel=1e-10)
    assert math.log(found.coefficient) == pytest.approx(line.intercept, rel=1e-9, abs=1e-9)
    assert found.exponent_error == pytest.approx(line.stderr, rel=1e-6, abs=1e-9)
    assert found.log_coefficient_error == pytest.approx(line.intercept_stderr, rel=1e-6, abs=1e-9)
    assert found.squared_correlation == pytest.approx(line.rvalue**2, rel=1e-9)
    assert found.student == pytest.approx(stats.t.ppf(0.975, len(P) - 2), rel=1e-12)


# independent witness: numpy.polyfit with weights (square roots of ours) and its covariance
@given(noise)
def test_weights_are_those_of_a_general_weighted_regression(factors):
    flows = [q * f for q, f in zip(Q, factors, strict=True)]
    weights = [q * q for q in flows]
    found = power_law_fit(P, flows, weights)
    (slope, level), covariance = np.polyfit(np.log(P), np.log(flows), 1, w=np.sqrt(weights), cov=True)
    assert (found.exponent, math.log(found.coefficient)) == pytest.approx((slope, level), rel=1e-9, abs=1e-9)
    assert found.exponent_error == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-6, abs=1e-9)
    assert found.log_coefficient_error == pytest.approx(math.sqrt(covariance[1, 1]), rel=1e-6, abs=1e-9)


def test_the_same_weight_for_all_is_no_weight():
    assert power_law_fit(P, Q, [7.0] * len(P)) == power_law_fit(P, Q)


@given(st.floats(0.5, 1.0), st.floats(1e-3, 1.0))
def test_readings_without_noise_give_their_law_back(exponent, coefficient):
    found = power_law_fit(P, [coefficient * p**exponent for p in P])
    assert (found.exponent, found.coefficient) == pytest.approx((exponent, coefficient), rel=1e-9)
    assert found.exponent_error == pytest.approx(0.0, abs=1e-7)
    assert found.deviations == pytest.approx([0.0] * len(P), abs=1e-12)
    assert fitted_flow_limits(found, 4.0) == pytest.approx([coefficient * 4**exponent] * 2, rel=1e-5)


@given(st.floats(0.1, 10.0))
def test_a_gauge_that_reads_double_doubles_the_coefficient_alone(factor):
    one, other = power_law_fit(P, Q), power_law_fit(P, [q * factor for q in Q])
    assert other.exponent == pytest.approx(one.exponent)
    assert other.coefficient == pytest.approx(one.coefficient * factor)
    assert other.deviations == pytest.approx(one.deviations, abs=1e-9)


def test_the_interval_is_narrowest_in_the_middle_of_the_readings_and_wide_at_4_pa():
    found = power_law_fit(P, Q)

    def width(pressure):
        low, high = fitted_flow_limits(found, pressure)
        return math.log(high / low)

    middle = math.exp(found.log_mean)
    assert width(middle) < width(50.0) < width(4.0)
    assert width(middle) == pytest.approx(2 * found.student * found.scatter / math.sqrt(len(P)))
    assert fitted_flow(found, middle) == pytest.approx(math.exp(np.mean(np.log(Q))))


# independent witness: covariance of numpy.polyfit carried to the place, t of scipy
@pytest.mark.parametrize("pressure", [4.0, 10.0, 50.0, 75.0])
def test_the_limits_of_the_flow_are_those_of_the_mean_response_of_a_general_regression(pressure):
    line, covariance = np.polyfit(np.log(P), np.log(Q), 1, cov=True)
    there = np.array([math.log(pressure), 1.0])
    half = stats.t.ppf(0.975, len(P) - 2) * math.sqrt(there @ covariance @ there)
    middle = float(line @ there)
    expected = (math.exp(middle - half), math.exp(middle + half))
    assert fitted_flow_limits(power_law_fit(P, Q), pressure) == pytest.approx(expected, rel=1e-9)


def test_the_limits_lie_as_far_up_as_down_in_the_logarithms():
    found = power_law_fit(P, Q)
    low, high = found.exponent_limits
    assert (high - low) / 2 == pytest.approx(found.student * found.exponent_error)
    assert math.sqrt(math.prod(found.coefficient_limits)) == pytest.approx(found.coefficient)
    assert found.coefficient_error == found.coefficient * found.log_coefficient_error


def test_a_fit_says_how_many_readings_it_is_made_of():
    assert power_law_fit(P, Q).points == len(P)
    assert power_law_fit(P[:3], Q[:3]).points == 3


def test_one_flow_at_every_pressure_is_a_level_line_that_all_readings_lie_on():
    level = power_law_fit([10.0, 20.0, 40.0, 80.0], [1.0] * 4)
    assert (level.exponent, level.coefficient, level.scatter) == (0.0, 1.0, 0.0)
    assert level.squared_correlation == 1.0


def test_whole_numbers_of_pascals_and_flow_are_the_same_readings():
    assert power_law_fit([50, 30, 10], [5, 4, 2], [3, 2, 1]) == power_law_fit(
        [50.0, 30.0, 10.0], [5.0, 4.0, 2.0], [3.0, 2.0, 1.0]
    )


def test_three_readings_are_enough_for_organic_correlation():
    law = [0.03 * p**0.7 for p in (60.0, 30.0, 12.0)]
    assert organic_correlation([60.0, 30.0, 12.0], law) == pytest.approx((0.03, 0.7))


# E1827's exponent of 0.65 (MEMORY); house of the check list: 416.667 cfm at 50 Pa is 80.69 cfm at 4 Pa (computed)
def test_one_reading_is_carried_to_another_pressure_by_the_exponent_that_is_taken():
    assert single_point_flow(416.667, 50.0, 4.0) == pytest.approx(80.69, abs=0.005)
    assert single_point_flow(416.667, 50.0, 4.0, 0.5) == pytest.approx(416.667 * math.sqrt(0.08))
    assert single_point_flow(0.2, 45.6, 45.6) == 0.2


def test_two_points_are_a_line_through_both():
    assert two_point_exponent((50.0, 12.5), (0.2, 0.08)) == pytest.approx(math.log(2.5) / math.log(4))


def test_organic_correlation_is_steeper_than_least_squares():
    coefficient, exponent = organic_correlation(P, Q)
    assert exponent > power_law_fit(P, Q).exponent
    assert coefficient * math.exp(np.mean(np.log(P))) ** exponent == pytest.approx(math.exp(np.mean(np.log(Q))))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: power_law_fit([50, 10], [2, 1]), "readings of a fan test 2 readings is outside 3 to inf readings"),
        (lambda: power_law_fit([50, 10, 0], [2, 1, 1]), "pressure difference of a reading 0 Pa is outside 0 to inf Pa"),
        (lambda: power_law_fit([50, 10, 5], [2, 1, -1]), "flow of a reading -1 m3/s is outside 0 to inf m3/s"),
        (lambda: power_law_fit([50, 10, 5], [2, 1, 1], [1, 1, 0]), "weight of a reading 0 - is outside 0 to inf -"),
        (
            lambda: power_law_fit([9, 9, 9], [2, 1, 1]),
            "spread of the pressures of a fan test 0 - is outside 0 to inf -",
        ),
        (lambda: organic_correlation([5, 1], [2, 1]), "readings of a fan test 2 readings is outside 3 to inf readings"),
        (lambda: two_point_exponent((50, 50), (2, 1)), "ratio of the two pressures 1 - is outside 0 to 1 -"),
    ],
)
def test_what_cannot_be_fitted_is_refused_word_for_word(call, words):
    with pytest.raises(OutOfRange) as told:
        call()
    assert str(told.value) == f"{words}, where the method holds"


def test_student_of_few_readings_is_large():
    assert student(1) == pytest.approx(12.706, abs=5e-4)  # printed in every table of t, from memory
    assert student(10) == pytest.approx(2.228, abs=5e-4)


# airtightness.md 3, set A (readings published, limits computed with statsmodels 0.15.0)
SET_A = ([10, 20, 30, 40, 50, 60], [237, 364, 444, 625, 688, 704])


def test_the_limits_of_set_a():
    found = power_law_fit(*SET_A)
    assert found.exponent_limits == pytest.approx((0.5207, 0.7662), abs=5e-5)
    assert found.coefficient_limits == pytest.approx((34.956, 81.563), abs=5e-4)


# independent witness: scipy.optimize.curve_fit; set A: C 55.9397, n 0.63117 (computed)
def test_least_squares_in_the_flow_lie_near_weights_by_its_square():
    from scipy.optimize import curve_fit

    (coefficient, exponent), _ = curve_fit(lambda p, c, n: c * p**n, *map(np.array, SET_A), p0=(50, 0.65))
    assert (coefficient, exponent) == pytest.approx((55.9397, 0.63117), rel=1e-4)
    weighted = power_law_fit(*SET_A, [q * q for q in SET_A[1]])
    assert weighted.exponent == pytest.approx(exponent, abs=0.001)
