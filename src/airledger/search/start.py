"""The start: the pull of a machine is there in seconds, the damper takes its opening time.

At each moment of the damper's stroke the network is solved as if it were steady. `settling` tells how long the air of
the house needs to follow: a second in most houses, several in the tightest. So the steady answer is the deep end of the
lowest pressure; the shallow end follows it with the lag of the deepest moment, which is the longest.

The worst start is taken: every machine that opens the damper starts at the same moment, in the deepest state at the
tight end of those that decide.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.house.operating_state import SEASON, Key, interlocked
from airledger.house.outdoors import weather
from airledger.parts import PartValue, opening_time
from airledger.physics.damper import damper_position
from airledger.physics.pressure_lag import followed, settling_time
from airledger.search.judge import Judged, Trial
from airledger.search.options import DRAWN, Option, changed, stacked
from airledger.search.slots import POWERED, Slots
from airledger.search.wording import capital, pascals
from airledger.sources import Source

Array = NDArray[np.float64]

RUN_UP = 2.5
"""Time from the switch to a hood's full pull [s]: common practice, no source."""

MOMENTS = 81
STATES = 6
DISTURBED = 0.99


@dataclass(frozen=True)
class Stroke:
    """A house while a damper opens. Times [s], pressures [Pa].

    lowest: the deepest pressure; below_wanted, below_tolerated: how long it stands below either limit; path: (time,
    pressure) from the switch on.
    """

    lowest: float
    below_wanted: float
    below_tolerated: float
    path: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Moving:
    """What moves at a start. dampers: opened by a motor; fans: make-up fans, which follow; machines: what pulls.

    opens_in: the slowest damper's opening time with its range [s]; waits: the machines are held for its end switch.
    """

    dampers: tuple[str, ...]
    fans: tuple[str, ...]
    machines: tuple[str, ...]
    opens_in: PartValue
    waits: bool


@dataclass(frozen=True)
class Start:
    """A start with everything at once, and with the machines held till the damper is open.

    moving: what moves, in what time; settling: time in which the air follows, at the deepest moment [s]; softened: the
    lowest pressure with that lag, where `at_once.lowest` has none [Pa]; number: of the combination; below_low,
    below_high: seconds below the tolerated limit at either end of the opening time, at once.
    """

    moving: Moving
    settling: float
    softened: float
    number: int
    at_once: Stroke
    held: Stroke
    below_low: float
    below_high: float


def start_of(trial: Trial, one: Judged) -> Start | None:
    """The start of an option with a motorized damper; None for one without.

    Parameters
    ----------
    trial : Trial
        what it is tried on [-]
    one : Judged
        the option with its deepest combination [-]
    """
    moving = _moving(one.option, trial.place)
    if moving is None:
        return None
    stroke = _Strokes(trial, one, moving)
    number = _deepest(stroke)
    likely, low, high = moving.opens_in.value, moving.opens_in.low, moving.opens_in.high
    at_once, *ends, held = _paths(stroke, number, ((likely, False), (low, False), (high, False), (likely, True)))
    limit = trial.judged.house_pressure
    below = [seconds_below(path, limit.tolerated) for path in ends]
    settling = _settling(stroke, number, float(at_once[0][np.argmin(at_once[1])]))
    return Start(
        moving=moving,
        settling=settling,
        softened=float(np.min(followed(*at_once, settling))),
        number=number,
        at_once=_stroke(at_once, limit.wanted, limit.tolerated),
        held=_stroke(held, limit.wanted, limit.tolerated),
        below_low=min(below),
        below_high=max(below),
    )


