"""Flow through a straight crack of known gap, length and depth: a linear and a square part.

dP = a Q + b Q^2,   a = 12 mu z / (L d^3),   b = rho Y / (2 d^2 L^2),   Y = 1.5 + number of bends
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airledger.physics import Values


@dataclass(frozen=True, slots=True)
class Crack:
    """A crack: gap d, length L, depth z in the direction of the air, number of right-angled bends.

    Parameters
    ----------
    gap : Values
        width of the gap [m].
    length : Values
        length along the joint [m].
    depth : Values
        way of the air through the crack [m].
    bends : Values
        right-angled bends on that way [-].
    """

    gap: Values
    length: Values
    depth: Values
    bends: Values = 0.0


def crack_resistances(crack: Crack, density: Values, viscosity: Values) -> tuple[Values, Values]:
    """Linear [Pa s/m3] and square [Pa s2/m6] resistance of a crack.

    Parameters
    ----------
    crack : Crack
        gap, length, depth, bends [m, m, m, -].
    density : Values
        density of the air [kg/m3].
    viscosity : Values
        dynamic viscosity of the air [Pa s].

    Reference: Baker, Sharples and Ward 1987, Building and Environment 22, MEMORY.
    """
    linear = 12.0 * viscosity * crack.depth / (crack.length * crack.gap**3)
    square = density * (1.5 + crack.bends) / (2.0 * (crack.gap * crack.length) ** 2)
    return linear, square


def crack_flow(pressure_difference: Values, crack: Crack, density: Values, viscosity: Values) -> Values:
    """Volume flow through a crack [m3/s]; it has the sign of the pressure difference.

    Parameters
    ----------
    pressure_difference : Values
        pressure difference [Pa].
    crack : Crack
        gap, length, depth, bends [m, m, m, -].
    density : Values
        density of the air [kg/m3].
    viscosity : Values
        dynamic viscosity of the air [Pa s].

    Reference: Baker, Sharples and Ward 1987, Building and Environment 22, solved for Q (closed form).
    """
    linear, square = crack_resistances(crack, density, viscosity)
    size = np.abs(pressure_difference)
    # 2 dP / (a + sqrt(a^2 + 4 b dP)): no difference of nearly equal numbers at small pressures
    flow: Values = np.sign(pressure_difference) * 2.0 * size / (linear + np.sqrt(linear * linear + 4.0 * square * size))
    return flow


def crack_exponent(pressure_difference: Values, crack: Crack, density: Values, viscosity: Values) -> Values:
    """Local pressure exponent [-] of a crack: d ln Q / d ln dP.

    Parameters
    ----------
    pressure_difference : Values
        pressure difference [Pa].
    crack : Crack
        gap, length, depth, bends [m, m, m, -].
    density : Values
        density of the air [kg/m3].
    viscosity : Values
        dynamic viscosity of the air [Pa s].

    Reference: derivative of the crack law (closed form).
    """
    linear, square = crack_resistances(crack, density, viscosity)
    flow = np.abs(crack_flow(pressure_difference, crack, density, viscosity))
    exponent: Values = (linear + square * flow) / (linear + 2.0 * square * flow)
    return exponent
