"""Where a proof of the worst state might fool itself: small effects, controls that need two machines, fans too big.

All houses are invented; every combination of each is solved.
"""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.assemble import build
from airledger.house.readout import Readout
from airledger.io.house_file import loads
from airledger.physics.solver import solve
from airledger.search.limits import limits
from airledger.search.proof import prove
from airledger.search.proving import CLOSE
from airledger.search.states import whole_listing
from airledger.search.worst import survey, worst_of
from tests.unit.search.test_proof_edges import RING, SITE
from tests.unit.search.test_proof_values import GARAGE

HOUSE = """
house: Invented
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65, taped at the test: [opening]}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
exhausts:
  hood: {room: house, speeds: {high: 600 cfm}}
"""
SCREEN = """
make-up air:
  opening:
    into: house
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, filter: {clean: 0.010 inwc at 400 cfm, dirty: 0.012 inwc at 400 cfm}, straight: 15 ft]
    damper: none
"""
OPENING = """
  dryer: {room: house, speeds: {on: 120 cfm}}
make-up air:
  opening:
    into: house
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, straight: 15 ft]
    damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}
"""


def worst_pressures(text, change=None):
    """Lowest house pressure of every combination, and of those that the proof stands on [Pa]; what is left open."""
    house = loads(text, "x.yaml")
    listing, model, judged = whole_listing(house), build(house), limits(house)

    def solved(settings):
        return Readout(model, settings, solve(model.network, model.rows(settings)))

    proof = prove(listing, model, solve, change)
    every = worst_of(survey(listing, solved, judged, change=change), judged)[0].value
    if not len(proof.numbers):
        return every, None, dict(proof.open)
    found = worst_of(survey(listing, solved, judged, proof.numbers, change), judged)[0].value
    return every, found, dict(proof.open)


def test_a_filter_that_hardly_loads_still_counts():
    every, found, left = worst_pressures(HOUSE + SCREEN)
    clean = worst_pressures(HOUSE + SCREEN.replace("dirty: 0.012", "dirty: 0.01001"))[0]
    assert every < clean - 5 * CLOSE
    assert found == pytest.approx(every, abs=CLOSE)
    assert not left


def test_an_opening_that_waits_for_two_machines_belongs_to_both():
    def opens_for_both(columns):
        both = (columns["speed", "hood"] > 0) & (columns["speed", "dryer"] > 0)
        return columns | {("open", "opening"): both.astype(float)}

    def stays_shut(columns):
        return columns | {("open", "opening"): np.zeros(len(columns["speed", "hood"]))}

    every, found, left = worst_pressures(HOUSE + OPENING, opens_for_both)
    assert found == pytest.approx(every, abs=CLOSE)
    assert found > worst_pressures(HOUSE + OPENING, stays_shut)[0] + 1.0  # so the opening matters: the hood alone pulls
    assert not left


# 600 cfm draw the house to 87.62 Pa (closed form, network.md 6), so 2,700 cfm to 886 Pa and 3,100 cfm to 1,096 Pa.
def test_of_a_fan_that_cannot_hold_its_flow_nothing_is_proved():
    bare = HOUSE.replace(", taped at the test: [opening]", "") + "make-up air: none\n"
    every, found, left = worst_pressures(bare.replace("600", "2700"))
    assert found == pytest.approx(every, abs=CLOSE)
    assert found == pytest.approx(-87.62 * 4.5 ** (1 / 0.65), rel=1e-3)
    assert not left
    _, _, left = worst_pressures(bare.replace("600", "3100"))
    assert left["house"] > CLOSE


def unsolved_below(pascals):
    """A solver that leaves every state unsolved in which the house goes below a pressure [Pa]."""

    def solved(network, rows):
        solution = solve(network, rows)
        lost = solution.pressure.min(axis=0) < pascals
        return replace(solution, converged=~lost, residual_relative=np.where(lost, 0.5, 3e-13))

    return solved


def test_of_a_state_that_the_solver_leaves_nothing_is_proved():
    house = loads(HOUSE.replace(", taped at the test: [opening]", "") + "make-up air: none\n", "x.yaml")
    proof = prove(whole_listing(house), build(house), unsolved_below(-50.0))
    assert dict(proof.open)["house"] > CLOSE
    assert not {1, 3} & {*proof.numbers.tolist()}  # the hood on


@pytest.mark.parametrize("text", [RING, GARAGE], ids=["ring", "garage"])
def test_what_the_solver_leaves_is_never_the_worst(text):
    house = loads(SITE + text, "x.yaml")
    listing, model = whole_listing(house), build(house)
    deepest = solve(model.network, model.rows(listing.settings(np.arange(listing.size)))).pressure.min(axis=0)
    limit = float(np.quantile(deepest, 0.2))
    proof = prove(listing, model, unsolved_below(limit))
    kept = proof.pressure.min(axis=0)
    assert np.all(kept >= limit)
    assert proof.residual in {0.0, 3e-13}
    if not proof.open:
        assert kept.min() == pytest.approx(deepest[deepest >= limit].min(), abs=CLOSE)


def test_the_largest_residual_of_what_the_proof_stands_on_is_told():
    house = loads(SITE + RING, "x.yaml")
    assert prove(whole_listing(house), build(house), unsolved_below(-1e6)).residual == 3e-13
