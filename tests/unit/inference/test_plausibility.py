"""Readings that cannot be, and the likelier slip behind them."""

import pytest

from airledger.inference.plausibility import UNIT_WORDS, flow_question, is_same_house, pressure_question, slips


@pytest.mark.parametrize("unit", UNIT_WORDS)
def test_a_slip_is_named_and_taken_back(unit):
    for slip, factor in slips(unit).items():
        asked = flow_question(0.05 * factor, 0.05, unit)
        assert asked is not None
        assert (asked.cause, asked.value) == (slip, pytest.approx(0.05))


# NIST SP 811: a cubic foot a minute is 0.4719474 litres a second
def test_a_number_in_cubic_feet_reads_twice_too_much_in_litres():
    asked = flow_question(50e-3, 50 * 0.4719474e-3, "l/s")
    assert asked.cause == "cubic feet a minute written as litres a second"
    assert asked.value == pytest.approx(50 * 0.4719474e-3)


def test_a_slip_ends_in_the_unit_that_stands_there():
    half = flow_question(0.5 * 0.0236, 0.0236, "cfm")
    assert half.cause == "litres a second written as cubic feet a minute"
    assert flow_question(0.5 * 0.0236, 0.0236, "l/s") is None
    assert set(slips("fpm")) == {"ten times too much", "ten times too little"}


# field-faults.md: a hood moves 0.65 of its rating at the median; that is no slip
def test_what_is_common_for_a_machine_is_not_asked_about():
    assert flow_question(0.60, 1.0, "m3/h") is not None
    assert flow_question(0.60, 1.0, "m3/h", far=0.55) is None


def test_names_of_a_house():
    assert is_same_house("Tern Street 14, invented", "Tern Street 14")
    assert is_same_house("tern str. 14", "Tern Street 14")
    assert not is_same_house("Tern Street 41", "Tern Street 14")
    assert not is_same_house("Alder Court 9", "Tern Street 14")


def test_a_flow_that_is_only_low_is_no_slip():
    assert flow_question(0.040, 0.050, "cfm") is None
    assert flow_question(0.031, 0.050, "cfm") is None
    assert flow_question(0.0, 0.05, "cfm") is None


def test_a_flow_that_no_slip_explains_is_left_to_the_verdict():
    assert flow_question(0.05 * 5.5, 0.05, "cfm") is None


def test_a_negative_flow_is_asked_for_its_size():
    assert flow_question(-0.05, 0.05, "cfm").value == 0.05


def test_hoses_swapped_and_inches_for_pascals():
    assert pressure_question(12.0, -12.5).cause.startswith("the hoses swapped")
    assert pressure_question(-0.05, -12.5).cause == "inches of water written as pascals"
    assert pressure_question(-11.0, -12.5) is None
    assert pressure_question(2.0, -1.0) is None
    assert pressure_question(-60.0, -12.5) is None


# a meter's display says m³/h
def test_a_raised_three_is_a_three():
    assert slips("m³/h") == slips("m3/h")


def test_a_flow_below_0_is_asked_for_in_words():
    asked = flow_question(-0.05, -0.01, "cfm")
    assert (asked.cause, asked.value) == ("a flow above 0 is wanted, whichever way it goes", 0.05)
    assert flow_question(0.05, 0.0, "cfm") is None
    assert flow_question(0.05, -0.01, "cfm") is None


def test_small_letters_and_great_ones_name_one_house():
    assert is_same_house("TERN STREET 14, INVENTED", "tern street 14")
    assert is_same_house("Straße 14", "straße 14")
    assert not is_same_house("ab", "xy")


# an inch of water at 4 C is 249.0889 Pa (NIST SP 811, 249.0889 at 4 C)
def test_what_a_slip_would_make_of_a_pressure():
    swapped = pressure_question(12.0, -12.5)
    assert swapped.value == -12.0
    inches = pressure_question(-0.05, -12.5)
    assert inches.value == pytest.approx(-0.05 * 249.0889)
    assert pressure_question(-0.07, -12.5).cause == "inches of water written as pascals"
    assert pressure_question(-0.08, -12.5) is None


def test_a_pressure_is_asked_about_only_beyond_what_says_something():
    assert pressure_question(3.0, -3.0).cause.startswith("the hoses swapped")
    assert pressure_question(2.9, -2.9) is None
    assert pressure_question(40.0, -2.9) is None
    # half of what was expected, or 3 Pa where that is more
    assert pressure_question(-18.0, -12.0) is None
    assert pressure_question(18.0, -12.0).value == -18.0
    assert pressure_question(18.1, -12.0) is None
    assert pressure_question(17.9, -12.0).cause.startswith("the hoses swapped")
    assert pressure_question(6.9, -4.0).cause.startswith("the hoses swapped")
    assert pressure_question(7.1, -4.0) is None
    assert pressure_question(-1.1, -4.0) is None
