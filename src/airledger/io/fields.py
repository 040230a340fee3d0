"""Field types of the house file's forms: text as typed -> value in SI, with what is allowed said in the fault."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from airledger.errors import QuantityError
from airledger.io import phrases
from airledger.io.phrases import LEAST_FLOW, MOST_FLOW, SMALLEST
from airledger.physics.duct_friction import GREATEST_COMPRESSION
from airledger.uncertain import Uncertain
from airledger.units import expected, parse

LONGEST_NAME = 60
LONGEST_VALUE = 500


def fault(problem: str, allowed: str = "", nearest: str = "") -> PydanticCustomError:
    """A fault of one value, for a validator to raise.

    Parameters
    ----------
    problem : str
        what is wrong [-]
    allowed : str
        what may stand there [-]
    nearest : str
        the nearest valid word [-]
    """
    return PydanticCustomError("house_file", "{problem}", {"problem": problem, "allowed": allowed, "nearest": nearest})


def nearest(word: str, words: list[str] | tuple[str, ...]) -> str:
    """The valid word most like the one typed, empty where none is near.

    Parameters
    ----------
    word : str
        what was typed [-]
    words : list of str
        what may be typed [-]
    """
    lowered = {candidate.lower(): candidate for candidate in reversed(words[:400])}
    found = difflib.get_close_matches(word.lower()[:80], lowered, n=1, cutoff=0.6)
    return lowered[found[0]] if found else ""


@dataclass(frozen=True)
class Typed:
    """A value read from text by a reader. form: how it is said, for the schema and the faults."""

    reader: Callable[[str], Any]
    form: str
    example: str = ""

    def read(self, value: Any) -> Any:
        """The value in SI.

        Parameters
        ----------
        value : str
            what was typed [-]

        Raises
        ------
        PydanticCustomError
            what stands there cannot be read.
        """
        if value is None:
            raise fault("nothing stands here", self.form)
        if not isinstance(value, str):
            raise fault("a single value is wanted here, not a block", self.form)
        if len(value) > LONGEST_VALUE:  # the readers' patterns are made for a person's line
            raise fault(f"{len(value):,} characters are no single value", self.form)
        try:
            return self.reader(value)
        except QuantityError as problem:
            raise fault(f"cannot read {value[:60]!r}", problem.expected) from None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        plain_number = re.fullmatch(r"[\d.]+", self.example) is not None
        said: dict[str, Any] = {"type": ["string", "number"] if plain_number else "string", "description": self.form}
        if self.example:
            said["examples"] = [self.example]
        return said


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _quantity(
    dimension: str, example: str, low: float | None = None, high: float | None = None, above: bool = False
) -> Typed:
    """A quantity between two SI values; of a tiny low end `above` says only that the value is above 0."""

    def read(text: str) -> float:
        value = parse(text, dimension)
        if low is not None and value < low:
            raise QuantityError(
                text, f"{_a(dimension)} {'above 0' if above else f'of at least {low:g}'}, for example {example}"
            )
        if high is not None and value > high:
            raise QuantityError(text, f"{_a(dimension)} that a house can have, for example {example}")
        return value

    return Typed(read, expected(dimension), example)


def word(*words: str) -> Typed:
    """A field that takes one of some words.

    Parameters
    ----------
    words : str
        the words [-]
    """

    def read(text: str) -> str:
        word = " ".join(text.lower().split())
        if word not in words:
            raise fault(f"{text[:60]!r} is not known here", ", ".join(words), nearest(text, words))
        return word

    return Typed(read, "one of: " + ", ".join(words), words[0])


def _text(text: str) -> str:
    cleaned = " ".join(text.split())
    if not cleaned:
        raise fault("nothing stands here", "words")
    return cleaned


def _name(text: str) -> str:
    if text != text.strip() or "/" in text or any(character < " " for character in text) or len(text) > LONGEST_NAME:
        raise fault(
            f"{text[:60]!r} is no name", f"a name of up to {LONGEST_NAME} characters on one line, without a slash"
        )
    return _text(text)


Text = Annotated[str, Typed(_text, "words")]
Name = Annotated[str, Typed(_name, "a name")]
Length = Annotated[float, _quantity("length", "7 ft 6 in", 0, 3000)]
Height = Annotated[float, _quantity("length", "-8 ft", -1000, 3000)]
Elevation = Annotated[float, _quantity("length", "700 ft", -450, 6000)]
PositiveLength = Annotated[float, _quantity("length", "9 ft", SMALLEST, 3000, above=True)]
Area = Annotated[float, _quantity("area", "70 ft2", 0.01, 1e6, above=True)]
FreeArea = Annotated[float, _quantity("area", "5 ft2", 0, 1e6)]
Volume = Annotated[float, _quantity("volume", "25000 ft3", 0.01, 1e7, above=True)]
Flow = Annotated[float, _quantity("flow", "600 cfm", 0, MOST_FLOW)]
PositiveFlow = Annotated[float, _quantity("flow", "600 cfm", LEAST_FLOW, MOST_FLOW, above=True)]
Pressure = Annotated[float, _quantity("pressure", "-10 Pa", -1e5, 1e5)]
PositivePressure = Annotated[float, _quantity("pressure", "5 Pa", 0, 1e5)]
Temperature = Annotated[float, _quantity("temperature", "78 F", -60, 70)]
Humidity = Annotated[float, _quantity("fraction", "50 %", 0, 1)]
Share = Annotated[float, _quantity("fraction", "30 %", 0, 1)]
Compression = Annotated[float, _quantity("fraction", "4 %", 0, GREATEST_COMPRESSION)]
FreeShare = Annotated[float, _quantity("fraction", "65 %", 0.001, 1, above=True)]
Angle = Annotated[float, _quantity("angle", "90 deg", 0, 180)]
Bearing = Annotated[float, _quantity("angle", "20 deg", -360, 360)]
Force = Annotated[float, _quantity("force", "5 lbf", 0, 1e5)]
Power = Annotated[float, _quantity("power", "5 kW", 0, 1e7)]
Time = Annotated[float, _quantity("time", "20 min", 0, 1e6)]
Loss = Annotated[float, _quantity("plain number", "1.5", 0, 1e4)]
Use = Annotated[float, _quantity("use", "40 min/day", 0, 8784 * 3600)]
Money = Annotated[float, _quantity("plain number", "210", 0, 1e9)]

Tightness = Annotated[tuple[Uncertain, str], Typed(phrases.tightness, "0.6 to 1.8 ach50 (likely 1.1), or 300 cfm50")]
Size = Annotated[tuple[float, float], Typed(phrases.pair, "28 ft x 24 ft", "28 ft x 24 ft")]
CrossSection = Annotated[
    tuple[float | None, float | None, float | None],
    Typed(phrases.cross_section, "10 in round, or 14 in x 8 in", "10 in round"),
]
FlowAtPressure = Annotated[
    tuple[float, float],
    Typed(lambda text: phrases.at(text, "flow", "pressure"), "a flow at a pressure", "4 cfm at 25 Pa"),
]
PressureAtFlow = Annotated[
    tuple[float, float],
    Typed(lambda text: phrases.at(text, "pressure", "flow"), "a pressure at a flow", "0.08 inwc at 500 cfm"),
]
Undercut = Annotated[tuple[float, bool], Typed(phrases.undercut, "3/4 in, or 3/8 in over carpet", "3/4 in")]
Straight = Annotated[tuple[float, float], Typed(phrases.straight, "9 ft, or 9 ft up", "9 ft")]
WindSpeed = Annotated[tuple[float, float], Typed(phrases.wind_speed, "0 to 15 mph", "0 to 15 mph")]
Direction = Annotated[float | None, Typed(phrases.direction, "any, a compass word, or 225 deg", "any")]
Stands = Annotated[tuple[str, float | None], Typed(phrases.stands, "shut, open, or how far: 6 in", "shut")]
Mismatch = Annotated[float, Typed(phrases.plus_minus, "+-10 %", "+-10 %")]
Knob = Annotated[float, Typed(phrases.knob, "2 3/4 in from edge", "2 3/4 in from edge")]
UpTo = Annotated[float, Typed(lambda text: _above_zero(text, "up to"), "up to 1200 cfm", "up to 1200 cfm")]
AtLeast = Annotated[float, Typed(lambda text: _above_zero(text, "at least"), "at least 400 cfm", "at least 400 cfm")]


def _above_zero(text: str, word: str) -> float:
    value = phrases.after_word(text, (word,), "flow")
    if not LEAST_FLOW <= value <= MOST_FLOW:
        raise QuantityError(text, f"a flow above 0, for example {word} 1200 cfm")
    return value


def _exponent(text: str) -> Uncertain:
    value = phrases.uncertain(text, "plain number")
    if not value.low >= 0.5 or not value.high <= 1:
        raise QuantityError(text, "a pressure exponent from 0.5 to 1, for example 0.65 or 0.65 +- 0.05")
    return value


def _whole(text: str) -> int:
    stripped = text.strip()
    if not (stripped.isascii() and stripped.isdigit() and int(stripped[:6]) <= 1000 and len(stripped) <= 4):
        raise QuantityError(text, "a whole number, for example 3")
    return int(stripped)


def _year(text: str) -> int:
    stripped = text.strip()
    if not (len(stripped) == 4 and stripped.isascii() and stripped.isdigit() and 1500 <= int(stripped) <= 2100):
        raise QuantityError(text, "a year, for example 1962")
    return int(stripped)


Exponent = Annotated[Uncertain, Typed(_exponent, "a pressure exponent from 0.5 to 1: 0.65, or 0.65 +- 0.05", "0.65")]
Whole = Annotated[int, Typed(_whole, "a whole number", "3")]
Year = Annotated[int, Typed(_year, "the year in which it was built", "1962")]


def _alias(name: str) -> str:
    return name.rstrip("_").replace("_", " ")


class Form(BaseModel):
    """A block of the house file: known keys only; an underscore in a field's name is a space in the file."""

    # built when a file is first read, the whole house at once: each block for itself would be built twice
    model_config = ConfigDict(
        extra="forbid", frozen=True, alias_generator=_alias, populate_by_name=False, defer_build=True
    )


@dataclass(frozen=True)
class Short:
    """Lets a block be written in a shorter form too. convert: the shorter form -> the block; form: how it is said.

    shape: type of the shorter form in JSON; keyed: words under which the block may stand instead, `gravity: {...}`.
    """

    convert: Callable[[Any], Any]
    form: str
    shape: str = "string"
    keyed: tuple[str, ...] = ()

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self.convert, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        forms: list[dict[str, Any]] = [{"type": self.shape, "description": self.form}, handler(schema)]
        forms += [{"type": "object", "properties": {key: {"type": "object"}}, "required": [key]} for key in self.keyed]
        return {"anyOf": forms}


def short(key: str) -> Short:
    """A block written as one value: `damper: none` for `damper: {kind: none}`.

    Parameters
    ----------
    key : str
        the key that the single value stands for [-]
    """
    return Short(lambda value: {key: value} if isinstance(value, str) else value, f"short for {{{key}: ...}}")
