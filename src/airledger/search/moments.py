"""What an option does while somebody cooks: what the machine really moves, the make-up air, its heat and its water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import OUTDOORS
from airledger.house.operating_state import ACH50, SEASON, Key, full_flow
from airledger.house.outdoors import Outdoors, seasons, weather
from airledger.house.readout import Readout
from airledger.physics.air_loads import condensed_water, latent_heat, sensible_heat
from airledger.search.freedoms import top_flow
from airledger.search.judge import Judged, Trial
from airledger.search.options import DRAWN, Option, changed, stacked
from airledger.search.slots import POWERED, Slots

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Moment:
    """The machine at its top, all else as it stands, at the likely tightness, in summer. Flows [m3/s].

    worst_at_likely [Pa]: the option's deepest combination at the likely tightness; pressure [Pa]: the house meanwhile;
    heat [W], water [kg/s]: of all outdoor air over the everyday state; what has to be taken out is positive.
    """

    rated: float
    real: float
    make_up: float
    pressure: float
    worst_at_likely: float
    heat: float
    water: float


def summer(place: Slots) -> int:
    """Position of the season with the wettest outdoor air.

    Parameters
    ----------
    place : Slots
        the house with every candidate [-]
    """
    known = seasons(place.house)
    return max(range(len(known)), key=lambda i: (known[i].outdoor_dew_point, known[i].outdoor_temperature))


def moments(trial: Trial, judged: Sequence[Judged], ach50: float) -> list[Moment]:
    """What each option does while the biggest machine runs at its top, and its deepest state at the likely tightness.

    Parameters
    ----------
    trial : Trial
        the house with every candidate [-]
    judged : sequence of Judged
        the options with their deepest combinations [-]
    ach50 : float
        likely air changes at 50 Pa [1/h]
    """
    place, options = trial.place, [one.option for one in judged]
    machine = place.machine
    season, count = summer(place), len(options)
    base: dict[Key, Array] = {("speed", exhaust.name): np.zeros(1) for exhaust in place.house.exhausts}
    base[SEASON], base[ACH50] = np.full(1, float(season)), np.full(1, ach50)
    cooking = dict(base)
    if machine is not None:
        cooking["speed", machine.name] = np.full(1, top_flow(machine) / full_flow(machine))
    rows = [changed(option, place, cooking) for option in options]
    seen = trial.seen(
        stacked([*rows, changed(Option("none"), place, base), *(_at(trial, one, ach50) for one in judged)], place.house)
    )
    outdoor, pressure = seen.outdoor_air_mass(), seen.house_pressure()
    heat, water = _loads(weather(place.house)[season], outdoor[:count] - outdoor[count])
    none = np.zeros(count)
    real = seen.machine_flow(machine.name) if machine is not None else none
    rated = seen.rated_flow(machine.name) if machine is not None else none
    columns = (rated, real, _make_up(seen, options, place), pressure, pressure[count + 1 :], heat, water)
    return [Moment(*(float(value) for value in column)) for column in zip(*columns, strict=False)]


def _at(trial: Trial, one: Judged, ach50: float) -> dict[Key, Array]:
    """The deepest combination of an option at another tightness."""
    columns = trial.listing.columns(np.array([one.number], dtype=np.intp))
    columns[ACH50] = np.full(1, ach50)
    return changed(one.option, trial.place, columns, one.mismatch)


def _loads(air: Outdoors, mass_flow: Array) -> tuple[Array, Array]:
    heat = sensible_heat(mass_flow, air.outdoor, air.indoor) + latent_heat(mass_flow, air.outdoor, air.indoor)
    return np.asarray(heat), np.asarray(condensed_water(mass_flow, air.outdoor, air.indoor))


def _make_up(seen: Readout, options: Sequence[Option], place: Slots) -> Array:
    total = np.zeros(len(options))
    flows = {name: seen.make_up_flow(name) for name in {n for o in options for n in o.built} | {POWERED, *place.drawn}}
    for index, option in enumerate(options):
        names = list(option.built) + ([POWERED] if option.powered else [])
        names += list(place.drawn) if option.family == DRAWN else []
        total[index] = sum(float(flows[name][index]) for name in names)
        if option.window is not None and place.window is not None:
            state = seen.state(index, "")
            total[index] = sum(
                f.volume_flow for f in state.flows if f.through == place.window.name and f.from_ == OUTDOORS
            )
    return total
