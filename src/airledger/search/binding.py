"""The limit that binds: the house's pressure, the pull at a door, or what an appliance can take, with its source."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.search.judge import Judged
from airledger.search.limits import Limits
from airledger.sources import Source

UNCONFIRMED = " The limit is recalled, unconfirmed."


@dataclass(frozen=True)
class Binding:
    """The limit that an option meets first.

    where: what it is about · value: what the option comes to · limit: tolerated, both in the unit · unit: Pa or N.
    """

    where: str
    value: float
    limit: float
    unit: str
    basis: str
    source: Source

    @property
    def hedge(self) -> str:
        """What a message says of a limit that was recalled and not looked up."""
        return UNCONFIRMED if self.source.tag == "memory" else ""


def binding_of(one: Judged, judged: Limits) -> Binding:
    """The limit that binds an option.

    Parameters
    ----------
    one : Judged
        the option with its worst state [-]
    judged : Limits
        the limits [-]
    """
    appliance = next((a for a in judged.appliances if a.name == one.bound_by), None)
    if appliance is not None:
        return Binding(appliance.name, one.bound_pressure, appliance.pressure, "Pa", "standard", appliance.source)
    if one.bound_by == "door pull":
        pull = judged.door_pull.tolerated
        return Binding(one.door, one.door_force, pull, "N", judged.door_basis, judged.door_source)
    pressure = judged.house_pressure.tolerated
    return Binding("house", one.pressure, pressure, "Pa", judged.house_basis, judged.house_source)
