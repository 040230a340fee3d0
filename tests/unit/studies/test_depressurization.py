"""How hard the house is pulled: named states with their range, the worst ones, what the findings say."""

from functools import partial

import numpy as np
import pytest

from airledger import runs
from airledger.quantities import in_units
from airledger.runs.work import HouseWork
from airledger.search.faults import failed, faults_of
from tests.unit.search.houses import GAS, ONE_ROOM, TWO_ROOMS, UNPICKED, house
from tests.unit.studies.outcomes import findings, outcome, table, tern


# network.md 6 (computed, closed form): 600 cfm in the reference house, no make-up: 87.62 Pa
def test_the_reference_house():
    rows = {row["state"]: row for row in table(outcome(ONE_ROOM), "depressurization", "named")}
    assert rows["range hood high"]["house_pressure_pa"] == pytest.approx(-87.62, abs=0.005)
    assert rows["range hood high"]["verdict"] == "past the limit"
    assert rows["everyday"]["verdict"] == "as wanted"


def test_a_range_holds_its_value():
    for row in table(tern(), "depressurization", "named"):
        assert row["low_pa"] <= row["house_pressure_pa"] <= row["high_pa"]
        assert row["worst_room_pressure_pa"] <= row["house_pressure_pa"] + 1e-9
    cooking = {row["state"]: row for row in table(tern(), "depressurization", "named")}["cooking"]
    assert cooking["low_pa"] < cooking["house_pressure_pa"] < cooking["high_pa"]


def test_every_room_and_door_has_its_worst_state():
    rows = table(outcome(TWO_ROOMS), "depressurization", "worst")
    assert [(row["target_kind"], row["target"]) for row in rows if row["kind"] == "normal"] == [
        ("house", "house"),
        ("room", "living"),
        ("room", "bedroom"),
        ("door", "entry door"),
        ("door", "bedroom door"),
    ]
    assert {row["state"] for row in rows if row["kind"] == "fault"} == {"ERV supply blocked", "ERV exhaust blocked"}


def test_the_states_of_the_run_are_those_of_the_table():
    found = outcome(TWO_ROOMS)
    names = {state.name: state for state in found.states}
    for row in table(found, "depressurization", "worst"):
        if row["target_kind"] == "house" and row["kind"] == "normal":
            assert names[row["state"]].house_pressure == row["pressure_pa"]
            assert names[row["state"]].why == row["why"]


def test_what_a_stiff_machine_really_moves_is_its_rating():
    rows = table(outcome(ONE_ROOM), "depressurization", "fans")
    assert [row["share_ratio"] for row in rows] == pytest.approx([1.0], abs=1e-4)


def test_what_a_machine_with_a_curve_really_moves_is_less():
    rows = {row["state"]: row for row in table(tern(), "depressurization", "fans")}
    assert rows["cooking"]["share_ratio"] < rows["cooking with the back door open"]["share_ratio"] < 1.0


def test_the_users_limit_fails_and_a_recalled_one_says_unconfirmed():
    mine = findings(outcome(ONE_ROOM), "worst_pull")[0]
    assert (mine.severity, mine.basis, mine.limit, mine.confirmed) == ("fail", "user", -10.0, True)
    assert "unconfirmed" not in mine.message
    recalled = findings(outcome(TWO_ROOMS), "worst_pull")[0]
    assert (recalled.severity, recalled.basis, recalled.confirmed) == ("fail", "practice", False)
    assert "unconfirmed" in recalled.message


def test_a_flue_past_its_limit_is_danger_and_stands_first():
    found = outcome(GAS)
    assert found.findings[0].severity == "danger"
    first = findings(found, "appliance_pull")[0]
    assert first.where == "water heater"
    assert "unconfirmed" in first.message
    assert "flue was taken as shut" in first.message
    assert all("pull −" not in in_units(f.message, "ip") for f in found.findings)  # a pull is a size: it has no sign
    assert "licensed" in first.action


def test_a_damper_that_sticks_is_danger_for_a_flue_even_if_the_rest_is_well():
    states = {finding.state for finding in findings(outcome(GAS), "appliance_pull")}
    assert "north opening stuck shut" in states


def test_hours_are_those_of_all_shares():
    row = table(outcome(ONE_ROOM), "depressurization", "worst")[0]
    assert row["hours_s"] == pytest.approx(0.046 * 8760 * 3600)


def test_a_hood_not_picked_that_no_fan_could_be_is_said_and_the_rest_goes_on():
    found = outcome(UNPICKED)
    beyond = findings(found, "no_fan_could")[0]
    assert beyond.severity == "fail"
    assert beyond.message.startswith("With range hood at its largest")
    assert found.headline.startswith("With range hood at its largest no fan could hold its flow")
    assert [row["state"] for row in table(found, "depressurization", "named")] == ["everyday", "dryer on"]
    assert table(found, "depressurization", "worst")[0]["pressure_pa"] > -1000
    assert found.search.solved == found.search.combinations == 8


def test_a_state_with_something_broken_is_a_caution():
    broken = GAS + "states: {stuck: {range hood: high, north opening: stuck shut}}\n"
    found = runs.study(house(broken), ("depressurization",))
    assert [(f.state, f.severity) for f in findings(found, "named_state_pull")] == [("stuck", "caution")]


def test_worst_states_are_ranked_by_pull_and_by_hours():
    rows = runs.study(house(TWO_ROOMS)).results["depressurization"].tables["worst"]
    normal = [row for row in rows if row["kind"] == "normal"]
    assert min(row["pull_rank"] for row in normal) == min(row["hours_rank"] for row in normal) == 1
    for one in normal:
        for other in normal:
            if one["pressure_pa"] < other["pressure_pa"]:
                assert one["pull_rank"] < other["pull_rank"]
            if one["hours_s"] > other["hours_s"]:
                assert one["hours_rank"] < other["hours_rank"]


def test_the_worst_of_a_fault_is_the_worst_of_every_combination_with_it():
    for found in (outcome(TWO_ROOMS), tern()):
        lent = HouseWork(found.house, {})
        listing = lent.survey().listing
        every = list(listing.chunks(None))
        for fault in faults_of(found.house):
            change = partial(failed, fault=fault)
            lowest = min(
                float(np.min(lent.solver(found.house)(listing.settings(part, change)).house_pressure()))
                for part in every
            )
            rows = table(found, "depressurization", "worst")
            told = next(row for row in rows if row["state"] == fault.name and row["target_kind"] == "house")
            assert told["pressure_pa"] == pytest.approx(lowest, abs=0.02)
            assert told["proof"] in ("all", "proved")
