"""What the worst is sought of: the house, each room inside the envelope, each door that is ever shut."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.house.assemble import Model
from airledger.house.house import OUTDOORS, House, Opening
from airledger.house.operating_state import can_move, standing_position
from airledger.physics.network import OUTSIDE
from airledger.search.states import Listing

HOUSE = -2
"""Stands for the node of the room whose pressure is the house's, which doors may decide."""


@dataclass(frozen=True)
class Sought:
    """One thing that may get worse: the pressure from node a to node b [Pa], b = -1 for outdoors.

    a: -2 for the house, whose room may change; door: position of the freedom that shuts it, -1 where it is always shut;
    shut: that choice; opening: None of a room, of which only the lowest counts.
    """

    name: str
    a: int
    b: int
    door: int = -1
    shut: int = 0
    opening: Opening | None = None


def sought_of(listing: Listing, model: Model) -> tuple[Sought, ...]:
    """Everything that a house is asked the worst of: its rooms, and its doors with a leaf that are ever shut.

    Parameters
    ----------
    listing : Listing
        the combinations [-]
    model : Model
        the house as a network [-]
    """
    house = model.house
    place = {name: index for index, name in enumerate(model.nodes)} | {OUTDOORS: OUTSIDE}
    found = [Sought("house", HOUSE, OUTSIDE)]
    found += [Sought(room.name, place[room.name], OUTSIDE) for room in house.conditioned]
    for opening in house.openings:
        if opening.kind != "door":
            continue
        a, b = (place[name] for name in sorted(opening.between, key=lambda name: name == OUTDOORS))
        free = [
            (position, choice)
            for position, freedom in enumerate(listing.freedoms)
            for choice, entry in enumerate(freedom.choices)
            if dict(entry.settings).get(("open", opening.name)) == 0.0
        ]
        if free:
            found.append(Sought(opening.name, a, b, *free[0], opening))
        elif can_move(opening) and standing_position(house, opening) == 0.0:
            found.append(Sought(opening.name, a, b, opening=opening))
    return tuple(found)


def fixed_reference(house: House) -> str | None:
    """The room whose pressure is the house's whatever is open or shut; None where doors decide it.

    Parameters
    ----------
    house : House
        its rooms and openings [-]
    """
    rooms = {room.name: room.area for room in house.conditioned}
    largest = max(rooms, key=lambda name: rooms[name])
    joins = [set(o.between) for o in house.openings if o.kind != "grille" and set(o.between) <= set(rooms)]
    always = [set(o.between) for o in house.openings if o.kind != "grille" and not can_move(o)]
    group = _joined({largest}, [pair for pair in always if pair <= set(rooms)])
    alone = sum(area == rooms[largest] for area in rooms.values()) == 1
    apart = [pair for pair in joins if not pair & group]
    others = (sum(rooms[name] for name in _joined({room}, apart)) for room in rooms if room not in group)
    own = sum(rooms[name] for name in group)
    return largest if alone and own > max(others, default=0.0) else None


def _joined(start: set[str], pairs: list[set[str]]) -> set[str]:
    """All rooms that can be reached from some by pairs of joined rooms."""
    reached = set(start)
    while grown := set().union(*(pair for pair in pairs if pair & reached)) - reached:
        reached |= grown
    return reached
