"""What drives air without a fan: stack (columns of unequal density) and wind.

    (p_in - p_out)(h) = (p_in - p_out)(0) + (rho_out - rho_in) g h      stack
    p_wind = Cp rho U^2 / 2,  U = s U_H                                 wind on a face, sheltered by s
    U_H = U_met (d_met/H_met)^a_met (H/d)^a                             wind at the height of the house

Pressure differences are inside minus outside. Wind angles are measured from the outward normal of the wall.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import GRAVITY, KELVIN, Values
from airledger.physics.validity import outlier


@dataclass(frozen=True, slots=True)
class Terrain:
    """Surroundings of a house: exponent of the wind profile and thickness of the boundary layer.

    Parameters
    ----------
    profile_exponent : float
        exponent a [-].
    layer_thickness : float
        thickness d [m].
    """

    profile_exponent: float
    layer_thickness: float


TERRAINS = {
    "city": Terrain(0.33, 460.0),
    "suburb": Terrain(0.22, 370.0),
    "open": Terrain(0.14, 270.0),
    "water": Terrain(0.10, 210.0),
}
"""Classes 1 to 4: large city, suburb or wooded, open, water; ASHRAE Fundamentals 2021 ch. 24 table 1, PUBLISHED."""

STATION_HEIGHT = 10.0
"""Height of a weather station's wind gauge [m]."""

LOW_RISE_WALL = (0.6, -0.3, -0.65, -0.65)
"""Pressure coefficients with wind on the front, back and both sides [-]; ch. 16 eq. 26, PUBLISHED."""


def stack_gradient(density_inside: Values, density_outside: Values) -> Values:
    """Rise of (inside minus outside) pressure with height [Pa/m].

    Parameters
    ----------
    density_inside : Values
        density of the indoor air [kg/m3].
    density_outside : Values
        density of the outdoor air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 24, PUBLISHED.
    """
    return (density_outside - density_inside) * GRAVITY


def stack_pressure(height: Values, density_inside: Values, density_outside: Values) -> Values:
    """What stack adds [Pa] to (inside minus outside) pressure at a height above the level of reference.

    Parameters
    ----------
    height : Values
        height above the level at which the pressure difference is known [m].
    density_inside : Values
        density of the indoor air [kg/m3].
    density_outside : Values
        density of the outdoor air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 24, PUBLISHED.
    """
    return stack_gradient(density_inside, density_outside) * height


def stack_pressure_from_temperatures(
    height: Values,
    neutral_level: Values,
    temperature_inside: Values,
    temperature_outside: Values,
    density_outside: Values,
) -> Values:
    """Outside minus inside pressure by stack [Pa]; positive where cold air enters below the neutral level.

    Parameters
    ----------
    height : Values
        height at which the difference is wanted [m].
    neutral_level : Values
        height at which inside and outside pressure are equal [m].
    temperature_inside : Values
        indoor temperature [degC].
    temperature_outside : Values
        outdoor temperature [degC].
    density_outside : Values
        density of the outdoor air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 24, PUBLISHED.
    """
    return (
        density_outside
        * GRAVITY
        * (temperature_inside - temperature_outside)
        / (temperature_inside + KELVIN)
        * (neutral_level - height)
    )


def neutral_level_of_leaks(spacing: Values, coefficient_ratio: Values, exponent: Values) -> Values:
    """Height of the neutral level [m] above the lower of two leaks, balance of volumes.

    Parameters
    ----------
    spacing : Values
        height of the upper leak above the lower [m].
    coefficient_ratio : Values
        flow coefficient of the lower over that of the upper leak [-].
    exponent : Values
        pressure exponent n of both [-].

    Reference: C1 dP1^n = C2 dP2^n (closed form).
    """
    level: Values = spacing / (1.0 + np.power(coefficient_ratio, 1.0 / exponent))
    return level


def neutral_level_of_orifices(
    spacing: Values, area_ratio: Values, density_inside: Values, density_outside: Values
) -> Values:
    """Height of the neutral level [m] above the lower of two orifices, balance of masses.

    Parameters
    ----------
    spacing : Values
        height of the upper orifice above the lower [m].
    area_ratio : Values
        area of the lower over that of the upper orifice [-].
    density_inside : Values
        density of the indoor air, which leaves above [kg/m3].
    density_outside : Values
        density of the outdoor air, which enters below [kg/m3].

    Reference: rho_o A1^2 dP1 = rho_i A2^2 dP2 (closed form).
    """
    return spacing / (1.0 + area_ratio * area_ratio * density_outside / density_inside)


