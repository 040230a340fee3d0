"""Moist air: what it weighs, how much water it holds, how viscous it is, what it costs to change it.

Ideal-gas equations of the ASHRAE handbook, written out in numpy. They leave out the enhancement factor of real air
(about 1.004), so humidity ratios are some 0.45 % below the tables of real moist air.

    W = 0.621945 e / (p - e)                humidity ratio of vapour pressure e
    h = 1.006 t + W (2501 + 1.86 t)         enthalpy, kJ for each kg of dry air
    v = 287.042 T (1 + 1.607858 W) / p      volume of one kg of dry air and its vapour
    mu = 1.458e-6 T^1.5 / (T + 110.4)       viscosity (Sutherland)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import KELVIN, Values
from airledger.physics.saturation import (
    HIGHEST_TEMPERATURE,
    LOWEST_TEMPERATURE,
    MASS_RATIO,
    saturation_temperature,
    wet_bulb_balance,
)
from airledger.physics.saturation import saturation_pressure as saturation_pressure  # noqa: PLC0414 -- belongs to this face
from airledger.physics.validity import outlier

STANDARD_PRESSURE = 101_325.0
"""Pressure of the standard atmosphere at sea level [Pa]."""

REFERENCE_DENSITY = 1.2041
"""Dry air at 20 degC and 101,325 Pa, to which leakage areas refer [kg/m3]."""

REFERENCE_VISCOSITY = 1.458e-6 * 293.15**1.5 / (293.15 + 110.4)
"""Viscosity of air at 20 degC [Pa s]."""

GAS_CONSTANT = 287.042
"""Gas constant of dry air [J/(kg K)]."""

DRY_AIR_HEAT = 1006.0
"""Specific heat of dry air [J/(kg K)]."""

VAPOUR_HEAT = 1860.0
"""Specific heat of water vapour [J/(kg K)]."""

EVAPORATION_HEAT = 2_501_000.0
"""Heat of evaporation of water at 0 degC [J/kg]."""

_VOLUME_RATIO = 1.607858


@dataclass(frozen=True, slots=True)
class AirState:
    """Air at one place: three numbers from which the rest follows.

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    humidity_ratio : Values
        water vapour for each kg of dry air [kg/kg].
    pressure : Values
        barometric pressure [Pa].
    """

    temperature: Values
    humidity_ratio: Values = 0.0
    pressure: Values = STANDARD_PRESSURE

    @property
    def density(self) -> Values:
        """Density of the moist air [kg/m3]."""
        return density(self.temperature, self.humidity_ratio, self.pressure)

    @property
    def dry_air_density(self) -> Values:
        """Dry air in a cubic metre [kg/m3]."""
        return dry_air_density(self.temperature, self.humidity_ratio, self.pressure)

    @property
    def viscosity(self) -> Values:
        """Dynamic viscosity [Pa s]."""
        return viscosity(self.temperature)

    @property
    def enthalpy(self) -> Values:
        """Enthalpy for each kg of dry air [J/kg]."""
        return enthalpy(self.temperature, self.humidity_ratio)

    @property
    def dew_point(self) -> Values:
        """Dew point [degC]."""
        return dew_point(self.humidity_ratio, self.pressure)

    @property
    def relative_humidity(self) -> Values:
        """Relative humidity [-]."""
        return relative_humidity(self.temperature, self.humidity_ratio, self.pressure)


def standard_pressure(elevation: Values) -> Values:
    """Pressure of the standard atmosphere at an elevation [Pa].

    Parameters
    ----------
    elevation : Values
        height above sea level [m].

    Raises
    ------
    OutOfRange
        elevation outside -500 to 11,000 m.

    Reference: ASHRAE Fundamentals ch. 1 (psychrometrics) as in PsychroLib 2.5.0, COMPUTED.
    """
    if (odd := outlier(elevation, -500.0, 11_000.0)) is not None:
        raise OutOfRange("elevation", odd, -500.0, 11_000.0, "m")
    pressure: Values = STANDARD_PRESSURE * np.power(1.0 - 2.25577e-5 * elevation, 5.2559)
    return pressure


def humidity_ratio(vapour_pressure: Values, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Humidity ratio [kg/kg] of air with the given vapour pressure.

    Parameters
    ----------
    vapour_pressure : Values
        partial pressure of the water vapour [Pa].
    pressure : Values
        barometric pressure [Pa].

    Raises
    ------
    OutOfRange
        vapour pressure negative or above half the barometric pressure.

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    if (odd := outlier(vapour_pressure / pressure, 0.0, 0.5)) is not None:
        raise OutOfRange("vapour pressure over barometric pressure", odd, 0.0, 0.5, "-")
    return MASS_RATIO * vapour_pressure / (pressure - vapour_pressure)


def vapour_pressure(humidity_ratio: Values, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Partial pressure of the water vapour [Pa].

    Parameters
    ----------
    humidity_ratio : Values
        water vapour for each kg of dry air [kg/kg].
    pressure : Values
        barometric pressure [Pa].

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    return pressure * humidity_ratio / (MASS_RATIO + humidity_ratio)


def humidity_ratio_from_dew_point(dew_point: Values, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Humidity ratio [kg/kg] of air whose dew point (frost point below 0 degC) is known.

    Parameters
    ----------
    dew_point : Values
        dew point [degC].
    pressure : Values
        barometric pressure [Pa].

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    return humidity_ratio(saturation_pressure(dew_point), pressure)


def humidity_ratio_from_relative_humidity(
    temperature: Values, relative_humidity: Values, pressure: Values = STANDARD_PRESSURE
) -> Values:
    """Humidity ratio [kg/kg] of air whose relative humidity is known.

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    relative_humidity : Values
        relative humidity [-].
    pressure : Values
        barometric pressure [Pa].

    Raises
    ------
    OutOfRange
        relative humidity outside 0 to 1.

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    if (odd := outlier(relative_humidity, 0.0, 1.0)) is not None:
        raise OutOfRange("relative humidity", odd, 0.0, 1.0, "-")
    return humidity_ratio(relative_humidity * saturation_pressure(temperature), pressure)


