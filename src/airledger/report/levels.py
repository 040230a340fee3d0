"""The level diagram: every room hangs as deep as it is pulled, with what comes in and goes out beside it.

Used for rooms that are not drawn, and for the whole house when none is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from airledger.house.ledger import StateResult
from airledger.quantities import number, text
from airledger.report import look
from airledger.report.pressure_tape import ENDS
from airledger.report.ribbon import mark
from airledger.report.svg import Drawing, Letters, Stroke, solid
from airledger.report.text_width import width

TOP, DEPTH, LEFT, BOARD = 30.0, 150.0, 14.0, 86.0
ROW = 17.0


def levels(state: StateResult, rooms: Sequence[str], system: str) -> str:
    """The picture as SVG.

    Parameters
    ----------
    state : StateResult
        what is running
    rooms : sequence of str
        names of the rooms to show
    system : str
        ``ip`` or ``si``
    """
    return drawing(state, rooms, system).svg()


def drawing(state: StateResult, rooms: Sequence[str], system: str) -> Drawing:
    """The picture, still open to be measured.

    Parameters
    ----------
    state : StateResult
        what is running
    rooms : sequence of str
        names of the rooms to show
    system : str
        ``ip`` or ``si``
    """
    pressures = {name: pascals for name, pascals in state.rooms if name in rooms}
    pulled = max([-pascals for pascals in pressures.values()], default=0.0)
    pushed = max(list(pressures.values()), default=0.0)
    deepest = next((end for end in ENDS if end >= 1.05 * max(pulled, pushed)), max(pulled, pushed))
    depth = max(DEPTH if len(pressures) > 2 else 70.0, ROW * (len(pressures) + 1))
    rise = 40.0 if pushed > 0.05 else 0.0
    zero = TOP + rise
    picture = Drawing("levels", f"How deep each room is pulled: {state.name}")
    picture.line((0, zero), (look.WIDTH, zero), Stroke(weight=look.HEAVY))
    picture.text((look.WIDTH, zero - 6), "outdoors, 0 Pa", Letters(look.SMALL, look.GREY, anchor="end"))
    floor = -math.inf
    for name, pascals in sorted(pressures.items(), key=lambda pair: (-pair[1], pair[0])):
        y = zero - math.copysign((rise if pascals > 0 else depth) * math.sqrt(abs(pascals) / deepest), pascals)
        floor = max(y, floor + ROW, TOP)
        _board(picture, (zero, y, floor), f"{name}", text(pascals, "house pressure", system))
        _ways(picture, floor, state, (name, system))
    picture.height = max(zero + depth, floor) + 16
    return picture


def _board(picture: Drawing, heights: tuple[float, float, float], name: str, pascals: str) -> None:
    """A board from the zero line to the room's depth, a leader to its words."""
    zero, y, base = heights
    picture.line((LEFT, y), (LEFT + BOARD, y), Stroke(weight=look.HEAVY))
    picture.line((LEFT + BOARD / 2, zero), (LEFT + BOARD / 2, y), Stroke(look.RULE, look.HAIR))
    picture.shape(
        [(LEFT + BOARD, y), (LEFT + BOARD + 14, base), (LEFT + BOARD + 22, base)],
        Stroke(look.GREY, look.HAIR),
        closed=False,
    )
    picture.rectangle((LEFT + BOARD / 2 - 2, min(y, zero)), (4, abs(y - zero)), solid(picture.hatch(4.5, look.GREY)))
    start = LEFT + BOARD + 27
    wide = picture.text((start, base + 4), name, Letters(strong=True))
    picture.text(
        (start + max(wide + 10, 190), base + 4), pascals, Letters(strong=True, anchor="end" if wide < 120 else "start")
    )


def _ways(picture: Drawing, base: float, state: StateResult, room: tuple[str, str]) -> None:
    """What comes in and goes out of a room, added up."""
    name, system = room
    x = LEFT + BOARD + 27 + 216
    for enters, end in ((True, "to"), (False, "from_")):
        total = sum(flow.volume_flow for flow in state.flows if getattr(flow, end) == name)
        words = f"{number(total, 'air flow', system)} {'cfm' if system == 'ip' else 'L/s'} {'in' if enters else 'out'}"
        x += mark(picture, (x, base + 4), enters)
        picture.text((x, base + 4), words, Letters())
        x += max(width(words, look.TEXT), 74) + 16
