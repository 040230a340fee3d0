"""The proof of the worst state against the lister, which solves every combination: 200 random houses, all invented.

Trees and loops of doors, attics, garages, ventilators, hoods with ducts and gravity dampers, stack in winter. Where the
proof says that it is sure, no combination of the listing may be worse than what it found.
"""

from __future__ import annotations

from importlib import resources

import pytest

from airledger.house.assemble import build
from airledger.house.readout import Readout
from airledger.io.house_file import loads
from airledger.physics.solver import solve
from airledger.search import proof as proof_module
from airledger.search.limits import limits
from airledger.search.proof import prove
from airledger.search.proving import CLOSE
from airledger.search.states import whole_listing
from airledger.search.surveyed import proved
from airledger.search.worst import survey, worst_of
from tests.property.house_files import house_file

MOST_LISTED = 2**10
BATCHES, BATCH = 8, 25


def houses(first, count):
    """The first houses from a seed on whose combinations can all be listed: seed, house, listing."""
    seed, given = first, 0
    while given < count:
        house = loads(house_file(seed), "x.yaml")
        listing = whole_listing(house)
        if listing.size <= MOST_LISTED:
            given += 1
            yield seed, house, listing
        seed += 1


@pytest.mark.parametrize("batch", range(BATCHES))
def test_no_combination_is_worse_than_the_proof_says(batch, monkeypatch):
    sure = 0
    for seed, house, listing in houses(5_000 + 100 * batch, BATCH):
        monkeypatch.setattr(proof_module, "FEW", 3_000 * (seed % 2))  # with bounds by context, and without
        monkeypatch.setattr(proof_module, "FEW_IN_ALL", 12_000 * (seed % 3))  # and not simply listed
        model, judged = build(house), limits(house)

        def solved(settings, model=model):
            return Readout(model, settings, solve(model.network, model.rows(settings)))

        every = survey(listing, solved, judged)
        truth = {(one.target, one.kind): one.value for one in worst_of(every, judged)}
        proof = prove(listing, model, solve)
        left = {name for name, _ in proof.open}
        sure += not left or bool(every.refused.any())
        if not len(proof.numbers):
            assert every.refused.any(), f"seed {seed}: nothing proved though every fan could hold its flow"
            continue
        found = survey(listing, solved, judged, proof.numbers)
        for one in worst_of(found, judged):
            if one.kind in ("house", "room") and one.target not in left:
                assert one.value <= truth[one.target, one.kind] + CLOSE, f"seed {seed}, {one.target}"
            if one.kind == "door" and one.target not in left:
                assert abs(one.value) >= abs(truth[one.target, "door"]) * (1 - 1e-3) - 1e-3, (
                    f"seed {seed}, {one.target}"
                )
    assert sure >= 0.9 * BATCH


def test_a_flue_too_is_never_pulled_at_harder_than_found():
    house = loads(resources.files("airledger.examples").joinpath("alder-court-9.yaml").read_text("utf-8"), "x.yaml")
    listing, judged, model = whole_listing(house), limits(house), build(house)

    def solved(settings):
        return Readout(model, settings, solve(model.network, model.rows(settings)))

    every, found = survey(listing, solved, judged), proved(listing, solved, judged)
    assert found.proof == "proved"
    assert len(found.numbers) < listing.size
    assert found.depressurization.min(axis=1) == pytest.approx(every.depressurization.min(axis=1), abs=1e-6)
