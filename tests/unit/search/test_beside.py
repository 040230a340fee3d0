"""Beside the pull: wind on the worst state, and a house that is pushed up."""

from __future__ import annotations

import pytest

from airledger import runs
from airledger.io.house_file import loads
from tests.houses import CHECK_HOUSE
from tests.unit.search.houses import TWO_ROOMS, house


def found(text_house, code: str):
    outcome = runs.study(text_house, ("depressurization",))
    return [finding for finding in outcome.findings if finding.code == code]


def test_wind_is_told_beside_the_worst_state_as_a_range():
    (wind,) = found(house(TWO_ROOMS), "wind_range")
    assert wind.severity == "ok"
    assert wind.low < wind.value < wind.high or wind.low < wind.high


def test_a_site_without_wind_is_told_an_assumed_one_and_a_calm_site_nothing():
    (wind,) = found(house(TWO_ROOMS.replace("  wind: {speed: 0 to 10 mph, from: any}\n", "")), "wind_range")
    assert "wind (assumed: the file gives none) adds " in wind.message
    assert not found(house(TWO_ROOMS.replace("0 to 10 mph", "0 to 0 mph")), "wind_range")


def test_a_make_up_fan_too_big_for_a_low_speed_pushes_the_house_up():
    text = CHECK_HOUSE.replace("{high: 600 cfm}", "{low: 200 cfm, high: 600 cfm}").replace(
        "make-up air: none",
        "make-up air:\n  fan: {into: house, duct: {size: 10 in round, made of: galvanized}, run: [loss: 2], "
        "starts with: [hood], fan: {speeds: {on: 500 cfm}}}",
    )
    (pushed,) = found(loads(text, "x.yaml"), "pushed_up")
    assert pushed.severity == "caution"
    assert pushed.value == pytest.approx(30.16, abs=0.01)  # 300 cfm net, network.md section 6 (closed form)
    assert pushed.message.startswith("Hood low; ")
    assert not found(loads(CHECK_HOUSE, "x.yaml"), "pushed_up")
