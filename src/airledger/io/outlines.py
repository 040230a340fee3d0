"""Outlines of rooms on the plan: how far two stand apart, and whether one crosses itself."""

from __future__ import annotations

Point = tuple[float, float]
Outline = tuple[Point, ...]
Edge = tuple[Point, Point]


def edges_of(outline: Outline) -> list[Edge]:
    """The edges of an outline, the closing one included.

    Parameters
    ----------
    outline : tuple of (x, y)
        corners in order [m]
    """
    return list(zip(outline, outline[1:] + outline[:1], strict=True))


def area(outline: Outline) -> float:
    """The area that an outline encloses [m2].

    Parameters
    ----------
    outline : tuple of (x, y)
        corners in order [m]
    """
    return abs(sum(x * next_y - next_x * y for (x, y), (next_x, next_y) in edges_of(outline))) / 2


def crosses_itself(outline: Outline) -> bool:
    """Whether two edges of an outline cross, or it encloses no area.

    Parameters
    ----------
    outline : tuple of (x, y)
        corners in order [m]
    """
    edges = edges_of(outline)
    pairs = ((one, other) for place, one in enumerate(edges) for other in edges[place + 1 :])
    return area(outline) <= 0 or any(_cross(one, other) for one, other in pairs)


def outline_gap(first: Outline, second: Outline) -> float:
    """The least distance between the edges of two outlines [m].

    Parameters
    ----------
    first, second : tuple of (x, y)
        corners in order [m]
    """
    edges = edges_of(first), edges_of(second)
    if any(_cross(one, other) for one in edges[0] for other in edges[1]):
        return 0.0
    corners = [(point, edge) for point in first for edge in edges[1]] + [
        (point, edge) for point in second for edge in edges[0]
    ]
    return min(_distance(point, edge) for point, edge in corners)


def _distance(point: tuple[float, float], edge: Edge) -> float:
    (x, y), ((x1, y1), (x2, y2)) = point, edge
    along_x, along_y = x2 - x1, y2 - y1
    length = along_x**2 + along_y**2
    part = 0.0 if length == 0 else min(1.0, max(0.0, ((x - x1) * along_x + (y - y1) * along_y) / length))
    return float(((x - x1 - part * along_x) ** 2 + (y - y1 - part * along_y) ** 2) ** 0.5)


def _cross(one: Edge, other: Edge) -> bool:
    def side(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
