"""Leaks of the envelope: the power law, what it means at other air, and the areas people quote for it.

    Q = C dP^n                                                    n 0.5 (orifice) to 1 (long crack)
    Q = C0 (rho0/rho)^(1-n) (mu0/mu)^(2n-1) dP^n                  the same leak at the air that enters
    A = C sqrt(rho/2) dPr^(n-0.5) / CD                            area of the orifice with that flow at dPr

A bare flow coefficient, ACH50 or cfm50 is at reference air: dry, 20 degC, 101,325 Pa.
"""

from __future__ import annotations

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.moist_air import REFERENCE_DENSITY, REFERENCE_VISCOSITY
from airledger.physics.validity import outlier

LEAST_EXPONENT = 0.5
"""Exponent of a sharp-edged hole [-]."""

GREATEST_EXPONENT = 1.0
"""Exponent of a long narrow crack [-]."""

TEST_PRESSURE = 50.0
"""Pressure difference at which houses are compared [Pa]."""

ELA_PRESSURE = 4.0
"""Reference pressure of the effective leakage area, discharge coefficient 1 [Pa]."""

EQLA_PRESSURE = 10.0
"""Reference pressure of the equivalent leakage area, discharge coefficient 0.611 [Pa]."""

EQLA_DISCHARGE_COEFFICIENT = 0.611
"""Discharge coefficient of the equivalent leakage area [-]."""

_HOUR = 3600.0


