"""The worst states of a house: every combination solved, or proved, or the best found and said so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import House
from airledger.house.readout import Readout
from airledger.physics.solver import Solution
from airledger.physics.solver import solve as network_solve
from airledger.search.freedoms import top_flow
from airledger.search.limits import Limits
from airledger.search.proof import Proof, prove
from airledger.search.states import Change, Index, Listing, normal_listing, product, whole_listing
from airledger.search.worst import Solve, Survey, survey

Array = NDArray[np.float64]

SOLVED_AT_ONCE = 4_000
"""Combinations that are simply all solved."""

LISTED_UNDER_OPTIONS = 20_000
MOST_AT_APPLIANCES = 200_000
MACHINES_APART = 3


def surveyed(house: House, solve: Solve, judged: Limits) -> Survey:
    """The worst states of a house.

    Parameters
    ----------
    house : House
        what the file says [-]
    solve : callable
        settings to readout [-]
    judged : Limits
        for the appliances [-]
    """
    whole = whole_listing(house)
    if whole is not None and whole.size > SOLVED_AT_ONCE:
        found = proved(whole, solve, judged)
        if found is not None and (found.proof == "proved" or whole.size > normal_listing(house).size):
            return found
    return survey(normal_listing(house), solve, judged)


def proved(
    listing: Listing, solve: Solve, judged: Limits, change: Change | None = None, at_top: bool | None = None
) -> Survey | None:
    """The worst of a listing without solving all of it; None where a room's worst could not be proved.

    Parameters
    ----------
    listing : Listing
        all combinations [-]
    solve : callable
        settings to readout [-]
    judged : Limits
        for the appliances [-]
    change : callable
        what an option makes different [-]
    at_top : bool
        whether a machine below its top pulls less than at its top; by itself where no make-up air starts with one [-]
    """
    model = solve(listing.settings(np.zeros(1, dtype=np.intp), change)).model
    proof = prove(listing, model, network_solve, change)
    rooms = {"house", *(room.name for room in listing.house.conditioned)}
    if not len(proof.numbers) or any(name in rooms for name, _ in proof.open):
        return None
    if at_top is None:  # what opens from a certain speed on may leave a lower speed the harder pull
        at_top = not any(arrangement.starts_with for arrangement in listing.house.make_up_air or ())
    watched = off_or_top(listing, MOST_AT_APPLIANCES, at_top) if judged.appliances else proof.numbers[:0]
    if watched is None:
        return None
    wanted = np.unique(np.concatenate([proof.numbers, watched, machines_apart(listing, proof)]))
    place = np.searchsorted(proof.numbers, wanted)
    known = proof.numbers[np.minimum(place, len(proof.numbers) - 1)] == wanted
    pressure = np.empty((len(model.nodes), len(wanted)))
    pressure[:, known] = proof.pressure[:, place[known]]
    missing = np.flatnonzero(~known)
    fresh = [solve(listing.settings(part, change)).solution for part in listing.chunks(wanted[missing])]
    good = np.ones(len(wanted), dtype=bool)
    if fresh:
        pressure[:, missing] = np.concatenate([solution.pressure for solution in fresh], axis=1)
        good[missing] = np.concatenate([solution.converged for solution in fresh])

    def read(numbers: Index) -> Readout:
        at = np.searchsorted(wanted, numbers)
        nothing = np.zeros(len(numbers))
        flows = np.zeros((0, len(numbers)))
        solution = Solution(model.network, pressure[:, at], flows, good[at], nothing, nothing.astype(np.intp))
        return Readout(model, listing.settings(numbers, change), solution)

    found = survey(listing, solve, judged, wanted, change, read)
    return replace(
        found,
        solved=proof.solved + len(missing),
        worst_residual=max([proof.residual, *(float(np.max(one.residual_relative)) for one in fresh)]),
        proof="best found" if proof.open else "proved",
        open=tuple(name for name, _ in proof.open),
    )


def worst_under(listing: Listing, solve: Solve, judged: Limits, change: Change, at_top: bool) -> Survey:
    """The worst of a listing under an option: all of it solved where that is little, proved where it is much.

    Where it cannot be proved, the worst of a draw: "best found".

    Parameters
    ----------
    listing : Listing
        all combinations [-]
    solve : callable
        settings to readout [-]
    judged : Limits
        for the appliances [-]
    change : callable
        what the option makes different [-]
    at_top : bool
        whether a machine that runs below its top pulls less than at its top, so that it may be left out [-]
    """
    numbers = off_or_top(listing, LISTED_UNDER_OPTIONS, at_top)
    if numbers is not None:
        return survey(listing, solve, judged, numbers, change)
    found = proved(listing, solve, judged, change, at_top)
    if found is not None:
        return found
    drawn = np.random.default_rng(0).integers(0, listing.size, LISTED_UNDER_OPTIONS)
    return replace(survey(listing, solve, judged, np.unique(drawn), change), proof="best found")


def off_or_top(listing: Listing, largest: int, at_top: bool = True) -> Index | None:
    """All combinations with each machine off or at its top; None where they are too many.

    Where an appliance is watched the worst is among them: more exhaust raises no room's pressure, and the state with
    all fans off that it is compared with stays the same; doors, windows and filters move both, so they are listed.

    Parameters
    ----------
    listing : Listing
        all combinations [-]
    largest : int
        how many there may be [-]
    at_top : bool
        False takes machines at every speed [-]
    """
    steps = []
    for freedom, stride in zip(listing.freedoms, listing.strides, strict=True):
        last = len(freedom.choices) - 1
        taken = (0, last) if freedom.kind == "machine" and at_top else range(last + 1)
        steps.append([choice * stride for choice in taken])
    return product(steps, largest)


def machines_apart(listing: Listing, proof: Proof) -> Index:
    """The deepest combination of each season, tightness and ventilator speed, with the biggest machines off in turn.

    Parameters
    ----------
    listing : Listing
        all combinations [-]
    proof : Proof
        what was solved on the way [-]
    """
    kinds = [i for i, f in enumerate(listing.freedoms) if f.kind in ("tightness", "season", "ventilator")]
    group = np.zeros(len(proof.numbers), dtype=np.intp)
    for position in kinds:
        group = group * len(listing.freedoms[position].choices) + listing.digits(proof.numbers, position)
    depth = np.min(proof.pressure, axis=0)
    order = np.lexsort((depth, group))
    deepest = proof.numbers[order[np.flatnonzero(np.diff(group[order], prepend=-1))]]
    return _with_each_off(listing, deepest, _biggest(listing))


def _biggest(listing: Listing) -> Sequence[int]:
    flows = {exhaust.name: top_flow(exhaust) for exhaust in listing.house.exhausts}
    machines = [i for i, freedom in enumerate(listing.freedoms) if freedom.kind == "machine"]
    return sorted(machines, key=lambda i: -flows.get(listing.freedoms[i].name, 0.0))[:MACHINES_APART]


def _with_each_off(listing: Listing, numbers: Index, machines: Sequence[int]) -> Index:
    for position in machines:
        stride, last = listing.strides[position], len(listing.freedoms[position].choices) - 1
        bare = numbers - listing.digits(numbers, position) * stride
        numbers = np.concatenate([bare, bare + last * stride])
    return np.unique(numbers)
