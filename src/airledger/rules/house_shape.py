"""The parts of a house that a rule looks at, told by their shape: `rules` imports nothing of `house`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol


class Exhausting(Protocol):
    """A machine that blows air out; flows [m3/s]."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def kind(self) -> str:
        """Hood, dryer, bath fan, vacuum, open fireplace or exhaust."""

    @property
    def room(self) -> str:
        """The room it stands in."""

    @property
    def speeds(self) -> Sequence[tuple[str, float]]:
        """Name and rated flow of each speed."""

    @property
    def rated(self) -> tuple[float, float] | None:
        """Rated flow and the pressure it is rated at."""

    @property
    def not_picked(self) -> float | None:
        """The largest flow that may still be picked."""

    @property
    def vented(self) -> str:
        """To outdoors, or heat pump."""


class Burning(Protocol):
    """An appliance."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def burns(self) -> str:
        """Its fuel, empty if none."""

    @property
    def vents(self) -> str:
        """How its smoke leaves, empty if nobody knows."""

    @property
    def room(self) -> str:
        """The room it stands in."""


class Space(Protocol):
    """A room or a buffer space; area [m2]."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def kind(self) -> str:
        """Room, attic, crawl space or garage."""

    @property
    def area(self) -> float:
        """Its floor area."""


class Ruled(Protocol):
    """What an official decided."""

    @property
    def subject(self) -> str:
        """What it is about."""

    @property
    def says(self) -> str:
        """The decision in words."""

    @property
    def on(self) -> str:
        """Its date."""

    @property
    def by(self) -> str:
        """Who decided."""


class Speed(Protocol):
    """A speed of the ERV or HRV; flows [m3/s]."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def supply(self) -> float:
        """Air in."""

    @property
    def exhaust(self) -> float:
        """Air out."""


class Ventilating(Protocol):
    """An ERV or HRV."""

    @property
    def speeds(self) -> Sequence[Speed]:
        """Its speeds."""


class Blowing(Protocol):
    """A make-up fan; flows [m3/s]."""

    @property
    def speeds(self) -> Sequence[tuple[str, float]]:
        """Name and flow of each speed."""


class LettingIn(Protocol):
    """One arrangement for make-up air."""

    @property
    def fan(self) -> Blowing | None:
        """Its fan, if it has one."""

    @property
    def starts_with(self) -> Sequence[tuple[str, str]]:
        """The machines that it starts with, and from which speed on."""


class Standing(Protocol):
    """Where the house stands."""

    @property
    def place(self) -> str:
        """City or county and state."""

    @property
    def built(self) -> int | None:
        """The year in which the house was built, None for one that is being built."""


class HouseLike(Protocol):
    """A house, as far as rules look at it."""

    @property
    def site(self) -> Standing:
        """Where it stands."""

    @property
    def rooms(self) -> Sequence[Space]:
        """Its rooms and buffer spaces."""

    @property
    def exhausts(self) -> Sequence[Exhausting]:
        """What blows air out."""

    @property
    def appliances(self) -> Sequence[Burning]:
        """What burns or heats."""

    @property
    def ventilator(self) -> Ventilating | None:
        """The ERV or HRV."""

    @property
    def make_up_air(self) -> Sequence[LettingIn] | None:
        """What lets make-up air in, None while undecided."""

    @property
    def rulings(self) -> Sequence[Ruled]:
        """What the official decided."""
