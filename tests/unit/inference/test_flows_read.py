"""Flows as read against what was drawn, by hand: shares of the unit, ratings, the swing; what would decide.

The house is the invented one of the examples: an ERV of 70 and 160 cfm, a hood of 900, a dryer of 125.
"""

import math
from dataclasses import replace
from functools import cache
from importlib import resources

import pytest

from airledger.house.envelope import ach50, exponent
from airledger.inference.flows_read import (
    ANOTHER_HOUSE,
    DESIGN_SOURCE,
    design_flow,
    flow_told,
    machine_told,
    net_flow_of_swing,
    swing_told,
)
from airledger.inference.verdicts import BAD, CANNOT_TELL, GOOD, NOT_TESTED
from airledger.io.house_file import loads
from airledger.quantities import in_units
from airledger.rules.balance import balance_rules
from airledger.rules.instruments import NORMAL_95, instrument
from airledger.rules.shown import Meter, Shown
from airledger.rules.start_up import StartUpReading
from airledger.uncertain import Uncertain
from airledger.units import CFM


@cache
def tern():
    text = resources.files("airledger").joinpath("examples/tern-street-14.yaml").read_text(encoding="utf-8")
    return loads(text, "tern.yaml")


def read(what, where, cfm, state="boost", share=0.03, unit="cfm"):
    """A reading in cubic feet a minute with a meter of some share (one standard deviation)."""
    value = cfm * CFM
    shown = Shown("flow", (value,), unit=unit)
    meter = Meter(instrument("powered flow hood"), stale=False)
    return StartUpReading(state, what, where, value, "", share * abs(value), 3, meter, shown)


# shares of 160 and 70 cfm as the file draws them
@pytest.mark.parametrize(
    ("what", "where", "state", "cfm"),
    [
        ("supply", "main bedroom", "boost", 64.0),
        ("supply", "great room", "low", 7.0),
        ("pick-up", "hall bath", "boost", 48.0),
        ("pick-up", "laundry", "low", 17.5),
        ("supply stream", "ERV", "low", 70.0),
        ("exhaust stream", "ERV", "boost", 160.0),
    ],
)
def test_what_a_place_was_drawn_for(what, where, state, cfm):
    assert design_flow(tern(), read(what, where, 1.0, state)) == pytest.approx(cfm * CFM)


def test_supply_and_exhaust_of_an_unequal_speed_are_each_their_own():
    house = tern()
    speeds = tuple(replace(s, exhaust=s.supply * 0.9) if s.name == "low" else s for s in house.ventilator.speeds)
    house = replace(house, ventilator=replace(house.ventilator, speeds=speeds))
    for what, where, cfm in (
        ("supply stream", "ERV", 70.0), ("exhaust stream", "ERV", 63.0), ("supply", "bedroom 2", 17.5),
        ("pick-up", "main bath", 0.45 * 63.0),
    ):  # fmt: skip
        assert design_flow(house, read(what, where, 1.0, "low")) == pytest.approx(cfm * CFM)


def test_where_nothing_was_drawn_nothing_is_wanted():
    for one in (read("supply", "laundry", 10.0), read("supply", "main bedroom", 10.0, "turbo")):
        assert design_flow(tern(), one) is None
    assert design_flow(replace(tern(), ventilator=None), read("supply", "main bedroom", 10.0)) is None


# 64 cfm drawn, 15 % either way: 54.4 to 73.6
@pytest.mark.parametrize(
    ("cfm", "word"), [(64.0, GOOD), (58.0, GOOD), (54.5, CANNOT_TELL), (49.0, BAD), (70.0, GOOD), (73.5, CANNOT_TELL),
                      (80.0, BAD)]
)  # fmt: skip
def test_a_grille_against_its_share(cfm, word):
    row = read("supply", "main bedroom", cfm)
    told = flow_told(tern(), row)
    assert (told.word.word, told.reading) == (word, row)
    assert in_units(told.wanted, "ip") == "64 cfm as drawn, to 15 %"
    assert (told.basis, told.source) == ("practice", DESIGN_SOURCE)
    assert bool(told.use) == (word == CANNOT_TELL)


