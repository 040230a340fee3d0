"""What the proof holds to be the worst value of every room and door, against all combinations solved one by one."""

from typing import ClassVar

import numpy as np
import pytest

from airledger.house.assemble import build
from airledger.house.readout import Readout
from airledger.io.house_file import loads
from airledger.physics.solver import solve
from airledger.search import proof as proof_module
from airledger.search import reach
from airledger.search.proof import prove
from airledger.search.proving import CLOSE, Proving
from airledger.search.sought import HOUSE
from airledger.search.states import whole_listing
from tests.unit.search.test_proof_edges import RING, SITE, SUPPLIED

LEVELS = """
levels: {basement: {floor: -9 ft, below grade: 6 ft}, main: {floor: 0 ft}, top: {floor: 10 ft}}
envelope: {tightness: 1.2 to 2.5 ach50 (likely 1.5), exponent: 0.65}
rooms:
  cellar: {level: basement, area: 600 ft2, ceiling: 8 ft}
  hall: {level: main, area: 300 ft2, ceiling: 9 ft}
  kitchen: {level: main, area: 290 ft2, ceiling: 9 ft, air: {summer: 84 F}}
  loft: {level: top, area: 280 ft2, ceiling: 9 ft}
openings:
  cellar door: {between: [hall, cellar], leaf: 30 in x 80 in, undercut: 1/4 in}
  kitchen door: {between: [kitchen, hall], leaf: 30 in x 80 in, undercut: 1/4 in}
  loft door: {between: [loft, hall], leaf: 30 in x 80 in, undercut: 1/4 in, stands: open}
  entry: {between: [hall, outdoors], leaf: 36 in x 80 in, swings: in, stands: shut}
  cellar window: {between: [cellar, outdoors], sash: 36 in x 20 in, sill: 6.2 ft, opens up to: 10 in}
  loft window: {between: [loft, outdoors], sash: 36 in x 48 in, sill: 4 ft, opens up to: 20 in}
exhausts:
  hood: {room: kitchen, speeds: {low: 40 cfm, high: 150 cfm}}
  fan: {room: loft, speeds: {on: 30 cfm}}
  dryer: {room: cellar, speeds: {on: 60 cfm}}
make-up air: none
"""

GARAGE = """
envelope: {tightness: 1.2 ach50, exponent: 0.65}
rooms:
  kitchen: {area: 500 ft2, ceiling: 9 ft}
  mud room: {area: 60 ft2, ceiling: 9 ft}
  bedroom: {area: 160 ft2, ceiling: 9 ft}
  bath: {area: 60 ft2, ceiling: 9 ft}
  garage: {kind: garage, area: 500 ft2, vents: 0.05 ft2}
openings:
  mud door: {between: [kitchen, mud room], leaf: 30 in x 80 in, undercut: 1/4 in}
  bedroom door: {between: [kitchen, bedroom], leaf: 30 in x 80 in, undercut: 1/4 in}
  bath door: {between: [bedroom, bath], leaf: 30 in x 80 in, undercut: 1/8 in}
  other bath door: {between: [kitchen, bath], leaf: 30 in x 80 in, undercut: 1/8 in}
  garage door: {between: [garage, mud room], leaf: 32 in x 80 in, undercut: 1/2 in, stands: shut}
  far garage door: {between: [bedroom, garage], leaf: 32 in x 80 in, undercut: 1/2 in, stands: shut}
  bedroom window: {between: [bedroom, outdoors], sash: 36 in x 48 in, sill: 3 ft, opens up to: 20 in}
exhausts:
  hood: {room: kitchen, speeds: {low: 40 cfm, high: 150 cfm}}
  mud fan: {room: mud room, speeds: {on: 60 cfm}}
  bath fan: {room: bath, speeds: {on: 50 cfm}}
  garage fan: {room: garage, speeds: {on: 80 cfm}}
make-up air: none
"""


class Watched(Proving):
    """A proof that can be looked at afterwards."""

    seen: ClassVar[list[Proving]] = []

    def __init__(self, *given):
        super().__init__(*given)
        self.seen.append(self)


def all_values(listing, model, sought):
    """The value of each thing sought in every combination [Pa], minus infinity where a door stands open."""
    numbers = np.arange(listing.size)
    settings = listing.settings(numbers)
    readout = Readout(model, settings, solve(model.network, model.rows(settings)))
    assert readout.solution.converged.all()
    for one in sought:
        if one.opening is None:
            yield -(readout.house_pressure() if one.a == HOUSE else readout.solution.pressure[one.a])
        else:
            shut = listing.digits(numbers, one.door) == one.shut if one.door >= 0 else True
            yield np.where(shut, np.abs(readout.door_difference(one.opening)), -np.inf)


def worst_values(listing, model, sought):
    """The worst of each thing sought [Pa], every combination solved."""
    return [float(np.max(values)) for values in all_values(listing, model, sought)]


@pytest.mark.parametrize("listed", [0, 12_000])
@pytest.mark.parametrize("text", [RING, SUPPLIED, LEVELS], ids=["ring", "supplied", "levels"])
def test_the_worst_values_are_those_of_all_combinations(text, listed, monkeypatch):
    house = loads(SITE + text, "x.yaml")
    listing, model = whole_listing(house), build(house)
    monkeypatch.setattr(proof_module, "FEW", listed)
    monkeypatch.setattr(proof_module, "FEW_IN_ALL", listed)
    monkeypatch.setattr(proof_module, "Proving", Watched)
    monkeypatch.setattr(Watched, "seen", [])
    assert not prove(listing, model, solve).open
    last = Watched.seen[-1]
    assert last.best == pytest.approx(worst_values(listing, model, last.sought), abs=CLOSE)


@pytest.mark.parametrize("together", [1, 2])
def test_doors_may_decide_whose_pressure_is_the_houses_in_the_contexts_too(together, monkeypatch):
    house = loads(SITE + LEVELS, "x.yaml")
    listing, model = whole_listing(house), build(house)
    monkeypatch.setattr(reach, "MOST_TOGETHER", together)
    monkeypatch.setattr(proof_module, "Proving", Watched)
    monkeypatch.setattr(Watched, "seen", [])
    assert not prove(listing, model, solve).open
    last = Watched.seen[-1]
    assert last.best == pytest.approx(worst_values(listing, model, last.sought), abs=CLOSE)


@pytest.mark.parametrize("listed", [0, 12_000])
@pytest.mark.parametrize("text", [RING, SUPPLIED, LEVELS, GARAGE], ids=["ring", "supplied", "levels", "garage"])
def test_no_combination_goes_past_the_bound_of_its_row(text, listed, monkeypatch):
    house = loads(SITE + text, "x.yaml")
    listing, model = whole_listing(house), build(house)
    monkeypatch.setattr(proof_module, "FEW", listed)
    monkeypatch.setattr(proof_module, "FEW_IN_ALL", listed)
    monkeypatch.setattr(proof_module, "Proving", Watched)
    monkeypatch.setattr(Watched, "seen", [])
    prove(listing, model, solve)
    values = list(all_values(listing, model, Watched.seen[0].sought))
    for proving in Watched.seen:
        context, loop = proving._row(np.arange(listing.size))
        row = context * proving.width + loop
        solved_in_full = np.all(np.isneginf(proving.listed), axis=0)[row]
        for place, one in enumerate(proving.sought):
            allowed = np.where(solved_in_full, np.inf, np.maximum(proving.most(place)[row], -1e6))
            assert np.all(np.maximum(values[place], -1e6) <= allowed + 1e-3), one.name
