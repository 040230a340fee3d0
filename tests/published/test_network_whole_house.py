"""A whole house against a witness: one room, hood by curve with duct and flap, dryer, ERV, filter, gravity damper.

The witness shares no code with the package: nested bracketing by scipy.optimize.brentq, monotone curves by
scipy.interpolate.PchipInterpolator, friction by fluids.friction.Colebrook, density of dry air at 20 C by psychrolib.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import fluids
import numpy as np
import psychrolib
import pytest
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from tests.houses import CFM, solved

psychrolib.SetUnitSystem(psychrolib.SI)
DENSITY = 1 / psychrolib.GetMoistAirVolume(20.0, 0.0, 101325.0)
VISCOSITY = 1.458e-6 * 293.15**1.5 / 403.55
INWC, FOOT, INCH = 249.0889, 0.3048, 0.0254

HOUSE = """
house: witness
site: {elevation: 0 ft}
envelope: {tightness: 0.8 ach50, exponent: 0.65, taped at the test: [ventilator, range hood, north opening]}
rooms: {house: {area: 2000 ft2, ceiling: 9 ft}}
ventilator:
  kind: erv
  speeds: {low: {supply: 80 cfm, exhaust: 70 cfm}, boost: {supply: 170 cfm, exhaust: 160 cfm}}
  fan curve: {at: boost, points: [[0 cfm, 0.8 inwc], [100 cfm, 0.6 inwc], [160 cfm, 0.4 inwc], [200 cfm, 0.1 inwc]]}
  off: {core leaks: 5 cfm at 25 Pa}
  supplies: {house: 100 %}
  takes from: {house: 100 %}
exhausts:
  range hood:
    room: house
    speeds: {low: 250 cfm, high: 700 cfm}
    fan curve: {at: high, points: [[0 cfm, 1.6 inwc], [450 cfm, 0.9 inwc], [700 cfm, 0.2 inwc]]}
    duct: {size: 10 in round, made of: galvanized}
    run:
      - straight: 9 ft
      - elbow: {angle: 90 deg, loss: 0.3}
      - wall cap: {loss: 1.5, flap opens at: 5 Pa, leaks shut: 4 cfm at 25 Pa}
  dryer: {room: house, speeds: {on: 125 cfm}}
make-up air:
  north opening:
    into: house
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, filter: {clean: 0.08 inwc at 300 cfm, dirty: 0.25 inwc at 300 cfm}, straight: 12 ft]
    damper: {gravity: {opens at: 12 Pa, leaks shut: 5 cfm at 25 Pa}}
states:
  low: {ventilator: low}
  boost and dryer: {ventilator: boost, dryer: on}
  hood low: {ventilator: low, range hood: low}
  hood high: {ventilator: low, range hood: high}
  everything: {ventilator: boost, range hood: high, dryer: on}
  everything, dirty: {ventilator: boost, range hood: high, dryer: on, north opening filter: dirty}
  ventilator off: {ventilator: off, range hood: low}
