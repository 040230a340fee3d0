"""The bound of every context: no combination passes it, and it is close enough to be of use. Invented houses."""

import numpy as np
import pytest

from airledger.house.assemble import build
from airledger.io.house_file import loads
from airledger.physics.solver import solve
from airledger.search import chains
from airledger.search.bounds import Bounding
from airledger.search.chains import Ground
from airledger.search.reach import groups_of
from airledger.search.states import product, whole_listing
from tests.unit.search.test_proof_bounds import LOOP, MUD_ROOM
from tests.unit.search.test_proof_edges import RING, SITE, SUPPLIED
from tests.unit.search.test_proof_values import GARAGE, LEVELS


def ground_of(text):
    """What chains share, with every thing that acts on one way for air free and the rest in the contexts."""
    house = loads(SITE + text, "x.yaml")
    listing, model = whole_listing(house), build(house)
    groups = groups_of(listing, model, None, frozenset({"season"}))
    free = {place for group in groups for place in group.freedoms}
    steps = [
        [listing.strides[place] * choice for choice in range(len(freedom.choices))]
        for place, freedom in enumerate(listing.freedoms)
        if place not in free
    ]
    return Ground(listing, model, solve, groups, product(steps, 10_000))


def reached(ground):
    """The least and the most of every node in each context, every combination solved (nodes, contexts) [Pa]."""
    listing, model = ground.listing, ground.model
    numbers = np.arange(listing.size)
    context = numbers.copy()
    for group in ground.groups:
        context -= np.array(group.steps)[ground.choice(numbers, group)]
    pressure = solve(model.network, model.rows(listing.settings(numbers))).pressure
    mine = [pressure[:, context == one] for one in ground.contexts]
    return np.stack([part.min(axis=1) for part in mine], 1), np.stack([part.max(axis=1) for part in mine], 1)


@pytest.mark.parametrize(
    ("text", "gaps"),
    [(LEVELS, {"cellar": 1e-3, "hall": 1e-3, "kitchen": 1e-3, "loft": 1e-3}),
     (MUD_ROOM, {"kitchen": 2.0, "mud room": 0.02, "garage": 0.02})],
    ids=["levels", "mud room"],
)  # fmt: skip
def test_a_bound_lies_past_every_combination_and_close(text, gaps):
    ground = ground_of(text)
    bounding = Bounding(ground)
    assert bounding.falls_apart
    low, high = reached(ground)
    found = bounding.bounds()
    bound = [*bounding.layout.rooms, *bounding.layout.joints]
    assert np.all(found.low[bound] <= low[bound] + 1e-6)
    assert np.all(found.high[bound] >= high[bound] - 1e-6)
    for name, gap in gaps.items():
        node = ground.model.nodes.index(name)
        assert np.max(low[node] - found.low[node]) <= gap
        assert np.max(found.high[node] - high[node]) <= gap


def test_a_bound_with_a_ventilator_that_joins_rooms_holds_where_it_was_found():
    ground = ground_of(SUPPLIED)
    bounding = Bounding(ground)
    low, high = reached(ground)
    found = bounding.bounds()
    bound = [*bounding.layout.rooms, *bounding.layout.joints]
    assert np.all(found.low[bound] <= low[bound])
    assert np.all(found.high[bound] >= high[bound])
    assert np.isfinite(found.high[bound]).all()
    assert np.isfinite(found.low[bound]).all(axis=0).sum() >= 2  # of six contexts
    assert np.max(found.high[bound] - high[bound]) < 25.0


@pytest.mark.parametrize("text", [RING, GARAGE, LOOP], ids=["ring", "garage", "loop"])
def test_a_ring_of_doors_does_not_fall_apart(text):
    assert not Bounding(ground_of(text)).falls_apart


def test_where_chains_settle_nothing_is_bound(monkeypatch):
    monkeypatch.setattr(chains, "TURNS", 1)
    ground = ground_of(MUD_ROOM)
    low, high = reached(ground)
    found = Bounding(ground).bounds()
    assert np.all(found.low <= low + 1e-6)
    assert np.all(found.high >= high - 1e-6)


def test_the_combinations_that_reach_a_bound_are_handed_on_to_be_tried():
    ground = ground_of(LEVELS)
    found = Bounding(ground).bounds()
    low, _ = reached(ground)
    model = ground.model
    tried = solve(model.network, model.rows(ground.listing.settings(found.numbers))).pressure
    assert tried.min(axis=1) == pytest.approx(low.min(axis=1), abs=1e-6)
    assert len(found.numbers) == len({*found.numbers.tolist()})


def test_a_held_space_goes_only_as_far_as_all_about_it_lets_it():
    ground = ground_of(MUD_ROOM)
    bounding = Bounding(ground)
    low, high = reached(ground)
    wide, tall = np.minimum(low - 5.0, 0.0), np.maximum(high + 5.0, 0.0)
    lower, higher = bounding.joints_between(wide, tall)
    garage = ground.model.nodes.index("garage")
    assert np.all(lower[garage] <= low[garage] + 1e-6)
    assert np.all(higher[garage] >= high[garage] - 1e-6)
    assert np.all(lower[garage] > wide[garage])  # vents hold it nearer to outdoors than what it is next to
    assert np.array_equal(np.delete(lower, garage, 0), np.delete(wide, garage, 0))


@pytest.mark.parametrize("turns", [40, 1])
def test_a_held_space_whose_chain_does_not_settle_has_no_end(turns, monkeypatch):
    ground = ground_of(MUD_ROOM)
    bounding = Bounding(ground)
    low, high = reached(ground)
    monkeypatch.setattr(chains, "TURNS", turns)
    lower, higher = bounding.joints_between(low, high)
    garage = ground.model.nodes.index("garage")
    assert np.isneginf(lower[garage]).any() == (turns == 1)
    assert np.isfinite(higher[garage]).all()  # with the fan off from the start there is nothing to settle
