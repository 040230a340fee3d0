"""Readings under Hypothesis: units, the order of rows and samples never count; more readings never make one less sure.

All readings are invented.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from importlib import resources

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from airledger.errors import InputError
from airledger.inference.balance_read import balances
from airledger.inference.flows_read import flow_told, machine_told
from airledger.io.house_file import loads
from airledger.io.readings_file import read_test_text
from airledger.io.start_up_file import read_start_up_text
from airledger.rules.airtightness_methods import METHODS, airtightness_result
from airledger.rules.airtightness_rules import COME_BACK, READ, WITH_CARE, readable, validity, wind_band
from airledger.rules.balance import balance_rules
from airledger.rules.instruments import STALE, instrument, instrument_keys
from airledger.rules.shown import Meter, Shown, taken
from airledger.units import CFM, INCH_OF_WATER
from tests.unit.rules.fan_tests import REFERENCE

SPREAD = st.floats(0.9, 1.1)


@cache
def tern():
    text = resources.files("airledger").joinpath("examples/tern-street-14.yaml").read_text(encoding="utf-8")
    return loads(text, "tern.yaml")


# ---- instruments

KINDS = st.sampled_from(instrument_keys())


@given(KINDS, st.floats(0.001, 50.0), st.integers(1, 20), st.integers(0, 20))
def test_a_reading_repeated_is_never_less_sure(key, value, repeats, more):
    made = instrument(key)
    assert made.of(value, repeats + more) <= made.of(value, repeats)
    assert made.of(value, repeats) >= 0.7 * made.of(value)
    assert made.of(-value, repeats) == made.of(value, repeats)


@given(KINDS, st.floats(0.001, 50.0), st.floats(0.001, 0.5), st.floats(1.0, 3.0), st.floats(0.0, 5.0))
def test_a_coarser_sheet_is_never_surer(key, value, accuracy, times, floor):
    fine = instrument(key, accuracy, floor).of(value)
    assert instrument(key, accuracy * times, floor).of(value) >= fine
    assert instrument(key, accuracy, floor * times).of(value) >= fine


SHOWN = {
    "powered flow hood": ("flow", {}, st.floats(0.005, 0.1)),
    "vane meter": ("speed", {"frame_factor": 0.85}, st.floats(0.5, 5.0)),
    "flow station": ("pressure", {"station_factor": 0.006}, st.floats(2.0, 100.0)),
    "orifice box": ("pressure", {}, st.floats(0.5, 6.0)),
    "timed bag": ("time", {"bag_volume": 0.07}, st.floats(1.0, 20.0)),
    "unit's pressure taps": ("pressure", {"tap_points": ((1.0, 0.01), (500.0, 0.2))}, st.floats(5.0, 90.0)),
    "manometer": ("pressure", {}, st.floats(5.0, 100.0)),
}


@st.composite
def shown(draw):
    """What an instrument showed, near one value, and the instrument."""
    key = draw(st.sampled_from(sorted(SHOWN)))
    dimension, sheet, values = SHOWN[key]
    middle = draw(values)
    samples = tuple(middle * draw(SPREAD) for _ in range(draw(st.integers(2, 6))))
    return Shown(dimension, samples, area=0.03), Meter(instrument(key), draw(st.booleans()), **sheet)


@given(shown())
def test_the_same_samples_once_more_change_no_value_and_never_widen_it(read):
    told, by = read
    once, twice = taken(told, by), taken(replace(told, samples=told.samples * 2), by)
    assert twice.value == pytest.approx(once.value)
    assert twice.error <= once.error * (1 + 1e-12)


@given(shown(), st.randoms(use_true_random=False))
def test_the_order_of_samples_does_not_count(read, chance):
    told, by = read
    mixed = tuple(chance.sample(told.samples, len(told.samples)))
    assert taken(replace(told, samples=mixed), by) == pytest.approx(taken(told, by))


@given(shown(), st.floats(1.05, 3.0))
def test_gusts_never_make_a_reading_surer(read, times):
    told, by = read
    mean = sum(told.samples) / len(told.samples)
    gusty = tuple(mean + times * (one - mean) for one in told.samples)
    assume(min(gusty) > 0.0)
    assert taken(replace(told, samples=gusty), by).error >= taken(told, by).error * (1 - 1e-9)


@given(shown())
def test_an_old_calibration_widens_and_moves_nothing(read):
    told, by = read
    fresh, old = taken(told, replace(by, stale=False)), taken(told, replace(by, stale=True))
    assert old.value == fresh.value
    assert fresh.error < old.error <= STALE * fresh.error * (1 + 1e-12)


# ---- start-up files

UNITS = {"cfm": 1.0, "L/s": 0.4719474432, "m3/h": 1.69901079552, "m3/s": 0.0004719474432}
HEAD = "# date: 2027-03-10\n# instrument hood: powered flow hood, accuracy 6 %, calibrated on 2026-11-02\n"
PLACES = (
    ("low", "supply stream", "ERV", 71, "flow station"),
    ("low", "exhaust stream", "ERV", 69, "flow station"),
    ("boost", "supply", "main bedroom", 63, "hood"),
    ("boost", "supply", "bedroom 2", 41, "hood"),
    ("boost", "supply", "bedroom 3", 39, "hood"),
    ("boost", "supply", "great room", 42, "hood"),
    ("boost", "pick-up", "main bath", 86, "hood"),
    ("boost", "pick-up", "hall bath", 47, "hood"),
    ("boost", "pick-up", "laundry", 47, "hood"),
    ("high", "exhaust", "range hood", 700, "hood"),
)


@st.composite
def visits(draw):
    """Readings of a visit in cubic feet a minute, each somewhere about what was drawn."""
    return tuple((*place[:3], place[3] * draw(st.floats(0.5, 1.5)), place[4]) for place in PLACES)


def words(visit, unit="cfm"):
    """Each reading's word and what it was judged by, and those of the balance."""
    rows = [f"{state},{what},{where},{value * UNITS[unit]!r} {unit},{by}\n" for state, what, where, value, by in visit]
    read = read_start_up_text(f"{HEAD}state,what,where,value,instrument\n{''.join(rows)}", "s.csv")
    told = [(machine_told if one.what == "exhaust" else flow_told)(tern(), one) for one in read.readings]
    lines = Counter((one.reading.state, one.reading.what, one.reading.where, one.word.word, one.wanted) for one in told)
    balance = balances(tern(), read, balance_rules(("irc",)))
    return lines + Counter((one.state, one.rule, one.word.word, round(one.word.wrong, 6)) for one in balance)


