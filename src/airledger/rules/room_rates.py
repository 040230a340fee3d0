"""Air by the room, where a rule counts rooms, people or air changes; and a hood by the kitchen trade's rules of thumb.

    rate   Q = largest of: so much for the room, q A, q people, n V
    hood   Q = 100 or 150 cfm a foot of width; 1 cfm for each 100 Btu/h; 15 air changes an hour of the kitchen

The tool takes the hood it is told; these say what the trade would pick, and nothing of what the house stands.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from airledger.errors import InputError, OutOfRange
from airledger.sources import Source, table
from airledger.units import BTU, CFM, FOOT

_TABLE = "rules/tables/room_rates"
FLOWS: Mapping[str, float] = {"cfm": CFM, "L/s": 1e-3, "m3/h": 1 / 3600}
AREAS: Mapping[str, float] = {"cfm": FOOT**2, "L/s": 1.0, "m3/h": 1.0}


@dataclass(frozen=True)
class RoomFacts:
    """What a rule by the room looks at: area [m2], volume [m3], people; None where nobody told."""

    area: float | None = None
    volume: float | None = None
    people: float | None = None


def room_rate_keys() -> tuple[str, ...]:
    """The rules by key, in the order of the table."""
    return tuple(entry["key"] for entry in table(_TABLE)["rate"])


def room_rate(key: str, facts: RoomFacts) -> float:
    """What one rule asks for a room, or for a house where it counts its people or its air [m3/s].

    Parameters
    ----------
    key : str
        one of `room_rate_keys` [-]
    facts : RoomFacts
        area, volume, people [-]

    Raises
    ------
    InputError
        there is no such rule, or it looks at something that is not told.

    Reference: rules/tables/room_rates.toml, each with its source and tag.
    """
    entry = _entry("rate", key)
    size = FLOWS[entry["unit"]]
    area_size = AREAS[entry["unit"]]
    parts = [float(entry["each"]) * size] if "each" in entry else []
    if "per_area" in entry:
        parts.append(float(entry["per_area"]) * size * _told(key, "area", facts.area) / area_size)
    if "per_person" in entry:
        parts.append(float(entry["per_person"]) * size * _told(key, "people", facts.people))
    if "ach" in entry:
        parts.append(float(entry["ach"]) * _told(key, "volume", facts.volume) / 3600)
    return max(parts)


def extract(key: str, room: str, category: str = "") -> float:
    """What a rule takes from a wet room [m3/s].

    Parameters
    ----------
    key : str
        the rule's key [-]
    room : str
        as the rule names it [-]
    category : str
        of the rule, "" where it has none [-]

    Raises
    ------
    InputError
        there is no such rule, room or category.

    Reference: rules/tables/room_rates.toml, each with its source and tag.
    """
    entry = _entry("extract", key)
    for words, there in ((room, entry["rooms"]), (category, entry["categories"])):
        if words not in there:
            raise InputError(f"{key} knows no {words!r}; there are: {', '.join(there)}")
    flow = entry["flows"][entry["rooms"].index(room)][entry["categories"].index(category)]
    return float(flow) * FLOWS[entry["unit"]]


def hood_by_width(width: float, stands: str) -> tuple[float, float]:
    """Least and most flow of a hood by its width [m3/s].

    Parameters
    ----------
    width : float
        of the hood [m]
    stands : str
        "wall", "island", or "other" for another trade range [-]

    Raises
    ------
    InputError
        it stands elsewhere.
    OutOfRange
        width not above 0.

    Reference: rules of the kitchen trade, PRACTICE.
    """
    printed = table(_TABLE)["hood"]
    rates = {"wall": [printed["wall_per_ft"]] * 2, "island": [printed["island_per_ft"]] * 2,
             "other": printed["other_range_per_ft"]}  # fmt: skip
    if stands not in rates:
        raise InputError(f"a hood stands at a {', '.join(rates)}, not {stands!r}")
    if not 0.0 < width < math.inf:
        raise OutOfRange("width of the hood", width, 0.0, math.inf, "m")
    least, most = (float(rate) * CFM * width / FOOT for rate in rates[stands])
    return least, most


def hood_by_burners(heat_input: float) -> float:
    """Flow of a hood by all burners under it [m3/s].

    Parameters
    ----------
    heat_input : float
        all burners together [W]

    Reference: 1 cfm for each 100 Btu/h, PRACTICE.
    """
    return heat_input * 3600 / BTU / float(table(_TABLE)["hood"]["per_burner_btuh"]) * CFM


def hood_by_kitchen(volume: float) -> float:
    """Flow of a hood by the air of its kitchen [m3/s].

    Parameters
    ----------
    volume : float
        of the kitchen [m3]

    Reference: 15 air changes an hour, PRACTICE.
    """
    return float(table(_TABLE)["hood"]["ach"]) * volume / 3600


def hood_rating(flow: float, duct_length: float, elbows: int, roof_cap: bool) -> float:
    """The rating to buy for a flow through its duct, by the trade's rough additions [m3/s].

    Parameters
    ----------
    flow : float
        wanted [m3/s]
    duct_length : float
        of the duct [m]
    elbows : int
        in it [-]
    roof_cap : bool
        whether it ends in a roof cap [-]

    Reference: rules of the kitchen trade, PRACTICE, rough: the fan's curve and the duct's friction tell it better.
    """
    printed = table(_TABLE)["hood"]
    more = float(printed["duct_per_ft"]) * duct_length / FOOT + float(printed["elbow"]) * elbows
    return flow + (more + (float(printed["roof_cap"]) if roof_cap else 0.0)) * CFM


def source_of(kind: str, key: str) -> Source:
    """Where a rule of the table comes from.

    Parameters
    ----------
    kind : str
        "rate" or "extract" [-]
    key : str
        its key [-]
    """
    entry = _entry(kind, key)
    return Source(str(entry["source"]), str(entry["tag"]))


def _entry(kind: str, key: str) -> Mapping[str, Any]:
    for entry in table(_TABLE)[kind]:
        if entry["key"] == key:
            found: Mapping[str, Any] = entry
            return found
    raise InputError(f"no rule is called {key!r}; there are: {', '.join(e['key'] for e in table(_TABLE)[kind])}")


def _told(key: str, what: str, value: float | None) -> float:
    if value is None:
        raise InputError(f"{key} looks at {what}: give it")
    return value
