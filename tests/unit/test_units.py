"""Quantities as people say them. Published beside: scipy.constants (CODATA, NIST SP 811), a general-purpose library."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from airledger.errors import QuantityError
from airledger.units import GALLON, PINT, UNITS, expected, leading_number, parse


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("1 ft", "length", constants.foot),
        ("1 in", "length", constants.inch),
        ("1 ft2", "area", constants.foot**2),
        ("1 ft3", "volume", constants.foot**3),
        ("1 cfm", "flow", constants.foot**3 / constants.minute),
        ("1 L/s", "flow", constants.liter),
        ("1 m3/h", "flow", 1 / constants.hour),
        ("1 mph", "speed", constants.mph),
        ("1 km/h", "speed", constants.kmh),
        ("1 fpm", "speed", constants.foot / constants.minute),
        ("1 lbf", "force", constants.lbf),
        ("1 Btu/h", "power", constants.Btu / constants.hour),
        ("1 h", "time", constants.hour),
        ("1 mbar", "pressure", 100.0),
        ("1 kPa", "pressure", constants.kilo),
    ],
)
def test_units_equal_those_of_scipy(text: str, dimension: str, value: float) -> None:
    assert parse(text, dimension) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("fahrenheit", [-40.0, 0.0, 32.0, 93.0, 212.0])
def test_temperatures_equal_those_of_scipy(fahrenheit: float) -> None:
    celsius = constants.convert_temperature(fahrenheit, "F", "C")
    assert parse(f"{fahrenheit} F", "temperature") == pytest.approx(celsius, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "printed"),
    [("1 inwc", 249.0889), ("1 inHg", 3386.389)],  # NIST SP 811 appendix B.8: 2.490 889 E+02 and 3.386 389 E+03 Pa
)
def test_columns_of_water_and_mercury_are_the_conventional_ones(text: str, printed: float) -> None:
    assert parse(text, "pressure") == printed


def test_gallon_and_pint_are_the_us_liquid_ones() -> None:
    assert pytest.approx(constants.gallon_US) == GALLON
    assert pytest.approx(constants.gallon_US / 8) == PINT


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("7 ft 6 in", 90),
        ("7 ft", 84),
        ("7ft 6in", 90),
        ("7ft6in", 90),
        ("7 feet 6 inches", 90),
        ("7'6\"", 90),
        ("7'-6\"", 90),
        ("7' 6 1/2\"", 90.5),
        ("7 ft 6 1/2 in", 90.5),
        ("1 1/2 in", 1.5),
        ("1-1/2 in", 1.5),
        ("1½ in", 1.5),
        ("1 ½ in", 1.5),
        ("¾ in", 0.75),
        ("3/4 in", 0.75),
        ("2 3/4 in", 2.75),
        ("-8 ft 6 in", -102),
        ("−8 ft", -96),
        ("0 ft", 0),
        (".5 in", 0.5),
        ("1,200 ft", 14_400),
        ("  9   FT ", 108),
        ("1e1 in", 10),
    ],
)
def test_lengths_are_said_in_these_ways(text: str, inches: float) -> None:
    assert parse(text, "length") == pytest.approx(inches * 0.0254, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("600 cfm", "flow", 600 * 0.3048**3 / 60),
        ("1,200 CFM", "flow", 1200 * 0.3048**3 / 60),
        ("30 L/s", "flow", 0.03),
        ("-5 Pa", "pressure", -5),
        ("−5 Pa", "pressure", -5),
        ("0.25 in w.c.", "pressure", 62.272225),
        ("0.25  inwc", "pressure", 62.272225),
        ("55 %", "fraction", 0.55),
        ("55%", "fraction", 0.55),
        ("90 deg", "angle", 90),
        ("20 minutes", "time", 1200),
        ("40 min/day", "use", 40 * 60 * 365),
        ("40 minutes a day", "use", 40 * 60 * 365),
        ("60 h/year", "use", 216_000),
        ("1.1 ACH50", "tightness", 1.1),
        ("0.65", "plain number", 0.65),
        ("93°F", "temperature", 305 / 9),
    ],
)
def test_quantities_are_said_in_these_ways(text: str, dimension: str, value: float) -> None:
    assert parse(text, dimension) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("600", "flow"),
        ("10", "length"),
        ("", "length"),
        ("cfm", "flow"),
        ("600 cfmm", "flow"),
        ("600 Pa", "flow"),
        ("12,00 cfm", "flow"),
        ("1,2 cfm", "flow"),
        ("nan Pa", "pressure"),
        ("inf Pa", "pressure"),
        ("1e999 Pa", "pressure"),
        ("1e308 h/week", "use"),
        ("1/0 in", "length"),
        ("5 m 6 in", "length"),
        ("5 ft 12 in", "length"),
        ("5 ft 13 in", "length"),
        ("5 ftx", "length"),
        ("1 2 in", "length"),
        ("7 ft 6", "length"),
        ("7 ft 6 ft", "length"),
        ("- 5 Pa", "pressure"),
        ("5 5 Pa", "pressure"),
        ("٣ Pa", "pressure"),
        ("0x10 Pa", "pressure"),
        ("1_000 cfm", "flow"),
        ("0.65 x", "plain number"),
        ("ten ft", "length"),
        ("1..2 m", "length"),
        ("5 Pa Pa", "pressure"),
    ],
)
def test_what_is_no_quantity_says_what_is(text: str, dimension: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension)
    assert caught.value.text == text
    assert caught.value.expected


@pytest.mark.parametrize("dimension", [name for name in UNITS if name != "plain number"])
def test_each_dimension_says_units_that_it_reads(dimension: str) -> None:
    words = expected(dimension).rpartition("one of: ")[2].split(", ")
    assert {word.lower() for word in words} <= set(UNITS[dimension])


def test_a_plain_number_is_said_to_have_no_unit() -> None:
    assert expected("plain number") == "a plain number, without a unit"


@given(st.floats(-1e6, 1e6), st.sampled_from([(d, u) for d, units in UNITS.items() for u in units if u]))
def test_a_number_and_a_unit_read_back_by_factor_and_offset(number: float, where: tuple[str, str]) -> None:
    dimension, unit = where
    factor, offset = UNITS[dimension][unit]
    assert parse(f"{number!r} {unit}", dimension) == pytest.approx(number * factor + offset, rel=1e-12, abs=1e-15)


@given(st.integers(0, 5000), st.integers(0, 191))
def test_feet_inches_and_sixteenths_add_up(feet: int, sixteenths: int) -> None:
    whole, part = divmod(sixteenths, 16)
    text = f"{feet} ft {whole} {part}/16 in" if part else f"{feet} ft {whole} in"
    assert parse(text, "length") == pytest.approx((feet * 12 + sixteenths / 16) * 0.0254)


@given(st.text(max_size=30), st.sampled_from(sorted(UNITS)))
def test_any_text_is_read_or_refused(text: str, dimension: str) -> None:
    try:
        assert math.isfinite(parse(text, dimension))
    except QuantityError as refused:
        assert refused.text == text  # noqa: PT017 - whatever the text, what is refused is named


def test_a_leading_number_leaves_the_rest() -> None:
    assert leading_number("3/4 in of gap", "length") == (0.75, " in of gap")
    assert leading_number("12 in", "length") == (12.0, " in")