def _moving(option: Option, place: Slots) -> Moving | None:
    """What moves at the start of an option; None where no motor opens anything."""
    if option.family != DRAWN:
        if option.damper != "motorized" or not option.starts_with or not (option.built or option.powered):
            return None
        fans = (POWERED,) if option.powered else ()
        return Moving((*option.built, *fans), fans, option.starts_with, opening_time(), option.waits)
    there = [one for one in place.house.make_up_air or () if one.name in place.drawn]
    driven = [one for one in there if one.damper.kind == "motorized" and one.starts_with]
    if not driven:
        return None
    machines = tuple(dict.fromkeys(name for one in driven for name, _ in one.starts_with))
    given = [one.damper.opens_in for one in driven]
    usual = opening_time()
    slowest = max((_as_given(time) if time is not None else usual for time in given), key=lambda time: time.value)
    return Moving(
        dampers=tuple(one.name for one in driven),
        fans=tuple(one.name for one in there if one.fan is not None),
        machines=machines,
        opens_in=slowest,
        waits=all(name in one.waits for one in driven for name, _ in one.starts_with),
    )


def _as_given(seconds: float) -> PartValue:
    return PartValue("opens in", seconds, seconds, seconds, "s", Source("the house file", "practice"))


def seconds_below(course: tuple[Array, Array], pressure_limit: float) -> float:
    """How long a pressure stands below a limit, straight between the moments that were solved [s].

    Parameters
    ----------
    course : tuple of arrays
        times and pressures [s, Pa]
    pressure_limit : float
        the limit [Pa]
    """
    times, pressures = course
    under = pressures - pressure_limit
    first, last = under[:-1], under[1:]
    low, high = np.minimum(first, last), np.maximum(first, last)
    crossing = (low < 0) & (high > 0)
    share = np.where(crossing, -low / np.where(crossing, high - low, 1.0), (high <= 0) & (low < 0))
    return float(np.sum(np.diff(times) * share))


def _stroke(path: tuple[Array, Array], wanted: float, tolerated: float) -> Stroke:
    times, pressures = path
    return Stroke(
        lowest=float(np.min(pressures)),
        below_wanted=seconds_below(path, wanted),
        below_tolerated=seconds_below(path, tolerated),
        path=tuple((float(t), float(p)) for t, p in zip(times, pressures, strict=True)),
    )


@dataclass(frozen=True)
class _Strokes:
    """An option on trial with what moves in it."""

    trial: Trial
    one: Judged
    moving: Moving

    def moved(self, numbers: NDArray[np.intp], position: Array, pull: Array) -> dict[Key, Array]:
        """Settings with the dampers part-way open, the machines part-way up; a make-up fan follows its damper."""
        option, place = self.one.option, self.trial.place
        columns = stacked([changed(option, place, self.trial.listing.columns(numbers), self.one.mismatch)], place.house)
        follows = interlocked(place.house, columns, len(numbers))  # as it will stand; the ramp itself switches nothing
        for name in self.moving.dampers:
            columns["open", name] = follows["open", name] * position
        for name in self.moving.fans:
            opened = position if name in self.moving.dampers else 1.0
            columns["speed", name] = follows["speed", name] * opened * pull
        for machine in self.moving.machines:
            columns["speed", machine] = columns["speed", machine] * pull
        return columns


def _deepest(stroke: _Strokes) -> int:
    """The combination that pulls deepest while the damper is still shut."""
    trial = stroke.trial
    numbers = np.array(list(dict.fromkeys([stroke.one.number, *trial.numbers[:STATES].tolist()])), dtype=np.intp)
    count = len(numbers)
    shut = stroke.moved(numbers, np.zeros(count), np.ones(count))
    return int(numbers[np.argmin(trial.seen(shut).house_pressure())])


