"""Words of messages: pressures as said aloud, series, capitals."""

from __future__ import annotations

from collections.abc import Sequence

from airledger import quantities


def pascals(value: float) -> str:
    """A pressure as said aloud: whole pascals from 10 on, tenths below.

    Parameters
    ----------
    value : float
        a pressure [Pa]
    """
    return quantities.text(value, "house pressure", "ip", 0 if abs(value) >= 9.95 else 1)


def series(words: Sequence[str]) -> str:
    """Words in a row with commas and an "and".

    Parameters
    ----------
    words : sequence of str
        the words [-]
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def capital(sentence: str) -> str:
    """A sentence with a capital first letter.

    Parameters
    ----------
    sentence : str
        the sentence [-]
    """
    return sentence[:1].upper() + sentence[1:]


def amount(cell: object) -> float:
    """The number that a cell of a table holds.

    Parameters
    ----------
    cell : number
        a cell with a number in it [same as the quantity]

    Raises
    ------
    TypeError
        the cell holds words or nothing.
    """
    if not isinstance(cell, int | float):
        raise TypeError(f"a number was expected, not {cell!r}")
    return float(cell)
