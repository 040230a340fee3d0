"""Readings that cannot be, and the likelier slip behind them."""

import pytest

from airledger.inference.plausibility import SLIPS, flow_question, pressure_question


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_named_and_taken_back(slip):
    asked = flow_question(0.05 * SLIPS[slip], 0.05)
    assert asked is not None
    assert asked.value == pytest.approx(0.05, rel=0.13)


def test_a_flow_that_is_only_low_is_no_slip():
    assert flow_question(0.040, 0.050) is None
    assert flow_question(0.030, 0.050) is None
    assert flow_question(0.0, 0.05) is None


def test_a_flow_that_no_slip_explains_is_left_to_the_verdict():
    assert flow_question(0.05 * 5.5, 0.05) is None


def test_a_negative_flow_is_asked_for_its_size():
    assert flow_question(-0.05, 0.05).value == 0.05


def test_hoses_swapped_and_inches_for_pascals():
    assert pressure_question(12.0, -12.5).cause.startswith("the hoses swapped")
    assert pressure_question(-0.05, -12.5).cause == "inches of water written as pascals"
    assert pressure_question(-11.0, -12.5) is None
    assert pressure_question(2.0, -1.0) is None
    assert pressure_question(-60.0, -12.5) is None
