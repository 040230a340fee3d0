"""Fans: a monotone curve through the maker's points, the parabola, the speed laws, power and heat.

The curve is the flow as a function of the pressure rise, a piecewise cubic that keeps the order of the points (Fritsch
and Carlson 1980, with the weighted harmonic mean of Fritsch and Butland 1984 for the slopes), so that more pressure
never means more flow. It holds between the first and the last point; what lies outside belongs to the network's law.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.moist_air import DRY_AIR_HEAT
from airledger.physics.validity import outlier

RATED_CURVE = ((0.0, 2.0), (0.625, 1.5), (1.0, 1.0), (1.25, 0.25))
"""Flow and pressure as shares of one rating, for a ventilator known by that alone [-]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class FanCurve:
    """A fan at full speed: cubic pieces of the flow over the pressure rise.

    Parameters
    ----------
    knots : tuple[float, ...]
        pressure rises at which the pieces meet, rising [Pa].
    coefficients : tuple[tuple[float, ...], ...]
        cubic, square, linear, constant coefficients of (rise - knot), one a piece [m3/s/Pa^3 and down].
    """

    knots: tuple[float, ...]
    coefficients: tuple[tuple[float, ...], ...]

    @property
    def free_flow(self) -> float:
        """Flow at the lowest pressure rise of the curve [m3/s]."""
        return self.coefficients[3][0]

    @property
    def resistance(self) -> float:
        """Square resistance [Pa s2/m6] of the parabola from the highest pressure to the lowest: P0/Q0^2."""
        return self.knots[-1] / self.free_flow**2


