"""Where the envelope leaks: tightness as one number, and its spread over leaks, rooms and facades."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from airledger.house.house import OUTDOORS, House, Leak, Room
from airledger.physics.leakage import air_changes
from airledger.sources import Assumption, Source
from airledger.uncertain import Uncertain

FACADES = (0.0, 90.0, 180.0, 270.0)
"""Directions that the four facades face, clockwise from the plan's up [degrees]."""

SHARED_WALL = 0.35
"""Two outlines closer than this share a wall [m]: the thickness of an inner wall and a little."""


USUAL_EXPONENT = Uncertain(0.60, 0.65, 0.70)
"""Pressure exponent of a house's leaks where none was measured [-]; ASHRAE Fundamentals 2021 ch. 16, PUBLISHED."""


class Wall(NamedTuple):
    """A piece of a room's outside wall.

    Length [m] and the direction it faces, clockwise from the plan's up [degrees].
    """

    length: float
    faces: float


@dataclass(frozen=True)
class LeakPlace:
    """A leak in one room.

    Leak, room, height above the room's floor [m], share [-] of the envelope's leakage, facade it faces [degrees].
    """

    leak: str
    room: str
    to: str
    height: float
    share: float
    faces: float | None


def ach50(house: House) -> Uncertain:
    """Air changes an hour at 50 Pa [1/h], as lived in.

    Parameters
    ----------
    house : House
        its envelope and volume [-]
    """
    if house.envelope.tightness_unit == "ach50":
        return house.envelope.tightness
    return house.envelope.tightness.scaled(float(air_changes(1.0, house.volume)))


def exponent(house: House) -> tuple[Uncertain, tuple[Assumption, ...]]:
    """Pressure exponent of the envelope's leaks [-].

    0.65 within 0.60 to 0.70, listed as assumed, where the file gives none.

    Parameters
    ----------
    house : House
        its envelope [-]
    """
    if house.envelope.exponent is not None:
        return house.envelope.exponent, ()
    source = Source("ASHRAE Fundamentals 2021 ch. 16: houses 0.6 to 0.7", "published")
    return USUAL_EXPONENT, (Assumption("envelope / exponent", USUAL_EXPONENT.likely, "-", "not measured yet", source),)


def leaks(house: House) -> tuple[tuple[Leak, ...], tuple[Assumption, ...]]:
    """The leaks of the file; where it names none, thirds at floor, mid-height and ceiling, listed as assumed.

    Parameters
    ----------
    house : House
        its envelope [-]
    """
    if house.envelope.leaks:
        return house.envelope.leaks, ()
    ceiling = max(room.ceiling for room in house.conditioned)
    made = tuple(
        Leak(name, 1 / 3, part * ceiling)
        for name, part in (("leaks at the floor", 0.0), ("leaks at mid-height", 0.5), ("leaks at the ceiling", 1.0))
    )
    why = "the file does not say where the envelope leaks: a third each at floor, mid-height and ceiling"
    return made, (Assumption("envelope / leaks", "thirds", "", why, Source("even spread over the height", "practice")),)


def leak_places(house: House) -> tuple[LeakPlace, ...]:
    """Every leak in every room that has it, with its share of the whole; by facade where wind is reckoned with.

    Parameters
    ----------
    house : House
        envelope, rooms, outlines [-]
    """
    walls = {room.name: outside_walls(house, room) for room in house.conditioned}
    places = []
    windy = reckons_with_wind(house)
    for leak in leaks(house)[0]:
        rooms = leak.rooms or tuple(room.name for room in house.conditioned)
        total = sum(wall.length for name in rooms for wall in walls[name])
        by_area = total <= 0.0  # no room of the leak has an outside wall: spread by floor area
        whole = sum(house.room(name).area for name in rooms) if by_area else total
        for name in rooms:
            pieces = [Wall(house.room(name).area, 0.0)] if by_area else walls[name]
            sides: dict[float | None, float] = {}
            for wall in pieces:
                side = nearest_facade(wall.faces) if windy and leak.to == OUTDOORS and not by_area else None
                sides[side] = sides.get(side, 0.0) + wall.length
            places += [
                LeakPlace(leak.name, name, leak.to, leak.height, leak.share * length / whole, side)
                for side, length in sides.items()
                if length > 1e-9 * whole
            ]
    return tuple(places)


def reckons_with_wind(house: House) -> bool:
    """Whether wind blows in any state: the site has wind, or a state of the file names it.

    Parameters
    ----------
    house : House
        its site and states [-]
    """
    named = any(what in ("wind", "wind from") for state in house.states for what, _ in state.settings)
    return house.site.wind is not None or named


def nearest_facade(faces: float) -> float:
    """The facade whose direction is nearest [degrees].

    Parameters
    ----------
    faces : float
        direction a wall faces, clockwise from the plan's up [degrees]
    """
    return min(FACADES, key=lambda facade: abs((faces - facade + 180.0) % 360.0 - 180.0))


def outside_walls(house: House, room: Room) -> tuple[Wall, ...]:
    """The walls of a room that no other room inside the envelope stands behind.

    A room without an outline is taken as a square with four outside walls.

    Parameters
    ----------
    house : House
        its other rooms on the same level [-]
    room : Room
        the room [-]
    """
    if not room.outline:
        return tuple(Wall(math.sqrt(room.area), facade) for facade in FACADES)
    others = [
        other for other in house.conditioned if other.outline and other.name != room.name and other.level == room.level
    ]
    turn = 1.0 if _signed_area(room.outline) > 0 else -1.0
    walls = []
    for start, end in _edges(room.outline):
        length = math.dist(start, end)
        if length > 1e-9:
            covered = [
                piece for other in others for edge in _edges(other.outline) if (piece := _overlap((start, end), edge))
            ]
            free = length - _merged_length(covered)
            faces = math.degrees(math.atan2(turn * (end[1] - start[1]), -turn * (end[0] - start[0])))
            if free > 1e-6:
                walls.append(Wall(free, faces % 360.0))
    return tuple(walls)


Point = tuple[float, float]
Edge = tuple[Point, Point]


def _edges(outline: tuple[Point, ...]) -> list[Edge]:
    return list(zip(outline, (*outline[1:], outline[0]), strict=True))


def _signed_area(outline: tuple[Point, ...]) -> float:
    return 0.5 * sum(a[0] * b[1] - b[0] * a[1] for a, b in _edges(outline))


def _overlap(edge: Edge, other: Edge) -> tuple[float, float] | None:
    """The part of an edge, as distances from its start, that another edge runs along within a wall's thickness."""
    (ax, ay), (bx, by) = edge
    length = math.dist(edge[0], edge[1])
    ux, uy = (bx - ax) / length, (by - ay) / length
    along = [(x - ax) * ux + (y - ay) * uy for x, y in other]
    across = [abs((y - ay) * ux - (x - ax) * uy) for x, y in other]
    if max(across) > SHARED_WALL:
        return None
    low, high = max(0.0, min(along)), min(length, max(along))
    return (low, high) if high - low > 1e-6 else None


def _merged_length(pieces: list[tuple[float, float]]) -> float:
    total, reached = 0.0, -math.inf
    for low, high in sorted(pieces):
        total += max(0.0, high - max(low, reached))
        reached = max(reached, high)
    return total
