"""Ways for air through the envelope and between rooms, as elements.

Leaks, doors, windows, clear openings, grilles, vents of buffer spaces.
"""

from __future__ import annotations

import math

from airledger import units
from airledger.house.elements import EnvelopeLeak, Factor, Orifice, Spec
from airledger.house.envelope import leak_places
from airledger.house.house import OUTDOORS, House, Opening
from airledger.house.operating_state import Key, can_move, standing_position, stop
from airledger.house.outdoors import DIRECTIONS, weather
from airledger.physics.door_force import Swing
from airledger.physics.opening import SHARP_EDGED, STRIP_HEIGHTS
from airledger.sources import Assumption, Source

UNDERCUT = 0.75 * units.INCH
"""Gap under a door on a bare floor where the file gives none [m]: common practice, no source."""

CARPET_UNDERCUT = 0.375 * units.INCH
"""Gap under a door over carpet where the file gives none [m]: common practice, no source."""


KNOB = 2.75 * units.INCH
"""Distance from a door's knob to its edge where the file gives none [m]: common practice, no source."""


def setting(key: Key, default: float) -> Factor:
    """A factor that reads one setting of the states.

    Parameters
    ----------
    key : Key
        which setting [-]
    default : float
        its value where no column names it [-]
    """
    return lambda settings: settings.column(key, default)


def leak_specs(house: House) -> list[Spec]:
    """The envelope's leaks, one element a leak, room and facade.

    Parameters
    ----------
    house : House
        envelope and rooms [-]
    """
    specs: list[Spec] = []
    for place in leak_places(house):
        z = house.floor(place.room) + place.height
        specs.append(EnvelopeLeak(place.leak, "leak", place.to, place.room, z, z, faces=place.faces, share=place.share))
    return specs


def vent_specs(house: House) -> tuple[list[Spec], list[Assumption]]:
    """Vents of attic, crawl space and garage to outdoors.

    Parameters
    ----------
    house : House
        rooms that are not inside the envelope [-]
    """
    specs: list[Spec] = []
    assumed: list[Assumption] = []
    for room in house.rooms:
        if room.kind != "room":
            area = room.vents
            if area is None:
                area = room.area / (1000.0 if room.kind == "garage" else 300.0)
                why = "no vents given: 1/300 of its floor area (attic, crawl space), 1/1000 (garage: gaps of its door)"
                assumed.append(
                    Assumption(
                        f"rooms / {room.name} / vents", area, "m2", why, Source("vent share of floor area", "practice")
                    )
                )
            z = house.floor(room.name) + room.ceiling / 2
            specs.append(
                Orifice(f"{room.name} vents", "vent", OUTDOORS, room.name, z, z, area=area, discharge=SHARP_EDGED)
            )
    return specs, assumed


def opening_specs(house: House) -> tuple[list[Spec], list[Assumption]]:
    """Doors, windows, clear openings and grilles; a tall opening between unequal temperatures is cut into three strips.

    Parameters
    ----------
    house : House
        openings and rooms [-]
    """
    specs: list[Spec] = []
    assumed: list[Assumption] = []
    for opening in house.openings:
        specs += _leaf(house, opening)
        assumed += _door_assumptions(opening)
        if has_undercut(house, opening):
            gap, guessed = undercut(opening)
            one, other = opening.between
            z = opening_floor(house, opening)
            area = opening.width * gap
            specs.append(
                Orifice(
                    f"{opening.door or opening.name} undercut",
                    "door",
                    one,
                    other,
                    z,
                    z,
                    area=area,
                    discharge=SHARP_EDGED,
                )
            )
            if guessed:
                why = "the usual gap, 3/4 in on a bare floor and 3/8 in over carpet"
                source = Source("gap under inner doors", "practice")
                assumed.append(Assumption(f"openings / {opening.name} / undercut", gap, "m", why, source))
    return specs, assumed


def _door_assumptions(opening: Opening) -> list[Assumption]:
    """What is taken of a door whose file does not say how it swings or where its knob is."""
    if opening.kind != "door" or OUTDOORS not in opening.between:
        return []
    path, source = f"openings / {opening.name}", Source("entry doors", "practice")
    assumed = []
    if not opening.swings:
        assumed.append(
            Assumption(f"{path} / swings", swing_of(opening), "", "not given: an entry door usually opens in", source)
        )
    if opening.knob is None:
        assumed.append(Assumption(f"{path} / knob", KNOB, "m", "not given: 2 3/4 in from the edge", source))
    return assumed


