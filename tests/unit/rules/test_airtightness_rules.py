"""Whether a fan test counts: every rule met and missed, readings that do not belong, when to come back."""

from dataclasses import replace

import pytest

from airledger.rules.airtightness_methods import METHODS, airtightness_result, mean_of_both
from airledger.rules.airtightness_rules import (
    CANNOT_TELL,
    COME_BACK,
    MET,
    NOT_MET,
    READ,
    WITH_CARE,
    odd_points,
    readable,
    validity,
    wind_band,
)
from airledger.sources import table
from tests.unit.rules.fan_tests import REFERENCE
from tests.unit.rules.test_airtightness_methods import up

FEW = {"pressures": REFERENCE.pressures[:4], "flows": REFERENCE.flows[:4]}
NEAR_50 = {"pressures": (-52.4, -52.4), "flows": (0.2, 0.2)}


def verdict(test, method, key):
    return next(rule for rule in validity(airtightness_result(test, method)) if rule.key == key)


# airtightness.md 2: every limit from memory
@pytest.mark.parametrize(
    ("method", "key", "good", "bad"),
    [
        ("e779", "points", {}, FEW),
        ("iso9972", "points", {}, FEW),
        ("cgsb149", "points", {}, FEW),
        ("e779", "steps", {}, {"pressures": (-62.3, -45.0, *REFERENCE.pressures[2:])} | {"flows": REFERENCE.flows}),
        ("e779", "range", {}, {"pressures": (-72.4, *REFERENCE.pressures[1:])}),
        ("iso9972", "lowest", {"baselines_before": (-2.0,), "baselines_after": (-2.0,)}, {}),
        ("iso9972", "highest", {}, {"pressures": REFERENCE.pressures[3:], "flows": REFERENCE.flows[3:]}),
        ("e779", "baselines", {}, {"baselines_after": ()}),
        ("cgsb149", "baselines", {}, {"baselines_before": (), "baselines_after": ()}),
        ("e1827-1", "baselines", {"baselines_after": ()}, {"baselines_before": (), "baselines_after": ()}),
        ("iso9972", "baseline_mean", {}, {"baselines_before": (-9.0, 6.0, 6.0), "baselines_after": (-6.0,)}),
        ("e1827-1", "baseline_spread", {"baselines_before": (-2.0, -3.0)}, {"baselines_before": (-2.0, -8.0)}),
        ("iso9972", "correlation", {}, {"flows": (*REFERENCE.flows[:6], 0.03, 0.12)}),
        ("cgsb149", "correlation", {}, {"flows": (*REFERENCE.flows[:6], 0.03, 0.12)}),
        ("cgsb149", "error_at_10", {}, {"flows": (*REFERENCE.flows[:6], 0.03, 0.12)}),
        ("e779", "exponent", {}, {"flows": tuple(f**0.5 for f in REFERENCE.flows)}),
        ("e779", "wind", {"wind": 1.0}, {"wind": 2.5}),
        ("iso9972", "wind", {"wind": 2.5}, {"wind": 3.5}),
        ("cgsb149", "wind", {"wind": 5.5}, {"wind": 5.6}),
        ("e779", "temperatures", {"outdoor_temperature": 8.0}, {}),
        ("e779", "stack", {}, {"height": 9.0}),
        ("iso9972", "stack", {}, {"height": 12.0}),
        ("cgsb149", "depressurization", {}, None),
        ("e1827-2", "highest", {}, {"pressures": REFERENCE.pressures[4:], "flows": REFERENCE.flows[4:]}),
        ("e1827-2", "points", {}, None),
    ],
)
def test_each_rule_of_each_standard_is_met_and_missed(method, key, good, bad):
    assert verdict(replace(REFERENCE, **good), method, key).verdict == MET
    if bad is not None:
        assert verdict(replace(REFERENCE, **bad), method, key).verdict == NOT_MET
    elif key == "depressurization":
        assert verdict(up(), method, key).verdict == NOT_MET


def test_both_directions_are_asked_for_by_one_standard():
    both = mean_of_both(airtightness_result(REFERENCE, "e779"), airtightness_result(up(), "e779"))
    found = {rule.key: rule for rule in validity(both)}
    assert found["both_directions"].verdict == MET
    assert verdict(REFERENCE, "e779", "both_directions").verdict == NOT_MET


@pytest.mark.parametrize(
    ("method", "key", "lacking"),
    [
        ("e779", "wind", {}),
        ("e779", "temperatures", {"outdoor_temperature": None}),
        ("e779", "stack", {"height": None}),
        ("e1827-1", "baseline_spread", {}),
        ("iso9972", "baseline_mean", {"baselines_before": (), "baselines_after": ()}),
    ],
)
def test_what_was_not_written_down_cannot_be_told(method, key, lacking):
    assert verdict(replace(REFERENCE, **lacking), method, key).verdict == CANNOT_TELL


def test_every_rule_names_its_source_as_recalled():
    for method in METHODS:
        told = validity(airtightness_result(REFERENCE, method))
        assert told
        assert not any(rule.source.confirmed for rule in told)
    assert {name for rule in table("rules/tables/airtightness")["rule"] for name in rule["standard"]} == set(METHODS)


