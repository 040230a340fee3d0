"""What machines really move, with both ends where only a rating is known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airledger import runs
from airledger.house.house import Exhaust
from airledger.io.house_file import loads
from airledger.search.capture import SHUT_OFF, least_flow
from airledger.units import CFM
from tests.houses import CHECK_HOUSE

HOOD = Exhaust("hood", "hood", "house", (("low", 300 * CFM), ("high", 600 * CFM)))

THREE_MACHINES = CHECK_HOUSE.replace(
    "  hood: {room: house, speeds: {high: 600 cfm}}",
    """  hood:
    {room: house, speeds: {high: 600 cfm}, fan curve: {at: high, points: [[0 cfm, 1 inwc], [600 cfm, 0.1 inwc]]}}
  dryer: {room: house, speeds: {on: 125 cfm}}
  old dryer: {kind: dryer, vented: heat pump, room: house}""",
).replace("  cooking: {hood: high}\n", "  cooking: {hood: high}\n  both: {hood: high, dryer: on}\n")


def test_at_rest_a_machine_moves_its_rating():
    rated = np.array([600.0, 300.0, 20.0]) * CFM
    assert least_flow(HOOD, rated, np.zeros(3)) == pytest.approx(rated)


def test_a_machine_rated_at_a_pressure_of_its_own_has_its_curve_through_that_point():
    """P = 250 - k Q2 through the rated point, closed form; its loss of flow is that of the steeper curve."""
    strong = replace(HOOD, rated=(600 * CFM, 100.0))
    flow = least_flow(strong, np.array([600.0]) * CFM, np.array([-50.0]))
    assert flow == pytest.approx(600 * CFM * np.sqrt((250 - 150) / (250 - 100)))


def test_a_rating_past_the_usual_shut_off_counts_as_one_close_to_it():
    """Nine tenths of 250 Pa leave a tenth; half of that is taken by 12.5 Pa: closed form."""
    beyond = replace(HOOD, rated=(600 * CFM, 400.0))
    flow = least_flow(beyond, np.array([600.0]) * CFM, np.array([-12.5]))
    assert flow == pytest.approx(600 * CFM * np.sqrt(0.5))


def test_the_harder_the_house_is_pulled_the_less_it_moves_down_to_nothing():
    pulled = -np.array([0.0, 20.0, 88.0, 200.0, 400.0])
    flows = least_flow(HOOD, np.full(5, 600 * CFM), pulled)
    assert (np.diff(flows) <= 0).all()
    assert flows[-1] == 0.0
    assert flows[2] == pytest.approx(600 * CFM * np.sqrt((1 - 113 / SHUT_OFF) / (1 - 25 / SHUT_OFF)))


def test_a_slower_machine_gives_up_sooner():
    low, high = least_flow(HOOD, np.array([300.0, 600.0]) * CFM, np.array([-40.0, -40.0]))
    assert low / (300 * CFM) < high / (600 * CFM)
    # fan laws: at half speed shut-off and rated pressure are a quarter, 62.5 and 6.25 Pa
    assert low == pytest.approx(300 * CFM * np.sqrt((62.5 - 6.25 - 40.0) / (62.5 - 6.25)))


def test_both_ends_stand_in_the_table():
    outcome = runs.study(loads(CHECK_HOUSE, "x.yaml"), ("depressurization",))
    (row,) = [r for r in outcome.results["depressurization"].tables["fans"] if r["state"] == "cooking"]
    assert row["real_m3s"] == pytest.approx(600 * CFM)
    assert 0.5 < row["low_m3s"] / row["real_m3s"] < 0.9
    assert row["known_by"].startswith("its rating")


def test_a_row_a_machine_that_runs_state_by_state_and_a_curve_is_believed():
    """A heat-pump dryer blows nothing out: it has no row."""
    outcome = runs.study(loads(THREE_MACHINES, "x.yaml"), ("depressurization",))
    rows = outcome.results["depressurization"].tables["fans"]
    assert [(row["state"], row["machine"]) for row in rows] == [
        ("cooking", "hood"),
        ("both", "hood"),
        ("both", "dryer"),
        ("cooking with the back door open", "hood"),
    ]
    for row in rows:
        assert row["share_ratio"] == pytest.approx(row["real_m3s"] / row["rated_m3s"])
        curve = row["machine"] == "hood"
        assert row["known_by"] == ("its curve" if curve else "its rating: real if it holds its flow")
        assert row["rated_m3s"] == pytest.approx((600 if curve else 125) * CFM)
        assert (row["low_m3s"] == row["real_m3s"]) is curve


def test_openings_that_take_most_of_the_tested_leakage_are_a_caution():
    text = CHECK_HOUSE.replace(
        "make-up air: none",
        "make-up air:\n  hole: {into: house, duct: {size: 8 in round}, run: [loss: 3], damper: none}",
    )
    outcome = runs.study(loads(text, "x.yaml"), ("air_balance",))
    (finding,) = [f for f in outcome.findings if f.code == "little_left"]
    assert finding.severity == "caution"
    assert 0.0 < finding.value < 0.4
    assert not [
        f for f in runs.study(loads(CHECK_HOUSE, "x.yaml"), ("air_balance",)).findings if f.code == "little_left"
    ]


def test_a_machine_in_a_shut_room_feels_the_pull_of_its_own_room():
    text = (
        CHECK_HOUSE.replace("rooms: {house: {", "rooms: {kitchen: {area: 200 ft2, ceiling: 10 ft}, house: {")
        .replace("hood: {room: house", "hood: {room: kitchen")
        .replace("openings:\n", "openings:\n  kitchen door: {between: [kitchen, house], leaf: 30 in x 80 in}\n")
        .replace("  cooking: {hood: high}\n", "  cooking: {hood: high}\n  shut in: {hood: high, kitchen door: shut}\n")
    )
    outcome = runs.study(loads(text, "x.yaml"), ("depressurization",))
    low = {r["state"]: r["low_m3s"] for r in outcome.results["depressurization"].tables["fans"]}
    assert low["shut in"] < 0.98 * low["cooking"]
