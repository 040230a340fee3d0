"""Saturated water vapour: its pressure over ice and water, and the temperature that belongs to a pressure.

ln psat = k0/T + k1 + k2 T + k3 T^2 + k4 T^3 + k5 T^4 + k6 ln T     Hyland and Wexler, T in kelvin
"""

from __future__ import annotations

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import KELVIN, Truths, Values
from airledger.physics.validity import outlier

LOWEST_TEMPERATURE = -100.0
"""Lowest temperature of the equation over ice [degC]."""

HIGHEST_TEMPERATURE = 200.0
"""Highest temperature of the equation over water [degC]."""

TRIPLE_POINT = 0.01
"""Temperature up to which the vapour stands over ice [degC]."""

MASS_RATIO = 0.621945
"""Molar mass of water over that of dry air [-]."""

_ICE = (-5674.5359, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_WATER = (-5800.2206, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def saturation_pressure(temperature: Values) -> Values:
    """Pressure of saturated water vapour [Pa], over ice up to 0.01 degC, over water above.

    Parameters
    ----------
    temperature : Values
        temperature [degC].

    Raises
    ------
    OutOfRange
        temperature outside -100 to 200 degC.

    Reference: ASHRAE Fundamentals ch. 1 (Hyland and Wexler 1983) as in PsychroLib 2.5.0, COMPUTED.
    """
    if (odd := outlier(temperature, LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE)) is not None:
        raise OutOfRange("temperature", odd, LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE, "degC")
    pressure: Values = np.exp(log_saturation(temperature, temperature > TRIPLE_POINT)[0])
    return pressure


def saturation_temperature(vapour_pressure: Values) -> Values:
    """Temperature [degC] at which vapour of the given pressure is saturated.

    Newton's method on ln psat = ln e with steps taken in 1/T, where the law is nearly straight: six steps reach
    machine precision.

    Parameters
    ----------
    vapour_pressure : Values
        partial pressure of the water vapour [Pa].

    Raises
    ------
    OutOfRange
        vapour pressure below that of ice at -100 degC or above that of water at 200 degC.

    Reference: ASHRAE Fundamentals ch. 1 (Hyland and Wexler 1983) as in PsychroLib 2.5.0, COMPUTED, inverted.
    """
    low, high = float(saturation_pressure(LOWEST_TEMPERATURE)), float(saturation_pressure(HIGHEST_TEMPERATURE))
    if (odd := outlier(vapour_pressure, low, high)) is not None:
        raise OutOfRange("vapour pressure", odd, low, high, "Pa")
    triple = float(saturation_pressure(TRIPLE_POINT))
    over_water = vapour_pressure > triple
    aim = np.log(vapour_pressure)
    # start: a straight line through the triple point with the heat of evaporation or sublimation over R as slope
    kelvin = 1.0 / (1.0 / (TRIPLE_POINT + KELVIN) - (aim - np.log(triple)) / np.where(over_water, 5400.0, 6140.0))
    for _ in range(6):
        logarithm, slope = log_saturation(kelvin - KELVIN, over_water)
        kelvin = 1.0 / (1.0 / kelvin + (logarithm - aim) / (slope * kelvin * kelvin))
    temperature: Values = kelvin - KELVIN
    return temperature


def log_saturation(temperature: Values, over_water: Truths) -> tuple[Values, Values]:
    """Logarithm of the saturation pressure [-] and its derivative by the temperature [1/K].

    Parameters
    ----------
    temperature : Values
        temperature [degC].
    over_water : Truths
        whether the vapour stands over water (else over ice) [-].

    Reference: ASHRAE Fundamentals ch. 1 (Hyland and Wexler 1983) as in PsychroLib 2.5.0, COMPUTED.
    """
    kelvin = temperature + KELVIN
    k = [np.where(over_water, water, ice)[()] for water, ice in zip(_WATER, _ICE, strict=True)]
    power = k[1] + kelvin * (k[2] + kelvin * (k[3] + kelvin * (k[4] + kelvin * k[5])))
    value: Values = k[0] / kelvin + power + k[6] * np.log(kelvin)
    rise = k[2] + kelvin * (2.0 * k[3] + kelvin * (3.0 * k[4] + kelvin * 4.0 * k[5]))
    slope: Values = -k[0] / (kelvin * kelvin) + rise + k[6] / kelvin
    return value, slope


def wet_bulb_balance(temperature: Values, bulb: Values, pressure: Values, over_water: Truths) -> tuple[Values, Values]:
    """Humidity ratio [kg/kg] that the energy balance of the wet bulb gives, and its derivative by the wet bulb [1/K].

    Parameters
    ----------
    temperature : Values
        dry-bulb temperature [degC].
    bulb : Values
        wet-bulb temperature [degC].
    pressure : Values
        barometric pressure [Pa].
    over_water : Truths
        whether the bulb is wetted with water (else with ice) [-].

    Reference: ASHRAE Fundamentals ch. 1 as in PsychroLib 2.5.0, COMPUTED.
    """
    # W = [(A - B b) Ws - 1.006 (t - b)] / (A + 1.86 t - C b), kJ; ice: A 2830, B 0.24, C 2.1
    heat = np.where(over_water, 2501.0, 2830.0)
    fall = np.where(over_water, 2.326, 0.24)
    liquid = np.where(over_water, 4.186, 2.1)
    logarithm, rise = log_saturation(bulb, over_water)
    partial = np.exp(logarithm)
    saturated = MASS_RATIO * partial / (pressure - partial)
    saturated_slope = saturated * rise * pressure / (pressure - partial)
    numerator = (heat - fall * bulb) * saturated - 1.006 * (temperature - bulb)
    denominator = heat + 1.86 * temperature - liquid * bulb
    ratio: Values = (numerator / denominator)[()]
    slope = (heat - fall * bulb) * saturated_slope - fall * saturated + 1.006 + liquid * ratio
    return ratio, (slope / denominator)[()]
