"""What wind adds to a state that was judged in calm air."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import House, Wind
from airledger.house.operating_state import WIND_FROM, WIND_SPEED, Settings
from airledger.house.readout import Readout
from airledger.quantities import within_words
from airledger.search.limits import Limits
from airledger.search.states import Listing
from airledger.search.worst import Solve, Survey, Worst, signed_force
from airledger.sources import Assumption, Source
from airledger.units import MILE

Array = NDArray[np.float64]
Read = Callable[[Readout], Array]

SIDES = (0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0)
"""Directions that wind "from any" side is tried from, clockwise from north [degrees]."""

BREEZE = 15 * MILE / 3600
"""A fresh day's wind at the weather station, taken where the file gives none [m/s]: common practice, no source."""


def reckoned_wind(house: House) -> Wind:
    """The wind that is told beside the verdicts: the file's, else a fresh day's from any side.

    Parameters
    ----------
    house : House
        its site [-]
    """
    return house.site.wind if house.site.wind is not None else Wind(0.0, BREEZE)


def windy(house: House) -> House:
    """The house with the wind that is told beside the verdicts, so that its outside walls are told apart by side.

    Parameters
    ----------
    house : House
        the house [-]
    """
    return replace(house, site=replace(house.site, wind=reckoned_wind(house)))


def assumed_wind(house: House) -> tuple[Assumption, ...]:
    """The wind that was taken because the file gives none.

    Parameters
    ----------
    house : House
        its site [-]
    """
    if house.site.wind is not None:
        return ()
    why = "not given: told beside the verdicts, which are in calm air"
    return (Assumption("site / wind / speed", BREEZE, "m/s", why, Source("a fresh day's wind", "practice")),)


def wind_words(house: House) -> str:
    """The wind that is told beside the verdicts, in words.

    Parameters
    ----------
    house : House
        its site [-]
    """
    assumed = " (assumed: the file gives none)" if house.site.wind is None else ""
    return f"A {within_words(reckoned_wind(house).high, 'wind speed')} wind{assumed}"


def wind_range(listing: Listing, solve: Solve, number: int) -> tuple[float, float] | None:
    """What the most wind adds to the house pressure of a combination: from, to [Pa]; None in a calm site.

    Parameters
    ----------
    listing : Listing
        the combinations [-]
    solve : callable
        settings to readout, of the house made `windy` [-]
    number : int
        number of the combination [-]
    """
    return added_by_wind(listing.house, solve, listing.settings(np.array([number])), Readout.house_pressure)


def added_by_wind(house: House, solve: Solve, settings: Settings, read: Read) -> tuple[float, float] | None:
    """What the most wind adds to what is read of one state: from, to [as read]; None where the file says it is calm.

    Parameters
    ----------
    house : House
        its site [-]
    solve : callable
        settings to readout, of the house made `windy` [-]
    settings : Settings
        one state [-]
    read : callable
        readout to one value a state [-]
    """
    if reckoned_wind(house).high <= 0.0:
        return None
    ((low, high),) = _added(house, solve(_blown(house, settings)), [read])
    return low, high


def _sides(house: House) -> Array:
    """Directions that the wind is tried from, clockwise from north [degrees]."""
    direction = reckoned_wind(house).direction
    return np.array(SIDES if direction is None else (direction,))


def _blown(house: House, settings: Settings) -> Settings:
    """Every state in calm air, then with the most wind from each side."""
    sides = _sides(house)
    count = settings.size
    rows = settings.of_rows(np.repeat(np.arange(count), len(sides) + 1))
    speeds = np.concatenate([[0.0], np.full(len(sides), reckoned_wind(house).high)])
    return rows.with_({WIND_SPEED: np.tile(speeds, count), WIND_FROM: np.tile(np.concatenate([[0.0], sides]), count)})


def _added(house: House, seen: Readout, reads: Sequence[Read]) -> list[tuple[float, float]]:
    """What wind adds to what is read of each state: from, to."""
    width = len(_sides(house)) + 1
    told = []
    for place, read in enumerate(reads):
        values = read(seen)[place * width : (place + 1) * width]
        change = values[1:] - values[0]
        told.append((float(change.min()), float(change.max())))
    return told


def wind_rows(
    found: Survey, solve: Solve, judged: Limits, worst: Sequence[Worst]
) -> list[dict[str, float | int | str | None]]:
    """What wind adds to the worst state of the house, of each door and at each appliance, as lines of a table.

    A door's line is what comes on top of its force, held shut or thrown open; an appliance's is the change of its room.

    Parameters
    ----------
    found : Survey
        every combination, solved [-]
    solve : callable
        settings to readout, of the house made `windy` [-]
    judged : Limits
        for the rooms of the appliances [-]
    worst : sequence of Worst
        the worst of each [-]
    """
    listing = found.listing
    stands_in = {appliance.name: appliance.room for appliance in judged.appliances}
    wanted = [one for one in worst if one.kind != "room"]
    if reckoned_wind(listing.house).high <= 0.0 or not wanted:
        return []
    settings = listing.settings(np.array([int(found.numbers[one.place]) for one in wanted]))
    reads = [_reading(one, stands_in.get(one.target, "") if one.kind == "appliance" else "") for one in wanted]
    added = _added(listing.house, solve(_blown(listing.house, settings)), reads)
    rows: list[dict[str, float | int | str | None]] = []
    for one, change in zip(wanted, added, strict=True):
        is_door = one.kind == "door"
        thrown = is_door and one.value < 0  # then what adds to the throw is more
        low, high = (-change[1], -change[0]) if thrown else change
        rows.append(
            {
                "target": one.target,
                "target_kind": one.kind,
                "wind_ms": reckoned_wind(listing.house).high,
                "wind": "assumed" if listing.house.site.wind is None else "from the file",
                "adds_low_pa": None if is_door else low,
                "adds_high_pa": None if is_door else high,
                "adds_low_n": low if is_door else None,
                "adds_high_n": high if is_door else None,
            }
        )
    return rows


def _reading(one: Worst, room: str) -> Read:
    """How the value that a worst state is about is read."""
    if one.kind == "door":
        return lambda seen: signed_force(seen, one.target)
    return (lambda seen: seen.room_pressure(room)) if room else Readout.house_pressure
