"""Loss coefficients of duct fittings that follow from a formula; the tabulated ones live in `parts`.

A loss coefficient K refers to the velocity pressure at the place named: dP = K rho V^2 / 2. Angles are those through
which the air turns (bends) or the whole angle between the walls (cones).
"""

from __future__ import annotations

import math

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier

EXIT_LOSS = 1.0
"""Loss of an exit into a room or outdoors on the duct's velocity [-]: all of its velocity pressure."""

ENTRY_FLUSH = 0.5
"""Loss of a sharp entry flush with the wall [-]; MEMORY (Rennels gives 0.57)."""

ENTRY_PROJECTING = 1.0
"""Loss of a thin duct end that projects into the room [-]; MEMORY (0.78 to 1.06)."""

GRILLE_DISCHARGE_COEFFICIENT = 0.6
"""Discharge coefficient of the holes of a grille [-]."""

_BEND_FRICTION = 0.02


def sudden_expansion(diameter_ratio: Values) -> Values:
    """Loss [-] where a duct widens at once, on the velocity in the small duct.

    Parameters
    ----------
    diameter_ratio : Values
        small diameter over large [-].

    Raises
    ------
    OutOfRange
        diameter ratio outside 0 to 1.

    Reference: Borda and Carnot, (1 - A1/A2)^2 (closed form).
    """
    if (odd := outlier(diameter_ratio, 0.0, 1.0)) is not None:
        raise OutOfRange("diameter ratio", odd, 0.0, 1.0, "-")
    loss: Values = np.square(1.0 - diameter_ratio * diameter_ratio)
    return loss


def sudden_contraction(diameter_ratio: Values) -> Values:
    """Loss [-] where a duct narrows at once, on the velocity in the small duct.

    Parameters
    ----------
    diameter_ratio : Values
        small diameter over large [-].

    Raises
    ------
    OutOfRange
        diameter ratio outside 0 to 1.

    Reference: Rennels and Hudson, Pipe Flow, 2012; equals fluids 1.3.1 contraction_sharp (COMPUTED).
    """
    if (odd := outlier(diameter_ratio, 0.0, 1.0)) is not None:
        raise OutOfRange("diameter ratio", odd, 0.0, 1.0, "-")
    square, fifth = np.square(diameter_ratio), np.power(diameter_ratio, 5.0)
    jet = 1.0 + 0.622 * (1.0 - 0.215 * square - 0.785 * fifth)
    loss: Values = 0.0696 * (1.0 - fifth) * jet * jet + np.square(jet - 1.0)
    return loss


def conical_contraction(diameter_ratio: Values, cone_angle: Values, friction_factor: Values = 0.02) -> Values:
    """Loss [-] of a cone that narrows, on the velocity in the small duct.

    Parameters
    ----------
    diameter_ratio : Values
        small diameter over large [-].
    cone_angle : Values
        whole angle between the walls [rad].
    friction_factor : Values
        Darcy friction factor in the cone [-].

    Raises
    ------
    OutOfRange
        diameter ratio outside 0 to 1, or angle outside 1 to 180 degrees.

    Reference: Rennels and Hudson, Pipe Flow, 2012; equals fluids 1.3.1 contraction_conical (COMPUTED).
    """
    if (odd := outlier(diameter_ratio, 0.0, 1.0)) is not None:
        raise OutOfRange("diameter ratio", odd, 0.0, 1.0, "-")
    if (odd := outlier(cone_angle, math.radians(1.0), math.pi)) is not None:
        raise OutOfRange("cone angle", odd, math.radians(1.0), math.pi, "rad")
    square, fifth = np.square(diameter_ratio), np.power(diameter_ratio, 5.0)
    sine = np.sin(0.5 * cone_angle)
    jet = 1.0 + 0.622 * np.power(cone_angle / math.pi, 0.8) * (1.0 - 0.215 * square - 0.785 * fifth)
    friction = friction_factor * (1.0 - square * square) / (8.0 * sine)
    loss: Values = friction + 0.0696 * sine * (1.0 - fifth) * jet * jet + np.square(jet - 1.0)
    return loss


def conical_expansion(diameter_ratio: Values, cone_angle: Values, friction_factor: Values = 0.02) -> Values:
    """Loss [-] of a cone that widens, on the velocity in the small duct.

    Parameters
    ----------
    diameter_ratio : Values
        small diameter over large, 0.5 or more past 20 degrees [-].
    cone_angle : Values
        whole angle between the walls [rad].
    friction_factor : Values
        Darcy friction factor in the cone [-].

    Raises
    ------
    OutOfRange
        angle outside 1 to 60 degrees, diameter ratio outside 0.5 to 1.

    Reference: Rennels and Hudson, Pipe Flow, 2012; equals fluids 1.3.1 diffuser_conical (COMPUTED).
    """
    low, high = math.radians(1.0), math.radians(60.0)
    if (odd := outlier(cone_angle, low, high)) is not None:
        raise OutOfRange("cone angle", odd, low, high, "rad")
    if (odd := outlier(diameter_ratio, 0.5, 1.0)) is not None:
        raise OutOfRange("diameter ratio", odd, 0.5, 1.0, "-")
    square = np.square(diameter_ratio)
    half = 0.5 * cone_angle
    friction = 0.125 * friction_factor * (1.0 - square * square) / np.sin(half)
    gentle = 8.30 * np.power(np.tan(half), 1.75)
    steep = 1.366 * np.sqrt(np.abs(np.sin(2.0 * (cone_angle - math.radians(15.0))))) - 0.170
    form = np.where(cone_angle <= math.radians(20.0) * (1.0 + 1e-12), gentle, steep)[()]
    loss: Values = form * np.square(1.0 - square) + friction
    return loss


