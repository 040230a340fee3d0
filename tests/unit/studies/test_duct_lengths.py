"""How long the ducts of fans and dryers may be: IRC table M1504.2 and M1502 [published], beside the duct as drawn."""

from dataclasses import replace

import pytest

from airledger import runs
from airledger.quantities import in_units
from airledger.report import in_units as outcome_in_units
from airledger.report import sheets
from airledger.units import FOOT
from tests.unit.search.houses import house

HOUSE = """
house: Two fans and a dryer
site: {{place: "{place}"}}
envelope: {{tightness: 1.0 ach50}}
rooms:
  bath: {{area: 60 ft2, ceiling: 8 ft}}
  hall: {{area: 400 ft2, ceiling: 8 ft}}
openings:
  door: {{between: [bath, hall], leaf: 30 in x 80 in, undercut: 3/4 in}}
exhausts:
  bath fan: {{room: bath, speeds: {{on: {cfm} cfm}}, duct: {{size: {size}, made of: {made_of}}}, run: {run}}}
  dryer: {{room: hall, speeds: {{on: 125 cfm}}, duct: {{size: 4 in round}}, run: {dryer_run}}}
  hood: {{room: hall, speeds: {{on: 300 cfm}}, duct: {{size: 8 in round}}, run: [straight: 80 ft]}}
"""
RUN = "[straight: 20 ft, elbow: 90 deg, straight: 10 ft, elbow: 45 deg]"
USUAL = {"cfm": 100, "size": "5 in round", "made_of": "galvanized", "run": RUN, "dryer_run": "[straight: 20 ft]"}


def told(place="Albany, New York", **changes):
    found = runs.study(house(HOUSE.format(place=place, **(USUAL | changes))), ("local_exhaust",))
    ducts = {row["machine"]: row for row in found.results["local_exhaust"].tables["ducts"]}
    return ducts, {f.where: f for f in found.findings if f.code == "exhaust_duct_length"}


def test_a_fan_within_its_table():  # example 13: 100 cfm, smooth 5 in, two elbows: 91 - 30 = 61 ft
    ducts, findings = told()
    row, finding = ducts["bath fan"], findings["bath fan"]
    assert row["length_m"] / FOOT == pytest.approx(30)
    assert row["elbows"] == 2
    assert row["longest_m"] / FOOT == pytest.approx(61)
    assert (row["verdict"], finding.severity, finding.action) == ("within the table", "ok", "")
    words = in_units(finding.message, "ip")
    assert words == (
        "Bath fan: its duct is 30.0 ft with 2 elbows; at most 61.0 ft (IRC table M1504.2 (older M1506.2)): "
        "within the table."
    )


@pytest.mark.parametrize(
    ("changes", "longest"),
    [
        ({"size": "4 in round"}, 0.0),  # 10 - 30 ft: not allowed
        ({"made_of": "flex"}, 12.0),  # 42 - 30 ft
        ({"cfm": 150}, 0.0),  # 28 - 30 ft
        ({"run": "[straight: 92 ft]"}, 91.0),
        ({"size": "3 in round", "run": "[elbow: 90 deg]"}, 0.0),  # X: not at any length
    ],
)
def test_a_fan_past_its_table_may_still_be_measured(changes, longest):
    ducts, findings = told(**changes)
    assert ducts["bath fan"]["longest_m"] / FOOT == pytest.approx(longest)
    assert ducts["bath fan"]["verdict"] == "longer than the table lets it be"
    assert findings["bath fan"].severity == "unknown"
    assert "a flow measured at the grille, may stand instead" in findings["bath fan"].action


def test_no_limit_is_no_number():
    ducts, findings = told(cfm=50)
    assert (ducts["bath fan"]["longest_m"], ducts["bath fan"]["verdict"]) == (None, "no limit at this size")
    assert findings["bath fan"].limit is None


@pytest.mark.parametrize("changes", [{"cfm": 310}, {"size": "2 1/2 in round"}])
def test_what_the_table_does_not_speak_of_is_said(changes):
    ducts, findings = told(**changes)
    assert ducts["bath fan"]["verdict"] == "the table does not speak of it"
    assert findings["bath fan"].severity == "unknown"
    assert findings["bath fan"].source


def test_a_duct_that_is_not_round_counts_by_its_perimeter():  # footnote b: 4 A/P; 3 1/4 x 10 in is 4.9 in
    assert told(size="3 1/4 in x 10 in")[0]["bath fan"]["longest_m"] == 0.0  # as 4 in: 10 - 30 ft
    assert told(size="5 in x 5 in")[0]["bath fan"]["longest_m"] / FOOT == pytest.approx(61)


@pytest.mark.parametrize(
    ("run", "longest", "verdict"),
    [
        ("[straight: 20 ft, elbow: 90 deg, elbow: 90 deg]", 25.0, "within the table"),  # example 12
        ("[straight: 26 ft, elbow: 90 deg, elbow: 90 deg]", 25.0, "longer than the table lets it be"),
        ("[straight: 30 ft, elbow: 45 deg]", 32.5, "within the table"),
        ("[straight: 36 ft]", 35.0, "longer than the table lets it be"),
    ],
)
def test_a_dryers_duct(run, longest, verdict):
    ducts, findings = told(dryer_run=run)
    assert ducts["dryer"]["longest_m"] / FOOT == pytest.approx(longest)
    assert ducts["dryer"]["verdict"] == verdict
    assert ("dryer maker's instructions" in findings["dryer"].action) == verdict.startswith("longer")


def test_a_hood_is_none_of_the_tables():
    assert set(told()[0]) == {"bath fan", "dryer"}


def test_a_place_with_other_rules_is_not_held_to_these_and_one_not_looked_up_says_unconfirmed():
    assert told("Duluth, Minnesota") == ({}, {})
    ducts, findings = told("Springfield, Ohio")
    assert {row["confirmed"] for row in ducts.values()} == {"no"}
    assert all("unconfirmed here" in finding.message for finding in findings.values())
    assert {row["confirmed"] for row in told()[0].values()} == {"yes"}


def test_a_heat_pump_dryer_has_no_duct_to_judge():
    whole = house(HOUSE.format(place="Albany, New York", **USUAL))
    dry = tuple(replace(m, vented="heat pump") if m.kind == "dryer" else m for m in whole.exhausts)
    found = runs.study(replace(whole, exhausts=dry), ("local_exhaust",))
    assert [row["machine"] for row in found.results["local_exhaust"].tables["ducts"]] == ["bath fan"]


@pytest.mark.parametrize(
    ("place", "sentence"),
    [
        ("Albany, New York", "Of 7 rules looked at, 1 is open: duct of a fan, bath fan."),
        ("Springfield, Ohio", "Of 1 rules looked at, 1 is open: make-up air."),  # nothing was looked up there
    ],
)
def test_the_inspectors_page_holds_it_where_the_place_was_looked_up(place, sentence):
    found = outcome_in_units(runs.study(house(HOUSE.format(place=place, **(USUAL | {"made_of": "flex"})))), "ip")
    assert sheets.sheet_for("inspector", found, "ip").sentence == sentence
