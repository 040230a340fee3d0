"""What is left out of a listing that is too long, in which order, and how a combination is told in words."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Opening
from airledger.house.operating_state import standing
from airledger.io.house_file import loads
from airledger.search.freedoms import freedoms_of
from airledger.search.states import normal_listing, product, whole_listing
from tests.unit.search.houses import TWO_ROOMS, house

# 2 seasons, 2 filters, 4 inner doors, 2 windows, 4 machines of which each has two speeds
CROWDED = """
house: Crowded
site:
  elevation: 0 ft
  summer: {outdoors: 90 F, dew point: 76 F, indoors: 75 F, humidity: 50 %}
  winter: {outdoors: 20 F, dew point: 10 F, indoors: 70 F, humidity: 35 %}
envelope: {tightness: 1.0 ach50, exponent: 0.65, taped at the test: [north, south]}
rooms:
  hall: {area: 900 ft2, ceiling: 9 ft}
  a: {area: 100 ft2, ceiling: 9 ft}
  b: {area: 100 ft2, ceiling: 9 ft}
  c: {area: 100 ft2, ceiling: 9 ft}
  d: {area: 100 ft2, ceiling: 9 ft}
openings:
  a door: {between: [hall, a], leaf: 30 in x 80 in}
  b door: {between: [hall, b], leaf: 30 in x 80 in}
  c door: {between: [hall, c], leaf: 30 in x 80 in}
  d door: {between: [hall, d], leaf: 30 in x 80 in}
  east window: {between: [a, outdoors], sash: 36 in x 48 in, sill: 3 ft, opens up to: 20 in}
  west window: {between: [b, outdoors], sash: 36 in x 48 in, sill: 3 ft, opens up to: 20 in}
exhausts:
  hood: {room: hall, speeds: {low: 100 cfm, high: 300 cfm}}
  dryer: {room: hall, speeds: {half: 60 cfm, full: 120 cfm}}
  bath fan: {room: a, speeds: {low: 30 cfm, high: 60 cfm}}
  other fan: {room: b, speeds: {low: 30 cfm, high: 60 cfm}}
make-up air:
  north:
    into: hall
    duct: {size: 6 in round}
    run: [filter: {clean: 0.05 inwc at 100 cfm, dirty: 0.2 inwc at 100 cfm}]
    damper: none
  south:
    into: hall
    duct: {size: 6 in round}
    run: [filter: {clean: 0.05 inwc at 100 cfm, dirty: 0.2 inwc at 100 cfm}]
    damper: none
