"""The machines of a house one by one, hoods of usual sizes, and all at once: how hard each pulls on the house.

`solve` is handed in; nothing here knows how a state is solved.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.house.envelope import ach50
from airledger.house.house import OUTDOORS, House
from airledger.house.operating_state import (
    ACH50,
    SEASON,
    Key,
    Settings,
    full_flow,
    interlocked,
    speeds_of,
    standing,
)
from airledger.house.outdoors import seasons
from airledger.house.readout import Readout
from airledger.search.freedoms import top_flow
from airledger.search.limits import Limits
from airledger.search.worst import Solve
from airledger.units import CFM

Array = NDArray[np.float64]

HOODS_SHOWN = (400 * CFM, 600 * CFM, 900 * CFM)
ALL_AT_ONCE = "everything at once"
ALIKE = (("dryer", "dryers"), ("vacuum", "vacuums"), ("bath fan", "bath fans"), ("open fireplace", "fires"))


@dataclass(frozen=True)
class Pulled:
    """One thing that runs, solved: flow [m3/s]; pressure [Pa] at the likely tightness, the lowest and the highest.

    force [N] at the worst door to outdoors; appliances [Pa]: how far it pulls each vented appliance down, at worst.
    """

    what: str
    flow: float
    pressure: float
    low: float
    high: float
    door: str
    force: float
    direction: str
    appliances: tuple[float, ...]


def machines_alone(house: House) -> list[tuple[str, float, dict[str, float]]]:
    """What is looked at: the machines one by one, hoods of usual sizes, and all at once.

    Each is (words, flow [m3/s], machine -> share of its full flow).

    Parameters
    ----------
    house : House
        its exhausts [-]
    """
    running = [exhaust for exhaust in house.exhausts if speeds_of(exhaust)]
    hoods = [exhaust for exhaust in running if exhaust.kind == "hood"]
    listed: list[tuple[str, float, dict[str, float]]] = []
    for kind, words in ALIKE:
        alike = [exhaust for exhaust in running if exhaust.kind == kind]
        if alike:
            told = alike[0].name if len(alike) == 1 else f"{len(alike)} {words}"
            listed.append((told, sum(top_flow(e) for e in alike), {e.name: top_flow(e) / full_flow(e) for e in alike}))
    listed += [(e.name, top_flow(e), {e.name: top_flow(e) / full_flow(e)}) for e in running if e.kind == "exhaust"]
    for hood in hoods:
        sizes = [size for size in HOODS_SHOWN if size < top_flow(hood) * (1 - 1e-9)] if hood is hoods[0] else []
        listed += [(hood.name, size, {hood.name: size / full_flow(hood)}) for size in (*sizes, top_flow(hood))]
    if len(running) > 1:
        every = {exhaust.name: top_flow(exhaust) / full_flow(exhaust) for exhaust in running}
        listed.append((ALL_AT_ONCE, sum(top_flow(exhaust) for exhaust in running), every))
    return listed


def pulled(house: House, solve: Solve, judged: Limits) -> list[Pulled]:
    """Every case of `machines_alone`, solved at the likely tightness, at both its ends, in every season.

    Parameters
    ----------
    house : House
        the house [-]
    solve : callable
        settings to readout [-]
    judged : Limits
        for the appliances [-]
    """
    cases = machines_alone(house)
    weather = range(len(seasons(house)))
    tight = ach50(house)
    moments = [(value, season) for value in (tight.likely, *tight.ends) for season in weather]
    rows = [(shares, moment) for _, _, shares in [("", 0.0, {}), *cases] for moment in moments]
    seen = solve(_settings(house, rows))
    pressure, width = seen.house_pressure(), len(moments)
    forces = [(door.name, *seen.door(door.name)) for door in seen.doors() if OUTDOORS in door.between]
    depressed = [_of_room(seen, limit.room) for limit in judged.appliances]
    found = []
    for index, (what, flow, _) in enumerate(cases, 1):
        first, every = index * width, slice(index * width, (index + 1) * width)
        door, force, words = max(forces, key=lambda entry: entry[1][first], default=("", np.zeros(1), [""]))
        found.append(
            Pulled(
                what=what,
                flow=flow,
                pressure=float(pressure[first]),
                low=float(pressure[every].min()),
                high=float(pressure[every].max()),
                door=door,
                force=float(force[first]) if door else 0.0,
                direction=words[first] if door else "",
                appliances=tuple(float((values[every] - values[:width]).min()) for values in depressed),
            )
        )
    return found


def _settings(house: House, rows: Sequence[tuple[Mapping[str, float], tuple[float, int]]]) -> Settings:
    """Rows of (machine -> share of its full flow, (tightness, season)) as settings; all else as it stands."""
    size = len(rows)
    columns: dict[Key, Array] = {key: np.full(size, value) for key, value in standing(house).items()}
    for exhaust in house.exhausts:
        share = np.array([shares.get(exhaust.name, 0.0) for shares, _ in rows])
        columns["speed", exhaust.name] = (share > 0).astype(float)
        columns["flow", exhaust.name] = np.where(share > 0, share, 1.0)
    columns[ACH50] = np.array([tightness for _, (tightness, _) in rows])
    columns[SEASON] = np.array([float(season) for _, (_, season) in rows])
    for arrangement in house.make_up_air or ():
        columns.pop(("open", arrangement.name), None)
        columns.pop(("speed", arrangement.name), None)
    return Settings(interlocked(house, columns, size), size)


def _of_room(seen: Readout, room: str) -> Array:
    return seen.room_pressure(room) if room else seen.house_pressure()
