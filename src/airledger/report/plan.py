"""The plan of a level in one state: walls to scale, air as tapered ribbons, pressures as numbers and hatch."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from airledger.house.house import OUTDOORS, House, Room
from airledger.house.ledger import StateResult
from airledger.quantities import number, text
from airledger.report import look
from airledger.report.ribbon import mark, ribbon, thickness
from airledger.report.room_lines import Way, leaks, machines, through
from airledger.report.svg import Drawing, Letters, Point, Stroke
from airledger.report.text_width import width
from airledger.report.walls import Gap, Stretch, edges, gaps, outside

MARGIN, SIDE, TALLEST, OUTER, INNER = 48.0, 76.0, 540.0, 6.0, 3.0
HATCHES = ((20.0, 5.0), (10.0, 9.0), (2.0, 16.0))  # Pa from which a room is hatched, gap of the hatch
LINE_HEIGHT = 13.0
Box = tuple[float, float, float, float]
PLACES = [(u, v) for v in (0.5, 0.35, 0.65, 0.22, 0.78, 0.12, 0.88) for u in (0.5, 0.35, 0.65)]


@dataclass
class Sheet:
    """A plan under way: the picture, what it shows, and the way from metres to the paper."""

    picture: Drawing
    house: House
    state: StateResult
    rooms: tuple[Room, ...]
    system: str
    scale: float
    origin: Point
    notes: list[str]
    taken: list[Box]

    def at(self, point: Point) -> Point:
        """A point of the plan on the paper; the plan's y axis points up."""
        return self.origin[0] + point[0] * self.scale, self.origin[1] - point[1] * self.scale

    @property
    def largest(self) -> float:
        """The largest flow of the state, to which the ribbons are scaled."""
        return max([flow.volume_flow for flow in self.state.flows], default=0.0)


def slug(words: str) -> str:
    """Words as part of an id or a file name: letters and figures, after a hyphen; nothing for nothing.

    Parameters
    ----------
    words : str
        any words
    """
    parts = "".join(letter if letter.isascii() and letter.isalnum() else " " for letter in words.lower()).split()
    return "".join(f"-{part}" for part in parts)


def drawn_levels(house: House) -> list[tuple[str, tuple[Room, ...]]]:
    """The levels that have drawn rooms, lowest first.

    Parameters
    ----------
    house : House
        the house
    """
    names = dict.fromkeys(room.level for room in house.rooms if room.outline)
    levels = sorted(names, key=lambda name: next((level.floor for level in house.levels if level.name == name), 0.0))
    return [
        (name, tuple(r for r in house.rooms if r.outline and r.level == name and r.kind == "room")) for name in levels
    ]


def plan(house: House, state: StateResult, rooms: Sequence[Room], system: str) -> str:
    """The picture of one level as SVG.

    Parameters
    ----------
    house : House
        the house
    state : StateResult
        what is running
    rooms : sequence of Room
        the drawn rooms of the level
    system : str
        ``ip`` or ``si``
    """
    return drawing(house, state, rooms, system).svg()


def drawing(house: House, state: StateResult, rooms: Sequence[Room], system: str) -> Drawing:
    """The picture, still open to be measured.

    Parameters
    ----------
    house : House
        the house
    state : StateResult
        what is running
    rooms : sequence of Room
        the drawn rooms of the level
    system : str
        ``ip`` or ``si``
    """
    sheet = _sheet(house, state, tuple(rooms), system)
    for room in rooms:
        _floor(sheet, room)
    _walls(sheet)
    placed = gaps(house, rooms)
    for gap in placed:
        _opening(sheet, gap)
    for gap in placed:
        _ribbons(sheet, gap)
    for room in rooms:
        _leaks(sheet, room, [gap.wall for gap in placed])
    for room in rooms:
        _words(sheet, room)
    _foot(sheet)
    return sheet.picture


def _sheet(house: House, state: StateResult, rooms: tuple[Room, ...], system: str) -> Sheet:
    points = [point for room in rooms for point in room.outline]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, high = min(y for _, y in points), max(y for _, y in points)
    scale = min((look.WIDTH - 2 * SIDE) / (right - left), TALLEST / (high - low))
    picture = Drawing(f"plan{slug(rooms[0].level)}", f"Plan: {state.name}")
    tall = (high - low) * scale
    picture.height = tall + 2 * MARGIN
    start = (look.WIDTH - (right - left) * scale) / 2
    return Sheet(
        picture, house, state, rooms, system, scale, (start - left * scale, MARGIN + tall + low * scale), [], []
    )


