"""Flows from what is read on site, each with the uncertainty it hands on.

traverse       Q = A mean(v) over points that each stand for the same area
pitot          v = sqrt(2 pv/rho), then the traverse: the mean of speeds, never the speed of the mean pressure
flow station   Q = k sqrt(dp)
orifice box    Q = Cd A sqrt(2 dp/rho), below 8 Pa
vane meter     Q = v A f, f the frame's factor
timed bag      Q = V/t
unit's taps    Q between two points of the maker's table on a power law, never beyond its ends
swing          Q = C (|p_off|^n sign(p_off) - |p_on|^n sign(p_on))       the unit's net air out

uncertainty    u(Q)^2 = sum of ((Q(x + u) - Q(x - u))/2)^2 over what was read
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from airledger.errors import InputError, OutOfRange
from airledger.physics import Values
from airledger.physics.fitting_loss import velocity_at_pressure
from airledger.physics.opening import orifice_flow
from airledger.physics.validity import outlier

BOX_DISCHARGE = 0.607
"""Discharge coefficient that the orifice box's printed formula implies [-]."""
BOX_PRESSURE = 8.0
"""Pressure in an orifice box up to which its formula is printed [Pa]."""

ROUND_POINTS = {
    "log-linear": {
        6: (0.032, 0.135, 0.321),
        8: (0.021, 0.117, 0.184, 0.345),
        10: (0.019, 0.077, 0.153, 0.217, 0.361),
    },
    "log-Tchebycheff": {
        6: (0.032, 0.137, 0.312),
        8: (0.024, 0.100, 0.194, 0.334),
        10: (0.019, 0.076, 0.155, 0.215, 0.357),
    },
}
"""Depths over the diameter by rule and by points on it, the near half [-]: ISO 3966; the tests derive each anew."""

RECTANGULAR_LOG_TCHEBYCHEFF = {
    5: (0.074, 0.288, 0.500),
    6: (0.061, 0.235, 0.437),
    7: (0.053, 0.203, 0.366, 0.500),
}
"""Depths over each side of a rectangle by points on it, the near half [-]: ISO 3966; the tests derive each anew."""


class Read(NamedTuple):
    """A value as read. value, error: one standard deviation [unit of the quantity]."""

    value: float
    error: float


def round_traverse(diameter: float, count: int = 6, rule: str = "log-linear") -> tuple[float, ...]:
    """Depths at which to read on each of two or three diameters of a round duct [m], from the near wall.

    Parameters
    ----------
    diameter : float
        of the duct [m].
    count : int
        points on a diameter: 6, 8 or 10 [-].
    rule : str
        log-linear or log-Tchebycheff [-].

    Raises
    ------
    InputError
        no such rule, or no such number of points is printed.

    Reference: ISO 3966; equal to the rules' own construction (a logarithmic law at the wall), COMPUTED.
    """
    if rule not in ROUND_POINTS:
        raise InputError(f"no rule for a traverse is called {rule!r}; there are: {', '.join(ROUND_POINTS)}")
    return _depths(ROUND_POINTS[rule], diameter, count)


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

    Reference: ISO 3966, log-Tchebycheff; equal to the rule's own construction, COMPUTED.
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

    Reference: equal weights of the points, by which the rules are made (closed form).
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


