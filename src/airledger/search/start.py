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

from airledger.house.operating_state import SEASON, Key
from airledger.house.outdoors import weather
from airledger.parts import PartValue, opening_time
from airledger.physics.damper import damper_position
from airledger.physics.pressure_lag import followed, settling_time
from airledger.search.judge import Judged, Trial
from airledger.search.options import changed, stacked
from airledger.search.slots import POWERED
from airledger.search.wording import capital, pascals

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
class Start:
    """A start with everything at once, and with the machines held till the damper is open.

    opens_in: the damper's opening time with its range [s]; settling: time in which the air follows, at the deepest
    moment [s]; softened: the lowest pressure with that lag, where `at_once.lowest` has none [Pa]; number: of the
    combination; below_low, below_high: seconds below the tolerated limit at either end of the opening time, at once.
    """

    opens_in: PartValue
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
    option = one.option
    if option.damper != "motorized" or not option.starts_with or not (option.built or option.powered):
        return None
    opens_in = opening_time()
    number = _deepest(trial, one)
    likely, low, high = opens_in.value, opens_in.low, opens_in.high
    at_once, *ends, held = _paths(trial, one, number, ((likely, False), (low, False), (high, False), (likely, True)))
    limit = trial.judged.house_pressure
    below = [seconds_below(path, limit.tolerated) for path in ends]
    settling = _settling(trial, one, number, float(at_once[0][np.argmin(at_once[1])]), opens_in.value)
    return Start(
        opens_in=opens_in,
        settling=settling,
        softened=float(np.min(followed(*at_once, settling))),
        number=number,
        at_once=_stroke(at_once, limit.wanted, limit.tolerated),
        held=_stroke(held, limit.wanted, limit.tolerated),
        below_low=min(below),
        below_high=max(below),
    )


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


def _deepest(trial: Trial, one: Judged) -> int:
    """The combination that pulls deepest while the damper is still shut."""
    numbers = np.array(list(dict.fromkeys([one.number, *trial.numbers[:STATES].tolist()])), dtype=np.intp)
    count = len(numbers)
    shut = _moved(trial, one, numbers, np.zeros(count), np.ones(count))
    return int(numbers[np.argmin(trial.seen(shut).house_pressure())])


def _paths(trial: Trial, one: Judged, number: int, starts: Sequence[tuple[float, bool]]) -> list[tuple[Array, Array]]:
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
    pressure = trial.seen(_moved(trial, one, numbers, position, pull)).house_pressure()
    ends = np.cumsum([len(moments) for moments in times])[:-1]
    return list(zip(times, np.split(pressure, ends), strict=True))


def _moved(trial: Trial, one: Judged, numbers: NDArray[np.intp], position: Array, pull: Array) -> dict[Key, Array]:
    """Settings with the damper part-way open and the machines part-way up; a make-up fan follows its damper."""
    option = one.option
    columns = stacked([changed(option, trial.place, trial.listing.columns(numbers), one.mismatch)], trial.place.house)
    for name in option.built:
        columns["open", name] = columns["open", name] * position
    if option.powered:
        columns["open", POWERED] = columns["open", POWERED] * position
        columns["speed", POWERED] = columns["speed", POWERED] * position * pull
    for machine in option.starts_with:
        columns["speed", machine] = columns["speed", machine] * pull
    return columns


def _settling(trial: Trial, one: Judged, number: int, moment: float, opens_in: float) -> float:
    """Settling time at the deepest moment, by the slope between two steady pulls close to each other [s]."""
    pull = min(1.0, moment / RUN_UP) * np.array([1.0, DISTURBED])
    position = np.asarray(damper_position(np.full(2, moment), opens_in))
    columns = _moved(trial, one, np.full(2, number, dtype=np.intp), position, pull)
    seen = trial.seen(columns)
    flow = np.sum([seen.machine_flow(machine) for machine in one.option.starts_with], axis=0)
    flow -= seen.make_up_flow(POWERED) if one.option.powered else 0.0
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
    at_once, held = start.at_once, start.held
    below = "never below what is tolerated"
    if at_once.below_tolerated > 0:
        below = (
            f"{at_once.below_tolerated:.0f} s of it below what is tolerated "
            f"({start.below_low:.0f} to {start.below_high:.0f} s by the motor)"
        )
    saves = f"Held for the end switch it never goes below {pascals(held.lowest)}."
    if held.below_tolerated > 0:
        saves = f"Held for the end switch it still comes to {pascals(held.lowest)}: the opening itself is too small."
    return (
        f"{capital(machines)} pulling at once while the damper of {opens} opens ({start.opens_in.value:.0f} s, "
        f"by memory): the house comes down to {_between(start)}, {below}. {saves}"
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
            "opens_in_s": start.opens_in.value,
            "settling_s": start.settling,
            "state": why,
        }
        for words, stroke in (("start at once", start.at_once), ("wait for the end switch", start.held))
    ]
