"""Readings that cannot be: the likelier slip behind them, so that a tester is asked and not overruled."""

from __future__ import annotations

import math
from dataclasses import dataclass

SLIPS = {
    "cubic feet a minute written as litres a second": 1 / 0.471947443,
    "litres a second written as cubic feet a minute": 0.471947443,
    "cubic metres an hour written as cubic feet a minute": 1.699011,
    "cubic metres an hour written as litres a second": 3.6,
    "ten times too much": 10.0,
    "ten times too little": 0.1,
}
"""What a slip makes of a flow: read over true [-]."""

NEAR = 0.12
"""How near a slip has to bring a reading to what was expected [-]: common practice, no source."""
FAR = 0.40
"""How far off a reading has to be before a slip is thought of [-]: a fan at half its duty is common (field studies)."""


@dataclass(frozen=True)
class Question:
    """What may have gone wrong with a reading. cause in words; value [unit of the reading] as it would then be."""

    cause: str
    value: float


def flow_question(flow_read: float, flow_expected: float) -> Question | None:
    """A slip that would explain a flow far from what was expected; None where nothing needs one, or none explains it.

    Parameters
    ----------
    flow_read : float
        flow as read [m3/s]
    flow_expected : float
        flow that was expected [m3/s]

    Reference: ratios of units (definition).
    """
    if flow_read <= 0.0 or flow_expected <= 0.0:
        return Question("a flow above 0 is wanted, whichever way it goes", abs(flow_read)) if flow_read < 0 else None
    if abs(math.log(flow_read / flow_expected)) < -math.log(1.0 - FAR):
        return None
    best = min(SLIPS, key=lambda cause: abs(math.log(flow_read / flow_expected / SLIPS[cause])))
    if abs(math.log(flow_read / flow_expected / SLIPS[best])) <= NEAR:
        return Question(best, flow_read / SLIPS[best])
    return None


def pressure_question(pressure_read: float, pressure_expected: float, least: float = 3.0) -> Question | None:
    """A slip that would explain a house pressure: the hoses swapped, inches of water written as pascals.

    Parameters
    ----------
    pressure_read : float
        pressure as read [Pa]
    pressure_expected : float
        pressure that was expected [Pa]
    least : float
        below it no pressure says anything [Pa]

    Reference: units and signs (definition).
    """
    if abs(pressure_expected) < least or abs(pressure_read - pressure_expected) <= max(
        least, 0.5 * abs(pressure_expected)
    ):
        return None
    if abs(pressure_read + pressure_expected) <= max(least, 0.5 * abs(pressure_expected)):
        return Question("the hoses swapped: the sign is that of outdoors minus inside", -pressure_read)
    inches = pressure_read * 249.0889
    if abs(inches - pressure_expected) <= 0.5 * abs(pressure_expected):
        return Question("inches of water written as pascals", inches)
    return None
