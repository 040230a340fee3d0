"""One protocol, one test over all laws: exact slope, never falling, arrays equal single values, rows picked apart."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from airledger.physics.crack import Crack, crack_resistances
from airledger.physics.duct_friction import friction_factor
from airledger.physics.fan import fan_curve
from airledger.physics.laws import SMOOTH, FanLaw, FixedFlow, GravityLaw, Law, OrificeLaw, PowerLaw, RunLaw
from tests.property.random_networks import CURVE_KNOTS, curve_coefficients


def one(value: float) -> np.ndarray:
    return np.array([[value]])


def fan(speed: float) -> FanLaw:
    return FanLaw(CURVE_KNOTS, curve_coefficients(), 1500.0, one(speed), one(1.0), one(1.2), one(1.1))


def run(length: float, loss: float, filter_pressure: float = 0.0) -> RunLaw:
    area = np.pi / 4 * 0.15**2
    return RunLaw(
        one(length),
        one(0.15),
        one(9e-5),
        one(area),
        one(loss / (2 * area**2)),
        one(filter_pressure),
        one(0.1),
        one(1.3),
        one(1.2),
        one(1.1),
        one(1.19),
        one(1.09),
        one(1.81e-5),
    )


LAWS: dict[str, Law] = {
    "leak": PowerLaw(one(0.01), one(0.011), one(0.65)),
    "orifice": OrificeLaw(one(0.3), one(0.28)),
    "power law of exponent 0.5": PowerLaw(one(0.3), one(0.3), one(0.5)),
    "machine": FixedFlow(one(0.2)),
    "fan at full speed": fan(1.0),
    "fan at a twentieth": fan(0.05),
    "fan stopped": fan(0.0),
    "duct": run(8.0, 2.5),
    "duct with filter": run(8.0, 2.5, 40.0),
    "straight duct alone": run(20.0, 0.0),
    "fittings alone": run(0.0, 3.0),
    "gravity damper": GravityLaw(one(0.05), one(12.0)),
}
PLACES = np.concatenate([-np.geomspace(600, 1e-4, 160), np.geomspace(1e-4, 600, 160)])


@pytest.mark.parametrize("name", LAWS)
def test_slope_equals_the_difference_quotient(name: str) -> None:
    law = LAWS[name]
    knots = np.array([0.0, *(-k for k in CURVE_KNOTS), *(-k * 0.0025 for k in CURVE_KNOTS), 12.0, 12.5])
    for x in PLACES:
        step = 1e-5 * max(abs(x), 1e-3)
        if np.abs(knots - x).min() < 4 * step:
            continue  # a corner: the slope differs on its two sides
        (low, _), (high, _) = law.flow_and_slope(one(x - step)), law.flow_and_slope(one(x + step))
        flow, slope = law.flow_and_slope(one(x))
        quotient = float((high - low)[0, 0]) / (2 * step)
        assert float(slope[0, 0]) == pytest.approx(
            quotient, rel=3e-6, abs=3e-9 * max(1.0, abs(float(flow[0, 0])) / step)
        )


@pytest.mark.parametrize("name", LAWS)
def test_flow_never_falls(name: str) -> None:
    flow, slope = LAWS[name].flow_and_slope(PLACES[None, :])
    assert (np.diff(flow[0]) >= -1e-15).all()
    assert (slope >= 0).all()
    assert np.isfinite(slope).all()


@pytest.mark.parametrize("name", LAWS)
def test_an_array_equals_its_single_values(name: str) -> None:
    flow, slope = LAWS[name].flow_and_slope(PLACES[None, :])
    for place in range(0, len(PLACES), 7):
        alone = LAWS[name].flow_and_slope(one(PLACES[place]))
        assert alone[0][0, 0] == flow[0, place]
        assert alone[1][0, 0] == slope[0, place]


def test_rows_are_picked_where_a_parameter_has_them() -> None:
    law = PowerLaw(np.array([[1.0, 2.0, 3.0]]), one(1.0), one(0.5)).of_rows(np.array([2, 0]))
    assert law.forward.tolist() == [[3.0, 1.0]]
    assert law.reverse.tolist() == [[1.0]]


def test_leak_is_a_power_law_away_from_zero_and_smooth_at_zero() -> None:
    law = LAWS["leak"]
    assert law.flow_and_slope(one(50.0))[0][0, 0] == pytest.approx(0.01 * 50**0.65, rel=1e-12)
    assert law.flow_and_slope(one(-50.0))[0][0, 0] == pytest.approx(-0.011 * 50**0.65, rel=1e-12)
    assert law.flow_and_slope(one(0.0))[0][0, 0] == 0.0
    assert law.flow_and_slope(one(0.0))[1][0, 0] == pytest.approx(0.01 * SMOOTH**-0.35, rel=1e-12)


def test_fan_goes_through_its_points_and_follows_the_speed_laws() -> None:
    points = ((0.0, 400.0), (0.15, 240.0), (0.28, 150.0), (0.40, 60.0), (0.45, 0.0))
    curve = fan_curve(points)
    for speed in (1.0, 0.5):
        law = FanLaw(curve.knots, curve.coefficients, 1500.0, one(speed), one(1.0), one(1.0), one(1.0))
        for flow, rise in points:
            assert law.flow_and_slope(one(-rise * speed**2))[0][0, 0] == pytest.approx(flow * speed, abs=2e-5)


def test_a_stopped_fan_is_a_plain_resistance() -> None:
    law = fan(0.0)
    assert law.flow_and_slope(one(60.0))[0][0, 0] == pytest.approx(1.2 * np.sqrt(60 / 1500.0), rel=1e-9)
    assert law.flow_and_slope(one(-60.0))[0][0, 0] == pytest.approx(-1.1 * np.sqrt(60 / 1500.0), rel=1e-9)


@pytest.mark.parametrize("difference", [-300.0, -20.0, -1.0, 0.5, 30.0, 300.0])
def test_more_speed_never_means_less_flow(difference: float) -> None:
    flows = [fan(speed).flow_and_slope(one(difference))[0][0, 0] for speed in np.linspace(0, 1, 60)]
    assert (np.diff(flows) >= -1e-12).all()


@pytest.mark.parametrize("pressure", [0.02, 0.3, 2.0, 40.0, 700.0])
def test_duct_loss_is_inverted_to_rounding(pressure: float) -> None:
    """Against a bracketing root finder on the loss written out with the friction factor."""
    area = np.pi / 4 * 0.15**2

    def loss(flow: float) -> float:
        speed = flow / area
        reynolds = max(1.2 * speed * 0.15 / 1.81e-5, 1e-9)
        return (
            (float(friction_factor(reynolds, 9e-5 / 0.15)) * 8.0 / 0.15 + 2.5) * 0.6 * speed**2
            + 40.0 * (flow / 0.1) ** 1.3
            - pressure
        )

    expected = brentq(loss, 1e-12, 10.0, xtol=1e-16, rtol=1e-14)
    found = LAWS["duct with filter"].flow_and_slope(one(pressure))[0][0, 0] / 1.19
    assert found == pytest.approx(expected, rel=1e-9)


def test_gravity_damper_stays_shut_against_its_direction_and_below_its_opening_pressure() -> None:
    law = LAWS["gravity damper"]
    for x in (-200.0, 0.0, 11.99):
        assert law.flow_and_slope(one(x))[0][0, 0] == 0.0
    assert law.flow_and_slope(one(37.0))[0][0, 0] == pytest.approx(0.05 * 5.0, rel=1e-12)


def test_every_bend_of_a_crack_costs_half_a_velocity_pressure_and_a_longer_crack_less():
    plain, bent = (crack_resistances(Crack(0.002, 2.0, 0.04, bends), 1.2, 1.8e-5) for bends in (0, 2))
    assert bent[0] == plain[0]
    assert plain[1] == pytest.approx(1.2 * 1.5 / (2 * (0.002 * 2.0) ** 2))
    assert bent[1] / plain[1] == pytest.approx(3.5 / 1.5)
