"""How fast the air of a house takes up a new pressure."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from airledger.errors import OutOfRange
from airledger.physics.pressure_lag import HEAT_RATIO, followed, settling_time

VOLUME, BAROMETER = 450.0, 101_325.0
COEFFICIENT, EXPONENT, FLOW = 0.03, 0.65, 0.30


def test_a_small_step_of_flow_settles_as_an_integrated_house_does():
    """Integrated with scipy's general solver for ordinary differential equations, power-law leaks."""
    steady = (FLOW / COEFFICIENT) ** (1 / EXPONENT)
    slope = EXPONENT * FLOW / steady
    tau = settling_time(VOLUME, slope, BAROMETER)
    begun = steady * 0.99

    def change(_, pull):
        return HEAT_RATIO * BAROMETER / VOLUME * (FLOW - COEFFICIENT * np.abs(pull) ** EXPONENT)

    seen = solve_ivp(change, (0.0, tau), [begun], rtol=1e-10, atol=1e-10)
    left = (steady - seen.y[0, -1]) / (steady - begun)
    assert left == pytest.approx(np.exp(-1), rel=0.01)


def test_a_tight_house_settles_in_about_a_second_far_faster_than_a_damper_opens():
    steady = (FLOW / COEFFICIENT) ** (1 / EXPONENT)
    assert 0.1 < settling_time(VOLUME, EXPONENT * FLOW / steady, BAROMETER) < 1.0


def test_twice_the_volume_takes_twice_the_time_and_twice_the_leaks_half():
    one = settling_time(VOLUME, 0.004, BAROMETER)
    assert settling_time(2 * VOLUME, 0.004, BAROMETER) == pytest.approx(2 * one)
    assert settling_time(VOLUME, 0.008, BAROMETER) == pytest.approx(one / 2)


def test_a_house_without_any_leak_never_settles_and_says_so():
    with pytest.raises(OutOfRange, match="slope of the leaks"):
        settling_time(VOLUME, 0.0, BAROMETER)


def test_a_lag_follows_a_ramp_and_a_hold_as_an_integrated_one_does():
    """Integrated with scipy's general solver for ordinary differential equations."""
    times, steady = np.array([0.0, 2.5, 60.0]), np.array([0.0, -80.0, -10.0])

    def change(time, pressure):
        return (np.interp(time, times, steady) - pressure) / 1.5

    fine = np.linspace(0.0, 60.0, 241)
    seen = solve_ivp(change, (0.0, 60.0), [0.0], t_eval=fine, rtol=1e-9, atol=1e-9, max_step=0.1)
    assert followed(fine, np.interp(fine, times, steady), 1.5) == pytest.approx(seen.y[0], abs=1e-3)


def test_a_lag_begins_at_rest_whatever_it_begins_at_and_takes_whole_numbers():
    assert followed([0, 1], [-7, -7], 1.5) == pytest.approx([-7.0, -7.0], abs=1e-12)
    assert followed([0, 1], [0, -10], 1.0)[1] == pytest.approx(-10 + 10 - 10 * np.exp(-1), abs=1e-12)  # closed form


def test_any_slope_above_nothing_settles():
    assert settling_time(VOLUME, 0.5e-12, BAROMETER) == pytest.approx(VOLUME / (HEAT_RATIO * BAROMETER * 0.5e-12))
