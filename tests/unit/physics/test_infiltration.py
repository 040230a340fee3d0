"""Whole-house infiltration: limiting cases, and what is refused. Printed values: cases/handbook_infiltration.toml."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.physics.infiltration import (
    Shelter,
    added_in_quadrature,
    basic_coefficients,
    basic_infiltration,
    effective_air_changes,
    enhanced_coefficients,
    fans_and_infiltration,
    fans_and_infiltration_for_loads,
    stack_infiltration,
    wind_infiltration,
)

flows = st.floats(0.0, 1.0)


def test_no_wind_and_no_difference_is_no_infiltration():
    assert basic_infiltration(0.05, 0.0, 0.0, basic_coefficients(Shelter(1, 3))) == 0.0
    assert stack_infiltration(0.05, 0.65, 0.08, 0.0) == wind_infiltration(0.05, 0.65, 0.15, 0.0) == 0.0


def test_a_colder_and_a_warmer_outdoors_of_one_size_draw_alike():
    two = basic_coefficients(Shelter(2, 3))
    assert basic_infiltration(0.05, 20.0, 3.0, two) == basic_infiltration(0.05, -20.0, 3.0, two)
    assert stack_infiltration(0.05, 0.65, 0.08, 20.0) == stack_infiltration(0.05, 0.65, 0.08, -20.0)


@given(flows, flows, flows)
def test_fans_and_infiltration_lie_between_the_larger_and_the_sum(balanced, unbalanced, infiltration):
    for rule in (fans_and_infiltration, fans_and_infiltration_for_loads):
        together = rule(balanced, unbalanced, infiltration)
        assert balanced + max(unbalanced, infiltration) - 1e-12 <= together
        assert together <= balanced + unbalanced + infiltration + 1e-12
    assert added_in_quadrature(3.0, 4.0) == 5.0


@given(st.floats(0.05, 2.0))
def test_a_steady_rate_is_its_own_effective_rate(rate):
    assert effective_air_changes([rate] * 30) == pytest.approx(rate)


def test_a_changing_rate_dilutes_less_than_its_mean():
    rates = np.tile([0.1, 0.5], 40)
    assert effective_air_changes(rates) < rates.mean()


# independent witness: the balance of a steady source integrated by scipy over the same hours, dose compared
def test_the_effective_rate_is_that_of_the_integrated_dose():
    from scipy.integrate import solve_ivp

    rates = [0.2, 0.6, 0.1, 0.4] * 6
    level, dose = 1 / rates[0], 0.0
    for rate in rates:  # the standard's turnover is the level at the end of each hour
        level = float(solve_ivp(lambda _, c, r=rate: 1 - r * c, (0, 1), [level], rtol=1e-10, atol=1e-12).y[0, -1])
        dose += level
    assert effective_air_changes(rates) == pytest.approx(len(rates) / dose, rel=1e-7)


def test_a_flue_draws_more_and_a_higher_house_too():
    assert enhanced_coefficients(Shelter(1, 3, flue=True))[0] > enhanced_coefficients(Shelter(1, 3))[0]
    assert basic_coefficients(Shelter(3, 3))[0] > basic_coefficients(Shelter(1, 3))[0]


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: basic_coefficients(Shelter(4, 3)), "storeys 4 - is outside 1 to 3 -"),
        (lambda: enhanced_coefficients(Shelter(1, 6)), "shelter class 6 - is outside 1 to 5 -"),
        (lambda: effective_air_changes([0.5, 0.0]), "air changes in an hour 0 1/h is outside 0 to inf 1/h"),
    ],
)
def test_what_has_no_table_is_refused_word_for_word(call, words):
    with pytest.raises(OutOfRange) as told:
        call()
    assert str(told.value) == f"{words}, where the method holds"
