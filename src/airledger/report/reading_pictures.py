"""Pictures of a fan test: how far each reading lies from the fit, with the wind's band; and both axes in logarithms.

The first leads: it shows at once which reading does not belong and where the wind was stronger than the fan.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from airledger.quantities import QUANTITIES, number
from airledger.report import look
from airledger.report.svg import Drawing, Letters, Point, Stroke

LEFT, RIGHT, TOP, DEPTH = 64.0, look.WIDTH - 24.0, 30.0, 190.0
LEAST_PERCENT = 5.0
TALL = 300.0
DECADE = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)


@dataclass(frozen=True)
class Reading:
    """One reading for a picture.

    pressure [Pa]; flow [m3/s]; deviation, wind [-] shares of the flow; odd: whether it does not belong.
    """

    pressure: float
    flow: float
    deviation: float
    wind: float
    odd: bool


def deviations(readings: Sequence[Reading], name: str = "deviation") -> Drawing:
    """How far each reading lies from the fit in percent, the wind's band hatched behind.

    Parameters
    ----------
    readings : sequence of Reading
        any order
    name : str
        begins the picture's ids
    """
    rising = sorted(readings, key=lambda one: one.pressure)
    widest = max([LEAST_PERCENT, *(100 * abs(one.deviation) for one in rising)])
    top = 1.15 * min(max(widest, *(100 * one.wind for one in rising)), 4 * widest)
    most = 10 * math.ceil(1.02 * rising[-1].pressure / 10)
    picture = Drawing(name, "How far each reading lies from the fit", height=TOP + DEPTH + 34)

    def at(pressure: float, percent: float) -> Point:
        x = LEFT + (RIGHT - LEFT) * pressure / most
        return x, TOP + DEPTH / 2 * (1 - max(-1.0, min(1.0, percent / top)))

    gustiest = max(one.wind * one.pressure for one in rising)  # of two days the windier one, so that the edge is smooth
    band = [(one.pressure, 100 * gustiest / one.pressure) for one in rising]
    if any(share > 0 for _, share in band):
        edge = [at(p, share) for p, share in band] + [at(p, -share) for p, share in reversed(band)]
        picture.shape(edge, Stroke(weight=0, fill=picture.hatch(6, look.RULE)))
        picture.text((RIGHT, TOP + DEPTH - 4), "hatched: the wind alone", Letters(look.SMALL, look.GREY, anchor="end"))
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100) if top / step <= 5)
    for place in range(-int(top / step), int(top / step) + 1):
        y = at(0, place * step)[1]
        picture.line((LEFT - 5, y), (LEFT, y))
        words = f"{place * step:+d}".replace("-", "−") if place else "0"
        picture.text((LEFT - 9, y + 3.5), words, Letters(look.SMALL, anchor="end"))
    picture.unit((LEFT - 9, TOP - 10), "% off the fit", "middle")
    picture.line((LEFT, TOP), (LEFT, TOP + DEPTH))
    picture.line(at(0, 0), at(most, 0), Stroke(weight=look.HEAVY))
    foot = TOP + DEPTH + 16
    for pressure in range(10, int(most) + 1, 10):
        x = at(pressure, 0)[0]
        picture.line((x, TOP + DEPTH), (x, TOP + DEPTH + 4), Stroke(look.GREY, look.HAIR))
        picture.text((x, foot), f"{pressure}", Letters(look.SMALL, anchor="middle"))
    picture.unit((RIGHT, foot + 14), "Pa between inside and outdoors", "end")
    for one in rising:
        _mark(picture, at(one.pressure, 100 * one.deviation), one.odd)
    return picture


def _mark(picture: Drawing, at: Point, odd: bool) -> None:
    size = 8.0 if odd else 6.0
    corner = (at[0] - size / 2, at[1] - size / 2)
    picture.rectangle(corner, (size, size), Stroke(weight=look.LINE, fill=look.INK if odd else look.PAPER))


def logarithms(
    readings: Sequence[Reading], line: Sequence[tuple[float, float]], system: str, name: str = "log"
) -> Drawing:
    """Readings and fit with both axes in logarithms, for the annex.

    Parameters
    ----------
    readings : sequence of Reading
        any order
    line : sequence of tuple
        pressure [Pa] and flow [m3/s] of the fit, rising
    system : str
        ``ip`` or ``si``
    name : str
        begins the picture's ids
    """
    shown = QUANTITIES["air flow"].shown(system)
    pressures = [p for p, _ in line] + [one.pressure for one in readings]
    flows = [q / shown.factor for _, q in line] + [one.flow / shown.factor for one in readings]
    low, high = 0.9 * min(pressures), 1.1 * max(pressures)
    least, most = 0.9 * min(flows), 1.1 * max(flows)
    picture = Drawing(name, "Readings and fit in logarithms", height=TOP + TALL + 34)

    def at(pressure: float, flow: float) -> Point:
        x = LEFT + (RIGHT - LEFT) * math.log(pressure / low) / math.log(high / low)
        return x, TOP + TALL * (1 - math.log(flow / least) / math.log(most / least))

    for pressure in _ticks(low, high):
        x = at(pressure, least)[0]
        picture.line((x, TOP + TALL), (x, TOP + TALL + 4))
        picture.text((x, TOP + TALL + 16), f"{pressure:g}", Letters(look.SMALL, anchor="middle"))
    for flow in _ticks(least, most):
        y = at(low, flow)[1]
        picture.line((LEFT - 5, y), (LEFT, y))
        picture.text(
            (LEFT - 9, y + 3.5), number(flow * shown.factor, "air flow", system), Letters(look.SMALL, anchor="end")
        )
    picture.unit((LEFT, TOP - 10), f"{shown.unit} through the envelope")
    picture.unit((RIGHT, TOP + TALL + 30), "Pa between inside and outdoors", "end")
    picture.line((LEFT, TOP), (LEFT, TOP + TALL))
    picture.line((LEFT, TOP + TALL), (RIGHT, TOP + TALL))
    picture.shape([at(p, q / shown.factor) for p, q in line], Stroke(weight=look.LINE), closed=False)
    for one in readings:
        _mark(picture, at(one.pressure, one.flow / shown.factor), one.odd)
    return picture


def _ticks(low: float, high: float) -> list[float]:
    """Round values between two, those that fit beside each other."""
    first = math.floor(math.log10(low))
    every = [step * 10.0**power for power in range(first, first + 5) for step in DECADE]
    kept: list[float] = []
    for value in every:
        if low <= value <= high and (not kept or value / kept[-1] >= (high / low) ** 0.06):
            kept.append(value)
    return kept
