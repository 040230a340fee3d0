"""Options solved and judged: each in its own worst normal states, at both ends of a tightness not yet known.

First every option is solved on the combinations that decide (`worst.candidates`), all options in one batch. Then those
that matter are verified on the whole listing; where that finds worse, the worse value stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airledger.house.operating_state import Key, Settings, interlocked
from airledger.house.readout import Readout
from airledger.search.faults import failed
from airledger.search.limits import Limits
from airledger.search.options import DRAWN, Option, changed, mismatches, option_faults, stacked
from airledger.search.slots import Slots
from airledger.search.states import CHUNK, Index, Listing
from airledger.search.surveyed import worst_under
from airledger.search.worst import Solve, leaf_doors, outer_doors, signed_force

Array = NDArray[np.float64]
Columns = dict[Key, Array]
FAULTY_ROWS = 6


@dataclass(frozen=True)
class Pulls:
    """What decides, a column a state: house pressure [Pa], forces at doors [N], change by fans at appliances [Pa]."""

    house: Array
    doors: Array
    appliances: Array

    def of(self, places: slice | Index) -> Pulls:
        """Some of the states.

        Parameters
        ----------
        places : slice or Index
            which [-]
        """
        return Pulls(self.house[places], self.doors[:, places], self.appliances[:, places])


@dataclass(frozen=True)
class Judged:
    """An option with its worst normal state. Pressures [Pa], forces [N]; doors to outdoors only.

    changes: by the fans at each appliance; tight, loose: the deepest at either end of the tightness; number: of the
    combination with the deepest; ratio: the largest share of a tolerated limit, over 1 = does not hold; bound_by: that
    limit in words; fault: the deepest fault;
    short [m3/s]: what the machine moves less than is wanted.
    """

    option: Option
    pressure: float
    tight: float
    loose: float
    highest: float
    number: int
    mismatch: float
    door: str
    door_force: float
    changes: tuple[tuple[str, float], ...]
    ratio: float
    ratio_wanted: float
    bound_by: str
    fault_pressure: float | None = None
    fault: str = ""
    fault_appliance: bool = False
    short: float = 0.0
    verified: bool = False

    @property
    def keeps_limits(self) -> bool:
        """Whether no tolerated limit is passed in a normal state."""
        return self.ratio <= 1.0 + 1e-9

    @property
    def holds(self) -> bool:
        """Whether it keeps the limits and lets the machine move what is wanted."""
        return self.keeps_limits and self.short <= 0.0

    @property
    def as_wanted(self) -> bool:
        """Whether no wanted limit is passed either."""
        return self.ratio_wanted <= 1.0 + 1e-9

    @property
    def shallowest(self) -> float:
        """Its deepest pressure at whichever end of the tightness pulls less [Pa]."""
        return max(self.tight, self.loose)

    @property
    def miss(self) -> float:
        """How many pascals the pressure has to come up for the limit that binds to hold [Pa]."""
        return abs(self.bound_pressure) * max(0.0, 1.0 - 1.0 / self.ratio) if self.ratio > 0 else 0.0

    @property
    def bound_pressure(self) -> float:
        """The pressure that the binding limit is about: the change at an appliance, else the house's [Pa]."""
        return dict(self.changes).get(self.bound_by, self.pressure)


@dataclass(frozen=True)
class Trial:
    """All that options are tried on: the house with every candidate, its combinations, those that decide, limits.

    numbers: the combinations that decide, deepest first; highest: those that decide where a fan pushes air in.
    """

    place: Slots
    listing: Listing
    numbers: Index
    highest: Index
    solve: Solve
    judged: Limits

    def is_tight(self, numbers: Index) -> NDArray[np.bool_]:
        """Which combinations stand at the tight end.

        Parameters
        ----------
        numbers : Index
            numbers of combinations [-]
        """
        position = next(i for i, freedom in enumerate(self.listing.freedoms) if freedom.kind == "tightness")
        tight: NDArray[np.bool_] = self.listing.digits(numbers, position) == 0
        return tight

    def seen(self, columns: Columns) -> Readout:
        """Settings, solved; make-up air that the file draws follows its machines.

        Parameters
        ----------
        columns : dict
            settings as columns [-]
        """
        size = len(next(iter(columns.values())))
        return self.solve(Settings(interlocked(self.place.house, columns, size), size))

    def pulls(self, columns: Columns, rest: Columns | None) -> Pulls:
        """What decides in many states, solved in chunks.

        Parameters
        ----------
        columns : dict
            settings as columns [-]
        rest : dict
            the same states with all fans off, where an appliance is watched [-]
        """
        size = len(next(iter(columns.values())))
        parts = []
        for first in range(0, size, CHUNK):
            part = slice(first, first + CHUNK)
            seen = self.seen({key: values[part] for key, values in columns.items()})
            still = None if rest is None else self.seen({key: values[part] for key, values in rest.items()})
            parts.append(self._read(seen, still))
        return Pulls(
            np.concatenate([part.house for part in parts]),
            np.concatenate([part.doors for part in parts], axis=1),
            np.concatenate([part.appliances for part in parts], axis=1),
        )

    def _read(self, seen: Readout, still: Readout | None) -> Pulls:
        house = seen.house_pressure()
        doors = [signed_force(seen, door) for door in outer_doors(self.place.house)]
        watched = self.judged.appliances if still is not None else ()
        changes = [_at(seen, a.room) - _at(still, a.room) for a in watched if still is not None]
        return Pulls(house, _table(doors, len(house)), _table(changes, len(house)))

    def at_rest(self, numbers: Index) -> Columns | None:
        """The combinations with all fans off, same doors, same weather; None where nothing is watched.

        Parameters
        ----------
        numbers : Index
            numbers of combinations [-]
        """
        if not self.judged.appliances:
            return None
        return self.listing.columns(numbers - numbers % self.listing.fan_block)


