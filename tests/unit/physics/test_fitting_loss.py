"""Fittings against fluids 1.3.1, and limits that follow from geometry."""

import math

import fluids
import fluids.filters
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.parts import screen_loss
from airledger.physics import fitting_loss as fittings


@given(st.floats(0.05, 0.98), st.floats(2.0, 180.0))
def test_contractions_equal_fluids(ratio, angle):
    assert fittings.sudden_contraction(ratio) == pytest.approx(fluids.contraction_sharp(1.0, ratio), rel=1e-12)
    cone = fluids.contraction_conical(1.0, ratio, angle=angle, fd=0.02)
    assert fittings.conical_contraction(ratio, math.radians(angle)) == pytest.approx(cone, rel=1e-12)


@given(st.floats(0.5, 0.98), st.floats(2.0, 60.0))
def test_expansions_equal_fluids(ratio, angle):
    assert fittings.sudden_expansion(ratio) == pytest.approx(fluids.diffuser_sharp(ratio, 1.0), rel=1e-12)
    cone = fluids.diffuser_conical(ratio, 1.0, angle=angle, fd=0.02)
    assert fittings.conical_expansion(ratio, math.radians(angle)) == pytest.approx(cone, rel=1e-9)


# 20 degrees is the last angle of the gentle law
@pytest.mark.parametrize("angle", [1.0, 1.5, 19.9, 20.0, 20.1, 20.6, 60.0])
def test_a_cone_that_widens_changes_its_law_past_20_degrees_as_fluids_does(angle):
    cone = fluids.diffuser_conical(0.6, 1.0, angle=angle, fd=0.02)
    assert fittings.conical_expansion(0.6, math.radians(angle)) == pytest.approx(cone, rel=1e-9)


def test_a_cone_may_narrow_by_a_degree():
    cone = fluids.contraction_conical(1.0, 0.7, angle=1.0, fd=0.02)
    assert fittings.conical_contraction(0.7, math.radians(1.0)) == pytest.approx(cone, rel=1e-12)


@given(st.floats(0.5, 9.0), st.floats(5.0, 180.0))
def test_bends_equal_fluids(ratio, angle):
    bend = fluids.bend_rounded(1.0, angle, fd=0.02, bend_diameters=ratio, method="Rennels")
    assert fittings.smooth_bend(ratio, math.radians(angle)) == pytest.approx(bend, rel=1e-12)
    if angle <= 150:
        mitre = fluids.bend_miter(angle, method="Rennels")
        assert fittings.mitred_bend(math.radians(angle)) == pytest.approx(mitre, rel=1e-12)


@pytest.mark.parametrize("free", [0.5, 0.6, 0.7, 0.8])
def test_tabulated_screens_equal_fluids(free):
    square = fluids.filters.square_edge_screen(free)
    assert screen_loss(free, "square-edged").value == pytest.approx(square, rel=0.02)
    # Reynolds number 100 of the wire; past 400 a round wire loses a quarter less
    wire = fluids.filters.round_edge_screen(free, 100)
    assert screen_loss(free, "round-edged").value == pytest.approx(wire, rel=0.02)


def test_no_change_of_size_no_turn_no_loss():
    assert fittings.sudden_expansion(1.0) == 0.0
    assert fittings.sudden_contraction(1.0) == pytest.approx(0.0, abs=1e-15)
    assert fittings.mitred_bend(0.0) == 0.0
    assert fittings.smooth_bend(1.0, 0.0) == 0.0


def test_into_the_open_all_velocity_pressure_is_lost():
    assert fittings.sudden_expansion(0.0) == fittings.EXIT_LOSS


def test_a_loss_on_another_area_is_the_same_pressure():
    flow, small, large = 0.1, 0.01, 0.03
    other = fittings.loss_on_other_area(0.4, small, large)
    assert other * (flow / large) ** 2 == pytest.approx(0.4 * (flow / small) ** 2)


@given(st.floats(0.01, 1.0), st.floats(0.5, 80.0), st.floats(0.2, 20.0))
def test_the_diameter_passes_what_was_asked(flow, pressure, loss):
    diameter = fittings.diameter_for_loss(flow, pressure, loss, 1.2)
    assert fittings.flow_through_loss(pressure, math.pi / 4 * diameter**2, loss, 1.2) == pytest.approx(flow)


