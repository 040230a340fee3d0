"""What tempering make-up air takes, against the general air formulas of the trade."""

from __future__ import annotations

import pytest

from airledger.quantities import in_units, text
from airledger.search.options import TEMPERED, all_options
from airledger.search.prices import heater_kilowatts, powered_flow
from airledger.search.slots import slots
from airledger.search.tempered import tempered_rows, tempered_sentence
from airledger.units import CFM
from tests.unit.search.houses import TWO_ROOMS, house


@pytest.fixture(scope="module")
def case():
    two = house(TWO_ROOMS)
    place = slots(two)
    return next(o for o in all_options(place, None) if o.family == TEMPERED), place, two


def test_the_heater_agrees_with_the_rule_of_1_08_per_cfm_and_degree(case):
    """Btu/h = 1.08 x cfm x F holds for air of 0.075 lb/ft3 (handbook rule, from memory); air at 20 F is denser."""
    summer, winter = tempered_rows(*case)
    flow = powered_flow(case[0], case[1]) / CFM
    rule = 1.08 * flow * (13.0 - (20.0 - 32.0) / 1.8) * 1.8 * 1055.06 / 3600
    assert winter["heater_w"] == pytest.approx(rule * (460 + 70) / (460 + 20), rel=0.015)
    assert summer["heater_w"] == 0.0


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
