"""What burns inside a house and what its fans can move, as far as a rule about make-up air asks."""

from __future__ import annotations

from airledger.rules.house_shape import Burning, Exhausting, HouseLike

MECHANICAL = ("hood", "vacuum", "bath fan", "dryer", "exhaust")  # what a motor drives; an open fireplace is none
SEALED_VENTS = ("direct vent", "sealed", "power vent")  # direct vent or mechanical draft
SOLID_FUELS = ("wood", "pellet", "coal")


def most_it_can_move(exhaust: Exhausting) -> float:
    """The rated maximum of a machine [m3/s]; of one not picked, the largest that may be; 0 where no air leaves.

    Where speeds are called "one" and "all", several like machines stand under one name, and the code looks at each.

    Parameters
    ----------
    exhaust : Exhausting
        a machine that blows air out [-]

    Reference
    ---------
    "Able to move" read as the rated maximum: common practice, no source.
    """
    if exhaust.vented == "heat pump":
        return 0.0
    several = {"one", "all"} == {name for name, _ in exhaust.speeds}
    flows = [flow for name, flow in exhaust.speeds if name != "all" or not several] + (
        [exhaust.rated[0]] if exhaust.rated else []
    )
    return max([*flows, exhaust.not_picked or 0.0])


def fans(house: HouseLike) -> tuple[Exhausting, ...]:
    """The machines that a motor drives and that move air out of the house.

    Parameters
    ----------
    house : HouseLike
        the house [-]
    """
    return tuple(exhaust for exhaust in house.exhausts if exhaust.kind in MECHANICAL and most_it_can_move(exhaust) > 0)


def burning_inside(house: HouseLike) -> tuple[Burning, ...]:
    """The appliances that burn something inside the envelope; one whose room is not told is taken as inside.

    Parameters
    ----------
    house : HouseLike
        the house [-]
    """
    return tuple(appliance for appliance in house.appliances if appliance.burns and is_inside(appliance.room, house))


def is_inside(room: str, house: HouseLike) -> bool:
    """Whether a room lies inside the envelope: no garage, attic or crawl space.

    Parameters
    ----------
    room : str
        a room's name, empty if not told [-]
    house : HouseLike
        the house [-]
    """
    return all(space.name != room or space.kind == "room" for space in house.rooms)


def open_fires(house: HouseLike) -> tuple[str, ...]:
    """Names of open fireplaces among the exhausts: solid fuel on natural draft.

    Parameters
    ----------
    house : HouseLike
        the house [-]
    """
    return tuple(
        exhaust.name
        for exhaust in house.exhausts
        if exhaust.kind == "open fireplace" and is_inside(exhaust.room, house)
    )


def on_gravity_vents(house: HouseLike) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names of what surely stands on a natural-draft vent inside, and of what may: fan-assisted, or nobody has looked.

    Parameters
    ----------
    house : HouseLike
        the house [-]
    """
    burning = burning_inside(house)
    sure = tuple(appliance.name for appliance in burning if appliance.vents == "natural draft")
    unsure = tuple(appliance.name for appliance in burning if appliance.vents in ("fan-assisted", ""))
    return sure + open_fires(house), unsure


def solid_fuel(house: HouseLike) -> tuple[str, ...]:
    """Names of what burns solid fuel inside.

    Parameters
    ----------
    house : HouseLike
        the house [-]
    """
    return tuple(a.name for a in burning_inside(house) if a.burns in SOLID_FUELS) + open_fires(house)