@settings(max_examples=15)
@given(visits(), st.sampled_from(sorted(UNITS)))
def test_a_file_in_another_unit_gives_the_same_words(visit, unit):
    assert words(visit, unit) == words(visit)


@settings(max_examples=15)
@given(visits(), st.randoms(use_true_random=False))
def test_the_order_of_a_start_up_s_rows_does_not_count(visit, chance):
    assert words(chance.sample(visit, len(visit))) == words(visit)


@settings(max_examples=15)
@given(visits(), st.integers(0, len(PLACES) - 1), st.sampled_from([0.5, 0.8, 1.2, 2.0]))
def test_nor_where_a_second_instrument_read_the_same_place(visit, place, times):
    state, what, where, value, by = visit[place]
    other = "flow meter" if by == "hood" else "traverse"
    second = (state, what, where, value * times, other)
    assert words((second, *visit)) == words((*visit, second))


# ---- fan tests

methods = st.sampled_from(METHODS)


@st.composite
def fan_tests(draw):
    """The reference test, each flow a little off its line."""
    return replace(REFERENCE, flows=tuple(flow * draw(st.floats(0.97, 1.03)) for flow in REFERENCE.flows))


def told(test, method):
    found = airtightness_result(test, method)
    at_50 = found.flow_at(50.0)
    return (found.exponent.value, at_50.value, at_50.low, at_50.high, found.ela4.value, found.eqla10.value)


def met(test, method):
    return [(rule.key, rule.required, rule.found, rule.verdict) for rule in validity(airtightness_result(test, method))]


@given(fan_tests(), methods, st.randoms(use_true_random=False))
def test_the_order_of_a_fan_test_s_rows_does_not_count(test, method, chance):
    order = chance.sample(range(len(test.flows)), len(test.flows))
    mixed = replace(
        test, pressures=tuple(test.pressures[i] for i in order), flows=tuple(test.flows[i] for i in order),
        lines=tuple(test.lines[i] for i in order),
    )  # fmt: skip
    assert told(mixed, method) == pytest.approx(told(test, method), rel=1e-9)
    assert met(mixed, method) == met(test, method)
    one, other = (airtightness_result(each, method) for each in (test, mixed))
    assert {point.line: point.deviation for point in one.points} == pytest.approx(
        {point.line: point.deviation for point in other.points}
    )


@given(fan_tests(), methods)
def test_a_fan_test_s_readings_once_more_never_widen_it(test, method):
    twice = replace(test, pressures=test.pressures * 2, flows=test.flows * 2, lines=test.lines * 2)
    one, two = told(test, method), told(twice, method)
    assert two[:2] == pytest.approx(one[:2])
    assert two[3] - two[2] <= (one[3] - one[2]) * (1 + 1e-9)


