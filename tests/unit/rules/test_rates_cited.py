"""Rates, exhausts, credits and balance as their tables print them: what is cited, every refusal, every edge."""

import math

import pytest

from airledger.errors import InputError, OutOfRange
from airledger.rules.balance import balance_keys, balance_rules
from airledger.rules.infiltration_credit import EDITIONS, Leaking, annual_infiltration, fan_rate
from airledger.rules.local_exhaust import california_hood, exhaust_keys, local_exhaust
from airledger.rules.whole_house_rate import (
    HouseFacts,
    cycle_effectiveness,
    intermittent_factor,
    rate_keys,
    whole_house_rate,
)
from airledger.sources import table
from airledger.units import CFM, FOOT

WHOLE = table("rules/tables/whole_house_rates")
RATES = {entry["key"]: entry for entry in (*WHOLE["rate"], *WHOLE["band"])}
WET = {entry["key"]: entry for entry in table("rules/tables/local_exhaust")["exhaust"]}
BALANCE = {entry["key"]: entry for entry in table("rules/tables/balance")["balance"]}


@pytest.mark.parametrize("key", rate_keys())
def test_a_rate_is_cited_by_its_own_words(key):
    told, printed = whole_house_rate(key, HouseFacts(220.0, 3)), RATES[key]
    assert (told.key, told.title, told.code, told.edition, told.section) == tuple(
        printed[name] for name in ("key", "title", "code", "edition", "section")
    )
    assert told.beside == printed.get("beside", "")
    assert (told.source.name, told.source.tag) == (printed["source"], printed["tag"])


@pytest.mark.parametrize("key", exhaust_keys())
def test_an_exhaust_is_cited_by_its_own_words(key):
    told, printed = local_exhaust(key, 30.0), WET[key]
    assert (told.key, told.code, told.section, told.room) == tuple(
        printed[name] for name in ("key", "code", "section", "room")
    )
    assert (told.source.name, told.source.tag) == (printed["source"], printed["tag"])


@pytest.mark.parametrize("key", balance_keys())
def test_a_meaning_of_balanced_is_cited_by_its_own_words(key):
    told, printed = balance_rules((), key)[0], BALANCE[key]
    assert (told.key, told.title, told.code, told.section) == tuple(
        printed[name] for name in ("key", "title", "code", "section")
    )
    assert (told.source.name, told.source.tag) == (printed["source"], printed["tag"])


def test_all_rules_are_listed_and_those_of_a_room():
    assert exhaust_keys() == tuple(WET)
    assert exhaust_keys("toilet") == ("uk toilet", "netherlands toilet")


# 62.2: five air changes an hour of the kitchen, all day (NREL Standard Work Specifications)
def test_five_air_changes_of_a_kitchen():
    found = local_exhaust("62.2 kitchen all day", volume=36.0)
    assert (found.on_demand, found.continuous) == (None, pytest.approx(5 * 36.0 / 3600))


# California Energy Code 2022 table 150.0-G [memory]: up to 750, to 1,000, to 1,500 square feet, and beyond
@pytest.mark.parametrize(
    ("feet", "gas", "electric"),
    [(749, (0.85, 280), (0.65, 160)), (750, (0.85, 280), (0.55, 130)), (999, (0.85, 280), (0.55, 130)),
     (1000, (0.80, 250), (0.50, 110)), (1500, (0.80, 250), (0.50, 110)), (1501, (0.70, 180), (0.50, 110))],
)  # fmt: skip
def test_a_hood_by_the_size_of_the_dwelling(feet, gas, electric):
    area = feet * FOOT**2 * (1 + 1e-12 if feet in (750, 1000) else 1 - 1e-12 if feet == 1500 else 1)
    for burns, (capture, flow) in ((True, gas), (False, electric)):
        found = california_hood(area, burns)
        assert found[:2] == (pytest.approx(capture), pytest.approx(flow * CFM))
        assert (found[2].name, found[2].tag) == (
            "California Energy Code 2022 table 150.0-G (the table exists)",
            "memory",
        )
    assert california_hood(0.5, True)[1] == pytest.approx(280 * CFM)


