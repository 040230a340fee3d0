"""What an option is made of, who installs it, how much wall it takes and what it costs by the user's price list."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from airledger.house.house import House, Price
from airledger.house.outdoors import Outdoors, weather
from airledger.physics.air_loads import dry_air_mass_flow, sensible_heat
from airledger.search.freedoms import top_flow
from airledger.search.options import TRADE_SIZES, Option
from airledger.search.slots import GRILLE_TO_DUCT, STRAIGHT, Slots, grille_area
from airledger.units import CFM, FOOT, INCH

FAN_DUCT_SPEED = 5.0
TEMPERED_TO = 13.0
INSULATION = 2 * INCH
GRILLE_HEIGHTS = (6, 8, 10, 12, 14, 16, 18, 20)

TRADES = {
    "wall cap": "HVAC",
    "duct": "HVAC",
    "motorized damper": "HVAC",
    "gravity damper": "HVAC",
    "filter box": "HVAC",
    "grille": "HVAC",
    "make-up fan": "HVAC",
    "tempering heater": "electrician",
    "interlock": "electrician",
    "current-sensing switch": "electrician",
    "end-switch hold-back": "electrician",
    "heat-pump dryer": "owner",
    "hood limiter": "HVAC",
    "framed opening": "framer",
}


@dataclass(frozen=True)
class Part:
    """One part of an option: item and size as a price list has them, how many (feet of duct, kW of heat)."""

    item: str
    size: str = ""
    count: float = 1.0
    flow: float = 0.0


@dataclass(frozen=True)
class Bill:
    """An option in parts. price [USD] or None where the list lacks a part; missing: those parts."""

    parts: tuple[Part, ...]
    trades: tuple[str, ...]
    price: float | None
    missing: tuple[str, ...]


def parts_of(option: Option, place: Slots, house: House) -> tuple[Part, ...]:
    """The parts that an option is built of.

    Parameters
    ----------
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    house : House
        for the coldest season [-]
    """
    found: list[Part] = []
    for _ in range(option.count):
        found += _opening(option.inches, option.damper, option.filtered)
    if option.powered:
        flow = powered_flow(option, place)
        found.append(Part("make-up fan", flow=flow))
        found += _opening(fan_duct_size(flow), "motorized", filtered=False)
        found.append(Part("current-sensing switch"))
    if option.damper == "motorized":
        found.append(Part("interlock"))
    if option.waits:
        found.append(Part("end-switch hold-back"))
    if option.tempered:
        found.append(Part("tempering heater", count=heater_kilowatts(powered_flow(option, place), house)))
    if option.hood_limit is not None:
        found.append(Part("hood limiter"))
    if option.heat_pump_dryer:
        found.append(Part("heat-pump dryer", count=len(place.dryers)))
    return tuple(found)


def _opening(inches: int, damper: str, filtered: bool) -> list[Part]:
    size = f"{inches} in"
    found = [Part("wall cap", size), Part("duct", size, STRAIGHT / FOOT), Part(f"{damper} damper", size)]
    found += [Part("filter box", size)] if filtered else []
    return [*found, Part("grille", size), Part("framed opening", size)]


def powered_flow(option: Option, place: Slots) -> float:
    """Flow that an option's fan has to move: all that starts it, at its top speed [m3/s].

    Parameters
    ----------
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    """
    flow = sum(top_flow(exhaust) for exhaust in place.starting if exhaust.name in option.starts_with)
    if option.hood_limit is not None and place.machine is not None:
        flow -= top_flow(place.machine) - option.hood_limit
    return flow


def fan_duct_size(flow: float) -> int:
    """Trade size of the duct of a make-up fan, the first that keeps its air below 5 m/s [in].

    Parameters
    ----------
    flow : float
        what it moves [m3/s]
    """
    needed = np.sqrt(4 * flow / (np.pi * FAN_DUCT_SPEED)) / INCH
    return next((inches for inches in TRADE_SIZES if inches >= needed), TRADE_SIZES[-1])


def tempering_heat(flow: float, air: Outdoors) -> float:
    """Heat that brings outdoor air to 13 C; none where it is warmer. Its water stays as it is [W].

    The fan stands before the heater: it moves its flow at the density of the air outdoors, and cold air is heavier.

    Parameters
    ----------
    flow : float
        air to temper [m3/s]
    air : Outdoors
        the weather of a season [-]

    Reference: m (1.006 + 1.86 W) (t1 - t2), ASHRAE Fundamentals ch. 1 (closed form).
    """
    warm = replace(air.outdoor, temperature=max(TEMPERED_TO, float(air.outdoor.temperature)))
    return float(sensible_heat(dry_air_mass_flow(flow, air.outdoor), warm, air.outdoor))


def heater_kilowatts(flow: float, house: House) -> float:
    """Size of the heater that tempers a flow in every season, in steps of a kilowatt [kW].

    Parameters
    ----------
    flow : float
        air to temper [m3/s]
    house : House
        its seasons [-]
    """
    return float(np.ceil(max(tempering_heat(flow, air) for air in weather(house)) / 1000))


def grille_words(inches: int) -> str:
    """A grille of about three duct areas, as it is ordered: width by height in whole inches.

    Parameters
    ----------
    inches : int
        trade size of the duct [in]
    """
    area = GRILLE_TO_DUCT * np.pi / 4 * inches**2
    height = min(GRILLE_HEIGHTS, key=lambda h: abs(h - np.sqrt(area / 1.5)))
    width = 2 * int(np.ceil(area / height / 2))
    return f"{width} in x {height} in"


def grille_speed(flow: float, option: Option, place: Slots) -> float | None:
    """Air speed over the face of the grille [m/s].

    Parameters
    ----------
    flow : float
        make-up flow through all its grilles [m3/s]
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    """
    area = sum(grille_area(option.diameter) for _ in range(option.count)) if option.diameter else 0.0
    if option.powered:
        area += grille_area(fan_duct_size(powered_flow(option, place)) * INCH)
    return flow / area if area > 0 else None


def wall_space(option: Option, place: Slots) -> tuple[str, str]:
    """What an option takes of the wall outdoors and indoors, and the cavity its duct needs, in words.

    Parameters
    ----------
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    """
    sizes = [option.inches] * option.count
    if option.powered:
        sizes.append(fan_duct_size(powered_flow(option, place)))
    if not sizes:
        return "", ""
    largest = max(sizes)
    caps = " and ".join(f"{n} x {s} in cap" if n > 1 else f"{s} in cap" for s, n in _counted(sizes))
    grilles = " and ".join(f"{n} x {grille_words(s)}" if n > 1 else grille_words(s) for s, n in _counted(sizes))
    insulated = largest + 2 * round(INSULATION / INCH)
    cavity = f"{largest} in round, {insulated} in with 2 in of insulation: a stud bay will not take it"
    return f"{caps} outdoors, {grilles} grille indoors", cavity


def _counted(sizes: list[int]) -> list[tuple[int, int]]:
    return [(size, sizes.count(size)) for size in dict.fromkeys(sizes)]


def bill(parts: Sequence[Part], prices: Sequence[Price]) -> Bill:
    """Parts with their trades and what they cost.

    Parameters
    ----------
    parts : sequence of Part
        the parts [-]
    prices : sequence of Price
        the price list [-]
    """
    listed: dict[str, list[Price]] = {}
    for price in prices:
        listed.setdefault(_plain(price.item), []).append(price)
    return _bill(parts, listed)


def _bill(parts: Sequence[Part], listed: dict[str, list[Price]]) -> Bill:
    total, missing = 0.0, []
    trades: dict[str, None] = {}
    for part in parts:
        line = _line(part, listed.get(_plain(part.item), []))
        trades[(line.trade if line is not None and line.trade else TRADES[part.item])] = None
        if line is not None:
            total += line.each * part.count
        elif part.item != "framed opening":
            missing.append(f"{part.item} {part.size}".strip())
    return Bill(tuple(parts), tuple(trades), None if missing else total, tuple(dict.fromkeys(missing)))


def _line(part: Part, same: Sequence[Price]) -> Price | None:
    """The line of the list for a part: same item and size, else the smallest that is enough, else without a size."""
    if part.flow > 0:
        enough = [
            (flow, price) for price in same if (flow := _flow(price.size)) is not None and flow >= part.flow - 1e-6
        ]
        if enough:
            return min(enough, key=lambda entry: entry[0])[1]
        return None
    for price in same:
        if _plain(price.size) == _plain(part.size):
            return price
    unsized = [price for price in same if not re.search(r"\d", price.size) or not part.size]
    return unsized[0] if unsized else None


@cache
def _plain(words: str) -> str:
    return re.sub(r"[^a-z0-9]+", " ", words.lower()).strip()


def _flow(words: str) -> float | None:
    number = re.match(r"\s*(?:up to\s+)?([\d,.]+)\s*cfm", words)
    return float(number.group(1).replace(",", "")) * CFM if number else None
