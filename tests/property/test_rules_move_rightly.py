"""Rules of ventilation under Hypothesis: more rooms, people and area never ask for less; a credit never asks for more.

Each direction is what the rule is for: every printed formula is a sum or the larger of rising parts, every table rises
along its rows and its columns, a leak measured can only relieve the fan. All houses are invented.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from airledger.errors import InputError
from airledger.rules.infiltration_credit import (
    EDITIONS,
    Leaking,
    annual_infiltration,
    annual_infiltration_short,
    fan_rate,
)
from airledger.rules.local_exhaust import california_hood, exhaust_keys, existing_deficit, local_exhaust
from airledger.rules.whole_house_rate import (
    HouseFacts,
    cycle_effectiveness,
    intermittent_factor,
    minnesota_continuous,
    rate_keys,
    rate_of,
    reduced_rate,
    washington_rate,
    whole_house_rate,
)
from airledger.units import CFM, FOOT

keys = st.sampled_from(rate_keys())
areas = st.floats(30.0, 900.0)
bedrooms = st.integers(1, 8)
flows = st.floats(0.0, 0.4)
wet = st.sampled_from(exhaust_keys())


def asked(key, facts):
    """What a rule asks [m3/s]; a house that the rule does not speak of is left out."""
    try:
        answer = whole_house_rate(key, facts)
    except InputError:
        assume(False)
    return answer


@given(keys, areas, bedrooms, st.integers(0, 3), st.floats(0.0, 300.0))
def test_more_rooms_or_more_area_never_ask_for_less(key, area, rooms, more_rooms, more_area):
    house = asked(key, HouseFacts(area, rooms))
    assert asked(key, HouseFacts(area, rooms + more_rooms)).flow >= house.flow
    assert asked(key, HouseFacts(area + more_area, rooms)).flow >= house.flow - 1e-12
    assert house.flow > 0.0
    assert house.most is None or house.most >= house.flow


@given(keys, areas, bedrooms, st.integers(1, 12), st.integers(0, 4))
def test_more_people_never_ask_for_less(key, area, rooms, people, more):
    house = asked(key, HouseFacts(area, rooms, people))
    assert asked(key, HouseFacts(area, rooms, people + more)).flow >= house.flow
    assert asked(key, HouseFacts(area, rooms, rooms + 1)) == asked(key, HouseFacts(area, rooms))


# 62.2-2013 took the area's share from 0.01 to 0.03 cfm a square foot and left the rest
@given(areas, bedrooms)
def test_the_edition_of_2013_asks_for_two_hundredths_of_a_foot_more(area, rooms):
    old, new = (asked(key, HouseFacts(area, rooms)).flow for key in ("62.2-2010", "62.2-2013"))
    assert new - old == pytest.approx(0.02 * CFM / FOOT**2 * area)


# IRC M1505.4.3: the table may be used in place of the equation; it rounds up
@given(st.floats(30.0, 7500 * FOOT**2), bedrooms)
def test_the_printed_table_is_never_below_its_equation(area, rooms):
    assert asked("irc table", HouseFacts(area, rooms)).flow >= asked("irc", HouseFacts(area, rooms)).flow - 1e-12


@given(flows, st.booleans(), st.booleans(), st.booleans())
def test_a_reduction_is_thirty_percent_or_nothing(rate, balanced, beds, living):
    found = reduced_rate(rate, balanced, beds, living)
    assert found == pytest.approx(0.7 * rate if balanced and beds and living else rate)


@given(areas, bedrooms)
def test_a_system_that_is_better_is_never_asked_for_more(area, rooms):
    facts = HouseFacts(area, rooms)
    neither, one, other, both = (
        washington_rate(facts, *does) for does in ((False, False), (True, False), (False, True), (True, True))
    )
    assert neither > one == other > both == asked("washington", facts).flow


@given(flows, st.floats(0.0, 0.2))
def test_minnesota_s_continuous_share_is_half_and_forty_at_least(total, more):
    assert minnesota_continuous(total) >= max(40 * CFM, 0.5 * total) - 1e-15
    assert minnesota_continuous(total + more) - minnesota_continuous(total) <= 0.5 * more + 1e-15


@given(st.floats(0.25, 1.0), st.floats(0.0, 0.75))
def test_who_runs_longer_moves_less(share, more):
    longer = min(share + more, 1.0)
    assert intermittent_factor(longer) <= intermittent_factor(share)
    # printed factors are rounded: as much air in all to two in a hundred, never less than even by more
    assert intermittent_factor(share) * share >= 0.97


@given(st.floats(0.01, 5.0), st.floats(0.05, 1.0), st.floats(0.0, 0.9))
def test_a_fan_that_runs_longer_dilutes_no_worse_and_none_better_than_an_even_one(changes, share, more):
    one, longer = (cycle_effectiveness(changes, on) for on in (share, min(share + more, 1.0)))
    assert one is None or 0.0 < one <= 1.0
    assert one is None or (longer is not None and longer >= one - 1e-9)
    fewer = cycle_effectiveness(changes / 2, share)
    assert one is None or (fewer is not None and fewer >= one - 1e-9)


editions = st.sampled_from(EDITIONS)
leaking = st.builds(Leaking, total=st.floats(0.01, 0.3), infiltration=flows, balanced=st.booleans(),
                    exterior=st.floats(0.1, 1.0), new=st.booleans())  # fmt: skip


@given(editions, leaking, st.floats(0.0, 0.2), areas)
def test_a_leakier_house_never_needs_more_of_its_fan(edition, house, more, area):
    fan = fan_rate(edition, house, area)
    assert 0.0 <= fan <= house.total
    assert fan_rate(edition, replace(house, infiltration=house.infiltration + more), area) <= fan + 1e-12


@given(editions, leaking, areas)
def test_what_takes_from_a_credit_never_lowers_the_fan_s_rate(edition, house, area):
    fan = fan_rate(edition, replace(house, balanced=True, exterior=1.0, new=False), area)
    for worse in ({"balanced": False}, {"exterior": 0.5 * house.exterior}, {"new": True}):
        kinder = replace(house, balanced=True, exterior=1.0, new=False)
        if edition != "2010" and worse == {"balanced": False}:
            assume(house.infiltration <= house.total)  # an existing house leaking more than it needs: nothing is left
        assert fan_rate(edition, replace(kinder, **worse), area) >= fan - 1e-12


@given(st.floats(0.001, 0.2), areas, st.floats(2.0, 12.0), st.floats(0.1, 1.5), st.floats(1.0, 1.5))
def test_a_year_s_infiltration_rises_with_leak_height_and_weather(leak, area, height, weather, times):
    year = annual_infiltration(leak, area, height, weather)
    assert annual_infiltration(leak * times, area, height, weather) == pytest.approx(times * year)
    assert annual_infiltration(leak, area, height, min(weather * times, 2.0)) >= year
    assert annual_infiltration(leak, area, height * times, weather) == pytest.approx(times**0.4 * year)
    # the leakage is spread over the floor and taken back: the dwelling's size alone changes nothing
    assert annual_infiltration(leak, area * times, height, weather) == pytest.approx(year)


@given(st.floats(0.01, 3.0), st.floats(2.0, 12.0), st.floats(0.1, 1.5), st.floats(1.0, 1.3))
def test_the_short_form_moves_the_same_way(flow, height, weather, times):
    year = annual_infiltration_short(flow, height, weather)
    assert annual_infiltration_short(flow * times, height, weather) == pytest.approx(times * year)
    assert annual_infiltration_short(flow, height * times, weather) == pytest.approx(times**0.4 * year)
    assert annual_infiltration_short(flow, 8.2 * FOOT, 1.0) == pytest.approx(0.052 * flow)


@given(wet, st.floats(5.0, 200.0), st.floats(1.0, 5.0))
def test_a_room_s_exhaust_counts_its_volume_or_not_at_all(key, volume, times):
    small, large = local_exhaust(key, volume), local_exhaust(key, volume * times)
    for name in ("on_demand", "continuous"):
        one, other = getattr(small, name), getattr(large, name)
        assert (one is None) == (other is None)
        assert one is None or other == pytest.approx(one) or other == pytest.approx(times * one)
    assert small.on_demand is None or small.continuous is None or small.on_demand >= small.continuous


@given(areas, st.floats(1.0, 4.0), st.booleans())
def test_a_larger_dwelling_lets_the_hood_be_weaker_and_gas_asks_for_more(area, times, gas):
    small, large = california_hood(area, gas), california_hood(area * times, gas)
    assert (small[0] >= large[0], small[1] >= large[1]) == (True, True)
    electric, burning = california_hood(area, False), california_hood(area, True)
    assert burning[0] > electric[0]
    assert burning[1] > electric[1]


@given(flows, flows, st.floats(0.0, 0.1), st.booleans())
def test_what_a_room_lacks_falls_with_what_was_measured(required, measured, more, window):
    lacks = existing_deficit(required, measured, window)
    assert 0.0 <= existing_deficit(required, measured + more, window) <= lacks <= required
    assert existing_deficit(required, measured, True) <= existing_deficit(required, measured, False)


# exact: a cubic foot a minute is 0.3048^3/60 m3/s, a square foot 0.3048^2 m2
@given(
    st.sampled_from(["linear", "per person"]), st.floats(0.001, 0.1), st.floats(0.0, 20.0), areas, bedrooms,
    st.integers(1, 8),
)  # fmt: skip
def test_a_local_rule_asks_the_same_in_either_unit(
    kind: str, per_area: float, per_person: float, area: float, rooms: int, people: int
) -> None:
    words = dict.fromkeys(("key", "title", "code", "edition", "section", "source", "beside"), "x")
    rule = words | {"tag": "practice", "kind": kind, "more": 1, "least_bedrooms": 0}
    feet = rule | {"unit": "cfm", "per_area": per_area, "per_person": per_person, "base": 2.0}
    litres = 1000 * CFM
    metres = rule | {
        "unit": "L/s", "per_area": per_area * litres / FOOT**2, "per_person": per_person * litres,
        "base": 2.0 * litres,
    }  # fmt: skip
    one, other = (rate_of(each, HouseFacts(area, rooms, people)).flow for each in (feet, metres))
    assert one == pytest.approx(other, rel=1e-9)
