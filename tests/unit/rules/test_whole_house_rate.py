"""Whole-house rates, credits, local exhaust: the traps, limiting cases, what is refused. Printed values: cases/."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import InputError, OutOfRange
from airledger.rules.infiltration_credit import (
    EDITIONS,
    NO_FAN_BELOW,
    Leaking,
    annual_infiltration_short,
    fan_rate,
)
from airledger.rules.local_exhaust import california_hood, exhaust_keys, existing_deficit, local_exhaust
from airledger.rules.whole_house_rate import (
    HouseFacts,
    cycle_effectiveness,
    cycle_turnover,
    intermittent_factor,
    rate_keys,
    reduced_rate,
    whole_house_rate,
)
from airledger.units import CFM, FOOT

areas = st.floats(30.0, 900.0)
bedrooms = st.integers(1, 5)


@given(areas, bedrooms)
def test_the_table_is_never_below_the_formula(area, rooms):
    facts = HouseFacts(area, rooms)
    assert whole_house_rate("irc table", facts).flow >= whole_house_rate("irc", facts).flow - 1e-12 or area > 836


@given(st.sampled_from(rate_keys()), areas, st.floats(1.0, 2.0), bedrooms)
def test_a_bigger_house_and_one_more_bedroom_never_need_less(key, area, larger, rooms):
    one = whole_house_rate(key, HouseFacts(area, rooms)).flow
    assert whole_house_rate(key, HouseFacts(area * larger, rooms)).flow >= one - 1e-12
    if rooms < 5:
        assert whole_house_rate(key, HouseFacts(area, rooms + 1)).flow >= one - 1e-12


@pytest.mark.parametrize("key", rate_keys())
def test_every_answer_carries_code_edition_and_section(key):
    told = whole_house_rate(key, HouseFacts(220.0, 3))
    assert told.code and told.edition and told.section and told.source.name  # noqa: PT018 - one thing: it can be cited
    assert told.formula
    assert told.flow > 0


def test_the_formula_is_told_with_its_numbers():
    house = HouseFacts(2400 * FOOT**2, 3)
    assert whole_house_rate("irc", house).formula == "0.01 x 2,400 ft2 + 7.5 x (3 + 1) = 54 cfm"
    small, large = HouseFacts(1200 * FOOT**2, 3), HouseFacts(3000 * FOOT**2, 3)
    assert whole_house_rate("manufactured home", small).formula == "0.035 x 1,200 ft2 = 42 cfm, raised to 50 cfm"
    assert whole_house_rate("manufactured home", large).formula == "0.035 x 3,000 ft2 = 105 cfm, held to 90 cfm"
    told = whole_house_rate("ireland", HouseFacts(60.0, 3, 4)).formula
    assert told == "5 + 4 x 4 people = 21 L/s; 0.3 x 60 m2 = 18 L/s; the larger"


def test_one_rule_counts_a_bedroom_where_there_is_none_and_another_does_not():
    studio = HouseFacts(50.0, 0)
    assert whole_house_rate("62.2-2013", studio).flow == whole_house_rate("62.2-2013", HouseFacts(50.0, 1)).flow
    assert whole_house_rate("irc", studio).flow < whole_house_rate("irc", HouseFacts(50.0, 1)).flow
    three = HouseFacts(200.0, 3)
    assert whole_house_rate("minnesota total", three).flow / CFM == pytest.approx(0.02 * 200 / FOOT**2 + 15 * 4)


@given(st.booleans(), st.booleans(), st.booleans())
def test_the_reduction_needs_every_condition(balanced, rooms, living):
    rate = reduced_rate(100.0, balanced, rooms, living)
    assert rate == (pytest.approx(70.0) if balanced and rooms and living else 100.0)


def test_people_count_where_they_are_told():
    assert (
        whole_house_rate("ireland", HouseFacts(40.0, 3, 6)).flow > whole_house_rate("ireland", HouseFacts(40.0, 3)).flow
    )


@pytest.mark.parametrize("share", [0.2, 0.0, 1.01, math.nan])
def test_the_factor_is_never_carried_beyond_its_table(share):
    with pytest.raises(OutOfRange, match="share of the time"):
        intermittent_factor(share)


def test_between_two_shares_the_factor_is_straight():
    assert intermittent_factor(0.29) == pytest.approx(3.5)
    assert intermittent_factor(0.875) == pytest.approx(1.15)


@given(st.floats(0.05, 3.0), st.floats(0.05, 1.0))
def test_spread_evenly_is_whole_and_short_cycles_nearly_so(changes, share):
    assert cycle_effectiveness(changes, 1.0) == 1.0
    found = cycle_effectiveness(changes, share)
    if found is not None:
        assert 0 < found <= 1 + 1e-9
    short = cycle_effectiveness(0.01, share)
    assert short == pytest.approx(1.0, abs=0.01)


# independent witness: a constant source with the fan on and off, stepped to its cycle (exact exponentials, numpy)
@pytest.mark.parametrize(("changes", "share"), [(1.0, 0.25), (2.0, 0.5), (3.0, 0.75), (2.0, 0.25)])
def test_the_effectiveness_is_that_of_an_integrated_dose(changes, share):
    found = cycle_effectiveness(changes, share)
    rate = changes / (found * share)  # air changes an hour while on, in a cycle of one hour
    steps = 20_000
    on = round(share * steps)
    level, mean = 1.0, 0.0
    for _ in range(60):
        told = []
        for k in range(steps):
            if k < on:
                level = 1 / rate + (level - 1 / rate) * math.exp(-rate / steps)
            else:
                level += 1 / steps
            told.append(level)
        if abs(np.mean(told) - mean) < 1e-9:
            break
        mean = float(np.mean(told))
    assert mean * changes == pytest.approx(1.0, abs=2e-4)


def test_no_rate_is_large_enough_where_the_off_time_is_too_long():
    assert cycle_effectiveness(4.0, 0.25) is None
    with pytest.raises(OutOfRange, match="air changes in a cycle"):
        cycle_effectiveness(0.0, 0.5)
    with pytest.raises(OutOfRange, match="share of the time"):
        cycle_effectiveness(1.0, 0.0)


HOUSE = Leaking(total=102 * CFM, infiltration=30 * CFM, balanced=True)


def test_a_new_house_credits_two_thirds_at_most():
    leaky = replace(HOUSE, infiltration=90 * CFM)
    assert fan_rate("2013", leaky) / CFM == pytest.approx(34)
    assert fan_rate("2013", replace(leaky, new=False)) / CFM == pytest.approx(12)
    assert fan_rate("2013", replace(leaky, infiltration=500 * CFM, new=False)) == 0.0


def test_only_the_outer_share_of_the_envelope_counts():
    half = replace(HOUSE, exterior=0.5)
    assert fan_rate("2016", half) / CFM == pytest.approx(87)
    assert fan_rate("2013", half) / CFM == pytest.approx(72)


def test_half_of_what_is_measured_beyond_the_assumed():
    floor = 1000 * FOOT**2  # 0.02 cfm a square foot: 20 cfm are assumed
    assert fan_rate("2010", HOUSE, floor) / CFM == pytest.approx(97)
    assert fan_rate("2010", replace(HOUSE, infiltration=10 * CFM), floor) == HOUSE.total


@given(st.sampled_from(EDITIONS), st.booleans(), st.floats(0.0, 300.0))
def test_a_credit_never_raises_the_rate_and_a_balanced_system_credits_more(edition, new, infiltration):
    house = replace(HOUSE, infiltration=infiltration * CFM, new=new)
    balanced, not_balanced = fan_rate(edition, house, 200.0), fan_rate(edition, replace(house, balanced=False), 200.0)
    assert 0.0 <= balanced <= house.total
    assert balanced <= not_balanced + 1e-12 or infiltration > 102


def test_below_fifteen_no_fan_is_asked_for():
    in_cfm = NO_FAN_BELOW / CFM
    assert in_cfm == pytest.approx(15.0)


def test_a_weather_factor_is_the_users_to_give():
    for factor in (0.0, -0.5, 2.5):
        with pytest.raises(OutOfRange, match="weather and shielding factor"):
            annual_infiltration_short(0.2, 4.0, factor)


@pytest.mark.parametrize("key", exhaust_keys())
def test_every_local_rule_asks_for_something_and_can_be_cited(key):
    told = local_exhaust(key, volume=30.0)
    assert told.on_demand or told.continuous
    assert told.code and told.section and told.source.name  # noqa: PT018 - one thing: it can be cited
    if told.on_demand and told.continuous:
        assert told.on_demand >= told.continuous


def test_rules_by_room():
    assert "irc bath" in exhaust_keys("bath")
    assert "irc kitchen" not in exhaust_keys("bath")


def test_what_an_existing_room_lacks():
    assert existing_deficit(50 * CFM, 20 * CFM, window=False) / CFM == pytest.approx(30)
    assert existing_deficit(50 * CFM, 20 * CFM, window=True) / CFM == pytest.approx(10)
    assert existing_deficit(50 * CFM, 60 * CFM, window=False) == 0.0


def test_a_smaller_dwelling_needs_a_better_hood():
    sizes = [700, 900, 1200, 2000]
    for gas in (False, True):
        flows = [california_hood(size * FOOT**2, gas)[1] for size in sizes]
        assert flows == sorted(flows, reverse=True)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: whole_house_rate("irc", HouseFacts(0.0, 3)), "floor area 0 m2 is outside 0 to inf m2"),
        (lambda: whole_house_rate("irc", HouseFacts(100.0, -1)), "bedrooms -1 - is outside 0 to 100 -"),
        (lambda: whole_house_rate("irk", HouseFacts(100.0, 3)), "no rule is called 'irk'; there are: 62.2-2010"),
        (lambda: whole_house_rate("nbc", HouseFacts(100.0, 6)), "from 1 to 5 bedrooms; more than five bedrooms"),
        (lambda: whole_house_rate("uk 2021", HouseFacts(100.0, 0)), "begins with one bedroom"),
        (lambda: fan_rate("2014", HOUSE), "no edition '2014' of 62.2 is known; there are: 2010, 2013"),
        (lambda: local_exhaust("irc garage"), "no rule is called 'irc garage'"),
        (lambda: cycle_turnover(0.05, 25.0, 200.0), "cycle 25 h is outside 0 to 24 h"),
        (lambda: cycle_turnover(0.05, 6.0, 0.0), "floor area 0 m2 is outside 0 to inf m2"),
        (lambda: local_exhaust("62.2 kitchen all day"), "counts air changes: give the volume of the room"),
        (lambda: california_hood(0.0, gas=True), "floor area 0 m2 is outside 0 to inf m2"),
    ],
)
def test_what_no_rule_speaks_of_is_refused_in_words(call, words):
    with pytest.raises((InputError, OutOfRange)) as told:
        call()
    assert words in str(told.value)