def _pressure(sheet: Sheet, room: Room) -> float:
    return dict(sheet.state.rooms)[room.name]


def _floor(sheet: Sheet, room: Room) -> None:
    """The floor of a room, hatched the closer the harder it is pulled."""
    pulled = abs(_pressure(sheet, room))
    gap = next((gap for limit, gap in HATCHES if pulled >= limit), 0.0)
    if gap:
        corners = [sheet.at(point) for point in room.outline]
        sheet.picture.shape(corners, Stroke(weight=0, fill=sheet.picture.hatch(gap, look.RULE, 0.45)))


def _walls(sheet: Sheet) -> None:
    """Walls with their thickness: those to outdoors thick, those between rooms thin."""
    for room in sheet.rooms:
        for edge in edges(room):
            sheet.picture.line(*_long(sheet, edge, INNER), Stroke(weight=INNER))
    for room in sheet.rooms:
        for stretch in outside(room, sheet.rooms):
            sheet.picture.line(*_long(sheet, stretch, OUTER), Stroke(weight=OUTER))


def _long(sheet: Sheet, stretch: Stretch, thick: float) -> tuple[Point, Point]:
    """The ends of a wall on the paper, drawn out by half its thickness so that corners close."""
    over = thick / 2 / sheet.scale
    return sheet.at(stretch.at(-over)), sheet.at(stretch.at(stretch.length + over))


def _opening(sheet: Sheet, gap: Gap) -> None:
    """The gap that an opening leaves in the wall, with its jambs; a shut leaf closes it with a thin line."""
    start, end = sheet.at(gap.wall.start), sheet.at(gap.wall.end)
    thick = OUTER if gap.beyond == OUTDOORS else INNER
    sheet.picture.line(start, end, Stroke(look.PAPER, thick + 2))
    (ax, ay) = gap.wall.along
    normal = (ay * (thick / 2 + 1), ax * (thick / 2 + 1))
    for x, y in (start, end):
        sheet.picture.line((x - normal[0], y - normal[1]), (x + normal[0], y + normal[1]), Stroke(weight=look.LINE))
    if gap.opening.kind in ("door", "window") and _shut(sheet, gap):
        sheet.picture.line(start, end, Stroke(weight=1.6 if gap.opening.kind == "door" else look.HAIR))


def _shut(sheet: Sheet, gap: Gap) -> bool:
    given = dict(sheet.state.settings).get(("open", gap.opening.name))
    if given is not None:
        return float(given) == 0.0
    if gap.opening.stands is not None:
        return gap.opening.stands == "shut"
    return gap.beyond == OUTDOORS


def _ribbons(sheet: Sheet, gap: Gap) -> None:
    """What passes an opening, each way by its own ribbon with its number."""
    ways = through(sheet.state, gap.opening.name, gap.inside)
    inward = _inward(gap.wall)
    start, end = sheet.at(gap.wall.start), sheet.at(gap.wall.end)
    for place, way in enumerate(ways):
        share = (place + 0.5) / len(ways)
        middle = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
        _ribbon(sheet, middle, inward, way, gap.beyond == OUTDOORS)


def _inward(wall: Stretch) -> Point:
    """Into the room on the paper: left of a counter-clockwise edge, the y axis turned over."""
    x, y = wall.along
    return -y, -x


def _ribbon(sheet: Sheet, middle: Point, inward: Point, way: Way, to_outdoors: bool) -> None:
    """One ribbon and its number, outdoors beyond the ribbon's end, indoors beside it."""
    style = ("in" if way.enters else "out") if to_outdoors else "between"
    direction = inward if way.enters else (-inward[0], -inward[1])
    wide = thickness(way.flow, sheet.largest)
    ribbon(sheet.picture, middle, direction, wide, style)
    words = number(way.flow, "air flow", sheet.system)
    if way.name == "leaks":
        words = f"leaks {words}"
    span = width(words, look.SMALL, True)
    if to_outdoors:
        x, y = middle[0] - inward[0] * (22 + span / 2 * abs(inward[0])), middle[1] - inward[1] * 26
    else:
        x, y = middle[0] - abs(inward[1]) * (9 + wide / 2 + span / 2), middle[1] - abs(inward[0]) * (8 + wide / 2)
    y += 3.5
    sheet.picture.rectangle((x - span / 2 - 1.5, y - 9), (span + 3, 11), Stroke(weight=0, fill=look.PAPER))
    sheet.taken += [
        (x - span / 2, y - 9, x + span / 2, y + 2),
        (middle[0] - 17, middle[1] - 17, middle[0] + 17, middle[1] + 17),
    ]
    sheet.picture.text((x, y), words, Letters(look.SMALL, strong=True, anchor="middle"))


