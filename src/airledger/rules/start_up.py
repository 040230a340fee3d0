"""What somebody read at start-up: values only, each with its instrument."""

from __future__ import annotations

from dataclasses import dataclass

# what -> (dimension of its value, what it is read on; "" for words)
WHATS = {
    "supply": ("flow", "grille"),
    "pick-up": ("flow", "grille"),
    "supply stream": ("flow", "stream"),
    "exhaust stream": ("flow", "stream"),
    "exhaust": ("flow", "exhaust"),
    "house pressure": ("pressure", "house"),
    "door pull": ("force", "door"),
    "interlock": ("", ""),
    "look": ("", ""),
}
"""What may be read: the dimension of its value, and what it is read on."""

YES, NO = ("yes", "opened", "ran", "shut again"), ("no", "stayed shut", "did not run", "stayed open")
"""Words for a look or an interlock that is as it should be, and for one that is not."""


@dataclass(frozen=True)
class StartUpReading:
    """One reading. value [SI] or None where words stand; error: one standard deviation [SI]; line of the file.

    state: what was running; what: a key of `WHATS`; where: room, machine, door, or the ventilator; instrument: a key of
    the table, "" for words; stale: whether its calibration is old or not told.
    """

    state: str
    what: str
    where: str
    value: float | None
    words: str
    error: float
    instrument: str
    stale: bool
    line: int


@dataclass(frozen=True)
class StartUp:
    """All readings of one visit."""

    name: str
    readings: tuple[StartUpReading, ...]
    date: str = ""
    tester: str = ""
