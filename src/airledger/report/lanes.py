"""Labels on stems above or below a line, laid out in lanes so that no label covers another and no stem crosses one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

GAP = 7.0


@dataclass(frozen=True)
class Placed:
    """Where a label went: lane (0 next to the line), both ends, whether it reads to the right of its stem."""

    lane: int
    left: float
    right: float
    rightwards: bool


def arrange(stems: Sequence[tuple[float, float]], room: tuple[float, float], offset: float = 4.0) -> list[Placed]:
    """A place for each label.

    Labels left of a split read to the right of their stems, the others to the left; a label that spans another's
    stem lies farther out.
    The split that stays inside the room with the fewest lanes is taken; if none stays inside, all read to the right.

    Parameters
    ----------
    stems : sequence of tuple
        (position of the stem, width of its label), in any order
    room : tuple of float
        left and right end of the space that labels may fill
    offset : float
        distance from a stem to its label
    """
    order = sorted(range(len(stems)), key=lambda index: (stems[index][0], index))
    best: tuple[float, int, list[Placed]] | None = None
    for split in range(len(stems), -1, -1):
        spans = [_span(stems[index], place < split, offset) for place, index in enumerate(order)]
        lanes = _lanes([stems[index][0] for index in order], spans)
        if lanes is None:
            continue
        over = sum(max(0.0, room[0] - left) + max(0.0, right - room[1]) for left, right in spans)
        if best is None or (over, max(lanes, default=0)) < best[:2]:
            placed = [
                Placed(lane, *span, place < split) for place, (lane, span) in enumerate(zip(lanes, spans, strict=True))
            ]
            best = (over, max(lanes, default=0), placed)
    result: list[Placed | None] = [None] * len(stems)
    for index, place in zip(order, best[2] if best else [], strict=True):
        result[index] = place
    return [place for place in result if place is not None]


def _span(stem: tuple[float, float], rightwards: bool, offset: float) -> tuple[float, float]:
    at, wide = stem
    return (at + offset, at + offset + wide) if rightwards else (at - offset - wide, at - offset)


def _lanes(stems: list[float], spans: list[tuple[float, float]]) -> list[int] | None:
    """The lane of each label, from the ones that span no stem outwards; None when two labels span each other's stem."""
    spanned = [
        {
            other
            for other, at in enumerate(stems)
            if other != one and left - GAP < at < right + GAP and _between(stems, spans, one, other)
        }
        for one, (left, right) in enumerate(spans)
    ]
    lanes: list[int | None] = [None] * len(stems)
    waiting = list(range(len(stems)))
    while waiting:
        ready = [one for one in waiting if all(lanes[other] is not None for other in spanned[one])]
        if not ready:
            return None
        one = ready[-1]
        lane = max((_known(lanes[other]) + 1 for other in spanned[one]), default=0)
        while any(lanes[other] == lane and _overlap(spans[one], spans[other]) for other in range(len(stems))):
            lane += 1
        lanes[one] = lane
        waiting.remove(one)
    return [_known(lane) for lane in lanes]


def _between(stems: list[float], spans: list[tuple[float, float]], one: int, other: int) -> bool:
    """Whether the other stem lies on the label's side of its own stem; equal stems are taken in their order."""
    rightwards = spans[one][0] >= stems[one]
    if stems[other] == stems[one]:
        return rightwards == (other > one)
    return (stems[other] > stems[one]) == rightwards


def _known(lane: int | None) -> int:
    return 0 if lane is None else lane


def _overlap(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return one[0] < other[1] + GAP and other[0] < one[1] + GAP
