"""The worst state is the worst of all: against solving every combination alone, one after the other."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.operating_state import Settings
from airledger.runs.work import HouseWork
from airledger.search.limits import limits
from airledger.search.states import normal_listing
from airledger.search.worst import (
    candidates,
    direction_of,
    outer_doors,
    plain_state,
    signed_force,
    state_names,
    survey,
    worst_of,
)
from tests.unit.search.houses import GAS, ONE_ROOM, TWO_ROOMS, house


@pytest.fixture(scope="module")
def two_rooms():
    work = HouseWork(house(TWO_ROOMS), {})
    return work, work.survey()


@pytest.fixture(scope="module")
def gas():
    work = HouseWork(house(GAS), {})
    return work, work.survey()


def test_the_worst_is_the_worst_of_every_combination_solved_alone():
    work = HouseWork(house(TWO_ROOMS), {})
    listing = normal_listing(work.house)
    solve = work.solver(work.house)
    alone = [solve(listing.settings(np.array([number]))) for number in range(listing.size)]
    house_pressures = [float(seen.house_pressure()[0]) for seen in alone]
    forces = [abs(float(seen.door("entry door")[0][0])) for seen in alone]
    worst = {(one.kind, one.target): one for one in worst_of(work.survey(), work.limits())}
    assert worst["house", "house"].value == min(house_pressures)
    assert abs(worst["door", "entry door"].value) == max(forces)
    for room in ("living", "bedroom"):
        assert worst["room", room].value == min(float(seen.room_pressure(room)[0]) for seen in alone)


def test_a_row_alone_equals_the_same_row_in_the_listing_bit_for_bit(two_rooms):
    work, found = two_rooms
    for place in (0, 5, 123, len(found.numbers) - 1):
        seen = work.solver(work.house)(found.listing.settings(found.numbers[place : place + 1]))
        assert float(seen.house_pressure()[0]) == float(found.house[place])


# network.md 6, house cases (computed, closed form): 600 cfm in the reference house draw it to 87.62 Pa
def test_the_reference_house_is_pulled_as_its_closed_form_says():
    work = HouseWork(house(ONE_ROOM), {})
    assert worst_of(work.survey(), work.limits())[0].value == pytest.approx(-87.62, abs=0.005)


def test_the_deepest_come_in_order_and_the_same_every_time(two_rooms):
    _, found = two_rooms
    deepest = found.deepest(50)
    assert np.all(np.diff(found.house[deepest]) >= 0)
    assert found.house[deepest[0]] == found.house.min()
    assert np.array_equal(deepest, found.deepest(50))


def test_refused_rows_count_for_nothing(two_rooms):
    _, found = two_rooms
    first = int(found.deepest(1)[0])
    refused = found.refused.copy()
    refused[first] = True
    without = replace(found, refused=refused)
    assert first not in without.deepest(10)
    assert without.lowest(without.house) != first


def test_a_stiff_fan_past_a_thousand_pascals_is_refused_not_reported():
    small = ONE_ROOM.replace("600 cfm", "4000 cfm")
    work = HouseWork(house(small), {})
    found = work.survey()
    assert found.refused.tolist() == [False, True]
    assert worst_of(found, work.limits())[0].value == pytest.approx(0.0, abs=1e-9)


def test_suction_holds_an_outward_door_shut_and_throws_an_inward_one_open():
    work = HouseWork(house(ONE_ROOM), {})
    seen = work.solver(work.house)(work.listing().settings(np.array([1])))
    assert direction_of(float(signed_force(seen, "entry door")[0])) == "held shut"  # swings out
    assert direction_of(float(signed_force(seen, "back door")[0])) == "thrown open"  # swings in
    assert seen.door("entry door")[1] == ["held shut"]
    assert seen.door("back door")[1] == ["thrown open"]


def test_an_appliance_feels_the_change_by_the_fans_not_the_stack(gas):
    work, found = gas
    fans_off = found.numbers % found.listing.fan_block == 0
    assert np.abs(found.depressurization[0][fans_off]).max() == 0.0
    worst = {one.target: one for one in worst_of(found, work.limits())}
    rest = work.solver(work.house)(found.listing.settings(np.array([0])))
    every = np.array([found.listing.fan_block - 1])
    hood = work.solver(work.house)(found.listing.settings(every))
    change = hood.room_pressure("basement") - rest.room_pressure("basement")
    assert worst["water heater"].value == pytest.approx(float(change[0]), rel=1e-12)


def test_candidates_hold_the_deepest_of_every_set_of_machines(two_rooms):
    _, found = two_rooms
    numbers, highest = candidates(found)
    assert found.house[found.numbers == numbers[0]] == found.house.min()
    assert len(numbers) < found.listing.size / 10
    assert not set(numbers) & set(highest)
    columns = found.listing.columns(numbers)
    pairs = set(zip(columns["speed", "range hood"], columns["speed", "dryer"], columns["house", "ach50"], strict=True))
    assert len(pairs) == 3 * 2 * 2


def test_names_of_the_worst_are_those_of_what_they_are_worst_for(two_rooms):
    work, found = two_rooms
    names = state_names(found, worst_of(found, work.limits()))
    assert next(iter(names.values())) == "worst for the house"
    assert len(set(names.values())) == len(names)


def test_a_plain_state_says_what_the_solved_state_says(two_rooms):
    work, found = two_rooms
    place = int(found.deepest(1)[0])
    plain = plain_state(found, place, "deepest 1")
    seen = work.solver(work.house)(found.listing.settings(found.numbers[place : place + 1]))
    full = seen.state(0, "deepest 1", "normal", plain.why)
    assert (plain.house_pressure, plain.reference_room, plain.season, plain.ach50) == (
        full.house_pressure,
        full.reference_room,
        full.season,
        full.ach50,
    )
    assert dict(plain.rooms).items() <= dict(full.rooms).items()
    assert [d.direction for d in plain.door_forces] == [d.direction for d in full.door_forces]


def test_outer_doors_lead_outdoors():
    assert outer_doors(house(TWO_ROOMS)) == ("entry door",)


def test_more_hood_all_else_held_raises_no_room(two_rooms):
    work, found = two_rooms
    base = found.listing.settings(np.arange(0, found.listing.size, 97))
    less = base.with_({("speed", "range hood"): 0.4})
    more = base.with_({("speed", "range hood"): 0.8})
    assert isinstance(less, Settings)
    solve = work.solver(work.house)
    for room in ("living", "bedroom"):
        assert np.all(solve(more).room_pressure(room) <= solve(less).room_pressure(room) + 1e-9)


def test_a_survey_of_some_numbers_is_part_of_the_whole(two_rooms):
    work, found = two_rooms
    some = survey(found.listing, work.solver(work.house), limits(work.house), numbers=np.array([3, 200]))
    assert some.house.tolist() == found.house[[3, 200]].tolist()
