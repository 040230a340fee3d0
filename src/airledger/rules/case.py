"""One rule as it meets one machine of a house, and what it says of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from airledger import quantities
from airledger.rules.house_shape import Exhausting, HouseLike


@dataclass(frozen=True)
class Answer:
    """A verdict, its words, its formula with numbers, the make-up flow asked for [m3/s]: 0 = none, None = not told."""

    verdict: str
    words: str
    formula: str
    required: float | None = None


@dataclass(frozen=True)
class Case:
    """One rule as it meets one machine: rule as printed, house, machine or None, its flow and the limit [m3/s]."""

    rule: dict[str, Any]
    house: HouseLike
    machine: Exhausting | None
    flow: float
    over: float

    def show(self, flow: float) -> str:
        """A flow as printed.

        Parameters
        ----------
        flow : float
            a volume flow [m3/s]
        """
        return quantities.within_words(flow, "air flow")

    @property
    def compared(self) -> str:
        """The comparison that decides, with its numbers."""
        return f"{self.show(self.flow)} {'>' if self.flow > self.over else '<='} {self.show(self.over)}"
