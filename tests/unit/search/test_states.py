"""The listing of everything that may differ: its size, its numbers, its words."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Exhaust, Opening
from airledger.search.faults import failed, faults_of
from airledger.search.freedoms import freedoms_of
from airledger.search.states import normal_listing
from tests.unit.search.houses import GAS, ONE_ROOM, TWO_ROOMS, house


def test_the_listing_is_the_product_of_what_may_differ():
    listing = normal_listing(house(TWO_ROOMS))
    # tightness 2, seasons 2, door 2, window 2, ERV off/low/boost 3, hood 3, dryer 2; wind is told beside the verdict
    assert listing.size == 2 * 2 * 2 * 2 * 3 * 3 * 2
    assert listing.proof == "all"


def test_a_known_tightness_has_one_end():
    listing = normal_listing(house(ONE_ROOM))
    assert listing.size == 2
    assert listing.freedoms[0].choices[0].settings == ((("house", "ach50"), 1.0),)


def test_numbers_and_choices_agree_with_columns():
    listing = normal_listing(house(TWO_ROOMS))
    numbers = np.arange(listing.size)
    columns = listing.columns(numbers)
    for number in (0, 1, 17, 200, listing.size - 1):
        for _, choice in listing.choices(number):
            for key, value in choice.settings:
                assert columns[key][number] == value


def test_every_combination_is_another():
    listing = normal_listing(house(TWO_ROOMS))
    columns = listing.columns(np.arange(listing.size))
    assert len({*map(tuple, np.stack(list(columns.values())).T)}) == listing.size


def test_the_first_of_a_block_has_all_fans_off():
    listing = normal_listing(house(TWO_ROOMS))
    assert listing.fan_block == 3 * 3 * 2
    columns = listing.columns(np.arange(0, listing.size, listing.fan_block))
    fans = [values for key, values in columns.items() if key[0] == "speed"]
    assert len(fans) == 4
    assert all(not values.any() for values in fans)


def test_chunks_cover_every_number_once():
    listing = normal_listing(house(TWO_ROOMS))
    assert np.array_equal(np.concatenate(list(listing.chunks())), np.arange(listing.size))


def test_words_tell_what_runs_and_what_is_shut():
    listing = normal_listing(house(TWO_ROOMS))
    words = listing.why(listing.size - 1)
    assert words.startswith("ERV boost, range hood high, dryer on; bedroom door shut; ")
    assert "winter" in words
    assert "wind" not in words.replace("window", "")
    assert "1.6 ACH50" in words
    assert listing.why(0).startswith("ERV off; inner doors open; ")


def test_make_up_dampers_follow_their_machines():
    listing = normal_listing(house(GAS))
    settings = listing.settings(np.arange(listing.size))
    hood = settings.columns["speed", "range hood"]
    assert np.array_equal(settings.columns["open", "north opening"], (hood >= 1).astype(float))


def test_a_hood_not_picked_yet_is_taken_at_its_largest():
    unpicked = Exhaust("range hood", "hood", "house", not_picked=0.5)
    freedom = freedoms_of(replace(house(ONE_ROOM), exhausts=(unpicked,)))[-1]
    assert [choice.words for choice in freedom.choices] == ["range hood off", "range hood at its largest"]


def test_a_heat_pump_dryer_is_no_freedom():
    dry = Exhaust("dryer", "dryer", "house", (("on", 0.06),), vented="heat pump")
    assert [f.kind for f in freedoms_of(replace(house(ONE_ROOM), exhausts=(dry,)))] == ["tightness", "season"]


@pytest.fixture(scope="module")
def many_doors():
    doors = tuple(Opening(f"door {i}", "door", ("living", "bedroom"), 0.8, 2.0) for i in range(14))
    base = house(TWO_ROOMS)
    return replace(base, openings=(*base.openings, *doors))


def test_too_many_combinations_are_thinned_and_it_is_said(many_doors):
    listing = normal_listing(many_doors)
    assert listing.size <= 200_000
    assert listing.proof == "best found"
    assert any("inner doors" in words for words in listing.left_out)


def test_a_thinned_listing_still_shuts_all_doors_and_each_alone(many_doors):
    listing = normal_listing(many_doors)
    doors = next(freedom for freedom in listing.freedoms if freedom.kind == "door")
    shut = [sum(value == 0 for key, value in choice.settings if key[0] == "open") for choice in doors.choices]
    assert sorted(shut) == sorted([0, 15, *([1] * 15), *([14] * 15)])


def test_a_smaller_allowance_thins_further_and_stays_within_it(many_doors):
    assert normal_listing(many_doors, 500).size <= 500


def test_each_fault_is_one_thing():
    names = [fault.name for fault in faults_of(house(GAS))]
    assert names == ["north opening stuck shut", "north opening stuck open", "north opening still opening"]
    assert [fault.name for fault in faults_of(house(TWO_ROOMS))] == ["ERV supply blocked", "ERV exhaust blocked"]


def test_a_hold_back_keeps_the_machine_off_when_the_damper_sticks():
    base = house(GAS)
    waiting = replace(base.make_up_air[0], waits=("range hood",))
    fault = faults_of(replace(base, make_up_air=(waiting,)))[0]
    columns = failed({("speed", "range hood"): np.ones(3)}, fault)
    assert not columns["speed", "range hood"].any()
    assert not columns["open", "north opening"].any()


def test_a_thinned_listing_still_says_how_many_ways_there_are():
    listing = normal_listing(house(TWO_ROOMS), largest=100)
    assert listing.size <= 100 < listing.whole == normal_listing(house(TWO_ROOMS)).size
    assert listing.proof == "best found"