# closed form: K times the velocity pressure is the pressure difference
@given(st.floats(0.5, 80.0), st.floats(0.2, 20.0), st.floats(0.9, 1.4))
def test_the_loss_of_the_flow_is_the_pressure_difference(pressure, loss, density):
    flow = fittings.flow_through_loss(pressure, 0.02, loss, density)
    assert loss * density / 2 * (flow / 0.02) ** 2 == pytest.approx(pressure)
    assert fittings.flow_through_loss(-pressure, 0.02, loss, density) == -flow


def test_no_pressure_difference_no_flow():
    assert fittings.flow_through_loss(0.0, 0.02, 2.5, 1.2) == 0.0


# closed form of an orifice of coefficient 0.6: 100 Pa drive 0.6 sqrt(2 100/1.2) m/s through the free half of a face
def test_a_grille_loses_what_its_free_area_as_an_orifice_would():
    face_speed = 0.5 * 0.6 * math.sqrt(2 * 100 / 1.2)
    assert fittings.grille_loss(0.5) * 1.2 / 2 * face_speed**2 == pytest.approx(100.0)
    assert fittings.grille_loss(1.0) == pytest.approx(2.7778, abs=5e-5)
    assert fittings.grille_loss(0.05) == pytest.approx(400 * fittings.grille_loss(1.0))


def test_velocity_and_its_pressure_return():
    assert fittings.velocity_at_pressure(0.5 * 1.2 * 4.0**2, 1.2) == pytest.approx(4.0)
    assert fittings.mean_velocity(0.2, 0.05) == 4.0


CASES = [
    (lambda: fittings.sudden_expansion(1.1), "diameter ratio 1.1 - is outside 0 to 1 -"),
    (lambda: fittings.sudden_contraction(-0.1), "diameter ratio -0.1 - is outside 0 to 1 -"),
    (lambda: fittings.sudden_contraction(1.1), "diameter ratio 1.1 - is outside 0 to 1 -"),
    (lambda: fittings.conical_contraction(1.2, 0.5), "diameter ratio 1.2 - is outside 0 to 1 -"),
    (lambda: fittings.conical_contraction(0.5, 0.0), "cone angle 0 rad is outside 0.0174533 to 3.14159 rad"),
    (lambda: fittings.conical_expansion(0.6, 0.015), "cone angle 0.015 rad is outside 0.0174533 to 1.0472 rad"),
    (lambda: fittings.conical_expansion(0.6, 1.05), "cone angle 1.05 rad is outside 0.0174533 to 1.0472 rad"),
    (lambda: fittings.conical_expansion(0.4, 0.5), "diameter ratio 0.4 - is outside 0.5 to 1 -"),
    (lambda: fittings.conical_expansion(1.1, 0.5), "diameter ratio 1.1 - is outside 0.5 to 1 -"),
    (lambda: fittings.mitred_bend(2.62), "turn of a mitred bend 2.62 rad is outside 0 to 2.61799 rad"),
    (lambda: fittings.smooth_bend(0.3, 1.0), "radius ratio of a bend 0.3 - is outside 0.5 to 10 -"),
    (lambda: fittings.smooth_bend(10.1, 1.0), "radius ratio of a bend 10.1 - is outside 0.5 to 10 -"),
    (lambda: fittings.smooth_bend(1.0, 4.0), "turn of a bend 4 rad is outside 0 to 3.14159 rad"),
    (lambda: fittings.grille_loss(0.0), "free area ratio 0 - is outside 0.05 to 1 -"),
    (lambda: fittings.grille_loss(1.1), "free area ratio 1.1 - is outside 0.05 to 1 -"),
    (lambda: fittings.diameter_for_loss(0.1, 0.0, 3.0, 1.2), "pressure difference 0 Pa is outside 0 to inf Pa"),
]


@pytest.mark.parametrize(("call", "words"), CASES, ids=[words for _, words in CASES])
def test_out_of_range_is_refused_word_for_word(call, words):
    with pytest.raises(OutOfRange) as told:
        call()
    assert str(told.value) == f"{words}, where the method holds"
