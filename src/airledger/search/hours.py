"""How many hours a year a combination lasts: shares of use multiplied, as if each thing were used on its own."""

from __future__ import annotations

from collections.abc import Iterable

from airledger.house.house import Exhaust, House
from airledger.sources import Assumption, Source

HOUR = 3600.0
YEAR = 8760 * HOUR
APARTMENTS = Source("LBNL, 16 apartments (abstract): share of minutes in use", "published (abstract)")
HABIT = Source("hours of use in a family house", "practice")
SHUT_AT_NIGHT = 8 / 24

# kind of machine -> share of the year, why, source
DEFAULT_USE: dict[str, tuple[float, str, Source]] = {
    "hood": (0.046, "cooking takes 4.6 % of minutes", APARTMENTS),
    "bath fan": (0.039, "a bath fan runs 3.9 % of minutes", APARTMENTS),
    "dryer": (5 / 168, "five hours a week", HABIT),
    "vacuum": (1 / 168, "one hour a week", HABIT),
    "open fireplace": (60 / 8760, "sixty hours a year", HABIT),
    "exhaust": (1 / 168, "one hour a week", HABIT),
}


def use_share(exhaust: Exhaust) -> float:
    """Share of the year during which a machine runs, at any of its speeds.

    Parameters
    ----------
    exhaust : Exhaust
        the machine [-]
    """
    if exhaust.use is not None:
        return min(1.0, exhaust.use / YEAR)
    return DEFAULT_USE.get(exhaust.kind, DEFAULT_USE["exhaust"])[0]


def speed_share(exhaust: Exhaust) -> float:
    """Share of the year at one speed: use split evenly over the speeds.

    Parameters
    ----------
    exhaust : Exhaust
        the machine [-]
    """
    return use_share(exhaust) / max(1, len(exhaust.speeds))


def boost_share(house: House) -> float:
    """Share of the year during which the ventilator boosts: one shower a person a day, as long as its timer runs.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    ventilator = house.ventilator
    if ventilator is None or len(ventilator.speeds) < 2:
        return 0.0
    lasts = ventilator.boost_lasts if ventilator.boost_lasts is not None else 20 * 60.0
    return min(0.5, lasts * _people(house) / (24 * HOUR))


def _people(house: House) -> int:
    if house.sleeping:
        return house.sleeping
    return (house.bedrooms or 2) + 1


def yearly_hours(shares: Iterable[float]) -> float:
    """Seconds a year of a combination whose parts are used independently of each other.

    Parameters
    ----------
    shares : iterable of float
        share of the year of each part [-]
    """
    seconds = YEAR
    for share in shares:
        seconds *= share
    return seconds


def assumed_use(house: House) -> tuple[Assumption, ...]:
    """Every share of use that the file leaves out.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    listed = []
    for exhaust in house.exhausts:
        if exhaust.use is None and exhaust.vented != "heat pump":
            share, why, source = DEFAULT_USE.get(exhaust.kind, DEFAULT_USE["exhaust"])
            listed.append(Assumption(f"exhausts / {exhaust.name} / use", share * YEAR, "s/year", why, source))
    if any(opening.kind == "door" and "outdoors" not in opening.between for opening in house.openings):
        why = "doors between rooms are shut eight hours a day, each on its own"
        listed.append(Assumption("openings / inner doors / shut", SHUT_AT_NIGHT, "-", why, HABIT))
    if boost_share(house) > 0:
        why = "one shower a person a day, each a full boost"
        listed.append(Assumption("ventilator / boost / use", boost_share(house) * YEAR, "s/year", why, HABIT))
    return tuple(listed)
