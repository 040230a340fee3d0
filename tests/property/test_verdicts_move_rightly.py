"""Verdicts under Hypothesis: a worse meter never knows more, a worse reading is never judged better, units never count.

Why each direction is certain. Errors are normal. Widening the error of a reading about the value that was read takes
chance out of every convex region that holds the value, and puts no more than one half into a region beyond one limit
that does not: 0.95 on one side is lost by widening and never won. So "shown too much", "shown too little" and "shown
within" can each be lost to a coarser meter, and none can be won.

All flows are invented.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from airledger.inference.verdicts import (
    BAD,
    CANNOT_TELL,
    GOOD,
    Reading,
    balance_verdict,
    balanced,
    between_goals,
    chance_of_balance,
    chance_within,
    chances_of_balance,
    meter_that_decides,
    verdict,
    verdict_within,
)
from airledger.units import CFM

RULES = {
    "exhaust": balanced("exhaust", 0.10),
    "larger or 5 cfm": balanced("larger", 0.10, 5 * CFM),
    "larger": balanced("larger", 0.10),
    "mean": balanced("mean", 0.10),
    "humid": between_goals(0.0, 0.10),
    "cold": between_goals(-0.10, 0.0),
}
WITHOUT_A_FLOW = sorted(RULES.keys() - {"larger or 5 cfm"})
rules = st.sampled_from(sorted(RULES))
flows = st.floats(5 * CFM, 400 * CFM)
meters = st.floats(0.005, 0.3)
wider = st.floats(1.05, 20.0)
values, errors = st.floats(-100.0, 100.0), st.floats(0.01, 50.0)


def rank(word):
    return (BAD, CANNOT_TELL, GOOD).index(word)


@given(values, errors, wider, values, st.floats(0.1, 60.0))
def test_a_coarser_meter_never_turns_cannot_tell_into_a_word(value, error, times, low, room):
    fine = verdict_within(Reading(value, error), low, low + room)
    coarse = verdict_within(Reading(value, error * times), low, low + room)
    assert coarse.word in (CANNOT_TELL, fine.word)
    assert coarse.word == CANNOT_TELL or coarse.wrong >= fine.wrong - 1e-12


@given(values, errors, wider, values)
def test_nor_against_one_limit(value, error, times, limit):
    for ends in ({"low": limit}, {"high": limit}):
        fine, coarse = (verdict_within(Reading(value, one), **ends) for one in (error, error * times))
        assert coarse.word in (CANNOT_TELL, fine.word)


@given(flows, flows, meters, wider, rules)
def test_nor_of_a_balance(supply, exhaust, meter, times, rule):
    fine, coarse = (
        balance_verdict(Reading(supply, one * supply), Reading(exhaust, one * exhaust), RULES[rule])
        for one in (meter, meter * times)
    )
    assert coarse.word in (CANNOT_TELL, fine.word)


# field-faults.md: no meter coarser than what it has to decide decides it
@pytest.mark.parametrize("rule", sorted(RULES))
def test_a_meter_that_is_off_by_as_much_as_it_reads_shows_nothing(rule):
    read = Reading(50 * CFM, 200 * CFM), Reading(50 * CFM, 200 * CFM)
    assert balance_verdict(*read, RULES[rule]).word == CANNOT_TELL
    assert verdict_within(Reading(10 * CFM, 100 * CFM), 8.5 * CFM, 11.5 * CFM).word == CANNOT_TELL


@given(values, errors, values, st.floats(0.0, 50.0))
def test_further_past_a_limit_is_never_judged_better(value, error, limit, more):
    near, far = (
        verdict_within(Reading(value, error), high=limit),
        verdict_within(Reading(value + more, error), high=limit),
    )
    assert far.kept <= near.kept
    assert rank(far.word) <= rank(near.word)
    near, far = (
        verdict_within(Reading(value, error), low=limit),
        verdict_within(Reading(value - more, error), low=limit),
    )
    assert far.kept <= near.kept
    assert rank(far.word) <= rank(near.word)


@given(values, errors, values, st.floats(0.0, 40.0), st.floats(0.0, 40.0))
def test_a_wider_limit_is_never_kept_less(value, error, low, room, more):
    narrow = chance_within(Reading(value, error), low, low + room)
    assert chance_within(Reading(value, error), low - more, low + room) >= narrow - 1e-12
    assert chance_within(Reading(value, error), low, low + room + more) >= narrow - 1e-12


@given(values, errors, values, st.floats(0.0, 40.0))
def test_below_within_and_above_are_all_there_is(value, error, low, room):
    read = Reading(value, error)
    told = chance_within(read, high=low) + chance_within(read, low, low + room) + chance_within(read, low=low + room)
    assert told == pytest.approx(1.0, abs=1e-12)


@given(flows, flows, meters, rules)
def test_too_little_in_balance_and_too_much_are_all_there_is(supply, exhaust, meter, rule):
    little, kept, much = chances_of_balance(
        Reading(supply, meter * supply), Reading(exhaust, meter * exhaust), RULES[rule]
    )
    assert little + kept + much == pytest.approx(1.0, abs=1e-9)
    assert min(little, kept, much) >= 0.0


@given(flows, flows, meters, st.sampled_from(WITHOUT_A_FLOW), st.sampled_from([1 / CFM, 1000.0, 3600.0]))
def test_the_unit_of_the_flows_does_not_count(supply, exhaust, meter, rule, unit):
    one, other = (
        chances_of_balance(
            Reading(supply * by, meter * supply * by), Reading(exhaust * by, meter * exhaust * by), RULES[rule]
        )
        for by in (1.0, unit)
    )
    assert one == pytest.approx(other, abs=1e-6)


@given(flows, flows, meters, meters, st.sampled_from(["larger", "larger or 5 cfm", "mean"]))
def test_a_rule_that_treats_both_streams_alike_does_not_care_which_is_which(supply, exhaust, one, other, rule):
    read = Reading(supply, one * supply), Reading(exhaust, other * exhaust)
    little, kept, much = chances_of_balance(*read, RULES[rule])
    assert chances_of_balance(*reversed(read), RULES[rule]) == pytest.approx((much, kept, little), abs=1e-4)


@given(flows, flows, meters)
def test_the_goals_of_the_two_climates_are_each_others_mirror(supply, exhaust, meter):
    read = Reading(supply, meter * supply), Reading(exhaust, meter * exhaust)
    kept = chance_of_balance(*read, RULES["humid"])
    assert chance_of_balance(*reversed(read), RULES["cold"]) == pytest.approx(kept, abs=1e-4)


@given(flows, flows, meters, st.sampled_from(["exhaust", "larger", "mean"]), st.floats(0.0, 0.2))
def test_a_looser_rule_is_never_kept_less(supply, exhaust, meter, of, more):
    read = Reading(supply, meter * supply), Reading(exhaust, meter * exhaust)
    tight = chance_of_balance(*read, balanced(of, 0.10))
    assert chance_of_balance(*read, balanced(of, 0.10 + more)) >= tight - 1e-9
    assert chance_of_balance(*read, balanced(of, 0.10, 10 * CFM)) >= tight - 1e-9


# the same two readings, two ways: the quadrature, and the difference of two normal errors, which is normal
@given(flows, flows, st.floats(0.005, 0.12), st.floats(0.005, 0.12))
def test_ten_percent_of_the_exhaust_is_a_band_of_normal_differences(supply, exhaust, one, other):
    def below(share):
        """Chance that supply - share x exhaust is below 0."""
        spread = math.hypot(one * supply, share * other * exhaust)
        return 0.5 * (1.0 + math.erf((share * exhaust - supply) / spread / math.sqrt(2.0)))

    found = chances_of_balance(Reading(supply, one * supply), Reading(exhaust, other * exhaust), RULES["exhaust"])
    assert found == pytest.approx((below(0.9), below(1.1) - below(0.9), 1.0 - below(1.1)), abs=1e-4)


@given(flows, flows, rules)
def test_the_meter_that_decides_does_and_a_coarser_one_does_not(supply, exhaust, rule):
    meter = meter_that_decides(supply, exhaust, RULES[rule])
    assume(meter is not None)

    def word(share):
        return balance_verdict(Reading(supply, share * supply), Reading(exhaust, share * exhaust), RULES[rule]).word

    assert word(0.98 * meter) != CANNOT_TELL
    if meter < 0.5:
        assert word(1.02 * meter) == CANNOT_TELL


@given(flows, flows, st.floats(0.55, 0.94))
def test_who_asks_for_less_certainty_may_use_a_coarser_meter(supply, exhaust, sure):
    strict = meter_that_decides(supply, exhaust, RULES["exhaust"]) or 0.0
    assert (meter_that_decides(supply, exhaust, RULES["exhaust"], sure) or 0.0) >= strict


@given(st.floats(0.0, 1.0), st.floats(0.51, 0.99), st.floats(0.0, 0.4))
def test_a_stricter_confidence_never_gives_a_word_more(kept, sure, more):
    loose, strict = verdict(kept, sure), verdict(kept, min(sure + more, 0.995))
    assert strict.word in (CANNOT_TELL, loose.word)
    assert 0.0 <= loose.wrong <= 0.5
