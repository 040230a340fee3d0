"""Air that stack and wind press through the envelope of a whole house, by the simple models of the handbook.

    basic      Q = AL/1000 sqrt(Cs dT + Cw U^2)                AL in cm2, Q in m3/s
    enhanced   Qs = c Cs dT^n,  Qw = c Cw (s G U)^(2n),  Q = sqrt(Qs^2 + Qw^2)
    with fans  Q = Qbal + sqrt(Qunbal^2 + Qinf^2)              quadrature
               Q = Qbal + max(Qunbal, Qinf + Qunbal/2)         rule of the load calculation
    a year     A_i = Q_i/V, tau_i = (1 - exp(-A_i))/A_i + tau_(i-1) exp(-A_i), effective rate = 1/mean(tau)

Whole-house models: they say nothing about where air comes from. The network of rooms does.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier

_SQUARE_CENTIMETRE = 1e-4
_LITRES = 1e-3

BASIC_STACK = (0.000145, 0.000290, 0.000435)
"""Stack coefficient of the basic model for 1, 2, 3 storeys [(L/s)2/(cm4 K)]: HF16 table 4, PUBLISHED."""

BASIC_WIND = (
    (0.000319, 0.000420, 0.000494),
    (0.000246, 0.000325, 0.000382),
    (0.000174, 0.000231, 0.000271),
    (0.000104, 0.000137, 0.000161),
    (0.000032, 0.000042, 0.000049),
)
"""Wind coefficient by shelter class 1 to 5 and storeys 1 to 3 [(L/s)2/(cm4 (m/s)2)]: HF16 table 6, PUBLISHED."""

WIND_SPEED_MULTIPLIER = (0.48, 0.59, 0.67)
"""G of the enhanced model by storeys [-]: HF16 table 7, PUBLISHED."""

ENHANCED_STACK = {False: (0.054, 0.078, 0.098), True: (0.069, 0.089, 0.107)}
"""Cs of the enhanced model by flue and storeys [(Pa/K)^n]: HF16 table 8, PUBLISHED."""

ENHANCED_WIND = {
    ("slab or basement", False): (0.156, 0.170, 0.170),
    ("slab or basement", True): (0.142, 0.156, 0.167),
    ("crawl space", False): (0.128, 0.142, 0.151),
    ("crawl space", True): (0.128, 0.142, 0.154),
}
"""Cw of the enhanced model by foundation, flue and storeys [(Pa s2/m2)^n]: HF16 table 8, PUBLISHED."""

SHELTER = {
    (False, 1): (1.00, 0.90, 0.70, 0.50, 0.30),
    (False, 2): (1.00, 0.90, 0.70, 0.50, 0.30),
    (False, 3): (1.00, 0.90, 0.70, 0.50, 0.30),
    (True, 1): (1.10, 1.02, 0.86, 0.70, 0.54),
    (True, 2): (1.07, 0.98, 0.81, 0.64, 0.47),
    (True, 3): (1.06, 0.97, 0.79, 0.61, 0.43),
}
"""Shelter factor by flue and storeys, for shelter class 1 to 5 [-]: HF16 table 9, PUBLISHED."""


@dataclass(frozen=True)
class Shelter:
    """How a house stands for the models: storeys 1 to 3, shelter class 1 (open) to 5, flue, foundation.

    foundation: ``slab or basement`` or ``crawl space``.
    """

    storeys: int
    shelter_class: int
    flue: bool = False
    foundation: str = "slab or basement"


def basic_coefficients(here: Shelter) -> tuple[float, float]:
    """Stack and wind coefficient of the basic model, in the units of its tables.

    Parameters
    ----------
    here : Shelter
        storeys and shelter class [-].

    Raises
    ------
    OutOfRange
        storeys outside 1 to 3, shelter class outside 1 to 5.

    Reference: ASHRAE Fundamentals 2021 ch. 16 tables 4 and 6, PUBLISHED.
    """
    _known(here)
    return BASIC_STACK[here.storeys - 1], BASIC_WIND[here.shelter_class - 1][here.storeys - 1]


def basic_infiltration(
    leakage_area: Values, temperature_difference: Values, wind_speed: Values, coefficients: tuple[float, float]
) -> Values:
    """Infiltration by the basic model [m3/s].

    Parameters
    ----------
    leakage_area : Values
        effective leakage area at 4 Pa [m2].
    temperature_difference : Values
        indoors less outdoors, its size counts [K].
    wind_speed : Values
        at the weather station [m/s].
    coefficients : tuple[float, float]
        stack and wind coefficient, from `basic_coefficients` [-].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 48 (Sherman and Grimsrud 1980), PUBLISHED.
    """
    stack, wind = coefficients
    driven = np.sqrt(stack * np.abs(temperature_difference) + wind * np.square(wind_speed))
    flow: Values = leakage_area / _SQUARE_CENTIMETRE * driven * _LITRES
    return flow


def enhanced_coefficients(here: Shelter) -> tuple[float, float, float, float]:
    """Cs [(Pa/K)^n], Cw [(Pa s2/m2)^n], shelter factor s [-] and wind speed multiplier G [-] of the enhanced model.

    Parameters
    ----------
    here : Shelter
        how the house stands [-].

    Raises
    ------
    OutOfRange
        storeys outside 1 to 3, shelter class outside 1 to 5.

    Reference: ASHRAE Fundamentals 2021 ch. 16 tables 7 to 9, PUBLISHED.
    """
    _known(here)
    place = here.storeys - 1
    return (
        ENHANCED_STACK[here.flue][place],
        ENHANCED_WIND[here.foundation, here.flue][place],
        SHELTER[here.flue, here.storeys][here.shelter_class - 1],
        WIND_SPEED_MULTIPLIER[place],
    )


def stack_infiltration(
    flow_coefficient: Values, exponent: Values, stack_coefficient: Values, temperature_difference: Values
) -> Values:
    """Infiltration by stack alone, enhanced model [m3/s].

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient of the house [m3/s/Pa^n].
    exponent : Values
        pressure exponent n [-].
    stack_coefficient : Values
        Cs [(Pa/K)^n].
    temperature_difference : Values
        indoors less outdoors, its size counts [K].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 49, PUBLISHED.
    """
    flow: Values = flow_coefficient * stack_coefficient * np.power(np.abs(temperature_difference), exponent)
    return flow


def wind_infiltration(
    flow_coefficient: Values, exponent: Values, wind_coefficient: Values, sheltered_speed: Values
) -> Values:
    """Infiltration by wind alone, enhanced model [m3/s].

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient of the house [m3/s/Pa^n].
    exponent : Values
        pressure exponent n [-].
    wind_coefficient : Values
        Cw [(Pa s2/m2)^n].
    sheltered_speed : Values
        shelter factor times wind speed multiplier times wind at the station [m/s].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 50, PUBLISHED.
    """
    flow: Values = flow_coefficient * wind_coefficient * np.power(sheltered_speed, 2.0 * exponent)
    return flow


def added_in_quadrature(flow: Values, other_flow: Values) -> Values:
    """Two flows that drive air through the same leaks, together [m3/s].

    Parameters
    ----------
    flow : Values
        one flow [m3/s].
    other_flow : Values
        the other flow [m3/s].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 47, PUBLISHED.
    """
    together: Values = np.hypot(flow, other_flow)
    return together


def fans_and_infiltration(balanced: Values, unbalanced: Values, infiltration: Values) -> Values:
    """Outdoor air of a house with fans and natural infiltration [m3/s], added in quadrature.

    Parameters
    ----------
    balanced : Values
        balanced part of the fans [m3/s].
    unbalanced : Values
        unbalanced part of the fans [m3/s].
    infiltration : Values
        natural infiltration [m3/s].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 51, PUBLISHED.
    """
    return balanced + added_in_quadrature(unbalanced, infiltration)


def fans_and_infiltration_for_loads(balanced: Values, unbalanced: Values, infiltration: Values) -> Values:
    """Outdoor air of a house with fans and natural infiltration [m3/s], by the rule of the load calculation.

    Parameters
    ----------
    balanced : Values
        balanced part of the fans [m3/s].
    unbalanced : Values
        unbalanced part of the fans [m3/s].
    infiltration : Values
        natural infiltration [m3/s].

    Reference: ASHRAE Fundamentals 2021 ch. 17 eq. 12 to 14, PUBLISHED.
    """
    together: Values = balanced + np.maximum(unbalanced, infiltration + 0.5 * unbalanced)
    return together


def effective_air_changes(air_changes: Values) -> float:
    """Steady air change rate that dilutes a steady source as a changing one does [1/h].

    Begins at the steady state of the first hour.

    Parameters
    ----------
    air_changes : Values
        air changes in each hour, above 0 [1/h].

    Raises
    ------
    OutOfRange
        an hour without any air change.

    Reference: Turner and Sherman 2012, HVAC&R Research 18, 1122-1135: citation PUBLISHED, recurrence MEMORY.
    """
    rates = np.atleast_1d(np.asarray(air_changes, dtype=float))
    if (odd := outlier(rates, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("air changes in an hour", odd, 0.0, np.inf, "1/h")
    turnover, total = 1.0 / float(rates[0]), 0.0
    for rate in rates.tolist():
        kept = np.exp(-rate)
        turnover = (1.0 - kept) / rate + turnover * kept
        total += turnover
    return float(len(rates) / total)


def _known(here: Shelter) -> None:
    if here.storeys not in (1, 2, 3):
        raise OutOfRange("storeys", here.storeys, 1, 3, "-")
    if here.shelter_class not in (1, 2, 3, 4, 5):
        raise OutOfRange("shelter class", here.shelter_class, 1, 5, "-")
