"""Walls from the rooms' outlines: stretches that two rooms share, that face outdoors, and where openings sit.

The house file says which rooms an opening joins, not where on the wall it is: it is drawn in the middle of the longest
stretch they share, several on one stretch side by side.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from airledger.house.house import OUTDOORS, House, Opening, Room
from airledger.report.svg import Point

SAME_LINE, SHORTEST = 0.05, 0.05  # m: walls this close lie on one line; shorter stretches are no wall


@dataclass(frozen=True)
class Stretch:
    """A straight piece of wall from one point to another [m]; its room lies on the left."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Its length [m]."""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Point:
        """Unit vector along it."""
        return (self.end[0] - self.start[0]) / self.length, (self.end[1] - self.start[1]) / self.length

    def at(self, distance: float) -> Point:
        """The point so far from its start.

        Parameters
        ----------
        distance : float
            from the start, along the wall
        """
        return self.start[0] + self.along[0] * distance, self.start[1] + self.along[1] * distance


def edges(room: Room) -> list[Stretch]:
    """The edges of a drawn room, counter-clockwise.

    Parameters
    ----------
    room : Room
        a room with an outline
    """
    corners = list(room.outline)
    if signed_area(corners) < 0:
        corners.reverse()
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return [Stretch(a, b) for a, b in pairs if math.dist(a, b) > SHORTEST]


def signed_area(corners: Sequence[Point]) -> float:
    """The area of a polygon, positive when it runs counter-clockwise.

    Parameters
    ----------
    corners : sequence of tuple
        its corners
    """
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2


def shared(one: Room, other: Room) -> list[Stretch]:
    """The stretches of wall that two rooms have in common, longest first, in the direction of the first room's outline.

    Parameters
    ----------
    one, other : Room
        drawn rooms
    """
    found = []
    for edge in edges(one):
        for low, high in _covered(edge, edges(other)):
            found.append(Stretch(edge.at(low), edge.at(high)))
    return sorted(found, key=lambda stretch: (-round(stretch.length, 3), stretch.start))


def outside(room: Room, others: Iterable[Room]) -> list[Stretch]:
    """The stretches of a room's wall that face no other drawn room, longest first.

    Parameters
    ----------
    room : Room
        a drawn room
    others : iterable of Room
        all drawn rooms of its level
    """
    neighbours = [edge for other in others if other.name != room.name for edge in edges(other)]
    found = []
    for edge in edges(room):
        at = 0.0
        for low, high in [*sorted(_covered(edge, neighbours)), (edge.length, edge.length)]:
            if low - at > SHORTEST:
                found.append(Stretch(edge.at(at), edge.at(low)))
            at = max(at, high)
    return sorted(found, key=lambda stretch: (-round(stretch.length, 3), stretch.start))


def _covered(edge: Stretch, others: Iterable[Stretch]) -> list[tuple[float, float]]:
    """The parts of an edge, as distances from its start, on which another edge lies."""
    (x, y), parts = edge.along, []
    for other in others:
        ends = []
        for point in (other.start, other.end):
            dx, dy = point[0] - edge.start[0], point[1] - edge.start[1]
            if abs(dx * y - dy * x) > SAME_LINE:
                break
            ends.append(dx * x + dy * y)
        if len(ends) == 2:
            low, high = max(0.0, min(ends)), min(edge.length, max(ends))
            if high - low > SHORTEST:
                parts.append((low, high))
    return parts


@dataclass(frozen=True)
class Gap:
    """An opening on the plan: the wall piece it takes, and the spaces on the left and on the right of it."""

    opening: Opening
    wall: Stretch
    inside: str
    beyond: str


def gaps(house: House, rooms: Sequence[Room]) -> list[Gap]:
    """Where each opening between drawn rooms, or from one to outdoors, sits.

    Parameters
    ----------
    house : House
        the house
    rooms : sequence of Room
        the drawn rooms of one level
    """
    drawn = {room.name: room for room in rooms}
    stretches: dict[Stretch, list[tuple[Opening, str, str]]] = {}
    for opening in house.openings:
        one, other = opening.between
        if one == OUTDOORS:
            one, other = other, one
        if one not in drawn or (other != OUTDOORS and other not in drawn):
            continue
        walls = outside(drawn[one], rooms) if other == OUTDOORS else shared(drawn[one], drawn[other])
        if walls:
            stretches.setdefault(_faced(walls, opening), []).append((opening, one, other))
    return [gap for stretch, group in stretches.items() for gap in _side_by_side(stretch, group)]


COMPASS = {"south": (0.0, -1.0), "north": (0.0, 1.0), "east": (1.0, 0.0), "west": (-1.0, 0.0)}


def _faced(walls: list[Stretch], opening: Opening) -> Stretch:
    """The longest stretch that faces as the opening says, else the longest; outdoors is on its right."""
    wanted = COMPASS.get(opening.faces)
    if wanted:
        for wall in walls:
            x, y = wall.along
            if y * wanted[0] - x * wanted[1] > 0.7:
                return wall
    return walls[0]


def _side_by_side(stretch: Stretch, group: list[tuple[Opening, str, str]]) -> list[Gap]:
    placed = []
    for place, (opening, one, other) in enumerate(group):
        share = stretch.length / len(group)
        wide = min(opening.width, 0.9 * share)
        middle = share * (place + 0.5)
        placed.append(Gap(opening, Stretch(stretch.at(middle - wide / 2), stretch.at(middle + wide / 2)), one, other))
    return placed
