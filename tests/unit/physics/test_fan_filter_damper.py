"""Fans, filters and dampers: curves against scipy, inverses, slopes, monotone laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from airledger.errors import OutOfRange
from airledger.physics import damper, fan
from airledger.physics import filter as air_filter

POINTS = st.lists(st.tuples(st.floats(0.0, 0.2), st.floats(1.0, 100.0)), min_size=2, max_size=8)
DAMPER = damper.GravityDamper(0.05, 2.0, 12.0, 5e-4)


def maker_points(steps):
    flows = np.cumsum([flow if flow > 1e-3 else 0.0 for flow, _ in steps])
    rises = np.cumsum([rise for _, rise in steps])[::-1]
    return tuple(zip(flows.tolist(), rises.tolist(), strict=True))


@given(POINTS)
def test_the_curve_equals_the_monotone_cubic_of_scipy(steps):
    points = maker_points(steps)
    curve = fan.fan_curve(points)
    flows, rises = np.array(points)[::-1].T
    pressures = np.linspace(rises[0], rises[-1], 41)
    flow, slope = fan.fan_flow(pressures, curve)
    witness = PchipInterpolator(rises, flows)
    np.testing.assert_allclose(flow, witness(pressures), rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(slope, witness.derivative()(pressures), rtol=1e-7, atol=1e-10)


@given(POINTS)
def test_more_pressure_never_means_more_flow(steps):
    curve = fan.fan_curve(maker_points(steps))
    pressures = np.linspace(curve.knots[0], curve.knots[-1], 101)
    flow, slope = fan.fan_flow(pressures, curve)
    assert np.all(np.diff(flow) <= 1e-12)
    assert np.all(slope <= 1e-12)


def test_the_curve_runs_through_the_makers_points():
    points = ((0.0, 200.0), (0.047, 150.0), (0.075, 100.0), (0.094, 25.0))
    curve = fan.fan_curve(points)
    for flow, rise in points:
        assert fan.fan_flow(rise, curve)[0] == pytest.approx(flow, abs=1e-15)
    assert curve.free_flow == 0.094
    assert curve.resistance == pytest.approx(200.0 / 0.094**2)


def test_the_default_curve_runs_through_its_rating():
    curve = fan.rated_fan_curve(0.07, 100.0)
    assert fan.fan_flow(100.0, curve)[0] == pytest.approx(0.07)
    assert fan.fan_flow(200.0, curve)[0] == pytest.approx(0.0, abs=1e-15)
    assert fan.fan_flow(25.0, curve)[0] == pytest.approx(0.0875)


REFUSED = {
    "points of a fan curve 1 points is outside 2 to inf points, where the method holds": ((0.1, 50.0),),
    "fall of pressure from one point of a fan curve to the next 0 Pa is outside 0 to inf Pa, where the method holds": (
        (0.0, 50.0), (0.1, 50.0),
    ),
    "rise of flow from one point of a fan curve to the next -0.05 m3/s is outside 0 to inf m3/s, "
    "where the method holds": (
        (0.0, 50.0), (0.1, 40.0), (0.05, 30.0),
    ),
}  # fmt: skip


@pytest.mark.parametrize("message", REFUSED)
def test_a_curve_that_is_none_is_refused(message):
    with pytest.raises(OutOfRange) as refused:
        fan.fan_curve(REFUSED[message])
    assert str(refused.value) == message


def test_outside_the_makers_points_nothing_is_told():
    curve = fan.fan_curve(((0.0, 200.0), (0.1, 50.0)))
    with pytest.raises(OutOfRange, match="pressure rise of the fan 20 Pa is outside 50 to 200 Pa"):
        fan.fan_flow(20.0, curve)


@given(st.floats(-0.9, 0.9))
def test_the_parabola_is_its_own_inverse_in_backflow_too(flow):
    rise = fan.parabola_pressure(flow, 400.0, 0.4)
    assert fan.parabola_flow(rise, 400.0, 0.4) == pytest.approx(flow, abs=1e-7)


def test_speed_laws_power_and_heat():
    assert fan.speed_laws(0.5, 0.2, 100.0, 80.0) == (0.1, 25.0, 10.0)
    assert fan.fan_power(0.1, 100.0, 0.25) == pytest.approx(40.0)
    # 60 W in 70 L/s warms it by 0.708 K: closed form at 1.2041 kg/m3
    assert fan.fan_heat_rise(60.0, 0.07, 1.2041) == pytest.approx(0.708, abs=5e-4)
    with pytest.raises(OutOfRange):
        fan.fan_power(0.1, 100.0, 0.0)


@given(st.floats(-0.5, 0.5))
def test_a_filter_and_its_inverse(flow):
    loss = air_filter.filter_loss(flow, 120.0, 300.0)
    assert air_filter.filter_flow(loss, 120.0, 300.0) == pytest.approx(flow, rel=1e-12, abs=1e-15)
    assert air_filter.filter_loss(-flow, 120.0, 300.0) == -loss


@given(st.floats(0.01, 0.2), st.floats(1.1, 4.0), st.floats(1.0, 2.0))
def test_both_filter_laws_run_through_the_makers_points(flow, more, exponent):
    first, second = (flow, 20.0), (flow * more, 20.0 * more**exponent)
    found = air_filter.filter_exponent(first, second)
    assert found == pytest.approx(exponent, abs=1e-9)
    if 1.0 <= found <= 2.0:
        linear, square = air_filter.filter_coefficients(first, second)
        for point in (first, second):
            assert air_filter.filter_loss(point[0], linear, square) == pytest.approx(point[1])
            assert air_filter.filter_power_loss(point[0], *first, found) == pytest.approx(point[1])


def test_filters_that_cannot_be_are_refused():
    with pytest.raises(OutOfRange, match=r"exponent of the filter's loss 2\.5"):
        air_filter.filter_power_loss(0.1, 0.1, 20.0, 2.5)
    with pytest.raises(OutOfRange, match="exponent of the filter's loss 3 "):
        air_filter.filter_coefficients((0.1, 10.0), (0.2, 80.0))
    with pytest.raises(OutOfRange, match="flow of the filter's second point"):
        air_filter.filter_exponent((0.2, 10.0), (0.1, 80.0))


@given(st.floats(-300.0, 300.0), st.floats(1e-6, 5.0))
def test_a_gravity_damper_is_monotone_with_its_slope(pressure, more):
    flow, slope = damper.gravity_damper_flow(pressure, DAMPER, 1.2)
    assert damper.gravity_damper_flow(pressure + more, DAMPER, 1.2)[0] > flow
    assert slope > 0


@given(st.floats(-300.0, 300.0))
def test_the_slope_of_a_gravity_damper_is_a_difference_quotient(pressure):
    step = 1e-6 * max(1.0, abs(pressure))
    above, below = (damper.gravity_damper_flow(pressure + side, DAMPER, 1.2)[0] for side in (step, -step))
    slope = damper.gravity_damper_flow(pressure, DAMPER, 1.2)[1]
    assert slope == pytest.approx((above - below) / (2 * step), rel=2e-3, abs=1e-8)


def test_a_gravity_damper_below_its_opening_pressure_passes_its_leakage_only():
    for pressure in (-100.0, -5.0, 5.0, 12.0):
        flow, _ = damper.gravity_damper_flow(pressure, DAMPER, 1.2)
        leak = np.sign(pressure) * 5e-4 * abs(pressure) ** 0.65
        assert flow == pytest.approx(leak, rel=1e-6)


def test_a_gravity_damper_wide_open_passes_what_its_loss_lets_through():
    flow, _ = damper.gravity_damper_flow(40.0, DAMPER, 1.2)
    leak, _ = damper.rounded_leakage(40.0, 5e-4, 0.65)
    velocity = (flow - leak) / 0.05
    assert 12.0 + 2.0 * 0.5 * 1.2 * velocity**2 == pytest.approx(40.0)


def test_a_motorized_damper_goes_from_its_leakage_to_its_open_way():
    assert damper.motorized_damper_coefficient(0.0, 0.1, 0.001) == (0.0, 0.001)
    assert damper.motorized_damper_coefficient(1.0, 0.1, 0.001) == (0.1, 0.0)
    np.testing.assert_allclose(damper.damper_position(np.array([-1.0, 0.0, 15.0, 30.0, 99.0]), 30.0), [0, 0, 0.5, 1, 1])
    with pytest.raises(OutOfRange, match=r"damper position 1\.5"):
        damper.motorized_damper_coefficient(1.5, 0.1, 0.001)
    with pytest.raises(OutOfRange, match="opening time 0 s"):
        damper.damper_position(1.0, 0.0)


def test_a_gravity_damper_is_half_open_in_the_middle_of_its_ramp():
    leak, _ = damper.rounded_leakage(12.25, 5e-4, 0.65)
    wide_open = 0.05 * np.sqrt(2.0 * 0.25 / (2.0 * 1.2))
    flow, _ = damper.gravity_damper_flow(12.25, DAMPER, 1.2)
    assert flow - leak == pytest.approx(wide_open / 2)


@pytest.mark.parametrize("pressure", [12.05, 12.2, 12.25, 12.4, 12.45])
def test_the_slope_of_a_gravity_damper_holds_on_its_ramp_too(pressure):
    above, below = (damper.gravity_damper_flow(pressure + side, DAMPER, 1.2)[0] for side in (1e-5, -1e-5))
    assert damper.gravity_damper_flow(pressure, DAMPER, 1.2)[1] == pytest.approx((above - below) / 2e-5, rel=1e-6)


def test_a_damper_that_is_refused_is_refused_in_whole_words():
    with pytest.raises(OutOfRange) as refused:
        damper.motorized_damper_coefficient(1.5, 0.1, 0.001)
    assert str(refused.value) == "damper position 1.5 - is outside 0 to 1 -, where the method holds"
    with pytest.raises(OutOfRange) as refused:
        damper.damper_position(1.0, 0.0)
    assert str(refused.value) == "opening time 0 s is outside 0 to inf s, where the method holds"
