"""The pull on a door: how hard a pressure difference makes it to open, and which way it drives the leaf.

    F = F_close + W A dP / (2 (W - d))      W width, A area of the leaf, d knob to edge

Suction (inside below outside) holds a door that swings out shut and throws one that swings in open. A door is also a
piston: in a tight house its first few degrees make tens of pascals for a moment with nothing running. That is no fault.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.moist_air import STANDARD_PRESSURE
from airledger.physics.validity import outlier

Swing = Literal["in", "out"]
Direction = Literal["held shut", "thrown open", "none"]

NEGLIGIBLE_PRESSURE = 0.1
"""Pressure difference below which no direction is told: less than gauges resolve [Pa]; common practice, no source."""

HEAT_CAPACITY_RATIO = 1.4
"""Ratio of the specific heats of air [-]: stiffness of quick against slow compression."""


def door_force(
    pressure_difference: Values, width: Values, area: Values, knob_distance: Values = 0.0, closer_force: Values = 0.0
) -> Values:
    """Force at the knob [N] that opens a door against a pressure difference.

    Parameters
    ----------
    pressure_difference : Values
        pressure difference across the door, its size counts [Pa].
    width : Values
        width of the leaf [m].
    area : Values
        area of the leaf [m2].
    knob_distance : Values
        knob to the edge it opens at [m].
    closer_force : Values
        force at the knob that overcomes the closer [N].

    Raises
    ------
    OutOfRange
        knob distance outside 0 to half the width.

    Reference: SFPE Handbook, 5th edition, ch. 50 eq. 50.14, PUBLISHED.
    """
    if (odd := outlier(knob_distance / width, 0.0, 0.5)) is not None:
        raise OutOfRange("knob distance over door width", odd, 0.0, 0.5, "-")
    force: Values = closer_force + width * area * np.abs(pressure_difference) / (2.0 * (width - knob_distance))
    return force


def pressure_of_door_force(
    force: Values, width: Values, area: Values, knob_distance: Values = 0.0, closer_force: Values = 0.0
) -> Values:
    """Pressure difference [Pa] at which a door takes the given force at the knob; 0 if the closer alone takes more.

    Parameters
    ----------
    force : Values
        force at the knob [N].
    width : Values
        width of the leaf [m].
    area : Values
        area of the leaf [m2].
    knob_distance : Values
        knob to the edge it opens at [m].
    closer_force : Values
        force at the knob that overcomes the closer [N].

    Raises
    ------
    OutOfRange
        knob distance outside 0 to half the width.

    Reference: SFPE Handbook, 5th edition, ch. 50 eq. 50.14, PUBLISHED, solved for dP.
    """
    if (odd := outlier(knob_distance / width, 0.0, 0.5)) is not None:
        raise OutOfRange("knob distance over door width", odd, 0.0, 0.5, "-")
    pressure: Values = np.maximum(force - closer_force, 0.0) * 2.0 * (width - knob_distance) / (width * area)
    return pressure


def door_direction(pressure_difference: float, swings: Swing) -> Direction:
    """Which way the pressure drives the leaf: "held shut", "thrown open" or "none" [-].

    Parameters
    ----------
    pressure_difference : float
        pressure inside minus outside [Pa].
    swings : Swing
        the side to which the leaf opens, "in" or "out" [-].

    Raises
    ------
    ValueError
        a door swings "in" or "out".

    Reference: statics: the higher pressure pushes the leaf; outwards from the inside (closed form).
    """
    if swings not in ("in", "out"):
        raise ValueError(f"a door swings in or out, not {swings!r}")
    if abs(pressure_difference) < NEGLIGIBLE_PRESSURE:
        return "none"
    pushed_out = pressure_difference > 0.0
    return "thrown open" if pushed_out == (swings == "out") else "held shut"


def piston_pressure(
    swept_volume: Values, house_volume: Values, pressure: Values = STANDARD_PRESSURE
) -> tuple[Values, Values]:
    """Momentary pressure of a door moved in a tight house: slow (isothermal) and quick (adiabatic) movement [Pa].

    Parameters
    ----------
    swept_volume : Values
        volume that the leaf sweeps [m3].
    house_volume : Values
        volume of the air it compresses [m3].
    pressure : Values
        barometric pressure [Pa].

    Reference: Boyle's law, dP = p dV / V, times 1.4 for quick movement (closed form).
    """
    slow = pressure * swept_volume / house_volume
    return slow, HEAT_CAPACITY_RATIO * slow


def swept_volume(width: Values, height: Values, angle: Values) -> Values:
    """Volume [m3] that a leaf sweeps as it turns.

    Parameters
    ----------
    width : Values
        width of the leaf [m].
    height : Values
        height of the leaf [m].
    angle : Values
        angle through which it turns [rad].

    Reference: geometry, W^2 H angle / 2 (closed form).
    """
    return 0.5 * width * width * height * angle
