"""A fan test read by each standard's own sums: what leaks at 50 Pa and elsewhere, with its 95 % interval.

The texts of the standards were not at hand beyond their scopes: the sums are recalled (docs/check-coverage.md), the
statistics equal those of general libraries. Two standards differ by a percent or two on the same readings, so that a
result always says which was used.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from airledger.errors import InputError
from airledger.physics import air_of_a_test as air
from airledger.physics.leakage import air_correction, leakage_area
from airledger.physics.moist_air import standard_pressure, viscosity
from airledger.physics.power_law_fit import (
    PowerLawFit,
    fitted_flow,
    fitted_flow_limits,
    power_law_fit,
    single_point_flow,
    two_point_exponent,
)
from airledger.rules.airtightness_test import DEPRESSURIZATION, AirtightnessTest

METHODS = ("e779", "iso9972", "cgsb149", "e1827-1", "e1827-2")
TITLES = {
    "e779": "ASTM E779", "iso9972": "ISO 9972", "cgsb149": "CGSB 149.10", "e1827-1": "ASTM E1827, one point",
    "e1827-2": "ASTM E1827, two points",
}  # fmt: skip
PRESSURES = (4.0, 10.0, 25.0, 50.0, 75.0)
TAKEN_EXPONENT, EXPONENT_SPREAD = 0.65, 0.05
FLOW_ACCURACY = 0.05
"""What a fan's flow may be off by where the file does not say [-]: 5 %, ANSI/RESNET/ICC 380, MEMORY."""
TWO_POINTS = (50.0, 12.5)
MOST_EXPONENT = 3.0  # past any leak and any slip of a hand: nothing can be reckoned with it
GUESSED_TEMPERATURE = 20.0


@dataclass(frozen=True)
class Measured:
    """A result with its 95 % interval, in SI."""

    value: float
    low: float
    high: float

    def times(self, factor: float) -> Measured:
        """The same times a positive factor.

        Parameters
        ----------
        factor : float
            to multiply by [-]
        """
        return Measured(self.value * factor, self.low * factor, self.high * factor)


@dataclass(frozen=True)
class Point:
    """One reading as the method sees it.

    pressure [Pa] that the fan makes, above 0; flow [m3/s] through the envelope; deviation [-] from the fit; line of
    the file; direction of its series.
    """

    pressure: float
    flow: float
    deviation: float
    line: int
    direction: str = DEPRESSURIZATION


@dataclass(frozen=True)
class AirtightnessResult:
    """A test read by one method.

    exponent [-]; coefficient [m3/s/Pa^n] at the method's reference air; flows [m3/s] by pressure [Pa]; ela4, eqla10
    [m2]; air: density indoors, outdoors [kg/m3]; fit: None for one and two points; corrected: whether coefficient and
    flows are at reference air; tests: whose readings; parts: of a mean the two directions, each as read by itself.
    """

    method: str
    direction: str
    exponent: Measured
    coefficient: Measured
    flows: tuple[tuple[float, Measured], ...]
    ela4: Measured
    eqla10: Measured
    points: tuple[Point, ...]
    fit: PowerLawFit | None
    air: tuple[float, float]
    reference_density: float
    corrected: bool
    tests: tuple[AirtightnessTest, ...]
    parts: tuple[AirtightnessResult, ...] = ()

    @property
    def title(self) -> str:
        """The standard in words."""
        return TITLES[self.method]

    def flow_at(self, pressure: float) -> Measured:
        """Leakage at one of `PRESSURES` [m3/s].

        Parameters
        ----------
        pressure : float
            one of `PRESSURES` [Pa]
        """
        return dict(self.flows)[pressure]

    def air_changes(self, volume: float) -> Measured:
        """Air changes at 50 Pa [1/h].

        Parameters
        ----------
        volume : float
            inside the tested envelope [m3]
        """
        return self.flow_at(50.0).times(3600.0 / volume)


def airtightness_result(test: AirtightnessTest, method: str) -> AirtightnessResult:
    """One series of readings by one method.

    Parameters
    ----------
    test : AirtightnessTest
        the readings [-]
    method : str
        one of `METHODS` [-]

    Raises
    ------
    InputError
        the method is not known, has too few readings, or cannot read them.

    Reference: ASTM E779, ISO 9972, CGSB 149.10, ASTM E1827, all MEMORY.
    """
    if method not in METHODS:
        raise InputError(f"no method is called {method!r}; there are: {', '.join(METHODS)}")
    densities = _densities(test, method)
    leak = densities[1] if test.direction == DEPRESSURIZATION else densities[0]
    told_at = {
        "indoor": densities[0],
        "outdoor": densities[1],
        "fan": densities[0] if test.direction == DEPRESSURIZATION else densities[1],
        "standard": _reference(method),
    }[test.flow_density]
    sign = -1.0 if test.direction == DEPRESSURIZATION else 1.0
    pressures = [sign * float(air.baseline_corrected(p, test.before, test.after)) for p in test.pressures]
    wrong = [place for place, pressure in enumerate(pressures) if pressure <= 0]
    if wrong:
        raise InputError(
            f"{test.name}:{test.line(wrong[0])}: {test.pressures[wrong[0]]:g} Pa is no {test.direction} once the "
            f"baseline of {(test.before + test.after) / 2:g} Pa is taken off"
        )
    flows = [float(air.envelope_flow(flow, told_at, leak)) for flow in test.flows]
    readings = _Readings(test, method, tuple(pressures), tuple(flows), densities, leak)
    if method == "e1827-1":
        return _one_point(readings)
    return _two_points(readings) if method == "e1827-2" else _many_points(readings)


