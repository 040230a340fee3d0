"""Air in, air out: sides equal by weight, sources ranked, the ventilator's sign, the year by cause."""

from dataclasses import replace

import pytest

from airledger.house.house import Season, Site
from airledger.quantities import in_units
from airledger.studies.air_balance import _balance_verdict, climate
from airledger.units import FOOT
from tests.unit.search.houses import GAS, ONE_ROOM, TWO_ROOMS, house
from tests.unit.studies.outcomes import findings, outcome, table, tern


@pytest.mark.parametrize("text", [ONE_ROOM, TWO_ROOMS, GAS])
def test_both_sides_of_every_state_are_equal_by_weight(text):
    rows = table(outcome(text), "air_balance", "account")
    for state in {row["state"] for row in rows}:
        mine = [row for row in rows if row["state"] == state]
        sums = {side: sum(row["mass_flow_kgs"] for row in mine if row["side"] == side) for side in ("in", "out")}
        assert sums["in"] == pytest.approx(sums["out"], rel=1e-9)
        for side in ("in", "out"):
            assert sum(row["share_ratio"] for row in mine if row["side"] == side) == pytest.approx(1.0)
            flows = [row["mass_flow_kgs"] for row in mine if row["side"] == side]
            assert flows == sorted(flows, reverse=True)


def test_sources_are_ranked_and_make_the_whole():
    rows = [row for row in table(tern(), "air_balance", "sources") if row["state"] == "cooking"]
    shares = [row["share_ratio"] for row in rows]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) == pytest.approx(1.0, abs=0.005)
    assert any(row["source"].startswith("attic") for row in rows)


def test_while_the_hood_pulls_the_unit_runs_backwards():
    cooking = {row["state"]: row for row in table(tern(), "air_balance", "ventilator")}["cooking"]
    assert cooking["exhaust_m3s"] < 0
    assert cooking["verdict"] == "the exhaust stream runs backwards"
    assert cooking["balance_ratio"] is None  # a share of a stream that runs backwards says nothing
    everyday = {row["state"]: row for row in table(tern(), "air_balance", "ventilator")}["everyday"]
    assert everyday["verdict"] == "below the goal: too little in"  # the core cools, and shrinks, 70 cfm of hot air
    assert (everyday["goal_low_ratio"], everyday["goal_high_ratio"]) == (0.0, 0.10)


def test_a_house_without_ventilator_has_no_balance():
    assert table(outcome(ONE_ROOM), "air_balance", "ventilator") == ()


@pytest.mark.parametrize(
    ("outdoors", "dew_point", "word"),
    [(32.0, 25.0, "humid"), (-15.0, -20.0, "cold"), (12.0, 5.0, "neither")],
)
def test_the_sign_of_the_imbalance_follows_the_climate(outdoors, dew_point, word):
    season = Season("season", outdoors, dew_point, 21.0, 0.4)
    assert climate(replace(house(ONE_ROOM), site=Site(seasons=(season,)))) == word


def test_a_humid_summer_and_a_cold_winter_ask_for_both():
    two = (Season("summer", 32.0, 24.0, 24.0, 0.5), Season("winter", -10.0, -15.0, 20.0, 0.35))
    assert climate(replace(house(ONE_ROOM), site=Site(seasons=two))) == "both"


def test_the_year_by_cause_is_hours_times_what_the_machine_adds():
    rows = {row["cause"]: row for row in table(outcome(ONE_ROOM), "air_balance", "yearly_air")}
    hood = rows["range hood"]
    # one room, no opening: all of 600 cfm comes through the envelope, 4.6 % of the year
    assert hood["hours_s"] == pytest.approx(0.046 * 8760 * 3600)
    assert hood["air_m3"] == pytest.approx(hood["hours_s"] * 0.283168, rel=1e-3)
    assert rows["wind and stack"]["air_m3"] == pytest.approx(0.0, abs=1.0)
    assert findings(outcome(ONE_ROOM), "yearly_air")[0].message.startswith("Most of the year's air")


@pytest.mark.parametrize(
    ("supply", "exhaust", "goal", "verdict"),
    [
        (1.05, 1.0, (0.0, 0.1), "within the goal"),
        (0.995, 1.0, (0.0, 0.1), "even: the sign is left to chance"),
        (0.95, 1.0, (0.0, 0.1), "below the goal: too little in"),
        (1.2, 1.0, (0.0, 0.1), "above the goal: too much in"),
        (0.995, 1.0, (-0.05, 0.05), "within the goal"),
        (1.0, -0.2, (0.0, 0.1), "the exhaust stream runs backwards"),
        (-0.2, 1.0, (0.0, 0.1), "the supply stream runs backwards"),
        (0.0, 0.0, (0.0, 0.1), "off"),
    ],
)
def test_the_balance_in_words(supply, exhaust, goal, verdict):
    assert _balance_verdict(supply, exhaust, goal) == verdict


def test_a_unit_that_is_set_even_is_told_what_to_aim_for():
    finding = findings(tern(), "ventilator_balance")[0]
    assert finding.severity == "caution"
    assert "a humid climate asks for 0 to +10 %" in finding.message
    assert finding.action.endswith("aim for +3 to +7 %")


# Own arithmetic, tolerance 10 %: 25,000 ft3 house, fans that hold their flow, no stack, no wind. 10 cfm unequal all
# year 5.3 million ft3; 600 cfm of hood 10 min a day 2.2; a vented dryer of 125 cfm five hours a week 2.0.
CHECK_HOUSE = (
    ONE_ROOM.replace("speeds: {high: 600 cfm}}", "speeds: {high: 600 cfm}, use: 10 min/day}")
    .replace("make-up air: none", "  dryer: {room: house, speeds: {on: 125 cfm}}\nmake-up air: none")
    .replace(
        "exhausts:",
        "ventilator: {kind: erv, speeds: {low: {supply: 60 cfm, exhaust: 70 cfm}}, supplies: {house: 100 %}, "
        "takes from: {house: 100 %}}\nexhausts:",
    )
)
MILLION_CUBIC_FEET = 1e6 * FOOT**3


@pytest.mark.parametrize(
    ("cause", "million"),
    [("the ventilator's two streams not equal", 5.256), ("range hood", 2.19), ("dryer", 1.96)],
)
def test_the_year_of_the_check_house_is_flow_times_time(cause, million):
    rows = {row["cause"]: row for row in table(outcome(CHECK_HOUSE), "air_balance", "yearly_air")}
    assert rows[cause]["air_m3"] / MILLION_CUBIC_FEET == pytest.approx(million, rel=0.10)
    ranked = [row["cause"] for row in table(outcome(CHECK_HOUSE), "air_balance", "yearly_air")]
    assert ranked[:3] == ["the ventilator's two streams not equal", "range hood", "dryer"]
    told = in_units(findings(outcome(CHECK_HOUSE), "yearly_air")[0].message, "ip")
    assert told.startswith("Most of the year's air through the walls: the ventilator's two streams not equal 5.2")
