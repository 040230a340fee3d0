"""Pressure lost in ducts: Darcy's friction factor, flexible duct, other shapes, whole sections.

    dP = (f L / D + K) rho V^2 / 2                       Darcy and Weisbach
    1/sqrt(f) = -2 log10(e/(3.7 D) + 2.51/(Re sqrt(f)))  Colebrook, turbulent, Re >= 4000
    f = 64 / Re                                          laminar, Re <= 2000

Between Re 2000 and 4000 the two are blended by the smoothstep 3 t^2 - 2 t^3, so that the loss and its slope are
continuous and the loss always rises with the flow. With x = 1/sqrt(f), c = 2/ln 10, a = e/(3.7 D), b = 2.51/Re,
Colebrook is x + c ln(a + b x) = 0. The start x = -c ln(a + 6 b) is one fixed-point step from the middle of all
ducts; two steps of third order then reach machine precision: three logarithms in all.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier

LAMINAR_BELOW = 2000.0
"""Reynolds number below which the flow is laminar [-]."""

TURBULENT_ABOVE = 4000.0
"""Reynolds number above which Colebrook holds alone [-]."""

GREATEST_REYNOLDS = 1e8
"""Greatest Reynolds number of the friction chart [-]."""

GREATEST_RELATIVE_ROUGHNESS = 0.05
"""Greatest relative roughness of the friction chart [-]."""

GREATEST_COMPRESSION = 0.45
"""Greatest lengthwise compression at which flexible duct was tested [-]."""

_LOG_FACTOR = 2.0 / math.log(10.0)
_MIDDLE_OF_ALL_DUCTS = 6.0
_STEPS_TO_A_FLOW = 8


@dataclass(frozen=True, slots=True)
class DuctSection:
    """One length of duct of one size with the fittings in it.

    Parameters
    ----------
    length : Values
        length along the axis [m].
    diameter : Values
        inside diameter, hydraulic or equal-friction diameter of another shape [m].
    roughness : Values
        absolute roughness of the wall [m].
    loss_coefficient : Values
        sum of the loss coefficients on the velocity in this section [-].
    friction_multiplier : Values
        factor on the friction, more than 1 for compressed flexible duct [-].
    """

    length: Values
    diameter: Values
    roughness: Values
    loss_coefficient: Values = 0.0
    friction_multiplier: Values = 1.0


def colebrook(reynolds: Values, relative_roughness: Values) -> Values:
    """Darcy friction factor [-] of turbulent flow, solved to machine precision.

    Parameters
    ----------
    reynolds : Values
        Reynolds number [-].
    relative_roughness : Values
        roughness over diameter [-].

    Raises
    ------
    OutOfRange
        Reynolds number outside 2000 to 1e8 or relative roughness outside 0 to 0.05.

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 19 (Colebrook), PUBLISHED.
    """
    if (odd := outlier(reynolds, LAMINAR_BELOW, GREATEST_REYNOLDS)) is not None:
        raise OutOfRange("Reynolds number", odd, LAMINAR_BELOW, GREATEST_REYNOLDS, "-")
    if (odd := outlier(relative_roughness, 0.0, GREATEST_RELATIVE_ROUGHNESS)) is not None:
        raise OutOfRange("relative roughness", odd, 0.0, GREATEST_RELATIVE_ROUGHNESS, "-")
    return _turbulent(reynolds, relative_roughness)[0]


def friction_factor(reynolds: Values, relative_roughness: Values) -> Values:
    """Darcy friction factor [-] at any flow: laminar, blended, turbulent.

    Parameters
    ----------
    reynolds : Values
        Reynolds number, above 0 [-].
    relative_roughness : Values
        roughness over diameter [-].

    Raises
    ------
    OutOfRange
        Reynolds number not above 0 or past 1e8, or relative roughness outside 0 to 0.05.

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 18-20 , PUBLISHED; the blend is own.
    """
    if (odd := outlier(reynolds, np.nextafter(0.0, 1.0), GREATEST_REYNOLDS)) is not None:
        raise OutOfRange("Reynolds number", odd, 0.0, GREATEST_REYNOLDS, "-")
    if (odd := outlier(relative_roughness, 0.0, GREATEST_RELATIVE_ROUGHNESS)) is not None:
        raise OutOfRange("relative roughness", odd, 0.0, GREATEST_RELATIVE_ROUGHNESS, "-")
    return _blended(reynolds, relative_roughness)[0]


def friction_factor_slope(reynolds: Values, relative_roughness: Values) -> tuple[Values, Values]:
    """Darcy friction factor [-] and its exact derivative by the Reynolds number [-], in one pass.

    Parameters
    ----------
    reynolds : Values
        Reynolds number, above 0 [-].
    relative_roughness : Values
        roughness over diameter [-].

    Raises
    ------
    OutOfRange
        Reynolds number not above 0 or past 1e8, or relative roughness outside 0 to 0.05.

    Reference: derivative of Colebrook by implicit differentiation (closed form).
    """
    if (odd := outlier(reynolds, np.nextafter(0.0, 1.0), GREATEST_REYNOLDS)) is not None:
        raise OutOfRange("Reynolds number", odd, 0.0, GREATEST_REYNOLDS, "-")
    if (odd := outlier(relative_roughness, 0.0, GREATEST_RELATIVE_ROUGHNESS)) is not None:
        raise OutOfRange("relative roughness", odd, 0.0, GREATEST_RELATIVE_ROUGHNESS, "-")
    return _blended(reynolds, relative_roughness)


def karman_number_squared(reynolds: Values, relative_roughness: Values) -> tuple[Values, Values]:
    """Friction law without its pole at rest: f Re^2 (64 Re in laminar flow) and its derivative by Re [-].

    The loss of a round duct is dP = mu^2 L / (2 rho D^3) f Re^2. Nothing is checked: this is the law inside a solver.

    Parameters
    ----------
    reynolds : Values
        Reynolds number, 0 or more [-].
    relative_roughness : Values
        roughness over diameter [-].

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 18-20, rearranged (closed form).
    """
    blend, blend_slope = _smoothstep(reynolds)
    factor, factor_slope = _turbulent(np.maximum(reynolds, LAMINAR_BELOW), relative_roughness)
    turbulent = factor * reynolds * reynolds
    turbulent_slope = reynolds * (2.0 * factor + reynolds * factor_slope)
    laminar = 64.0 * reynolds
    value = laminar + blend * (turbulent - laminar)
    slope = 64.0 + blend * (turbulent_slope - 64.0) + blend_slope * (turbulent - laminar)
    return value, slope


def flex_compression_factor(diameter: Values, compression: Values) -> Values:
    """Factor [-] by which lengthwise compression multiplies the friction of flexible duct.

    Parameters
    ----------
    diameter : Values
        inside diameter [m].
    compression : Values
        (full length - installed length) / full length [-].

    Raises
    ------
    OutOfRange
        compression outside 0 to 0.45, or diameter outside 0.075 to 0.51 m.

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 22-23, PUBLISHED; tested to 45 % (Weaver and Culp).
    """
    if (odd := outlier(compression, 0.0, GREATEST_COMPRESSION)) is not None:
        raise OutOfRange("compression", odd, 0.0, GREATEST_COMPRESSION, "-")
    if (odd := outlier(diameter, 0.075, 0.51)) is not None:
        raise OutOfRange("diameter of flexible duct", odd, 0.075, 0.51, "m")
    percent, millimetres = 100.0 * compression, 1000.0 * diameter
    factor: Values = 1.0 + 0.58 * percent * np.exp(-0.00496 * millimetres)
    return factor


def equal_friction_diameter(a: Values, b: Values) -> Values:
    """Diameter [m] of the round duct with the same flow and the same friction as a rectangle.

    Parameters
    ----------
    a : Values
        one inside side [m].
    b : Values
        the other inside side [m].

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 25, PUBLISHED.
    """
    diameter: Values = 1.30 * np.power(a * b, 0.625) / np.power(a + b, 0.25)
    return diameter


def hydraulic_diameter(area: Values, perimeter: Values) -> Values:
    """Hydraulic diameter [m]: four times the area over the wetted perimeter.

    Parameters
    ----------
    area : Values
        area of the cross-section [m2].
    perimeter : Values
        inside perimeter [m].

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 24, PUBLISHED.
    """
    return 4.0 * area / perimeter


def round_area(diameter: Values) -> Values:
    """Area of a circle [m2].

    Parameters
    ----------
    diameter : Values
        inside diameter [m].

    Reference: geometry (closed form).
    """
    return (math.pi / 4.0) * diameter * diameter


def velocity_pressure(velocity: Values, density: Values) -> Values:
    """Velocity pressure [Pa]: what moving air gives up when it is stopped.

    Parameters
    ----------
    velocity : Values
        mean velocity [m/s].
    density : Values
        density of the air [kg/m3].

    Reference: rho V^2/2 (closed form).
    """
    return 0.5 * density * velocity * velocity


def friction_loss(
    flow: Values, length: Values, diameter: Values, roughness: Values, density: Values, viscosity: Values
) -> Values:
    """Pressure lost by friction [Pa] in a straight round duct; it has the sign of the flow.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    length : Values
        length [m].
    diameter : Values
        inside diameter [m].
    roughness : Values
        absolute roughness [m].
    density : Values
        density of the air [kg/m3].
    viscosity : Values
        dynamic viscosity of the air [Pa s].

    Raises
    ------
    OutOfRange
        Reynolds number past 1e8 or relative roughness outside 0 to 0.05.

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 18-21, PUBLISHED.
    """
    reynolds = 4.0 * density * np.abs(flow) / (math.pi * diameter * viscosity)
    if (odd := outlier(reynolds, 0.0, GREATEST_REYNOLDS)) is not None:
        raise OutOfRange("Reynolds number", odd, 0.0, GREATEST_REYNOLDS, "-")
    if (odd := outlier(roughness / diameter, 0.0, GREATEST_RELATIVE_ROUGHNESS)) is not None:
        raise OutOfRange("relative roughness", odd, 0.0, GREATEST_RELATIVE_ROUGHNESS, "-")
    squared, _ = karman_number_squared(reynolds, roughness / diameter)
    loss: Values = np.sign(flow) * squared * length * viscosity * viscosity / (2.0 * density * diameter**3)
    return loss


def pressure_loss(flow: Values, section: DuctSection, density: Values, viscosity: Values) -> Values:
    """Pressure lost in a section [Pa], friction and fittings together; it has the sign of the flow.

    Parameters
    ----------
    flow : Values
        volume flow [m3/s].
    section : DuctSection
        length, size, wall and fittings [m, m, m, -, -].
    density : Values
        density of the air [kg/m3].
    viscosity : Values
        dynamic viscosity of the air [Pa s].

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 34, PUBLISHED.
    """
    friction = friction_loss(flow, section.length, section.diameter, section.roughness, density, viscosity)
    velocity = flow / round_area(section.diameter)
    fittings = section.loss_coefficient * 0.5 * density * velocity * np.abs(velocity)
    total: Values = friction * section.friction_multiplier + fittings
    return total


def flow_at_loss(loss: Values, section: DuctSection, density: Values, viscosity: Values) -> Values:
    """Volume flow [m3/s] at which a section loses the given pressure; it has the sign of the loss.

    Newton's method on the logarithms: there the law is nearly a straight line of slope 1 to 2, so that five steps reach
    rounding at every wall, length and fitting (scanned from Re 1e-6 to 1e8, K 0 to 10,000).

    Parameters
    ----------
    loss : Values
        pressure loss [Pa].
    section : DuctSection
        length, size, wall and fittings [m, m, m, -, -].
    density : Values
        density of the air [kg/m3].
    viscosity : Values
        dynamic viscosity of the air [Pa s].

    Raises
    ------
    OutOfRange
        relative roughness outside 0 to 0.05, a section with neither friction nor loss coefficient, or a loss so great
        that the Reynolds number passes 1e8.

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 34 inverted numerically.
    """
    rough = section.roughness / section.diameter
    if (odd := outlier(rough, 0.0, GREATEST_RELATIVE_ROUGHNESS)) is not None:
        raise OutOfRange("relative roughness", odd, 0.0, GREATEST_RELATIVE_ROUGHNESS, "-")
    friction = section.friction_multiplier * section.length / section.diameter
    if (odd := outlier(friction + section.loss_coefficient, 1e-9, np.inf)) is not None:
        raise OutOfRange("length over diameter plus loss coefficient", odd, 1e-9, np.inf, "-")
    # in terms of Re: dP 2 rho D^2 / mu^2 = friction f Re^2 + K Re^2
    target = np.abs(loss) * 2.0 * density * (section.diameter / viscosity) ** 2
    aim = np.log(np.maximum(target, np.finfo(float).tiny))
    guess = 0.5 * (aim - np.log(0.03 * friction + section.loss_coefficient))
    for _ in range(_STEPS_TO_A_FLOW):
        reynolds = np.exp(guess)
        squared, slope = karman_number_squared(reynolds, rough)
        value = friction * squared + section.loss_coefficient * reynolds * reynolds
        rate = reynolds * (friction * slope + 2.0 * section.loss_coefficient * reynolds)
        guess = guess - (np.log(value) - aim) * value / rate
    reynolds = np.exp(guess)
    if (odd := outlier(reynolds, 0.0, GREATEST_REYNOLDS)) is not None:
        raise OutOfRange("Reynolds number", odd, 0.0, GREATEST_REYNOLDS, "-")
    flow: Values = np.sign(loss) * reynolds * math.pi * section.diameter * viscosity / (4.0 * density)
    return flow


def _smoothstep(reynolds: Values) -> tuple[Values, Values]:
    """Share of turbulence in the blend and its derivative by the Reynolds number."""
    width = TURBULENT_ABOVE - LAMINAR_BELOW
    place = np.clip((reynolds - LAMINAR_BELOW) / width, 0.0, 1.0)
    return place * place * (3.0 - 2.0 * place), 6.0 * place * (1.0 - place) / width


def _turbulent(reynolds: Values, relative_roughness: Values) -> tuple[Values, Values]:
    """Colebrook's friction factor and its derivative by the Reynolds number."""
    rough = relative_roughness / 3.7
    smooth = 2.51 / reynolds
    root = -_LOG_FACTOR * np.log(rough + _MIDDLE_OF_ALL_DUCTS * smooth)
    for _ in range(2):
        inner = rough + smooth * root
        share = smooth / inner
        slope = 1.0 + _LOG_FACTOR * share
        newton = (root + _LOG_FACTOR * np.log(inner)) / slope
        # third order (Halley): curvature of x + c ln(a + b x) is -c (b/(a + b x))^2
        root = root - newton / (1.0 + 0.5 * newton * _LOG_FACTOR * share * share / slope)
    inner = rough + smooth * root
    factor = 1.0 / (root * root)
    root_slope = _LOG_FACTOR * smooth * root / (reynolds * (inner + _LOG_FACTOR * smooth))
    return factor, -2.0 * factor * root_slope / root


def _blended(reynolds: Values, relative_roughness: Values) -> tuple[Values, Values]:
    """Friction factor and its derivative by the Reynolds number, over all regimes."""
    blend, blend_slope = _smoothstep(reynolds)
    turbulent, turbulent_slope = _turbulent(np.maximum(reynolds, LAMINAR_BELOW), relative_roughness)
    laminar = 64.0 / reynolds
    difference = turbulent - laminar
    laminar_slope = -laminar / reynolds
    slope = (1.0 - blend) * laminar_slope + blend * turbulent_slope + blend_slope * difference
    return laminar + blend * difference, slope
