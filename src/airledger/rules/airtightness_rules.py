"""Whether a fan test counts: each standard's own rules, readings that do not belong, wind, and when to come back."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from airledger.physics.power_law_fit import fitted_flow_limits
from airledger.quantities import within_words
from airledger.rules.airtightness_methods import AirtightnessResult, Point
from airledger.rules.airtightness_test import DEPRESSURIZATION, AirtightnessTest
from airledger.sources import Source, table

MET, NOT_MET, CANNOT_TELL = "met", "not met", "cannot tell"
READ, WITH_CARE, COME_BACK = "read", "read with care", "come back"

WINDY = 0.10
"""Share of its flow by which the wind may move a reading before it is called windy [-]: common practice, no source."""
LOST = 0.25
"""95 % half-width of the flow at 50 Pa past which nothing is read from a test [-]: common practice, no source."""
RESTLESS = 5.0
"""Spread of the baseline past which to come back on a calmer day [Pa]: ANSI/RESNET/ICC 380, MEMORY."""
LEAST_OUTLIER = 0.03
"""Deviation from the fit below which no reading is called an outlier [-]: what a good flow gauge may be off by."""
STRANGE = 0.05
"""Chance that a sound series has a reading called an outlier [-]: common practice, no source."""


@dataclass(frozen=True)
class RuleVerdict:
    """One rule of a standard: what it asks, what was found, whether it is met, where it stands."""

    key: str
    title: str
    required: str
    found: str
    verdict: str
    source: Source


@dataclass(frozen=True)
class OddPoint:
    """A reading that does not belong.

    kind: outlier | windy; words: why; point: the reading.
    """

    kind: str
    words: str
    point: Point


Look = Callable[[Mapping[str, Any], AirtightnessResult, AirtightnessTest], tuple[str, str, str]]


def validity(result: AirtightnessResult) -> tuple[RuleVerdict, ...]:
    """Every rule of the method's standard; of several tests the one that keeps it worst is told.

    Parameters
    ----------
    result : AirtightnessResult
        a test as read [-]

    Reference: rules/tables/airtightness.toml, each with its section, MEMORY.
    """
    told = []
    for rule in table("rules/tables/airtightness")["rule"]:
        if result.method not in rule["standard"]:
            continue
        order = (NOT_MET, CANNOT_TELL, MET)
        whole = rule["key"] in OF_THE_WHOLE
        looks = [LOOKS[rule["key"]](rule, result if whole else one, one.tests[0]) for one in result.parts or (result,)]
        required, found, verdict = min(looks, key=lambda look: order.index(look[2]))
        told.append(
            RuleVerdict(rule["key"], rule["title"], required, found, verdict, Source(rule["section"], rule["tag"]))
        )
    return tuple(told)


def wind_band(test: AirtightnessTest) -> float:
    """By how much wind moves a reading [Pa]: the standard deviation of the baseline's samples; 0 where none tell.

    Parameters
    ----------
    test : AirtightnessTest
        the readings [-]

    Reference: common practice, no source.
    """
    spreads = [float(np.std(samples, ddof=1)) for samples in _samples(test) if len(samples) > 1]
    drift = abs(test.after - test.before) / 2 if test.baselines_before and test.baselines_after else 0.0
    return max([drift, *spreads])


def odd_points(result: AirtightnessResult) -> tuple[OddPoint, ...]:
    """Readings that do not belong: outliers of the line, and those that the wind moves too far.

    An outlier is one whose residual, over the scatter of the others, chance would give one sound series in twenty.

    Parameters
    ----------
    result : AirtightnessResult
        a test as read [-]

    Reference: studentized deleted residuals against Student's t over the number of readings (Bonferroni), closed form.
    """
    if result.parts:  # each direction has a line and a wind of its own
        return tuple(odd for part in result.parts for odd in odd_points(part))
    odd = []
    fit = result.fit
    count = len(result.points)
    if fit is not None and count > 3:
        x = np.log([point.pressure for point in result.points])
        flows = np.log([point.flow for point in result.points])
        left = flows - math.log(fit.coefficient) - fit.exponent * x
        leverage = 1.0 / count + (x - x.mean()) ** 2 / float(((x - x.mean()) ** 2).sum())
        others = (float((left**2).sum()) - left**2 / (1.0 - leverage)) / (count - 3)
        limit = _limit(count)
        for point, residual, lever, other in zip(result.points, left, leverage, others, strict=True):
            scatter = math.sqrt(max(float(other), 1e-8) * (1.0 - float(lever)))
            if abs(point.deviation) > LEAST_OUTLIER and abs(float(residual)) > limit * scatter:
                words = f"{100 * point.deviation:+.0f} % off the line that the others make".replace("-", "−")
                odd.append(OddPoint("outlier", words, point))
    band = max(wind_band(test) for test in result.tests)
    for point in result.points:
        share = result.exponent.value * band / point.pressure
        if share > WINDY:
            words = f"the baseline's ±{band:.1f} Pa moves it by {100 * share:.0f} %"
            odd.append(OddPoint("windy", words, point))
    return tuple(odd)


def readable(result: AirtightnessResult) -> tuple[str, tuple[str, ...]]:
    """Whether a test can be read, and why not: read, read with care, come back.

    Parameters
    ----------
    result : AirtightnessResult
        a test as read [-]

    Reference: common practice, no source; the exponent's range as in every standard, MEMORY.
    """
    at_50 = result.flow_at(50.0)
    half = max(at_50.high - at_50.value, at_50.value - at_50.low) / at_50.value
    restless = max(_spread(test) for test in result.tests)
    gone = []
    for one in result.parts or (result,):
        if not 0.5 <= one.exponent.value <= 1.0:
            of = f" of the {one.direction}" if result.parts else ""
            gone.append(f"the exponent{of} is {one.exponent.value:.2f}: no leak has one outside 0.5 to 1")
    if half > LOST:
        gone.append(f"the flow at 50 Pa is known to ±{100 * half:.0f} % only")
    if restless > RESTLESS:
        gone.append(f"the baseline wanders over {restless:.1f} Pa: wait for a calmer day")
    if gone:
        return COME_BACK, tuple(gone)
    care = [
        f"{one.point.pressure:.0f} Pa{f' of the {one.point.direction}' if result.parts else ''}: {one.words}"
        for one in odd_points(result)
    ]
    care += [
        f"{rule.title}: {rule.found}, asked for {rule.required}"
        for rule in validity(result)
        if rule.verdict == NOT_MET and rule.key not in SOFT
    ]
    return (WITH_CARE if care else READ), tuple(care)


OF_THE_WHOLE = ("both_directions",)
"""Rules that look at both directions together; all others at each by itself."""
SOFT = ("both_directions", "temperatures")
"""Rules that a test may miss and still be read without a word: one direction, a cold day."""


def _limit(count: int) -> float:
    from scipy.special import stdtrit  # noqa: PLC0415 - only a test that is read pays for it

    return float(stdtrit(count - 3, 1.0 - STRANGE / (2 * count)))


def _samples(test: AirtightnessTest) -> tuple[tuple[float, ...], ...]:
    return test.baselines_before, test.baselines_after


def _spread(test: AirtightnessTest) -> float:
    every = [sample for samples in _samples(test) for sample in samples]
    return max(every) - min(every) if every else 0.0


def _verdict(met: bool) -> str:
    return MET if met else NOT_MET


def _points(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    return f"at least {rule['least']}", f"{len(test.pressures)}", _verdict(len(test.pressures) >= rule["least"])


def _made(test: AirtightnessTest) -> list[float]:
    base = 0.5 * (test.before + test.after)
    return sorted(abs(pressure - base) for pressure in test.pressures)


def _steps(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    widest = max((b - a for a, b in pairwise(_made(test))), default=0.0)
    return f"at most {rule['most']:g} Pa", f"{widest:.1f} Pa", _verdict(widest <= rule["most"] + 0.5)


def _range(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    made = _made(test)
    met = made[0] >= rule["low"] - 0.5 and made[-1] <= rule["high"] + 0.5
    return f"{rule['low']:g} to {rule['high']:g} Pa", f"{made[0]:.1f} to {made[-1]:.1f} Pa", _verdict(met)


def _lowest(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    least = max(rule["least"], rule["baselines"] * max(abs(test.before), abs(test.after)))
    lowest = _made(test)[0]
    required = f"at least {rule['least']:g} Pa and {rule['baselines']:g} times the baseline: {least:.1f} Pa"
    return required, f"{lowest:.1f} Pa", _verdict(lowest >= least)


def _highest(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    highest = _made(test)[-1]
    return f"at least {rule['least']:g} Pa", f"{highest:.1f} Pa", _verdict(highest >= rule["least"])


def _baselines(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    both = rule["both"] == "yes"
    there = [word for word, samples in zip(("before", "after"), _samples(test), strict=True) if samples]
    met = len(there) == 2 if both else "before" in there
    found = "before and after" if len(there) == 2 else f"only {there[0]}" if there else "none"
    return "before and after" if both else "before", found, _verdict(met)


def _baseline_mean(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    means = [0.0]
    for samples in _samples(test):
        for part in ([s for s in samples if s > 0], [-s for s in samples if s < 0]):
            means.append(sum(part) / len(part) if part else 0.0)
    if not any(_samples(test)):
        return f"at most {rule['most']:g} Pa", "no baseline", CANNOT_TELL
    return f"at most {rule['most']:g} Pa", f"{max(means):.1f} Pa", _verdict(max(means) <= rule["most"])


def _baseline_spread(
    rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest
) -> tuple[str, str, str]:
    del result
    required = f"less than {rule['most']:g} Pa; to {rule['reduced']:g} Pa with reduced accuracy"
    if max(map(len, _samples(test))) < 2:
        return required, "one value only", CANNOT_TELL
    return required, f"{_spread(test):.1f} Pa", _verdict(_spread(test) < rule["most"])


def _exponent(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del test
    exponent = result.exponent.value
    met = rule["low"] <= exponent <= rule["high"]
    return f"{rule['low']:g} to {rule['high']:g}", f"{exponent:.3f}", _verdict(met)


def _correlation(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del test
    required = f"{'above' if rule['power'] == 2 else 'at least'} {rule['least']:.3g}"
    if result.fit is None:
        return required, "each direction by itself", CANNOT_TELL
    found = result.fit.squared_correlation ** (rule["power"] / 2)
    return required, f"{found:.4f}", _verdict(found >= rule["least"])


def _error_at_10(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del test
    required = f"at most {100 * rule['most']:g} %"
    if result.fit is None:
        return required, "each direction by itself", CANNOT_TELL
    low, high = fitted_flow_limits(result.fit, 10.0)
    error = math.log(high / low) / (2.0 * result.fit.student)
    return required, f"{100 * error:.1f} %", _verdict(error <= rule["most"])


def _wind(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    required = f"at most {within_words(rule['most'], 'wind speed')}"
    if test.wind is None:
        return required, "not written down", CANNOT_TELL
    return required, within_words(test.wind, "wind speed"), _verdict(test.wind <= rule["most"])


def _temperatures(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    low, high = (within_words(rule[end], "temperature") for end in ("low", "high"))
    if test.outdoor_temperature is None:
        return f"{low} to {high}", "not written down", CANNOT_TELL
    met = rule["low"] <= test.outdoor_temperature <= rule["high"]
    return f"{low} to {high}", within_words(test.outdoor_temperature, "temperature"), _verdict(met)


def _stack(rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest) -> tuple[str, str, str]:
    del result
    required = f"at most {rule['most']:g} m K"
    if test.height is None or test.indoor_temperature is None or test.outdoor_temperature is None:
        return required, "temperatures or height not written down", CANNOT_TELL
    found = abs(test.indoor_temperature - test.outdoor_temperature) * test.height
    return required, f"{found:.0f} m K", _verdict(found <= rule["most"])


def _both_directions(
    rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest
) -> tuple[str, str, str]:
    del rule, test
    return "both", result.direction, _verdict(len({test.direction for test in result.tests}) == 2)


def _depressurization(
    rule: Mapping[str, Any], result: AirtightnessResult, test: AirtightnessTest
) -> tuple[str, str, str]:
    del rule, result
    return DEPRESSURIZATION, test.direction, _verdict(test.direction == DEPRESSURIZATION)


LOOKS: Mapping[str, Look] = {
    "points": _points, "steps": _steps, "range": _range, "lowest": _lowest, "highest": _highest,
    "baselines": _baselines, "baseline_mean": _baseline_mean, "baseline_spread": _baseline_spread,
    "exponent": _exponent,
    "correlation": _correlation, "error_at_10": _error_at_10, "wind": _wind, "temperatures": _temperatures,
    "stack": _stack, "both_directions": _both_directions, "depressurization": _depressurization,
}  # fmt: skip
"""What each rule of the table looks at."""
