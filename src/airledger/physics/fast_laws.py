"""The laws of the network for one element of one row, compiled by numba: the same arithmetic as `physics.laws`.

Needs the extra `fast`. Each gives mass flow of dry air [kg/s] and its slope [kg/(s Pa)] at a pressure difference [Pa];
the meaning of every number stands with the law's class. `LAYOUT` says in which order a law's numbers are handed over.
"""

# mypy: disable-error-code="untyped-decorator"
from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numba import njit
from numpy.typing import NDArray

from airledger.physics import duct_friction
from airledger.physics.laws import RAMP, SMOOTH, FanLaw, FixedFlow, GravityLaw, Law, OrificeLaw, PowerLaw, RunLaw

Array = NDArray[np.float64]
Curves = tuple[NDArray[np.intp], Array, Array]
"""Of every fan curve: how many knots, the knots [Pa] (curves, most knots), coefficients (curves, 4, most knots)."""

POWER, ORIFICE, FIXED, FAN, RUN, GRAVITY = range(6)

LAYOUT: Mapping[type[Law], tuple[int, tuple[str, ...]]] = {
    PowerLaw: (POWER, ("forward", "reverse", "exponent")),
    OrificeLaw: (ORIFICE, ("forward", "reverse")),
    FixedFlow: (FIXED, ("mass_flow",)),
    FanLaw: (FAN, ("speed", "size", "forward", "reverse", "thickness", "resistance", "curve")),
    RunLaw: (
        RUN,
        (
            "length", "diameter", "roughness", "area", "local", "filter_pressure", "filter_flow", "filter_exponent",
            "density_forward", "density_reverse", "dry_forward", "dry_reverse", "viscosity",
        ),
    ),
    GravityLaw: (GRAVITY, ("forward", "opens_at")),
}  # fmt: skip
"""Kind of each law and its numbers in order; `curve` is the number of the fan's curve."""

MOST_NUMBERS = max(len(names) for _, names in LAYOUT.values())

_SQUARE = SMOOTH * SMOOTH
_LAMINAR, _TURBULENT = duct_friction.LAMINAR_BELOW, duct_friction.TURBULENT_ABOVE
_LOG, _MIDDLE = duct_friction._LOG_FACTOR, duct_friction._MIDDLE_OF_ALL_DUCTS
_STEPS, _LAST_STEP = RunLaw.STEPS, RunLaw.LAST_STEP

compiled = njit(cache=True, error_model="numpy")
# without numba's counting of who holds an array, which costs more than the laws: such code can allocate nothing
within = njit(cache=True, error_model="numpy", _nrt=False)  # type: ignore[call-overload]


@within
def flow_and_slope(
    kind: int, numbers: Array, element: int, curves: Curves, difference: float, near: float
) -> tuple[float, float]:
    """Mass flow [kg/s] and slope [kg/(s Pa)] of an element.

    Parameters
    ----------
    kind : int
        which law [-]
    numbers : Array
        of all elements, each in the order of `LAYOUT` [-]
    element : int
        which element [-]
    curves : tuple
        all fan curves; which one is a fan's last number [Pa, m3/s]
    difference : float
        pressure difference [Pa]
    near : float
        a flow close to the answer, 0 where none is known [kg/s]

    Reference: `physics.laws`.
    """
    flow, slope = numbers[element, 0], 0.0
    if kind == POWER:
        flow, slope = _power(flow, numbers[element, 1], numbers[element, 2], difference)
    elif kind == ORIFICE:
        flow, slope = _orifice(flow, numbers[element, 1], difference)
    elif kind == FAN:
        flow, slope = _fan(numbers[element], curves, difference)
    elif kind == RUN:
        flow, slope = _run(numbers[element], difference, near)
    elif kind == GRAVITY:
        flow, slope = _gravity(flow, numbers[element, 1], difference)
    return flow, slope


@within
def _power(forward: float, reverse: float, exponent: float, difference: float) -> tuple[float, float]:
    square = difference * difference
    smooth = square + _SQUARE
    power = (forward if difference >= 0.0 else reverse) * smooth ** (0.5 * (exponent - 1.0))
    return power * difference, power * (exponent * square + _SQUARE) / smooth


@within
def _orifice(forward: float, reverse: float, difference: float) -> tuple[float, float]:
    square = difference * difference
    smooth = square + _SQUARE
    root = (forward if difference >= 0.0 else reverse) / np.sqrt(np.sqrt(smooth))
    return root * difference, root * (0.5 * square + _SQUARE) / smooth


@within
def _gravity(forward: float, opens_at: float, difference: float) -> tuple[float, float]:
    beyond = max(difference - opens_at, 0.0)
    part = min(beyond / RAMP, 1.0)
    step, step_slope = part * part * (3.0 - 2.0 * part), 6.0 * part * (1.0 - part) / RAMP
    root = np.sqrt(beyond)
    return forward * step * root, forward * (step_slope * root + step / (2.0 * max(root, 1e-150)))


