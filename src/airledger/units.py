"""Quantities as people say them: `600 cfm`, `7 ft 6 in`, `1 1/2 in`, `-5 Pa`, `93 F`, `55 %`.

Inside airledger everything is SI (temperatures in degC, angles in degrees); this module is the way in and out.
Exact definitions: foot 0.3048 m, pound 0.45359237 kg, standard gravity 9.80665 m/s2 (NIST SP 811, appendix B).
Inch of water: 249.0889 Pa (NIST SP 811, conventional; the check values' README uses the same figure).
"""

from __future__ import annotations

import math
import re

from airledger.errors import QuantityError

FOOT = 0.3048
INCH = FOOT / 12
POUND = 0.45359237
GRAVITY = 9.80665
POUND_FORCE = POUND * GRAVITY
CFM = FOOT**3 / 60
INCH_OF_WATER = 249.0889
BTU = 1055.05585262
GALLON = 231 * INCH**3
PINT = GALLON / 8
MILE = 5280 * FOOT

# dimension -> unit word -> (factor, offset): SI = typed x factor + offset
UNITS: dict[str, dict[str, tuple[float, float]]] = {
    "length": {
        "ft": (FOOT, 0), "feet": (FOOT, 0), "foot": (FOOT, 0), "'": (FOOT, 0), "in": (INCH, 0), "inch": (INCH, 0),
        "inches": (INCH, 0), '"': (INCH, 0), "m": (1, 0), "cm": (0.01, 0), "mm": (0.001, 0),
    },
    "area": {
        "ft2": (FOOT**2, 0), "sqft": (FOOT**2, 0), "sq ft": (FOOT**2, 0), "in2": (INCH**2, 0), "sq in": (INCH**2, 0),
        "m2": (1, 0), "cm2": (1e-4, 0), "ft²": (FOOT**2, 0), "in²": (INCH**2, 0), "m²": (1, 0), "cm²": (1e-4, 0),
    },
    "volume": {"ft3": (FOOT**3, 0), "cu ft": (FOOT**3, 0), "m3": (1, 0), "ft³": (FOOT**3, 0), "m³": (1, 0)},
    "flow": {
        "cfm": (CFM, 0), "l/s": (1e-3, 0), "m3/h": (1 / 3600, 0), "m³/h": (1 / 3600, 0), "m3/s": (1, 0), "m³/s": (1, 0),
    },
    "pressure": {
        "pa": (1, 0), "inwc": (INCH_OF_WATER, 0), "in w.c.": (INCH_OF_WATER, 0), "in wc": (INCH_OF_WATER, 0),
        "in w.g.": (INCH_OF_WATER, 0), "hpa": (100, 0), "mbar": (100, 0), "kpa": (1000, 0), "inhg": (3386.389, 0),
    },
    "temperature": {
        "f": (5 / 9, -160 / 9), "degf": (5 / 9, -160 / 9), "°f": (5 / 9, -160 / 9), "c": (1, 0), "degc": (1, 0), "°c": (1, 0),
    },
    "fraction": {"%": (0.01, 0), "percent": (0.01, 0)},
    "angle": {"deg": (1, 0), "degrees": (1, 0), "°": (1, 0)},
    "speed": {"mph": (MILE / 3600, 0), "m/s": (1, 0), "km/h": (1 / 3.6, 0), "fpm": (FOOT / 60, 0)},
    "time": {"s": (1, 0), "sec": (1, 0), "min": (60, 0), "h": (3600, 0), "hours": (3600, 0)},
    "use": {  # seconds of use a year
        "min/day": (60 * 365, 0), "h/day": (3600 * 365, 0), "h/week": (3600 * 365 / 7, 0), "min/week": (60 * 365 / 7, 0),
        "h/year": (3600, 0),
    },
    "force": {"lbf": (POUND_FORCE, 0), "lb": (POUND_FORCE, 0), "n": (1, 0)},
    "power": {"btu/h": (BTU / 3600, 0), "w": (1, 0), "kw": (1000, 0)},
    "tightness": {"ach50": (1, 0)},
    "flow at 50 Pa": {"cfm50": (CFM, 0), "m3/h50": (1 / 3600, 0), "l/s50": (1e-3, 0)},
    "thermal resistance": {"r": (0.1761101838, 0)},
    "plain number": {"": (1, 0)},
}

