"""What burns inside: judged by the change that fans make; danger first; no volume where it is not allowed."""

import pytest

from airledger import report, runs
from airledger.io.house_file import loads
from tests.unit.search.combustion_houses import FIREPLACE, SEALED, WINTER_BASEMENT
from tests.unit.search.houses import BARE, GAS, house
from tests.unit.studies.outcomes import findings, outcome, table

STUDY = "combustion_safety"


def pulls(text):
    return {row["state"]: row for row in table(outcome(text), STUDY, "appliances")}


def test_a_winter_basement_is_in_no_danger_with_every_fan_off():
    """Stack alone pulls it 6 Pa below outdoors; limits are for the change that fans make."""
    row = pulls(WINTER_BASEMENT)["every fan off"]
    assert row["absolute_pa"] == pytest.approx(-6.0, abs=0.5)
    assert row["absolute_pa"] < row["limit_pa"] == -2.0
    assert row["fans_off_pa"] == row["absolute_pa"]
    assert (row["change_pa"], row["verdict"]) == (0.0, "within")
    assert not [f for f in findings(outcome(WINTER_BASEMENT), "appliance_pull_named") if f.state == "every fan off"]


def test_the_same_basement_is_in_danger_with_a_fan_on():
    """Net of stack: 50 Pa (Q / Q50)^(1/n), power law, closed form; 80 cfm of room air against a tested 247.5 cfm.

    What comes in is colder than at the test: densities 1.413 and 1.204 kg/m3, viscosities 1.60e-5 and 1.81e-5 Pa s of
    dry air at -23 and 20 C [handbook values].
    """
    row = pulls(WINTER_BASEMENT)["a fan"]
    cold = (1.204 / 1.413) ** (1 - 0.65) * (1.81 / 1.60) ** (2 * 0.65 - 1)
    share = 80 * (1.204 / 1.413) / (247.5 * cold)
    assert row["change_pa"] == pytest.approx(-50 * share ** (1 / 0.65), rel=0.02)
    assert row["verdict"] == "danger"
    assert row["absolute_pa"] == pytest.approx(row["change_pa"] + row["fans_off_pa"], rel=1e-9)
    (found,) = [f for f in findings(outcome(WINTER_BASEMENT), "appliance_pull_named") if f.state == "a fan"]
    assert (found.severity, found.limit, found.confirmed) == ("danger", -2.0, False)
    assert "unconfirmed" in found.message
    assert found.action.startswith("do not light it")


def test_a_fan_within_the_limit_is_no_danger_though_the_basement_stands_far_below_outdoors():
    row = pulls(WINTER_BASEMENT)["a small fan"]
    assert -2.0 < row["change_pa"] < -0.5
    assert row["absolute_pa"] < -6.0
    assert row["verdict"] == "within"


def test_the_worst_is_that_of_house_pressure_and_told_once():
    found = outcome(WINTER_BASEMENT)
    (worst,) = [row for row in table(found, STUDY, "appliances") if row["found"] == "worst found"]
    (other,) = [row for row in table(found, "depressurization", "worst") if row["target"] == "water heater"]
    assert worst["change_pa"] == pytest.approx(other["pressure_pa"], rel=1e-9)
    assert (worst["state"], worst["why"], worst["hours_s"]) == (other["state"], other["why"], other["hours_s"])
    told = [f for f in found.findings if f.where == "water heater" and f.state == worst["state"]]
    assert [f.study for f in told] == [STUDY]


def test_house_pressure_alone_still_tells_the_danger():
    alone = runs.study(house(WINTER_BASEMENT), ("depressurization",))
    assert [f.severity for f in findings(alone, "appliance_pull")] == ["danger"]


def test_a_fault_that_says_more_is_still_told():
    assert "north opening stuck shut" in {f.state for f in findings(outcome(GAS), "appliance_pull")}


@pytest.mark.parametrize("system", ["ip", "si"])
def test_danger_stands_first_on_the_screen_in_the_papers_and_in_the_json(system):
    found = outcome(WINTER_BASEMENT)
    assert found.findings[0].severity == "danger"
    assert report.summary(found, system).startswith("DANGER")
    assert report.json_text(found, system).index('"danger"') < report.json_text(found, system).index(
        '"severity": "caution"'
    )


def test_the_cold_flue_draws_in_winter_and_the_fans_turn_it_around():
    """24 ft of room air at 60 F or so against -10 F draws some 15 Pa (stack); 9 Pa of fans leave it upwards."""
    rows = {row["state"]: row for row in table(outcome(WINTER_BASEMENT), STUDY, "open_flue")}
    assert rows["every fan off"]["cold_draft_pa"] == pytest.approx(9.81 * 7.315 * (1.413 - 1.204), rel=0.03)
    assert rows["every fan off"]["goes"] == "up the flue"
    assert rows["a fan"]["flow_m3s"] < rows["every fan off"]["flow_m3s"]
    strong = WINTER_BASEMENT.replace("high: 80 cfm", "high: 200 cfm")
    turned = {row["state"]: row for row in table(outcome(strong), STUDY, "open_flue")}
    assert (turned["a fan"]["goes"], turned["a fan"]["fans_off_goes"]) == ("down the flue", "up the flue")
    assert "a fan" in findings(outcome(strong), "flue_turned")[0].message


