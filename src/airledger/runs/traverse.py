"""Where to hold the probe for a traverse of a duct."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.errors import InputError
from airledger.io.through import sides
from airledger.physics.flow_instruments import (
    RECTANGULAR_LOG_TCHEBYCHEFF,
    ROUND_POINTS,
    rectangular_traverse,
    round_traverse,
)
from airledger.units import INCH

__all__ = ["RULES", "Traverse", "traverse"]

RULES = tuple(ROUND_POINTS)
WIDE = 0.76
"""Side of a rectangle from which six points are taken, and seven from half as much again [m]: common practice."""


@dataclass(frozen=True)
class Traverse:
    """A traverse. lines: what is crossed, with the depths from the near wall [m]; count: readings in all."""

    rule: str
    lines: tuple[tuple[str, tuple[float, ...]], ...]
    count: int


def traverse(size: str, rule: str = RULES[0], count: int = 0) -> Traverse:
    """The depths at which to read in a duct.

    Parameters
    ----------
    size : str
        ``6 in``, or ``8 x 12 in`` [-]
    rule : str
        of a round duct: one of `RULES`; a rectangle is read by log-Tchebycheff [-]
    count : int
        points on a line; 0 takes what its size asks for [-]

    Raises
    ------
    InputError
        the size cannot be read, no such rule, or no such number of points is printed.

    Reference: ISO 3966.
    """
    found = sides(size)
    if not found:
        raise InputError(f"cannot read {size!r} as the size of a duct; write it as 6 in, or 8 x 12 in")
    if len(found) == 1:
        depths = round_traverse(found[0], count or (6 if found[0] <= 10 * INCH else 10), rule)
        names = ("one diameter", "the diameter at right angles to it")
        return Traverse(rule, tuple((name, depths) for name in names), 2 * len(depths))
    lines = tuple(
        (name, rectangular_traverse(side, count or _points(side)))
        for name, side in zip(("across the first side", "across the second side"), found, strict=True)
    )
    return Traverse("log-Tchebycheff", lines, len(lines[0][1]) * len(lines[1][1]))


def _points(side: float) -> int:
    few, more, most = RECTANGULAR_LOG_TCHEBYCHEFF
    return few if side < WIDE else more if side < 1.5 * WIDE else most
