"""The house without what its file draws: where an option that stands in its place is tried."""

import numpy as np
import pytest

from airledger.house.operating_state import Settings
from airledger.runs.work import HouseWork
from airledger.search.bare import without_drawn
from airledger.search.limits import limits
from airledger.search.slots import slots
from tests.unit.search.houses import GAS, TWO_ROOMS, house


def both(text):
    """The survey of a house as drawn, and without what is drawn."""
    work = HouseWork(house(text), {})
    place = slots(work.house)
    solve = work.solver(place.house)
    return work.survey(), place, without_drawn(work.survey(), place, solve, limits(work.house))


def test_where_nothing_is_drawn_what_was_found_serves():
    drawn, _, bare = both(TWO_ROOMS)
    assert bare is drawn


def test_without_the_drawn_opening_each_combination_pulls_as_if_it_were_not_built():
    """A damper that stays shut leaks a little: an opening not built leaks nothing."""
    drawn, place, bare = both(GAS)
    work = HouseWork(house(GAS), {})
    listing = work.listing()
    columns = listing.columns(bare.numbers)
    for made in place.house.make_up_air:  # the candidates are not built either
        columns["there", made.name] = columns["open", made.name] = np.zeros(len(bare.numbers))
    alone = work.solver(place.house)
    seen = alone(Settings(columns, len(bare.numbers)))
    assert bare.house == pytest.approx(seen.house_pressure(), rel=1e-9)
    assert bare.listing.house is place.house
    assert bare.house.min() < 2 * drawn.house.min() < 0


def test_a_machine_is_off_or_at_its_top_there():
    """Less of a machine pulls less, where no damper waits for its top: the hood's low speed is left out."""
    text = GAS.replace("speeds: {high: 600 cfm}", "speeds: {low: 200 cfm, high: 600 cfm}")
    _, _, bare = both(text)
    speeds = bare.listing.columns(bare.numbers)["speed", "range hood"]
    assert set(speeds) == {0.0, 1.0}
    assert len(bare.listing.columns(np.arange(bare.listing.size))["speed", "range hood"]) > len(speeds)
