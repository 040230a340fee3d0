"""Ten plain answers about a house that is not drawn yet: what a builder says before there is a plan."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.house.house import Appliance
from airledger.uncertain import Uncertain


@dataclass(frozen=True)
class Pull:
    """A thing that blows air out, as said. kind: hood | dryer | bath fan | vacuum | open fireplace | exhaust.

    One kind more, "glass fireplace", blows no air out but burns inside; vented then tells how, if that was said.

    flows [m3/s] from low to high, empty where none was said; not_picked [m3/s]: the largest that may still be picked;
    vented: "" | "to outdoors" | "heat pump".
    """

    name: str
    kind: str
    flows: tuple[float, ...] = ()
    not_picked: float | None = None
    vented: str = ""


@dataclass(frozen=True)
class SaidVentilator:
    """An ERV or HRV as said. flows [m3/s] each way: low and boost, or boost alone, or none."""

    kind: str
    flows: tuple[float, ...] = ()


@dataclass(frozen=True)
class WallDuct:
    """The round duct that the wall can take: diameter [m], how many side by side."""

    diameter: float
    count: int = 1


@dataclass(frozen=True)
class Answers:
    """What was said; None where the person left it open, and then a default is taken and listed.

    floor_area [m2], ceiling [m], tightness as `house.Envelope` holds it, entry_door_swings: in | out.
    """

    place: str
    floor_area: float
    exhausts: tuple[Pull, ...]
    appliances: tuple[Appliance, ...]
    ceiling: float | None = None
    bedrooms: int | None = None
    storeys: int | None = None
    tightness: Uncertain | None = None
    tightness_unit: str = "ach50"
    ventilator: SaidVentilator | None = None
    wall_duct: WallDuct | None = None
    entry_door_swings: str | None = None
    name: str = ""
