"""Openings on purpose: orifices, undercuts, transfer grilles, doorways, windows.

    Q = CD A sqrt(2 dP / rho)

A tall opening between spaces of unequal temperature passes air both ways at once; it is cut into three equal strips,
each at its middle height.
"""

from __future__ import annotations

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.moist_air import REFERENCE_DENSITY
from airledger.physics.validity import outlier

SHARP_EDGED = 0.60
"""Discharge coefficient of a sharp-edged hole [-]; about 0.6, ASHRAE Fundamentals 2021 ch. 16, PUBLISHED."""

ONE_WAY_OPENING = 0.65
"""Discharge coefficient of a door or window with flow one way [-]; ASHRAE Fundamentals 2021 ch. 16, PUBLISHED."""

STRIP_HEIGHTS = (1.0 / 6.0, 1.0 / 2.0, 5.0 / 6.0)
"""Middle heights of the three strips of a tall opening, as shares of its height [-]."""

STRIP_SHARES = (1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0)
"""Shares of the area of a tall opening that its three strips have [-]."""

GREATEST_TEMPERATURE_DIFFERENCE = 45.0
"""Temperature difference up to which the doorway's coefficient stays below that of a sharp-edged hole [K]."""


def orifice_coefficient(
    area: Values, discharge_coefficient: Values = SHARP_EDGED, density: Values = REFERENCE_DENSITY
) -> Values:
    """Flow of an orifice at 1 Pa [m3/s/Pa^0.5].

    Parameters
    ----------
    area : Values
        free area [m2].
    discharge_coefficient : Values
        discharge coefficient [-].
    density : Values
        density of the entering air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 36, PUBLISHED.
    """
    coefficient: Values = discharge_coefficient * area * np.sqrt(2.0 / density)
    return coefficient


def orifice_flow(
    pressure_difference: Values,
    area: Values,
    discharge_coefficient: Values = SHARP_EDGED,
    density: Values = REFERENCE_DENSITY,
) -> Values:
    """Volume flow through an orifice [m3/s]; it has the sign of the pressure difference.

    Parameters
    ----------
    pressure_difference : Values
        pressure difference [Pa].
    area : Values
        free area [m2].
    discharge_coefficient : Values
        discharge coefficient [-].
    density : Values
        density of the entering air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 36, PUBLISHED.
    """
    root = np.sign(pressure_difference) * np.sqrt(np.abs(pressure_difference))
    flow: Values = orifice_coefficient(area, discharge_coefficient, density) * root
    return flow


def orifice_pressure(
    flow: Values, area: Values, discharge_coefficient: Values = SHARP_EDGED, density: Values = REFERENCE_DENSITY
) -> Values:
    """Pressure difference [Pa] that drives a flow through an orifice; it has the sign of the flow.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    area : Values
        free area [m2].
    discharge_coefficient : Values
        discharge coefficient [-].
    density : Values
        density of the entering air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 36, PUBLISHED, solved for dP.
    """
    speed = flow / orifice_coefficient(area, discharge_coefficient, density)
    pressure: Values = speed * np.abs(speed)
    return pressure


def orifice_area(
    flow: Values,
    pressure_difference: Values,
    discharge_coefficient: Values = SHARP_EDGED,
    density: Values = REFERENCE_DENSITY,
) -> Values:
    """Free area [m2] that passes a flow at a pressure difference.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    pressure_difference : Values
        pressure difference, above 0 [Pa].
    discharge_coefficient : Values
        discharge coefficient [-].
    density : Values
        density of the entering air [kg/m3].

    Raises
    ------
    OutOfRange
        pressure difference not above 0.

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 36, PUBLISHED, solved for A.
    """
    if (odd := outlier(pressure_difference, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("pressure difference", odd, 0.0, np.inf, "Pa")
    return flow / orifice_flow(pressure_difference, 1.0, discharge_coefficient, density)


def doorway_discharge_coefficient(temperature_difference: Values) -> Values:
    """Discharge coefficient [-] of a doorway with flow both ways.

    Parameters
    ----------
    temperature_difference : Values
        temperature difference between the two sides, either sign [K].

    Raises
    ------
    OutOfRange
        temperature difference of more than 45 K.

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 39, PUBLISHED.
    """
    size = np.abs(temperature_difference)
    if (odd := outlier(size, 0.0, GREATEST_TEMPERATURE_DIFFERENCE)) is not None:
        raise OutOfRange("temperature difference", odd, 0.0, GREATEST_TEMPERATURE_DIFFERENCE, "K")
    coefficient: Values = 0.40 + 0.0045 * size
    return coefficient


def undercut_area(door_width: Values, gap: Values) -> Values:
    """Free area under a door [m2]; over carpet there is none to speak of.

    Parameters
    ----------
    door_width : Values
        width of the leaf [m].
    gap : Values
        gap between leaf and bare floor [m].

    Reference: geometry; carpet blocks undercuts: ASHRAE Fundamentals 2021 ch. 16, PUBLISHED.
    """
    return door_width * gap


def strip_heights(sill: Values, height: Values) -> tuple[Values, Values, Values]:
    """Middle heights [m] of the three equal strips of a tall opening, from the bottom upwards.

    Parameters
    ----------
    sill : Values
        height of its lower edge [m].
    height : Values
        its clear height [m].

    Reference: midpoint rule (closed form).
    """
    low, middle, high = (sill + share * height for share in STRIP_HEIGHTS)
    return low, middle, high


def series_orifice_coefficient(orifice_coefficient: Values, other_orifice_coefficient: Values) -> Values:
    """Coefficient [m3/s/Pa^0.5] of two orifices one behind the other; areas CD A go by the same rule.

    Parameters
    ----------
    orifice_coefficient : Values
        coefficient of one [m3/s/Pa^0.5].
    other_orifice_coefficient : Values
        coefficient of the other [m3/s/Pa^0.5].

    Reference: 1/(CD A)^2 adds (closed form).
    """
    coefficient: Values = 1.0 / np.sqrt(
        1.0 / np.square(orifice_coefficient) + 1.0 / np.square(other_orifice_coefficient)
    )
    return coefficient
