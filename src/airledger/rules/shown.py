"""From what an instrument showed to a flow, a pressure or a pull, and how sure it is.

error^2 = (the instrument's own)^2 + (what its gauge and the scatter of its samples hand on)^2

The instrument's own error is the greater part by far; half of it is taken as chance that repeats take out.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from airledger.errors import InputError
from airledger.physics import Values
from airledger.physics.flow_instruments import (
    Read,
    bag_flow,
    box_flow,
    handed_on,
    net_reading,
    pitot_flow,
    station_flow,
    tap_flow,
    traverse_flow,
    vane_flow,
)
from airledger.rules.instruments import STALE, Instrument, instrument

SHOWS = {
    "traverse": ("speed", "pressure"),
    "flow station": ("pressure",),
    "orifice box": ("pressure",),
    "vane meter": ("speed",),
    "unit's pressure taps": ("pressure",),
    "timed bag": ("time",),
}
"""What an instrument may show in place of a flow, by its kind."""

PASSED = {"traverse": "the duct", "orifice box": "the hole", "vane meter": "the face of the grille"}
"""What the air passes, for those that need its size."""


@dataclass(frozen=True)
class Meter:
    """An instrument as a crew names it: its kind and error, its calibration, and what its sheet gives.

    frame_factor [-] of a vane meter; station_factor [m3/s/Pa^0.5]; bag_volume [m3]; tap_points (pressure, flow)
    [Pa, m3/s] of the unit's maker; stale: calibrated longer than a year ago, or not told.
    """

    made: Instrument
    stale: bool = True
    frame_factor: float = 1.0
    station_factor: float | None = None
    bag_volume: float | None = None
    tap_points: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Shown:
    """What an instrument showed. samples, baselines [SI of the dimension]; area [m2] that the air passed; repeats [-].

    dimension: flow, pressure, speed, time or force; baselines: the same gauge with nothing running; unit: as written.
    """

    dimension: str
    samples: tuple[float, ...]
    baselines: tuple[float, ...] = ()
    area: float | None = None
    repeats: int = 1
    unit: str = ""


def taken(shown: Shown, meter: Meter, density: float = 1.204) -> Read:
    """The value that a reading stands for, with its error [SI of what the instrument measures].

    Parameters
    ----------
    shown : Shown
        what was read [-]
    meter : Meter
        with what [-]
    density : float
        of the air where it was read [kg/m3]

    Raises
    ------
    InputError
        the instrument's sheet or the size of what the air passes is missing.
    OutOfRange
        what was read lies outside the method: pressure below 0, above 8 Pa in an orifice box, beyond the unit's table.

    Reference: `physics.flow_instruments`; errors by JCGM 100:2008 (GUM) 5.1.3, MEMORY.
    """
    times = max(shown.repeats, 1 if _points(shown, meter) else len(shown.samples))
    stale = STALE if meter.stale else 1.0
    if shown.dimension == meter.made.measures:
        plain = net_reading(shown.samples, shown.baselines, 0.0)
        own = stale * meter.made.of(plain.value, times)
        return Read(plain.value, math.hypot(own, plain.error))
    flow, given = _method(shown, meter, density)
    found = handed_on(flow, given)
    return Read(found.value, math.hypot(stale * meter.made.of(found.value, times), found.error))


def _points(shown: Shown, meter: Meter) -> bool:
    """Whether the samples are the points of a traverse, and not one place read again."""
    return meter.made.key == "traverse" and shown.dimension in SHOWS["traverse"]


def _method(shown: Shown, meter: Meter, density: float) -> tuple[Callable[..., Values], Read]:
    """The flow as a function of what the gauge read, and that with its error."""
    key, samples = meter.made.key, shown.samples
    if shown.dimension not in SHOWS.get(key, ()):
        raise InputError(f"a {key} does not show a {shown.dimension}")
    if _points(shown, meter):
        area, read = _wanted(shown.area, f"the size of {PASSED[key]}", key), np.asarray(samples)
        if shown.dimension == "speed":
            return lambda shift: traverse_flow((read + shift).tolist(), area), Read(0.0, 0.0)
        gauge = instrument("manometer").of(float(read.mean()))
        return (
            lambda shift: pitot_flow((np.maximum(read + shift, 0.0) if shift else read).tolist(), area, density),
            Read(0.0, gauge),
        )
    gauge = instrument("manometer").of(float(np.mean(samples))) if shown.dimension == "pressure" else 0.0
    return _one_place(shown, meter, density), net_reading(samples, shown.baselines, gauge)


def _one_place(shown: Shown, meter: Meter, density: float) -> Callable[..., Values]:
    """The flow of a gauge that is read at one place."""
    key = meter.made.key
    if key == "unit's pressure taps" and not meter.tap_points:
        raise InputError(f"the {key} want the maker's table: pressures and their flows")
    if key == "unit's pressure taps":
        return lambda pressure: tap_flow(pressure, meter.tap_points)
    if key == "flow station":
        factor = _wanted(meter.station_factor, "the k of its plate", key)
        return lambda pressure: station_flow(factor, pressure)
    if key == "timed bag":
        volume = _wanted(meter.bag_volume, "what the bag holds", key)
        return lambda time: bag_flow(volume, time)
    area = _wanted(shown.area, f"the size of {PASSED[key]}", key)
    if key == "orifice box":
        return lambda pressure: box_flow(pressure, area, density)
    return lambda speed: vane_flow(speed, area, meter.frame_factor)


def _wanted(value: float | None, words: str, key: str) -> float:
    if value is None:
        raise InputError(f"the {key} wants {words}")
    return value