def test_a_sound_series_is_read():
    quiet = replace(REFERENCE, baselines_before=(-2.5, -2.6, -2.7), baselines_after=(-2.4,))
    assert readable(airtightness_result(quiet, "e779")) == (READ, ())
    assert odd_points(airtightness_result(quiet, "e779")) == ()


def test_an_outlier_is_named_by_its_line():
    flows = (*REFERENCE.flows[:4], REFERENCE.flows[4] * 0.80, *REFERENCE.flows[5:])
    found = airtightness_result(replace(REFERENCE, flows=flows), "e779")
    (odd,) = odd_points(found)
    assert (odd.kind, odd.point.line, round(odd.point.pressure, 1)) == ("outlier", 24, 30.8)
    assert odd.words.startswith("−")
    assert odd.words.endswith("% off the line that the others make")
    word, why = readable(found)
    assert word == WITH_CARE
    assert any("31 Pa" in words for words in why)


def test_a_flow_of_next_to_nothing_is_an_outlier_and_no_trouble():
    flows = (*REFERENCE.flows[:7], 1e-30)
    found = airtightness_result(replace(REFERENCE, flows=flows), "e779")
    assert readable(found)[0] == COME_BACK
    assert odd_points(found)


def test_low_readings_on_a_gusty_day_are_windy():
    gusty = replace(REFERENCE, baselines_before=(-0.5, -4.5, -2.5), baselines_after=(-2.5,))
    assert wind_band(gusty) == pytest.approx(2.0)
    odd = odd_points(airtightness_result(gusty, "e779"))
    assert {one.kind for one in odd} == {"windy"}
    assert max(one.point.pressure for one in odd) < 14
    assert odd[0].words == "the baseline's ±2.0 Pa moves it by 13 %"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"baselines_before": (-1.0, -8.0)}, "the baseline wanders over 7.0 Pa: wait for a calmer day"),
        ({"flows": tuple(f**0.5 for f in REFERENCE.flows)}, "the exponent is 0.34: no leak has one outside 0.5 to 1"),
        (
            {
                "flows": tuple(
                    f * k for f, k in zip(REFERENCE.flows, (0.5, 1.8, 0.6, 1.6, 0.6, 1.5, 0.6, 1), strict=True)
                )
            },
            "the flow at 50 Pa is known to ±",
        ),
    ],
)
def test_a_test_that_cannot_be_read_says_come_back(change, words):
    word, why = readable(airtightness_result(replace(REFERENCE, **change), "e779"))
    assert word == COME_BACK
    assert any(one.startswith(words) for one in why), why


def test_a_wind_band_of_nothing_is_nothing():
    assert wind_band(replace(REFERENCE, baselines_before=(), baselines_after=())) == 0.0
    assert wind_band(REFERENCE) == pytest.approx(0.2)


def both(down=REFERENCE, blown=None):
    return mean_of_both(airtightness_result(down, "e779"), airtightness_result(blown or up(down), "e779"))


def test_a_mean_of_both_directions_names_the_outlier_of_one_and_leaves_its_twin():
    flows = (*REFERENCE.flows[:4], REFERENCE.flows[4] * 0.80, *REFERENCE.flows[5:])
    found = both(blown=replace(up(), flows=flows))
    (odd,) = odd_points(found)
    assert (odd.kind, odd.point.direction, odd.point.line) == ("outlier", "pressurization", 24)
    assert readable(found) == (WITH_CARE, (f"31 Pa of the pressurization: {odd.words}",))


def test_wind_on_one_day_does_not_make_the_other_windy():
    gusty = replace(REFERENCE, baselines_before=(-0.5, -4.5, -2.5), baselines_after=(-2.5,))
    odd = odd_points(both(gusty, up()))
    assert {(one.kind, one.point.direction) for one in odd} == {("windy", "depressurization")}


def test_an_exponent_of_no_leak_is_not_hidden_by_the_other_direction():
    bent = replace(up(), flows=tuple(0.4 * f**0.6 for f in REFERENCE.flows))
    found = both(blown=bent)
    assert 0.5 <= found.exponent.value <= 1.0
    word, why = readable(found)
    assert word == COME_BACK
    assert why[0].startswith("the exponent of the pressurization is 0.41: ")


def test_each_direction_keeps_the_rules_of_its_fit_by_itself():
    wild = replace(up(), flows=(*REFERENCE.flows[:6], 0.03, 0.12))
    found = mean_of_both(airtightness_result(REFERENCE, "iso9972"), airtightness_result(wild, "iso9972"))
    rules = {rule.key: rule for rule in validity(found)}
    assert rules["correlation"].verdict == NOT_MET
    sound = mean_of_both(airtightness_result(REFERENCE, "iso9972"), airtightness_result(up(), "iso9972"))
    assert {rule.key: rule.verdict for rule in validity(sound)}["correlation"] == MET
    assert {rule.key: rule.verdict for rule in validity(both())}["both_directions"] == MET


def test_one_baseline_is_said_in_words():
    for lacking, found in (("before", "only after"), ("after", "only before")):
        test = replace(REFERENCE, **{f"baselines_{lacking}": ()})
        assert verdict(test, "e779", "baselines").found == found
