"""Outlines of rooms: areas and distances whose answer is plain geometry."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.io.outlines import area, crosses_itself, outline_gap

SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
ANGLE = ((0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0), (1.0, 4.0), (0.0, 4.0))


def moved(outline: tuple[tuple[float, float], ...], x: float, y: float) -> tuple[tuple[float, float], ...]:
    return tuple((a + x, b + y) for a, b in outline)


def test_area_of_a_square_and_of_an_angle() -> None:
    assert (area(SQUARE), area(ANGLE), area(tuple(reversed(ANGLE)))) == (16.0, 7.0, 7.0)


def test_what_crosses_itself_or_encloses_nothing() -> None:
    assert not crosses_itself(SQUARE)
    assert not crosses_itself(ANGLE)
    assert crosses_itself(((0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)))
    assert crosses_itself(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)))


@pytest.mark.parametrize(
    ("x", "y", "gap"),
    [(4, 0, 0.0), (5, 0, 1.0), (0, -7, 3.0), (7, 8, 5.0), (2, 2, 0.0), (4, 4, 0.0)],  # 3-4-5 across the corner
)
def test_the_gap_between_squares(x: float, y: float, gap: float) -> None:
    assert outline_gap(SQUARE, moved(SQUARE, x, y)) == pytest.approx(gap)


@given(st.floats(-20, 20), st.floats(-20, 20))
def test_the_gap_is_the_same_from_both_sides(x: float, y: float) -> None:
    other = moved(ANGLE, x, y)
    assert outline_gap(SQUARE, other) == pytest.approx(outline_gap(other, SQUARE))
    assert outline_gap(SQUARE, other) <= (x**2 + y**2) ** 0.5 + 1e-9
