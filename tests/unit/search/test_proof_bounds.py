"""The bounds of the proof by themselves: where nothing is listed afterwards, none of all combinations goes past them.

All houses are invented; every combination of each is solved.
"""

import numpy as np
import pytest

from airledger.house.assemble import build
from airledger.io.house_file import loads
from airledger.physics.solver import solve
from airledger.search import chains
from airledger.search import proof as proof_module
from airledger.search.proof import prove
from airledger.search.states import whole_listing
from tests.unit.search.test_proof_edges import RING, SITE, SUPPLIED
from tests.unit.search.test_proof_values import GARAGE, LEVELS, Watched, all_values


@pytest.mark.parametrize(
    ("text", "turns"),
    [(RING, 40), (SUPPLIED, 40), (LEVELS, 40), (GARAGE, 40), (RING, 1), (SUPPLIED, 1), (LEVELS, 1)],
    ids=["ring", "supplied", "levels", "garage", "ring cut short", "supplied cut short", "levels cut short"],
)
def test_a_bound_holds_without_the_listing_that_follows_it(text, turns, monkeypatch):
    house = loads(SITE + text, "x.yaml")
    listing, model = whole_listing(house), build(house)
    monkeypatch.setattr(proof_module, "FEW", 0)
    monkeypatch.setattr(proof_module, "FEW_IN_ALL", 0)
    monkeypatch.setattr(proof_module, "list_all", lambda *_: None)
    monkeypatch.setattr(chains, "TURNS", turns)  # a chain cut short has settled nothing
    monkeypatch.setattr(proof_module, "Proving", Watched)
    monkeypatch.setattr(Watched, "seen", [])
    prove(listing, model, solve)
    values = list(all_values(listing, model, Watched.seen[0].sought))
    for proving in Watched.seen:
        context, loop = proving._row(np.arange(listing.size))
        row = context * proving.width + loop
        for place, one in enumerate(proving.sought):
            allowed = np.maximum(proving.most(place)[row], -1e6)
            assert np.all(np.maximum(values[place], -1e6) <= allowed + 1e-3), one.name
