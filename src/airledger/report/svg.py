"""A small writer of SVG: escaped text, one number format, the same bytes for the same drawing.

Lengths are in drawing units of 1/96 inch.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape

from airledger.report import look
from airledger.report.text_width import width

Point = tuple[float, float]


def number(value: float) -> str:
    """A coordinate as written: at most two decimals, no trailing zeros, no negative zero.

    Parameters
    ----------
    value : float
        a coordinate
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@dataclass(frozen=True)
class Stroke:
    """How a line or an edge is drawn; None leaves the inside empty."""

    colour: str = look.INK
    weight: float = look.LINE
    dash: str = ""
    fill: str | None = None

    @property
    def attributes(self) -> str:
        """The style as SVG attributes."""
        dash = f' stroke-dasharray="{self.dash}"' if self.dash else ""
        edge = f'stroke="{self.colour}" stroke-width="{number(self.weight)}"{dash}' if self.weight else 'stroke="none"'
        return f'fill="{self.fill or "none"}" {edge}'


def solid(colour: str = look.INK) -> Stroke:
    """A filled shape without an edge.

    Parameters
    ----------
    colour : str
        its colour
    """
    return Stroke(weight=0, fill=colour)


@dataclass(frozen=True)
class Letters:
    """How a text is set. anchor: start | middle | end."""

    size: float = look.TEXT
    colour: str = look.INK
    strong: bool = False
    anchor: str = "start"


@dataclass
class Drawing:
    """A picture under way. name begins every id, so that several pictures fit on one page; title is read out loud."""

    name: str
    title: str
    width: float = look.WIDTH
    height: float = 100.0
    parts: list[str] = field(default_factory=list)
    boxes: list[tuple[float, float, float, float]] = field(default_factory=list)
    hatches: dict[str, str] = field(default_factory=dict)

    def line(self, start: Point, end: Point, stroke: Stroke = Stroke()) -> None:
        """A straight line."""
        (x1, y1), (x2, y2) = start, end
        self.parts.append(
            f'<line x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}" {stroke.attributes}/>'
        )

    def rectangle(self, corner: Point, size: Point, stroke: Stroke = Stroke(), rounded: float = 0.0) -> None:
        """A rectangle from its upper left corner."""
        radius = f' rx="{number(rounded)}"' if rounded else ""
        self.parts.append(
            f'<rect x="{number(corner[0])}" y="{number(corner[1])}" width="{number(size[0])}" '
            f'height="{number(size[1])}"{radius} {stroke.attributes}/>'
        )

    def shape(self, points: Iterable[Point], stroke: Stroke = Stroke(), closed: bool = True) -> None:
        """A polygon, or an open line through points."""
        corners = " ".join(f"{number(x)},{number(y)}" for x, y in points)
        self.parts.append(f'<{"polygon" if closed else "polyline"} points="{corners}" {stroke.attributes}/>')

    def text(self, at: Point, words: str, letters: Letters = Letters()) -> float:
        """One line of text on its base line; gives its width and remembers its box."""
        span = width(words, letters.size, letters.strong)
        left = at[0] - {"start": 0.0, "middle": span / 2, "end": span}[letters.anchor]
        self.boxes.append((left, at[1] - 0.78 * letters.size, left + span, at[1] + 0.22 * letters.size))
        weight = ' font-weight="600"' if letters.strong else ""
        anchor = f' text-anchor="{letters.anchor}"' if letters.anchor != "start" else ""
        self.parts.append(
            f'<text x="{number(at[0])}" y="{number(at[1])}" font-size="{number(letters.size)}"{weight}{anchor} '
            f'fill="{letters.colour}">{escape(words, quote=False)}</text>'
        )
        return span

    def unit(self, at: Point, words: str, anchor: str = "start") -> None:
        """A unit in small capitals: capitals stay large, so that Pa, N and kg keep their meaning."""
        runs = [(run, run.islower()) for run in re.findall(r"[a-z]+|[^a-z]+", words)]
        sizes = [look.SMALL_CAPITAL if small else look.CAPITAL for _, small in runs]
        shown = [run.upper() for run, _ in runs]
        span = sum(width(run, size) for run, size in zip(shown, sizes, strict=True))
        left = at[0] - {"start": 0.0, "middle": span / 2, "end": span}[anchor]
        self.boxes.append((left, at[1] - 0.78 * max(sizes), left + span, at[1] + 2.0))
        spans = "".join(
            f'<tspan font-size="{number(size)}">{escape(run, quote=False)}</tspan>'
            for run, size in zip(shown, sizes, strict=True)
        )
        self.parts.append(
            f'<text x="{number(left)}" y="{number(at[1])}" fill="{look.GREY}" xml:space="preserve">{spans}</text>'
        )

    def hatch(self, gap: float = look.HATCH_GAP, colour: str = look.INK, weight: float = look.HAIR) -> str:
        """A fill of slanting lines."""
        key = f"{self.name}-hatch-{number(gap)}-{number(weight)}-{colour.lstrip('#')}".replace(".", "_")
        self.hatches[key] = (
            f'<pattern id="{key}" width="{number(gap)}" height="{number(gap)}" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="{number(gap)}" stroke="{colour}" '
            f'stroke-width="{number(2 * weight)}"/></pattern>'
        )
        return f"url(#{key})"

    def svg(self) -> str:
        """The finished picture."""
        defs = "".join(self.hatches[key] for key in sorted(self.hatches))
        body = "\n".join(self.parts)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(self.width)}" height="{number(self.height)}" '
            f'viewBox="0 0 {number(self.width)} {number(self.height)}" role="img" font-family="{look.FONTS}">\n'
            f"<title>{escape(self.title, quote=False)}</title>\n<defs>{defs}</defs>\n"
            f'<rect width="{number(self.width)}" height="{number(self.height)}" fill="{look.PAPER}"/>\n{body}\n</svg>\n'
        )