def _paths(stroke: _Strokes, number: int, starts: Sequence[tuple[float, bool]]) -> list[tuple[Array, Array]]:
    """House pressure from the switch until damper and machines stand as they will, for (opens in [s], held) each."""
    times, positions, pulls = [], [], []
    for opens_in, held in starts:
        begins = opens_in if held else 0.0
        moments = np.union1d(np.linspace(0.0, opens_in + RUN_UP, MOMENTS), [begins, begins + RUN_UP, opens_in])
        times.append(moments)
        positions.append(np.asarray(damper_position(moments, opens_in)))
        pulls.append(np.clip((moments - begins) / RUN_UP, 0.0, 1.0))
    position, pull = np.concatenate(positions), np.concatenate(pulls)
    numbers = np.full(len(position), number, dtype=np.intp)
    pressure = stroke.trial.seen(stroke.moved(numbers, position, pull)).house_pressure()
    ends = np.cumsum([len(moments) for moments in times])[:-1]
    return list(zip(times, np.split(pressure, ends), strict=True))


def _settling(stroke: _Strokes, number: int, moment: float) -> float:
    """Settling time at the deepest moment, by the slope between two steady pulls close to each other [s]."""
    trial, moving = stroke.trial, stroke.moving
    pull = min(1.0, moment / RUN_UP) * np.array([1.0, DISTURBED])
    position = np.asarray(damper_position(np.full(2, moment), moving.opens_in.value))
    columns = stroke.moved(np.full(2, number, dtype=np.intp), position, pull)
    seen = trial.seen(columns)
    flow = np.sum([seen.machine_flow(machine) for machine in moving.machines], axis=0)
    for fan in moving.fans:
        flow = flow - seen.make_up_flow(fan)
    pressure = seen.house_pressure()
    slope = -float((flow[1] - flow[0]) / (pressure[1] - pressure[0]))
    house = trial.place.house
    season = int(columns[SEASON][0]) if SEASON in columns else 0
    return float(settling_time(house.volume, slope, weather(house)[season].barometer))


def start_sentence(start: Start, machines: str, opens: str) -> str:
    """The start in words: what the house stands while the damper opens, and what waiting for its end switch saves.

    Parameters
    ----------
    start : Start
        the start [-]
    machines : str
        what starts, for example "the range hood and the dryer" [-]
    opens : str
        what opens, for example "one 10 in opening" [-]
    """
    at_once, held, time = start.at_once, start.held, start.moving.opens_in
    known = "by memory" if time.source.tag == "memory" else "as drawn"
    below = "never below what is tolerated"
    if at_once.below_tolerated > 0:
        below = f"{at_once.below_tolerated:.0f} s of it below what is tolerated"
        if start.below_high > start.below_low:
            below += f" ({start.below_low:.0f} to {start.below_high:.0f} s by the motor)"
    saves = f"Held for the end switch it never goes below {pascals(held.lowest)}."
    if held.below_tolerated > 0:
        saves = f"Held for the end switch it still comes to {pascals(held.lowest)}: the opening itself is too small."
    return (
        f"{capital(machines)} pulling at once while the damper of {opens} opens ({time.value:.0f} s, "
        f"{known}): the house comes down to {_between(start)}, {below}. {saves}"
    )


def _between(start: Start) -> str:
    """The lowest pressure, and its shallow end where the lag of the air tells."""
    deep, shallow = pascals(start.at_once.lowest), pascals(start.softened)
    return deep if deep == shallow else f"{deep} ({shallow} with the lag of its air)"


def start_rows(start: Start, option: str, why: str) -> list[dict[str, float | int | str | None]]:
    """The start as lines of a table: at once, and held for the end switch.

    Parameters
    ----------
    start : Start
        the start [-]
    option : str
        what the option is called [-]
    why : str
        the state in words [-]
    """
    return [
        {
            "option": option,
            "machines": words,
            "lowest_pa": stroke.lowest,
            "lagging_pa": start.softened if stroke is start.at_once else None,
            "below_wanted_s": stroke.below_wanted,
            "below_tolerated_s": stroke.below_tolerated,
            "opens_in_s": start.moving.opens_in.value,
            "settling_s": start.settling,
            "state": why,
        }
        for words, stroke in (("start at once", start.at_once), ("wait for the end switch", start.held))
    ]
