"""What the fans do at each flue: pressure of its room with the fans on and off, and the flow in an open flue.

Published limits are for the change that fans make: the state minus all fans off, same doors, same weather. A basement
in winter stands several pascals below outdoors with every fan off, and its flue draws all the better for it.
In the search for the worst state a flue is shut. Here it is opened.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from airledger.errors import InputError
from airledger.house.assemble import build
from airledger.house.envelope import ach50
from airledger.house.flues import flue_element, has_flue, standing_draft
from airledger.house.house import Appliance, House
from airledger.house.operating_state import (
    ACH50,
    SEASON,
    VENTILATOR_STREAMS,
    OperatingState,
    Settings,
    as_built,
    standing,
)
from airledger.house.outdoors import weather
from airledger.house.readout import Readout
from airledger.physics.solver import solve
from airledger.search.hours import yearly_hours
from airledger.search.limits import ApplianceLimit, Limits
from airledger.search.worst import Solve, Survey, state_names, worst_of

Array = NDArray[np.float64]

NAMED, FOUND = "named", "worst found"


@dataclass(frozen=True)
class Moment:
    """One state with its fans on and off. found: named | worst found; hours [s] a year where they can be told.

    worst_for: the appliance that it is the worst for, of a worst state;
    on, off: the states as settings, the likely tightness first, then both ends of it; of a worst state its own alone.
    """

    state: str
    kind: str
    found: str
    why: str
    on: Settings
    off: Settings
    hours: float | None = None
    worst_for: str = ""


@dataclass(frozen=True)
class Pull:
    """What fans do at an appliance in one moment [Pa]: their change with its range, the pressure, and it without fans.

    deepest, deepest_fans_off [Pa]: the two pressures at that end of the tightness where the change is the lowest;
    draft [Pa]: what its cold flue draws of itself, upwards positive, None where its height is not told.
    """

    moment: Moment
    season: str
    ach50: float
    change: float
    low: float
    high: float
    pressure: float
    fans_off: float
    deepest: float
    deepest_fans_off: float
    draft: float | None


@dataclass(frozen=True)
class OpenFlue:
    """Air in an open flue between firings [m3/s], upwards positive, with the fans on and off.

    pressure [Pa] of the room with the fans on; draft [Pa] that the cold flue has of itself.
    """

    moment: Moment
    season: str
    flow: float
    fans_off: float
    pressure: float
    draft: float


def stilled(house: House, state: OperatingState) -> OperatingState:
    """A state with all its fans off, doors and weather as they are.

    Parameters
    ----------
    house : House
        for its machines [-]
    state : OperatingState
        the state [-]
    """
    fans = [("speed", exhaust.name) for exhaust in house.exhausts]
    fans += [("speed", stream) for stream in VENTILATOR_STREAMS] if house.ventilator is not None else []
    kept = tuple(pair for pair in state.settings if pair[0][0] != "speed")
    return replace(state, settings=(*kept, *((key, 0.0) for key in fans)))


def named_moments(house: House, states: Sequence[OperatingState]) -> list[Moment]:
    """The states that the file names, each at the likely tightness and at both ends, fans on and off.

    Parameters
    ----------
    house : House
        its machines and tightness [-]
    states : sequence of OperatingState
        the named ones [-]
    """
    moments = []
    for state in states:
        levels = np.array([ach50(house).likely, *ach50(house).ends])
        levels = np.full(len(levels), dict(state.settings)[ACH50]) if ACH50 in dict(state.settings) else levels
        on, off = (
            Settings.of(house, [one] * len(levels)).with_({ACH50: levels}) for one in (state, stilled(house, state))
        )
        moments.append(Moment(state.name, state.kind, NAMED, state.why, on, off))
    return moments


def worst_moments(found: Survey, judged: Limits) -> dict[str, Moment]:
    """The worst combination for each appliance, by its name.

    Parameters
    ----------
    found : Survey
        every normal combination, solved [-]
    judged : Limits
        for the appliances [-]
    """
    listing, worst = found.listing, worst_of(found, judged)
    names = state_names(found, worst)
    moments = {}
    for one in worst:
        if one.kind == "appliance":
            number = int(found.numbers[one.place])
            both = (number, number - number % listing.fan_block)
            on, off = (listing.settings(np.array([place], dtype=np.intp)) for place in both)
            hours = yearly_hours(listing.share_of_year(number))
            why = listing.why(number)
            moments[one.target] = Moment(names[number], "normal", FOUND, why, on, off, hours, one.target)
    return moments


def _pressure(seen: Readout, room: str) -> Array:
    return seen.room_pressure(room) if room else seen.house_pressure()


def together(house: House, several: Sequence[Settings]) -> Settings:
    """Batches of states as one; what a batch does not name stands as it stands.

    Parameters
    ----------
    house : House
        how things stand [-]
    several : sequence of Settings
        the batches, in order [-]
    """
    rest = standing(house) | as_built(house)
    keys = dict.fromkeys(key for settings in several for key in settings.columns)
    columns = {key: np.concatenate([one.column(key, rest.get(key, 0.0)) for one in several]) for key in keys}
    return Settings(columns, sum(settings.size for settings in several))


@dataclass(frozen=True)
class Solved:
    """Moments solved in one batch: for each its rows with the fans on, and those with the fans off."""

    moments: tuple[Moment, ...]
    seen: Readout
    rows: tuple[tuple[slice, slice], ...]


def solved(house: House, solver: Solve, moments: Sequence[Moment]) -> Solved:
    """Moments, fans on and off, solved together.

    Parameters
    ----------
    house : House
        how things stand [-]
    solver : callable
        settings to readout [-]
    moments : sequence of Moment
        when [-]
    """
    batches = [settings for moment in moments for settings in (moment.on, moment.off)]
    ends = np.cumsum([0, *(settings.size for settings in batches)]).tolist()
    rows = [slice(first, last) for first, last in pairwise(ends)]
    return Solved(tuple(moments), solver(together(house, batches)), tuple(zip(rows[::2], rows[1::2], strict=True)))


def pulls_at(house: House, stands: ApplianceLimit, found: Solved) -> list[Pull]:
    """What the fans do at one appliance in every moment but those that are the worst for another one.

    Parameters
    ----------
    house : House
        for its weather [-]
    stands : ApplianceLimit
        the appliance [-]
    found : Solved
        the moments [-]
    """
    appliance = next((entry for entry in house.appliances if entry.name == stands.name), None)
    pressure = _pressure(found.seen, stands.room)
    pulls = []
    for moment, (with_fans, without) in zip(found.moments, found.rows, strict=True):
        if moment.worst_for not in ("", stands.name):
            continue
        on, off = pressure[with_fans], pressure[without]
        changes = on - off
        lowest = int(np.argmin(changes))
        season = weather(house)[int(moment.on.column(SEASON, 0.0)[0])]
        pulls.append(
            Pull(
                moment=moment,
                season=season.name,
                ach50=float(moment.on.column(ACH50, ach50(house).likely)[0]),
                change=float(changes[0]),
                low=float(changes.min()),
                high=float(changes.max()),
                pressure=float(on[0]),
                fans_off=float(off[0]),
                deepest=float(on[lowest]),
                deepest_fans_off=float(off[lowest]),
                draft=None if appliance is None else standing_draft(house, appliance, season),
            )
        )
    return pulls


def open_flues(house: House, appliance: Appliance, moments: Sequence[Moment]) -> list[OpenFlue]:
    """Which way air goes in an open flue between firings, in some moments, each at its first tightness.

    The flue counts as open during the blower-door test, so that the rest of the house is the tighter for it.

    Parameters
    ----------
    house : House
        the house [-]
    appliance : Appliance
        one with a flue whose size and height are told [-]
    moments : sequence of Moment
        when [-]

    Raises
    ------
    InputError
        the flue by itself would pass more than the whole house was tested to leak, or nobody said where it stands.
    """
    inside = house.conditioned
    room = appliance.room or (inside[0].name if len(inside) == 1 else "")
    if not has_flue(appliance) or not room:
        raise InputError(f"size and height of the flue of {appliance.name}, or its room, are not told")
    model = build(house)
    model = replace(model, specs=(*model.specs, flue_element(house, appliance, room)))
    first = np.array([0], dtype=np.intp)
    settings = together(house, [one.of_rows(first) for moment in moments for one in (moment.on, moment.off)])
    solution = solve(model.network, model.rows(settings))
    seasons = [weather(house)[int(number)] for number in settings.column(SEASON, 0.0)]
    flows = [
        mass / float((season.air_of(house.room(room)) if mass > 0 else season.outdoor).dry_air_density)
        for mass, season in zip(solution.flow[-1].tolist(), seasons, strict=True)
    ]
    pressures = Readout(model, settings, solution).room_pressure(room)
    listed = []
    for place, moment in enumerate(moments):
        on, off = 2 * place, 2 * place + 1
        draft = standing_draft(house, replace(appliance, room=room), seasons[on]) or 0.0
        if solution.converged[on] and solution.converged[off]:
            flue = OpenFlue(moment, seasons[on].name, flows[on], flows[off], float(pressures[on]), draft)
            listed.append(flue)
    return listed
