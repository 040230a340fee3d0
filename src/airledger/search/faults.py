"""What may fail in a house, one thing at a time, and what it does to the settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import House, MakeUpAir
from airledger.house.operating_state import Key

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Fault:
    """One thing that failed. settings override those of the state; held: machines that a hold-back then keeps off."""

    name: str
    why: str
    settings: tuple[tuple[Key, float], ...]
    held: tuple[str, ...] = ()


def failed(columns: Mapping[Key, Array], fault: Fault) -> dict[Key, Array]:
    """Settings with one thing failed.

    Parameters
    ----------
    columns : Mapping
        settings as columns [-]
    fault : Fault
        what failed [-]
    """
    size = len(next(iter(columns.values())))
    changed = dict(columns)
    for key, value in fault.settings:
        changed[key] = np.full(size, value)
    for machine in fault.held:
        changed["speed", machine] = np.zeros(size)
    return changed


def faults_of(house: House) -> tuple[Fault, ...]:
    """What may fail in a house, one thing at a time.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    found: list[Fault] = []
    if house.ventilator is not None:
        kind = house.ventilator.kind.upper() or "ventilator"
        for stream in ("supply", "exhaust"):
            blocked = ((("blocked", f"ventilator {stream}"), 1.0),)
            found.append(Fault(f"{kind} {stream} blocked", f"no air passes the {kind}'s {stream} stream", blocked))
    for arrangement in house.make_up_air or ():
        found += _make_up_faults(arrangement)
    return tuple(found)


def shut_damper(name: str, gravity: bool, fan: bool) -> tuple[tuple[Key, float], ...]:
    """Settings of a make-up damper that stays shut, and of its fan with it.

    Parameters
    ----------
    name : str
        the arrangement [-]
    gravity : bool
        whether the damper opens by suction [-]
    fan : bool
        whether a fan blows through it [-]
    """
    damper: tuple[tuple[Key, float], ...] = ((("open", name), -1.0 if gravity else 0.0),)
    return (*damper, (("speed", name), 0.0)) if fan else damper


def _make_up_faults(arrangement: MakeUpAir) -> list[Fault]:
    name = arrangement.name
    found = []
    if arrangement.damper.kind != "none":
        settings = shut_damper(name, arrangement.damper.kind == "gravity", arrangement.fan is not None)
        found.append(Fault(f"{name} stuck shut", f"the damper of {name} does not open", settings, arrangement.waits))
    if arrangement.damper.kind == "motorized":
        found.append(Fault(f"{name} stuck open", f"the damper of {name} does not shut", ((("open", name), 1.0),)))
    if arrangement.fan is not None:
        found.append(Fault(f"{name} fan dead", f"the fan of {name} does not run", ((("speed", name), 0.0),)))
    starting = tuple(machine for machine, _ in arrangement.starts_with if machine not in arrangement.waits)
    if arrangement.damper.kind == "motorized" and starting:
        seconds = f"{arrangement.damper.opens_in:.0f} s" if arrangement.damper.opens_in else "15 to 90 s"
        why = f"{' and '.join(starting)} pulls at once while the damper of {name} still opens, for {seconds}"
        found.append(Fault(f"{name} still opening", why, ((("open", name), 0.0), (("speed", name), 0.0))))
    return found
