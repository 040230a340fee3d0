"""The power law through readings of a fan test: exponent, coefficient, and how far each may be off.

    x = ln dP, y = ln Q          a straight line in the logarithms: n its slope, ln C where it meets x = 0
    n = Sxy / Sxx,  ln C = ybar - n xbar
    s2 = (sum of w (y - ln C - n x)^2) / (N - 2)
    Sn = sqrt(s2 / Sxx),   S(x) = sqrt(s2 (1/W + (x - xbar)^2 / Sxx))      W the sum of the weights
    95 % limits at t(0.975, N - 2) of these

With equal weights these are the standard sums of least squares; with weights Q^2 the line is roughly the least squares
in the flow itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier

Array = NDArray[np.float64]
CONFIDENCE = 0.95
"""Share of all tests whose interval holds the true value, were nothing but chance at work [-]."""


@dataclass(frozen=True)
class PowerLawFit:
    """A power law through readings, in the unit of the flows handed in.

    exponent n [-]; coefficient C [m3/s/Pa^n]; exponent_error Sn [-]; log_coefficient_error [-]: standard errors;
    student [-]: t of the interval; points: readings; squared_correlation r2 [-]; deviations: flow over fit, less 1 [-];
    weight [-] in all, log_mean [-], spread Sxx [-] of ln dP, scatter s [-] of ln Q.
    """

    exponent: float
    coefficient: float
    exponent_error: float
    log_coefficient_error: float
    student: float
    points: int
    squared_correlation: float
    deviations: tuple[float, ...]
    weight: float
    log_mean: float
    spread: float
    scatter: float

    @property
    def exponent_limits(self) -> tuple[float, float]:
        """95 % limits of the exponent [-]."""
        half = self.student * self.exponent_error
        return self.exponent - half, self.exponent + half

    @property
    def coefficient_limits(self) -> tuple[float, float]:
        """95 % limits of the coefficient [m3/s/Pa^n]."""
        factor = math.exp(self.student * self.log_coefficient_error)
        return self.coefficient / factor, self.coefficient * factor

    @property
    def coefficient_error(self) -> float:
        """Standard error of the coefficient to first order [m3/s/Pa^n]."""
        return self.coefficient * self.log_coefficient_error


def power_law_fit(pressures: Sequence[float], flows: Sequence[float], weights: Sequence[float] = ()) -> PowerLawFit:
    """The power law through readings.

    Parameters
    ----------
    pressures : Sequence[float]
        pressure differences, above 0 [Pa].
    flows : Sequence[float]
        volume flows, above 0 [m3/s].
    weights : Sequence[float]
        weight of each reading; none weighs all alike [-].

    Raises
    ------
    OutOfRange
        fewer than three readings, a reading not above 0, a weight not above 0, or all at one pressure.

    Reference: ordinary least squares in the logarithms, as ASTM E779 annex A1 and ISO 9972 annex C use it, MEMORY.
    """
    x, y = _logarithms(pressures, flows)
    count = len(x)
    if count < 3:
        raise OutOfRange("readings of a fan test", count, 3, np.inf, "readings")
    w = np.asarray(weights, dtype=float) if len(weights) else np.ones(count)
    if (odd := outlier(w, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("weight of a reading", odd, 0.0, np.inf, "-")
    w = w * (count / w.sum())  # only their ratios matter
    whole = float(w.sum())
    mean, level = float((w * x).sum() / whole), float((w * y).sum() / whole)
    spread = float((w * (x - mean) ** 2).sum())
    if spread <= count * 1e-12:
        raise OutOfRange("spread of the pressures of a fan test", spread, 0.0, np.inf, "-")
    rise = float((w * (x - mean) * (y - level)).sum())
    exponent = rise / spread
    intercept = level - exponent * mean
    left = y - intercept - exponent * x
    scatter = math.sqrt(max(0.0, float((w * left**2).sum())) / (count - 2))
    along = float((w * (y - level) ** 2).sum())
    return PowerLawFit(
        exponent=exponent,
        coefficient=math.exp(intercept),
        exponent_error=scatter / math.sqrt(spread),
        log_coefficient_error=scatter * math.sqrt(1.0 / whole + mean**2 / spread),
        student=student(count - 2),
        points=count,
        squared_correlation=rise**2 / (spread * along) if along > 0 else 1.0,
        deviations=tuple(float(one) for one in np.expm1(left)),
        weight=whole,
        log_mean=mean,
        spread=spread,
        scatter=scatter,
    )


def organic_correlation(pressures: Sequence[float], flows: Sequence[float]) -> tuple[float, float]:
    """Coefficient [m3/s/Pa^n] and exponent [-] of the line of organic correlation in the logarithms.

    Parameters
    ----------
    pressures : Sequence[float]
        pressure differences, above 0 [Pa].
    flows : Sequence[float]
        volume flows, above 0 [m3/s].

    Raises
    ------
    OutOfRange
        fewer than three readings, or a reading not above 0.

    Reference: Kolsch and Walker 2020 (abstract): the slope is the ratio of the standard deviations.
    """
    x, y = _logarithms(pressures, flows)
    if len(x) < 3:
        raise OutOfRange("readings of a fan test", len(x), 3, np.inf, "readings")
    exponent = float(np.std(y) / np.std(x))
    return math.exp(float(y.mean()) - exponent * float(x.mean())), exponent


def fitted_flow(fit: PowerLawFit, pressure_difference: Values) -> Values:
    """Flow of the fit at a pressure difference [m3/s].

    Parameters
    ----------
    fit : PowerLawFit
        the fit [-].
    pressure_difference : Values
        pressure difference, above 0 [Pa].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 40, PUBLISHED.
    """
    flow: Values = fit.coefficient * np.power(pressure_difference, fit.exponent)
    return flow


def fitted_flow_limits(fit: PowerLawFit, pressure_difference: float) -> tuple[float, float]:
    """95 % limits of the fitted flow at a pressure difference [m3/s].

    Parameters
    ----------
    fit : PowerLawFit
        the fit [-].
    pressure_difference : float
        pressure difference, above 0 [Pa].

    Reference: interval of the mean response of a straight line, as ASTM E779 uses it, MEMORY; equals statsmodels.
    """
    away = math.log(pressure_difference) - fit.log_mean
    error = fit.scatter * math.sqrt(1.0 / fit.weight + away**2 / fit.spread)
    flow, factor = float(fitted_flow(fit, pressure_difference)), math.exp(fit.student * error)
    return flow / factor, flow * factor


def two_point_exponent(pressures: tuple[float, float], flows: tuple[float, float]) -> float:
    """Exponent [-] of the power law through two readings.

    Parameters
    ----------
    pressures : tuple[float, float]
        pressure differences, above 0 [Pa].
    flows : tuple[float, float]
        volume flows, above 0 [m3/s].

    Raises
    ------
    OutOfRange
        a reading not above 0, or both at one pressure.

    Reference: ASTM E1827, MEMORY: n = ln(Q1/Q2)/ln(P1/P2).
    """
    x, y = _logarithms(pressures, flows)
    apart = float(x[0] - x[1])
    if apart == 0.0:
        raise OutOfRange("ratio of the two pressures", 1.0, 0.0, 1.0, "-")
    return float(y[0] - y[1]) / apart


def single_point_flow(
    flow: Values, pressure_difference: Values, target_pressure: Values, exponent: Values = 0.65
) -> Values:
    """Flow at the pressure wanted [m3/s], carried there from one reading by an exponent that is taken.

    Parameters
    ----------
    flow : Values
        volume flow read [m3/s].
    pressure_difference : Values
        pressure difference of the reading, above 0 [Pa].
    target_pressure : Values
        pressure difference wanted [Pa].
    exponent : Values
        exponent that is taken [-].

    Reference: ASTM E1827, n 0.65, MEMORY.
    """
    carried: Values = flow * np.power(target_pressure / pressure_difference, exponent)
    return carried


def student(freedom: int) -> float:
    """Student's t that leaves 2.5 % on each side [-].

    Parameters
    ----------
    freedom : int
        degrees of freedom, at least 1 [-].

    Reference: scipy.special.stdtrit, COMPUTED.
    """
    from scipy.special import stdtrit  # noqa: PLC0415 - only a test that is read pays for it

    return float(stdtrit(freedom, 0.5 + CONFIDENCE / 2))


def _logarithms(pressures: Sequence[float], flows: Sequence[float]) -> tuple[Array, Array]:
    p, q = np.asarray(pressures, dtype=float), np.asarray(flows, dtype=float)
    tiny = np.finfo(float).tiny
    if (odd := outlier(p, tiny, np.inf)) is not None:
        raise OutOfRange("pressure difference of a reading", odd, 0.0, np.inf, "Pa")
    if (odd := outlier(q, tiny, np.inf)) is not None:
        raise OutOfRange("flow of a reading", odd, 0.0, np.inf, "m3/s")
    return np.log(p), np.log(q)
