"""Doors: levers, signs, and the piston."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.physics import door_force as door


def test_at_the_edge_half_of_the_push_is_felt():
    assert door.door_force(20.0, 0.9, 1.8) == pytest.approx(20.0 * 1.8 / 2)


def test_without_pressure_only_the_closer_is_felt():
    assert door.door_force(0.0, 0.9, 1.8, 0.07, 12.0) == 12.0


def test_suction_and_pressure_take_the_same_force():
    assert door.door_force(-20.0, 0.9, 1.8, 0.07) == door.door_force(20.0, 0.9, 1.8, 0.07)


@given(st.floats(0.0, 200.0), st.floats(0.0, 0.2), st.floats(0.0, 40.0))
def test_force_and_pressure_are_inverse(pressure, knob, closer):
    force = door.door_force(pressure, 0.9, 1.8, knob, closer)
    assert door.pressure_of_door_force(force, 0.9, 1.8, knob, closer) == pytest.approx(pressure, abs=1e-9)


def test_a_force_below_the_closer_is_reached_without_pressure():
    assert door.pressure_of_door_force(10.0, 0.9, 1.8, 0.07, 12.0) == 0.0


@pytest.mark.parametrize(
    ("pressure", "swings", "direction"),
    [
        (-20.0, "out", "held shut"),
        (-20.0, "in", "thrown open"),
        (20.0, "out", "thrown open"),
        (20.0, "in", "held shut"),
        (0.0, "in", "none"),
        (-0.05, "out", "none"),
    ],
)
def test_suction_holds_an_out_swinging_door_shut_and_throws_an_in_swinging_one_open(pressure, swings, direction):
    assert door.door_direction(pressure, swings) == direction


def test_the_first_degrees_of_a_door_make_tens_of_pascals_for_a_moment():
    # 3 ft door, 10 degrees, house of 25,000 ft3 (invented): 21 to 30 Pa
    swept = door.swept_volume(0.9144, 2.032, math.radians(10.0))
    slow, quick = door.piston_pressure(swept, 25000 * 0.3048**3)
    assert (round(slow), round(quick)) == (21, 30)


def test_what_is_no_door_is_refused():
    with pytest.raises(OutOfRange) as refused:
        door.door_force(20.0, 0.9, 1.8, 0.6)
    assert str(refused.value) == (
        "knob distance over door width 0.666667 - is outside 0 to 0.5 -, where the method holds"
    )
    with pytest.raises(OutOfRange):
        door.pressure_of_door_force(20.0, 0.9, 1.8, -0.1)
    with pytest.raises(ValueError, match="a door swings in or out, not 'up'"):
        door.door_direction(5.0, "up")


def test_a_knob_that_is_not_told_is_at_the_edge():
    assert door.pressure_of_door_force(18.0, 0.9, 1.8) == pytest.approx(20.0)


@pytest.mark.parametrize("knob", [0.46, 0.6])
def test_a_knob_past_the_middle_is_refused_in_whole_words(knob):
    with pytest.raises(OutOfRange) as refused:
        door.pressure_of_door_force(20.0, 0.9, 1.8, knob)
    share = f"{knob / 0.9:.6g}"
    assert str(refused.value) == (
        f"knob distance over door width {share} - is outside 0 to 0.5 -, where the method holds"
    )


def test_the_least_pressure_that_counts_has_a_direction():
    assert door.door_direction(door.NEGLIGIBLE_PRESSURE, "in") == "held shut"
    assert door.door_direction(0.5, "out") == "thrown open"
