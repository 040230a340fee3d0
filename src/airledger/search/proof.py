"""The worst combinations for the house, each room and each door, proved without solving every combination.

Contexts whose bound (`search.bounds`) lies within what a real combination already reaches cannot be worse. In the
others the doors on a loop are listed, and for each listing whatever else acts on one way for air takes the choice that
lets in least (`search.chains`): that is exact. A door on a loop is listed with all that is free, where either side's
range leaves room for worse. docs/theory/worst-state.md tells it so that a tester can follow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.house.assemble import Model
from airledger.physics.held import hold
from airledger.physics.network import OUTSIDE
from airledger.search.bounds import Bounding, buffers
from airledger.search.chains import Ground, SolveRows, parted
from airledger.search.proof_doors import beside_loops, both_sides, list_all
from airledger.search.proving import CLOSE, Proving
from airledger.search.reach import groups_of
from airledger.search.sought import fixed_reference, sought_of
from airledger.search.states import Change, Index, Listing, product

Array = NDArray[np.float64]

FEW = 3_000
"""Listings of loop doors up to which no bound is worked out first."""

FEW_IN_ALL = 12_000
"""Combinations up to which the doors on loops are listed first."""

TURNS = 3
"""Times that buffer spaces are held anew, closer each time."""

MOST_SOLVED = 200_000


@dataclass(frozen=True)
class Proof:
    """What was proved. numbers: combinations solved on the way, the worst among them; pressure of all nodes in them.

    open: (target, how much worse it might be [Pa], inf where nothing is known); pressure [Pa] (nodes, combinations);
    solved: how many combinations were solved, with something held or without.
    """

    numbers: Index
    pressure: Array
    open: tuple[tuple[str, float], ...]
    solved: int
    residual: float = 0.0


def prove(listing: Listing, model: Model, solve: SolveRows, change: Change | None = None) -> Proof:
    """The worst combinations of a listing, with what could not be proved.

    Parameters
    ----------
    listing : Listing
        all combinations; never solved as a whole here [-]
    model : Model
        the house as a network [-]
    solve : callable
        network and rows to solution [-]
    change : callable
        what an option makes different [-]
    """
    # columns of air at doors go by the season, so that it is listed even where it acts on one way for air only
    groups = groups_of(listing, model, change, frozenset(f.name for f in listing.freedoms if f.kind == "season"))
    grouped = {place for group in groups for place in group.freedoms}
    apart = [place for place in range(len(listing.freedoms)) if place not in grouped]
    contexts = product([_steps(listing, place) for place in apart], MOST_SOLVED)
    sought = sought_of(listing, model)
    found = Proof(
        np.zeros(0, dtype=np.intp), np.zeros((len(model.nodes), 0)), tuple((s.name, np.inf) for s in sought), 0
    )
    if contexts is None:
        return found
    ground = Ground(listing, model, solve, groups, contexts, change)
    kept = buffers(model)
    for held, largest in ((kept, MOST_SOLVED), (kept[:0], FEW_IN_ALL)):
        on_loop = _on_loop(ground, held)
        loops = product([group.steps for group, on in zip(groups, on_loop, strict=True) if on], MOST_SOLVED)
        if loops is not None and len(contexts) * len(loops) <= largest:
            closer = _proved(Proving(ground, sought, loops, on_loop, held))
            found = closer if not len(found.numbers) or len(closer.open) < len(found.open) else found
        listed = {place for group, on in zip(groups, on_loop, strict=True) if on for place in group.freedoms}
        on_loops = {one.name for one in sought if one.door in listed}
        if not len(kept) or {name for name, _ in found.open} <= on_loops:
            break
    return found


def _on_loop(ground: Ground, held: Index) -> list[bool]:
    """Which groups are ways between two nodes with another way round, so that they are listed."""
    model = ground.model
    all_doors = fixed_reference(model.house) is None
    cuts = parted(hold(model.network, held), ground.groups)
    return [cut is not None and OUTSIDE not in cut.nodes and (not cut.parts or all_doors) for cut in cuts]


def _steps(listing: Listing, position: int) -> tuple[int, ...]:
    return tuple(listing.strides[position] * choice for choice in range(len(listing.freedoms[position].choices)))


def _proved(proving: Proving) -> Proof:
    """The combinations that are worst, and what is left open."""
    if len(proving.start) > FEW and (bounding := Bounding(proving.ground)).falls_apart:
        found = bounding.bounds()
        proving.low[:-1] = np.repeat(found.low, proving.width, axis=1)
        proving.high[:-1] = np.repeat(found.high, proving.width, axis=1)
        proving.note(found.numbers, proving.ground.real(found.numbers))
    everything = range(len(proving.sought))
    doors = [place for place in everything if proving.sought[place].opening is not None]
    on_loop = [place for place in doors if proving.is_on_loop(proving.sought[place])]
    whole = len(proving.start) * math.prod(len(group.steps) for group in proving.free)
    if whole <= FEW_IN_ALL:  # the doors on loops need nearly all of it listed anyway
        for place in on_loop:
            list_all(proving, place, MOST_SOLVED)
    for _ in range(TURNS if len(proving.buffers) else 1):
        if all(proving.excess(place) <= CLOSE for place in everything):
            break
        proving.hold_buffers()
        proving.reach(-1.0, [place for place in everything if place not in on_loop])
        proving.reach(1.0, [place for place in doors if place not in on_loop])
        both_sides(proving, [(p, cut) for p in doors if (cut := proving.cut(proving.sought[p])) >= 0])
        for place in on_loop:
            beside_loops(proving, place, MOST_SOLVED)
    for place in doors:
        list_all(proving, place, MOST_SOLVED)
    left = [(one.name, proving.excess(place)) for place, one in enumerate(proving.sought)]
    numbers, first = np.unique(np.concatenate([n for n, _ in proving.kept]), return_index=True)
    pressure = np.concatenate([p for _, p in proving.kept], axis=1)[:, first]
    still_open = tuple((name, more) for name, more in left if more > CLOSE)
    visited = len(np.unique(np.concatenate(proving.ground.visited)))
    return Proof(numbers, pressure, still_open, visited, proving.ground.residual)