def test_what_would_decide_is_as_sure_as_the_margin_wants():
    """A margin of 5.4 in 59.8 cfm is 9 %: 5.5 % will do, at 1.645 standard deviations; of 2.6 in 57 only 2.8 %."""
    close = flow_told(tern(), read("supply", "main bedroom", 59.8, share=0.2))
    assert close.use == "use a timed bag"
    # over 1.645 and the reading: 2.6 % at 57 cfm; a flow meter is never better than 5 cfm there
    closer = flow_told(tern(), read("supply", "main bedroom", 57.0, share=0.2))
    assert closer.use == f"use a meter of {100 * 1.96 * 2.6 / 1.645 / 57:.0f} % or better, or read it more often"
    stream = flow_told(tern(), read("supply stream", "ERV", 76.0, "low", share=0.2))
    assert stream.use == "use a flow meter"
    # 5.3 % will do: a stream is read at the unit's taps, a grille with a bag
    for what in ("supply stream", "exhaust stream"):
        assert flow_told(tern(), read(what, "ERV", 74.0, "low", share=0.2)).use == "use a unit's pressure taps"


def test_a_reading_of_nothing_is_bad_and_no_trouble():
    assert flow_told(tern(), read("supply", "main bedroom", 0.0)).word.word == BAD


@pytest.mark.parametrize(
    ("one", "against", "cause"),
    [
        (read("supply", "sauna", 10.0), "nothing drawn for this place and speed", ANOTHER_HOUSE.format("room")),
        (read("supply", "laundry", 10.0), "nothing drawn for this place and speed", None),
        (read("supply stream", "HRV", 10.0, "turbo"), "nothing drawn for this place and speed", None),
    ],
)
def test_a_place_that_nothing_was_drawn_for_is_not_judged(one, against, cause):
    told = flow_told(tern(), one)
    assert told.reading is one
    assert (told.word.word, told.wanted, told.basis, told.source, told.use) == (NOT_TESTED, against, "practice", "", "")
    assert (told.question.cause if told.question else None) == cause
    assert told.question is None or told.question.value == one.value


# 28.3 litres a second written as 28.3 cfm where 60 were meant
def test_a_slip_of_units_is_asked_by_the_unit_as_written():
    litres = flow_told(tern(), read("supply", "main bedroom", 64.0 * 0.4719474, unit="cfm"))
    assert litres.question.cause == "litres a second written as cubic feet a minute"
    assert litres.question.value == pytest.approx(64.0 * CFM)
    feet = flow_told(tern(), read("supply", "main bedroom", 64.0 / 0.4719474, unit="l/s"))
    assert feet.question.cause == "cubic feet a minute written as litres a second"
    unwritten = replace(read("supply", "main bedroom", 640.0), shown=None)
    assert flow_told(tern(), unwritten).question.cause == "ten times too much"


# the dryer is rated 125 cfm: 106 at least; the hood 500 at medium
@pytest.mark.parametrize(
    ("where", "state", "cfm", "word"),
    [
        ("dryer", "on", 125.0, GOOD), ("dryer", "on", 200.0, GOOD), ("dryer", "on", 107.0, CANNOT_TELL),
        ("dryer", "on", 90.0, BAD), ("range hood", "medium", 500.0, GOOD), ("range hood", "high", 500.0, BAD),
    ],
)  # fmt: skip
def test_a_machine_against_its_rating(where, state, cfm, word):
    row = read("exhaust", where, cfm, state)
    told = machine_told(tern(), row)
    assert (told.word.word, told.reading) == (word, row)
    assert (told.basis, told.source) == ("practice", "common practice")
    if where == "dryer":
        assert in_units(told.wanted, "ip") == "106 cfm or more of 125 cfm rated"
    assert bool(told.use) == (word == CANNOT_TELL)


def test_what_would_decide_a_machine_goes_by_what_reads_an_exhaust():
    told = machine_told(tern(), read("exhaust", "dryer", 112.0, "on", share=0.2))
    needed = (112 - 0.85 * 125) / 1.645 / 112
    assert told.use == "use a traverse"
    assert instrument(told.use.removeprefix("use a ")).of(112 * CFM) <= needed * 112 * CFM


