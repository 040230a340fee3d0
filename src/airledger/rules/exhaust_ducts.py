"""How long the duct of a fan or of a dryer may be before its code says no: printed lengths less what bends take.

Between two ratings the next higher counts, between two sizes the next smaller: the table is never read in its favour.
It sets no limit where the maker's design is followed or the installed flow was measured.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from airledger.errors import InputError, OutOfRange
from airledger.sources import Source, table
from airledger.units import CFM, FOOT, INCH

_TABLE = "rules/tables/exhaust_ducts"
_HAIR = 1.0 + 1e-9
_NOTHING = 1e-9
SMOOTH, FLEX = "smooth", "flex"


@dataclass(frozen=True)
class DuctLength:
    """The longest straight length [m] that is left, infinite = no limit; allowed: whether the size may be used."""

    length: float
    allowed: bool
    section: str
    source: Source


def exhaust_duct(flow: float, diameter: float, made_of: str, elbows: int = 0) -> DuctLength:
    """How long the duct of an exhaust fan may be.

    Parameters
    ----------
    flow : float
        the fan's rating at 0.25 in w.c. [m3/s]
    diameter : float
        of the round duct, four times area over perimeter of another [m]
    made_of : str
        `SMOOTH` or `FLEX` [-]
    elbows : int
        of any angle [-]

    Raises
    ------
    InputError
        neither smooth nor flexible.
    OutOfRange
        a rating or a size of which the table says nothing, or fewer elbows than none.

    Reference: IRC table M1504.2, PUBLISHED; its rows from 7 in on, PUBLISHED (restated).
    """
    printed = table(_TABLE)["exhaust"]
    if made_of not in (SMOOTH, FLEX):
        raise InputError(f"a duct is {SMOOTH} or {FLEX}, not {made_of!r}")
    if elbows < 0:
        raise OutOfRange("elbows", elbows, 0, math.inf, "-")
    if not 0.0 < flow <= printed["ratings"][-1] * CFM * _HAIR:
        raise OutOfRange("rating of the fan", flow, 0.0, printed["ratings"][-1] * CFM, "m3/s")
    sizes = printed["size"]
    fits = [size for size in sizes if size["inches"] * INCH <= diameter * _HAIR]
    if not fits:
        raise OutOfRange("diameter", diameter, sizes[0]["inches"] * INCH, math.inf, "m")
    column = sum(flow > rating * CFM * _HAIR for rating in printed["ratings"])
    cell = fits[-1][made_of][column]
    source = Source(fits[-1]["source"], fits[-1]["tag"])
    left = {"X": 0.0, "NL": math.inf}.get(str(cell))
    if left is None:
        left = float(cell) - elbows * float(printed["elbow_ft"])
    return DuctLength(max(0.0, left) * FOOT, left > _NOTHING, printed["section"], source)


def dryer_duct(bends: Sequence[tuple[str, int]], longest: float | None = None) -> DuctLength:
    """How long the duct of a dryer may be.

    Parameters
    ----------
    bends : sequence of tuple[str, int]
        kind and degrees of each, as the table names them: ("mitered", 90) [-]
    longest : float
        before any bend, None = the newer codes' 35 ft [m]

    Raises
    ------
    InputError
        a bend that the table does not name.

    Reference: Florida Residential 2017 M1502 and IRC 2012, PUBLISHED.
    """
    printed = table(_TABLE)["dryer"]
    takes = {(bend["kind"], bend["degrees"]): float(bend["takes_ft"]) for bend in printed["bend"]}
    unknown = [bend for bend in bends if tuple(bend) not in takes]
    if unknown:
        there = ", ".join(f"{kind} {degrees}" for kind, degrees in takes)
        raise InputError(f"no bend {unknown[0][0]} of {unknown[0][1]} degrees; there are: {there}")
    whole = float(printed["length_ft"]) if longest is None else longest / FOOT
    left = whole - sum(takes[kind, degrees] for kind, degrees in bends)
    source = Source(printed["source"], printed["tag"])
    return DuctLength(max(0.0, left) * FOOT, left > _NOTHING, printed["section"], source)


def older_dryer_length() -> float:
    """The longest dryer duct of older codes before any bend [m].

    Reference: older editions of M1502, PUBLISHED.
    """
    printed: Mapping[str, Any] = table(_TABLE)["dryer"]
    return float(printed["older_ft"]) * FOOT