"""
WHOLE = 2 * 2**2 * 2**4 * 2**2 * 3**4
SAID = (
    "machines are off or at their top speed, not between",
    "windows are shut",
    "filters are all clean or all dirty",
    "inner doors are all open, all shut, or one differs from the others",
    "machines are all off, all on, or one differs from the others",
    "inner doors are all open or all shut",
    "machines are all off or all on",
)
PATTERNS = 2 + 4 + 4  # all, none, each alone, all but each
SIZES = (
    2 * 2**2 * 2**4 * 2**2 * 2**4,
    2 * 2**2 * 2**4 * 2**4,
    2 * 2 * 2**4 * 2**4,
    2 * 2 * PATTERNS * 2**4,
    2 * 2 * PATTERNS * PATTERNS,
    2 * 2 * 2 * PATTERNS,
    2 * 2 * 2 * 2,
)


def freedom(listing, name):
    return next(one for one in listing.freedoms if one.name == name)


def test_a_listing_that_just_fits_is_whole():
    listing = normal_listing(house(CROWDED), WHOLE)
    assert (listing.size, listing.whole, listing.proof, listing.left_out) == (WHOLE, WHOLE, "all", ())


@pytest.mark.parametrize("steps", range(1, 8))
def test_what_is_left_out_goes_in_order_and_stops_as_soon_as_the_rest_fits(steps):
    before = (WHOLE, *SIZES)[steps - 1]
    for largest in (before - 1, SIZES[steps - 1]):
        listing = normal_listing(house(CROWDED), largest)
        assert (listing.size, listing.whole) == (SIZES[steps - 1], WHOLE)
        assert (listing.left_out, listing.proof) == (SAID[:steps], "best found")


def test_what_would_spare_nothing_is_not_said_to_be_left_out():
    one_speed = loads(CROWDED.replace("low: 100 cfm, ", "").replace("half: 60 cfm, ", "").replace("low: 30 cfm, ", ""))
    assert normal_listing(one_speed, 2_000).left_out == ("windows are shut", "filters are all clean or all dirty")


def test_thinned_machines_are_off_or_at_their_top_with_the_shares_of_both():
    whole, thin = whole_listing(house(CROWDED)), normal_listing(house(CROWDED), SIZES[0])
    for one in whole.freedoms:
        kept = freedom(thin, one.name)
        assert kept.kind == one.kind
        assert kept.choices == ((one.choices[0], one.choices[-1]) if one.kind == "machine" else one.choices)


def test_thinned_filters_are_all_clean_or_all_dirty():
    both = freedom(normal_listing(house(CROWDED), SIZES[2]), "filters")
    assert both.kind == "filter"
    assert [choice.words for choice in both.choices] == ["", "north filter dirty, south filter dirty"]
    assert [[value for _, value in choice.settings] for choice in both.choices] == [[0.0, 0.0], [1.0, 1.0]]
    assert [choice.share for choice in both.choices] == [1.0, 1.0]


def test_thinned_machines_are_all_off_all_on_or_one_unlike_the_others():
    together = freedom(normal_listing(house(CROWDED), SIZES[4]), "machines")
    machines = [one for one in freedoms_of(house(CROWDED)) if one.kind == "machine"]
    names = ["hood high", "dryer full", "bath fan high", "other fan high"]
    words = ["machines off", ", ".join(names), *names]
    words += [", ".join(name for name in names if name != alone) for alone in names]
    assert [choice.words for choice in together.choices] == words
    assert (together.kind, together.is_fan) == ("machine", True)
    for choice in together.choices:
        share = 1.0
        for machine, (key, value) in zip(machines, choice.settings, strict=True):
            assert key == ("speed", machine.name)
            share *= machine.choices[-1 if value else 0].share
        assert choice.share == pytest.approx(share)


def test_patterns_of_all_are_the_first_two():
    listing = normal_listing(house(CROWDED), SIZES[6])
    doors, machines = freedom(listing, "inner doors"), freedom(listing, "machines")
    assert (doors.kind, machines.kind) == ("door", "machine")
    assert [choice.words for choice in doors.choices] == ["", "a door shut, b door shut, c door shut, d door shut"]
    assert [choice.words for choice in machines.choices] == [
        "machines off",
        "hood high, dryer full, bath fan high, other fan high",
    ]
    assert [one.name for one in listing.freedoms] == ["tightness", "season", "filters", "inner doors", "machines"]


def test_the_longest_listing_that_has_numbers():
    base = house(TWO_ROOMS)
    few = replace(base, exhausts=(), ventilator=None)  # two ends of the tightness, two seasons

    def with_doors(count):
        doors = tuple(Opening(f"door {i}", "door", ("living", "bedroom"), 0.8, 2.0) for i in range(count))
        return replace(few, openings=doors)

    whole = whole_listing(with_doors(57))
    assert (whole.size, whole.whole, whole.proof, whole.left_out) == (2**59, 2**59, "all", ())
    assert whole.fixed == standing(with_doors(57))
    assert whole_listing(with_doors(58)) is None


def test_sums_of_one_step_of_each_kind():
    assert product([(0, 1, 2), (0, 10)], 6).tolist() == [0, 10, 1, 11, 2, 12]
    assert product([(0, 1, 2), (0, 10)], 5) is None
    assert product([], 1).tolist() == [0]


def test_chosen_numbers_come_in_chunks_too():
    listing = whole_listing(house(CROWDED))
    assert np.array_equal(np.concatenate(list(listing.chunks())), np.arange(WHOLE))
    (some,) = listing.chunks(np.array([7, 3, 40_000]))
    assert some.tolist() == [7, 3, 40_000]
    many = np.arange(1, WHOLE, 3)
    assert np.array_equal(np.concatenate(list(listing.chunks(many))), many)
    assert max(len(part) for part in listing.chunks(many)) == 4_000


def test_doors_are_taken_alike_before_machines():
    listing = normal_listing(house(CROWDED), SIZES[5])
    assert (len(freedom(listing, "inner doors").choices), len(freedom(listing, "machines").choices)) == (2, PATTERNS)
    assert [len(one.choices) for one in listing.freedoms] == [1, 2, 2, 2, PATTERNS]


def test_what_an_option_changes_is_in_the_settings():
    listing = whole_listing(house(CROWDED))
    numbers = np.array([0, 5, WHOLE - 1])
    plain = listing.settings(numbers)
    halved = listing.settings(numbers, lambda columns: columns | {("speed", "hood"): 0.5 * columns["speed", "hood"]})
    assert (plain.size, halved.size) == (3, 3)
    assert plain.columns["speed", "hood"][-1] == 1.0
    assert halved.columns["speed", "hood"] == pytest.approx(0.5 * plain.columns["speed", "hood"])


def number_of(listing, **wanted):
    """The combination in which some freedoms take a choice and all else its first; blanks of a name as underscores."""
    return sum(
        stride * wanted.get(one.name.replace(" ", "_"), 0)
        for one, stride in zip(listing.freedoms, listing.strides, strict=True)
    )


def test_a_combination_in_words():
    listing = whole_listing(house(CROWDED))
    assert listing.why(0) == "nothing running; inner doors open; 1 ACH50; summer"
    busy = number_of(listing, season=1, north_filter=1, west_window=1, c_door=1, hood=1, dryer=2)
    assert (
        listing.why(busy) == "hood low, dryer full; c door shut; 1 ACH50; winter; north filter dirty; west window open"
    )


def test_a_thinned_combination_in_words():
    listing = normal_listing(house(CROWDED), SIZES[5])
    assert listing.why(0) == "nothing running; inner doors open; 1 ACH50; summer"
    assert listing.why(number_of(listing, inner_doors=1, filters=1)) == (
        "nothing running; all inner doors shut; 1 ACH50; summer; north filter dirty, south filter dirty"
    )


def test_a_house_without_inner_doors_says_nothing_of_them():
    alone = replace(house(CROWDED), openings=())
    assert whole_listing(alone).why(0) == "nothing running; 1 ACH50; summer"


@pytest.mark.parametrize(
    ("doors", "shut", "words"),
    [
        (8, 0, "inner doors open"),
        (8, 3, "door 0, door 1 and door 2 shut"),
        (8, 4, "4 of 8 inner doors shut"),
        (8, 5, "all inner doors shut but door 5, door 6 and door 7"),
        (8, 8, "all inner doors shut"),
        (2, 1, "door 0 shut"),
        (2, 2, "all inner doors shut"),
        (1, 1, "door 0 shut"),
    ],
)
def test_which_doors_are_shut_in_few_words(doors, shut, words):
    openings = tuple(Opening(f"door {i}", "door", ("living", "bedroom"), 0.8, 2.0) for i in range(doors))
    listing = whole_listing(replace(house(TWO_ROOMS), openings=openings))
    number = number_of(listing, **{f"door_{i}": 1 for i in range(shut)})
    assert listing.why(number).split("; ")[1] == words


def test_shares_of_the_year_are_those_of_its_parts():
    listing = whole_listing(house(CROWDED))
    number = number_of(listing, season=1, a_door=1, hood=2)
    # season, four doors of which one is shut a third of the day, hood 4.6 % over two speeds, three machines off
    off = [one.choices[0].share for one in listing.freedoms if one.kind == "machine"][1:]
    assert listing.share_of_year(number) == pytest.approx((0.5, 1 / 3, 2 / 3, 2 / 3, 2 / 3, 0.023, *off))
