"""Beside the pull: wind on the worst state, and a house that is pushed up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airledger import runs
from airledger.findings import Finding
from airledger.io.house_file import loads
from airledger.quantities import in_units
from airledger.runs.work import HouseWork
from airledger.search import beside
from airledger.search.worst import Worst
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


def survey(*pressures, refused=()):
    """The combinations of the check house with house pressures as given, highest machine last."""
    found = HouseWork(loads(CHECK_HOUSE, "x.yaml"), {}).survey()
    size = len(found.house)
    counted = np.array([place in refused for place in range(size)])
    return replace(found, house=np.array([*pressures, *[-1.0] * size][:size]), refused=counted)


def told(found, monkeypatch, added=None):
    monkeypatch.setattr(beside, "wind_range", lambda *_: added)
    return beside.beside_the_pull("depressurization", found, None, Worst("house", "house", -40.0, 0))


def test_the_wind_is_told_as_a_range_around_the_worst_state(monkeypatch):
    (finding,) = told(survey(-40.0), monkeypatch, added=(-3.0, 2.0))
    assert in_units(finding.message, "ip") == (
        "A 15 mph wind (assumed: the file gives none) adds −3.0 Pa to 2.0 Pa to the worst state, by the side it blows "
        "from; limits are judged without it. A gust moves the gauge as far within seconds."
    )
    assert replace(finding, message="") == Finding(
        study="depressurization",
        code="wind_range",
        severity="ok",
        basis="practice",
        where="house",
        state="worst for the house",
        message="",
        action="read the gauge on a calm day: where it swings that far, come back another day",
        source="common practice",
        confirmed=False,
        value=-40.0,
        low=-43.0,
        high=-38.0,
        limit=None,
        unit="Pa",
    )


def test_a_wind_that_only_pulls_leaves_the_calm_state_as_the_upper_end(monkeypatch):
    (finding,) = told(survey(-40.0), monkeypatch, added=(-3.0, -1.0))
    assert (finding.low, finding.value, finding.high) == (-43.0, -40.0, -40.0)


def test_what_pushes_the_house_up_is_told_with_its_limit_and_its_cure(monkeypatch):
    found = survey(-40.0, 12.5)
    (finding,) = told(found, monkeypatch)
    why = found.listing.why(int(found.numbers[1]))
    assert finding == Finding(
        study="depressurization",
        code="pushed_up",
        severity="caution",
        basis="practice",
        where="house",
        state=why,
        message=f"{why[0].upper()}{why[1:]}: the house is pushed up to {beside.pascals(12.5)}. Indoor air goes into "
        "the walls, and a door that swings in is hard to open.",
        action="let the make-up fan follow the machines' speed, or give it a relief opening",
        source="common practice",
        confirmed=False,
        value=12.5,
        low=12.5,
        high=12.5,
        limit=10.0,
        unit="Pa",
    )


def test_a_combination_that_cannot_be_computed_pushes_nothing_up(monkeypatch):
    assert told(survey(-40.0, 900.0, refused=(1,)), monkeypatch) == []


@pytest.mark.parametrize(("highest", "count"), [(9.9, 0), (10.0, 0), (10.1, 1)])
def test_a_house_is_pushed_up_above_ten_pascals(monkeypatch, highest, count):
    assert len(told(survey(-40.0, highest), monkeypatch)) == count
