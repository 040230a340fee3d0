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