# field studies: a hood at two thirds of its rating is common, and no slip need explain it
def test_a_machine_at_less_than_its_rating_is_not_asked_about_until_it_is_far_less():
    assert machine_told(tern(), read("exhaust", "range hood", 450.0, "high")).question is None
    asked = machine_told(tern(), read("exhaust", "range hood", 400.0, "high")).question
    assert asked.cause == "litres a second written as cubic feet a minute"


@pytest.mark.parametrize(
    ("where", "state", "cause"), [("sauna fan", "on", ANOTHER_HOUSE.format("machine")), ("dryer", "turbo", None)]
)
def test_a_machine_that_is_not_there_is_not_judged(where, state, cause):
    row = read("exhaust", where, 50.0, state)
    told = machine_told(tern(), row)
    assert told.reading is row
    assert (told.word.word, told.wanted) == (NOT_TESTED, "no such machine or speed in the file")
    assert (told.question.cause if told.question else None) == cause


# ---- the unit on and off, by the house's own leaks


def swing(on, off, state="low", stale=False, accuracy=0.01, floor=0.2):
    meter = Meter(instrument("manometer", accuracy, floor), stale=stale)
    shown = Shown("pressure", on, off, unit="pa")
    mean = sum(on) / len(on) - sum(off) / len(off)
    return StartUpReading(state, "unit swing", "great room", mean, "", 0.1, 3, meter, shown)


def known():
    """The house with a tightness and an exponent known to the last digit, so that the gauge alone is unsure."""
    house = tern()
    envelope = house.envelope
    tight = type(envelope.tightness)
    return replace(house, envelope=replace(envelope, tightness=tight.exactly(ach50(house).likely),
                                           exponent=tight.exactly(exponent(house)[0].likely)))  # fmt: skip


def leak(house):
    power = exponent(house)[0].likely
    return ach50(house).likely * house.volume / 3600 / 50**power, power


# by hand: dQ = C (on^n - off^n); errors of both pressures go through n C p^(n-1)
def test_the_net_flow_of_a_swing_and_its_error():
    house = known()
    factor, power = leak(house)
    found = net_flow_of_swing(house, swing((-8.0,), (-2.0,)))
    assert found.value == pytest.approx(factor * (8**power - 2**power))
    gauge = 0.2 / NORMAL_95
    by_hand = math.hypot(*(factor * ((p + gauge) ** power - (p - gauge) ** power) / 2 for p in (8.0, 2.0)))
    assert found.error == pytest.approx(by_hand, rel=1e-6)


def test_an_old_gauge_counts_twice_in_a_swing_and_samples_that_scatter_count():
    house = known()
    fresh, old = (net_flow_of_swing(house, swing((-8.0,), (-2.0,), stale=stale)).error for stale in (False, True))
    assert old == pytest.approx(2 * fresh, rel=1e-3)
    factor, power = leak(house)
    wild = net_flow_of_swing(house, swing((-6.0, -10.0), (-2.0, -2.0)))
    own = 0.2 / NORMAL_95 * math.sqrt(0.75)
    high = math.hypot(own, math.sqrt(8.0 / 2))  # samples 4 Pa apart: variance 8, of their mean half of it
    parts = [factor * ((p + u) ** power - (p - u) ** power) / 2 for p, u in ((8.0, high), (2.0, own))]
    assert wild.error == pytest.approx(math.hypot(*parts), rel=1e-6)
    three = net_flow_of_swing(house, swing((-7.0, -8.0, -9.0), (-2.0,))).error
    high = math.hypot(0.2 / NORMAL_95 * math.sqrt(0.5 + 0.5 / 3), math.sqrt(1.0 / 3))
    low = 0.2 / NORMAL_95
    parts = [factor * ((p + u) ** power - (p - u) ** power) / 2 for p, u in ((8.0, high), (2.0, low))]
    assert three == pytest.approx(math.hypot(*parts), rel=1e-6)
    more = net_flow_of_swing(house, swing((-6.0, -10.0, -6.0, -10.0), (-2.0,))).error
    assert more < wild.error


