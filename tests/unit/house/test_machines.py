"""Machines as elements: curves that begin at some flow, machines known by one point, what stands still."""

from __future__ import annotations

import pytest

from airledger.errors import InputError
from airledger.house.machines import from_no_flow
from tests.houses import CFM, CHECK_HOUSE, solved

CURVE = "{high: 600 cfm}, fan curve: {at: high, points: [[0 cfm, 1.6 inwc], [300 cfm, 1.2 inwc], [600 cfm, 0 inwc]]}"


def with_hood(text: str) -> str:
    return CHECK_HOUSE.replace("{high: 600 cfm}", text)


def test_a_curve_that_begins_at_some_flow_is_led_back_along_its_parabola() -> None:
    """A parabola P = 400 (1 - (Q/900)^2) given from 300 on goes through 400 at no flow."""
    points = tuple((flow, 400 * (1 - (flow / 900) ** 2)) for flow in (300.0, 600.0, 900.0))
    whole, assumed = from_no_flow(points, "exhausts / hood / fan curve")
    assert whole[0] == pytest.approx((0.0, 400.0))
    assert whole[1:] == points
    assert assumed[0].path == "exhausts / hood / fan curve / shut-off pressure"
    assert from_no_flow(whole, "any") == (whole, [])


def test_a_hood_pulled_past_the_begin_of_its_curve_still_has_an_answer() -> None:
    whole = solved(with_hood(CURVE))
    cut = solved(with_hood(CURVE.replace("[0 cfm, 1.6 inwc], ", "")))
    assert cut.house_pressure()[1] == pytest.approx(whole.house_pressure()[1], abs=8.0)
    assert 0 < cut.machine_flow("hood")[1] < 600 * CFM


def test_a_machine_that_stands_still_passes_nothing() -> None:
    readout = solved(with_hood(CURVE))
    assert readout.machine_flow("hood")[0] == pytest.approx(0.0, abs=1e-9)


def test_a_ventilator_whose_fan_has_no_pressure_left_is_refused() -> None:
    unit = (
        "ventilator: {kind: erv, speeds: {boost: 200 cfm}, supplies: {house: 100 %}, takes from: {house: 100 %},\n"
        "  fan curve: {at: boost, points: [[0 cfm, 0.5 inwc], [200 cfm, 0 inwc]]}}\nstates:"
    )
    with pytest.raises(InputError, match="ventilator supply: its fan curve gives no pressure at 200 cfm"):
        solved(CHECK_HOUSE.replace("states:", unit))