def has_undercut(house: House, opening: Opening) -> bool:
    """Whether air passes under a shut door: one between rooms, or one whose file says so; others are weather-stripped.

    Parameters
    ----------
    house : House
        tells rooms from buffer spaces [-]
    opening : Opening
        an opening [-]
    """
    if not can_move(opening) or opening.kind == "window" or OUTDOORS in opening.between:
        return False
    return opening.undercut is not None or all(house.room(name).kind == "room" for name in opening.between)


def undercut(opening: Opening) -> tuple[float, bool]:
    """The gap under a door [m], and whether it was assumed.

    Parameters
    ----------
    opening : Opening
        a door between rooms [-]
    """
    if opening.undercut is not None:
        return opening.undercut, False
    return (CARPET_UNDERCUT if opening.carpet else UNDERCUT), True


def opening_floor(house: House, opening: Opening) -> float:
    """Height [m] of the floor an opening stands on.

    The first room's that is not outdoors; the upper one's if it lies flat.

    Parameters
    ----------
    house : House
        levels [-]
    opening : Opening
        the opening [-]
    """
    floors = [house.floor(name) for name in opening.between if name != OUTDOORS]
    return max(floors) if opening.lies_flat else floors[0]


def facade_of(house: House, opening: Opening) -> float | None:
    """The direction an opening to outdoors faces, clockwise from the plan's up [degrees]; None where nobody said.

    Parameters
    ----------
    house : House
        north of the plan [-]
    opening : Opening
        its `faces` is a compass word [-]
    """
    return (DIRECTIONS[opening.faces] - house.site.north) % 360.0 if opening.faces in DIRECTIONS else None


def open_area(opening: Opening) -> float:
    """Free area [m2] of an opening at position 1.

    The whole leaf, a sash at its stop, a clear opening, the free part of a grille.

    Parameters
    ----------
    opening : Opening
        the opening [-]
    """
    if opening.kind == "window":
        return opening.width * stop(opening)
    return opening.width * opening.height * (opening.free if opening.kind == "grille" else 1.0)


def _leaf(house: House, opening: Opening) -> list[Spec]:
    one, other = opening.between
    floor = opening_floor(house, opening)
    kind = "window" if opening.kind == "window" else "door"
    factor = setting(("open", opening.name), standing_position(house, opening)) if can_move(opening) else None
    area = open_area(opening)
    faces = facade_of(house, opening) if OUTDOORS in opening.between else None
    if opening.lies_flat or opening.kind == "grille" or not _unequal(house, one, other):
        z = floor if opening.lies_flat else floor + opening.sill + opening.height / 2
        return [
            Orifice(opening.name, kind, one, other, z, z, faces=faces, factor=factor, area=area, discharge=SHARP_EDGED)
        ]
    tall = stop(opening) if opening.kind == "window" else opening.height
    heights = [floor + opening.sill + part * tall for part in STRIP_HEIGHTS]
    return [
        Orifice(opening.name, kind, one, other, z, z, faces=faces, factor=factor, area=area / 3, discharge=SHARP_EDGED)
        for z in heights
    ]


def _unequal(house: House, one: str, other: str) -> bool:
    """Whether the air on both sides differs in any season."""
    for air in weather(house):
        sides = [air.outdoor if name == OUTDOORS else air.air_of(house.room(name)) for name in (one, other)]
        if not math.isclose(float(sides[0].density), float(sides[1].density), rel_tol=1e-12):
            return True
    return False


def knob_of(opening: Opening) -> float:
    """Distance from the knob to the edge that opens [m].

    Parameters
    ----------
    opening : Opening
        a door [-]
    """
    return KNOB if opening.knob is None else opening.knob


def swing_of(opening: Opening) -> Swing:
    """The side a leaf opens to: in (into the house, or the first room) or out.

    Where the file gives none: a door to outdoors opens in, an inner door into its second room.

    Parameters
    ----------
    opening : Opening
        a door [-]
    """
    if opening.swings:
        return "in" if opening.swings == "in" else "out"
    return "in" if OUTDOORS in opening.between else "out"
