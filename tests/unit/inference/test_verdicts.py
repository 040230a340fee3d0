"""What readings allow to say: rates of misjudgement of the field studies, limiting cases, a meter that would decide."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import InputError, OutOfRange
from airledger.inference.verdicts import (
    BAD,
    CANNOT_TELL,
    GOOD,
    Reading,
    Verdict,
    balanced,
    between_goals,
    chance_of_balance,
    chance_within,
    chances_of_balance,
    meter_that_decides,
    misjudged,
    verdict,
    verdict_within,
)
from airledger.units import CFM

TEN = balanced("exhaust", 0.10)
flows = st.floats(0.01, 0.2)


def off_by_20(meter):
    """A unit one of whose streams is 20 % off, either of them."""
    return 0.5 * (misjudged(1.2, meter, TEN) + misjudged(0.8, meter, TEN))


# field-faults.md, last paragraph (computed): a 10 % balance test with meters of 11, 6 and 3 %, one standard deviation
@pytest.mark.parametrize(("meter", "perfect", "off"), [(0.11, 0.5, 0.25), (0.06, 0.24, 0.12), (0.03, 0.02, 0.01)])
def test_the_rates_of_misjudgement_are_those_of_the_field_values(meter, perfect, off):
    assert misjudged(1.0, meter, TEN) == pytest.approx(perfect, abs=0.03 if perfect == 0.5 else 0.005)
    assert off_by_20(meter) == pytest.approx(off, abs=0.03 if off == 0.25 else 0.005)


# the same by simulation: a million units read twice, seeded
@pytest.mark.parametrize("meter", [0.11, 0.06, 0.03])
def test_the_rates_are_those_of_a_simulation(meter):
    chance = np.random.default_rng(14)
    exhaust = 1 + meter * chance.standard_normal(1_000_000)
    for ratio in (0.8, 1.0, 1.2):
        supply = ratio * (1 + meter * chance.standard_normal(1_000_000))
        reads_good = float(np.mean(TEN(supply, exhaust)))
        wrong = 1 - reads_good if ratio == 1.0 else reads_good
        assert misjudged(ratio, meter, TEN) == pytest.approx(wrong, abs=0.002)


def test_a_meter_of_eleven_percent_cannot_tell_what_three_percent_decides():
    supply, exhaust = 70 * CFM, 69.5 * CFM
    coarse, fine = (
        verdict(chance_of_balance(Reading(supply, m * supply), Reading(exhaust, m * exhaust), TEN))
        for m in (0.11, 0.03)
    )
    assert coarse.word == CANNOT_TELL
    assert fine.word == GOOD
    assert coarse.wrong > fine.wrong
    assert 0.03 < meter_that_decides(supply, exhaust, TEN) < 0.11


@given(flows, flows, st.floats(0.005, 0.2))
def test_a_chance_is_a_chance_and_a_finer_meter_is_surer_of_what_it_reads(supply, exhaust, meter):
    kept = chance_of_balance(Reading(supply, meter * supply), Reading(exhaust, meter * exhaust), TEN)
    assert -1e-9 <= kept <= 1 + 1e-9
    sharp = chance_of_balance(Reading(supply, 1e-6 * supply), Reading(exhaust, 1e-6 * exhaust), TEN)
    is_good = bool(TEN(np.array([supply]), np.array([exhaust]))[0])
    if abs(abs(supply - exhaust) - 0.1 * exhaust) > 1e-4 * exhaust:
        assert sharp == pytest.approx(float(is_good), abs=1e-6)


def test_readings_far_apart_are_shown_bad_by_any_meter():
    kept = chance_of_balance(Reading(0.05, 0.0055), Reading(0.10, 0.011), TEN)
    assert verdict(kept).word == BAD


def test_each_rule_draws_its_line_where_it_says():
    s = np.array([0.901, 0.905, 1.099, 1.12, 1.22, 1.23])
    e = np.ones(6)
    assert TEN(s, e).tolist() == [True, True, True, False, False, False]
    assert balanced("mean", 0.10)(s, e).tolist() == [True, True, True, True, True, False]
    small = np.array([20.0, 24.9, 25.1]) * CFM
    assert balanced("larger", 0.10, 5 * CFM)(small, np.full(3, 20 * CFM)).tolist() == [True, True, False]
    humid, cold = between_goals(0.0, 0.10), between_goals(-0.10, 0.0)
    assert humid(np.array([1.05, 0.97, 1.2]), np.ones(3)).tolist() == [True, False, False]
    assert cold(np.array([1.05, 0.97, 0.85]), np.ones(3)).tolist() == [False, True, False]


def test_a_word_is_given_only_from_its_confidence_on():
    assert [verdict(kept).word for kept in (0.95, 0.949, 0.051, 0.05)] == [GOOD, CANNOT_TELL, CANNOT_TELL, BAD]
    assert verdict(0.97).wrong == pytest.approx(0.03)
    assert verdict(0.02).wrong == pytest.approx(0.02)
    assert verdict(0.3).wrong == pytest.approx(0.3)
    assert verdict(0.85, sure=0.8).word == GOOD


def test_a_reading_without_error_is_the_truth():
    assert chance_within(Reading(5.0, 0.0), 4.0, 6.0) == 1.0
    assert chance_within(Reading(7.0, 0.0), 4.0, 6.0) == 0.0
    assert chance_within(Reading(0.0, 1.0), -1.959964, 1.959964) == pytest.approx(0.95, abs=1e-6)  # normal table


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: verdict(1.2), "chance that a limit is kept 1.2 - is outside 0 to 1 -"),
        (lambda: verdict(0.5, 0.4), "confidence of a verdict 0.4 - is outside 0.5 to 1 -"),
        (lambda: chance_within(Reading(1.0, -1.0)), "error of a reading -1 - is outside 0 to inf -"),
        (lambda: chance_of_balance(Reading(0.0, 0.1), Reading(1.0, 0.1), TEN), "flow of a stream 0 m3/s"),
        (lambda: misjudged(1.0, 0.0, TEN), "ratio or meter 0 - is outside 0 to inf -"),
    ],
)
def test_what_cannot_be_judged_is_refused(call, words):
    with pytest.raises(OutOfRange) as told:
        call()
    assert words in str(told.value)


def test_no_meter_decides_what_stands_on_the_line():
    assert meter_that_decides(1.1, 1.0, TEN) is None
    assert meter_that_decides(0.05, 1.0, TEN) == pytest.approx(0.5)


# by hand: supply - 0.9 x exhaust is normal, and 95 in 100 lie below 1.6449 standard deviations (normal table)
def test_the_meter_that_decides_far_from_the_line_is_the_one_of_the_normal_table():
    assert meter_that_decides(0.2, 1.0, TEN) == pytest.approx(0.7 / math.hypot(0.2, 0.9) / 1.6449, rel=1e-3)


def test_a_verdict_tells_its_chances():
    assert verdict(0.97) == Verdict(GOOD, 0.97, pytest.approx(0.03))
    assert verdict(0.02) == Verdict(BAD, 0.02, pytest.approx(0.02))
    assert verdict(0.3) == Verdict(CANNOT_TELL, 0.3, pytest.approx(0.3))
    assert verdict(0.7) == Verdict(CANNOT_TELL, 0.7, pytest.approx(0.3))
    assert (verdict(0.25, 0.75).word, verdict(0.75, 0.75).word) == (BAD, GOOD)
    # two limits: next to no chance of lying between them, half of lying above: nothing is shown
    assert verdict(0.01, past=0.5) == Verdict(CANNOT_TELL, 0.01, 0.5)
    assert verdict(0.04, past=0.95) == Verdict(BAD, 0.04, pytest.approx(0.05))
    for sure in (0.5, 1.0):
        with pytest.raises(OutOfRange):
            verdict(0.7, sure)


def test_on_the_line_is_within_it():
    assert chance_within(Reading(4.0, 0.0), 4.0, 6.0) == chance_within(Reading(6.0, 0.0), 4.0, 6.0) == 1.0
    assert verdict_within(Reading(4.0, 0.0), 4.0, 6.0).word == verdict_within(Reading(6.0, 0.0), 4.0, 6.0).word == GOOD
    assert verdict_within(Reading(3.9, 0.0), 4.0, 6.0) == Verdict(BAD, 0.0, 0.0)
    flow, one = np.array([0.75, 1.25]), np.ones(2)
    assert balanced("exhaust", 0.25)(flow, one).tolist() == [True, True]
    assert between_goals(-0.25, 0.0)(np.array([0.75, 1.0]), one).tolist() == [True, True]
    assert between_goals(0.0, 0.5)(np.array([1.0, 2.0]), one).tolist() == [True, True]


# normal table: 1.6449 standard deviations hold 95 in 100 on one side
def test_past_a_limit_by_a_little_more_than_the_normal_table_wants_is_bad():
    assert verdict_within(Reading(1.646, 1.0), high=0.0).word == BAD
    assert verdict_within(Reading(1.644, 1.0), high=0.0).word == CANNOT_TELL
    assert verdict_within(Reading(-1.646, 1.0), high=0.0).word == GOOD
    assert verdict_within(Reading(1.646, 1.0), low=0.0).word == GOOD
    assert verdict_within(Reading(-1.646, 1.0), low=0.0).word == BAD


def test_ten_percent_is_what_balanced_means_where_nothing_is_said():
    assert balanced("exhaust")(np.array([1.09, 1.11]), np.ones(2)).tolist() == [True, False]


def test_a_balance_that_goes_by_nothing_known_is_refused_in_words():
    with pytest.raises(InputError) as told:
        balanced("supply")
    assert str(told.value) == "no meaning of balanced goes by 'supply'; there are: exhaust, larger, mean"
    with pytest.raises(OutOfRange) as told:
        chance_of_balance(Reading(0.0, 0.1), Reading(1.0, 0.1), TEN)
    assert str(told.value) == "flow of a stream 0 m3/s is outside 0 to inf m3/s, where the method holds"
    with pytest.raises(OutOfRange, match="ratio or meter 0 - is outside"):
        misjudged(0.0, 0.1, TEN)


# one stream known to the last digit: the chance is the other's alone
def test_a_balance_of_one_sure_stream_is_the_others_normal_distribution():
    for supply, exhaust in ((Reading(1.0, 0.1), Reading(1.0, 0.0)), (Reading(1.0, 0.1), Reading(1.0, 1e-9))):
        little, kept, much = chances_of_balance(supply, exhaust, TEN)
        assert (little, kept, much) == (pytest.approx(0.158655, abs=1e-5), pytest.approx(0.682689, abs=1e-5),
                                        pytest.approx(0.158655, abs=1e-5))  # fmt: skip
    # the exhaust alone is unsure: supply 1 keeps 10 % of an exhaust from 1/1.1 to 1/0.9
    little, kept, much = chances_of_balance(Reading(1.0, 0.0), Reading(1.0, 0.1), TEN)
    assert (much, kept) == (pytest.approx(0.181651, abs=1e-4), pytest.approx(0.685086, abs=1e-4))
