"""What may differ in a house while all works: season, tightness, filters, doors, windows, ventilator, machines.

Wind is none of them: limits are judged in the least wind of the file, and what more wind adds is told beside the
verdict (`search.wind`).
"""

from __future__ import annotations

from dataclasses import dataclass

from airledger.house.envelope import ach50
from airledger.house.house import Exhaust, House, Opening
from airledger.house.operating_state import (
    ACH50,
    SEASON,
    Key,
    can_move,
    full_flow,
    speeds_of,
    ventilator_settings,
)
from airledger.house.outdoors import seasons
from airledger.house.state_words import filter_names
from airledger.search.hours import SHUT_AT_NIGHT, boost_share, speed_share, use_share


@dataclass(frozen=True)
class Choice:
    """One way a thing may stand: words for it, its settings, its share of the year [-] (None: not a matter of time)."""

    words: str
    settings: tuple[tuple[Key, float], ...]
    share: float | None = None


@dataclass(frozen=True)
class Freedom:
    """One thing that may differ. kind: tightness | season | filter | door | window | ventilator | machine."""

    name: str
    kind: str
    choices: tuple[Choice, ...]

    @property
    def is_fan(self) -> bool:
        """Whether it moves air by itself."""
        return self.kind in ("ventilator", "machine")


def freedoms_of(house: House) -> tuple[Freedom, ...]:
    """What may differ in a house while all of it works, weather first, machines last.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    named_doors = {opening.door for opening in house.openings if opening.door}
    found = [_tightness(house), _seasons(house), *(_filter(name) for name in filter_names(house))]
    found += [_inner_door(o) for o in house.openings if is_inner_door(o, house) and o.name not in named_doors]
    found += [_window(o) for o in house.openings if o.kind == "window"]
    found += _ventilator(house)
    found += [_machine(exhaust) for exhaust in house.exhausts if top_flow(exhaust) > 0]
    return tuple(freedom for freedom in found if len(freedom.choices) > 1 or freedom.kind in ("tightness", "season"))


def is_inner_door(opening: Opening, house: House) -> bool:
    """Whether an opening is a door between two rooms of the house that may be shut; one to a garage or attic is none.

    Parameters
    ----------
    opening : Opening
        an opening of the house [-]
    house : House
        for which rooms lie within the envelope [-]
    """
    inside = {room.name for room in house.conditioned}
    return opening.kind != "window" and can_move(opening) and set(opening.between) <= inside


def _tightness(house: House) -> Freedom:
    ends = ach50(house).ends
    return Freedom("tightness", "tightness", tuple(Choice(f"{end:.2g} ACH50", ((ACH50, end),)) for end in ends))


def _seasons(house: House) -> Freedom:
    names = [season.name for season in seasons(house)]
    share = 1.0 / len(names)
    return Freedom("season", "season", tuple(Choice(n, ((SEASON, float(i)),), share) for i, n in enumerate(names)))


def _filter(name: str) -> Freedom:
    key = ("dirty", name)
    return Freedom(name, "filter", (Choice("", ((key, 0.0),)), Choice(f"{name} dirty", ((key, 1.0),))))


def _inner_door(opening: Opening) -> Freedom:
    key = ("open", opening.name)
    name = opening.door or opening.name
    shut = Choice(f"{name} shut", ((key, 0.0),), SHUT_AT_NIGHT)
    return Freedom(name, "door", (Choice(f"{name} open", ((key, 1.0),), 1 - SHUT_AT_NIGHT), shut))


def _window(opening: Opening) -> Freedom:
    key = ("open", opening.name)
    return Freedom(opening.name, "window", (Choice("", ((key, 0.0),)), Choice(f"{opening.name} open", ((key, 1.0),))))


def _ventilator(house: House) -> list[Freedom]:
    if house.ventilator is None:
        return []
    kind = house.ventilator.kind.upper() or "ventilator"
    rest = 1.0 - boost_share(house)
    choices = [Choice(f"{kind} off", tuple(ventilator_settings(house, "off").items()))]
    for speed in house.ventilator.speeds:
        share = rest if speed is house.ventilator.speeds[0] else boost_share(house) / (len(house.ventilator.speeds) - 1)
        choices.append(Choice(f"{kind} {speed.name}", tuple(ventilator_settings(house, speed.name).items()), share))
    return [Freedom("ventilator", "ventilator", tuple(choices))]


def top_flow(exhaust: Exhaust) -> float:
    """Rated flow of a machine at its top speed; the largest that may be picked where none is [m3/s].

    Parameters
    ----------
    exhaust : Exhaust
        the machine [-]
    """
    return max((flow for _, flow in speeds_of(exhaust)), default=0.0)


def _machine(exhaust: Exhaust) -> Freedom:
    key, full = ("speed", exhaust.name), full_flow(exhaust)
    choices = [Choice(f"{exhaust.name} off", ((key, 0.0),), 1 - use_share(exhaust))]
    for name, flow in speeds_of(exhaust):
        words = f"{exhaust.name} {name}" if exhaust.speeds else f"{exhaust.name} at its largest"
        choices.append(Choice(words, ((key, flow / full),), speed_share(exhaust)))
    return Freedom(exhaust.name, "machine", tuple(choices))
