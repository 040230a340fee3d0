"""Small lengths as a crew says them: 3/4 in, 10 in, 7 1/2 in; millimetres in SI."""

from __future__ import annotations

import re
from fractions import Fraction

from airledger.house.air_movers import Duct
from airledger.quantities import text
from airledger.units import INCH

EIGHTHS = 8
NEAR = 0.02  # inches by which a length may differ from an eighth and still be called it
NOT_KNOWN = "not known yet"
BOX = "[ ]"  # in a cell of a table: a box to tick


def length_words(length: float, system: str) -> str:
    """A small length as a crew says it.

    Parameters
    ----------
    length : float
        how long [m]
    system : str
        ``ip`` or ``si``
    """
    if system != "ip":
        return text(length, "small length", system)
    inches = length / INCH
    eighth = Fraction(round(inches * EIGHTHS), EIGHTHS)
    if eighth <= 0 or abs(float(eighth) - inches) > NEAR:
        return text(length, "small length", system)
    whole, part = divmod(eighth, 1)
    told = " ".join(words for words in (f"{whole}" if whole else "", f"{part}" if part else "") if words)
    return f"{told} in"


def article(words: str) -> str:
    """Words with the article that they are spoken with: an ERV, a 10 in duct, an 8 in one.

    Parameters
    ----------
    words : str
        as printed
    """
    spoken = re.match(r"(?:[aeio]|8|11\b|18\b)|[AEFHILMNORSX][A-Z]{2}", words)
    return f"{'an' if spoken else 'a'} {words}"


def duct_words(duct: Duct | None, system: str) -> str:
    """The size of a duct as a crew says it.

    Parameters
    ----------
    duct : Duct or None
        the duct, None where none is drawn
    system : str
        ``ip`` or ``si``
    """
    if duct is None:
        return NOT_KNOWN
    if duct.diameter is not None:
        return f"{length_words(duct.diameter, system)} round"
    if duct.width is None or duct.height is None:
        return NOT_KNOWN
    return f"{length_words(duct.width, system)} x {length_words(duct.height, system)}"
