"""A house from answers: what was said is there, and what was not said is listed as assumed."""

import pytest

from airledger.house.answers import Answers, Pull, SaidVentilator
from airledger.house.from_answers import house_from_answers
from airledger.house.house import Appliance
from airledger.uncertain import Uncertain
from airledger.units import CFM, FOOT

HOOD, DRYER = Pull("range hood", "hood", not_picked=1200 * CFM), Pull("dryer", "dryer")


def made(**more):
    given = {"place": "Homestead, Florida", "floor_area": 2500 * FOOT**2, "exhausts": (HOOD, DRYER), "appliances": ()}
    return house_from_answers(Answers(**{**given, **more}))


def paths(found):
    return {assumption.path for assumption in found.assumed}


def test_the_volume_is_floor_area_times_ceiling():
    assert made(ceiling=10 * FOOT).house.volume == pytest.approx(25_000 * FOOT**3)


def test_each_default_is_listed_and_what_was_said_is_not():
    silent = paths(made())
    assert {"envelope / tightness", "rooms / house / ceiling", "people / bedrooms", "exhausts / dryer / flow"} <= silent
    said = paths(
        made(ceiling=3.0, bedrooms=4, tightness=Uncertain(0.7, 0.9, 1.2), exhausts=(Pull("dryer", "dryer", (0.06,)),))
    )
    assert not said & {
        "envelope / tightness",
        "rooms / house / ceiling",
        "people / bedrooms",
        "exhausts / dryer / flow",
    }


def test_every_assumption_has_a_why_and_a_source():
    for assumption in made(ventilator=SaidVentilator("erv")).assumed:
        assert assumption.why
        assert assumption.source.text


def test_a_hood_not_picked_stays_open():
    hood = made().house.exhausts[0]
    assert hood.speeds == ()
    assert hood.not_picked == pytest.approx(1200 * CFM)


def test_a_regular_dryer_moves_150_cfm():  # common practice, no source: 125 to 150 (100 to 200)
    assert made().house.exhausts[1].speeds == (("on", pytest.approx(150 * CFM)),)


def test_a_heat_pump_dryer_moves_no_air():
    house = made(exhausts=(Pull("dryer", "dryer", vented="heat pump"),)).house
    assert house.exhausts[0].speeds == ()
    assert house.exhausts[0].vented == "heat pump"


def test_an_unsaid_vent_is_natural_draft_until_shown():
    found = made(appliances=(Appliance("fireplace", "fireplace", burns="gas"),))
    assert found.house.appliances[0].vents == "natural draft"
    assert any("danger until shown" in assumption.why for assumption in found.assumed)


def test_an_open_fireplace_brings_its_flue_so_that_the_pull_on_it_is_judged():
    house = made(exhausts=(Pull("fireplace", "open fireplace"),)).house
    assert [(a.burns, a.vents) for a in house.appliances] == [("wood", "natural draft")]


def test_a_glass_fireplace_among_the_exhausts_counts_as_burning_inside():
    house = made(exhausts=(Pull("fireplace", "glass fireplace"),)).house
    assert house.exhausts == ()
    assert house.appliances[0].vents == "natural draft"


def test_the_everyday_rate_is_that_of_the_standard():
    # ANSI/ASHRAE 62.2-2013 and later [published, restated]: 0.03 x 2500 + 7.5 x (3 + 1) = 105 cfm
    low = made(ventilator=SaidVentilator("erv", (200 * CFM,))).house.ventilator.speeds[0]
    assert low.supply == pytest.approx(105 * CFM)
    assert low.supply == low.exhaust


def test_humid_and_cold_places_get_their_air_and_others_none():
    assert made().house.site.seasons[0].outdoor_dew_point > 18
    assert made(place="Duluth, MN").house.site.seasons[1].outdoor_temperature < -10
    assert made(place="Reno, Nevada").house.site.seasons == ()
    assert made(place="").house.name == "House in a place not named"


def test_leaks_reach_the_top_of_the_last_storey():
    leaks = made(storeys=2, ceiling=9 * FOOT).house.envelope.leaks
    assert max(leak.height for leak in leaks) == pytest.approx(18 * FOOT)
    assert sum(leak.share for leak in leaks) == pytest.approx(1.0)


def test_the_states_name_only_what_the_house_has():
    assert [state.name for state in made().house.states] == ["drying", "cooking", "cooking and drying"]
    assert [s.name for s in made(exhausts=(), ventilator=SaidVentilator("erv")).house.states] == ["everyday"]
