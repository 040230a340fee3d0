"""A flow as a tapered ribbon: solid with an open head for air coming in, dashed with a full head for air going out."""

from __future__ import annotations

import math

from airledger.report import look
from airledger.report.svg import Drawing, Point, Stroke, solid

LONGEST, THINNEST, THICKEST = 34.0, 3.0, 24.0
STYLES = ("in", "out", "between")


def thickness(flow: float, largest: float) -> float:
    """How wide a ribbon is: its area of flow, so that twice the air is twice the width.

    Parameters
    ----------
    flow : float
        the ribbon's flow
    largest : float
        the largest flow of the picture
    """
    return max(THINNEST, THICKEST * flow / largest) if largest > 0 else THINNEST


def ribbon(picture: Drawing, middle: Point, direction: Point, wide: float, style: str) -> None:
    """A ribbon through a point.

    Parameters
    ----------
    picture : Drawing
        where it is drawn
    middle : tuple of float
        the point it passes, the middle of an opening
    direction : tuple of float
        unit vector of the air
    wide : float
        width at its tail
    style : str
        in | out | between
    """
    (x, y), (dx, dy) = middle, direction
    long = LONGEST * (0.7 if style == "between" else 1.0)

    def at(along: float, across: float) -> Point:
        return x + dx * along - dy * across, y + dy * along + dx * across

    tail, neck, head = -long / 2, long / 2 - 8, long / 2
    narrow = max(1.0, wide * 0.22)
    body = [at(tail, wide / 2), at(neck, narrow / 2), at(neck, -narrow / 2), at(tail, -wide / 2)]
    fill = {"in": look.PAPER, "out": look.PAPER, "between": "#cfcfcf"}[style]
    picture.shape(body, Stroke(weight=look.HAIR + 0.2, dash="3 2" if style == "out" else "", fill=fill))
    wings = at(neck - 1, 4.4), at(head, 0.0), at(neck - 1, -4.4)
    if style == "out":
        picture.shape(wings, solid())
    else:
        picture.shape(wings, Stroke(weight=1.5), closed=False)
        picture.line(at(neck, 0.0), at(head, 0.0), Stroke(weight=1.2))


def mark(picture: Drawing, at: Point, enters: bool) -> float:
    """The small sign before a line of text, as the ribbons are drawn; gives its width.

    Parameters
    ----------
    picture : Drawing
        where it is drawn
    at : tuple of float
        left end, on the base line
    enters : bool
        whether air comes in
    """
    x, y = at[0], at[1] - 3.6
    picture.line((x, y), (x + 13, y), Stroke(weight=1.1, dash="" if enters else "3 2"))
    wings = [(x + 10, y - 3), (x + 15, y), (x + 10, y + 3)]
    if enters:
        picture.shape(wings, Stroke(weight=1.1), closed=False)
    else:
        picture.shape(wings, solid())
    return 19.0


def unit(vector: Point) -> Point:
    """A vector of length one.

    Parameters
    ----------
    vector : tuple of float
        any vector but zero
    """
    long = math.hypot(*vector)
    return vector[0] / long, vector[1] / long
