"""Flues: the draft that a cold one has of itself, and an open one as an element between its room and outdoors.

A flue between firings is full of the room's air. It draws by the column of that air against the air outdoors,

    draft = (rho_out - rho_room) g H,

and what the room is pulled below outdoors pulls against it. Hot smoke draws harder; that is for a combustion test.
"""

from __future__ import annotations

from airledger import units
from airledger.house.elements import Run
from airledger.house.house import OUTDOORS, Appliance, House
from airledger.house.outdoors import Outdoors
from airledger.physics.duct_friction import round_area
from airledger.physics.stack_and_wind import stack_pressure

INLET = 4 * units.FOOT
"""Height of a flue's lower end above the floor of its room [m]: common practice, no source."""

LOSS = 2.5
"""Loss of a flue's entry, one elbow and its cap, beside friction [-]: common practice, no source."""


def has_flue(appliance: Appliance) -> bool:
    """Whether an appliance has a flue that stands open to its room and whose size and height are told.

    Parameters
    ----------
    appliance : Appliance
        something that burns, or not [-]
    """
    told = appliance.flue_diameter is not None and appliance.flue_height is not None
    return bool(appliance.burns) and appliance.vents in ("natural draft", "fan-assisted", "") and told


def standing_draft(house: House, appliance: Appliance, weather: Outdoors) -> float | None:
    """Draft of a cold flue [Pa], upwards positive; None where its height is not told.

    Parameters
    ----------
    house : House
        for the air of its room [-]
    appliance : Appliance
        what stands on the flue [-]
    weather : Outdoors
        air outdoors and indoors [-]

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 24, by `physics.stack_and_wind`.
    """
    if appliance.flue_height is None:
        return None
    air = weather.air_of(house.room(appliance.room)) if appliance.room else weather.indoor
    return float(stack_pressure(appliance.flue_height, air.density, weather.outdoor.density))


def flue_element(house: House, appliance: Appliance, room: str) -> Run:
    """An open flue as a smooth round duct from its room to its top, full of the room's air.

    Parameters
    ----------
    house : House
        for the floor it stands on [-]
    appliance : Appliance
        an appliance whose flue's size and height are told [-]
    room : str
        the room it stands in [-]

    Reference: friction by `physics.duct_friction`; losses of the ends are common practice, no source.
    """
    size, height = appliance.flue_diameter or 0.0, appliance.flue_height or 0.0
    foot = house.floor(room) + INLET
    return Run(
        f"{appliance.name} flue",
        "flue",
        room,
        OUTDOORS,
        foot,
        foot + height,
        column=room,
        length=height,
        diameter=size,
        area=float(round_area(size)),
        local=LOSS,
    )