def wind_pressure(pressure_coefficient: Values, wind_speed: Values, density: Values) -> Values:
    """Pressure of the wind on a face [Pa] against undisturbed outdoor air.

    Parameters
    ----------
    pressure_coefficient : Values
        pressure coefficient Cp of the face [-].
    wind_speed : Values
        wind speed at the height of the house, shelter included [m/s].
    density : Values
        density of the outdoor air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 25 and 28, PUBLISHED.
    """
    return 0.5 * pressure_coefficient * density * wind_speed * wind_speed


def wind_speed_at_height(
    station_speed: Values, height: Values, terrain: str, station: str = "open", station_height: float = STATION_HEIGHT
) -> Values:
    """Wind speed at a height above the ground of a place [m/s].

    Parameters
    ----------
    station_speed : Values
        wind speed at the weather station [m/s].
    height : Values
        height above the ground, usually that of the eaves [m].
    terrain : str
        surroundings of the place, a word of `TERRAINS` [-].
    station : str
        surroundings of the weather station, a word of `TERRAINS` [-].
    station_height : float
        height of the station's wind gauge [m].

    Raises
    ------
    ValueError
        a word that is not in `TERRAINS`.
    OutOfRange
        height not between 0 and the thickness of the boundary layer.

    Reference: ASHRAE Fundamentals 2021 ch. 24 eq. 4 and table 1, PUBLISHED.
    """
    for word in (terrain, station):
        if word not in TERRAINS:
            raise ValueError(f"terrain is one of {', '.join(TERRAINS)}, not {word!r}")
    here, there = TERRAINS[terrain], TERRAINS[station]
    if (odd := outlier(height, 0.0, here.layer_thickness)) is not None:
        raise OutOfRange("height above ground", odd, 0.0, here.layer_thickness, "m")
    aloft = (there.layer_thickness / station_height) ** there.profile_exponent
    speed: Values = station_speed * aloft * np.power(height / here.layer_thickness, here.profile_exponent)
    return speed


def facade_pressure_coefficient(
    wind_angle: Values, coefficients: tuple[float, float, float, float] = LOW_RISE_WALL
) -> Values:
    """Mean pressure coefficient [-] of a wall of a low-rise house, plan ratio below 3.

    Parameters
    ----------
    wind_angle : Values
        angle between the wind's origin and the wall's outward normal [rad].
    coefficients : tuple[float, float, float, float]
        values with wind on this wall, on the opposite one, on either side wall [-].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 26 (Walker and Wilson 1994), PUBLISHED.
    """
    front, back, right, left = coefficients
    cosine, sine = np.cos(wind_angle), np.sin(wind_angle)
    even = (front + back) * np.power(cosine * cosine, 0.25)
    odd = (front - back) * np.sign(cosine) * np.power(np.abs(cosine), 0.75)
    sides = (right + left) * np.square(sine * sine) + (right - left) * sine
    coefficient: Values = 0.5 * (even + odd + sides)
    return coefficient


def shelter_factor(wind_angle: Values, coefficients: tuple[float, float, float, float]) -> Values:
    """Factor [-] by which neighbours slow the wind that blows from an angle.

    Parameters
    ----------
    wind_angle : Values
        angle between the wind's origin and the front's outward normal [rad].
    coefficients : tuple[float, float, float, float]
        shelter factor with wind on the front, on the back, on either side [-].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 27, PUBLISHED.
    """
    front, back, right, left = coefficients
    cosine, sine = np.cos(wind_angle), np.sin(wind_angle)
    along = (front + back) * cosine * cosine + (front - back) * cosine
    across = (right + left) * sine * sine + (right - left) * sine
    factor: Values = 0.5 * (along + across)
    return factor


def wall_mean_pressure_coefficient(wind_angle: Values, side_ratio: Values) -> Values:
    """Mean pressure coefficient [-] of a wall of a low-rise house by its plan.

    Parameters
    ----------
    wind_angle : Values
        angle between the wind's origin and the wall's outward normal [rad].
    side_ratio : Values
        length of this wall over that of the wall beside it [-].

    Raises
    ------
    OutOfRange
        side ratio outside 0.25 to 4.

    Reference: Swami and Chandra (named in ASHRAE Fundamentals 2021 ch. 24), formula MEMORY.
    """
    if (odd := outlier(side_ratio, 0.25, 4.0)) is not None:
        raise OutOfRange("side ratio", odd, 0.25, 4.0, "-")
    angle = np.abs(np.arctan2(np.sin(wind_angle), np.cos(wind_angle)))
    plan = np.log(side_ratio)
    half_sine, half_cosine = np.sin(0.5 * angle), np.cos(0.5 * angle)
    inner = (
        1.248
        - 0.703 * half_sine
        - 1.175 * np.square(np.sin(angle))
        + 0.131 * np.sin(2.0 * angle * plan) ** 3
        + 0.769 * half_cosine
        + 0.07 * np.square(plan * half_sine)
        + 0.717 * np.square(half_cosine)
    )
    coefficient: Values = 0.6 * np.log(inner)
    return coefficient