"""
ERV = {"off": (0.0, 0.0), "low": (80 / 170, 70 / 160), "boost": (1.0, 1.0)}
STATES = [  # ventilator, share of the hood's rated flow, dryer, dirty filter
    ("low", 0.0, 0, False), ("boost", 0.0, 1, False), ("low", 250 / 700, 0, False), ("low", 1.0, 0, False),
    ("boost", 1.0, 1, False), ("boost", 1.0, 1, True), ("off", 250 / 700, 0, False),
]  # fmt: skip


def plain_leak(flow: float, pressure: float) -> Callable[[float], float]:
    """Something shut: a power law of exponent 0.65 in reference air."""
    size = flow / pressure**0.65 * (1.2041 / DENSITY) ** 0.35
    return lambda x: math.copysign(size * abs(x) ** 0.65, x)


def fan(points: list[tuple[float, float]], speed: float) -> Callable[[float], float]:
    """Flow over pressure rise at a speed, with the square laws outside the points."""
    rises, flows = np.array([p for _, p in points][::-1]) * INWC, np.array([q for q, _ in points][::-1]) * CFM
    rises = rises * DENSITY / 1.2041  # a curve is given in standard air; every pressure of a fan goes with the density
    curve = PchipInterpolator(rises, flows)
    resistance = 1 / (2 * flows[0] * -float(curve.derivative()(rises[0])))
    resistance = min(max(resistance, 0.1 * rises[-1] / flows[0] ** 2), 10 * rises[-1] / flows[0] ** 2)

    def flow(rise: float) -> float:
        low, high = speed**2 * rises[0], speed**2 * rises[-1]
        if rise > high:
            return -math.sqrt((rise - high) / resistance)
        if rise < low:
            return math.sqrt(speed**2 * flows[0] ** 2 + (low - rise) / resistance)
        return speed * float(curve(rise / speed**2))

    return flow


def duct_loss(flow: float, inches: float, feet: float, loss: float) -> float:
    """Pressure lost in a galvanized duct with its fittings."""
    diameter = inches * INCH
    speed = abs(flow) / (math.pi / 4 * diameter**2)
    reynolds = DENSITY * speed * diameter / VISCOSITY
    if reynolds < 1:
        return 0.0
    laminar = 64 / reynolds
    blend = min(max((reynolds - 2000) / 2000, 0.0), 1.0)
    blend = blend * blend * (3 - 2 * blend)
    rough = fluids.friction.Colebrook(max(reynolds, 2000.0), 9e-5 / diameter, tol=-1)
    factor = laminar + blend * (rough - laminar)
    return math.copysign((factor * feet * FOOT / diameter + loss) * DENSITY * speed**2 / 2, flow)


def flap(x: float, area: float, loss: float, opens_at: float, leak: Callable[[float], float]) -> float:
    """A flap: its shut leakage, and the open way past its opening pressure, swung open over half a pascal."""
    beyond = max(x - opens_at, 0.0)
    part = min(beyond / 0.5, 1.0)
    return leak(x) + area * math.sqrt(2 * beyond / (DENSITY * loss)) * part * part * (3 - 2 * part)


def hood(pressure: float, speed: float) -> float:
    """What the hood moves with the house at a pressure: fan, duct and flap in a row."""
    blows = fan([(0, 1.6), (450, 0.9), (700, 0.2)], speed)
    leak, area = plain_leak(4 * CFM, 25.0), math.pi / 4 * (10 * INCH) ** 2

    def through(flow: float) -> float:
        across = brentq(lambda x: flap(x, area, 1.5, 5.0, leak) - flow, -1e6, 1e4, xtol=1e-13)
        return duct_loss(flow, 10, 9, 0.3) + across - pressure

    return brentq(lambda flow: blows(through(flow)) - flow, -0.05, 0.6, xtol=1e-14)


def make_up(pressure: float, dirty: bool) -> float:
    """What the make-up opening brings: duct with filter, gravity damper of loss 2."""
    leak, area = plain_leak(5 * CFM, 25.0), math.pi / 4 * (8 * INCH) ** 2

    def lost(flow: float) -> float:
        drop = (0.25 if dirty else 0.08) * INWC * (abs(flow) / (300 * CFM)) ** 1.26
        return duct_loss(flow, 8, 12, 1.0) + math.copysign(drop, flow)

    def net(flow: float) -> float:
        return flap(-pressure - lost(flow), area, 2.0, 12.0, leak) - flow

    return brentq(net, -0.5, 0.5, xtol=1e-14)


def stream(pressure_against: float, rated: float, speed: float) -> float:
    """One stream of the ERV: its ducts take what the fan gives at the set flow with the house at 0 Pa."""
    points = [(0, 0.8), (100, 0.6), (160, 0.4), (200, 0.1)]
    if speed == 0:
        leak = plain_leak(5 * CFM, 25.0)
        static = brentq(lambda rise: fan(points, 1.0)(rise) - rated, 0.1 * INWC, 0.8 * INWC, xtol=1e-13)
        duct = static / rated**2
        return brentq(lambda q: leak(-pressure_against - math.copysign(duct * q * q, q)) - q, -0.1, 0.1, xtol=1e-15)
    static = brentq(lambda rise: fan(points, 1.0)(rise) - rated, 0.1 * INWC, 0.8 * INWC, xtol=1e-13)
    duct = static / rated**2
    blows = fan(points, speed)
    return brentq(lambda q: blows(math.copysign(duct * q * q, q) + pressure_against) - q, -0.2, 0.3, xtol=1e-15)


def house_pressure(state: tuple[str, float, int, bool]) -> float:
    erv, speed, dryer, dirty = state
    envelope = plain_leak(0.8 * 18000 / 60 * CFM, 50.0)
    supply, exhaust = ERV[erv]

    def net(pressure: float) -> float:
        total = envelope(-pressure) + make_up(pressure, dirty) - 125 * CFM * dryer - hood(pressure, speed)
        return total + stream(pressure, 170 * CFM, supply) - stream(-pressure, 160 * CFM, exhaust)

    return brentq(net, -390, 60, xtol=1e-11)


@pytest.mark.parametrize("row", range(len(STATES)))
def test_house_pressure_equals_the_witness(row: int) -> None:
    expected = house_pressure(STATES[row])
    assert solved(HOUSE).house_pressure()[row] == pytest.approx(expected, rel=2e-6, abs=2e-5)


@pytest.mark.parametrize("row", [3, 4, 5])
def test_flows_equal_the_witness(row: int) -> None:
    readout = solved(HOUSE)
    pressure = float(readout.house_pressure()[row])
    assert readout.machine_flow("range hood")[row] == pytest.approx(hood(pressure, STATES[row][1]), rel=1e-6)
    assert readout.make_up_flow("north opening")[row] == pytest.approx(make_up(pressure, STATES[row][3]), rel=1e-6)
