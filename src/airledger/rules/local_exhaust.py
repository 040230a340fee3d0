"""What each wet room has to get rid of, on demand or all day; what California asks of a hood by floor area."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from airledger.errors import InputError, OutOfRange
from airledger.rules.whole_house_rate import UNITS
from airledger.sources import Source, table
from airledger.units import CFM, FOOT

_TABLE = "rules/tables/local_exhaust"
OPENABLE_WINDOW = 20 * CFM
"""Allowance for an openable window in an existing home [m3/s]: 62.2 appendix A, MEMORY."""


@dataclass(frozen=True)
class ExhaustAnswer:
    """What a rule asks of a room. on_demand, continuous [m3/s], None where the rule gives none."""

    key: str
    code: str
    section: str
    room: str
    on_demand: float | None
    continuous: float | None
    source: Source


def exhaust_keys(room: str = "") -> tuple[str, ...]:
    """The rules by key; of one kind of room where it is named.

    Parameters
    ----------
    room : str
        kitchen, bath, utility, toilet, or nothing for all [-]
    """
    return tuple(entry["key"] for entry in table(_TABLE)["exhaust"] if room in ("", entry["room"]))


def local_exhaust(key: str, volume: float | None = None) -> ExhaustAnswer:
    """What one rule asks.

    Parameters
    ----------
    key : str
        one of `exhaust_keys` [-]
    volume : float
        of the room, where the rule counts air changes [m3]

    Raises
    ------
    InputError
        there is no such rule, or it needs the volume of the room.

    Reference: rules/tables/local_exhaust.toml, each with its source and tag.
    """
    entry = next((entry for entry in table(_TABLE)["exhaust"] if entry["key"] == key), None)
    if entry is None:
        raise InputError(f"no rule is called {key!r}; there are: {', '.join(exhaust_keys())}")
    return exhaust_of(entry, volume)


def exhaust_of(entry: Mapping[str, Any], volume: float | None = None) -> ExhaustAnswer:
    """What one entry of a table asks, one that ships or a local one.

    Parameters
    ----------
    entry : Mapping
        as its table has it [-]
    volume : float
        of the room, where the rule counts air changes [m3]

    Raises
    ------
    InputError
        it needs the volume of the room.

    Reference: the entry's own source.
    """
    key = entry["key"]
    if entry["unit"] == "ach":
        if volume is None:
            raise InputError(f"{key} counts air changes: give the volume of the room")
        size = volume / 3600.0
    else:
        size = UNITS[entry["unit"]][0]
    return ExhaustAnswer(
        key, entry["code"], entry["section"], entry["room"], _sized(entry, "on_demand", size),
        _sized(entry, "continuous", size), Source(entry["source"], entry["tag"]),
    )  # fmt: skip


def california_hood(floor_area: float, gas: bool) -> tuple[float, float, Source]:
    """Capture efficiency [-] or flow [m3/s] that a hood has to reach, by dwelling size; either is enough.

    Parameters
    ----------
    floor_area : float
        of the dwelling [m2]
    gas : bool
        whether the range burns gas [-]

    Raises
    ------
    OutOfRange
        floor area not above 0.

    Reference: California Energy Code 2022 table 150.0-G, MEMORY.
    """
    if not floor_area > 0.0:
        raise OutOfRange("floor area", floor_area, 0.0, float("inf"), "m2")
    entry = table(_TABLE)["california"]
    area = floor_area / FOOT**2
    first, second, third = entry["areas"]
    row = 0 if area < first else 1 if area < second else 2 if area <= third else 3
    percent, flow = entry["gas" if gas else "electric"][row]
    return percent / 100.0, flow * CFM, Source(entry["source"], entry["tag"])


def existing_deficit(required: float, measured: float, window: bool) -> float:
    """What a room of an existing home lacks [m3/s], an openable window counted.

    Parameters
    ----------
    required : float
        by the rule [m3/s]
    measured : float
        as measured [m3/s]
    window : bool
        whether it has an openable window [-]

    Reference: 62.2 appendix A: method PUBLISHED (restated), 20 cfm MEMORY.
    """
    return max(0.0, required - measured - (OPENABLE_WINDOW if window else 0.0))


def _sized(entry: Mapping[str, Any], key: str, size: float) -> float | None:
    return float(entry[key]) * size if key in entry else None