def test_a_range_of_tightness_hands_its_error_on():
    sure, wide = (net_flow_of_swing(house, swing((-8.0,), (-2.0,))).error for house in (known(), tern()))
    assert wide > 3 * sure


# a range of 10 to 90 % is 2 x 1.2816 standard deviations wide (normal table)
def test_each_range_hands_its_error_on_by_hand():
    house, sure = tern(), known()
    row = swing((-8.0,), (-2.0,))
    exact = net_flow_of_swing(sure, row)
    tight, n = ach50(house), exponent(house)[0]
    of_tightness = exact.value * (tight.high - tight.low) / (2 * 1.2815516) / tight.likely
    only = replace(sure, envelope=replace(sure.envelope, tightness=house.envelope.tightness))
    assert net_flow_of_swing(only, row).error == pytest.approx(math.hypot(exact.error, of_tightness), rel=1e-6)

    def net(power):
        return tight.likely * house.volume / 3600 * ((8 / 50) ** power - (2 / 50) ** power)

    wide = Uncertain(n.likely - 0.05, n.likely, n.likely + 0.05)
    step = 0.10 / (2 * 1.2815516)
    of_exponent = (net(n.likely + step) - net(n.likely - step)) / 2
    only = replace(sure, envelope=replace(sure.envelope, exponent=wide))
    assert net_flow_of_swing(only, row).error == pytest.approx(math.hypot(exact.error, of_exponent), rel=1e-6)


LARGER = balance_rules(("irc",))[0]
EXHAUST = balance_rules((), "10 % of exhaust")[0]
MEAN = balance_rules((), "10 % of their mean")[0]


# 70 cfm each way: 7 cfm by 10 % of either, 14 by 10 % of either from their mean (of both)
@pytest.mark.parametrize(("rule", "most"), [(LARGER, 7.0), (EXHAUST, 7.0), (MEAN, 14.0)])
def test_a_swing_against_each_meaning_of_balanced(rule, most):
    row = swing((-1.0,), (-1.0,))
    told = swing_told(known(), row, rule)
    assert told.reading is row
    assert in_units(told.wanted, "ip") == (f"{most:g} cfm net at most ({rule.title}); the swing makes it 0 cfm in")
    assert (told.basis, told.source) == (rule.basis, rule.source.text)


def test_a_small_unit_may_be_off_by_five_cfm_where_the_rule_says_so():
    house = known()
    speeds = tuple(replace(s, supply=30 * CFM, exhaust=20 * CFM) for s in house.ventilator.speeds)
    house = replace(house, ventilator=replace(house.ventilator, speeds=speeds))
    for rule, most in ((LARGER, "5 cfm"), (EXHAUST, "2 cfm"), (MEAN, "5 cfm")):
        assert in_units(swing_told(house, swing((-1.0,), (-1.0,)), rule).wanted, "ip").startswith(f"{most} net at most")


@pytest.mark.parametrize(
    ("on", "off", "word", "way"),
    [(-9.0, -1.0, BAD, "out"), (-1.0, -9.0, BAD, "in"), (-3.0, -3.0, GOOD, "in"), (-1.30, -1.0, CANNOT_TELL, "out")],
)
def test_a_swing_is_judged_both_ways(on, off, word, way):
    told = swing_told(known(), swing((on,), (off,), floor=4.0 if word == CANNOT_TELL else 0.05), MEAN)
    assert told.word.word == word, told
    assert told.wanted.endswith(way)
    assert told.use == ("read both streams at the unit" if word == CANNOT_TELL else "")


def test_a_swing_at_a_speed_that_is_not_there_is_not_judged():
    for house in (tern(), replace(tern(), ventilator=None)):
        row = swing((-1.0,), (-1.0,), state="turbo")
        told = swing_told(house, row, LARGER)
        assert told.reading is row
        assert (told.word.word, told.wanted) == (NOT_TESTED, "no such speed of the ventilator in the file")