def mitred_bend(turn_angle: Values) -> Values:
    """Loss [-] of a mitred bend without vanes.

    Parameters
    ----------
    turn_angle : Values
        angle through which the air turns [rad].

    Raises
    ------
    OutOfRange
        angle outside 0 to 150 degrees.

    Reference: Rennels and Hudson, Pipe Flow, 2012; equals fluids 1.3.1 bend_miter (COMPUTED).
    """
    if (odd := outlier(turn_angle, 0.0, math.radians(150.0))) is not None:
        raise OutOfRange("turn of a mitred bend", odd, 0.0, math.radians(150.0), "rad")
    sine = np.sin(0.5 * turn_angle)
    loss: Values = 0.42 * sine + 2.56 * sine**3
    return loss


def smooth_bend(radius_ratio: Values, turn_angle: Values, friction_factor: Values = _BEND_FRICTION) -> Values:
    """Loss [-] of a smooth round bend.

    Parameters
    ----------
    radius_ratio : Values
        radius of the centre line over the diameter [-].
    turn_angle : Values
        angle through which the air turns [rad].
    friction_factor : Values
        Darcy friction factor in the bend [-].

    Raises
    ------
    OutOfRange
        radius ratio outside 0.5 to 10, or angle outside 0 to 180 degrees.

    Reference: Rennels and Hudson, Pipe Flow, 2012; equals fluids 1.3.1 bend_rounded (COMPUTED).
    """
    if (odd := outlier(radius_ratio, 0.5, 10.0)) is not None:
        raise OutOfRange("radius ratio of a bend", odd, 0.5, 10.0, "-")
    if (odd := outlier(turn_angle, 0.0, math.pi)) is not None:
        raise OutOfRange("turn of a bend", odd, 0.0, math.pi, "rad")
    sine = np.sin(0.5 * turn_angle)
    spread = np.power(radius_ratio, 4.0 * turn_angle / math.pi)
    friction = friction_factor * turn_angle * radius_ratio
    turning = (0.10 + 2.4 * friction_factor) * sine
    loss: Values = friction + turning + 6.6 * friction_factor * (np.sqrt(sine) + sine) / spread
    return loss


def grille_loss(free_area_ratio: Values) -> Values:
    """Loss [-] of a grille on its face velocity: 1/(0.6 FA)^2.

    Parameters
    ----------
    free_area_ratio : Values
        free area over face area [-].

    Raises
    ------
    OutOfRange
        free area ratio outside 0.05 to 1.

    Reference: orifice with discharge coefficient 0.6 (closed form).
    """
    if (odd := outlier(free_area_ratio, 0.05, 1.0)) is not None:
        raise OutOfRange("free area ratio", odd, 0.05, 1.0, "-")
    loss: Values = 1.0 / np.square(GRILLE_DISCHARGE_COEFFICIENT * free_area_ratio)
    return loss


def loss_on_other_area(loss_coefficient: Values, area: Values, other_area: Values) -> Values:
    """The same loss as a coefficient [-] on the velocity in another cross-section.

    Parameters
    ----------
    loss_coefficient : Values
        loss coefficient as given [-].
    area : Values
        area to which it refers [m2].
    other_area : Values
        area to which it shall refer [m2].

    Reference: K1 V1^2 = K2 V2^2 (closed form).
    """
    return loss_coefficient * (other_area / area) * (other_area / area)


def flow_through_loss(pressure_difference: Values, area: Values, loss_coefficient: Values, density: Values) -> Values:
    """Volume flow [m3/s] of a duct taken as one loss coefficient; it has the sign of the pressure difference.

    Parameters
    ----------
    pressure_difference : Values
        pressure difference [Pa].
    area : Values
        area of the duct [m2].
    loss_coefficient : Values
        total loss coefficient on the duct's velocity, exit included [-].
    density : Values
        density of the air [kg/m3].

    Reference: Q = A sqrt(2 dP/(rho K)) (closed form).
    """
    size = np.sqrt(2.0 * np.abs(pressure_difference) / (density * loss_coefficient))
    flow: Values = area * np.sign(pressure_difference) * size
    return flow


def diameter_for_loss(flow: Values, pressure_difference: Values, loss_coefficient: Values, density: Values) -> Values:
    """Diameter [m] of a duct taken as one loss coefficient that passes a flow at a pressure difference.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    pressure_difference : Values
        pressure difference, above 0 [Pa].
    loss_coefficient : Values
        total loss coefficient on the duct's velocity, exit included [-].
    density : Values
        density of the air [kg/m3].

    Raises
    ------
    OutOfRange
        pressure difference not above 0.

    Reference: Q = A sqrt(2 dP/(rho K)) solved for D (closed form).
    """
    if (odd := outlier(pressure_difference, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("pressure difference", odd, 0.0, np.inf, "Pa")
    area = flow / flow_through_loss(pressure_difference, 1.0, loss_coefficient, density)
    diameter: Values = np.sqrt(4.0 * area / math.pi)
    return diameter


def mean_velocity(flow: Values, area: Values) -> Values:
    """Mean velocity of the air in a cross-section [m/s].

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    area : Values
        area of the cross-section [m2].

    Reference: continuity (closed form).
    """
    return flow / area


def velocity_at_pressure(velocity_pressure: Values, density: Values) -> Values:
    """Velocity [m/s] that a velocity pressure read with a pitot tube stands for.

    Parameters
    ----------
    velocity_pressure : Values
        total minus static pressure [Pa].
    density : Values
        density of the air [kg/m3].

    Reference: sqrt(2 p/rho) (closed form).
    """
    velocity: Values = np.sqrt(2.0 * velocity_pressure / density)
    return velocity
