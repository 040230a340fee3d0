"""Minnesota: how much make-up air a house has to be given, and the round duct that may bring it.

    infiltration   I = f A                          f by column, A conditioned floor with an unfinished basement
    exhaust        E = continuous + 135 cfm + 0.80 largest (+ 0.80 next largest, not in column A)
    make-up air    E - I, none where that is not above 0

The column is by what burns inside. The openings are looked up in the printed table and never reckoned.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from airledger.errors import InputError, OutOfRange
from airledger.sources import Source, table
from airledger.units import CFM, FOOT, INCH

_TABLE = "rules/tables/minnesota"
COLUMNS = ("A", "B", "C", "D")
"""Columns of both tables: sealed or nothing burns; fan-assisted; one atmospheric or solid; several of them."""


@dataclass(frozen=True)
class Opening:
    """The duct that may bring a flow in.

    diameter [m] of smooth round metal, None where only a fan may; kind: passive, motorized damper, or powered.
    """

    diameter: float | None
    kind: str
    source: Source

    @property
    def flex_diameter(self) -> float | None:
        """Diameter [m] of flexible duct, stretched, for the same flow; None where only a fan may bring it."""
        if self.diameter is None:
            return None
        return self.diameter + float(_printed("opening")["flex_in"]) * INCH


@dataclass(frozen=True)
class Era:
    """Which section holds for a house by its year. seen: whether that section's table was; when: what starts it."""

    section: str
    when: str
    seen: bool
    source: Source


def dryer_and_share() -> tuple[float, float]:
    """What a dryer counts for in every column [m3/s], and the share of each exhaust rating that counts [-].

    Reference: Minnesota Rules 1346.0501, table 501.4.1 rows 2b to 2d, PUBLISHED.
    """
    printed = _printed("quantity")
    return float(printed["dryer"]) * CFM, float(printed["share"])


def column(atmospheric: int, solid: int, fan_assisted: int) -> str:
    """The column of both tables, by how many appliances of each kind stand inside.

    Parameters
    ----------
    atmospheric : int
        gas or oil on a natural-draft vent [-]
    solid : int
        that burn solid fuel [-]
    fan_assisted : int
        gas or oil, fan-assisted [-]

    Reference: Minnesota Rules 1346.0501, table 501.4.1, PUBLISHED.
    """
    if atmospheric + solid > 1:
        return "D"
    if atmospheric + solid == 1:
        return "C"
    return "B" if fan_assisted else "A"


def counted_ratings(column_name: str, ratings: Sequence[float]) -> tuple[float, ...]:
    """The exhaust ratings of which a share counts, largest first: one in column A, two in the others.

    Parameters
    ----------
    column_name : str
        one of `COLUMNS` [-]
    ratings : sequence of float
        rated flows of what blows air out, without the dryer, a recirculating hood, or one with a matched make-up fan
        that is interlocked [m3/s]

    Reference: Minnesota Rules 1346.0501, table 501.4.1 rows 2c and 2d, PUBLISHED.
    """
    count = 2 if _printed("quantity")["next_counts"][_place(column_name)] else 1
    return tuple(sorted(ratings, reverse=True)[:count])


def infiltration(column_name: str, floor_area: float) -> float:
    """Air that the table lets leak in [m3/s].

    Parameters
    ----------
    column_name : str
        one of `COLUMNS` [-]
    floor_area : float
        conditioned floor area with an unfinished basement [m2]

    Raises
    ------
    InputError
        there is no such column.
    OutOfRange
        floor area not above 0.

    Reference: Minnesota Rules 1346.0501, table 501.4.1 row 1, PUBLISHED.
    """
    if not 0.0 < floor_area < math.inf:
        raise OutOfRange("floor area", floor_area, 0.0, math.inf, "m2")
    return float(_printed("quantity")["per_area"][_place(column_name)]) * CFM * floor_area / FOOT**2


def make_up_quantity(column_name: str, floor_area: float, ratings: Sequence[float], continuous: float = 0.0) -> float:
    """Make-up air that the table asks for [m3/s]; below 0 means none is needed.

    Parameters
    ----------
    column_name : str
        one of `COLUMNS` [-]
    floor_area : float
        conditioned floor area with an unfinished basement [m2]
    ratings : sequence of float
        rated flows of what blows air out, without the dryer [m3/s]
    continuous : float
        what an exhaust-only system moves all day, 0 beside a recovery ventilator [m3/s]

    Raises
    ------
    InputError
        there is no such column.
    OutOfRange
        floor area not above 0.

    Reference: Minnesota Rules 1346.0501, table 501.4.1, PUBLISHED.
    """
    leaked = infiltration(column_name, floor_area)
    dryer, share = dryer_and_share()
    return dryer + continuous + share * sum(counted_ratings(column_name, ratings)) - leaked


def opening(column_name: str, flow: float) -> Opening:
    """The smallest opening that the table lets bring a flow in.

    Parameters
    ----------
    column_name : str
        one of `COLUMNS` [-]
    flow : float
        make-up air [m3/s]

    Raises
    ------
    InputError
        there is no such column.
    OutOfRange
        no make-up air is asked for.

    Reference: Minnesota Rules 1346.0501, table 501.4.2, PUBLISHED.
    """
    if not 0.0 < flow < math.inf:
        raise OutOfRange("make-up air", flow, 0.0, math.inf, "m3/s")
    printed, _ = _printed("opening"), _place(column_name)
    source = Source(printed["source"], printed["tag"])
    for inches, most in zip(printed["sizes"], printed[column_name], strict=True):
        if flow <= most * CFM * (1.0 + 1e-12):
            kind = "motorized damper" if inches >= printed["motorized_from"] else "passive"
            return Opening(inches * INCH, kind, source)
    return Opening(None, "powered", source)


def straight_length(elbows: int) -> float:
    """The longest straight run [m] of an opening's duct: what its hood and its elbows leave, 0 at least.

    Parameters
    ----------
    elbows : int
        of 90 degrees [-]

    Raises
    ------
    OutOfRange
        fewer elbows than none.

    Reference: Minnesota Rules 1346.0501, notes of table 501.4.2, PUBLISHED.
    """
    if elbows < 0:
        raise OutOfRange("elbows", elbows, 0, math.inf, "-")
    printed = _printed("opening")
    left = float(printed["length_ft"]) - float(printed["hood_ft"]) - elbows * float(printed["elbow_ft"])
    return max(0.0, left) * FOOT


def era(built: int) -> Era:
    """Which section holds for a house by the year in which it was built.

    Parameters
    ----------
    built : int
        the year [-]

    Reference: Minnesota Rules 1346.0501, 501.4.3, PUBLISHED; tables 501.4.3 (1) to (3) were not seen.
    """
    entry = next(e for e in table(_TABLE)["built"] if e["from"] <= built)
    return Era(entry["section"], entry["when"], entry["seen"], Source(entry["source"], entry["tag"]))


def meant(column_name: str) -> str:
    """What burns inside where a column holds, in words.

    Parameters
    ----------
    column_name : str
        one of `COLUMNS` [-]
    """
    return str(_printed("quantity")["meant"][_place(column_name)])


def _printed(name: str) -> Mapping[str, Any]:
    printed: Mapping[str, Any] = table(_TABLE)[name]
    return printed


def _place(column_name: str) -> int:
    if column_name not in COLUMNS:
        raise InputError(f"no column is called {column_name!r}; there are: {', '.join(COLUMNS)}")
    return COLUMNS.index(column_name)
