"""Whether texts of a drawing cover each other."""

from __future__ import annotations

from airledger.report.svg import Drawing

Box = tuple[float, float, float, float]


def overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def covered(picture: Drawing) -> list[tuple[Box, Box]]:
    boxes = picture.boxes
    return [(a, b) for place, a in enumerate(boxes) for b in boxes[place + 1 :] if overlap(a, b)]


def outside(picture: Drawing) -> list[Box]:
    return [
        b for b in picture.boxes if b[0] < -0.5 or b[1] < -0.5 or b[2] > picture.width + 0.5 or b[3] > picture.height
    ]