def pitot_flow(velocity_pressures: Sequence[float], area: float, density: float = 1.204) -> float:
    """Volume flow of a traverse with a pitot tube [m3/s].

    Parameters
    ----------
    velocity_pressures : Sequence[float]
        total minus static pressure at each point, 0 or more [Pa].
    area : float
        of the duct [m2].
    density : float
        of the air in the duct, above 0 [kg/m3].

    Raises
    ------
    OutOfRange
        a pressure below 0, or a density not above 0.

    Reference: sqrt(2 p/rho) at each point, then the mean (closed form).
    """
    pressures = np.asarray(velocity_pressures, dtype=float)
    if (odd := outlier(pressures, 0.0, np.inf)) is not None:
        raise OutOfRange("velocity pressure at a point of a traverse", odd, 0.0, np.inf, "Pa")
    if (odd := outlier(density, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("density of the air in the duct", odd, 0.0, np.inf, "kg/m3")
    return traverse_flow(np.asarray(velocity_at_pressure(pressures, density)).tolist(), area)


def box_flow(pressure: Values, hole_area: Values, density: Values = 1.204) -> Values:
    """Volume flow that a box with a hole draws from a room while a fan pulls on it [m3/s].

    Parameters
    ----------
    pressure : Values
        room minus box, 0 to 8 [Pa].
    hole_area : Values
        of the hole [m2].
    density : Values
        of the room's air [kg/m3].

    Raises
    ------
    OutOfRange
        a pressure below 0 or above 8 Pa: a larger hole is wanted.

    Reference: University of Central Florida energy research note, cfm = 1.07 in2 sqrt(Pa) below 8 Pa, PUBLISHED.
    """
    if (odd := outlier(pressure, 0.0, BOX_PRESSURE)) is not None:
        raise OutOfRange("pressure in an orifice box", odd, 0.0, BOX_PRESSURE, "Pa")
    return orifice_flow(pressure, hole_area, BOX_DISCHARGE, density)


def vane_flow(velocity: Values, face_area: Values, frame_factor: Values = 1.0) -> Values:
    """Volume flow through a grille from the speed that a vane meter reads at it [m3/s].

    Parameters
    ----------
    velocity : Values
        mean over the face, 0 or more [m/s].
    face_area : Values
        of the grille, or of the opening of the meter's cone [m2].
    frame_factor : Values
        flow over speed times face, from the meter's or the grille's sheet, above 0 [-].

    Raises
    ------
    OutOfRange
        a speed below 0, or a factor not above 0.

    Reference: definition of the factor (closed form).
    """
    if (odd := outlier(velocity, 0.0, np.inf)) is not None:
        raise OutOfRange("speed that a vane meter reads", odd, 0.0, np.inf, "m/s")
    if (odd := outlier(frame_factor, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("frame factor of a vane meter", odd, 0.0, np.inf, "-")
    flow: Values = velocity * face_area * frame_factor
    return flow


def tap_flow(pressure: Values, tap_points: Sequence[tuple[float, float]]) -> Values:
    """Volume flow of a unit from the pressure at its taps by the maker's table [m3/s].

    Between two points a power law joins them, so that the flow rises or falls all the way and a table made by
    Q = k dp^m gives back that law. Beyond the first and the last point the table says nothing.

    Parameters
    ----------
    pressure : Values
        at the taps, within the table [Pa].
    tap_points : Sequence[tuple[float, float]]
        pressure and flow of each row, pressures rising, flows all rising or all falling, all above 0 [Pa, m3/s].

    Raises
    ------
    InputError
        a table of fewer than two rows, not in order, or with values not above 0.
    OutOfRange
        a pressure that the table does not reach.

    Reference: the maker's own table; a power law between its points (closed form).
    """
    rows = np.asarray(tap_points, dtype=float)
    if rows.ndim != 2 or len(rows) < 2 or not (np.isfinite(rows) & (rows > 0.0)).all():
        raise InputError("a table of taps wants two rows or more of pressure and flow, all above 0")
    steps = np.diff(rows, axis=0)
    if not (steps[:, 0] > 0.0).all() or not ((steps[:, 1] > 0.0).all() or (steps[:, 1] < 0.0).all()):
        raise InputError("a table of taps wants its pressures rising and its flows all rising or all falling")
    low, high = float(rows[0, 0]), float(rows[-1, 0])
    if (odd := outlier(pressure, low, high)) is not None:
        raise OutOfRange("pressure at the unit's taps", odd, low, high, "Pa")
    flow: Values = np.exp(np.interp(np.log(pressure), np.log(rows[:, 0]), np.log(rows[:, 1])))
    return flow


def net_reading(samples: Sequence[float], baselines: Sequence[float], instrument_error: float) -> Read:
    """What a gauge read beyond its baseline, and how sure [unit of the gauge].

    What the instrument is off by stays in full however often it is read; scatter shrinks with the samples. One sample
    shows no scatter, so that it counts as none: take three.

    Parameters
    ----------
    samples : Sequence[float]
        as read, one or more [unit of the gauge].
    baselines : Sequence[float]
        as read with nothing running, none or more; none is a baseline of 0 [unit of the gauge].
    instrument_error : float
        one standard deviation of the gauge, 0 or more [unit of the gauge].

    Raises
    ------
    OutOfRange
        no sample, or an error below 0.

    Reference: JCGM 100:2008 (GUM) 4.2 and 5.1.2, MEMORY.
    """
    if not len(samples):
        raise OutOfRange("samples of a reading", 0, 1, np.inf, "samples")
    if (odd := outlier(instrument_error, 0.0, np.inf)) is not None:
        raise OutOfRange("error of a gauge", odd, 0.0, np.inf, "-")
    chance = sum(float(np.var(some, ddof=1)) / len(some) for some in (samples, baselines) if len(some) > 1)
    value = float(np.mean(samples)) - (float(np.mean(baselines)) if len(baselines) else 0.0)
    return Read(value, float(np.sqrt(instrument_error**2 + chance)))


def handed_on(flow: Callable[..., Values], *givens: Read) -> Read:
    """A flow and the uncertainty that it takes from what it is made of [m3/s], errors independent.

    Each given is moved by its error to either side and half the change taken, so that a square root near 0 keeps a
    finite error. Where one side leaves the range of the method, the whole change of the other side counts.

    Parameters
    ----------
    flow : Callable[..., Values]
        a function of the givens, in their order [m3/s].
    givens : Read
        each value with its error; 0 where it is known [unit of each].

    Raises
    ------
    OutOfRange
        a given lies out of the method's range, or both sides of it do.

    Reference: JCGM 100:2008 (GUM) 5.1.3, note 2, the numerical form, MEMORY.
    """
    values = [given.value for given in givens]
    middle = float(flow(*values))
    squares = 0.0
    for place, given in enumerate(givens):
        sides = [_moved(flow, values, place, step) for step in (given.error, -given.error)]
        reached = [side for side in sides if side is not None]
        if not reached:
            raise OutOfRange("error of a given", given.error, 0.0, abs(given.value), "-")
        change = 0.5 * (reached[0] - reached[1]) if len(reached) == 2 else reached[0] - middle
        squares += change**2
    return Read(middle, float(np.sqrt(squares)))


def _moved(flow: Callable[..., Values], values: Sequence[float], place: int, step: float) -> float | None:
    """The flow with one given moved; None where the method does not hold there."""
    moved = [value + step if index == place else value for index, value in enumerate(values)]
    try:
        return float(flow(*moved))
    except OutOfRange:
        return None
