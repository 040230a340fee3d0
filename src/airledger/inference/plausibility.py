"""Readings that cannot be: the likelier slip behind them, so that a tester is asked and not overruled."""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass

from airledger.units import UNITS

UNIT_WORDS = {"cfm": "cubic feet a minute", "l/s": "litres a second", "m3/h": "cubic metres an hour"}
"""Units of flow that a meter in a truck can be set to."""
TENS = {"ten times too much": 10.0, "ten times too little": 0.1}
"""What a slipped point makes of a flow: read over true [-]."""

NEAR = 0.12
"""How near a slip has to bring a reading to what was expected [-]: common practice, no source."""
FAR = 0.40
"""How far off a reading has to be before a slip is thought of [-]: a fan at half its duty is common (field studies)."""
ALIKE = 0.6
"""Likeness of two names from which they are taken as one [-]: common practice, no source."""


@dataclass(frozen=True)
class Question:
    """What may have gone wrong with a reading. cause in words; value [unit of the reading] as it would then be."""

    cause: str
    value: float


def slips(written: str) -> dict[str, float]:
    """What a slip may have made of a flow written in a unit: read over true [-].

    Parameters
    ----------
    written : str
        the unit as written, in small letters; one that no meter has leaves the tens alone [-]

    Reference: ratios of units (definition).
    """
    unit = written.replace("³", "3")
    if unit not in UNIT_WORDS:
        return TENS
    flow = UNITS["flow"]
    return TENS | {
        f"{words} written as {UNIT_WORDS[unit]}": flow[unit][0] / flow[true][0]
        for true, words in UNIT_WORDS.items()
        if true != unit
    }


def flow_question(flow_read: float, flow_expected: float, written: str, far: float = FAR) -> Question | None:
    """A slip that would explain a flow far from what was expected; None where nothing needs one, or none explains it.

    Parameters
    ----------
    flow_read : float
        flow as read [m3/s]
    flow_expected : float
        flow that was expected [m3/s]
    written : str
        the unit it was written in [-]
    far : float
        how far off it has to be, a share of what was expected [-]

    Reference: ratios of units (definition).
    """
    if flow_read <= 0.0 or flow_expected <= 0.0:
        return Question("a flow above 0 is wanted, whichever way it goes", abs(flow_read)) if flow_read < 0 else None
    off = math.log(flow_read / flow_expected)
    if abs(off) < -math.log(1.0 - far):
        return None
    possible = slips(written)
    best = min(possible, key=lambda cause: abs(off - math.log(possible[cause])))
    if abs(off - math.log(possible[best])) <= NEAR:
        return Question(best, flow_read / possible[best])
    return None


def is_same_house(told: str, name: str) -> bool:
    """Whether a name on a sheet may mean a house: it holds its words, or is nearly the same.

    Parameters
    ----------
    told : str
        as somebody wrote it [-]
    name : str
        of the house [-]
    """
    mine, theirs = (set(re.findall(r"\w+", text.lower())) for text in (name, told))
    if {word for word in mine if word.isdigit()} - theirs and any(word.isdigit() for word in theirs):
        return False
    return mine <= theirs or difflib.SequenceMatcher(None, told.lower(), name.lower()).ratio() >= ALIKE


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