def fan_curve(points: tuple[tuple[float, float], ...]) -> FanCurve:
    """Monotone curve through a maker's points, flow [m3/s] over pressure rise [Pa].

    Parameters
    ----------
    points : tuple[tuple[float, float], ...]
        flow and pressure rise of each point, by rising flow [m3/s, Pa].

    Raises
    ------
    OutOfRange
        fewer than two points, flow that falls, or pressure that does not fall from point to point.

    Reference: Fritsch and Carlson 1980; Fritsch and Butland 1984; equals scipy.interpolate.PchipInterpolator.
    """
    if len(points) < 2:
        raise OutOfRange("points of a fan curve", len(points), 2, np.inf, "points")
    flows = np.array([flow for flow, _ in reversed(points)], dtype=float)
    rises = np.array([rise for _, rise in reversed(points)], dtype=float)
    if (odd := outlier(np.diff(rises), np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("fall of pressure from one point of a fan curve to the next", odd, 0.0, np.inf, "Pa")
    if (odd := outlier(-np.diff(flows), 0.0, np.inf)) is not None:
        raise OutOfRange("rise of flow from one point of a fan curve to the next", odd, 0.0, np.inf, "m3/s")
    step, fall = np.diff(rises), np.diff(flows) / np.diff(rises)
    slopes = _monotone_slopes(step, fall)
    cubic = (slopes[:-1] + slopes[1:] - 2.0 * fall) / (step * step)
    square = (3.0 * fall - 2.0 * slopes[:-1] - slopes[1:]) / step
    rows = (cubic, square, slopes[:-1], flows[:-1])
    return FanCurve(tuple(map(float, rises)), tuple(tuple(map(float, row)) for row in rows))


def rated_fan_curve(flow: float, pressure_rise: float) -> FanCurve:
    """Default curve of a ventilator known by one rating, flow [m3/s] over pressure rise [Pa].

    Parameters
    ----------
    flow : float
        rated flow [m3/s].
    pressure_rise : float
        pressure rise at that flow [Pa].

    Reference: shares of the rating, common practice, no source.
    """
    return fan_curve(tuple((share * flow, part * pressure_rise) for share, part in RATED_CURVE))


def fan_flow(pressure_rise: Values, curve: FanCurve) -> tuple[Values, Values]:
    """Flow [m3/s] at a pressure rise within the curve and its slope [m3/(s Pa)].

    Parameters
    ----------
    pressure_rise : Values
        pressure rise from inlet to outlet [Pa].
    curve : FanCurve
        the fan's curve [Pa, m3/s].

    Raises
    ------
    OutOfRange
        pressure rise outside the maker's points.

    Reference: Fritsch and Carlson 1980; equals scipy.interpolate.PchipInterpolator.
    """
    if (odd := outlier(pressure_rise, curve.knots[0], curve.knots[-1])) is not None:
        raise OutOfRange("pressure rise of the fan", odd, curve.knots[0], curve.knots[-1], "Pa")
    knots, table = np.asarray(curve.knots), np.asarray(curve.coefficients)
    piece = np.clip(np.searchsorted(knots, pressure_rise, side="right") - 1, 0, len(knots) - 2)
    offset = pressure_rise - knots[piece]
    cubic, square, linear, constant = (row[piece] for row in table)
    flow: Values = ((cubic * offset + square) * offset + linear) * offset + constant
    slope: Values = (3.0 * cubic * offset + 2.0 * square) * offset + linear
    return flow, slope


def parabola_pressure(flow: Values, shut_off_pressure: Values, free_flow: Values) -> Values:
    """Pressure rise [Pa] of a fan known by shut-off pressure and free flow, on either side of both.

    Parameters
    ----------
    flow : Values
        volume flow, negative in backflow [m3/s].
    shut_off_pressure : Values
        pressure rise without flow [Pa].
    free_flow : Values
        flow without pressure rise [m3/s].

    Reference: P = P0 (1 - (Q/Q0)^2), MEMORY.
    """
    share = flow / free_flow
    rise: Values = shut_off_pressure * (1.0 - share * np.abs(share))
    return rise


def parabola_flow(pressure_rise: Values, shut_off_pressure: Values, free_flow: Values) -> Values:
    """Flow [m3/s] of a fan known by shut-off pressure and free flow.

    Parameters
    ----------
    pressure_rise : Values
        pressure rise from inlet to outlet [Pa].
    shut_off_pressure : Values
        pressure rise without flow [Pa].
    free_flow : Values
        flow without pressure rise [m3/s].

    Reference: P = P0 (1 - (Q/Q0)^2) solved for Q (closed form).
    """
    share = 1.0 - pressure_rise / shut_off_pressure
    flow: Values = free_flow * np.sign(share) * np.sqrt(np.abs(share))
    return flow


def speed_laws(speed: Values, flow: Values, pressure_rise: Values, power: Values) -> tuple[Values, Values, Values]:
    """Flow [m3/s], pressure rise [Pa] and shaft power [W] of a fan at another speed.

    Parameters
    ----------
    speed : Values
        speed over that of the values given [-].
    flow : Values
        volume flow [m3/s].
    pressure_rise : Values
        pressure rise [Pa].
    power : Values
        shaft power [W].

    Reference: fan laws Q ~ N, P ~ N^2, W ~ N^3, ASHRAE handbook, MEMORY.
    """
    return flow * speed, pressure_rise * speed * speed, power * speed * speed * speed


def fan_power(flow: Values, pressure_rise: Values, efficiency: Values) -> Values:
    """Electric power [W] of a fan.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    pressure_rise : Values
        pressure rise [Pa].
    efficiency : Values
        air power over electric power [-].

    Raises
    ------
    OutOfRange
        efficiency not above 0 or above 1.

    Reference: air power Q dP over the efficiency (closed form).
    """
    if (odd := outlier(efficiency, np.finfo(float).tiny, 1.0)) is not None:
        raise OutOfRange("fan efficiency", odd, 0.0, 1.0, "-")
    return flow * pressure_rise / efficiency


def fan_heat_rise(power: Values, flow: Values, density: Values) -> Values:
    """Warming [K] of the air that takes up a fan's electric power.

    Parameters
    ----------
    power : Values
        electric power [W].
    flow : Values
        volume flow [m3/s].
    density : Values
        density of the air [kg/m3].

    Reference: heat balance P/(rho Q cp), cp 1006 J/(kg K) (closed form).
    """
    return power / (density * flow * DRY_AIR_HEAT)


def _monotone_slopes(steps: NDArray[np.float64], chords: NDArray[np.float64]) -> NDArray[np.float64]:
    """Slopes at the knots that keep the curve monotone, from steps and chord slopes."""
    if len(chords) == 1:
        return np.array([chords[0], chords[0]])
    before, after = chords[:-1], chords[1:]
    turning = before * after <= 0.0
    heavy, light = 2.0 * steps[1:] + steps[:-1], steps[1:] + 2.0 * steps[:-1]
    weights = heavy + light
    inverse = heavy / np.where(turning, 1.0, before) + light / np.where(turning, 1.0, after)
    inner = np.where(turning, 0.0, weights / inverse)
    first = _end_slope(steps[0], steps[1], chords[0], chords[1])
    last = _end_slope(steps[-1], steps[-2], chords[-1], chords[-2])
    return np.concatenate(([first], inner, [last]))


def _end_slope(step: float, next_step: float, chord: float, next_chord: float) -> float:
    """Slope at an end: three points, held to the sign of the chord and to three times its size."""
    slope = ((2.0 * step + next_step) * chord - step * next_chord) / (step + next_step)
    if slope * chord <= 0.0:
        return 0.0
    if chord * next_chord <= 0.0 and abs(slope) > 3.0 * abs(chord):
        return 3.0 * chord
    return slope
