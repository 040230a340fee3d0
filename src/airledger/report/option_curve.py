"""House pressure against the size of one make-up opening, with the band of tightness not known yet.

The pressure axis is the tape of the first page hung on the wall: zero at the top, square-root scale, deeper is harder
pulled. Below the sizes stands what each comes to: its pascals at the likely tightness and its price.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from airledger.quantities import QUANTITIES, number
from airledger.report import look
from airledger.report.pressure_tape import ENDS, Gate, pascals_text
from airledger.report.svg import Drawing, Letters, Point, Stroke, solid
from airledger.report.text_width import width

Series = Sequence[tuple[float, float]]
LEFT, RIGHT, TOP, DEPTH, STRIP = 58.0, look.WIDTH - 168.0, 30.0, 216.0, 18.0
WRITTEN = (0, 1, 2, 5, 10, 20, 30, 50, 75, 100, 150, 200, 300, 500, 750, 1000)


@dataclass(frozen=True)
class Axes:
    """Where a diameter [m] and a pressure [Pa] lie in the picture."""

    smallest: float
    largest: float
    deepest: float

    def x(self, diameter: float) -> float:
        """The position of a diameter across.

        Parameters
        ----------
        diameter : float
            of the opening
        """
        span = self.largest - self.smallest or 1.0
        return LEFT + 16 + (RIGHT - LEFT - 32) * (diameter - self.smallest) / span

    def y(self, pascals: float) -> float:
        """The depth of a pressure; a house pushed up is drawn at zero.

        Parameters
        ----------
        pascals : float
            inside minus outdoors
        """
        return TOP + DEPTH * math.sqrt(max(0.0, -pascals) / self.deepest)


def option_curve(
    series: Mapping[str, Series], gates: Sequence[Gate], prices: Mapping[float, float], system: str
) -> str:
    """The picture as SVG.

    Parameters
    ----------
    series : mapping
        "likely", "tight", "loose" -> (diameter, pressure) points in rising diameter; only "likely" must be there
    gates : sequence of Gate
        limits of the house pressure, the last one being the one that must hold
    prices : mapping
        diameter -> price of the opening of that size
    system : str
        ``ip`` or ``si``
    """
    return drawing(series, gates, prices, system).svg()


def drawing(series: Mapping[str, Series], gates: Sequence[Gate], prices: Mapping[float, float], system: str) -> Drawing:
    """The picture, still open to be measured.

    Parameters
    ----------
    series : mapping
        "likely", "tight", "loose" -> (diameter, pressure) points
    gates : sequence of Gate
        limits of the house pressure
    prices : mapping
        diameter -> price
    system : str
        ``ip`` or ``si``
    """
    points = [point for line in series.values() for point in line]
    deepest = max([-p for _, p in points] + [-1.15 * gate.pascals for gate in gates])
    end = next((value for value in ENDS if value >= 1.02 * deepest), deepest)
    axes = Axes(min(d for d, _ in points), max(d for d, _ in points), end)
    picture = Drawing("curve", "House pressure against the size of one make-up opening")
    picture.text((0, 13), "how hard the house is pulled", Letters(look.SMALL, look.GREY))
    _limit(picture, axes, gates)
    _rule(picture, axes)
    _band(picture, axes, series)
    _ends(picture, axes, series)
    picture.height = _strip(picture, axes, series["likely"], prices, system)
    return picture


def _rule(picture: Drawing, axes: Axes) -> None:
    """The hung tape: zero at its case on top."""
    picture.rectangle((LEFT - 38, TOP), (38, DEPTH), Stroke())
    picture.rectangle((LEFT - 42, TOP - 14), (46, 14), solid(), 3)
    picture.text((LEFT - 19, TOP - 3.5), "0", Letters(look.SMALL, look.PAPER, True, "middle"))
    above = TOP
    for value in (mark for mark in WRITTEN if 0 < mark <= axes.deepest):
        y = axes.y(-value)
        last = value == axes.deepest
        if y - above < 14 or (TOP + DEPTH - y < 15 and not last):
            continue
        above = y
        picture.line((LEFT - 8, y), (LEFT, y))
        picture.text(
            (LEFT - 11, y + (3.5 if not last else -3)),
            number(-value, "house pressure", "ip", 0),
            Letters(look.SMALL, anchor="end"),
        )
    picture.unit((LEFT - 19, TOP + DEPTH + STRIP), "Pa", "middle")


def _limit(picture: Drawing, axes: Axes, gates: Sequence[Gate]) -> None:
    """Limits as lines across; past the last one the sheet is hatched."""
    for place, gate in enumerate(gates):
        y = axes.y(gate.pascals)
        last = place == len(gates) - 1
        if last:
            picture.rectangle(
                (LEFT, y), (RIGHT - LEFT, TOP + DEPTH - y), Stroke(weight=0, fill=picture.hatch(9, look.RULE))
            )
        picture.line((LEFT, y), (RIGHT, y), Stroke(weight=look.LINE, dash="" if last else look.DASH))
        words = f"{gate.name} {pascals_text(gate.pascals)}"
        picture.text((LEFT + 7, y - 4), words, Letters(look.SMALL, strong=last))


def _band(picture: Drawing, axes: Axes, series: Mapping[str, Series]) -> None:
    """The band between a tight and a loose house, and the likely line with a dot at each size."""
    tight, loose = series.get("tight", ()), series.get("loose", ())
    if tight and loose:
        edge: list[Point] = [(axes.x(d), axes.y(p)) for d, p in tight]
        back: list[Point] = [(axes.x(d), axes.y(p)) for d, p in loose]
        picture.shape([*edge, *reversed(back)], Stroke(weight=0, fill="#dcdcdc"))
        for line in (edge, back):
            picture.shape(line, Stroke(weight=look.HAIR), closed=False)
    likely = [(axes.x(d), axes.y(p)) for d, p in series["likely"]]
    picture.shape(likely, Stroke(weight=look.HEAVY), closed=False)
    for x, y in likely:
        picture.rectangle((x - 2.6, y - 2.6), (5.2, 5.2), Stroke(fill=look.PAPER))


def _ends(picture: Drawing, axes: Axes, series: Mapping[str, Series]) -> None:
    """Names at the right end of each line, pushed apart where the lines meet."""
    words = {"loose": "if the house is loose", "likely": "likely", "tight": "if it is very tight"}
    at = {name: axes.y(series[name][-1][1]) for name in ("loose", "likely", "tight") if series.get(name)}
    base = -math.inf
    for name in sorted(at, key=lambda name: at[name]):
        base = max(at[name] + 4, base + 15)
        x = axes.x(series[name][-1][0])
        picture.line((x + 4, at[name]), (RIGHT + 8, base - 4), Stroke(look.GREY, look.HAIR))
        figure = pascals_text(series[name][-1][1])
        wide = picture.text((RIGHT + 12, base), words[name], Letters(strong=name == "likely"))
        picture.text((RIGHT + 17 + wide, base), figure, Letters(strong=True))


def _strip(picture: Drawing, axes: Axes, likely: Series, prices: Mapping[float, float], system: str) -> float:
    """Under each size its pascals and its price; sizes too close to be read are left out, the largest never."""
    foot = TOP + DEPTH
    picture.line((LEFT, foot), (RIGHT, foot), Stroke(weight=look.HEAVY))
    unit = QUANTITIES["small length"].shown(system).unit
    priced = {diameter: _price(prices, diameter) for diameter, _ in likely}
    heads = [f"{unit} across", "Pa, likely", *(["price"] if any(priced.values()) else [])]
    for row, head in enumerate(heads):
        picture.unit((RIGHT + 12, foot + STRIP * (row + 1)), head)
    before = math.inf
    for diameter, pascals in reversed(likely):
        size = number(diameter, "small length", system, 0) if diameter else "none"
        cells = [size, pascals_text(pascals), *([priced[diameter]] if len(heads) > 2 else [])]
        x, wide = axes.x(diameter), max(width(cell, look.TEXT, True) for cell in cells)
        if x + wide / 2 + 5 > before:
            continue
        before = x - wide / 2
        picture.line((x, foot), (x, foot + 5))
        for row, cell in ((row, cell) for row, cell in enumerate(cells) if cell):
            picture.text((x, foot + STRIP * (row + 1)), cell, Letters(strong=row == 0, anchor="middle"))
    return foot + STRIP * len(heads) + 8


def _price(prices: Mapping[float, float], diameter: float) -> str:
    for size, price in prices.items():
        if abs(size - diameter) < 1e-6:
            return f"${number(price, 'money', 'ip')}"
    return ""