def humidity_ratio_from_wet_bulb(temperature: Values, wet_bulb: Values, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Humidity ratio [kg/kg] of air whose thermodynamic wet bulb is known.

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    wet_bulb : Values
        wet-bulb temperature, not above the dry bulb [degC].
    pressure : Values
        barometric pressure [Pa].

    Raises
    ------
    OutOfRange
        wet bulb above the dry bulb, or so low that the air would hold less than no water.

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    if (odd := outlier(temperature - wet_bulb, 0.0, np.inf)) is not None:
        raise OutOfRange("dry bulb minus wet bulb", odd, 0.0, np.inf, "K")
    ratio = wet_bulb_balance(temperature, wet_bulb, pressure, wet_bulb >= 0.0)[0]
    if (odd := outlier(ratio, 0.0, np.inf)) is not None:
        raise OutOfRange("humidity ratio from wet bulb", odd, 0.0, np.inf, "kg/kg")
    return ratio


def relative_humidity(temperature: Values, humidity_ratio: Values, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Relative humidity [-]; above 1 the air would be wetter than saturated.

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    humidity_ratio : Values
        water vapour for each kg of dry air [kg/kg].
    pressure : Values
        barometric pressure [Pa].

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    return vapour_pressure(humidity_ratio, pressure) / saturation_pressure(temperature)


def dew_point(humidity_ratio: Values, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Dew point [degC]; below 0 degC the frost point over ice.

    Parameters
    ----------
    humidity_ratio : Values
        water vapour for each kg of dry air, above 0 [kg/kg].
    pressure : Values
        barometric pressure [Pa].

    Reference: ASHRAE Fundamentals ch. 1 (Hyland and Wexler 1983) as in PsychroLib 2.5.0, COMPUTED, inverted.
    """
    return saturation_temperature(vapour_pressure(humidity_ratio, pressure))


def wet_bulb(temperature: Values, humidity_ratio: Values, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Thermodynamic wet bulb [degC]; below 0 degC over ice.

    Newton's method on the energy balance, from the dry bulb downwards, within the branch (water or ice) that applies.

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    humidity_ratio : Values
        water vapour for each kg of dry air, not above saturation [kg/kg].
    pressure : Values
        barometric pressure [Pa].

    Raises
    ------
    OutOfRange
        relative humidity outside 0 to 1, or temperature outside -60 to 90 degC.

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0 (which stops within 0.001 K), COMPUTED, inverted.
    """
    if (odd := outlier(temperature, -60.0, 90.0)) is not None:
        raise OutOfRange("temperature", odd, -60.0, 90.0, "degC")
    if (odd := outlier(relative_humidity(temperature, humidity_ratio, pressure), 0.0, 1.0 + 1e-9)) is not None:
        raise OutOfRange("relative humidity", odd, 0.0, 1.0, "-")
    freezing = np.zeros(np.shape(temperature))[()]
    wet_at_freezing = wet_bulb_balance(temperature, freezing, pressure, np.asarray(True))[0]
    over_water = (np.asarray(temperature) >= 0.0) & (np.asarray(humidity_ratio) >= wet_at_freezing)
    bulb = np.where(over_water, temperature, np.minimum(temperature, 0.0))[()]
    for _ in range(14):
        ratio, slope = wet_bulb_balance(temperature, bulb, pressure, over_water)
        bulb = bulb - (ratio - humidity_ratio) / slope
    result: Values = np.minimum(bulb, temperature)
    return result


def enthalpy(temperature: Values, humidity_ratio: Values) -> Values:
    """Enthalpy [J/kg] of one kg of dry air with its vapour, 0 for dry air at 0 degC.

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    humidity_ratio : Values
        water vapour for each kg of dry air [kg/kg].

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    return DRY_AIR_HEAT * temperature + humidity_ratio * (EVAPORATION_HEAT + VAPOUR_HEAT * temperature)


def specific_volume(temperature: Values, humidity_ratio: Values, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Volume [m3/kg] of one kg of dry air with its vapour.

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    humidity_ratio : Values
        water vapour for each kg of dry air [kg/kg].
    pressure : Values
        barometric pressure [Pa].

    Raises
    ------
    OutOfRange
        pressure outside 20,000 to 120,000 Pa (a pressure difference handed in by mistake).

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    if (odd := outlier(pressure, 20_000.0, 120_000.0)) is not None:
        raise OutOfRange("barometric pressure", odd, 20_000.0, 120_000.0, "Pa")
    return GAS_CONSTANT * (temperature + KELVIN) * (1.0 + _VOLUME_RATIO * humidity_ratio) / pressure


def dry_air_density(temperature: Values, humidity_ratio: Values = 0.0, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Dry air in a cubic metre of moist air [kg/m3].

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    humidity_ratio : Values
        water vapour for each kg of dry air [kg/kg].
    pressure : Values
        barometric pressure [Pa].

    Reference: 1/v, ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    return 1.0 / specific_volume(temperature, humidity_ratio, pressure)


def density(temperature: Values, humidity_ratio: Values = 0.0, pressure: Values = STANDARD_PRESSURE) -> Values:
    """Density of moist air, vapour included [kg/m3].

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    humidity_ratio : Values
        water vapour for each kg of dry air [kg/kg].
    pressure : Values
        barometric pressure [Pa].

    Reference: (1 + W)/v, ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    return (1.0 + humidity_ratio) / specific_volume(temperature, humidity_ratio, pressure)


def viscosity(temperature: Values) -> Values:
    """Dynamic viscosity of air [Pa s]; humidity hardly matters.

    Parameters
    ----------
    temperature : Values
        temperature [degC].

    Raises
    ------
    OutOfRange
        temperature outside -100 to 200 degC.

    Reference: ASTM E779 appendix (Sutherland), MEMORY; 0.2 to 0.5 % below CoolProp 8.0.0.
    """
    if (odd := outlier(temperature, LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE)) is not None:
        raise OutOfRange("temperature", odd, LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE, "degC")
    kelvin = temperature + KELVIN
    return 1.458e-6 * kelvin * np.sqrt(kelvin) / (kelvin + 110.4)
