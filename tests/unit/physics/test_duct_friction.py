"""Duct friction: limiting cases, joints between regimes, slopes, inverse, and an exact solver as witness."""

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.physics import duct_friction as duct

RHO, MU = 1.204, 1.204 / 66400
ROUGH = st.floats(0.0, 0.05)


@pytest.mark.parametrize("rough", [0.0, 1e-5, 6e-4, 1e-2])
@pytest.mark.parametrize("reynolds", [2.5e3, 4e3, 1.7e4, 3e5, 1e7, 1e8])
def test_colebrook_equals_an_exact_solution(reynolds, rough):
    exact = fluids.friction.Colebrook(reynolds, rough, tol=0)  # fluids 1.3.1, Lambert W and fsolve to full precision
    assert duct.colebrook(reynolds, rough) == pytest.approx(exact, rel=1e-13)


@given(st.floats(2e3, 1e8), ROUGH)
def test_colebrook_solves_its_own_equation(reynolds, rough):
    root = 1 / np.sqrt(duct.colebrook(reynolds, rough))
    assert root + 2 * np.log10(rough / 3.7 + 2.51 * root / reynolds) == pytest.approx(0, abs=2e-14)


@given(st.floats(1e-6, 2e3), ROUGH)
def test_laminar_flow_does_not_feel_the_wall(reynolds, rough):
    assert duct.friction_factor(reynolds, rough) == pytest.approx(64 / reynolds, rel=1e-14)


@pytest.mark.parametrize("joint", [duct.LAMINAR_BELOW, duct.TURBULENT_ABOVE])
def test_value_and_slope_are_continuous_at_the_joints(joint):
    before, after = (duct.friction_factor_slope(joint * (1 + side), 6e-4) for side in (-1e-9, 1e-9))
    assert before[0] == pytest.approx(after[0], rel=1e-8)
    assert before[1] == pytest.approx(after[1], rel=1e-5)


@given(st.floats(1.0, 1e7), st.floats(0.0, 0.03))
def test_slope_equals_a_difference_quotient(reynolds, rough):
    step = 1e-5 * reynolds
    for law in (duct.friction_factor_slope, duct.karman_number_squared):
        above, below = law(reynolds + step, rough)[0], law(reynolds - step, rough)[0]
        value, slope = law(reynolds, rough)
        # the blend's curvature jumps at its ends, by 6 (f_turbulent - f_laminar)/2000^2: across Re 4000 the quotient is
        # off by a quarter of that times the step, up to 4.5e-5 of f/Re at these walls
        assert slope == pytest.approx((above - below) / (2 * step), rel=2e-5, abs=6e-5 * value / reynolds)


@pytest.mark.parametrize("rough", [0.0, 0.01, 0.03])
@pytest.mark.parametrize("reynolds", [2000.0, 4000.0])
def test_slope_equals_a_difference_quotient_on_the_joints_too(reynolds, rough):
    check_quotient = test_slope_equals_a_difference_quotient.hypothesis.inner_test
    check_quotient(reynolds, rough)


@pytest.mark.parametrize("rough", [0.0, 6e-4, 0.03])
@pytest.mark.parametrize("reynolds", [2050.0, 2400.0, 3000.0, 3500.0, 3950.0])
def test_slope_between_laminar_and_turbulent_is_that_of_the_blend(reynolds, rough):
    for law in (duct.friction_factor_slope, duct.karman_number_squared):
        above, below = law(reynolds + 0.01, rough)[0], law(reynolds - 0.01, rough)[0]
        assert law(reynolds, rough)[1] == pytest.approx((above - below) / 0.02, rel=1e-6)


@pytest.mark.parametrize(("reynolds", "share"), [(2000.0, 0.0), (2500.0, 0.15625), (3000.0, 0.5), (4000.0, 1.0)])
def test_the_blend_is_a_smoothstep_from_2000_to_4000(reynolds, share):
    """3 t^2 - 2 t^3: at a quarter of the way 10/64, in the middle a half."""
    laminar, turbulent = 64 / reynolds, duct.colebrook(reynolds, 6e-4)
    expected = laminar + share * (turbulent - laminar)
    assert duct.friction_factor(reynolds, 6e-4) == pytest.approx(expected, rel=1e-14)
    squared, _ = duct.karman_number_squared(reynolds, 6e-4)
    assert squared == pytest.approx(expected * reynolds**2, rel=1e-14)


