"""What is picked out of solved combinations and what is said of it, with values made up; and what is refused."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.assemble import build
from airledger.house.ledger import DoorForce
from airledger.house.operating_state import WIND_FROM, WIND_SPEED
from airledger.house.readout import Readout
from airledger.physics.solver import solve as network_solve
from airledger.search import states
from airledger.search.limits import limits
from airledger.search.states import normal_listing, whole_listing
from airledger.search.worst import (
    Survey,
    Worst,
    candidates,
    direction_of,
    plain_state,
    signed_force,
    state_names,
    survey,
    worst_of,
)
from tests.unit.search.houses import GAS, TWO_ROOMS, house
from tests.unit.search.test_thinning import CROWDED

# the machines stand in the file from small to big
FOUR_MACHINES = """
house: Four machines
site:
  elevation: 0 ft
  wind: {speed: 5 to 10 mph, from: west}
  summer: {outdoors: 90 F, dew point: 76 F, indoors: 75 F, humidity: 50 %}
  winter: {outdoors: 20 F, dew point: 10 F, indoors: 70 F, humidity: 35 %}
envelope: {tightness: 0.8 to 1.6 ach50 (likely 1.1), exponent: 0.65}
rooms:
  living: {area: 900 ft2, ceiling: 9 ft}
  bedroom: {area: 400 ft2, ceiling: 9 ft}
openings:
  bedroom door: {between: [living, bedroom], leaf: 30 in x 80 in, undercut: 3/4 in}
  entry door: {between: [living, outdoors], leaf: 36 in x 80 in, swings: out, stands: shut}
  back door: {between: [bedroom, outdoors], leaf: 36 in x 80 in, swings: in, stands: shut}
ventilator: {kind: erv, speeds: {low: 60 cfm, boost: 120 cfm}, supplies: {bedroom: 100 %}, takes from: {living: 100 %}}
exhausts:
  small fan: {room: living, speeds: {on: 30 cfm}}
  bath fan: {room: living, speeds: {on: 80 cfm}}
  dryer: {room: living, speeds: {on: 125 cfm}}
  hood: {room: living, speeds: {on: 500 cfm}}
appliances:
  stove: {burns: wood, room: living}
  water heater: {burns: gas, vents: natural draft, room: bedroom}
