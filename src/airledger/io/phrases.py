"""Short phrases of the trade as values: ranges, sizes, a flow at a pressure, a share of time.

Each reader takes the text as typed and gives SI; what it cannot read is a `QuantityError` with what may stand there.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable
from typing import TypeVar, cast

from airledger.errors import QuantityError
from airledger.house.outdoors import DIRECTIONS
from airledger.uncertain import Uncertain
from airledger.units import UNITS, expected, leading_number, parse

SMALLEST, LARGEST = 0.001, 1000.0
"""Least and greatest length of a thing of a house [m]."""

LEAST_FLOW, MOST_FLOW = 1e-5, 10.0
"""Least and greatest flow of a machine or a leak of a house, about 21,000 cfm [m3/s]."""

FASTEST_WIND = 115.0
"""Greatest wind to reckon with [m/s]: about the fastest gust on record, 113 m/s (from memory, unconfirmed)."""

RANGE_FORM = "a value, a range such as 0.6 to 1.8 (likely 1.1), or 1.1 +- 10 %, each with its unit"

_LIKELY = re.compile(r"^(?P<range>.*?)\s*\(\s*likely\s+(?P<likely>[^()]*)\)\s*$", re.IGNORECASE | re.DOTALL)
_PLUS_MINUS = re.compile(r"\s*(?:\+/-|\+-|±)\s*")


Reader = TypeVar("Reader", bound=Callable[..., object])


def _of_the_whole(reader: Reader) -> Reader:
    """A reader whose refusals show the whole phrase, not the part of it that could not be read."""

    @functools.wraps(reader)
    def read(text: str, *more: object) -> object:
        try:
            return reader(text, *more)
        except QuantityError as problem:
            raise QuantityError(text, problem.expected) from None

    return cast(Reader, read)


@_of_the_whole
def uncertain(text: str, dimension: str) -> Uncertain:
    """A value with its range: `0.6 to 1.8 ach50 (likely 1.1)`, `1.1 ach50 +- 10 %`, or exactly `1.1 ach50`.

    Where the likely value of a range is left out, the middle is taken.

    Parameters
    ----------
    text : str
        what was typed [-]
    dimension : str
        a key of `units.UNITS` [-]

    Raises
    ------
    QuantityError
        the text is no such value, or its range does not run from low to high.
    """
    match = _LIKELY.match(text)
    body, likely_text = (match["range"], match["likely"]) if match else (text, "")
    halves = _PLUS_MINUS.split(body)
    if len(halves) == 2 and halves[0] and halves[1] and not match:
        return _around(text, halves[0], halves[1], dimension)
    ends = re.split(r"\s+to\s+", body.strip())
    if len(ends) == 1 and not match:
        return Uncertain.exactly(parse(body, dimension))
    if len(ends) != 2:
        raise QuantityError(text, RANGE_FORM)
    high = parse(ends[1], dimension)
    unit = leading_number(ends[1], dimension)[1]
    low = _with_unit_of(ends[0], unit, dimension)
    likely = _with_unit_of(likely_text, unit, dimension) if match else (low + high) / 2
    if not low <= likely <= high:
        raise QuantityError(text, "a range runs from low to high with the likely value between them")
    return Uncertain(low, likely, high)


def _with_unit_of(text: str, unit: str, dimension: str) -> float:
    """A number that borrows the unit said at the end of the phrase, unless it has its own."""
    own = leading_number(text, dimension)[1].strip()
    return parse(text if own or dimension == "plain number" else f"{text.strip()} {unit.strip()}", dimension)


def _around(text: str, middle_text: str, half_text: str, dimension: str) -> Uncertain:
    unit_behind = leading_number(half_text, dimension)[1]
    middle = _with_unit_of(middle_text, unit_behind if unit_behind.strip() != "%" else "", dimension)
    if half_text.strip().endswith("%") and dimension != "fraction":
        half = abs(middle) * parse(half_text, "fraction")
    else:
        half = _with_unit_of(half_text, leading_number(middle_text, dimension)[1], dimension)
    if half < 0:
        raise QuantityError(text, "the part behind +- is not negative")
    return Uncertain(middle - half, middle, middle + half)


def tightness(text: str) -> tuple[Uncertain, str]:
    """Air changes or a flow at 50 Pa, with the unit that it is in: `ach50` [1/h] or `flow50` [m3/s].

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        neither reads, or a value is not above 0.
    """
    allowed = "0.6 to 1.8 ach50 (likely 1.1), 1.1 ach50 +- 10 %, or 300 cfm50, L/s50, m3/h50"
    lowered = text.lower()
    flow = any(re.search(rf"(?<![\w/]){re.escape(unit)}(?!\w)", lowered) for unit in UNITS["flow at 50 Pa"])
    try:
        value = uncertain(text, "flow at 50 Pa" if flow else "tightness")
    except QuantityError as problem:
        raise QuantityError(text, problem.expected if "range" in problem.expected else allowed) from None
    least, most = (LEAST_FLOW, MOST_FLOW) if flow else (0.001, 200.0)
    if not least <= value.low <= value.high <= most:
        raise QuantityError(text, "a tightness above 0, and no tent's: for example 1.1 ach50")
    return value, "flow50" if flow else "ach50"


@_of_the_whole
def pair(text: str) -> tuple[float, float]:
    """Two lengths: `28 ft x 24 ft` [m].

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        these are not two lengths above 0 with an x between them.
    """
    parts = re.split(r"\s+(?:x|X|×|by)\s+|×", text.strip())
    allowed = "two lengths, for example 28 ft x 24 ft"
    if len(parts) != 2:
        raise QuantityError(text, allowed)
    unit = leading_number(parts[1], "length")[1].strip()
    first, second = _with_unit_of(parts[0], unit, "length"), parse(parts[1], "length")
    if not all(SMALLEST <= length <= LARGEST for length in (first, second)):
        raise QuantityError(text, "two lengths above 0, for example 28 ft x 24 ft")
    return first, second


@_of_the_whole
def cross_section(text: str) -> tuple[float | None, float | None, float | None]:
    """A duct's or grille's size as (diameter, width, height) [m]: `10 in round` or `14 in x 8 in`; the others None.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        neither form reads, or a length is not above 0.
    """
    match = re.fullmatch(r"(.*\S)\s+round", text.strip(), re.IGNORECASE | re.DOTALL)
    if match:
        diameter = parse(match[1], "length")
        if not SMALLEST <= diameter <= LARGEST:
            raise QuantityError(text, "a diameter above 0")
        return diameter, None, None
    if re.search(r"\s(?:x|X|by)\s|×", text):
        width, height = pair(text)
        return None, width, height
    raise QuantityError(text, "10 in round, or 14 in x 8 in")


@_of_the_whole
def at(text: str, first: str, second: str) -> tuple[float, float]:
    """Two quantities joined by `at`: `4 cfm at 25 Pa`, `0.08 inwc at 500 cfm` [SI of each dimension].

    Parameters
    ----------
    text : str
        what was typed [-]
    first, second : str
        keys of `units.UNITS` [-]

    Raises
    ------
    QuantityError
        the two do not read, or one is negative.
    """
    parts = re.split(r"\s+at\s+|\s*@\s*", text.strip())
    if len(parts) != 2:
        example = "4 cfm at 25 Pa" if first == "flow" else "0.08 inwc at 500 cfm"
        raise QuantityError(text, f"a {first} at a {second}, for example {example}")
    one, other = parse(parts[0], first), parse(parts[1], second)
    most = {"flow": MOST_FLOW, "pressure": 1e5}
    least = {"flow": LEAST_FLOW, "pressure": 0.01}
    if not 0 <= one <= most[first] or not least[second] <= other <= most[second]:
        raise QuantityError(text, f"a {first} of 0 or more at a {second} above 0")
    return one, other


def after_word(text: str, words: tuple[str, ...], dimension: str) -> float:
    """A quantity that may have words before it: `up to 1200 cfm`, `at least 400 cfm` [SI].

    Parameters
    ----------
    text : str
        what was typed [-]
    words : tuple of str
        what may stand before the quantity [-]
    dimension : str
        a key of `units.UNITS` [-]

    Raises
    ------
    QuantityError
        what follows the words is no such quantity.
    """
    rest = text.strip()
    for word in words:
        if rest.lower().startswith(word + " "):
            rest = rest[len(word) :]
            break
    try:
        return parse(rest, dimension)
    except QuantityError:
        raise QuantityError(text, f"{expected(dimension)}; {words[0]} may stand before it") from None


@_of_the_whole
def undercut(text: str) -> tuple[float, bool]:
    """The gap under a door [m] and whether carpet blocks it: `3/4 in`, `3/8 in over carpet`.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        this is no length of 0 or more.
    """
    body = re.sub(r"\s+over\s+carpet\s*$", "", text, flags=re.IGNORECASE)
    gap = parse(body, "length")
    if not 0 <= gap <= 1:
        raise QuantityError(text, "a gap of 0 or more, for example 3/4 in, or 3/8 in over carpet")
    return gap, body != text


@_of_the_whole
def straight(text: str) -> tuple[float, float]:
    """A straight piece of duct: its length and its rise [m]: `9 ft`, `9 ft up`, `6 ft down`.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        this is no length of 0 or more.
    """
    match = re.fullmatch(r"(.*\S)\s+(up|down)", text.strip(), re.IGNORECASE | re.DOTALL)
    length = parse(match[1] if match else text, "length")
    if not 0 <= length <= LARGEST:
        raise QuantityError(text, "a length of 0 or more, for example 9 ft, or 9 ft up")
    rise = 0.0 if not match else length if match[2].lower() == "up" else -length
    return length, rise


@_of_the_whole
def wind_speed(text: str) -> tuple[float, float]:
    """A wind to reckon with, from low to high [m/s]: `0 to 15 mph`, `10 mph`.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        this is no range of speeds of 0 or more.
    """
    value = uncertain(text, "speed")
    if value.low < 0 or value.high > FASTEST_WIND:
        raise QuantityError(text, "speeds of 0 or more, for example 0 to 15 mph")
    return value.low, value.high


def direction(text: str) -> float | None:
    """A direction [degrees clockwise from north], None for any: `any`, `south-west`, `225 deg`.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        neither a compass word nor an angle.
    """
    word = re.sub(r"[\s-]+", "-", text.strip().lower())
    if word == "any":
        return None
    if word in DIRECTIONS:
        return DIRECTIONS[word]
    try:
        return parse(text, "angle") % 360
    except QuantityError:
        raise QuantityError(text, "any, a compass word such as south-west, or an angle such as 225 deg") from None


@_of_the_whole
def plus_minus(text: str) -> float:
    """A half-range [-]: `+-10 %`, `10 %`.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        this is no share from 0 to 100 %.
    """
    share = parse(_PLUS_MINUS.sub("", text.strip(), count=1), "fraction")
    if not 0 <= share < 1:
        raise QuantityError(text, "a share from 0 to under 100 %, for example +-10 %")
    return share


@_of_the_whole
def knob(text: str) -> float:
    """How far the knob stands from the edge of the leaf [m]: `2 3/4 in from edge`.

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        this is no length of 0 or more.
    """
    length = parse(re.sub(r"\s+from\s+(the\s+)?edge\s*$", "", text, flags=re.IGNORECASE), "length")
    if length < 0:
        raise QuantityError(text, "a length of 0 or more, for example 2 3/4 in from edge")
    return length


def stands(text: str) -> tuple[str, float | None]:
    """How an opening stands: `shut`, `open`, or a position such as `6 in` [m] (then the word is the text itself).

    Parameters
    ----------
    text : str
        what was typed [-]

    Raises
    ------
    QuantityError
        neither of these.
    """
    word = " ".join(text.lower().split())
    if word in ("shut", "open"):
        return word, None
    try:
        position = parse(text, "length")
    except QuantityError:
        position = -1.0
    if position < 0:
        raise QuantityError(text, "shut, open, or how far, for example 6 in")
    return " ".join(text.split()), position
