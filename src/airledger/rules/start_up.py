"""What somebody read at start-up: values only, each with its instrument and what that showed."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.rules.shown import Meter, Shown

# what -> (dimension of its value, what it is read on; "" for words)
WHATS = {
    "supply": ("flow", "grille"),
    "pick-up": ("flow", "grille"),
    "supply stream": ("flow", "stream"),
    "exhaust stream": ("flow", "stream"),
    "exhaust": ("flow", "exhaust"),
    "house pressure": ("pressure", "house"),
    "unit swing": ("pressure", "house"),
    "door pull": ("force", "door"),
    "interlock": ("", ""),
    "look": ("", ""),
}
"""What may be read: the dimension of its value, and what it is read on."""

OPENED, STAYED_SHUT = ("opened", "open", "ran", "stayed open"), ("shut", "shut again", "stayed shut", "did not run")
"""Words for a damper or a fan that acts, and for one that does not."""
YES, NO = ("yes",), ("no",)
"""Words for what is as it should be, and for what is not."""

AFTER = ("off", "power back")
"""States of an interlock beside the speeds of the machine that starts it: the machine off; power gone and back."""


@dataclass(frozen=True)
class StartUpReading:
    """One reading. value [SI] or None where words stand; error: one standard deviation [SI]; line of the file.

    state: what was running; what: a key of `WHATS`; where: room, machine, door, make-up opening, or the ventilator;
    meter and shown: the instrument and what it showed, None for words.
    """

    state: str
    what: str
    where: str
    value: float | None
    words: str
    error: float
    line: int
    meter: Meter | None = None
    shown: Shown | None = None

    @property
    def instrument(self) -> str:
        """The kind of instrument; nothing where words stand."""
        return self.meter.made.key if self.meter else ""

    @property
    def stale(self) -> bool:
        """Whether the calibration is old or not told."""
        return self.meter is not None and self.meter.stale


@dataclass(frozen=True)
class StartUp:
    """All readings of one visit."""

    name: str
    readings: tuple[StartUpReading, ...]
    date: str = ""
    tester: str = ""
    house: str = ""
    address: str = ""
