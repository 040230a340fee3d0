"""The curve of one opening: deeper is harder pulled, every size ends in its pascals and its price."""

import re

import pytest

from airledger.report.option_curve import Axes, drawing, option_curve
from airledger.report.pressure_tape import Gate
from airledger.units import INCH
from tests.unit.report.boxes import covered, outside

SIZES = (0, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16)
GATES = [Gate(-10, "wanted", ""), Gate(-20, "tolerated", "")]


def line(pull: float) -> tuple[tuple[float, float], ...]:
    return tuple((size * INCH, -pull / (1 + (size / 6) ** 2.6)) for size in SIZES)


SERIES = {"likely": line(62), "tight": line(98), "loose": line(35)}


def texts(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


def test_harder_pulled_is_deeper_and_the_scale_is_the_tapes() -> None:
    axes = Axes(0.1, 0.4, 100)
    assert axes.y(-20) - axes.y(0) == pytest.approx(2 * (axes.y(-5) - axes.y(0)))
    assert axes.y(3) == axes.y(0)


def test_every_size_that_is_shown_carries_its_pascals_and_its_price() -> None:
    svg = option_curve(SERIES, GATES, {10 * INCH: 560.0}, "ip")
    assert {"none", "10", "16", "−62", "$560", "tolerated −20"} <= set(texts(svg))
    assert ">PRICE</tspan>" in svg


def test_without_prices_there_is_no_row_of_prices() -> None:
    assert ">PRICE</tspan>" not in option_curve(SERIES, GATES, {}, "si")
    assert "254" in texts(option_curve(SERIES, GATES, {}, "si"))


@pytest.mark.parametrize("system", ["ip", "si"])
@pytest.mark.parametrize("scale", [0.05, 0.4, 1.0, 6.0])
def test_no_text_covers_another(system: str, scale: float) -> None:
    series = {name: tuple((d, scale * p) for d, p in points) for name, points in SERIES.items()}
    prices = {size * INCH: 1000.0 + 111 * size for size in SIZES}
    picture = drawing(series, [], prices, system)
    assert covered(picture) == []
    assert outside(picture) == []


def test_a_house_whose_tightness_is_known_has_a_line_and_no_band() -> None:
    svg = option_curve({"likely": SERIES["likely"]}, GATES, {}, "ip")
    assert "if it is very tight" not in texts(svg)
    assert svg.count("<polyline") == 1
