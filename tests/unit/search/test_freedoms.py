"""What may differ in a house, choice for choice with its share of the year. All houses are invented."""

import pytest

from airledger.house.operating_state import ACH50, SEASON
from airledger.search.freedoms import Choice, Freedom, freedoms_of
from airledger.search.hours import boost_share, speed_share, use_share
from tests.unit.search.houses import ONE_ROOM, TWO_ROOMS, house
from tests.unit.search.test_proof_edges import RING, SITE


@pytest.fixture
def of_two_rooms():
    return {freedom.name: freedom for freedom in freedoms_of(house(TWO_ROOMS))}


def test_weather_and_tightness_come_first(of_two_rooms):
    assert list(of_two_rooms)[:2] == ["tightness", "season"]
    assert of_two_rooms["tightness"] == Freedom(
        "tightness",
        "tightness",
        (Choice("0.8 ACH50", ((ACH50, 0.8),)), Choice("1.6 ACH50", ((ACH50, 1.6),))),
    )
    season = of_two_rooms["season"]
    assert season.kind == "season"
    assert len(season.choices) > 1
    assert [choice.settings for choice in season.choices] == [((SEASON, float(i)),) for i in range(len(season.choices))]
    assert {choice.share for choice in season.choices} == {1 / len(season.choices)}


def test_an_inner_door_is_shut_a_third_of_the_year_and_a_window_is_no_matter_of_time(of_two_rooms):
    key = ("open", "bedroom door")
    assert of_two_rooms["bedroom door"] == Freedom(
        "bedroom door",
        "door",
        (Choice("bedroom door open", ((key, 1.0),), 1 - 8 / 24), Choice("bedroom door shut", ((key, 0.0),), 8 / 24)),
    )
    key = ("open", "kitchen window")
    assert of_two_rooms["kitchen window"] == Freedom(
        "kitchen window", "window", (Choice("", ((key, 0.0),)), Choice("kitchen window open", ((key, 1.0),)))
    )


def test_the_ventilator_runs_low_whenever_it_does_not_boost(of_two_rooms):
    ventilator, boost = of_two_rooms["ventilator"], boost_share(house(TWO_ROOMS))
    assert 0 < boost < 0.5
    assert (ventilator.kind, [choice.words for choice in ventilator.choices]) == (
        "ventilator",
        ["ERV off", "ERV low", "ERV boost"],
    )
    assert [choice.share for choice in ventilator.choices] == [None, 1 - boost, boost]


def test_a_machine_is_off_when_none_of_its_speeds_is_on(of_two_rooms):
    hood = next(exhaust for exhaust in house(TWO_ROOMS).exhausts if exhaust.name == "range hood")
    found = of_two_rooms["range hood"]
    assert (found.kind, [choice.words for choice in found.choices]) == (
        "machine",
        ["range hood off", "range hood low", "range hood high"],
    )
    assert [choice.share for choice in found.choices] == [1 - use_share(hood), speed_share(hood), speed_share(hood)]
    assert sum(choice.share for choice in found.choices) == pytest.approx(1.0)


def test_a_filter_is_clean_or_dirty():
    key = ("dirty", "opening filter")
    assert next(freedom for freedom in freedoms_of(house(SITE + RING)) if freedom.kind == "filter") == Freedom(
        "opening filter", "filter", (Choice("", ((key, 0.0),)), Choice("opening filter dirty", ((key, 1.0),)))
    )


def test_what_has_one_choice_is_left_out_but_for_weather_and_tightness():
    kinds = [freedom.kind for freedom in freedoms_of(house(ONE_ROOM))]
    assert kinds == ["tightness", "season", "machine"]
