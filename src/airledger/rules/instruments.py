"""The instruments in the truck: what each may be off by, what it may be used on, and which one would decide."""

from __future__ import annotations

import math
from dataclasses import dataclass

from airledger.errors import InputError
from airledger.sources import Source, table

NORMAL_95 = 1.959964
"""Standard deviations that hold 95 in 100 of a normal error on both sides [-]."""

CALIBRATED_WITHIN = 365
"""Days for which a calibration counts: Canadian depressurization test form, PUBLISHED."""

STALE = 2.0
"""Factor on the error of an instrument whose calibration is older or not told [-]: common practice, no source."""


@dataclass(frozen=True)
class Instrument:
    """An instrument. error: one standard deviation as a share of the reading [-]; least [unit of what it measures].

    measures: flow, pressure, force; may: what it can be used on.
    """

    key: str
    measures: str
    error: float
    least: float
    may: tuple[str, ...]
    source: Source

    def of(self, value: float, repeats: int = 1) -> float:
        """Standard deviation of a reading [unit of the reading].

        Parameters
        ----------
        value : float
            as read [any]
        repeats : int
            readings that were averaged; they take chance out, not what the instrument is off by: half of it at most [-]
        """
        one = max(self.error * abs(value), self.least)
        return one * math.sqrt(0.5 + 0.5 / max(1, repeats))


def instrument(key: str, accuracy: float | None = None, floor: float | None = None) -> Instrument:
    """An instrument by its name, with its own accuracy where that is told.

    Parameters
    ----------
    key : str
        one of `instrument_keys` [-]
    accuracy : float
        as its sheet says, the half-width that holds 95 in 100, a share of the reading; None takes the table's [-]
    floor : float
        what its sheet says it is never better than; None takes the table's: a sheet that is silent promises nothing
        [unit of what it measures]

    Raises
    ------
    InputError
        no such instrument.

    Reference: rules/tables/instruments.toml, each with its source and tag.
    """
    for entry in table("rules/tables/instruments")["instrument"]:
        if entry["key"] == key:
            divisor = NORMAL_95 if entry["means"] == "limits" else 1.0
            error, least = entry["share"] / divisor, entry["least"] / divisor
            source = Source(entry["source"], entry["tag"])
            if accuracy is not None:
                error, source = accuracy / NORMAL_95, Source("the instrument's own sheet", "published")
            if floor is not None:
                least = floor / NORMAL_95
            return Instrument(key, entry["measures"], error, least, tuple(entry["may"]), source)
    raise InputError(f"no instrument is called {key!r}; there are: {', '.join(instrument_keys())}")


def instrument_keys(measures: str = "", on: str = "") -> tuple[str, ...]:
    """Instruments by name, the surest first; of those that measure something, on something.

    Parameters
    ----------
    measures : str
        flow, pressure, force, or nothing for all [-]
    on : str
        grille, exhaust, stream, duct, difference, house, door, or nothing for all [-]
    """
    found = [
        entry
        for entry in table("rules/tables/instruments")["instrument"]
        if measures in ("", entry["measures"]) and (not on or on in entry["may"])
    ]
    return tuple(entry["key"] for entry in sorted(found, key=_spread))


def better_than(error: float, on: str, flow: float) -> tuple[str, ...]:
    """Instruments whose error is no more than one that would decide, the coarsest first: what to use instead.

    Parameters
    ----------
    error : float
        the greatest standard deviation that would decide, a share of the reading [-]
    on : str
        what is read: grille, exhaust, stream, duct [-]
    flow : float
        as read: small flows meet what an instrument is never better than [m3/s]
    """
    keys = [key for key in instrument_keys("flow", on) if instrument(key).of(flow) <= error * flow]
    return tuple(sorted(keys, key=lambda key: -instrument(key).of(flow)))


def _spread(entry: dict[str, float | str]) -> float:
    share = float(entry["share"])
    return share / NORMAL_95 if entry["means"] == "limits" else share