def _leaks(sheet: Sheet, room: Room, taken: Sequence[Stretch]) -> None:
    """What leaks into or out of a room, at its longest wall to outdoors; without one, a line of text."""
    walls = outside(room, sheet.rooms)
    ways = leaks(sheet.state, room.name)
    if not walls:
        sheet.notes += [
            f"{room.name}: leaks {'in' if way.enters else 'out'} {way.words(sheet.system).split()[-1]}" for way in ways
        ]
        return
    for place, way in enumerate(ways):
        shares = (0.22, 0.78, 0.5, 0.36) if place == 0 else (0.64, 0.36, 0.86, 0.1)
        middle = next(
            (
                walls[0].at(walls[0].length * s)
                for s in shares
                if all(_clear(walls[0].at(walls[0].length * s), gap) for gap in taken)
            ),
            walls[0].at(walls[0].length * shares[0]),
        )
        _ribbon(sheet, sheet.at(middle), _inward(walls[0]), way, True)


def _clear(point: Point, gap: Stretch) -> bool:
    middle = gap.at(gap.length / 2)
    return math.dist(point, middle) > gap.length / 2 + 0.9


def _words(sheet: Sheet, room: Room) -> None:
    """A room's name, its pressure and what its machines do; lines that do not fit go below the plan."""
    middle, span, tall = _widest(room)
    space, height = span * sheet.scale - OUTER - 2, tall * sheet.scale - OUTER - 2
    names = _wrapped(room.name, space)
    pascals = text(_pressure(sheet, room), "house pressure", sheet.system)
    if width(pascals, look.TEXT) > space:
        pascals = pascals.removesuffix(" Pa")
    if width(pascals, look.TEXT) > space:
        sheet.notes.append(f"{room.name}: {pascals} Pa")
        pascals = ""
    ways = machines(sheet.house, sheet.state, room.name)
    fits = all(width(way.words(sheet.system), look.SMALL) + 19 <= space for way in ways)
    if not fits or LINE_HEIGHT * (len(names) + 1 + len(ways)) > height:
        sheet.notes += [
            f"{room.name}: {way.name} {'in' if way.enters else 'out'} {number(way.flow, 'air flow', sheet.system)}"
            for way in ways
        ]
        ways = []
    spans = [width(name, look.TEXT, True) for name in names] + [width(pascals, look.TEXT)]
    wide = max([*spans, *[width(way.words(sheet.system), look.SMALL) + 19 for way in ways]])
    size = wide, LINE_HEIGHT * (len(names) + 1 + len(ways)) + 4
    x, top = _free(sheet, sheet.at(middle), (space, height), size)
    halo = min(wide + 6, space)
    sheet.picture.rectangle((x - halo / 2, top - 1), (halo, size[1]), Stroke(weight=0, fill=look.PAPER))
    for row, name in enumerate([*names, pascals]):
        strong = row < len(names)
        sheet.picture.text((x, top + LINE_HEIGHT * (row + 1) - 2), name, Letters(strong=strong, anchor="middle"))
    for row, way in enumerate(ways):
        base = top + LINE_HEIGHT * (len(names) + 2 + row)
        words = way.words(sheet.system)
        start = x - (width(words, look.SMALL) + 19) / 2
        sheet.picture.text((start + mark(sheet.picture, (start, base), way.enters), base), words, Letters(look.SMALL))


def _free(sheet: Sheet, middle: Point, space: Point, size: Point) -> Point:
    """Middle and top of a block of words in its room, off the ribbons where there is a place."""
    first: Point | None = None
    for u, v in PLACES:
        x = middle[0] + (u - 0.5) * max(0.0, space[0] - size[0])
        top = middle[1] - size[1] / 2 + (v - 0.5) * max(0.0, space[1] - size[1])
        first = first or (x, top)
        box = (x - size[0] / 2 - 3, top - 2, x + size[0] / 2 + 3, top + size[1] + 2)
        if not any(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in sheet.taken):
            return x, top
    return first or middle


