"""Openings: inverses, series, and strips of a tall opening against the closed form of two-way flow."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.physics import GRAVITY, opening

AREA = st.floats(1e-4, 5.0)


@given(AREA, st.floats(-100.0, 100.0))
def test_flow_and_pressure_are_inverse_and_odd(area, pressure):
    flow = opening.orifice_flow(pressure, area)
    assert opening.orifice_pressure(flow, area) == pytest.approx(pressure, rel=1e-9, abs=1e-12)
    assert opening.orifice_flow(-pressure, area) == -flow


@given(AREA, st.floats(0.1, 100.0))
def test_the_area_passes_what_was_asked(area, pressure):
    assert opening.orifice_area(opening.orifice_flow(pressure, area), pressure) == pytest.approx(area)


@given(AREA, AREA)
def test_two_orifices_in_series_share_the_pressure(one, other):
    both = opening.series_orifice_coefficient(one, other)
    flow = both * math.sqrt(8.0)
    assert (flow / one) ** 2 + (flow / other) ** 2 == pytest.approx(8.0)


def test_strips_lie_at_their_middles_and_make_the_whole_area():
    assert opening.strip_heights(0.3, 1.2) == pytest.approx((0.5, 0.9, 1.3))
    assert sum(opening.STRIP_SHARES) == pytest.approx(1.0)


def test_three_strips_pass_a_one_way_flow_as_the_whole_does():
    # far from the neutral level all of the opening works one way
    height, gradient = 2.0, 0.4
    pressures = 50.0 + gradient * np.array(opening.strip_heights(0.0, height))
    strips = sum(opening.orifice_flow(p, share) for p, share in zip(pressures, opening.STRIP_SHARES, strict=True))
    # closed form: integral of sqrt(50 + g z) over the height
    exact = (2 / (3 * gradient * height)) * ((50 + gradient * height) ** 1.5 - 50**1.5)
    assert strips == pytest.approx(opening.orifice_coefficient(1.0) * exact, rel=1e-6)


def test_three_strips_give_four_fifths_of_the_two_way_flow_about_a_neutral_middle():
    # ASHRAE Fundamentals 2021 ch. 16: Q = CD A/3 sqrt(g H drho/rho); strips: CD A/3 sqrt(2 g (H/3) drho/rho)
    height, area, density, difference = 2.0, 1.8, 1.2, 0.03
    exact = 0.6 * area / 3 * math.sqrt(GRAVITY * height * difference / density)
    pressure = difference * GRAVITY * (opening.STRIP_HEIGHTS[2] - 0.5) * height
    strips = opening.orifice_flow(pressure, area * opening.STRIP_SHARES[2], 0.6, density)
    assert strips / exact == pytest.approx(math.sqrt(2 / 3))


def test_without_a_temperature_difference_a_doorway_has_its_least_coefficient():
    assert opening.doorway_discharge_coefficient(0.0) == 0.40
    assert opening.doorway_discharge_coefficient(-12.0) == opening.doorway_discharge_coefficient(12.0)


def test_no_gap_no_area():
    assert opening.undercut_area(0.8, 0.0) == 0.0


def test_out_of_range_is_refused():
    with pytest.raises(OutOfRange) as refused:
        opening.doorway_discharge_coefficient(60.0)
    assert str(refused.value) == "temperature difference 60 K is outside 0 to 45 K, where the method holds"
    with pytest.raises(OutOfRange, match="pressure difference 0 Pa"):
        opening.orifice_area(0.1, 0.0)


def test_no_area_without_pressure_in_whole_words():
    with pytest.raises(OutOfRange) as refused:
        opening.orifice_area(0.1, 0.0)
    assert str(refused.value) == "pressure difference 0 Pa is outside 0 to inf Pa, where the method holds"