@within
def _fan(numbers: Array, curves: Curves, difference: float) -> tuple[float, float]:
    speed, size, thickness, resistance = numbers[0], numbers[1], numbers[4], numbers[5]
    which = int(numbers[6])
    last, knots, table = curves[0][which] - 1, curves[1][which], curves[2][which]
    square = speed * speed * thickness
    rise = -difference
    if rise > knots[last] * square:
        flow, slope = _root(rise - knots[last] * square, 0.0, resistance * thickness)
        flow = -flow
    elif rise <= knots[0] * square:
        start = resistance * square * table[3, 0] * table[3, 0]
        flow, slope = _root(knots[0] * square - rise, start, resistance * thickness)
    else:
        held = min(max(rise / max(square, 1e-300), knots[0]), knots[last])
        piece = 0
        while piece < last - 1 and held >= knots[piece + 1]:
            piece += 1
        step = held - knots[piece]
        flow = ((table[0, piece] * step + table[1, piece]) * step + table[2, piece]) * step + table[3, piece]
        slope = (3.0 * table[0, piece] * step + 2.0 * table[1, piece]) * step + table[2, piece]
        flow, slope = speed * flow, -slope / max(speed * thickness, 1e-150)
    density = (numbers[2] if flow >= 0.0 else numbers[3]) * size
    return density * flow, density * slope


@within
def _root(pressure: float, start: float, resistance: float) -> tuple[float, float]:
    total = max(pressure, 0.0) + start
    if start > 1e-2:
        return np.sqrt(total / resistance), 0.5 / np.sqrt(max(total, 1e-300) * resistance)
    smooth = total * total + _SQUARE
    root = np.sqrt(np.sqrt(smooth))
    return total / (root * np.sqrt(resistance)), (0.5 * total * total + _SQUARE) / (smooth * root * np.sqrt(resistance))


@within
def _run(numbers: Array, difference: float, near: float) -> tuple[float, float]:
    forward = difference >= 0.0
    density = numbers[8] if forward else numbers[9]
    dry = numbers[10] if forward else -numbers[11]
    size = max(abs(difference), 1e-290)
    guessed = numbers[4] + 0.022 * numbers[0] / (2.0 * numbers[1] * numbers[3] * numbers[3])
    filtered = numbers[5] / (numbers[6] * numbers[6])
    flow = np.sqrt(size / (density * guessed + filtered + 1e-30))
    if near / dry > 0.25 * flow:
        flow = near / dry
    slope = 1.0
    for _ in range(_STEPS):
        loss, slope = _loss(numbers, flow, density)
        step = loss / (flow * slope) * np.log(size / loss)
        flow *= np.exp(step)
        if abs(step) <= _LAST_STEP:
            break
    return dry * flow, abs(dry) / slope


@within
def _loss(numbers: Array, flow: float, density: float) -> tuple[float, float]:
    length, diameter, area, viscosity = numbers[0], numbers[1], numbers[3], numbers[12]
    per_flow = density * diameter / (area * viscosity)
    friction, friction_slope = _friction(flow * per_flow, numbers[2] / diameter)
    factor = viscosity * viscosity * length / (2.0 * diameter**3) / density
    inertia = density * numbers[4]
    knee = SMOOTH / max(inertia, 1e-30)
    fourth_power = flow * flow * flow * flow
    smooth = np.sqrt(fourth_power + knee * knee)
    fourth = np.sqrt(smooth)
    loss = factor * friction + inertia * flow * fourth
    slope = factor * friction_slope * per_flow + inertia * (fourth + fourth_power / (smooth * fourth))
    if numbers[5] != 0.0:
        filtered = numbers[5] * (flow / numbers[6]) ** numbers[7]
        loss += filtered
        slope += numbers[7] * filtered / flow
    return loss, slope


@within
def _friction(reynolds: float, relative_roughness: float) -> tuple[float, float]:
    laminar = 64.0 * reynolds
    if reynolds <= _LAMINAR:
        return laminar, 64.0
    width = _TURBULENT - _LAMINAR
    place = min((reynolds - _LAMINAR) / width, 1.0)
    blend, blend_slope = place * place * (3.0 - 2.0 * place), 6.0 * place * (1.0 - place) / width
    rough, smooth = relative_roughness / 3.7, 2.51 / reynolds
    root = -_LOG * np.log(rough + _MIDDLE * smooth)
    for _ in range(2):
        inner = rough + smooth * root
        share = smooth / inner
        slope = 1.0 + _LOG * share
        newton = (root + _LOG * np.log(inner)) / slope
        root -= newton / (1.0 + 0.5 * newton * _LOG * share * share / slope)
    factor = 1.0 / (root * root)
    root_slope = _LOG * smooth * root / (reynolds * (rough + smooth * root + _LOG * smooth))
    turbulent = factor * reynolds * reynolds
    turbulent_slope = reynolds * (2.0 * factor + reynolds * (-2.0 * factor * root_slope / root))
    value = laminar + blend * (turbulent - laminar)
    return value, 64.0 + blend * (turbulent_slope - 64.0) + blend_slope * (turbulent - laminar)