def test_a_flue_that_falls_by_itself_is_not_said_to_be_turned_by_the_fans():
    warm = WINTER_BASEMENT.replace("outdoors: -10 F, dew point: -15 F", "outdoors: 90 F, dew point: 60 F")
    found = outcome(warm)
    assert {row["fans_off_goes"] for row in table(found, STUDY, "open_flue")} == {"down the flue"}
    assert findings(found, "flue_turned") == []
    (told,) = findings(found, "flue_without_draft")
    assert (told.severity, told.where) == ("caution", "water heater")


def test_an_open_flue_is_part_of_what_was_tested():
    """The rest of the house is the tighter for it; the flue's own draft holds back what it would let in."""
    strong = WINTER_BASEMENT.replace("high: 80 cfm", "high: 200 cfm")
    found = outcome(strong)
    shut = {row["state"]: row["absolute_pa"] for row in table(found, STUDY, "appliances")}
    opened = {row["state"]: row["room_pa"] for row in table(found, STUDY, "open_flue")}
    assert opened["a fan"] < shut["a fan"]
    assert opened["a fan"] == pytest.approx(shut["a fan"], rel=0.25)


def test_a_flue_without_its_size_is_not_opened():
    assert (
        table(outcome(WINTER_BASEMENT.replace(", flue: {size: 4 in round, height: 24 ft}", "")), STUDY, "open_flue")
        == ()
    )


def test_a_flue_that_passes_more_than_the_house_was_tested_to_leak_is_told_not_solved():
    found = outcome(WINTER_BASEMENT.replace("1.0 ach50", "0.1 ach50"))
    assert table(found, STUDY, "open_flue") == ()
    assert [f.severity for f in findings(found, "open_flue")] == ["unknown"]


def test_an_open_fireplace_is_judged_with_its_own_draw():
    found = outcome(FIREPLACE)
    (worst,) = [row for row in table(found, STUDY, "appliances") if row["found"] == "worst found"]
    assert (worst["appliance"], worst["limit_pa"], worst["limit_tag"]) == ("fireplace", -5.0, "practice")
    assert "fireplace lit, bath fan on" in worst["why"]
    assert worst["verdict"] == "danger"
    fan = table(outcome(FIREPLACE.replace("1.5 ach50", "20 ach50")), STUDY, "appliances")
    assert {row["verdict"] for row in fan} == {"within"}


def test_a_wood_appliance_in_its_room_stands_for_the_fireplace():
    both = FIREPLACE + "appliances: {stove: {burns: wood, vents: natural draft, room: living}}\n"
    assert {row["appliance"] for row in table(outcome(both), STUDY, "appliances")} == {"stove"}


def test_what_takes_no_air_of_the_room_is_told_apart():
    found = outcome(SEALED)
    assert table(found, STUDY, "appliances") == ()
    assert {row["appliance"]: row["vents"] for row in table(found, STUDY, "apart")} == {
        "furnace": "direct vent",
        "cooktop": "none",
    }
    assert table(found, STUDY, "burner_room") == ()


def test_a_tight_house_may_not_use_the_standard_volume():
    rows = table(outcome(WINTER_BASEMENT), STUDY, "burner_room")
    assert [row["method"] for row in rows] == ["standard volume", "known leakage"]
    assert rows[0]["verdict"].startswith("not allowed")
    assert rows[1]["verdict"] == "air must come from outdoors"
    (found,) = findings(outcome(WINTER_BASEMENT), "burner_room")
    assert found.severity == "caution"
    assert "the gas official and a licensed installer decide" in found.action


def test_a_leaky_house_may():
    """10 air changes at 50 Pa: about 0.5 an hour; 6,750 ft3 of basement against 2,000 ft3."""
    rows = table(outcome(WINTER_BASEMENT.replace("1.0 ach50", "10 ach50")), STUDY, "burner_room")
    assert [row["verdict"] for row in rows] == ["large enough", "large enough"]


def test_openings_to_outdoors_are_listed_for_the_whole_input():
    rows = table(outcome(WINTER_BASEMENT), STUDY, "openings")
    assert [(row["count"], round(row["each_free_m2"] / 0.0254**2, 1)) for row in rows] == [
        (2, 10.0),
        (2, 20.0),
        (1, 13.3),
    ]


def test_an_input_that_nobody_told_leaves_the_volume_open():
    found = outcome(WINTER_BASEMENT.replace(" input: 40000 Btu/h,", ""))
    assert [f.severity for f in findings(found, "burner_room")] == ["unknown"]
    assert table(found, STUDY, "openings") == ()


@pytest.mark.parametrize("text", [BARE, WINTER_BASEMENT, SEALED])
def test_the_last_word_is_never_missing(text):
    (found,) = findings(outcome(text), "still_test")
    assert "does not replace a combustion test or a carbon monoxide alarm" in found.message
    assert "tested for radon" in found.message


def test_a_range_of_tightness_is_judged_at_its_tight_end():
    wide = WINTER_BASEMENT.replace("1.0 ach50", "1.0 to 4 ach50 (likely 2)").replace("low: 20 cfm", "low: 40 cfm")
    row = {row["state"]: row for row in runs.study(loads(wide), (STUDY,)).results[STUDY].tables["appliances"]}[
        "a small fan"
    ]
    assert row["deepest_change_pa"] <= row["change_pa"] <= row["mildest_change_pa"]
    assert row["change_pa"] > -2.0 > row["deepest_change_pa"]
    assert row["verdict"] == "danger"
