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

_FOOT_WORDS = ("ft", "feet", "foot", "'")
_INCH_WORDS = ("in", "inch", "inches", '"')


def _all(words: str, factor: float, offset: float = 0.0) -> dict[str, tuple[float, float]]:
    return dict.fromkeys(words.split(", "), (factor, offset))


# dimension -> unit word -> (factor, offset): SI = typed x factor + offset
UNITS: dict[str, dict[str, tuple[float, float]]] = {
    "length": {
        **dict.fromkeys(_FOOT_WORDS, (FOOT, 0.0)),
        **dict.fromkeys(_INCH_WORDS, (INCH, 0.0)),
        **_all("m", 1),
        **_all("cm", 0.01),
        **_all("mm", 0.001),
    },
    "area": {
        **_all("ft2, ft², sqft, sq ft, sq. ft., square feet", FOOT**2),
        **_all("in2, in², sq in, sq. in., square inches", INCH**2),
        **_all("m2, m²", 1),
        **_all("cm2, cm²", 1e-4),
    },
    "volume": {**_all("ft3, ft³, cu ft, cubic feet", FOOT**3), **_all("m3, m³", 1)},
    "flow": {
        **_all("cfm", CFM),
        **_all("l/s", 1e-3),
        **_all("m3/h, m³/h", 1 / 3600),
        **_all("m3/s, m³/s", 1),
    },
    "pressure": {
        **_all("pa", 1),
        **_all("inwc, in wc, in w.c., in. w.c., inwg, in wg, in w.g., in. w.g.", INCH_OF_WATER),
        **_all("hpa, mbar", 100),
        **_all("kpa", 1000),
        **_all("inhg, in hg", 3386.389),  # NIST SP 811, conventional inch of mercury
    },
    "temperature": {**_all("f, degf, °f", 5 / 9, -160 / 9), **_all("c, degc, °c", 1)},
    "fraction": _all("%, percent", 0.01),
    "angle": _all("deg, degrees, degree, °", 1),
    "speed": {
        **_all("mph", MILE / 3600),
        **_all("m/s", 1),
        **_all("km/h", 1 / 3.6),
        **_all("fpm, ft/min", FOOT / 60),
    },
    "time": {
        **_all("s, sec, seconds, second", 1),
        **_all("min, minutes, minute", 60),
        **_all("h, hours, hour", 3600),
    },
    "use": {  # seconds of use a year
        **_all("min/day, min a day, minutes a day", 60 * 365),
        **_all("h/day, h a day, hours a day", 3600 * 365),
        **_all("h/week, h a week, hours a week", 3600 * 365 / 7),
        **_all("min/week, min a week, minutes a week", 60 * 365 / 7),
        **_all("h/year, h a year, hours a year", 3600),
    },
    "force": {**_all("lbf, lb", POUND_FORCE), **_all("n", 1)},
    "power": {**_all("btu/h", BTU / 3600), **_all("w", 1), **_all("kw", 1000)},
    "tightness": _all("ach50", 1),
    "flow at 50 Pa": {
        **_all("cfm50", CFM),
        **_all("m3/h50", 1 / 3600),
        **_all("l/s50", 1e-3),
    },
    "thermal resistance": _all("r", 0.1761101838),
    "plain number": _all("", 1),
}

# dimension -> the units as people write them, for messages
_SAID = {
    "length": "ft, in, m, cm, mm",
    "area": "ft2, in2, m2, cm2",
    "volume": "ft3, m3",
    "flow": "cfm, L/s, m3/h",
    "pressure": "Pa, inwc, kPa",
    "temperature": "F, C",
    "fraction": "%",
    "angle": "deg",
    "speed": "mph, fpm, m/s, km/h",
    "time": "s, min, h",
    "use": "min/day, h/day, h/week, min/week, h/year",
    "force": "lbf, N",
    "power": "Btu/h, W, kW",
    "tightness": "ach50",
    "flow at 50 Pa": "cfm50, L/s50, m3/h50",
    "thermal resistance": "R",
}

_NUMBER = re.compile(r"[+\-]?(?:\d[\d,]*\.?\d*|\.\d+)(?:[eE][+\-]?\d+)?", re.ASCII)
_WHOLE_NUMBER = re.compile(r"[+\-]?(\d{1,3}(,\d{3})+|\d*)(\.\d*)?([eE][+\-]?\d+)?", re.ASCII)
_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


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
    unit = " ".join(rest.lower().split())
    table = UNITS[dimension]
    if dimension == "length":
        return _finite(text, _length(text, number, unit), dimension)
    if unit not in table:
        raise QuantityError(text, expected(dimension))
    factor, offset = table[unit]
    return _finite(text, number * factor + offset, dimension)


def _finite(text: str, value: float, dimension: str) -> float:
    if not math.isfinite(value):
        raise QuantityError(text, expected(dimension))
    return value


def expected(dimension: str) -> str:
    """What may be typed for a dimension, in words.

    Parameters
    ----------
    dimension : str
        a key of `UNITS` [-]
    """
    if dimension == "plain number":
        return "a plain number, without a unit"
    return f"a number and its unit, one of: {_SAID[dimension]}"


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
    for sign, spelled in _FRACTIONS.items():
        stripped = stripped.replace(sign, f" {spelled}")
    stripped = stripped.strip()
    match = _NUMBER.match(stripped)
    if not match or not _WHOLE_NUMBER.fullmatch(match.group()):
        raise QuantityError(str(text), expected(dimension))
    value = float(match.group().replace(",", ""))
    rest = stripped[match.end() :]
    over = re.match(r"\s*/\s*(\d+)(?![\w/])", rest, re.ASCII)
    mixed = re.match(r"(?:\s+|-)(\d+)\s*/\s*(\d+)", rest, re.ASCII)
    if over and float(over.group(1)):
        value, rest = value / float(over.group(1)), rest[over.end() :]
    elif mixed and float(mixed.group(2)):
        part = float(mixed.group(1)) / float(mixed.group(2))
        value, rest = value + math.copysign(part, value), rest[mixed.end() :]
    if not math.isfinite(value):
        raise QuantityError(str(text), expected(dimension))
    return value, rest


def _length(text: str, number: float, unit: str) -> float:
    """A length, compound ones such as ``7 ft 6 1/2 in`` included."""
    words = sorted(UNITS["length"], key=len, reverse=True)
    word = next((w for w in words if re.match(rf"{re.escape(w)}(?![a-z])", unit)), "")
    if not word:
        raise QuantityError(text, expected("length"))
    value = number * UNITS["length"][word][0]
    rest = unit[len(word) :].strip(" -")
    if not rest:
        return value
    if word not in _FOOT_WORDS:
        raise QuantityError(text, expected("length"))
    try:
        inches, tail = leading_number(rest, "length")
    except QuantityError:
        raise QuantityError(text, expected("length")) from None
    if tail.strip() not in _INCH_WORDS or not 0 <= inches < 12:
        raise QuantityError(text, "feet and inches are said as 7 ft 6 in, inches from 0 to under 12")
    return value + math.copysign(inches * INCH, number)