@given(fan_tests(), methods, st.floats(0.3, 3.0))
def test_twice_the_flow_is_twice_the_leak(test, method, times):
    one, other = told(test, method), told(replace(test, flows=tuple(flow * times for flow in test.flows)), method)
    assert other[0] == pytest.approx(one[0])
    assert other[1:] == pytest.approx([times * value for value in one[1:]])


@given(fan_tests(), st.sampled_from(["e1827-1", "e1827-2"]), st.floats(0.01, 0.2), st.floats(1.01, 3.0))
def test_a_coarser_fan_never_narrows_a_test_of_few_points(test, method, accuracy, times):
    fine, coarse = (told(replace(test, accuracy=one), method) for one in (accuracy, accuracy * times))
    assert coarse[1] == fine[1]
    assert coarse[2] < fine[2] < fine[3] < coarse[3]


@given(fan_tests(), methods, st.lists(st.floats(0.1, 4.0), min_size=1, max_size=3), st.floats(1.0, 3.0))
def test_a_baseline_that_wanders_more_is_never_read_more_readily(test, method, swings, times):
    order = (COME_BACK, WITH_CARE, READ)

    def wandering(by):
        samples = tuple(REFERENCE.before + sign * by * swing for swing in swings for sign in (-1.0, 1.0))
        return replace(test, baselines_before=samples)

    calm, restless = wandering(1.0), wandering(times)
    assert wind_band(restless) >= wind_band(calm)
    one, other = (readable(airtightness_result(each, method))[0] for each in (calm, restless))
    assert order.index(other) <= order.index(one)


KEYS = {
    "ip": "# direction: depressurization\n# indoor temperature: {inside_f:.6f} F\n"
    "# outdoor temperature: {outside_f:.6f} F\n# elevation: {feet:.6f} ft\n# volume: {ft3:.6f} ft3\n"
    "# baseline before: {base_inwc!r} inwc\n# baseline after: {base_inwc!r} inwc\npressure [inwc],flow [cfm]\n",
    "si": "# direction: depressurization\n# indoor temperature: {inside!r} C\n"
    "# outdoor temperature: {outside!r} C\n# elevation: {metres!r} m\n# volume: {m3!r} m3\n"
    "# baseline before: {base!r} Pa\n# baseline after: {base!r} Pa\npressure [Pa],flow [L/s]\n",
}  # fmt: skip


# exact units: foot 0.3048 m; 32 + 1.8 C; an inch of water by the table of units
@given(
    fan_tests(), methods, st.floats(15.0, 25.0), st.floats(-20.0, 30.0), st.floats(0.0, 2000.0), st.floats(-3.0, 3.0)
)
def test_a_fan_test_in_other_units_gives_the_same_result(test, method, inside, outside, metres, base):
    given_ = {
        "inside": inside, "inside_f": 32 + 1.8 * inside, "outside": outside, "outside_f": 32 + 1.8 * outside,
        "metres": metres, "feet": metres / 0.3048, "m3": 700.0, "ft3": 700.0 / 0.3048**3, "base": base,
        "base_inwc": base / INCH_OF_WATER,
    }  # fmt: skip
    rows = {
        "ip": "".join(f"{p / INCH_OF_WATER!r},{q / CFM!r}\n" for p, q in zip(test.pressures, test.flows, strict=True)),
        "si": "".join(f"{p!r},{q * 1e3!r}\n" for p, q in zip(test.pressures, test.flows, strict=True)),
    }
    ip, si = (read_test_text(KEYS[name].format(**given_) + rows[name], "r.csv").test for name in ("ip", "si"))
    assert told(ip, method) == pytest.approx(told(si, method), rel=1e-6)
    assert [one[:2] + one[3:] for one in met(ip, method)] == [one[:2] + one[3:] for one in met(si, method)]
    assert readable(airtightness_result(ip, method))[0] == readable(airtightness_result(si, method))[0]


@given(fan_tests(), methods)
def test_both_directions_of_one_air_read_the_same(test, method):
    """Air of one temperature and humidity has no inside and outside: blowing in reads as sucking out."""
    still = replace(test, outdoor_temperature=test.indoor_temperature, outdoor_humidity=test.indoor_humidity)
    blown = replace(
        still, direction="pressurization", pressures=tuple(-p for p in still.pressures),
        baselines_before=tuple(-b for b in still.baselines_before),
        baselines_after=tuple(-b for b in still.baselines_after),
    )  # fmt: skip
    try:
        one = told(still, method)
    except InputError:
        assume(False)
    assert told(blown, method) == pytest.approx(one)
    assert np.isfinite(one).all()
