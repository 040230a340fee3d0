"""Laws of the witness, one pressure difference at a time: leaks, holes, flaps, fans, duct runs. kg/s of dry air.

Air by psychrolib, friction by fluids (Colebrook), curves by scipy's PCHIP, ducts inverted by brentq. Near zero a law is
rounded off over 1e-7 Pa, as docs/theory/network.md. `ends` is the air at tail and head: that which enters counts.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import fluids
import numpy as np
import psychrolib
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from airledger.house.house import Duct, RunItem

psychrolib.SetUnitSystem(psychrolib.SI)
STANDARD_DENSITY = 1.2041  # dry air at 20 C, 101,325 Pa: a bare ach50, a curve and a leak at a pressure are given in it
STANDARD_VISCOSITY = 1.458e-6 * 293.15**1.5 / 403.55  # Sutherland
SHARP, CRACK = 0.6, 0.65  # discharge of a sharp edge; exponent of something shut, common practice
FILTER_POWER = 1.26  # parts/filters.toml
ROUGHNESS = {"galvanized": 0.09e-3, "flex": 0.9e-3}  # ASHRAE Fundamentals 2021 ch. 21 table 1
Law = Callable[[float], float]


@dataclass(frozen=True)
class Air:
    """Density, density of the dry air in it [kg/m3], viscosity [Pa s]."""

    density: float
    dry: float
    viscosity: float

    @classmethod
    def at(cls, celsius: float, humidity_ratio: float, barometer: float) -> Air:
        volume = psychrolib.GetMoistAirVolume(celsius, humidity_ratio, barometer)
        kelvin = celsius + 273.15
        return cls((1 + humidity_ratio) / volume, 1 / volume, 1.458e-6 * kelvin**1.5 / (kelvin + 110.4))


STANDARD = Air.at(20.0, 0.0, 101325.0)
Ends = tuple[Air, Air]


class Rounding:
    """Pressure over which laws are rounded off near zero [Pa]: wide at first, so that the root finder has a slope."""

    width = 1e-7


def rounded(x: float, exponent: float) -> float:
    return x * (x * x + Rounding.width**2) ** ((exponent - 1) / 2)


def leak_law(size: float, power: float, ends: Ends) -> Law:
    """A leak of a flow coefficient in standard air, corrected to the air that enters."""
    sides = []
    for air in ends:
        lighter = (STANDARD_DENSITY / air.density) ** (1 - power)
        sides.append(air.dry * size * lighter * (STANDARD_VISCOSITY / air.viscosity) ** (2 * power - 1))
    return lambda x: sides[int(x < 0)] * rounded(x, power)


def hole_law(area: float, ends: Ends) -> Law:
    """A hole of an effective area, discharge coefficient counted in."""
    sides = [air.dry * area * math.sqrt(2 / air.density) for air in ends]
    return lambda x: sides[int(x < 0)] * rounded(x, 0.5)


def blade_law(area: float, loss: float, opens_at: float, air: Air) -> Law:
    """A flap or gravity damper: nothing until it opens, swung open over half a pascal, then K rho V^2/2."""

    def law(x: float) -> float:
        beyond = max(x - opens_at, 0.0)
        part = min(beyond / 0.5, 1.0)
        return air.dry * area * math.sqrt(2 * beyond / (air.density * loss)) * part * part * (3 - 2 * part)

    return law


def fan_law(points: tuple[tuple[float, float], ...], speed: float, ends: Ends) -> Law:
    """The maker's points by PCHIP, the fan laws (all pressures go with the density), square laws on either side."""
    rises, flows = (np.array([point[place] for point in reversed(points)]) for place in (1, 0))
    rises = rises * ends[0].density / STANDARD_DENSITY
    curve = PchipInterpolator(rises, flows)
    usual = rises[-1] / flows[0] ** 2
    resistance = min(max(1 / (2 * flows[0] * -float(curve.derivative()(rises[0]))), 0.1 * usual), 10 * usual)

    def law(x: float) -> float:
        rise, low, high = -x, speed**2 * rises[0], speed**2 * rises[-1]
        if rise > high:
            return float(-ends[1].dry * rounded(rise - high, 0.5) / math.sqrt(resistance))
        if rise < low or speed == 0:
            free = resistance * speed**2 * flows[0] ** 2
            return float(ends[0].dry * rounded(free + low - rise, 0.5) / math.sqrt(resistance))
        return ends[0].dry * speed * float(curve(rise / speed**2))

    return law


def run_law(duct: Duct, run: tuple[RunItem, ...], dirty: bool, ends: Ends) -> Law:
    """A duct run: friction, fittings on its own velocity, grilles on theirs, a filter; inverted by bracketing."""
    area = math.pi / 4 * duct.diameter**2 if duct.diameter else duct.width * duct.height
    diameter = duct.diameter or 4 * area / (2 * (duct.width + duct.height))
    rough = ROUGHNESS[duct.made_of] / diameter
    length = sum(item.length for item in run)
    if duct.made_of == "flex":  # ASHRAE Fundamentals 2021 ch. 21 eq. 22-23
        length *= 1 + 0.58 * 100 * duct.compressed * math.exp(-0.00496 * 1000 * diameter)
    own = sum(item.loss or 0.0 for item in run if item.kind != "grille" and item.flap is None)
    faces = [(item.width * item.height, item.free) for item in run if item.kind == "grille"]
    filters = [item.filter for item in run if item.kind == "filter"]

    def lost(flow: float, air: Air) -> float:
        speed = flow / area
        reynolds = air.density * speed * diameter / air.viscosity
        laminar = 64 / reynolds
        blend = min(max((reynolds - 2000) / 2000, 0.0), 1.0)
        blend = blend * blend * (3 - 2 * blend)
        turbulent = fluids.friction.Colebrook(max(reynolds, 2000.0), rough, tol=-1) if blend else laminar
        factor = laminar + blend * (turbulent - laminar)
        total = (factor * length / diameter + own) * air.density * speed**2 / 2
        total += sum((1 / (0.6 * free)) ** 2 * air.density * (flow / face) ** 2 / 2 for face, free in faces)
        for drop in filters:
            loss, at = drop.dirty if dirty else drop.clean
            total += loss * (flow / at) ** FILTER_POWER
        return float(total)

    def law(x: float) -> float:
        if x == 0:
            return 0.0
        air = ends[int(x < 0)]
        size = math.exp(brentq(lambda log: lost(math.exp(log), air) - abs(x), -60.0, 5.0, xtol=1e-15, rtol=1e-14))
        return math.copysign(air.dry * size, x)

    return law
