"""Pictures of a fan test: where a reading lies is where its mark stands, and the wind's band narrows with pressure."""

import math
import re

import pytest

from airledger.report import look
from airledger.report.reading_pictures import DEPTH, LEFT, RIGHT, TALL, TOP, Reading, deviations, logarithms
from airledger.units import CFM

EVEN = [Reading(p, 20 * CFM * p**0.65, 0.0, 0.5 / p, False) for p in (12.0, 25.0, 37.0, 50.0, 60.0)]


def marks(picture):
    """Middle and fill of every mark."""
    found = re.findall(
        r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="[\d.]+"[^>]*fill="([^"]+)"', picture.svg()
    )
    return [(float(x) + float(w) / 2, float(y) + float(w) / 2, fill) for x, y, w, fill in found if float(w) < 10]


def band(picture):
    """Corners of the hatched band."""
    (points,) = re.findall(r'<(?:polygon|path)[^>]*?(?:points|d)="([^"]+)"[^>]*fill="url', picture.svg())
    numbers = [float(part) for part in re.findall(r"-?[\d.]+", points)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def test_a_reading_on_the_fit_stands_on_the_line_and_an_odd_one_is_filled():
    off = Reading(30.0, 0.1, -0.10, 0.01, True)
    found = marks(deviations([*EVEN, off]))
    assert len(found) == 6
    on_line = [y for _, y, fill in found if fill == look.PAPER]
    assert on_line == pytest.approx([TOP + DEPTH / 2] * 5, abs=0.1)
    ((x, y, _),) = [mark for mark in found if mark[2] == look.INK]
    assert x == pytest.approx(LEFT + (RIGHT - LEFT) * 30 / 70, abs=0.1)
    assert y == pytest.approx(TOP + DEPTH / 2 * (1 + 10 / 11.5), abs=0.1)


def test_the_band_of_two_days_is_that_of_the_windier_one():
    quiet = [Reading(one.pressure + 0.5, one.flow, 0.0, one.wind / 9, False) for one in EVEN]
    corners = band(deviations([*EVEN, *quiet]))
    upper = [y for _, y in corners[: len(corners) // 2]]
    assert upper == sorted(upper)  # nearer to the line with every pascal more
    assert len(upper) == 10


def test_without_wind_nothing_is_hatched():
    still = [Reading(one.pressure, one.flow, 0.0, 0.0, False) for one in EVEN]
    assert "hatched" not in deviations(still).svg()
    assert "hatched" in deviations(EVEN).svg()


def test_a_power_law_is_a_straight_line_in_logarithms():
    line = [(one.pressure, one.flow) for one in (EVEN[0], EVEN[-1])]
    found = marks(logarithms(EVEN, line, "ip"))
    (x0, y0, _), (x1, y1, _) = found[0], found[-1]
    for x, y, _ in found[1:-1]:
        assert (y - y0) / (x - x0) == pytest.approx((y1 - y0) / (x1 - x0), rel=2e-2)
    assert all(LEFT < x < RIGHT and TOP < y < TOP + TALL for x, y, _ in found)
    assert math.isfinite(y0)
