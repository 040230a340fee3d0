"""How hard the house may be pulled: the user's limits, else defaults that are listed as assumed and never hidden."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.house.house import Appliance, House, Limit
from airledger.sources import Assumption, Source
from airledger.units import POUND_FORCE

YOURS = Source("your limits", "published")
SEALED_HOUSE = Source("CSA F326, sealed house", "memory")
VENTED_APPLIANCE = Source("BPI technical standard, depressurization by appliance", "memory")
WOOD_APPLIANCE = Source("Canadian municipal guidance, spillage-susceptible appliance", "practice")
DOOR_PRACTICE = Source("door opened by hand in a house, after ADA Standards 404.2.9", "practice")

SEALED_WANTED, SEALED_TOLERATED = -10.0, -20.0
DOOR_PULL = 5 * POUND_FORCE

AS_WANTED, TOLERATED, PAST = "as wanted", "tolerated", "past the limit"
CANNOT_TELL = "depends on the tightness"


@dataclass(frozen=True)
class ApplianceLimit:
    """How much the fans may depressurize the room of something that burns. pressure [Pa], a change and negative."""

    name: str
    room: str
    pressure: float
    why: str
    source: Source


@dataclass(frozen=True)
class Limits:
    """All limits of a house with where they come from. house_pressure [Pa], negative; door_pull [N] at the knob."""

    house_pressure: Limit
    house_source: Source
    door_pull: Limit
    door_source: Source
    appliances: tuple[ApplianceLimit, ...]
    assumed: tuple[Assumption, ...]

    @property
    def house_basis(self) -> str:
        """Whose limit on the house pressure it is: the user's or practice."""
        return "user" if self.house_source is YOURS else "practice"

    @property
    def door_basis(self) -> str:
        """Whose limit on the pull at a door it is: the user's or practice."""
        return "user" if self.door_source is YOURS else "practice"


def limits(house: House) -> Limits:
    """The limits that a house is judged by.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    appliances = tuple(limit for a in house.appliances if (limit := appliance_limit(a, house)) is not None)
    appliances += open_fireplaces(house)
    assumed = [
        Assumption(f"appliances / {a.name} / largest depressurization", a.pressure, "Pa", a.why, a.source)
        for a in appliances
    ]
    pressure, pressure_source = house.limits.house_pressure, YOURS
    if pressure is None:
        pressure, pressure_source, why = _default_pressure(appliances)
        assumed += [
            Assumption("limits / house pressure / wanted", pressure.wanted, "Pa", why, pressure_source),
            Assumption("limits / house pressure / tolerated", pressure.tolerated, "Pa", why, pressure_source),
        ]
    pull, pull_source = house.limits.door_pull, YOURS
    if pull is None:
        pull, pull_source = Limit(DOOR_PULL, DOOR_PULL), DOOR_PRACTICE
        why = "what a child or a frail person can still pull open; a code binds public doors only"
        assumed.append(Assumption("limits / door pull", DOOR_PULL, "N", why, DOOR_PRACTICE))
    return Limits(pressure, pressure_source, pull, pull_source, appliances, tuple(assumed))


def _default_pressure(appliances: tuple[ApplianceLimit, ...]) -> tuple[Limit, Source, str]:
    why = "nothing burns with a vent inside"
    if appliances:
        names = " and ".join(appliance.name for appliance in appliances)
        have = "has a tighter limit of its own" if len(appliances) == 1 else "have tighter limits of their own"
        why = f"for the house as a whole; {names} {have}, on the change that the fans make"
    return Limit(SEALED_WANTED, SEALED_TOLERATED), SEALED_HOUSE, why


def appliance_limit(appliance: Appliance, house: House) -> ApplianceLimit | None:
    """The limit of one appliance; None for what does not burn or takes no air from the house.

    Parameters
    ----------
    appliance : Appliance
        the appliance [-]
    house : House
        the house, for what shares its vent [-]
    """
    if not appliance.burns or appliance.vents in ("direct vent", "sealed", "none"):
        return None
    pressure, why, source = _vent_limit(appliance, house)
    return ApplianceLimit(appliance.name, appliance.room, pressure, why, source)


def open_fireplaces(house: House) -> tuple[ApplianceLimit, ...]:
    """The limit of each open fireplace among the exhausts; what it draws itself counts in the change too.

    One in whose room a wood appliance is listed is that appliance.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    listed = {appliance.room for appliance in house.appliances if appliance.burns == "wood"}
    return tuple(
        ApplianceLimit(e.name, e.room, -5.0, "an open fireplace on its chimney", WOOD_APPLIANCE)
        for e in house.exhausts
        if e.kind == "open fireplace" and e.room not in listed
    )


def _vent_limit(appliance: Appliance, house: House) -> tuple[float, str, Source]:
    heats_water = "water" in f"{appliance.name} {appliance.kind}".lower()
    mates = set(appliance.shared_with) | {a.name for a in house.appliances if appliance.name in a.shared_with}
    with_water = any("water" in mate.lower() for mate in mates)
    if appliance.burns == "wood":
        return -5.0, "a wood appliance on a chimney", WOOD_APPLIANCE
    if appliance.vents == "power vent":
        return -50.0, "an appliance blown out by a fan at its outlet", VENTED_APPLIANCE
    if appliance.vents == "fan-assisted":
        alone = (-15.0, "a fan-assisted appliance")
        found = (-5.0, "a fan-assisted appliance that shares a vent with a water heater") if with_water else alone
    elif mates and (heats_water or with_water):
        found = (-3.0, "a natural-draft appliance that shares a vent with a water heater")
    elif heats_water:
        found = (-2.0, "a natural-draft water heater alone on its vent")
    else:
        found = (-5.0, "a natural-draft appliance alone on its vent")
    return *found, VENTED_APPLIANCE


def pressure_verdict(pressure: float, pressure_limit: Limit) -> str:
    """A pressure in one word: as wanted, tolerated, past the limit.

    Parameters
    ----------
    pressure : float
        inside minus outdoors [Pa]
    pressure_limit : Limit
        wanted and tolerated, negative [Pa]
    """
    if pressure >= pressure_limit.wanted:
        return AS_WANTED
    return TOLERATED if pressure >= pressure_limit.tolerated else PAST


def force_verdict(force: float, force_limit: Limit) -> str:
    """A pull at a door in one word: as wanted, tolerated, past the limit.

    Parameters
    ----------
    force : float
        size of the force at the knob [N]
    force_limit : Limit
        wanted and tolerated [N]
    """
    if abs(force) <= force_limit.wanted:
        return AS_WANTED
    return TOLERATED if abs(force) <= force_limit.tolerated else PAST


def both_ends(verdicts: tuple[str, ...]) -> str:
    """One word for a value known as a range: the verdict that both ends share, else that it depends on the tightness.

    Parameters
    ----------
    verdicts : tuple of str
        the verdict at each end [-]
    """
    if all(verdict == PAST for verdict in verdicts):
        return PAST
    if PAST in verdicts:
        return CANNOT_TELL
    return TOLERATED if TOLERATED in verdicts else AS_WANTED
