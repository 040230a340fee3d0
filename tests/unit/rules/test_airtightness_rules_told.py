"""What each rule of a fan test's standards asks and finds, to the printed figure; outliers against a second regression.

Limits: every one from memory (docs/check-coverage.md, airtightness 2). Regressions: numpy's polyfit and corrcoef, the
t distribution of scipy.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from airledger.quantities import in_units
from airledger.rules.airtightness_methods import METHODS, airtightness_result, mean_of_both
from airledger.rules.airtightness_rules import (
    CANNOT_TELL,
    COME_BACK,
    MET,
    NOT_MET,
    WITH_CARE,
    odd_points,
    readable,
    validity,
    wind_band,
)
from airledger.sources import table
from tests.unit.rules.fan_tests import REFERENCE
from tests.unit.rules.test_airtightness_methods import up

CALM = replace(REFERENCE, baselines_before=(0.0,), baselines_after=(0.0,))


def look(test, method, key):
    (rule,) = [rule for rule in validity(airtightness_result(test, method)) if rule.key == key]
    return in_units(rule.required, "si"), in_units(rule.found, "si"), rule.verdict


def made(*pressures, flow=lambda p: 0.02 * p**0.65):
    """A test whose fan makes these pressures, no baseline in them."""
    return replace(
        CALM, pressures=tuple(-p for p in pressures), flows=tuple(flow(p) for p in pressures),
        lines=tuple(range(20, 20 + len(pressures))),
    )  # fmt: skip


ASKED = {
    "e779": {"points": "at least 5", "steps": "at most 10 Pa", "range": "10 to 60 Pa", "baselines": "before and after",
             "exponent": "0.5 to 1", "wind": "at most 2.0 m/s", "temperatures": "5.0 C to 35.0 C",
             "stack": "at most 200 m K", "both_directions": "both"},
    "iso9972": {"points": "at least 5", "steps": "at most 10 Pa",
                "lowest": "at least 10 Pa and 5 times the baseline: 13.0 Pa", "highest": "at least 50 Pa",
                "baselines": "before and after", "baseline_mean": "at most 5 Pa", "exponent": "0.5 to 1",
                "correlation": "above 0.98", "wind": "at most 3.0 m/s", "stack": "at most 250 m K"},
    "cgsb149": {"points": "at least 8", "range": "15 to 50 Pa", "baselines": "before and after",
                "exponent": "0.5 to 1", "correlation": "at least 0.99", "error_at_10": "at most 7 %",
                "wind": "at most 5.6 m/s", "depressurization": "depressurization"},
    "e1827-1": {"points": "at least 1", "highest": "at least 45 Pa", "baselines": "before",
                "baseline_spread": "less than 5 Pa; to 10 Pa with reduced accuracy"},
    "e1827-2": {"points": "at least 2", "highest": "at least 45 Pa", "baselines": "before",
                "baseline_spread": "less than 5 Pa; to 10 Pa with reduced accuracy"},
}  # fmt: skip


@pytest.mark.parametrize("method", METHODS)
def test_what_a_standard_asks_is_told(method):
    told = validity(airtightness_result(REFERENCE, method))
    assert {rule.key: in_units(rule.required, "si") for rule in told} == ASKED[method]
    printed = {rule["key"]: rule for rule in table("rules/tables/airtightness")["rule"] if method in rule["standard"]}
    for rule in told:
        assert rule.title == printed[rule.key]["title"]
        assert (rule.source.name, rule.source.tag) == (printed[rule.key]["section"], printed[rule.key]["tag"])


# by hand from the reference readings: the baseline is -2.4 Pa, 26 K over 18 ft are 142.6 m K
@pytest.mark.parametrize(
    ("method", "key", "change", "found"),
    [
        ("e779", "points", {}, "8"),
        ("e779", "steps", {}, "7.5 Pa"),
        ("e779", "range", {}, "10.8 to 59.9 Pa"),
        ("iso9972", "lowest", {}, "10.8 Pa"),
        ("iso9972", "highest", {}, "59.9 Pa"),
        ("iso9972", "baseline_mean", {}, "2.6 Pa"),
        ("e779", "baselines", {}, "before and after"),
        ("e779", "baselines", {"baselines_before": (), "baselines_after": ()}, "none"),
        ("e779", "wind", {"wind": 1.5}, "1.5 m/s"),
        ("e779", "temperatures", {}, "−5.0 C"),
        ("e779", "stack", {}, "143 m K"),
        ("e779", "both_directions", {}, "depressurization"),
        ("e1827-1", "baseline_spread", {"baselines_before": (-1.0, -3.5)}, "2.5 Pa"),
        ("cgsb149", "depressurization", {}, "depressurization"),
    ],
)
def test_what_was_found_is_told(method, key, change, found):
    assert look(replace(REFERENCE, **change), method, key)[1] == found


@pytest.mark.parametrize(
    ("method", "key", "change", "found"),
    [
        ("e779", "wind", {}, "not written down"),
        ("e779", "temperatures", {"outdoor_temperature": None}, "not written down"),
        ("e779", "stack", {"height": None}, "temperatures or height not written down"),
        ("iso9972", "baseline_mean", {"baselines_before": (), "baselines_after": ()}, "no baseline"),
        ("e1827-2", "baseline_spread", {}, "one value only"),
    ],
)
def test_what_was_not_written_down_is_said(method, key, change, found):
    assert look(replace(REFERENCE, **change), method, key)[1:] == (found, CANNOT_TELL)


# a rounding of half a pascal is let through where a series is set by hand
@pytest.mark.parametrize(
    ("method", "key", "good", "bad"),
    [
        ("e779", "steps", made(12, 20, 30.5, 40, 50, 60), made(12, 20, 30.6, 40, 50, 60)),
        ("e779", "range", made(9.5, 18, 26, 34, 42, 50), made(9.4, 18, 26, 34, 42, 50)),
        ("e779", "range", made(10, 20, 30, 40, 50, 60.5), made(10, 20, 30, 40, 50, 60.6)),
        ("iso9972", "highest", made(10, 20, 30, 40, 50), made(10, 20, 30, 40, 49.9)),
        ("iso9972", "lowest", made(10, 20, 30, 40, 50), made(9.9, 20, 30, 40, 50)),
        ("iso9972", "stack", replace(CALM, height=10.0, outdoor_temperature=-4.0),
         replace(CALM, height=10.0, outdoor_temperature=-4.1)),
        ("e779", "wind", replace(CALM, wind=2.0), replace(CALM, wind=2.1)),
        ("e779", "temperatures", replace(CALM, outdoor_temperature=5.0), replace(CALM, outdoor_temperature=4.9)),
        ("e779", "temperatures", replace(CALM, outdoor_temperature=35.0), replace(CALM, outdoor_temperature=35.1)),
        ("iso9972", "baseline_mean", replace(CALM, baselines_before=(-4.0, -6.0, 2.0)),
         replace(CALM, baselines_before=(-4.0, -6.1, 2.0))),
        ("iso9972", "baseline_mean", replace(CALM, baselines_after=(8.0, 2.0, 0.0)),
         replace(CALM, baselines_after=(8.1, 2.0, 0.0))),
        ("e1827-1", "baseline_spread", replace(CALM, baselines_before=(0.0, 4.9)),
         replace(CALM, baselines_before=(0.0, 5.0))),
    ],
)  # fmt: skip
def test_each_limit_lies_where_it_says(method, key, good, bad):
    assert look(good, method, key)[2] == MET
    assert look(bad, method, key)[2] == NOT_MET


def test_baselines_of_both_signs_are_averaged_by_sign_and_zero_belongs_to_neither():
    assert look(replace(CALM, baselines_before=(0.0, 0.4, -3.0, -1.0)), "iso9972", "baseline_mean")[1] == "2.0 Pa"
    assert look(replace(CALM, baselines_before=(0.0, 0.2, 0.6)), "iso9972", "baseline_mean")[1] == "0.4 Pa"


def noisy(factors):
    return replace(REFERENCE, flows=tuple(f * k for f, k in zip(REFERENCE.flows, factors, strict=True)))


# numpy's corrcoef of the logarithms
def test_the_correlation_is_numpys():
    found = airtightness_result(noisy((1, 1.1, 0.9, 1, 1.15, 0.9, 1, 1.1)), "iso9972")
    x, y = (np.log([getattr(point, name) for point in found.points]) for name in ("pressure", "flow"))
    (rule,) = [rule for rule in validity(found) if rule.key == "correlation"]
    assert rule.found == f"{np.corrcoef(x, y)[0, 1] ** 2:.4f}"
    assert rule.found < "0.98"
    assert rule.verdict == NOT_MET


# numpy's polyfit with weights of the flows: the standard error of the line at 10 Pa
def test_the_error_at_10_pa_is_numpys():
    for factors in ((1, 1.1, 0.9, 1, 1.15, 0.9, 1, 1.1), (1, 1.01, 0.99, 1, 1.02, 0.98, 1, 1)):
        found = airtightness_result(noisy(factors), "cgsb149")
        x, y = (np.log([getattr(point, name) for point in found.points]) for name in ("pressure", "flow"))
        _, spread = np.polyfit(x, y, 1, w=np.exp(y), cov=True)
        at = np.array([math.log(10.0), 1.0])
        (rule,) = [rule for rule in validity(found) if rule.key == "error_at_10"]
        assert rule.found == f"{100 * math.sqrt(at @ spread @ at):.1f} %"


# the same question asked another way: each reading against the line of all others, with that line's own error
def left_out(points, place):
    """How many standard errors a reading lies off the line of the others [-]."""
    x, y = (np.log([getattr(point, name) for point in points]) for name in ("pressure", "flow"))
    others = np.delete(x, place), np.delete(y, place)
    slope, start = np.polyfit(*others, 1)
    left = others[1] - start - slope * others[0]
    scatter = math.sqrt(float((left**2).sum()) / (len(left) - 2))
    lever = 1 + 1 / len(left) + (x[place] - others[0].mean()) ** 2 / float(((others[0] - others[0].mean()) ** 2).sum())
    return (y[place] - start - slope * x[place]) / (scatter * math.sqrt(lever))


@given(st.lists(st.floats(0.97, 1.03), min_size=4, max_size=8), st.data())
def test_an_outlier_is_one_that_the_line_of_the_others_would_hardly_make(factors, data):
    count = len(factors)
    place, off = data.draw(st.integers(0, count - 1)), data.draw(st.sampled_from([0.6, 0.8, 0.9, 1.1, 1.25, 1.6]))
    factors[place] *= off
    test = replace(
        REFERENCE, pressures=REFERENCE.pressures[:count], lines=REFERENCE.lines[:count],
        flows=tuple(f * k for f, k in zip(REFERENCE.flows[:count], factors, strict=True)),
    )  # fmt: skip
    found = airtightness_result(test, "e779")
    limit = float(stats.t.ppf(1 - 0.05 / (2 * count), count - 3))
    away = [abs(left_out(found.points, number)) for number in range(count)]
    assume(all(abs(one / limit - 1) > 1e-6 for one in away))
    expected = [
        point.line for point, one in zip(found.points, away, strict=True) if one > limit and abs(point.deviation) > 0.03
    ]
    told = [odd for odd in odd_points(found) if odd.kind == "outlier"]
    assert [odd.point.line for odd in told] == expected
    for odd in told:
        assert odd.words == f"{100 * odd.point.deviation:+.0f} % off the line that the others make".replace("-", "−")


def test_three_readings_have_no_outlier_and_four_may():
    three = made(20, 35, 50, flow=lambda p: 0.02 * p**0.65 * (1.3 if p == 35 else 1.0))
    assert odd_points(airtightness_result(three, "e779")) == ()
    four = made(20, 30, 40, 50, flow=lambda p: 0.02 * p**0.65 * (1.3 if p == 30 else 1 + 1e-4 * (p == 40)))
    assert [odd.point.line for odd in odd_points(airtightness_result(four, "e779"))] == [21]
    # a single reading has no line
    assert odd_points(airtightness_result(four, "e1827-1")) == ()


# by hand: two samples a pascal apart scatter by 0.71 Pa
def test_two_samples_of_a_baseline_tell_the_wind():
    assert wind_band(replace(REFERENCE, baselines_before=(-2.0, -3.0), baselines_after=(-2.5,))) == pytest.approx(
        0.5**0.5
    )


def test_what_the_wind_moves_is_told_in_percent():
    band = 2.0
    gusty = replace(REFERENCE, baselines_before=(-0.5, -4.5, -2.5), baselines_after=(-2.5,))
    found = airtightness_result(gusty, "e779")
    for odd in odd_points(found):
        share = found.exponent.value * band / odd.point.pressure
        assert share > 0.10
        assert odd.words == f"the baseline's ±2.0 Pa moves it by {100 * share:.0f} %"


def test_a_flow_that_is_not_known_is_told_with_how_far():
    found = airtightness_result(noisy((0.5, 1.8, 0.6, 1.6, 0.6, 1.5, 0.6, 1)), "e779")
    at_50 = found.flow_at(50.0)
    half = max(at_50.high - at_50.value, at_50.value - at_50.low) / at_50.value
    word, why = readable(found)
    assert word == COME_BACK
    assert f"the flow at 50 Pa is known to ±{100 * half:.0f} % only" in why
    assert half > 0.25


def test_an_exponent_past_one_is_no_leaks():
    steep = replace(REFERENCE, flows=tuple(f**1.7 for f in REFERENCE.flows))
    word, why = readable(airtightness_result(steep, "e779"))
    assert word == COME_BACK
    assert why[0].startswith("the exponent is 1.1")


def test_a_test_without_a_baseline_is_read_with_the_word_that_there_is_none():
    bare = replace(CALM, baselines_before=(), baselines_after=())
    word, why = readable(airtightness_result(bare, "e779"))
    assert word == WITH_CARE
    assert any(one.endswith("none, asked for before and after") for one in why)


def test_the_direction_of_an_odd_reading_is_named_only_where_there_are_two():
    outlier = noisy((1, 1, 1, 1, 0.8, 1, 1, 1))
    (one,) = readable(airtightness_result(outlier, "e779"))[1][:1]
    assert one.startswith("31 Pa: −")
    both = mean_of_both(airtightness_result(outlier, "e779"), airtightness_result(up(), "e779"))
    assert readable(both)[1][0].startswith("31 Pa of the depressurization: −")


# of two directions the one that keeps a rule worst is told
def test_the_worse_direction_of_a_rule_is_told():
    short = up(made(12, 20, 30, 40, 50, 60))
    long = made(12, 20, 30, 40, 55, 60)
    for down, blown in ((long, short), (made(12, 20, 30, 40, 50, 60), up(long))):
        both = mean_of_both(airtightness_result(down, "e779"), airtightness_result(blown, "e779"))
        (rule,) = [rule for rule in validity(both) if rule.key == "steps"]
        assert (rule.found, rule.verdict) == ("15.0 Pa", NOT_MET)
