"""The pressure tape: what each thing running does to the house, on a ruled line like a carpenter's tape.

Square-root scale with zero at the case, so that 1 Pa and 80 Pa are both readable. A house pulled down reads to the
right, one pushed up to the left. Each state is a notch: hollow within every limit, filled past one. Limits hang
below as hatched gates with their source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from airledger.quantities import number
from airledger.report import look
from airledger.report.lanes import Placed, arrange
from airledger.report.svg import Drawing, Letters, Stroke, solid
from airledger.report.text_width import width

LANE, TAPE_HEIGHT, CASE = 17.0, 34.0, 26.0
GATE_LANE, GATE_WIDTH = 30.0, 9.0
ENDS = (5, 10, 20, 30, 50, 75, 100, 150, 200, 300, 500, 750, 1000, 1500)
WRITTEN = (1, 2, 5, 10, 20, 30, 50, 75, 100, 150, 200, 300, 400, 500, 750, 1000)
SMALLEST_PUSH = 0.05  # Pa; less than this is printed as zero


@dataclass(frozen=True)
class Notch:
    """One state on the tape: its name, its pressure [Pa], whether it passes a limit, whether somebody is in danger."""

    name: str
    pascals: float
    passes_limit: bool = False
    danger: bool = False


@dataclass(frozen=True)
class Gate:
    """One limit below the tape: its pressure [Pa], its name and where it comes from."""

    pascals: float
    name: str
    source: str


@dataclass(frozen=True)
class Scale:
    """Pascals to position along the tape."""

    zero: float
    per_root: float
    down: float
    up: float

    def at(self, pascals: float) -> float:
        """The position of a pressure; pulled down (negative) lies to the right of the case, pushed up to its left.

        Parameters
        ----------
        pascals : float
            inside minus outdoors
        """
        reach = self.per_root * math.sqrt(abs(pascals))
        if pascals > SMALLEST_PUSH:
            return self.zero - CASE - reach
        return self.zero + reach


def pascals_text(pascals: float) -> str:
    """A pressure as it stands on the tape: whole pascals from 10 up, tenths below.

    Parameters
    ----------
    pascals : float
        inside minus outdoors
    """
    return number(pascals, "house pressure", "ip", 0 if abs(pascals) >= 9.95 else 1)


def tape(notches: Sequence[Notch], gates: Sequence[Gate] = (), title: str = "How hard the house is pulled") -> str:
    """The picture as SVG.

    Parameters
    ----------
    notches : sequence of Notch
        what is running, with its pascals
    gates : sequence of Gate
        limits
    title : str
        what a screen reader says
    """
    return drawing(notches, gates, title).svg()


def drawing(notches: Sequence[Notch], gates: Sequence[Gate], title: str) -> Drawing:
    """The picture, still open to be measured.

    Parameters
    ----------
    notches : sequence of Notch
        what is running, with its pascals
    gates : sequence of Gate
        limits
    title : str
        what a screen reader says
    """
    scale = _scale([n.pascals for n in notches] + [g.pascals for g in gates])
    above = arrange([(scale.at(n.pascals), _notch_width(n)) for n in notches], (0.0, look.WIDTH))
    below = arrange([(scale.at(g.pascals) + GATE_WIDTH, _gate_width(g)) for g in gates], (0.0, look.WIDTH))
    top = 26.0 + LANE * max((place.lane for place in above), default=0)
    bottom = top + TAPE_HEIGHT
    picture = Drawing("tape", title)
    picture.width = max([look.WIDTH, *(place.right + 2 for place in above + below)])
    picture.height = (
        bottom
        + (24 if scale.up else 14)
        + (GATE_LANE * (1 + max((place.lane for place in below), default=-1)) if gates else 0)
    )
    _ruled_tape(picture, scale, top)
    for gate, place in zip(gates, below, strict=True):
        _gate(picture, scale.at(gate.pascals), gate, place, bottom)
    for notch, place in zip(notches, above, strict=True):
        _notch(picture, scale.at(notch.pascals), notch, place, top)
    return picture


def _scale(values: list[float]) -> Scale:
    """A scale whose ends lie beyond the largest value on either side."""
    pulled = max([-value for value in values if value < 0], default=0.0)
    pushed = max([value for value in values if value > SMALLEST_PUSH], default=0.0)
    down = _beyond(pulled)
    up = _beyond(pushed, (1, 2, *ENDS)) if pushed else 0
    margin_right = 30.0
    per_root = (look.WIDTH - margin_right - CASE - 4) / (math.sqrt(down) + math.sqrt(up))
    return Scale(4 + per_root * math.sqrt(up) + CASE, per_root, down, up)


def _beyond(value: float, ends: Sequence[float] = ENDS) -> float:
    return next((end for end in ends if end >= 1.06 * value), math.ceil(1.06 * value / 500) * 500)


def _ruled_tape(picture: Drawing, scale: Scale, top: float) -> None:
    """The tape with its marks, and the case it comes out of."""
    right, left = scale.zero + scale.per_root * math.sqrt(scale.down), scale.zero - CASE
    edge = Stroke(weight=look.LINE)
    picture.rectangle((scale.zero, top), (right - scale.zero, TAPE_HEIGHT), edge, 1.5)
    picture.line((right + 2.5, top - 2), (right + 2.5, top + TAPE_HEIGHT + 4), Stroke(weight=look.HEAVY))
    picture.unit((right + 9, top + TAPE_HEIGHT - 9), "Pa")
    if scale.up:
        start = left - scale.per_root * math.sqrt(scale.up)
        picture.rectangle((start, top), (left - start, TAPE_HEIGHT), edge, 1.5)
        _marks(picture, scale, top, 1.0)
        wide = picture.text((0, top + TAPE_HEIGHT + 17), "pushed up", Letters(look.SMALL, look.GREY))
        middle = max(scale.zero, wide + 12)
        picture.text((middle, top + TAPE_HEIGHT + 17), "pulled down", Letters(look.SMALL, look.GREY))
    _marks(picture, scale, top, -1.0)
    picture.rectangle((left, top - 5), (CASE, TAPE_HEIGHT + 10), solid(), 4)
    picture.text(
        (left + CASE / 2, top + TAPE_HEIGHT - 9), "0", Letters(look.SMALL, look.PAPER, strong=True, anchor="middle")
    )


def _marks(picture: Drawing, scale: Scale, top: float, sign: float) -> None:
    """Marks and figures on one side of zero."""
    end = int(scale.up if sign > 0 else scale.down)
    shown_at = drawn_at = scale.at(sign * 1e-9) if sign < 0 else scale.zero - CASE
    steps = [*range(1, 10), *range(10, 50, 2), *range(50, 200, 5), *range(200, 2001, 50)]
    for value in (step for step in steps if step <= end):
        x = scale.at(sign * value)
        wide = width(str(value), look.SMALL)
        written = (
            value in WRITTEN
            and abs(x - shown_at) > wide + 7
            and abs(x - scale.at(sign * end)) > (value != end) * (wide + 4)
        )
        if not written and abs(x - drawn_at) < 4.5:
            continue
        drawn_at = x
        picture.line((x, top), (x, top + (13 if written else 7)), Stroke(weight=look.LINE if written else look.HAIR))
        if written and value != end:
            shown_at = x
            picture.text((x, top + TAPE_HEIGHT - 9), str(value), Letters(look.SMALL, anchor="middle"))
    last = scale.at(sign * end)
    picture.text(
        (last + 4 * sign, top + TAPE_HEIGHT - 9), str(end), Letters(look.SMALL, anchor="end" if sign < 0 else "start")
    )


def _label(notch: Notch) -> tuple[str, str]:
    return ("danger: " if notch.danger else "") + notch.name, pascals_text(notch.pascals)


def _notch_width(notch: Notch) -> float:
    name, figure = _label(notch)
    strong = notch.passes_limit or notch.danger
    return width(name, look.TEXT, strong) + 5 + width(figure, look.TEXT, True)


def _notch(picture: Drawing, x: float, notch: Notch, place: Placed, top: float) -> None:
    """A stem with its triangle on the tape's edge and its label."""
    base = top - 12 - LANE * place.lane
    past = notch.passes_limit or notch.danger
    colour = look.DANGER if notch.danger else look.INK
    picture.line((x, base - 8), (x, top - 8), Stroke(colour, look.HAIR))
    picture.shape(
        [(x, top), (x - 4.6, top - 8.5), (x + 4.6, top - 8.5)],
        Stroke(colour, look.LINE, fill=colour if past else look.PAPER),
    )
    name, figure = _label(notch)
    name_wide = picture.text((place.left, base), name, Letters(colour=colour, strong=past))
    picture.text((place.left + name_wide + 5, base), figure, Letters(colour=colour, strong=True))


def _gate_words(gate: Gate) -> str:
    return f"{gate.name} {pascals_text(gate.pascals)}"


def _gate_width(gate: Gate) -> float:
    return max(width(_gate_words(gate), look.TEXT, True), width(gate.source, look.SMALL))


def _gate(picture: Drawing, x: float, gate: Gate, place: Placed, bottom: float) -> None:
    """A hatched gate below the tape, with its name and source."""
    foot = bottom + 4 + GATE_LANE * (place.lane + 1)
    picture.rectangle((x, bottom), (GATE_WIDTH, foot - bottom - 4), Stroke(weight=look.HAIR, fill=picture.hatch()))
    picture.line((x, bottom), (x, foot - 4), Stroke(weight=look.HEAVY))
    picture.text((place.left, foot - 16), _gate_words(gate), Letters(strong=True))
    picture.text((place.left, foot - 4), gate.source, Letters(look.SMALL, look.GREY))
