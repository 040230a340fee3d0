"""The ways to make up the air, as rows over one topology: what each option changes in the settings of a state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import House
from airledger.house.operating_state import Key, full_flow, standing, stop
from airledger.search.faults import Fault, shut_damper
from airledger.search.freedoms import top_flow
from airledger.search.slots import MISMATCH, OPENING, POWERED, SECOND, SLOTS, Slots, emptied
from airledger.units import CFM, INCH

Array = NDArray[np.float64]

TRADE_SIZES = (4, 5, 6, 7, 8, 9, 10, 12, 14, 16)
RELIEF_SIZES = (6, 8, 10, 12)
LEAST_HOOD = 200 * CFM
HOOD_STEP, COARSE_STEP = 50 * CFM, 100 * CFM

NONE, DRAWN, LESS, ONE, TWO, LESS_AND_ONE, FAN, TEMPERED, HEAT_PUMP, GRAVITY, WINDOW = (
    "none",
    "as drawn",
    "less hood",
    "one opening",
    "two openings",
    "less hood and one opening",
    "powered",
    "powered and tempered",
    "heat-pump dryer",
    "gravity opening",
    "window",
)
PREFERENCE = {
    NONE: 0,
    DRAWN: 0,
    LESS: 1,
    HEAT_PUMP: 1,
    ONE: 2,
    TWO: 3,
    LESS_AND_ONE: 4,
    FAN: 5,
    TEMPERED: 6,
    GRAVITY: 8,
}
LAST, HALF = 9, 0.5


@dataclass(frozen=True)
class Option:
    """One way to make up the air.

    diameter [m] of each of `count` round openings; damper: "" | motorized | gravity; hood_limit [m3/s]: the machine
    goes no further, hood_share [-] of its top; window [m]: how far it is opened; starts_with: what opens it; waits: it
    is held till then.
    """

    family: str
    diameter: float | None = None
    count: int = 0
    filtered: bool = False
    damper: str = ""
    powered: bool = False
    tempered: bool = False
    hood_limit: float | None = None
    hood_share: float = 1.0
    heat_pump_dryer: bool = False
    window: float | None = None
    starts_with: tuple[str, ...] = ()
    waits: bool = False

    @property
    def inches(self) -> int:
        """Trade size of its duct [in]; 0 without a duct."""
        return round(self.diameter / INCH) if self.diameter else 0

    @property
    def preference(self) -> int:
        """Place in the order from the simplest to the most involved.

        Large sizes come after what is easier to build, and an opening that asks for less than half of the hood as well
        comes after a fan that lets the hood be.
        """
        largest = {ONE: 12, TWO: 10}.get(self.family)
        if largest is not None and self.inches > largest:
            return PREFERENCE[GRAVITY] - 1
        if self.family == LESS_AND_ONE and self.hood_share < HALF:
            return PREFERENCE[GRAVITY] - 1
        return PREFERENCE.get(self.family, LAST)

    @property
    def built(self) -> tuple[str, ...]:
        """Names of the passive candidates it builds."""
        return (OPENING, SECOND)[: self.count]


def all_options(place: Slots, wanted: float | None) -> tuple[Option, ...]:
    """Every option that can be tried on a house, in a fixed order.

    Parameters
    ----------
    place : Slots
        the house with every candidate [-]
    wanted : float
        what the hood has to move at least; None takes the usual least [m3/s]
    """
    starts = tuple(exhaust.name for exhaust in place.starting)
    listed = [Option(NONE)]
    if place.drawn:
        listed.append(Option(DRAWN))
    if not starts or place.machine is None:
        return tuple(listed)
    limits = hood_limits(place, wanted, HOOD_STEP)
    coarse = hood_limits(place, wanted, COARSE_STEP)
    listed += [Option(LESS, hood_limit=limit) for limit in limits]
    listed += _passive(starts, (place.machine.name,))
    one = Option(LESS_AND_ONE, count=1, damper="motorized", starts_with=starts, waits=True)
    top = top_flow(place.machine)
    listed += [
        replace(one, hood_limit=limit, hood_share=limit / top, diameter=inches * INCH)
        for limit in coarse
        for inches in RELIEF_SIZES
    ]
    fan = Option(FAN, powered=True, damper="motorized", starts_with=starts, waits=True)
    for family, tempered in ((FAN, False), (TEMPERED, True)):
        powered = replace(fan, family=family, tempered=tempered)
        listed.append(powered)
        listed += [replace(powered, count=1, diameter=inches * INCH) for inches in RELIEF_SIZES]
    if place.dryers:
        listed += _with_heat_pump_dryer(listed, place.dryers)
    if place.window is not None:
        listed += [Option(WINDOW, window=i * INCH, starts_with=starts) for i in range(1, 13)]
    return tuple(listed)


def _passive(starts: tuple[str, ...], biggest: tuple[str, ...]) -> list[Option]:
    listed = []
    for inches in TRADE_SIZES:
        one = Option(ONE, inches * INCH, 1, damper="motorized", starts_with=starts, waits=True)
        two = replace(one, family=TWO, count=2)
        listed += [one, replace(one, filtered=True), replace(one, waits=False)]
        if starts != biggest:
            listed.append(replace(one, starts_with=biggest))
        listed += [replace(one, family=GRAVITY, damper="gravity", waits=False, filtered=f) for f in (False, True)]
        listed += [two, replace(two, filtered=True)]
    return listed


def _with_heat_pump_dryer(listed: list[Option], dryers: tuple[str, ...]) -> list[Option]:
    """The heat-pump dryer alone, and with a smaller hood, one opening, both, or a fan."""
    found = [Option(HEAT_PUMP, heat_pump_dryer=True)]
    for option in listed:
        joins = option.family in (LESS, LESS_AND_ONE) or (option.family == ONE and option.waits and not option.filtered)
        left = tuple(name for name in option.starts_with if name not in dryers)
        if (joins or (option.family == FAN and not option.count)) and (left or not option.starts_with):
            found.append(replace(option, heat_pump_dryer=True, starts_with=left))
    return list(dict.fromkeys(found))


def hood_limits(place: Slots, wanted: float | None, step: float) -> tuple[float, ...]:
    """Flows below its top that the machine may be limited to, biggest first: its own speeds, and steps between.

    Parameters
    ----------
    place : Slots
        the house with every candidate [-]
    wanted : float
        least that is wanted; None takes the usual least [m3/s]
    step : float
        distance between limits [m3/s]
    """
    machine = place.machine
    if machine is None or machine.kind != "hood":
        return ()
    least = LEAST_HOOD if wanted is None else wanted
    steps = {round(flow, 9) for flow in np.arange(np.ceil(least / step - 1e-6) * step, top_flow(machine) - 1e-6, step)}
    steps |= {round(flow, 9) for _, flow in machine.speeds if least - 1e-9 <= flow < top_flow(machine) - 1e-6}
    return tuple(sorted(steps, reverse=True))


def changed(option: Option, place: Slots, columns: Mapping[Key, Array], mismatch: float = 1.0) -> dict[Key, Array]:
    """What an option makes of the settings of states.

    Parameters
    ----------
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    columns : Mapping
        settings as columns, before make-up air [-]
    mismatch : float
        what a powered fan moves of what it should [-]
    """
    new = emptied(columns, place, option.family == DRAWN)
    if option.hood_limit is not None and place.machine is not None:
        key = ("speed", place.machine.name)
        new[key] = np.minimum(new[key], option.hood_limit / full_flow(place.machine))
    if option.heat_pump_dryer:
        for dryer in place.dryers:
            new["speed", dryer] = np.zeros_like(new["speed", dryer])
    _open(option, place, new, mismatch)
    return new


def _open(option: Option, place: Slots, new: dict[Key, Array], mismatch: float) -> None:
    size = len(next(iter(new.values())))
    on = np.ones(size)
    running = np.zeros(size)
    pulled = np.zeros(size)
    for exhaust in place.starting:
        if exhaust.name in option.starts_with:
            running = np.maximum(running, (new["speed", exhaust.name] > 0).astype(np.float64))
            pulled = pulled + new["speed", exhaust.name] * full_flow(exhaust)
    for name in option.built:
        new["there", name], new["size", name] = on, on * (option.diameter or 0.0)
        new["open", name] = np.zeros(size) if option.damper == "gravity" else running  # 0: a flap free to swing
        new["gravity", name] = on if option.damper == "gravity" else np.zeros(size)
        new["dirty", f"{name} filter"] = on if option.filtered else np.zeros(size)
    if option.powered:
        new["there", POWERED], new["open", POWERED] = on, running
        new["speed", POWERED] = pulled / place.powered_flow
        new["mismatch", POWERED] = on * mismatch
    if option.window is not None and place.window is not None:
        key = ("open", place.window.name)
        opened = running * min(1.0, option.window / stop(place.window))
        new[key] = np.maximum(new.get(key, np.zeros(size)), opened)


def stacked(parts: Sequence[Mapping[Key, Array]], house: House) -> dict[Key, Array]:
    """Columns one after the other; what a part does not name stands as it does in the house, candidates unbuilt.

    A damper or fan of the file that a part does not name is not a number here: it follows its machines.

    Parameters
    ----------
    parts : sequence of Mapping
        settings as columns [-]
    house : House
        with every candidate [-]
    """
    keys = dict.fromkeys(key for part in parts for key in part)
    sizes = [len(next(iter(part.values()))) for part in parts]
    made = {arrangement.name for arrangement in house.make_up_air or ()}
    rest = {key: value for key, value in standing(house).items() if key[1] not in made}
    default = {"size": 0.25, "mismatch": 1.0, "flow": 1.0}
    follows = {(kind, name) for name in made.difference(SLOTS) for kind in ("open", "speed")}
    unsaid = {key: np.nan if key in follows else rest.get(key, default.get(key[0], 0.0)) for key in keys}
    return {
        key: np.concatenate(
            [part[key] if key in part else np.full(n, unsaid[key]) for part, n in zip(parts, sizes, strict=True)]
        )
        for key in keys
    }


def mismatches(option: Option) -> tuple[float, ...]:
    """What a fan may move of what it should: both ends where there is one.

    Parameters
    ----------
    option : Option
        the option [-]
    """
    return (1.0 - MISMATCH, 1.0 + MISMATCH) if option.powered else (1.0,)


def option_faults(option: Option) -> tuple[Fault, ...]:
    """What may fail in an option, one thing at a time.

    Parameters
    ----------
    option : Option
        the option [-]
    """
    held = option.starts_with if option.waits else ()
    found = []
    why = "a make-up damper does not open"
    if option.built:
        shut = shut_damper(option.built[0], option.damper == "gravity", fan=False)
        found.append(Fault("damper stuck shut", why, shut, held))
    if option.powered:
        found.append(Fault("damper stuck shut", why, shut_damper(POWERED, gravity=False, fan=True), held))
        dead = ((("speed", POWERED), 0.0),)
        found.append(Fault("make-up fan dead", "the make-up fan does not run", dead))  # an end switch does not see that
    return tuple(found)
