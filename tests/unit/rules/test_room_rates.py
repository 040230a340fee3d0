"""Air by the room, and hoods by rule of thumb: what grows, what is refused. Printed values: cases/room_rates.toml."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import InputError, OutOfRange
from airledger.rules.room_rates import (
    RoomFacts,
    extract,
    hood_by_burners,
    hood_by_kitchen,
    hood_by_width,
    hood_rating,
    room_rate,
    room_rate_keys,
    source_of,
)
from airledger.sources import table
from airledger.units import CFM

sizes = st.floats(1.0, 500.0)


@pytest.mark.parametrize("key", room_rate_keys())
@given(sizes, sizes, st.integers(1, 9), st.floats(1.0, 3.0))
def test_a_larger_room_with_more_people_never_asks_for_less(key, area, volume, people, more):
    asked = room_rate(key, RoomFacts(area, volume, people))
    assert asked > 0.0
    assert room_rate(key, RoomFacts(more * area, more * volume, people + 1)) >= asked


def test_a_house_by_the_room_count():  # CSA F326 [published]: 10 + 5 each other + 10 for the basement, L/s
    rooms = ("canada main bedroom", *["canada other room"] * 5, "canada basement")
    assert sum(room_rate(key, RoomFacts()) for key in rooms) == pytest.approx(0.045)


def test_a_better_category_takes_more():
    for entry in table("rules/tables/room_rates")["extract"]:
        assert all(len(flows) == len(entry["categories"]) for flows in entry["flows"])
    for room in ("kitchen", "bath", "toilet"):
        flows = [extract("en 16798, extract", room, category) for category in ("I", "II", "III")]
        assert flows == sorted(flows, reverse=True)


def test_what_is_recalled_says_so():
    assert source_of("rate", "canada main bedroom").confirmed
    assert not source_of("extract", "poland, extract").confirmed
    assert source_of("extract", "trade list, extract").tag == "practice"


def test_an_island_asks_for_more_than_a_wall_and_a_duct_for_a_bigger_rating():
    assert hood_by_width(1.2, "island")[1] > hood_by_width(1.2, "wall")[1]
    assert hood_by_width(1.2, "other")[0] < hood_by_width(1.2, "other")[1]
    assert hood_rating(400 * CFM, 0.0, 0, roof_cap=False) == 400 * CFM
    assert hood_rating(400 * CFM, 0.0, 2, roof_cap=False) / CFM == pytest.approx(450)
    assert hood_by_burners(0.0) == hood_by_kitchen(0.0) == 0.0


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: room_rate("attic", RoomFacts()), InputError, "no rule is called 'attic'; there are: canada main"),
        (lambda: room_rate("no window, cooled", RoomFacts(area=9.0)), InputError, "looks at volume: give it"),
        (lambda: room_rate("older guidance", RoomFacts(volume=9.0)), InputError, "looks at people: give it"),
        (lambda: room_rate("netherlands living", RoomFacts()), InputError, "looks at area: give it"),
        (lambda: extract("poland, extract", "attic"), InputError, "knows no 'attic'; there are: kitchen, gas range"),
        (lambda: extract("en 16798, extract", "bath", "V"), InputError, "knows no 'V'; there are: I, II, III"),
        (lambda: hood_by_width(1.0, "roof"), InputError, "a hood stands at a wall, island, other, not 'roof'"),
        (lambda: hood_by_width(0.0, "wall"), OutOfRange, "width of the hood"),
    ],
)
def test_what_no_rule_speaks_of_is_refused(call, error, words):
    with pytest.raises(error, match=words):
        call()