def _at(seen: Readout, room: str) -> Array:
    return seen.room_pressure(room) if room else seen.house_pressure()


def _table(rows: list[Array], size: int) -> Array:
    return np.array(rows).reshape(len(rows), size)


def screened(trial: Trial, options: Sequence[Option]) -> list[Judged]:
    """Every option on the combinations that decide.

    Parameters
    ----------
    trial : Trial
        what they are tried on [-]
    options : sequence of Option
        the options [-]
    """
    variants = [(option, mismatch) for option in options for mismatch in mismatches(option)]
    numbers = {True: np.concatenate([trial.numbers, trial.highest]), False: trial.numbers}
    base = {pushes: trial.listing.columns(mine) for pushes, mine in numbers.items()}
    rest = {pushes: trial.at_rest(mine) for pushes, mine in numbers.items()}
    tried = [changed(option, trial.place, base[option.powered], mismatch) for option, mismatch in variants]
    still = [changed(o, trial.place, columns, m) for o, m in variants if (columns := rest[o.powered]) is not None]
    house = trial.place.house
    pulls = trial.pulls(stacked(tried, house), stacked(still, house) if still else None)
    found: dict[Option, list[Judged]] = {}
    first = 0
    for option, mismatch in variants:
        mine = numbers[option.powered]
        part = pulls.of(slice(first, first + len(mine)))
        found.setdefault(option, []).append(judged_on(trial, option, mismatch, mine, part))
        first += len(mine)
    return _with_faults(trial, [worse_of(several) for several in found.values()])


def worse_of(several: Sequence[Judged]) -> Judged:
    """An option's judgement over both ends of its fan's mismatch.

    Parameters
    ----------
    several : sequence of Judged
        one a mismatch [-]
    """
    worst = max(several, key=lambda one: one.ratio)
    deepest = min(several, key=lambda one: one.pressure)
    pulled = max(several, key=lambda one: one.door_force)
    return replace(
        worst,
        pressure=deepest.pressure,
        tight=min(one.tight for one in several),
        loose=min(one.loose for one in several),
        highest=max(one.highest for one in several),
        number=deepest.number,
        mismatch=deepest.mismatch,
        door=pulled.door,
        door_force=pulled.door_force,
        changes=tuple(
            min(pairs, key=lambda pair: pair[1]) for pairs in zip(*(s.changes for s in several), strict=True)
        ),
        ratio_wanted=max(one.ratio_wanted for one in several),
    )


def judged_on(trial: Trial, option: Option, mismatch: float, numbers: Index, pulls: Pulls) -> Judged:
    """An option judged on solved combinations.

    Parameters
    ----------
    trial : Trial
        the limits and the doors [-]
    option : Option
        the option [-]
    mismatch : float
        what its fan moves of what it should [-]
    numbers : Index
        numbers of the combinations [-]
    pulls : Pulls
        what was found in them [-]
    """
    place = int(np.argmin(pulls.house))
    tight = trial.is_tight(numbers)
    forces = np.max(np.abs(pulls.doors), axis=1, initial=0.0)
    names = outer_doors(trial.place.house)
    door = int(np.argmax(forces)) if len(forces) else -1
    lowest = tuple(float(value) for value in np.min(pulls.appliances, axis=1, initial=0.0))
    deepest, force = float(pulls.house[place]), float(forces[door]) if door >= 0 else 0.0
    shares = limit_shares(trial.judged, deepest, force, lowest)
    bound_by = max(shares, key=lambda name: shares[name][1])
    return Judged(
        option=option,
        pressure=deepest,
        tight=float(np.min(pulls.house[tight])),
        loose=float(np.min(pulls.house[~tight])) if not tight.all() else deepest,
        highest=float(np.max(pulls.house)),
        number=int(numbers[place]),
        mismatch=mismatch,
        door=names[door] if door >= 0 else "",
        door_force=force,
        changes=tuple((a.name, change) for a, change in zip(trial.judged.appliances, lowest, strict=True)),
        ratio=shares[bound_by][1],
        ratio_wanted=max(wanted for wanted, _ in shares.values()),
        bound_by=bound_by,
    )


