"""Short phrases of the trade: each way of saying, and what is refused with what may stand there."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import QuantityError
from airledger.io import phrases

CFM = 0.3048**3 / 60


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("28 ft x 24 ft", (28, 24)),
        ("28 x 24 ft", (28, 24)),
        ("28 ft by 24 ft", (28, 24)),
        ("28 ft × 24 ft", (28, 24)),
        ("7 ft 6 in x 3 ft", (7.5, 3)),
    ],
)
def test_pair(text: str, ends: tuple[float, float]) -> None:
    assert phrases.pair(text) == pytest.approx(tuple(0.3048 * end for end in ends))


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("10 in round", (0.254, None, None)),
        ("250 mm Round", (0.25, None, None)),
        ("14 in x 8 in", (None, 0.3556, 0.2032)),
        ("14 x 8 in", (None, 0.3556, 0.2032)),
    ],
)
def test_cross_section(text: str, size: tuple[float | None, ...]) -> None:
    assert phrases.cross_section(text) == pytest.approx(size)


def test_a_flow_at_a_pressure_and_a_pressure_at_a_flow() -> None:
    assert phrases.at("4 cfm at 25 Pa", "flow", "pressure") == pytest.approx((4 * CFM, 25))
    assert phrases.at("4 cfm @ 25 Pa", "flow", "pressure") == pytest.approx((4 * CFM, 25))
    assert phrases.at("0.08 inwc at 500 cfm", "pressure", "flow") == pytest.approx((0.08 * 249.0889, 500 * CFM))


def test_undercut_straight_knob_and_half_range() -> None:
    assert phrases.undercut("3/4 in") == (pytest.approx(0.01905), False)
    assert phrases.undercut("3/8 in over carpet") == (pytest.approx(0.009525), True)
    assert phrases.straight("9 ft") == pytest.approx((2.7432, 0))
    assert phrases.straight("9 ft up") == pytest.approx((2.7432, 2.7432))
    assert phrases.straight("9 ft down") == pytest.approx((2.7432, -2.7432))
    assert phrases.knob("2 3/4 in from the edge") == phrases.knob("2 3/4 in") == pytest.approx(0.06985)
    assert (
        phrases.plus_minus("+-10 %") == phrases.plus_minus("±10 %") == phrases.plus_minus("10 %") == pytest.approx(0.1)
    )


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("any", None),
        ("north", 0),
        ("East", 90),
        ("south-west", 225),
        ("south west", 225),
        ("225 deg", 225),
        ("-90 deg", 270),
        ("360 deg", 0),
    ],
)
def test_direction(text: str, degrees: float | None) -> None:
    assert phrases.direction(text) == degrees


@pytest.mark.parametrize(
    ("text", "expected"),
    [("shut", ("shut", None)), ("Open", ("open", None)), ("6 in", ("6 in", pytest.approx(0.1524)))],
)
def test_stands(text: str, expected: tuple[str, float | None]) -> None:
    assert phrases.stands(text) == expected


def test_words_before_a_flow_may_be_left_out() -> None:
    assert phrases.after_word("up to 1200 cfm", ("up to",), "flow") == phrases.after_word(
        "1200 cfm", ("up to",), "flow"
    )


@pytest.mark.parametrize(
    ("reader", "text"),
    [
        (phrases.pair, "28 ft"),
        (phrases.pair, "28 ft x 24"),
        (phrases.pair, "0 ft x 24 ft"),
        (phrases.pair, "1 ft x 2 ft x 3 ft"),
        (phrases.cross_section, "10 in"),
        (phrases.cross_section, "0 in round"),
        (phrases.cross_section, "round"),
        (phrases.cross_section, "-4 in x 3 in"),
        (phrases.undercut, "-1 in"),
        (phrases.undercut, "over carpet"),
        (phrases.straight, "9 ft left"),
        (phrases.straight, "-9 ft"),
        (phrases.knob, "-1 in"),
        (phrases.plus_minus, "100 %"),
        (phrases.plus_minus, "-10 %"),
        (phrases.plus_minus, "10"),
        (phrases.direction, "upwards"),
        (phrases.wind_speed, "-1 to 3 mph"),
        (phrases.wind_speed, "calm"),
        (phrases.stands, "ajar"),
        (phrases.stands, "-2 in"),
        (phrases.tightness, "1.1"),
        (phrases.tightness, "0 ach50"),
        (phrases.tightness, "-1 ach50"),
        (phrases.tightness, "1.8 to 0.6 ach50"),
        (phrases.tightness, "0.6 to 1.8 ach50 (likely 2)"),
        (phrases.tightness, "0.6 to 1.0 to 1.8 ach50"),
        (phrases.tightness, "1.1 ach50 +- 200 %"),
        (phrases.tightness, "1.1 ach50 +- -10 %"),
        (phrases.tightness, "1e308 to 1.7e308 ach50"),
        (phrases.tightness, "1 ach50 to 300 cfm50"),
    ],
)
def test_what_cannot_be_read_says_what_can(reader: object, text: str) -> None:
    assert callable(reader)
    with pytest.raises(QuantityError) as refused:
        reader(text)
    assert refused.value.text == text
    assert refused.value.expected


@pytest.mark.parametrize(
    "text", ["4 cfm", "4 cfm at 0 Pa", "-4 cfm at 25 Pa", "4 Pa at 25 cfm", "4 cfm at 25 Pa at 3 Pa"]
)
def test_a_leak_needs_both_sides(text: str) -> None:
    with pytest.raises(QuantityError):
        phrases.at(text, "flow", "pressure")


@given(st.floats(0.05, 50), st.floats(0, 50), st.floats(0, 1))
def test_a_range_reads_back(low: float, width: float, part: float) -> None:
    high = low + width
    likely = min(high, low + part * width)
    value, unit = phrases.tightness(f"{low!r} to {high!r} ach50 (likely {likely!r})")
    assert (value.low, value.likely, value.high, unit) == (low, likely, high, "ach50")


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    for reader in (
        phrases.tightness,
        phrases.pair,
        phrases.cross_section,
        phrases.direction,
        phrases.stands,
        phrases.straight,
    ):
        try:
            reader(text)
        except QuantityError as refused:
            assert refused.expected  # noqa: PT017 - whatever the text, the refusal says what may stand there
