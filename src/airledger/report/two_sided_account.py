"""The two-sided account: what comes in on the left, what goes out on the right, a double rule under sums that agree.

Air in and air out agree by weight. Cubic feet need not: warm, humid air takes more room than the cool air it becomes.
Where the volume sums differ as printed, the weights are printed too and carry the double rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airledger.quantities import QUANTITIES, number
from airledger.report import look
from airledger.report.svg import Drawing, Letters, Stroke, solid
from airledger.report.text_width import width

ROW, HEAD, MOST_ROWS = 20.0, 30.0, 12
MIDDLE = look.WIDTH / 2
FIGURE_END, BAR_START, LONGEST_BAR = 140.0, 8.0, 120.0  # measured from the middle outwards
EQUAL = 1e-6  # sums that differ by less than this share agree


@dataclass(frozen=True)
class Line:
    """One way of the air: name, volume flow [m3/s] of the entering air, mass flow [kg/s] of dry air."""

    name: str
    flow: float
    mass_flow: float


def gathered(lines: Sequence[Line], most: int = MOST_ROWS, smallest: float = 0.0) -> list[Line]:
    """Lines of one name added up, biggest first; those that would read 0 or make the list too long as one last line.

    Parameters
    ----------
    lines : sequence of Line
        one side of the account
    most : int
        longest list
    smallest : float
        flow of the smallest line that is told by itself
    """
    sums: dict[str, tuple[float, float]] = {}
    for line in lines:
        flow, mass_flow = sums.get(line.name, (0.0, 0.0))
        sums[line.name] = (flow + line.flow, mass_flow + line.mass_flow)
    rows = sorted((Line(name, *pair) for name, pair in sums.items()), key=lambda row: (-row.mass_flow, row.name))
    large = sum(row.flow >= smallest for row in rows)
    kept = max(1, large if large < most and large < len(rows) - 1 else min(len(rows), most))
    if kept == len(rows):
        return rows
    kept = min(kept, most - 1)
    rest = rows[kept:]
    tail = Line(f"{len(rest)} smaller ways", sum(row.flow for row in rest), sum(row.mass_flow for row in rest))
    return [*rows[:kept], tail]


def account(lines_in: Sequence[Line], lines_out: Sequence[Line], system: str, title: str = "Air in, air out") -> str:
    """The picture as SVG.

    Parameters
    ----------
    lines_in : sequence of Line
        what enters
    lines_out : sequence of Line
        what leaves
    system : str
        ``ip`` or ``si``
    title : str
        what a screen reader says
    """
    return drawing(lines_in, lines_out, system, title).svg()


def drawing(lines_in: Sequence[Line], lines_out: Sequence[Line], system: str, title: str) -> Drawing:
    """The picture, still open to be measured.

    Parameters
    ----------
    lines_in : sequence of Line
        what enters
    lines_out : sequence of Line
        what leaves
    system : str
        ``ip`` or ``si``
    title : str
        what a screen reader says
    """
    smallest = 0.5 * QUANTITIES["air flow"].shown(system).factor  # less is printed as 0
    sides = gathered(lines_in, smallest=smallest), gathered(lines_out, smallest=smallest)
    picture = Drawing("account", title)
    longest = max([row.flow for side in sides for row in side], default=0.0)
    longest = max(longest, 10 * smallest)  # where next to nothing moves, bars stay short
    picture.line((0, HEAD), (look.WIDTH, HEAD), Stroke(weight=look.HEAVY))
    picture.text((MIDDLE - 10, HEAD - 9), "Air in", Letters(look.TITLE, strong=True, anchor="end"))
    picture.text((MIDDLE + 10, HEAD - 9), "Air out", Letters(look.TITLE, strong=True))
    for sign, side in zip((-1, 1), sides, strict=True):
        for place, row in enumerate(side):
            _row(picture, sign, HEAD + ROW * (place + 1), row, (row.flow / longest, system))
    foot = HEAD + ROW * max(len(sides[0]), len(sides[1])) + 12
    foot = _sums(picture, sides, foot, system)
    picture.line((MIDDLE, 4), (MIDDLE, foot + 4), Stroke(weight=look.HEAVY))
    picture.height = foot + 8
    return picture


def _row(picture: Drawing, sign: int, base: float, row: Line, scale: tuple[float, str]) -> None:
    """One line of the account: name, figure, bar from the middle outwards: full for air in, dashed for air out."""
    share, system = scale
    outer = Letters(anchor="start" if sign < 0 else "end")
    picture.text((MIDDLE + sign * MIDDLE, base), fitted(row.name, MIDDLE - FIGURE_END - 42), outer)
    figure = MIDDLE - FIGURE_END if sign < 0 else MIDDLE + FIGURE_END + 34
    picture.text((figure, base), number(row.flow, "air flow", system), Letters(anchor="end"))
    start, long, middle = MIDDLE + sign * BAR_START, max(1.5, share * LONGEST_BAR), base - 4.5
    end = start + sign * long
    if sign < 0:
        picture.rectangle((end, middle - 2.6), (long, 5.2), solid())
    else:
        picture.rectangle((start, middle - 2.6), (long, 5.2), Stroke(weight=look.HAIR + 0.2, dash=look.DASH))


def _sums(picture: Drawing, sides: tuple[list[Line], list[Line]], top: float, system: str) -> float:
    """The sums; the double rule lies under those that agree as printed, which are the weights if the volumes do not."""
    flows = [number(sum(row.flow for row in side), "air flow", system) for side in sides]
    masses = [sum(row.mass_flow for row in side) for side in sides]
    weights = [number(mass, "mass flow", system) for mass in masses]
    agree = abs(masses[0] - masses[1]) <= EQUAL * max(masses[0], masses[1], 1e-12)
    base = _sum_line(picture, flows, QUANTITIES["air flow"].shown(system).unit, top, agree and flows[0] == flows[1])
    if flows[0] != flows[1]:
        unit = QUANTITIES["mass flow"].shown(system).unit
        base = _sum_line(
            picture, weights, f"{unit}, equal by weight" if agree else f"{unit}, not equal", base + 2, agree
        )
    return base


def _sum_line(picture: Drawing, figures: Sequence[str], unit: str, top: float, double: bool) -> float:
    base = top + 16
    for sign, figure in zip((-1, 1), figures, strict=True):
        end = MIDDLE - FIGURE_END if sign < 0 else MIDDLE + FIGURE_END + 34
        left = end - max(58.0, width(figure, look.TEXT, True) + 8)
        picture.line((left, top), (end, top), Stroke(weight=look.HAIR))
        picture.text((end, base), figure, Letters(strong=True, anchor="end"))
        label = Letters(look.SMALL, look.GREY, anchor="start" if sign < 0 else "end")
        picture.text((MIDDLE + sign * MIDDLE, base), unit, label)
        for gap in (5.5, 8.5) if double else ():
            picture.line((left, base + gap), (end, base + gap), Stroke(weight=look.LINE))
    return base + 10


def fitted(words: str, space: float, size: float = look.TEXT) -> str:
    """A text, cut with an ellipsis where it is wider than its space.

    Parameters
    ----------
    words : str
        one line
    space : float
        how wide it may be
    size : float
        font size
    """
    if width(words, size) <= space:
        return words
    while words and width(words + "…", size) > space:
        words = words[:-1]
    return words.rstrip() + "…"