def limit_shares(
    judged: Limits, pressure: float, force: float, depressurization: Sequence[float]
) -> dict[str, tuple[float, float]]:
    """What is used up of every limit: (of the wanted, of the tolerated), over 1 = passed.

    Parameters
    ----------
    judged : Limits
        the limits [-]
    pressure : float
        house pressure, negative when pulled down [Pa]
    force : float
        the largest force at a door [N]
    depressurization : sequence of float
        change by the fans at each appliance [Pa]
    """
    house, door = judged.house_pressure, judged.door_pull
    down = max(0.0, -pressure)
    shares = {
        "house pressure": (_share(down, -house.wanted), _share(down, -house.tolerated)),
        "door pull": (_share(force, door.wanted), _share(force, door.tolerated)),
    }
    for appliance, change in zip(judged.appliances, depressurization, strict=True):
        share = _share(max(0.0, -change), -appliance.pressure)
        shares[appliance.name] = (share, share)
    return shares


def _share(value: float, largest: float) -> float:
    return value / largest if largest > 0 else (np.inf if value > 0 else 0.0)


def verified(trial: Trial, one: Judged) -> Judged:
    """An option solved in every combination of the listing that can decide; the worse of both findings stands.

    More exhaust raises no room's pressure, all else held. So where an opening is open at any speed of its machines, a
    combination in which a machine runs slower than its top pulls less than the same one at its top, and is left out.

    Parameters
    ----------
    trial : Trial
        what it is tried on [-]
    one : Judged
        the option as screened [-]
    """
    several, sure = [], True
    for mismatch in mismatches(one.option):
        found = worst_under(
            trial.listing,
            trial.solve,
            trial.judged,
            lambda columns, m=mismatch: changed(one.option, trial.place, columns, m),  # type: ignore[misc]
            at_top=not one.option.powered and one.option.family != DRAWN,
        )
        outer = [leaf_doors(trial.place.house).index(door) for door in outer_doors(trial.place.house)]
        pulls = Pulls(found.house, found.doors[outer], found.depressurization)
        several.append(judged_on(trial, one.option, mismatch, found.numbers, pulls))
        sure &= found.proof != "best found"
    worst = worse_of(several)
    return replace(
        worst,
        fault_pressure=one.fault_pressure,
        fault=one.fault,
        fault_appliance=one.fault_appliance,
        short=one.short,
        verified=sure,
    )


def _with_faults(trial: Trial, found: list[Judged]) -> list[Judged]:
    """Each option's faults on the deepest combinations of the house without make-up air.

    The one kept passes the limit of an appliance, if any does; of those alike it is the deepest.
    """
    numbers = trial.numbers[:FAULTY_ROWS]
    base, rest = trial.listing.columns(numbers), trial.at_rest(numbers)
    jobs = [(place, fault) for place, one in enumerate(found) for fault in option_faults(one.option)]
    if not jobs:
        return found
    options = [found[place].option for place, _ in jobs]
    tried = [failed(changed(o, trial.place, base, 0.9), f) for o, (_, f) in zip(options, jobs, strict=True)]
    still = (
        None if rest is None else stacked([changed(option, trial.place, rest) for option in options], trial.place.house)
    )
    pulls = trial.pulls(stacked(tried, trial.place.house), still)
    done = list(found)
    for index, (place, fault) in enumerate(jobs):
        part = pulls.of(slice(index * len(numbers), (index + 1) * len(numbers)))
        deepest = float(np.min(part.house))
        lowest = np.min(part.appliances, axis=1, initial=0.0)
        passed = any(c < a.pressure for a, c in zip(trial.judged.appliances, lowest, strict=True))
        before = done[place]
        if before.fault_pressure is None or (passed, -deepest) > (before.fault_appliance, -before.fault_pressure):
            done[place] = replace(before, fault_pressure=deepest, fault=fault.name, fault_appliance=passed)
    return done
