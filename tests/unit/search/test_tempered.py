"""What tempering make-up air takes, against the general air formulas of the trade."""

from __future__ import annotations

import pytest

from airledger.quantities import in_units, text
from airledger.search.options import TEMPERED, all_options
from airledger.search.prices import heater_kilowatts, parts_of, powered_flow
from airledger.search.slots import slots
from airledger.search.tempered import tempered_rows, tempered_sentence
from airledger.units import CFM
from tests.unit.search.houses import TWO_ROOMS, house

WINTER = "{outdoors: 20 F, dew point: 10 F, indoors: 70 F, humidity: 35 %}"
SUMMER = "{outdoors: 90 F, dew point: 76 F, indoors: 75 F, humidity: 50 %}"


def case_of(written):
    two = house(written)
    place = slots(two)
    return next(o for o in all_options(place, None) if o.family == TEMPERED), place, two


@pytest.fixture
def case():
    return case_of(TWO_ROOMS)


def test_the_heater_agrees_with_the_rule_of_1_08_per_cfm_and_degree(case):
    """Btu/h = 1.08 x cfm x F holds for air of 0.075 lb/ft3 (handbook rule, from memory); air at 20 F is denser."""
    summer, winter = tempered_rows(*case)
    flow = powered_flow(case[0], case[1]) / CFM
    rule = 1.08 * flow * (13.0 - (20.0 - 32.0) / 1.8) * 1.8 * 1055.06 / 3600
    assert winter["heater_w"] == pytest.approx(rule * (460 + 70) / (460 + 20), rel=0.015)
    assert summer["heater_w"] == 0.0
    assert summer["make_up_m3s"] == winter["make_up_m3s"] == pytest.approx(625 * CFM)  # hood and dryer at once


def test_summer_air_brings_water_and_heat_as_the_rules_of_0_68_and_1_08_have_it(case):
    """Latent Btu/h = 0.68 x cfm x grains (handbook rule, from memory); 76 F dew point 135 gr, 75 F at 50 % 65 gr."""
    summer, _ = tempered_rows(*case)
    flow = powered_flow(case[0], case[1]) / CFM
    assert summer["latent_w"] == pytest.approx(0.68 * flow * (135 - 65) * 1055.06 / 3600, rel=0.06)
    assert summer["sensible_w"] == pytest.approx(1.08 * flow * 15 * 1055.06 / 3600, rel=0.06)


def test_the_words_name_the_heater_and_its_circuit(case):
    kilowatts = heater_kilowatts(powered_flow(case[0], case[1]), case[2])
    words = tempered_sentence(*case)
    amperes = int(words.split(" kW, ")[1].split(" A at 240 V")[0])
    assert f"{kilowatts:.0f} kW, {amperes} A at 240 V" in words
    assert 0 <= amperes - 1000 * kilowatts / 240 < 1  # a circuit is never told smaller than the heater draws
    assert "a heater takes none of that out" in words


# closed form: what the air lacks to the room, less what the heater gives it
def test_the_rest_of_the_way_is_told_too(case):
    _, winter = tempered_rows(*case)
    rest = -winter["sensible_w"] - winter["heater_w"]
    assert rest > 0
    assert f"{text(rest, 'heat flow', 'ip')} more falls to the house's own heating" in in_units(
        tempered_sentence(*case), "ip"
    )


def test_the_whole_of_what_tempering_takes(case):
    """7,733 W of 1.08 x 625 cfm x 35.4 F x 530/480; 403 h are 4.6 % of the year, 3,116 kWh are 7.733 kW x 403 h."""
    assert in_units(tempered_sentence(*case), "si") == (
        "Tempering 295 L/s of make-up air takes 7,733 W on the coldest design day, which brings it to 13.0 C and no "
        "further; 3,189 W more falls to the house's own heating. That is a heater of 8 kW, 34 A at 240 V, at most "
        "3,116 kWh a year (that day held for 403 h of use). In summer it brings 2,871 W of heat and 12.11 kg/h of "
        "water; a heater takes none of that out."
    )


@pytest.mark.parametrize("outdoors", ["40 F", "20 F", "0 F", "-20 F", "-40 F"])
@pytest.mark.parametrize("elevation", ["0 ft", "7000 ft"])
def test_the_heater_is_never_smaller_than_what_it_has_to_give(outdoors, elevation):
    """Cold air is heavier: at -40 F a heater sized at 1.2 kg/m3 lacks a fifth."""
    cold = TWO_ROOMS.replace(WINTER, WINTER.replace("20 F", outdoors).replace("10 F", "-45 F"))
    option, place, two = case_of(cold.replace("elevation: 0 ft", f"elevation: {elevation}"))
    need = max(row["heater_w"] for row in tempered_rows(option, place, two))
    kilowatts = heater_kilowatts(powered_flow(option, place), two)
    assert 0 <= 1000 * kilowatts - need < 1000
    (bought,) = [part for part in parts_of(option, place, two) if part.item == "tempering heater"]
    assert bought.count == kilowatts


def test_thin_air_takes_less_heat():
    """At 7,000 ft the barometer stands at 78.2 kPa, 77 % of sea level (ICAO standard atmosphere, published)."""
    _, low = tempered_rows(*case_of(TWO_ROOMS))
    _, high = tempered_rows(*case_of(TWO_ROOMS.replace("elevation: 0 ft", "elevation: 7000 ft")))
    assert high["heater_w"] / low["heater_w"] == pytest.approx(0.772, abs=0.002)


def test_where_it_is_never_cold_there_is_no_heater_and_the_wettest_season_is_told():
    mild = TWO_ROOMS.replace(WINTER, "{outdoors: 62 F, dew point: 60 F, indoors: 70 F, humidity: 35 %}")
    mild = mild.replace(SUMMER, "{outdoors: 100 F, dew point: 40 F, indoors: 75 F, humidity: 50 %}")
    words = in_units(tempered_sentence(*case_of(mild)), "si")
    assert words.startswith("Tempering 295 L/s of make-up air takes no heater on the coldest design day. In winter it ")
    assert words.endswith("of water; a heater takes none of that out.")


def test_a_house_no_warmer_than_the_heater_makes_its_air_has_no_rest_to_tell():
    """A workshop kept at 13 C, to which the heater brings the air."""
    cool = TWO_ROOMS.replace(WINTER, WINTER.replace("70 F", "13 C"))
    words = in_units(tempered_sentence(*case_of(cool)), "si")
    assert "which brings it to 13.0 C and no further. That is a heater of 8 kW" in words


def test_a_heater_that_draws_whole_amperes_is_told_those():  # 12 kW at 240 V are 50 A
    big = TWO_ROOMS.replace("high: 500 cfm", "high: 800 cfm")
    assert " heater of 12 kW, 50 A at 240 V, " in tempered_sentence(*case_of(big))


def test_the_year_is_bounded_by_the_machine_that_runs_longest():
    """A dryer used 20 hours a week runs 1,043 hours, longer than the hood's 403."""
    busy = TWO_ROOMS.replace("speeds: {on: 125 cfm}", "speeds: {on: 125 cfm}, use: 20 h/week")
    option, place, two = case_of(busy)
    need = max(row["heater_w"] for row in tempered_rows(option, place, two))
    told = f"at most {need / 1000 * 20 * 8760 / 168:,.0f} kWh a year (that day held for 1,043 h of use)"
    assert told in tempered_sentence(option, place, two)