def flow_coefficient(flow: Values, pressure_difference: Values, exponent: Values) -> Values:
    """Flow coefficient [m3/s/Pa^n] of a leak that passes a flow at a pressure difference.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    pressure_difference : Values
        pressure difference, above 0 [Pa].
    exponent : Values
        pressure exponent n [-].

    Raises
    ------
    OutOfRange
        exponent outside 0.5 to 1, or pressure difference not above 0.

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 40, PUBLISHED.
    """
    if (odd := outlier(exponent, LEAST_EXPONENT, GREATEST_EXPONENT)) is not None:
        raise OutOfRange("pressure exponent", odd, LEAST_EXPONENT, GREATEST_EXPONENT, "-")
    if (odd := outlier(pressure_difference, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("pressure difference", odd, 0.0, np.inf, "Pa")
    coefficient: Values = flow / np.power(pressure_difference, exponent)
    return coefficient


def leakage_flow(flow_coefficient: Values, pressure_difference: Values, exponent: Values) -> Values:
    """Volume flow through a leak [m3/s]; it has the sign of the pressure difference.

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient C [m3/s/Pa^n].
    pressure_difference : Values
        pressure difference [Pa].
    exponent : Values
        pressure exponent n [-].

    Raises
    ------
    OutOfRange
        exponent outside 0.5 to 1.

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 40, PUBLISHED.
    """
    if (odd := outlier(exponent, LEAST_EXPONENT, GREATEST_EXPONENT)) is not None:
        raise OutOfRange("pressure exponent", odd, LEAST_EXPONENT, GREATEST_EXPONENT, "-")
    flow: Values = flow_coefficient * np.sign(pressure_difference) * np.power(np.abs(pressure_difference), exponent)
    return flow


def leakage_pressure(flow: Values, flow_coefficient: Values, exponent: Values) -> Values:
    """Pressure difference [Pa] that drives a flow through a leak; it has the sign of the flow.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    flow_coefficient : Values
        flow coefficient C [m3/s/Pa^n].
    exponent : Values
        pressure exponent n [-].

    Raises
    ------
    OutOfRange
        exponent outside 0.5 to 1.

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 40, PUBLISHED, solved for dP.
    """
    if (odd := outlier(exponent, LEAST_EXPONENT, GREATEST_EXPONENT)) is not None:
        raise OutOfRange("pressure exponent", odd, LEAST_EXPONENT, GREATEST_EXPONENT, "-")
    pressure: Values = np.sign(flow) * np.power(np.abs(flow) / flow_coefficient, 1.0 / exponent)
    return pressure


def air_correction(exponent: Values, density: Values, viscosity: Values) -> Values:
    """Factor [-] on the reference flow coefficient for the air that enters the leak.

    Parameters
    ----------
    exponent : Values
        pressure exponent n [-].
    density : Values
        density of the entering air [kg/m3].
    viscosity : Values
        dynamic viscosity of the entering air [Pa s].

    Reference: ASTM E779 (reference flow coefficient), MEMORY.
    """
    lighter = np.power(REFERENCE_DENSITY / density, 1.0 - exponent)
    thinner = np.power(REFERENCE_VISCOSITY / viscosity, 2.0 * exponent - 1.0)
    factor: Values = lighter * thinner
    return factor


def reference_flow_coefficient(
    flow_coefficient: Values, exponent: Values, density: Values, viscosity: Values
) -> Values:
    """Flow coefficient at reference air [m3/s/Pa^n] of a leak measured with other air.

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient as measured [m3/s/Pa^n].
    exponent : Values
        pressure exponent n [-].
    density : Values
        density of the air in the leak during the test [kg/m3].
    viscosity : Values
        dynamic viscosity of that air [Pa s].

    Reference: inverse of `air_correction` (closed form).
    """
    return flow_coefficient / air_correction(exponent, density, viscosity)


def flow_from_air_changes(air_changes: Values, volume: Values) -> Values:
    """Volume flow [m3/s] of a number of air changes.

    Parameters
    ----------
    air_changes : Values
        air changes per hour [1/h].
    volume : Values
        volume of the house [m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 (definition of ACH50), PUBLISHED.
    """
    return air_changes * volume / _HOUR


def air_changes(flow: Values, volume: Values) -> Values:
    """Air changes per hour [1/h] of a volume flow.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    volume : Values
        volume of the house [m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 (definition of ACH50), PUBLISHED.
    """
    return _HOUR * flow / volume


def leakage_area(
    flow_coefficient: Values,
    exponent: Values,
    reference_pressure: Values = ELA_PRESSURE,
    discharge_coefficient: Values = 1.0,
    density: Values = REFERENCE_DENSITY,
) -> Values:
    """Area [m2] of the orifice that passes the same flow at the reference pressure.

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient C [m3/s/Pa^n].
    exponent : Values
        pressure exponent n [-].
    reference_pressure : Values
        pressure at which both agree [Pa].
    discharge_coefficient : Values
        discharge coefficient of the orifice [-].
    density : Values
        density of the air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 41 and 44, PUBLISHED.
    """
    area: Values = (
        flow_coefficient * np.sqrt(0.5 * density) * np.power(reference_pressure, exponent - 0.5) / discharge_coefficient
    )
    return area


def effective_leakage_area(flow_coefficient: Values, exponent: Values) -> Values:
    """Effective leakage area at 4 Pa, discharge coefficient 1 [m2].

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient C at reference air [m3/s/Pa^n].
    exponent : Values
        pressure exponent n [-].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 44, PUBLISHED.
    """
    return leakage_area(flow_coefficient, exponent)


def equivalent_leakage_area(flow_coefficient: Values, exponent: Values) -> Values:
    """Equivalent leakage area at 10 Pa, discharge coefficient 0.611 [m2].

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient C at reference air [m3/s/Pa^n].
    exponent : Values
        pressure exponent n [-].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 41, 10 Pa and 0.611, PUBLISHED.
    """
    return leakage_area(flow_coefficient, exponent, EQLA_PRESSURE, EQLA_DISCHARGE_COEFFICIENT)


def flow_coefficient_from_area(
    area: Values,
    exponent: Values,
    reference_pressure: Values = ELA_PRESSURE,
    discharge_coefficient: Values = 1.0,
    density: Values = REFERENCE_DENSITY,
) -> Values:
    """Flow coefficient [m3/s/Pa^n] of a leak whose leakage area is known.

    Parameters
    ----------
    area : Values
        leakage area [m2].
    exponent : Values
        pressure exponent n [-].
    reference_pressure : Values
        pressure to which the area refers [Pa].
    discharge_coefficient : Values
        discharge coefficient to which the area refers [-].
    density : Values
        density of the air [kg/m3].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 41 and 43, PUBLISHED.
    """
    return area / leakage_area(1.0, exponent, reference_pressure, discharge_coefficient, density)


def converted_leakage_area(
    area: Values,
    exponent: Values,
    pressures: tuple[Values, Values],
    discharge_coefficients: tuple[Values, Values],
) -> Values:
    """The same leak as an area [m2] at another reference pressure and discharge coefficient.

    Parameters
    ----------
    area : Values
        leakage area as given [m2].
    exponent : Values
        pressure exponent n [-].
    pressures : tuple[Values, Values]
        reference pressure as given, as wanted [Pa].
    discharge_coefficients : tuple[Values, Values]
        discharge coefficient as given, as wanted [-].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 42, PUBLISHED.
    """
    pressure = np.power(pressures[1] / pressures[0], exponent - 0.5)
    converted: Values = area * discharge_coefficients[0] / discharge_coefficients[1] * pressure
    return converted


def normalized_leakage(area: Values, floor_area: Values, height: Values, height_exponent: float = 0.4) -> Values:
    """Leakage area over floor area, weighted with the height of the house [-].

    Parameters
    ----------
    area : Values
        effective leakage area at 4 Pa [m2].
    floor_area : Values
        floor area [m2].
    height : Values
        height of the building above grade [m].
    height_exponent : float
        0.4, or 0.3 in ASTM E779 [-].

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 46 (0.4, 2.5 m), PUBLISHED; 0.3 MEMORY.
    """
    weighted: Values = 1000.0 * (area / floor_area) * np.power(height / 2.5, height_exponent)
    return weighted


def parallel_flow_coefficient(flow_coefficient: Values, other_flow_coefficient: Values) -> Values:
    """Flow coefficient [m3/s/Pa^n] of two leaks of one exponent side by side.

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient of one [m3/s/Pa^n].
    other_flow_coefficient : Values
        flow coefficient of the other [m3/s/Pa^n].

    Reference: flows add (closed form).
    """
    return flow_coefficient + other_flow_coefficient


def series_flow_coefficient(flow_coefficient: Values, other_flow_coefficient: Values, exponent: Values) -> Values:
    """Flow coefficient [m3/s/Pa^n] of two leaks of one exponent one behind the other.

    Parameters
    ----------
    flow_coefficient : Values
        flow coefficient of one [m3/s/Pa^n].
    other_flow_coefficient : Values
        flow coefficient of the other [m3/s/Pa^n].
    exponent : Values
        pressure exponent n of both [-].

    Reference: pressure differences add (closed form).
    """
    resistance = np.power(flow_coefficient, -1.0 / exponent) + np.power(other_flow_coefficient, -1.0 / exponent)
    coefficient: Values = np.power(resistance, -exponent)
    return coefficient
