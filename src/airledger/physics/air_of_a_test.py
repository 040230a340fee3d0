"""Air as the standards of the fan test reckon it, and the flow through the envelope that a fan's flow stands for.

    E779     rho = 1.2041 (1 - 0.0065 E/293)^5.2553 293/(T + 273)                by elevation and temperature
    ISO 9972 rho = (pbar - 0.37802 pv)/(287.055 (T + 273.15))                    by barometer, temperature and humidity
             pv  = phi exp(59.484085 - 6790.4985/(T + 273.15) - 5.02802 ln(T + 273.15))
    mu = 1.458e-6 T^1.5/(T + 110.4), T in kelvin                                 see `moist_air.viscosity`
    Qenv = Qfan rho_fan / rho_leak                                               the same mass through fan and leaks

The two densities differ by some parts in a thousand: a barometer and a hygrometer against elevation alone.
"""

from __future__ import annotations

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier

E779_DENSITY = 1.2041
"""Reference density of ASTM E779: 20 degC at sea level [kg/m3], MEMORY."""

ISO_DENSITY = 1.20
"""Reference density of ISO 9972: 20 degC, 101,325 Pa [kg/m3], MEMORY."""

_LOWEST, _HIGHEST = -60.0, 60.0  # degC: air that somebody tests a house in
_WATER = 0.37802


def e779_density(temperature: Values, elevation: Values) -> Values:
    """Density of air [kg/m3] as ASTM E779 takes it.

    Parameters
    ----------
    temperature : Values
        temperature [degC].
    elevation : Values
        elevation of the place [m].

    Raises
    ------
    OutOfRange
        temperature outside -60 to 60 degC, elevation outside -500 to 6,000 m.

    Reference: ASTM E779 section 9, MEMORY.
    """
    _plausible(temperature)
    if (odd := outlier(elevation, -500.0, 6_000.0)) is not None:
        raise OutOfRange("elevation", odd, -500.0, 6_000.0, "m")
    found: Values = E779_DENSITY * np.power(1.0 - 0.0065 * elevation / 293.0, 5.2553) * 293.0 / (temperature + 273.0)
    return found


def iso_vapour_pressure(temperature: Values, humidity: Values) -> Values:
    """Pressure of the water vapour [Pa] as ISO 9972 takes it.

    Parameters
    ----------
    temperature : Values
        temperature [degC].
    humidity : Values
        relative humidity [-].

    Raises
    ------
    OutOfRange
        temperature outside -60 to 60 degC, humidity outside 0 to 1.

    Reference: ISO 9972 annex, MEMORY.
    """
    _plausible(temperature)
    if (odd := outlier(humidity, 0.0, 1.0)) is not None:
        raise OutOfRange("relative humidity", odd, 0.0, 1.0, "-")
    kelvin = np.asarray(temperature) + 273.15
    found: Values = humidity * np.exp(59.484085 - 6790.4985 / kelvin - 5.02802 * np.log(kelvin))
    return found


def iso_density(temperature: Values, humidity: Values, barometer: Values) -> Values:
    """Density of moist air [kg/m3] as ISO 9972 takes it.

    Parameters
    ----------
    temperature : Values
        temperature [degC].
    humidity : Values
        relative humidity [-].
    barometer : Values
        absolute pressure at the place [Pa].

    Raises
    ------
    OutOfRange
        temperature outside -60 to 60 degC, humidity outside 0 to 1, barometer outside 40,000 to 110,000 Pa.

    Reference: ISO 9972 annex, MEMORY; within 0.01 % of PsychroLib 2.5.0, COMPUTED.
    """
    if (odd := outlier(barometer, 40_000.0, 110_000.0)) is not None:
        raise OutOfRange("barometric pressure", odd, 40_000.0, 110_000.0, "Pa")
    vapour = iso_vapour_pressure(temperature, humidity)
    found: Values = (barometer - _WATER * vapour) / (287.055 * (temperature + 273.15))
    return found


def envelope_flow(fan_flow: Values, fan_density: Values, leak_density: Values) -> Values:
    """Volume flow through the envelope [m3/s], at the air in its leaks, that balances a fan's flow.

    Parameters
    ----------
    fan_flow : Values
        volume flow of the fan [m3/s].
    fan_density : Values
        density at which that flow is told [kg/m3].
    leak_density : Values
        density of the air in the leaks: outdoor when depressurizing, indoor when pressurizing [kg/m3].

    Reference: mass balance (closed form).
    """
    return fan_flow * fan_density / leak_density


def baseline_corrected(pressure: Values, before: Values, after: Values) -> Values:
    """Pressure difference that the fan makes [Pa]: the reading less the mean of the baselines, signed.

    Parameters
    ----------
    pressure : Values
        reading, inside minus outdoors [Pa].
    before : Values
        baseline before the test [Pa].
    after : Values
        baseline after the test [Pa].

    Reference: ASTM E779 section 9, ISO 9972 section 6, MEMORY.
    """
    return pressure - 0.5 * (before + after)


def _plausible(temperature: Values) -> None:
    if (odd := outlier(temperature, _LOWEST, _HIGHEST)) is not None:
        raise OutOfRange("temperature", odd, _LOWEST, _HIGHEST, "degC")