def _wrapped(name: str, space: float) -> list[str]:
    """A name in one line, or broken at its blanks where the room is narrow."""
    if width(name, look.TEXT, True) <= space:
        return [name]
    return name.split()


def _widest(room: Room) -> tuple[Point, float, float]:
    """Middle, width and height of the largest upright rectangle inside a room, taken between its corner lines."""
    xs, ys = (sorted({round(point[axis], 4) for point in room.outline}) for axis in (0, 1))
    best, result = -1.0, ((0.0, 0.0), 0.0, 0.0)
    for left, right in ((a, b) for i, a in enumerate(xs) for b in xs[i + 1 :]):
        for low, high in ((a, b) for i, a in enumerate(ys) for b in ys[i + 1 :]):
            inside = all(
                _inside(room, (left + (right - left) * u, low + (high - low) * v))
                for u in (0.02, 0.25, 0.5, 0.75, 0.98)
                for v in (0.02, 0.25, 0.5, 0.75, 0.98)
            )
            worth = min(right - left, 2.5) * min(high - low, 2.5) + 0.01 * (right - left) * (high - low)
            if inside and worth > best:
                best, result = worth, (((left + right) / 2, (low + high) / 2), right - left, high - low)
    if best < 0:  # a slanted outline: its corners' mean
        count = len(room.outline)
        middle = sum(x for x, _ in room.outline) / count, sum(y for _, y in room.outline) / count
        return middle, (xs[-1] - xs[0]) / 2, (ys[-1] - ys[0]) / 2
    return result


def _inside(room: Room, point: Point) -> bool:
    """Whether a point lies in the outline: an odd number of edges to its right."""
    (x, y), odd = point, False
    corners = room.outline
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            odd = not odd
    return odd


def _foot(sheet: Sheet) -> None:
    """Scale bar, north, what the marks mean, and the lines that did not fit."""
    picture = sheet.picture
    y = picture.height - 6
    length, words = (3.048, "10 ft") if sheet.system == "ip" else (3.0, "3 m")
    long = length * sheet.scale
    picture.line((4, y), (4 + long, y), Stroke(weight=look.HEAVY))
    for x in (4, 4 + long / 2, 4 + long):
        picture.line((x, y - 4), (x, y), Stroke(weight=look.LINE))
    picture.text((10 + long, y), words, Letters(look.SMALL))
    _north(picture, (look.WIDTH - 16, y - 10), sheet.house.site.north)
    x = 10 + long + width(words, look.SMALL) + 22
    unit = "cfm" if sheet.system == "ip" else "L/s"
    for sign, meaning in ((True, "air in"), (False, "air out")):
        x += mark(picture, (x, y), sign)
        x += picture.text((x, y), meaning, Letters(look.SMALL)) + 14
    picture.text((x, y), f"figures in {unit}; closer hatch from 2, 10 and 20 Pa", Letters(look.SMALL, look.GREY))
    for row, note in enumerate(_filled(sheet.notes, look.WIDTH)):
        picture.text((4, y + 18 + 14 * row), note, Letters(look.SMALL))
        picture.height = y + 24 + 14 * row


def _filled(notes: Sequence[str], space: float) -> list[str]:
    """Notes set one after the other, in lines as wide as the space."""
    lines: list[str] = []
    for note in notes:
        if lines and width(f"{lines[-1]}  ·  {note}", look.SMALL) <= space - 8:
            lines[-1] += f"  ·  {note}"
        else:
            lines.append(note)
    return lines


def _north(picture: Drawing, at: Point, turned: float) -> None:
    """A plain line to the north with its letter; the plan's up axis points `turned` degrees clockwise from north."""
    angle = math.radians(-turned)
    dx, dy = math.sin(angle), -math.cos(angle)
    tip = (at[0] + 11 * dx, at[1] + 11 * dy)
    picture.line((at[0] - 11 * dx, at[1] - 11 * dy), tip, Stroke(weight=look.LINE))
    picture.shape(
        [(tip[0] - 3.5 * dy - 7 * dx, tip[1] + 3.5 * dx - 7 * dy), tip], Stroke(weight=look.LINE), closed=False
    )
    picture.text((at[0] + 20 * dx, at[1] + 20 * dy + 4), "N", Letters(look.SMALL, strong=True, anchor="middle"))