_NUMBER = re.compile(r"[+\-−]?(?:\d[\d,]*\.?\d*|\.\d+)(?:[eE][+\-]?\d+)?")
_PLAIN_LENGTHS = ("ft", "feet", "foot", "'", "in", "inch", "inches", '"')


def parse(text: str, dimension: str) -> float:
    """The SI value of a quantity as typed.

    Parameters
    ----------
    text : str
        number and unit, for example ``7 ft 6 in``, ``1 1/2 in``, ``-5 Pa``, ``93 F`` [-]
    dimension : str
        a key of `UNITS` [-]

    Raises
    ------
    QuantityError
        the text is no such quantity, has no unit where one is needed, or is not finite.
    """
    number, rest = leading_number(text, dimension)
    unit = rest.strip().lower()
    table = UNITS[dimension]
    if dimension == "length":
        return _length(text, number, unit)
    if unit not in table:
        raise QuantityError(text, expected(dimension))
    factor, offset = table[unit]
    return number * factor + offset


def expected(dimension: str) -> str:
    """What may be typed for a dimension, in words.

    Parameters
    ----------
    dimension : str
        a key of `UNITS` [-]
    """
    if dimension == "plain number":
        return "a plain number, without a unit"
    words = ", ".join(dict.fromkeys(word for word in UNITS[dimension] if word.isascii() and word not in "'\""))
    return f"a {dimension} is a number with one of: {words}"


def leading_number(text: str, dimension: str) -> tuple[float, str]:
    """The number (fractions included) that a text begins with, and what is left of the text.

    Parameters
    ----------
    text : str
        what was typed [-]
    dimension : str
        a key of `UNITS`, named in the error [-]

    Raises
    ------
    QuantityError
        no finite number stands at the beginning.
    """
    stripped = str(text).strip().replace("−", "-")
    match = _NUMBER.match(stripped)
    if not match or not re.fullmatch(r"[+\-]?(\d{1,3}(,\d{3})+|\d*)(\.\d*)?([eE][+\-]?\d+)?", match.group()):
        raise QuantityError(str(text), expected(dimension))
    value = float(match.group().replace(",", ""))
    rest = stripped[match.end():]
    over = re.match(r"\s*/\s*(\d+)(?![\w/])", rest)
    mixed = re.match(r"\s+(\d+)\s*/\s*(\d+)", rest)
    if over and float(over.group(1)):
        value, rest = value / float(over.group(1)), rest[over.end():]
    elif mixed and float(mixed.group(2)):
        part = float(mixed.group(1)) / float(mixed.group(2))
        value, rest = value + math.copysign(part, value), rest[mixed.end():]
    if not math.isfinite(value):
        raise QuantityError(str(text), expected(dimension))
    return value, rest


def _length(text: str, number: float, unit: str) -> float:
    """A length, compound ones such as ``7 ft 6 1/2 in`` included."""
    word = next((w for w in sorted(UNITS["length"], key=len, reverse=True) if unit == w or unit.startswith((w + " ", w + "-"))), "")
    if not word and unit[:1] in ("'", '"'):
        word = unit[0]
    if not word:
        word = next((w for w in ("ft", "in", "mm", "cm", "m") if re.match(rf"{w}\s*\d", unit)), "")
    if not word:
        raise QuantityError(text, expected("length"))
    value = number * UNITS["length"][word][0]
    rest = unit[len(word):].strip(" -")
    if not rest:
        return value
    if word not in ("ft", "feet", "foot", "'"):
        raise QuantityError(text, expected("length"))
    inches, tail = leading_number(rest, "length")
    if tail.strip() not in ("in", "inch", "inches", '"') or not 0 <= inches < 12:
        raise QuantityError(text, "feet and inches are said as 7 ft 6 in, inches from 0 to under 12")
    return value + math.copysign(inches * INCH, number)