@pytest.mark.parametrize("reynolds", [4e3, 5e4, 1e7])
def test_past_4000_the_friction_factor_is_colebrooks_alone(reynolds):
    assert duct.friction_factor(reynolds, 1e-3) == duct.colebrook(reynolds, 1e-3)


@given(st.floats(0.0, 1e8), st.floats(1e-6, 1.0), ROUGH)
def test_more_flow_never_loses_less(reynolds, more, rough):
    low, _ = duct.karman_number_squared(reynolds, rough)
    high, slope = duct.karman_number_squared(reynolds * (1 + more) + 1e-3, rough)
    assert high > low
    assert slope > 0


def test_a_rougher_duct_loses_more():
    losses = duct.friction_loss(0.05, 10.0, 0.15, np.array([0.0, 9e-5, 9e-4, 3e-3]), RHO, MU)
    assert np.all(np.diff(losses) > 0)


def test_no_flow_no_loss_and_reversed_flow_reversed_loss():
    section = duct.DuctSection(6.0, 0.2, 9e-5, 2.0)
    assert duct.pressure_loss(0.0, section, RHO, MU) == 0.0
    assert duct.pressure_loss(-0.1, section, RHO, MU) == -duct.pressure_loss(0.1, section, RHO, MU)
    assert duct.flow_at_loss(0.0, section, RHO, MU) == 0.0


def test_laminar_loss_is_that_of_hagen_and_poiseuille():
    flow, length, diameter = 1e-4, 2.0, 0.1
    loss = duct.friction_loss(flow, length, diameter, 9e-5, RHO, MU)
    assert loss == pytest.approx(128 * MU * length * flow / (np.pi * diameter**4), rel=1e-12)


def test_without_friction_only_the_fittings_are_left():
    section = duct.DuctSection(0.0, 0.2, 9e-5, 3.0)
    velocity = 0.1 / duct.round_area(0.2)
    assert duct.pressure_loss(0.1, section, RHO, MU) == pytest.approx(3 * duct.velocity_pressure(velocity, RHO))


@given(st.floats(-2.0, 0.5), st.floats(0.08, 0.5), st.floats(0.0, 10.0), st.floats(0.0, 30.0))
def test_flow_at_loss_is_the_inverse(decade, diameter, loss_coefficient, length):
    section = duct.DuctSection(length + 0.1, diameter, 9e-5, loss_coefficient, 1.3)
    flow = 10.0**decade
    loss = duct.pressure_loss(flow, section, RHO, MU)
    assert duct.flow_at_loss(loss, section, RHO, MU) == pytest.approx(flow, rel=1e-12)
    assert duct.flow_at_loss(-loss, section, RHO, MU) == pytest.approx(-flow, rel=1e-12)


SECTIONS = {
    "smooth and straight": (30.0, 0.15, 0.0, 0.0),
    "as rough as the chart goes": (5.0, 0.1, 5e-3, 0.0),
    "fittings alone": (0.0, 0.2, 9e-5, 3.0),
    "a short collar": (0.1, 0.2, 9e-5, 0.0),
    "a grille and next to no duct": (0.01, 0.3, 9e-5, 30.0),
    "a long flexible duct": (60.0, 0.08, 9e-4, 1.0),
}


@pytest.mark.parametrize("name", SECTIONS)
def test_flow_at_loss_is_the_inverse_from_a_breath_to_the_end_of_the_chart(name):
    """Every regime, the blend between laminar and turbulent densely, to Re 1e8."""
    length, diameter, rough, loss_coefficient = SECTIONS[name]
    section = duct.DuctSection(length, diameter, rough, loss_coefficient, 1.2)
    reynolds = np.concatenate([np.geomspace(1e-3, 0.999e8, 120), np.linspace(1900, 4100, 60)])
    flow = reynolds * np.pi * diameter * MU / (4 * RHO)
    found = duct.flow_at_loss(duct.pressure_loss(flow, section, RHO, MU), section, RHO, MU)
    np.testing.assert_allclose(found, flow, rtol=1e-12)


def test_the_least_loss_has_a_flow_by_hagen_and_poiseuille():
    for loss in (1e-9, 1e-12, 1e-30):
        flow = duct.flow_at_loss(loss, duct.DuctSection(2.0, 0.1, 9e-5), RHO, MU)
        assert flow == pytest.approx(loss * np.pi * 0.1**4 / (128 * MU * 2.0), rel=1e-12)


