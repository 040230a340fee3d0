"""Flows from what is read on site: a traverse, a flow station, a bag and a watch, the house's own swing.

traverse       Q = A mean(v) over points that each stand for the same area or the same quadrature weight
flow station   Q = k sqrt(dp)
timed bag      Q = V/t
swing          Q = C (|p_on|^n sign(p_on) - |p_off|^n sign(p_off))       the unit's net air out
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airledger.errors import InputError, OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier

ROUND_LOG_LINEAR = {
    6: (0.032, 0.135, 0.321),
    8: (0.021, 0.117, 0.184, 0.345),
    10: (0.019, 0.077, 0.153, 0.217, 0.361),
}
"""Depths of a traverse over a round duct by points on a diameter, the near half [-]: log-linear, ISO 3966, MEMORY."""

RECTANGULAR_LOG_TCHEBYCHEFF = {
    5: (0.074, 0.288, 0.500),
    6: (0.061, 0.235, 0.437),
    7: (0.053, 0.203, 0.366, 0.500),
}
"""Depths over each side of a rectangle by points on it, the near half [-]: log-Tchebycheff, ISO 3966, MEMORY."""


def round_traverse(diameter: float, count: int = 6) -> tuple[float, ...]:
    """Depths at which to read on each of two or three diameters of a round duct [m], from the near wall.

    Parameters
    ----------
    diameter : float
        of the duct [m].
    count : int
        points on a diameter: 6, 8 or 10 [-].

    Raises
    ------
    InputError
        no such number of points is printed.

    Reference: ISO 3966, log-linear rule, MEMORY; its mean of a power-law profile is within 1 % of the integral.
    """
    return _depths(ROUND_LOG_LINEAR, diameter, count)


def rectangular_traverse(side: float, count: int = 5) -> tuple[float, ...]:
    """Depths at which to read along one side of a rectangular duct [m], from the near wall.

    Parameters
    ----------
    side : float
        of the duct [m].
    count : int
        points along that side: 5, 6 or 7 [-].

    Raises
    ------
    InputError
        no such number of points is printed.

    Reference: ISO 3966, log-Tchebycheff rule, MEMORY.
    """
    return _depths(RECTANGULAR_LOG_TCHEBYCHEFF, side, count)


def _depths(rules: dict[int, tuple[float, ...]], size: float, points: int) -> tuple[float, ...]:
    if points not in rules:
        raise InputError(f"a traverse of {points} points is not printed; there are: {', '.join(map(str, rules))}")
    near = rules[points]
    far = [1.0 - depth for depth in reversed(near) if depth != 0.5]
    return tuple(size * depth for depth in (*near, *far))


def traverse_flow(velocities: Sequence[float], area: float) -> float:
    """Volume flow of a traverse [m3/s].

    Parameters
    ----------
    velocities : Sequence[float]
        air speed at each point [m/s].
    area : float
        of the duct [m2].

    Raises
    ------
    OutOfRange
        no velocity, or one below 0: the air runs back there, and no traverse holds.

    Reference: equal weights of the points, ISO 3966, MEMORY.
    """
    speeds = np.asarray(velocities, dtype=float)
    if not speeds.size:
        raise OutOfRange("points of a traverse", 0, 1, np.inf, "points")
    if (odd := outlier(speeds, 0.0, np.inf)) is not None:
        raise OutOfRange("air speed at a point of a traverse", odd, 0.0, np.inf, "m/s")
    return float(speeds.mean() * area)


def station_flow(factor: Values, pressure: Values) -> Values:
    """Volume flow at a flow station [m3/s].

    Parameters
    ----------
    factor : Values
        k of its plate [m3/(s Pa^0.5)].
    pressure : Values
        difference at its taps, 0 or more [Pa].

    Raises
    ------
    OutOfRange
        a pressure below 0: the hoses are swapped.

    Reference: the plate's own k, Q = k sqrt(dp) (closed form).
    """
    if (odd := outlier(pressure, 0.0, np.inf)) is not None:
        raise OutOfRange("pressure at a flow station", odd, 0.0, np.inf, "Pa")
    flow: Values = factor * np.sqrt(pressure)
    return flow


def bag_flow(bag_volume: Values, filling_time: Values) -> Values:
    """Volume flow that fills a bag in a time [m3/s].

    Parameters
    ----------
    bag_volume : Values
        of the bag when full [m3].
    filling_time : Values
        until it is full, above 0 [s].

    Raises
    ------
    OutOfRange
        a time not above 0.

    Reference: definition (closed form).
    """
    if (odd := outlier(filling_time, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("time to fill a bag", odd, 0.0, np.inf, "s")
    flow: Values = bag_volume / filling_time
    return flow


def swing_flow(flow_coefficient: Values, exponent: Values, pressure_on: Values, pressure_off: Values) -> Values:
    """Net air that a unit takes out of the house [m3/s], from the house's pressure with it on and off.

    Parameters
    ----------
    flow_coefficient : Values
        of the house, from its blower-door test [m3/s/Pa^n].
    exponent : Values
        pressure exponent n [-].
    pressure_on : Values
        inside minus outdoors with the unit on [Pa].
    pressure_off : Values
        the same with it off [Pa].

    Reference: balance of the leaks, Q = C dP^n on both sides (closed form).
    """

    def out(pressure: Values) -> Values:
        leaked: Values = flow_coefficient * np.sign(pressure) * np.power(np.abs(pressure), exponent)
        return leaked

    net: Values = out(pressure_off) - out(pressure_on)
    return net
