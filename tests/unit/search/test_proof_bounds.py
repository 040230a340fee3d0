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

# A garage with a fan of its own: what it pulls at one room of a door, it does not pull at the other.
PULLED = """
envelope: {{tightness: 1.2 ach50, exponent: 0.65, taped at the test: [garage door]}}
rooms:
  kitchen: {{area: 500 ft2, ceiling: 9 ft}}
  {room}
  garage: {{kind: garage, area: 500 ft2, vents: 0.5 ft2}}
openings:
  garage door: {{between: [garage, {beside}], leaf: 32 in x 80 in, undercut: 1/2 in, stands: shut}}
  {doors}
exhausts:
  hood: {{room: kitchen, speeds: {{low: 40 cfm, high: 150 cfm}}}}
  garage fan: {{room: garage, speeds: {{on: 600 cfm}}}}
make-up air: none
"""
MUD_ROOM = PULLED.format(
    room="mud room: {area: 60 ft2, ceiling: 9 ft}",
    beside="mud room",
    doors="mud door: {between: [kitchen, mud room], leaf: 30 in x 80 in, undercut: 1/8 in}",
)
LOOP = PULLED.format(
    room="bedroom: {area: 160 ft2, ceiling: 9 ft}\n  bath: {area: 60 ft2, ceiling: 9 ft}",
    beside="bedroom",
    doors="bedroom door: {between: [kitchen, bedroom], leaf: 30 in x 80 in, undercut: 1/8 in}\n"
    "  bath door: {between: [bedroom, bath], leaf: 30 in x 80 in, undercut: 1/8 in}\n"
    "  other bath door: {between: [kitchen, bath], leaf: 30 in x 80 in, undercut: 1/8 in}",
)
# Attic and garage touch each other, so that held they have nothing but each other and outdoors to go by.
UNDER_ONE_ROOF = GARAGE.replace(
    "vents: 0.05 ft2}", "vents: 0.05 ft2}\n  attic: {kind: attic, area: 1200 ft2, vents: 4 ft2}"
)
UNDER_ONE_ROOF = UNDER_ONE_ROOF.replace(
    "openings:",
    "openings:\n  garage hatch: {between: [garage, attic], leaf: 22 in x 30 in, undercut: 1/8 in, stands: shut}",
)
HOUSES = {
    "ring": RING,
    "supplied": SUPPLIED,
    "levels": LEVELS,
    "garage": GARAGE,
    "mud room": MUD_ROOM,
    "loop": LOOP,
    "one roof": UNDER_ONE_ROOF,
}


@pytest.mark.parametrize("turns", [40, 1], ids=["", "cut short"])
@pytest.mark.parametrize("text", HOUSES.values(), ids=HOUSES)
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
