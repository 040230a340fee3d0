"""The depths of a traverse on a screen: inches by the sixteenth, as a tape reads, or millimetres."""

from __future__ import annotations

from typing import Protocol

from airledger.units import INCH

SIXTEENTHS = 16


class Depths(Protocol):
    """A traverse: what is crossed, the depths from the near wall [m], readings in all."""

    @property
    def rule(self) -> str:
        """Its rule."""

    @property
    def lines(self) -> tuple[tuple[str, tuple[float, ...]], ...]:
        """What is crossed, with the depths."""

    @property
    def count(self) -> int:
        """Readings in all."""


def traverse_text(made: Depths, system: str) -> str:
    """The depths, a line each way.

    Parameters
    ----------
    made : Depths
        of one duct [-]
    system : str
        ``ip`` or ``si`` [-]
    """
    head = f"{made.count} readings ({made.rule}, ISO 3966); depths from the near wall:"
    lines = [f"  {name}: {', '.join(_depth(depth, system) for depth in depths)}" for name, depths in made.lines]
    end = "The flow is the mean of the speeds times the duct's area. A reading below 0 means no traverse holds there."
    return "\n".join((head, *lines, end)) + "\n"


def _depth(depth: float, system: str) -> str:
    if system == "si":
        return f"{1000 * depth:.0f} mm"
    whole, rest = divmod(round(depth / INCH * SIXTEENTHS), SIXTEENTHS)
    below = SIXTEENTHS
    while rest and rest % 2 == 0:
        rest, below = rest // 2, below // 2
    part = f"{rest}/{below}" if rest else ""
    return f"{whole or ''}{' ' if whole and part else ''}{part} in" if whole or part else "0 in"
