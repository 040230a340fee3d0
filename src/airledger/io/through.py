"""What the air passes where it is read: the duct, the hole, the face of a grille; its size and its area.

6 in                  round
8 x 12 in             a rectangle
52 in2                an area, where the shape does not matter
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from itertools import product

from airledger.errors import QuantityError
from airledger.io.readings_lines import Cell, Lines
from airledger.physics.flow_instruments import RECTANGULAR_LOG_TCHEBYCHEFF, ROUND_POINTS
from airledger.units import leading_number, parse

LEAST, MOST = 0.02, 2.0
"""Sides that a duct, a hole or a grille of a house may have [m]: common practice, no source."""
MOST_DIAMETERS = 3


def sides(text: str) -> tuple[float, ...]:
    """One diameter, or two sides [m]; none where the text is neither.

    Parameters
    ----------
    text : str
        ``6 in``, ``6 in round``, ``8 x 12 in`` [-]
    """
    parts = [part.strip() for part in re.split(r"\s[x×]\s|(?<=\d)[x×](?=\d)", text.removesuffix("round").strip())]
    try:
        units = [leading_number(part, "length")[1].strip() for part in parts]
        found = tuple(
            parse(part if unit else f"{part} {units[-1]}", "length") for part, unit in zip(parts, units, strict=True)
        )
    except QuantityError:
        return ()
    return found if len(found) <= 2 and all(LEAST <= side <= MOST for side in found) else ()


def counts(round_duct: bool) -> tuple[int, ...]:
    """How many points a traverse may have [-]: on two or three diameters of a round duct, on a rectangle's grid.

    Parameters
    ----------
    round_duct : bool
        whether it is round [-]
    """
    if round_duct:
        rules = {count for rule in ROUND_POINTS.values() for count in rule}
        return tuple(sorted({count * lines for count in rules for lines in range(1, MOST_DIAMETERS + 1)}))
    return tuple(sorted({a * b for a, b in product(RECTANGULAR_LOG_TCHEBYCHEFF, repeat=2)}))


def passage(lines: Lines, cells: Mapping[str, Cell], what: str, points: int = 0) -> float | None:
    """The area that the air passes [m2]; a fault and None where it is missing or cannot be.

    Parameters
    ----------
    lines : Lines
        the file; faults are noted there [-]
    cells : Mapping
        the cells of the row by column [-]
    what : str
        what the air passes, in words [-]
    points : int
        points of a traverse, 0 where it is none: then an area without a shape is enough [-]
    """
    cell = cells.get("through")
    allowed = "6 in, or 8 x 12 in" if points else "8 x 8 in, 6 in, or 52 in2"
    if cell is None or not cell.text:
        lines.add(cell or cells["value"], "through", f"the size of {what} is missing", allowed)
        return None
    found = sides(cell.text)
    if not found and not points:
        try:
            area = parse(cell.text, "area")
        except QuantityError:
            area = 0.0
        if LEAST**2 / 2 <= area <= MOST**2:
            return area
    if not found:
        lines.add(cell, "through", f"cannot read {cell.text[:60]!r} as the size of {what}", allowed)
        return None
    if points and points not in counts(len(found) == 1):
        told = ", ".join(map(str, counts(len(found) == 1)))
        lines.add(cells["value"], "value", f"{points} points are no traverse of such a duct", told)
        return None
    return math.pi * found[0] ** 2 / 4 if len(found) == 1 else found[0] * found[1]
