"""The rooms that burners take their air from, and whether they are large enough by the fuel-gas code's methods."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.house.envelope import ach50
from airledger.house.house import OUTDOORS, Appliance, House
from airledger.house.operating_state import can_move
from airledger.rules.combustion_air import (
    known_rate_volume,
    ordinary_air_changes,
    rule,
    standard_is_allowed,
    standard_volume,
)

ENOUGH, SMALL, OUTSIDE, UNTOLD = "large enough", "too small", "air must come from outdoors", "input not told"
NEED_ROOM_AIR = ("natural draft", "fan-assisted", "power vent", "")


@dataclass(frozen=True)
class BurnerRoom:
    """Rooms joined by openings that nothing shuts, and what burns there on room air.

    volume, standard, known [m3]: there, asked by the standard method, asked where the leakage is known (None: no volume
    will do, or cannot be told); air_changes [1/h] in ordinary weather; input [W]; verdict in words.
    """

    rooms: tuple[str, ...]
    appliances: tuple[str, ...]
    volume: float
    input: float | None
    air_changes: float
    standard: float | None
    standard_allowed: bool
    known: float | None
    verdict: str


def joined_rooms(house: House, room: str) -> tuple[str, ...]:
    """A room and those joined to it by openings that no door or sash can shut; all of them where no room is told.

    Parameters
    ----------
    house : House
        rooms and openings [-]
    room : str
        a room's name, or "" [-]
    """
    inside = [entry.name for entry in house.conditioned]
    if not room:
        return tuple(inside)
    joined, waiting = {room}, [room]
    clear = [opening for opening in house.openings if opening.kind == "clear" and not can_move(opening)]
    ways = [set(opening.between) for opening in clear if OUTDOORS not in opening.between]
    while waiting:
        here = waiting.pop()
        for way in ways:
            if here in way and way <= {*inside, room} and not way <= joined:
                waiting += list(way - joined)
                joined |= way
    return tuple(name for name in (entry.name for entry in house.rooms) if name in joined)


def on_room_air(appliance: Appliance) -> bool:
    """Whether an appliance burns gas or oil on air of the rooms and has a vent.

    Parameters
    ----------
    appliance : Appliance
        something that burns, or not [-]
    """
    return appliance.burns not in ("", "wood") and appliance.vents in NEED_ROOM_AIR


def burner_rooms(house: House) -> tuple[BurnerRoom, ...]:
    """Every group of joined rooms in which something burns on room air.

    Parameters
    ----------
    house : House
        rooms, openings, appliances, tightness [-]
    """
    groups: dict[tuple[str, ...], list[Appliance]] = {}
    for appliance in house.appliances:
        if on_room_air(appliance):
            groups.setdefault(joined_rooms(house, appliance.room), []).append(appliance)
    slow = ordinary_air_changes(min(ach50(house).ends))
    return tuple(_judged(house, rooms, burning, slow) for rooms, burning in groups.items())


def _judged(house: House, rooms: tuple[str, ...], burning: list[Appliance], air_changes: float) -> BurnerRoom:
    spaces = [house.room(name) for name in rooms]
    volume = sum(space.volume if space.volume is not None else space.area * space.ceiling for space in spaces)
    inputs = [appliance.input for appliance in burning]
    names, allowed = tuple(appliance.name for appliance in burning), standard_is_allowed(air_changes)
    if any(value is None for value in inputs):
        return BurnerRoom(rooms, names, volume, None, air_changes, None, allowed, None, UNTOLD)
    whole = sum(value or 0.0 for value in inputs)
    by_fan = sum(appliance.input or 0.0 for appliance in burning if appliance.vents == "fan-assisted")
    known = None
    if air_changes >= float(rule("least known rate")["least_air_changes"]):
        known = known_rate_volume(whole - by_fan, by_fan, air_changes)
    standard = standard_volume(whole)
    fits = (allowed and volume >= standard) or (known is not None and volume >= known)
    verdict = ENOUGH if fits else (OUTSIDE if known is None else SMALL)
    return BurnerRoom(rooms, names, volume, whole, air_changes, standard, allowed, known, verdict)