def mean_of_both(down: AirtightnessResult, up: AirtightnessResult) -> AirtightnessResult:
    """The mean of a depressurization and a pressurization read by one method.

    Flows and areas are averaged; exponent and coefficient are those of the power law through the mean flows at 10 and
    50 Pa. The intervals are added as independent.

    Parameters
    ----------
    down : AirtightnessResult
        the depressurization [-]
    up : AirtightnessResult
        the pressurization [-]

    Raises
    ------
    InputError
        the two are of one direction or of two methods.

    Reference: ASTM E779 and ISO 9972 average both directions, MEMORY.
    """
    if down.direction == up.direction or down.method != up.method:
        raise InputError("the mean of both directions takes one test of each, read by one method")
    flows = tuple((p, _mean(down.flow_at(p), up.flow_at(p))) for p in PRESSURES)
    at = dict(flows)
    exponent = math.log(at[50.0].value / at[10.0].value) / math.log(5.0)
    half = 0.5 * math.hypot(*(one.exponent.high - one.exponent.value for one in (down, up)))
    factor = 50.0**exponent
    return replace(
        down,
        direction="both, averaged",
        exponent=Measured(exponent, exponent - half, exponent + half),
        coefficient=at[50.0].times(1.0 / factor),
        flows=flows,
        ela4=_mean(down.ela4, up.ela4),
        eqla10=_mean(down.eqla10, up.eqla10),
        points=(*down.points, *up.points),
        fit=None,
        tests=(*down.tests, *up.tests),
        parts=(down, up),
    )


@dataclass(frozen=True)
class _Readings:
    """What a method works on: pressures that the fan makes, flows through the envelope, air."""

    test: AirtightnessTest
    method: str
    pressures: tuple[float, ...]
    flows: tuple[float, ...]
    densities: tuple[float, float]
    leak_density: float

    @property
    def correction(self) -> float:
        """From the coefficient as measured to that at reference air: a function of the exponent."""
        return self.leak_density / _reference(self.method)

    def at_reference(self, exponent: float) -> float:
        """Factor on a coefficient as measured [-]."""
        if self.method == "iso9972":
            return float(self.correction ** (1.0 - exponent))
        if self.method.startswith("e1827"):
            return 1.0
        test = self.test
        temperature = test.outdoor_temperature if test.direction == DEPRESSURIZATION else test.indoor_temperature
        thickness = float(viscosity(GUESSED_TEMPERATURE if temperature is None else temperature))
        return 1.0 / float(air_correction(exponent, self.leak_density, thickness))

    def points(self, exponent: float, coefficient: float) -> tuple[Point, ...]:
        """The readings with their deviation from a power law."""
        return tuple(
            Point(p, q, q / (coefficient * p**exponent) - 1.0, self.test.line(place), self.test.direction)
            for place, (p, q) in enumerate(zip(self.pressures, self.flows, strict=True))
        )


def _densities(test: AirtightnessTest, method: str) -> tuple[float, float]:
    """Density indoors and outdoors [kg/m3], by the method's own sum; what is not told is taken as mild and dry."""
    inside = GUESSED_TEMPERATURE if test.indoor_temperature is None else test.indoor_temperature
    outside = GUESSED_TEMPERATURE if test.outdoor_temperature is None else test.outdoor_temperature
    if method == "iso9972":
        barometer = float(standard_pressure(test.elevation)) if test.barometer is None else test.barometer
        return (
            float(air.iso_density(inside, test.indoor_humidity or 0.0, barometer)),
            float(air.iso_density(outside, test.outdoor_humidity or 0.0, barometer)),
        )
    return float(air.e779_density(inside, test.elevation)), float(air.e779_density(outside, test.elevation))


def _reference(method: str) -> float:
    return air.ISO_DENSITY if method == "iso9972" else air.E779_DENSITY


def _many_points(readings: _Readings) -> AirtightnessResult:
    least = 3
    if len(readings.pressures) < least:
        raise InputError(
            f"{readings.test.name}: {TITLES[readings.method]} needs at least 5 readings and a fit at least {least}; "
            f"there are {len(readings.pressures)}: use e1827-1 or e1827-2"
        )
    weights = [flow * flow for flow in readings.flows] if readings.method == "cgsb149" else []
    fit = power_law_fit(readings.pressures, readings.flows, weights)
    factor = readings.at_reference(fit.exponent)
    low, high = fit.coefficient_limits
    flows = tuple(
        (p, Measured(float(fitted_flow(fit, p)), *fitted_flow_limits(fit, p)).times(factor)) for p in PRESSURES
    )
    return _result(
        readings,
        Measured(fit.exponent, *fit.exponent_limits),
        Measured(fit.coefficient, low, high).times(factor),
        flows,
        readings.points(fit.exponent, fit.coefficient),
        fit,
    )