def test_a_small_room_a_hundred_bedrooms_and_no_more():
    assert whole_house_rate("irc", HouseFacts(0.5, 0)).flow == pytest.approx((0.01 * 0.5 / FOOT**2 + 7.5) * CFM)
    assert whole_house_rate("irc", HouseFacts(100.0, 100)).flow > whole_house_rate("irc", HouseFacts(100.0, 99)).flow


# without a least flow none is put in: half a square metre of a manufactured home aside, no rule raises what it asks
def test_a_formula_says_raised_only_where_it_is():
    assert whole_house_rate("manufactured home", HouseFacts(50 / 0.035 * FOOT**2, 1)).formula.endswith("= 50 cfm")
    assert "held" not in whole_house_rate("manufactured home", HouseFacts(90 / 0.035 * FOOT**2, 1)).formula
    told = whole_house_rate("uk 2021", HouseFacts(100.0, 3)).formula
    assert told == "3 bedrooms: 31 L/s; 0.3 x 100 m2 = 30 L/s; the larger"
    told = whole_house_rate("en 16798 II", HouseFacts(100.0, 3)).formula
    assert told == "7 x 4 people = 28 L/s; 0.42 x 100 m2 = 42 L/s; the larger"


# IRC table M1505.4.3(1): "1,501 - 3,000" begins past 1,500
def test_a_band_ends_with_its_printed_edge():
    at, past = (whole_house_rate("irc table", HouseFacts(feet * FOOT**2, 3)).flow for feet in (1500, 1501))
    assert (at, past) == (pytest.approx(45 * CFM), pytest.approx(60 * CFM))


# IRC table M1505.4.3(2), the ends of the table
def test_a_quarter_of_the_time_is_four_times_the_flow_and_all_of_it_once():
    assert [intermittent_factor(share) for share in (0.25, 0.33, 0.5, 1.0)] == [4.0, 3.0, 2.0, 1.0]


# closed form: where the off-time alone gives the whole dose, no fan is large enough: off^2 N/2 = 1
def test_the_off_time_that_no_fan_makes_good():
    assert cycle_effectiveness(8.0, 0.5) is None
    assert 0.0 < cycle_effectiveness(7.9, 0.5) < 0.1


@pytest.mark.parametrize("edition", EDITIONS)
def test_an_unbalanced_system_credits_less_from_2019_on(edition):
    house = Leaking(total=0.05, infiltration=0.02, balanced=False)
    rate = fan_rate(edition, house)
    assert rate == pytest.approx(
        {"2010": 0.05 - 0.5 * 0.02}.get(edition, 0.05 - 0.02 * (0.4 if edition >= "2019" else 1))
    )


def test_the_greatest_weather_factor_is_two():
    assert annual_infiltration(0.02, 150.0, 2.5, 2.0) == pytest.approx(2 * annual_infiltration(0.02, 150.0, 2.5, 1.0))


RATE_KEYS = ", ".join(RATES)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: whole_house_rate("irk", HouseFacts(9.0, 3)), f"no rule is called 'irk'; there are: {RATE_KEYS}"),
        (lambda: whole_house_rate("irc", HouseFacts(math.inf, 3)), "floor area inf m2 is outside 0 to inf m2"),
        (lambda: whole_house_rate("irc", HouseFacts(9.0, 101)), "bedrooms 101 - is outside 0 to 100 -"),
        (lambda: intermittent_factor(0.2), "share of the time 0.2 - is outside 0.25 to 1 -"),
        (lambda: cycle_effectiveness(0.0, 0.5), "air changes in a cycle 0 - is outside 0 to inf -"),
        (lambda: cycle_effectiveness(math.inf, 0.5), "air changes in a cycle inf - is outside 0 to inf -"),
        (lambda: cycle_effectiveness(1.0, 1.5), "share of the time 1.5 - is outside 0 to 1 -"),
        (lambda: annual_infiltration(1.0, 1.0, 1.0, 2.1), "weather and shielding factor 2.1 - is outside 0 to 2 -"),
        (lambda: local_exhaust("x"), f"no rule is called 'x'; there are: {', '.join(WET)}"),
        (lambda: balance_rules((), "x"), f"no meaning of balanced is called 'x'; there are: {', '.join(BALANCE)}"),
    ],
)
def test_a_refusal_in_full(call, words):
    with pytest.raises((InputError, OutOfRange)) as told:
        call()
    assert str(told.value).removesuffix(", where the method holds") == words
