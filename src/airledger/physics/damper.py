"""Dampers: a gravity damper that the pressure itself opens, and a motorized one that a motor opens.

A gravity damper passes only its shut leakage until the pressure in its direction lifts it at p_open; then the open way
    Q = s A sqrt(2 (dP - p_open) / (K rho))
swings in by the smoothstep s over 0.5 Pa, so that flow and slope are continuous. It never passes more than its shut
leakage against its direction. One that opens at 10 Pa or more cannot hold a house at -5 Pa, whatever its size.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier

OPENING_RAMP = 0.5
"""Pressure over which a gravity damper swings open [Pa]; own choice, for a smooth law."""

ROUNDING = 1e-3
"""Pressure below which the shut leakage is rounded off, so that its slope stays finite [Pa]; own choice."""


@dataclass(frozen=True, slots=True)
class GravityDamper:
    """A damper that suction lifts.

    Parameters
    ----------
    area : Values
        area of the duct to which the loss coefficient refers [m2].
    loss_coefficient : Values
        loss coefficient when open [-].
    opens_at : Values
        pressure difference that lifts it [Pa].
    shut_coefficient : Values
        flow coefficient of its shut leakage [m3/s/Pa^n].
    shut_exponent : Values
        pressure exponent of its shut leakage [-].
    """

    area: Values
    loss_coefficient: Values
    opens_at: Values
    shut_coefficient: Values
    shut_exponent: Values = 0.65


def gravity_damper_flow(pressure_difference: Values, damper: GravityDamper, density: Values) -> tuple[Values, Values]:
    """Volume flow [m3/s] through a gravity damper and its slope [m3/(s Pa)].

    Parameters
    ----------
    pressure_difference : Values
        pressure difference in the direction in which it opens [Pa].
    damper : GravityDamper
        size, loss, opening pressure, leakage [m2, -, Pa, m3/s/Pa^n, -].
    density : Values
        density of the entering air [kg/m3].

    Reference: dP = p_open + K rho V^2/2, MEMORY; ramp and rounding are own.
    """
    shut, shut_slope = rounded_leakage(pressure_difference, damper.shut_coefficient, damper.shut_exponent)
    beyond = np.maximum(pressure_difference - damper.opens_at, 0.0)
    share = np.minimum(beyond / OPENING_RAMP, 1.0)
    swing, swing_slope = share * share * (3.0 - 2.0 * share), 6.0 * share * (1.0 - share) / OPENING_RAMP
    full = damper.area * np.sqrt(2.0 / (damper.loss_coefficient * density))
    root = np.sqrt(beyond)
    half = swing / (2.0 * np.maximum(root, np.finfo(float).tiny))
    flow: Values = shut + full * swing * root
    slope: Values = shut_slope + full * (swing_slope * root + half)
    return flow, slope


def rounded_leakage(
    pressure_difference: Values, shut_coefficient: Values, shut_exponent: Values
) -> tuple[Values, Values]:
    """Power law rounded off at zero, C x (x^2 + e^2)^((n-1)/2) [m3/s], and its slope [m3/(s Pa)].

    Parameters
    ----------
    pressure_difference : Values
        pressure difference [Pa].
    shut_coefficient : Values
        flow coefficient C [m3/s/Pa^n].
    shut_exponent : Values
        pressure exponent n [-].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 40, PUBLISHED; rounding over 0.001 Pa is own.
    """
    square = pressure_difference * pressure_difference
    smooth = square + ROUNDING * ROUNDING
    power = shut_coefficient * np.power(smooth, 0.5 * (shut_exponent - 1.0))
    flow: Values = power * pressure_difference
    slope: Values = power * (1.0 + (shut_exponent - 1.0) * square / smooth)
    return flow, slope


def motorized_damper_coefficient(
    position: Values, open_coefficient: Values, shut_coefficient: Values
) -> tuple[Values, Values]:
    """Flow coefficients of the open way and of the shut leakage of a motorized damper part-way open [m3/s/Pa^n].

    The open way grows with the position; the shut leakage fades as the seals leave their seats.

    Parameters
    ----------
    position : Values
        0 shut to 1 open [-].
    open_coefficient : Values
        flow coefficient of the damper wide open, exponent 0.5 [m3/s/Pa^n].
    shut_coefficient : Values
        flow coefficient of its shut leakage, its own exponent [m3/s/Pa^n].

    Raises
    ------
    OutOfRange
        position outside 0 to 1.

    Reference: linear in the position, common practice, no source.
    """
    if (odd := outlier(position, 0.0, 1.0)) is not None:
        raise OutOfRange("damper position", odd, 0.0, 1.0, "-")
    return position * open_coefficient, (1.0 - position) * shut_coefficient


def damper_position(time: Values, opening_time: Values) -> Values:
    """Position [-] of a motorized damper some time after its motor starts, 0 shut to 1 open.

    Parameters
    ----------
    time : Values
        time since the motor started [s].
    opening_time : Values
        time from shut to open [s].

    Raises
    ------
    OutOfRange
        opening time not above 0.

    Reference: constant speed of the motor, common practice, no source.
    """
    if (odd := outlier(opening_time, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("opening time", odd, 0.0, np.inf, "s")
    position: Values = np.clip(time / opening_time, 0.0, 1.0)
    return position