def _near(readings: _Readings, wanted: float) -> tuple[float, float]:
    """Mean pressure and flow (in the logarithms) of the readings nearest to a pressure, repeats included."""
    nearest = min(readings.pressures, key=lambda p: abs(math.log(p / wanted)))
    same = [
        (p, q)
        for p, q in zip(readings.pressures, readings.flows, strict=True)
        if abs(math.log(p / nearest)) < math.log(1.05)
    ]
    count = len(same)
    return math.exp(sum(math.log(p) for p, _ in same) / count), math.exp(sum(math.log(q) for _, q in same) / count)


def _one_point(readings: _Readings) -> AirtightnessResult:
    """One reading, carried to other pressures by the exponent that is taken."""
    pressure, flow = _near(readings, 50.0)
    accuracy = FLOW_ACCURACY if readings.test.accuracy is None else readings.test.accuracy
    exponents = (TAKEN_EXPONENT - EXPONENT_SPREAD, TAKEN_EXPONENT, TAKEN_EXPONENT + EXPONENT_SPREAD)

    def carried(wanted: float) -> Measured:
        told = [float(single_point_flow(flow, pressure, wanted, n)) for n in exponents]
        spread = max(abs(math.log(one / told[1])) for one in told)
        factor = math.exp(math.hypot(math.log1p(accuracy), spread))
        return Measured(told[1], told[1] / factor, told[1] * factor)

    flows = tuple((p, carried(p)) for p in PRESSURES)
    exponent = Measured(TAKEN_EXPONENT, exponents[0], exponents[2])
    coefficient = dict(flows)[50.0].times(50.0**-TAKEN_EXPONENT)
    return _result(readings, exponent, coefficient, flows, readings.points(TAKEN_EXPONENT, coefficient.value), None)


def _two_points(readings: _Readings) -> AirtightnessResult:
    """Two readings, or the means of repeats, near 50 and 12.5 Pa."""
    high, low = (_near(readings, wanted) for wanted in TWO_POINTS)
    if high[0] < 1.5 * low[0]:
        raise InputError(
            f"{readings.test.name}: two points need pressures near {TWO_POINTS[0]:g} and {TWO_POINTS[1]:g} Pa; these "
            f"are {high[0]:.1f} and {low[0]:.1f} Pa"
        )
    accuracy = FLOW_ACCURACY if readings.test.accuracy is None else readings.test.accuracy
    exponent = two_point_exponent((high[0], low[0]), (high[1], low[1]))
    if not 0.0 < exponent < MOST_EXPONENT:
        raise InputError(
            f"{readings.test.name}: the two readings make an exponent of {exponent:.3g}; no leak has one outside "
            "0.5 to 1"
        )
    apart = math.log(high[0] / low[0])
    error = math.sqrt(2.0) * math.log1p(accuracy) / apart
    coefficient = high[1] / high[0] ** exponent

    def carried(wanted: float) -> Measured:
        share = math.log(wanted / low[0]) / apart  # 1 at the upper reading, 0 at the lower one
        factor = math.exp(math.log1p(accuracy) * math.hypot(share, 1.0 - share))
        flow = coefficient * wanted**exponent
        return Measured(flow, flow / factor, flow * factor)

    flows = tuple((p, carried(p)) for p in PRESSURES)
    told = Measured(exponent, exponent - error, exponent + error)
    return _result(readings, told, carried(1.0), flows, readings.points(exponent, coefficient), None)


def _result(
    readings: _Readings,
    exponent: Measured,
    coefficient: Measured,
    flows: Sequence[tuple[float, Measured]],
    points: tuple[Point, ...],
    fit: PowerLawFit | None,
) -> AirtightnessResult:
    density = _reference(readings.method)
    at = dict(flows)
    return AirtightnessResult(
        method=readings.method,
        direction=readings.test.direction,
        exponent=exponent,
        coefficient=coefficient,
        flows=tuple(flows),
        ela4=at[4.0].times(_area_per_flow(4.0, 1.0, density)),
        eqla10=at[10.0].times(_area_per_flow(10.0, 0.611, density)),
        points=points,
        fit=fit,
        air=readings.densities,
        reference_density=density,
        corrected=not readings.method.startswith("e1827"),
        tests=(readings.test,),
    )


def _area_per_flow(pressure: float, discharge_coefficient: float, density: float) -> float:
    """Leakage area [m2] for each m3/s at its pressure: the area has the relative interval of that flow."""
    coefficient = pressure**-0.5
    return float(leakage_area(coefficient, 0.5, pressure, discharge_coefficient, density))


def _mean(one: Measured, other: Measured) -> Measured:
    value = 0.5 * (one.value + other.value)
    down = 0.5 * math.hypot(one.value - one.low, other.value - other.low)
    up = 0.5 * math.hypot(one.high - one.value, other.high - other.value)
    return Measured(value, value - down, value + up)