def test_a_section_may_have_its_losses_as_an_array_where_the_pressure_is_one_number():
    sections = duct.DuctSection(np.array([1.0, 5.0]), 0.2, 9e-5, np.array([[0.0], [3.0]]))
    flows = duct.flow_at_loss(5.0, sections, RHO, MU)
    assert flows.shape == (2, 2)
    assert flows[1, 0] == pytest.approx(
        duct.flow_at_loss(5.0, duct.DuctSection(1.0, 0.2, 9e-5, 3.0), RHO, MU), rel=1e-14
    )


def test_a_stretched_flexible_duct_has_no_factor_and_a_round_duct_its_own_diameter():
    assert duct.flex_compression_factor(0.2, 0.0) == 1.0
    assert duct.hydraulic_diameter(duct.round_area(0.3), np.pi * 0.3) == pytest.approx(0.3)


def test_the_round_equivalent_of_a_square_lies_between_its_side_and_its_diagonal():
    # by the equation 1.30/2^0.25 = 1.093 sides
    assert duct.equal_friction_diameter(0.2, 0.2) == pytest.approx(0.2 * 1.3 / 2**0.25)
    assert 0.2 < duct.equal_friction_diameter(0.2, 0.2) < 0.2 * np.sqrt(2)


REFUSED = {
    "Reynolds number 0 - is outside 0 to 1e+08 -, where the method holds": lambda: duct.friction_factor(0.0, 1e-4),
    "Reynolds number -5 - is outside 0 to 1e+08 -, where the method holds": lambda: duct.friction_factor_slope(
        np.array([10.0, -5.0]), 1e-4
    ),
    "Reynolds number 1500 - is outside 2000 to 1e+08 -, where the method holds": lambda: duct.colebrook(1500.0, 1e-4),
    "relative roughness 0.06 - is outside 0 to 0.05 -, where the method holds": lambda: duct.colebrook(5e3, 0.06),
    "compression 0.5 - is outside 0 to 0.45 -, where the method holds": lambda: duct.flex_compression_factor(0.2, 0.5),
    "diameter of flexible duct 0.05 m is outside 0.075 to 0.51 m, where the method holds": (
        lambda: duct.flex_compression_factor(0.05, 0.1)
    ),
    "relative roughness 0.09 - is outside 0 to 0.05 -, where the method holds": lambda: duct.friction_loss(
        0.1, 1.0, 0.1, 9e-3, RHO, MU
    ),
    "relative roughness 0.08 - is outside 0 to 0.05 -, where the method holds": lambda: duct.flow_at_loss(
        5.0, duct.DuctSection(1.0, 0.1, 8e-3), RHO, MU
    ),
    "diameter of flexible duct 0.52 m is outside 0.075 to 0.51 m, where the method holds": (
        lambda: duct.flex_compression_factor(0.52, 0.1)
    ),
    "length over diameter plus loss coefficient 0 - is outside 1e-09 to inf -, where the method holds": (
        lambda: duct.flow_at_loss(5.0, duct.DuctSection(0.0, 0.2, 9e-5), RHO, MU)
    ),
}


@pytest.mark.parametrize("message", REFUSED)
def test_out_of_range_is_refused(message):
    with pytest.raises(OutOfRange) as refused:
        REFUSED[message]()
    assert str(refused.value) == message


def test_not_a_number_is_refused():
    with pytest.raises(OutOfRange):
        duct.friction_factor(np.array([5e3, np.nan]), 1e-4)


@pytest.mark.parametrize("loss", [1e9, -1e9, 1e14, np.nan])
def test_a_loss_past_the_friction_chart_has_no_flow(loss):
    """It was answered with the flow at Re 1e8, whatever the loss."""
    with pytest.raises(OutOfRange, match=r"^Reynolds number .* - is outside 0 to 1e[+]08 -, where the method holds$"):
        duct.flow_at_loss(np.array([5.0, loss]), duct.DuctSection(1.0, 0.2, 9e-5, 0.5), RHO, MU)


def test_a_flow_past_the_friction_chart_is_refused_in_either_direction():
    for flow in (40.0, -40.0):
        with pytest.raises(OutOfRange) as refused:
            duct.friction_loss(flow, 1.0, 0.02, 0.0, RHO, MU)
        value = 4 * RHO * 40 / (np.pi * 0.02 * MU)
        assert str(refused.value) == f"Reynolds number {value:.6g} - is outside 0 to 1e+08 -, where the method holds"