make-up air: none
"""


def made_up(text=FOUR_MACHINES, seed=1):
    """A survey of every combination with random values."""
    listing = whole_listing(house(text))
    random, size = np.random.default_rng(seed), listing.size
    doors = sum(opening.kind == "door" for opening in listing.house.openings)
    nothing = np.zeros(size, dtype=bool)
    return Survey(
        listing=listing,
        numbers=np.arange(size),
        house=random.normal(-20.0, 10.0, size),
        rooms=random.normal(-20.0, 10.0, (len(listing.house.conditioned), size)),
        doors=random.normal(0.0, 50.0, (doors, size)),
        depressurization=random.normal(-5.0, 3.0, (2, size)),
        refused=nothing.copy(),
        unsolved=nothing.copy(),
        reference=np.array(["living"] * size, dtype=object),
        worst_residual=3e-13,
    )


def solver(text, spoiled=None):
    """How a house is solved; spoiled: house pressures at or below it [Pa] count as not solved."""
    model = build(house(text))

    def solve(settings):
        solution = network_solve(model.network, model.rows(settings))
        if spoiled is not None:
            lost = Readout(model, settings, solution).house_pressure() <= spoiled
            residual = np.where(lost, 0.5, solution.residual_relative)
            solution = replace(solution, converged=~lost, residual_relative=residual)
        return Readout(model, settings, solution)

    return solve


@pytest.mark.parametrize(
    ("values", "place"),
    [
        ([-100.0 + 5e-8, -100.0], 0),  # alike to a billionth of the size: the first
        ([-100.0 + 2e-7, -100.0], 1),
        ([-0.5 + 0.9e-9, -0.5], 0),  # below 1 Pa to a billionth of a pascal
        ([-0.5 + 1.5e-9, -0.5], 1),
        ([3.0, 2.0, 2.0], 1),
        ([np.inf, np.inf], 0),
    ],
)
def test_of_values_alike_the_first_is_the_lowest(values, place):
    found = replace(made_up(), refused=np.zeros(len(values), dtype=bool))
    assert found.lowest(np.array(values)) == place


def test_where_every_state_is_refused_the_first_stands_for_none():
    found = replace(made_up(), refused=np.ones(3, dtype=bool))
    assert found.lowest(np.array([-1.0, -3.0, -2.0])) == 0


def test_the_worst_of_each_thing_is_told_with_its_kind_value_and_place():
    found = made_up()
    wanted = [("house", "house", found.house, found.house)]
    wanted += [(name, "room", row, row) for name, row in zip(("living", "bedroom"), found.rooms, strict=True)]
    doors = ("bedroom door", "entry door", "back door")
    wanted += [(name, "door", row, -np.abs(row)) for name, row in zip(doors, found.doors, strict=True)]
    burners = zip(("stove", "water heater"), found.depressurization, strict=True)
    wanted += [(name, "appliance", row, row) for name, row in burners]
    expected = tuple(Worst(name, kind, float(row[np.argmin(by)]), int(np.argmin(by))) for name, kind, row, by in wanted)
    assert worst_of(found, limits(house(FOUR_MACHINES))) == expected


def test_names_are_those_of_the_first_thing_that_a_state_is_worst_for():
    found = made_up()
    worst = (Worst("house", "house", -9.0, 7), Worst("living", "room", -9.0, 7), Worst("dryer", "door", 5.0, 4))
    assert state_names(found, worst) == {7: "worst for the house", 4: "worst for dryer"}
    assert state_names(found, worst[1:]) == {7: "worst for living", 4: "worst for dryer"}


@pytest.mark.parametrize("alike", [False, True], ids=["unlike", "alike"])
@pytest.mark.parametrize("seed", range(1, 9))
@pytest.mark.parametrize("text", [FOUR_MACHINES, FOUR_MACHINES.replace("0.8 to 1.6 ach50 (likely 1.1)", "1 ach50")])
def test_what_decides_is_the_deepest_of_each_set_and_the_worst_of_each_door_and_appliance_at_each_end(
    text, seed, alike
):
    found = made_up(text, seed)
    if alike:  # whole pascals, so that many are alike
        found = replace(found, house=np.round(found.house))
    listing = found.listing
    found.unsolved[::11] = found.refused[::11] = True  # a row that could not be solved counts nowhere
    found.refused[::7] = True  # one in which a fan cannot hold its flow still may decide: with make-up air it can
    digit = {one.name: listing.digits(found.numbers, i) for i, one in enumerate(listing.freedoms)}
    if seed == 8:  # a set that was not solved at all
        found.unsolved[(digit["dryer"] == 0) & (digit["hood"] == 0) & (digit["bath fan"] == 0)] = True
    ends = digit.get("tightness", np.zeros(listing.size, dtype=int))
    sets = [("dryer", "hood", "bath fan"), ("season",), ("ventilator",)]

    def members(names):
        keys = np.stack([ends, *(digit[name] for name in names)])
        for key in np.unique(keys[:, ~found.unsolved], axis=1).T:
            yield np.flatnonzero(np.all(keys == key[:, None], axis=0) & ~found.unsolved)

    places = {int(mine[np.argmin(found.house[mine])]) for names in sets for mine in members(names)}
    highest = {int(mine[::-1][np.argmax(found.house[mine[::-1]])]) for mine in members(sets[0])}
    for end in np.unique(ends):
        mine = np.flatnonzero((ends == end) & ~found.refused)
        for values in (-np.abs(found.doors[1]), -np.abs(found.doors[2]), *found.depressurization):
            places.add(int(mine[np.argmin(values[mine])]))
    deep, high = candidates(found)
    assert deep.tolist() == sorted(places, key=lambda place: (found.house[place], place))
    assert high.tolist() == sorted(highest - places, key=lambda place: (found.house[place], place))


def test_in_a_thinned_listing_each_pattern_of_the_machines_has_its_deepest():
    listing = normal_listing(house(CROWDED), 400)
    random, nothing = np.random.default_rng(4), np.zeros(listing.size, dtype=bool)
    found = replace(
        made_up(),
        listing=listing,
        numbers=np.arange(listing.size),
        house=random.normal(-20.0, 10.0, listing.size),
        doors=np.zeros((4, listing.size)),
        depressurization=np.zeros((0, listing.size)),
        refused=nothing,
        unsolved=nothing,
    )
    machines = listing.digits(found.numbers, [one.name for one in listing.freedoms].index("machines"))
    deepest = [int(np.argmin(np.where(machines == pattern, found.house, np.inf))) for pattern in range(10)]
    assert {*deepest} <= {*candidates(found)[0].tolist()}


def test_a_state_of_the_list_is_told_whole():
    found = made_up()
    place = found.listing.size - 1
    told = plain_state(found, place, "deepest 1")
    assert (told.name, told.kind, told.flows, told.residual_relative) == ("deepest 1", "normal", (), 3e-13)
    assert told.why == found.listing.why(place)
    assert (told.season, told.ach50, told.reference_room) == ("winter", 1.6, "living")
    assert told.wind == "calm"
    assert told.house_pressure == found.house[place]
    assert told.rooms == (("living", found.rooms[0, place]), ("bedroom", found.rooms[1, place]))
    assert told.door_forces == tuple(
        DoorForce(name, abs(force), "held shut" if force > 0 else "thrown open")
        for name, force in zip(("bedroom door", "entry door", "back door"), found.doors[:, place], strict=True)
    )


def test_a_state_in_wind_says_from_where():
    found = made_up()
    listing = found.listing
    steady = replace(listing, fixed={**listing.fixed, WIND_SPEED: 5 * 0.44704, WIND_FROM: 270.0})
    assert plain_state(replace(found, listing=steady), 0, "x").wind == "2.2 m/s from west"
    bare = {key: value for key, value in listing.fixed.items() if key not in (WIND_SPEED, WIND_FROM)}
    assert plain_state(replace(found, listing=replace(listing, fixed=bare)), 0, "x").wind == "calm"
    unsaid = {**bare, WIND_SPEED: 5 * 0.44704}
    assert plain_state(replace(found, listing=replace(listing, fixed=unsaid)), 0, "x").wind == "2.2 m/s from north"


@pytest.mark.parametrize(
    ("force", "word"),
    [(0.0, "none"), (0.3, "held shut"), (1.0, "held shut"), (-0.3, "thrown open"), (-1.0, "thrown open")],
)
def test_what_a_force_does_in_a_word(force, word):
    assert direction_of(force) == word


@pytest.mark.parametrize(("swings", "signs"), [("entry door", (-1, 1)), ("back door", (1, -1))])
def test_the_least_pressure_has_a_side(swings, signs):
    """Pushed out by half a pascal a door that swings out is thrown open; pulled in, it is held shut."""

    class Seen:
        house = house(FOUR_MACHINES)

        def door_force(self, _):
            return np.array([4.0, 4.0]), np.array([0.5, -0.5])

    assert signed_force(Seen(), swings).tolist() == [4.0 * sign for sign in signs]


def test_a_state_that_the_solver_leaves_counts_for_nothing():
    listing = whole_listing(house(TWO_ROOMS))
    judged = limits(house(TWO_ROOMS))
    every = survey(listing, solver(TWO_ROOMS), judged)
    spoiled = float(np.sort(every.house)[4])
    found = survey(listing, solver(TWO_ROOMS, spoiled), judged)
    assert found.unsolved.tolist() == found.refused.tolist() == (every.house <= spoiled).tolist()
    assert (every.solved, found.solved) == (listing.size, listing.size - 5)
    assert 0.0 < found.worst_residual < 1e-9
    assert found.house[found.lowest(found.house)] == np.sort(every.house)[5]
    assert (every.proof, every.open) == ("all", ())
    assert [*every.reference] == solver(TWO_ROOMS)(listing.settings(every.numbers)).reference_room()


def test_a_fan_that_cannot_hold_its_flow_is_refused_though_it_is_solved():
    text = TWO_ROOMS.replace("high: 500 cfm", "high: 5000 cfm")
    listing = whole_listing(house(text))
    found = survey(listing, solver(text), limits(house(text)))
    hood = next(i for i, one in enumerate(listing.freedoms) if one.name == "range hood")
    assert not found.unsolved.any()
    assert found.refused.any()
    assert np.all(listing.digits(found.numbers, hood)[found.refused] == 2)
    assert found.refused.tolist() == (np.abs(found.rooms).max(axis=0) > 1_000.0).tolist()
    assert 0.0 < found.worst_residual < 1e-9


def test_a_thinned_listing_is_surveyed_as_best_found_and_chunks_make_no_difference(monkeypatch):
    judged = limits(house(TWO_ROOMS))
    thin = survey(normal_listing(house(TWO_ROOMS), 100), solver(TWO_ROOMS), judged)
    assert thin.proof == "best found"
    monkeypatch.setattr(states, "CHUNK", 17)
    again = survey(normal_listing(house(TWO_ROOMS), 100), solver(TWO_ROOMS), judged)
    for one, other in ((thin.house, again.house), (thin.rooms, again.rooms), (thin.doors, again.doors)):
        assert np.array_equal(one, other)


@pytest.mark.parametrize("room", ["basement", ""])
def test_the_change_by_fans_is_read_with_what_an_option_changes_in_both_states(room):
    text = GAS.replace("room: basement, input", f"{'room: basement, ' if room else ''}input")
    listing, solve, judged = whole_listing(house(text)), solver(text), limits(house(text))

    def always_open(columns):
        return columns | {("open", "north opening"): np.ones(len(columns["speed", "range hood"]))}

    numbers = np.arange(listing.size)
    rest = numbers - numbers % listing.fan_block
    on, off = (solve(listing.settings(n, always_open)) for n in (numbers, rest))
    found = survey(listing, solve, judged, change=always_open)
    pressures = (
        (on.room_pressure(room), off.room_pressure(room)) if room else (on.house_pressure(), off.house_pressure())
    )
    assert found.depressurization[0] == pytest.approx(pressures[0] - pressures[1], abs=1e-9)
    assert found.house == pytest.approx(on.house_pressure(), abs=1e-12)
    plain = survey(listing, solve, judged)
    assert found.depressurization.min() > plain.depressurization.min()
    read = survey(listing, solve, judged, np.array([1, 2]), always_open, lambda n: solve(listing.settings(n)))
    assert read.house == pytest.approx(plain.house[[1, 2]], abs=1e-12)
