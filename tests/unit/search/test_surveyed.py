"""All solved where that is little, proved where it is much, and said so where neither; all houses are invented."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.assemble import build
from airledger.house.readout import Readout
from airledger.io.house_file import loads
from airledger.physics.solver import solve as network_solve
from airledger.search import surveyed as module
from airledger.search.limits import limits
from airledger.search.proof import Proof, prove
from airledger.search.states import normal_listing, whole_listing
from airledger.search.surveyed import machines_apart, off_or_top, proved, surveyed, worst_under
from airledger.search.worst import survey, worst_of
from tests.unit.search.houses import TWO_ROOMS
from tests.unit.search.test_proof_edges import SITE, SUPPLIED
from tests.unit.search.test_thinning import CROWDED

FURNACE = """
appliances: {furnace: {burns: gas, vents: natural draft, room: east}}
"""
TOO_BIG = """
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
exhausts: {hood: {room: house, speeds: {low: 300 cfm, high: 6000 cfm}}}
make-up air: none
"""
STARTED = (
    FURNACE
    + """
make-up air:
  opening:
    into: kitchen
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, straight: 15 ft]
    damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}
    starts with: {hood: high}
"""
)


class Ground:
    """A house with its listing, its solver and its limits; counts what it solves."""

    def __init__(self, text):
        self.house = loads(text, "x.yaml")
        self.listing, self.limits, self.model = whole_listing(self.house), limits(self.house), build(self.house)
        self.solved = 0

    def solve(self, settings):
        self.solved += settings.size
        rows = self.model.rows(settings)
        return Readout(self.model, settings, network_solve(self.model.network, rows))

    def every(self, change=None):
        return survey(self.listing, self.solve, self.limits, change=change)


def less_hood(columns):
    return columns | {("speed", "hood"): 0.7 * columns["speed", "hood"]}


def worst_values(found, judged):
    return {(one.kind, one.target): abs(one.value) for one in worst_of(found, judged)}


def east_shut(columns):
    return columns | {("open", "east door"): np.zeros(len(columns["speed", "hood"]))}


def assert_as_bad(found, every, judged):
    """The worst of a survey is that of every combination."""
    assert worst_values(found, judged) == pytest.approx(worst_values(every, judged), rel=1e-3, abs=0.01)


def test_few_combinations_are_all_solved_and_more_are_proved(monkeypatch):
    ground = Ground(SITE + SUPPLIED)
    monkeypatch.setattr(module, "SOLVED_AT_ONCE", ground.listing.size)
    found = surveyed(ground.house, ground.solve, ground.limits)
    assert (found.proof, len(found.numbers), found.open) == ("all", ground.listing.size, ())
    monkeypatch.setattr(module, "SOLVED_AT_ONCE", ground.listing.size - 1)
    assert_as_bad(surveyed(ground.house, ground.solve, ground.limits), found, ground.limits)
    assert surveyed(ground.house, ground.solve, ground.limits).proof == "proved"


def test_what_cannot_be_proved_is_all_solved(monkeypatch):
    ground = Ground(SITE + TOO_BIG)
    monkeypatch.setattr(module, "SOLVED_AT_ONCE", 0)
    assert proved(ground.listing, ground.solve, ground.limits) is None
    found = surveyed(ground.house, ground.solve, ground.limits)
    assert (found.proof, len(found.numbers)) == ("all", ground.listing.size)


@pytest.mark.parametrize(("largest", "said"), [(None, "all"), (50, "best found")])
def test_a_door_left_open_is_solved_where_all_can_be_listed_and_told_where_not(largest, said, monkeypatch):
    ground = Ground(TWO_ROOMS)

    def unsure(*given):
        return replace(prove(*given), open=(("bedroom door", 1.0),))

    monkeypatch.setattr(module, "SOLVED_AT_ONCE", 0)
    monkeypatch.setattr(module, "prove", unsure)
    monkeypatch.setattr(module, "normal_listing", lambda house: normal_listing(house, largest or ground.listing.size))
    found = surveyed(ground.house, ground.solve, ground.limits)
    assert (found.proof, found.open) == (said, ("bedroom door",) if said == "best found" else ())


@pytest.mark.parametrize(("name", "is_told"), [("house", False), ("living", False), ("bedroom door", True)])
def test_where_a_room_is_left_open_nothing_is_proved(name, is_told, monkeypatch):
    ground = Ground(TWO_ROOMS)
    monkeypatch.setattr(module, "prove", lambda *given: replace(prove(*given), open=((name, 1.0),)))
    assert (proved(ground.listing, ground.solve, ground.limits) is not None) is is_told


def test_where_the_proof_stands_on_nothing_nothing_is_proved(monkeypatch):
    ground = Ground(TWO_ROOMS)
    nothing = Proof(np.zeros(0, dtype=np.intp), np.zeros((len(ground.model.nodes), 0)), (), 0)
    monkeypatch.setattr(module, "prove", lambda *_: nothing)
    assert proved(ground.listing, ground.solve, ground.limits) is None


@pytest.mark.parametrize("change", [None, less_hood, east_shut])
@pytest.mark.parametrize("text", [SITE + SUPPLIED, SITE + SUPPLIED + FURNACE], ids=["plain", "furnace"])
def test_what_is_proved_reads_as_what_is_solved(text, change):
    ground = Ground(text)
    every, found = ground.every(change), proved(ground.listing, ground.solve, ground.limits, change)
    assert (found.proof, found.open) == ("proved", ())
    assert np.all(np.diff(found.numbers) > 0)
    assert found.house == pytest.approx(every.house[found.numbers], abs=1e-9)
    assert found.rooms == pytest.approx(every.rooms[:, found.numbers], abs=1e-9)
    assert found.doors == pytest.approx(every.doors[:, found.numbers], abs=1e-9)
    assert found.depressurization == pytest.approx(every.depressurization[:, found.numbers], abs=1e-9)
    assert_as_bad(found, every, ground.limits)
    assert not found.refused.any()
    assert 0.0 < found.worst_residual < 1e-9


@pytest.fixture
def sparse(monkeypatch):
    """A house, a proof of it that kept few of the states it solved, and those that are asked beside it."""
    ground = Ground(SITE + SUPPLIED)
    whole = prove(ground.listing, ground.model, network_solve, None)
    proof = replace(whole, numbers=whole.numbers[::7], pressure=whole.pressure[:, ::7])
    monkeypatch.setattr(module, "prove", lambda *_: proof)
    return ground, proof, np.setdiff1d(machines_apart(ground.listing, proof), proof.numbers)


def test_what_is_asked_beside_the_proof_is_solved_and_counted(sparse):
    ground, proof, beside = sparse
    every, found = ground.every(), proved(ground.listing, ground.solve, ground.limits)
    assert len(beside)
    assert set(found.numbers) == {*proof.numbers, *beside}
    assert found.solved == proof.solved + len(beside)
    assert found.house == pytest.approx(every.house[found.numbers], abs=1e-9)
    assert proof.residual <= found.worst_residual < 1e-9


def test_a_state_that_the_solver_leaves_is_refused(sparse):
    ground, _, beside = sparse
    lost = int(beside[0])
    columns = ground.listing.columns(np.array([lost]))

    def solve(settings):
        seen = ground.solve(settings)
        here = np.all([settings.columns[key] == value for key, value in columns.items()], axis=0)
        solution = replace(
            seen.solution,
            converged=seen.solution.converged & ~here,
            residual_relative=np.where(here, 0.5, seen.solution.residual_relative),
        )
        return Readout(seen.model, settings, solution)

    found = proved(ground.listing, solve, ground.limits)
    assert found.numbers[found.refused].tolist() == found.numbers[found.unsolved].tolist() == [lost]
    assert found.worst_residual == 0.5  # told, though the state counts for nothing


def test_a_flue_is_watched_with_each_machine_off_or_at_its_top():
    ground = Ground(SITE + SUPPLIED + FURNACE)
    found = proved(ground.listing, ground.solve, ground.limits)
    assert {*off_or_top(ground.listing, 10_000)} <= {*found.numbers}
    assert not {*off_or_top(ground.listing, 10_000, at_top=False)} <= {*found.numbers}
    slower = proved(ground.listing, ground.solve, ground.limits, at_top=False)
    assert len(slower.numbers) == ground.listing.size


def test_a_flue_is_watched_at_every_speed_where_make_up_air_starts_with_one():
    taped = SUPPLIED.replace("[ventilator]", "[ventilator, opening]").replace("make-up air: none\n", STARTED)
    ground = Ground(SITE + taped)
    assert len(proved(ground.listing, ground.solve, ground.limits).numbers) == ground.listing.size
    assert len(proved(ground.listing, ground.solve, ground.limits, at_top=True).numbers) < ground.listing.size


def test_a_flue_that_would_be_watched_in_too_many_states_is_not_proved(monkeypatch):
    ground, plain = Ground(SITE + SUPPLIED + FURNACE), Ground(SITE + SUPPLIED)
    monkeypatch.setattr(module, "MOST_AT_APPLIANCES", 1)
    assert proved(ground.listing, ground.solve, ground.limits) is None
    assert proved(plain.listing, plain.solve, plain.limits) is not None


def test_under_an_option_few_are_solved_many_proved_and_the_rest_drawn(monkeypatch):
    ground = Ground(SITE + SUPPLIED)
    every = ground.every(less_hood)
    few = worst_under(ground.listing, ground.solve, ground.limits, less_hood, at_top=True)
    assert (few.proof, few.numbers.tolist()) == ("all", off_or_top(ground.listing, 10_000).tolist())
    assert_as_bad(few, every, ground.limits)
    slower = worst_under(ground.listing, ground.solve, ground.limits, less_hood, at_top=False)
    assert len(slower.numbers) == ground.listing.size
    monkeypatch.setattr(module, "LISTED_UNDER_OPTIONS", 20)
    many = worst_under(ground.listing, ground.solve, ground.limits, less_hood, at_top=True)
    assert many.proof == "proved"
    assert_as_bad(many, every, ground.limits)
    monkeypatch.setattr(module, "proved", lambda *_: None)
    drawn = worst_under(ground.listing, ground.solve, ground.limits, less_hood, at_top=True)
    assert drawn.proof == "best found"
    assert 10 < len(drawn.numbers) <= 20
    assert drawn.house == pytest.approx(every.house[drawn.numbers], abs=1e-9)
    again = worst_under(ground.listing, ground.solve, ground.limits, less_hood, at_top=True)
    assert again.numbers.tolist() == drawn.numbers.tolist()


def test_a_flue_under_an_option_is_watched_as_the_option_asks(monkeypatch):
    ground = Ground(SITE + SUPPLIED + FURNACE)
    monkeypatch.setattr(module, "LISTED_UNDER_OPTIONS", 20)
    slower = worst_under(ground.listing, ground.solve, ground.limits, less_hood, at_top=False)
    assert len(slower.numbers) == ground.listing.size
    assert len(worst_under(ground.listing, ground.solve, ground.limits, less_hood, at_top=True).numbers) < len(
        slower.numbers
    )


def test_machines_off_or_at_their_top_with_all_else_listed():
    listing = whole_listing(loads(TWO_ROOMS, "x.yaml"))
    position = next(i for i, one in enumerate(listing.freedoms) if one.name == "range hood")  # off, low, high
    numbers = np.arange(listing.size)
    wanted = numbers[listing.digits(numbers, position) != 1]
    assert off_or_top(listing, len(wanted)).tolist() == wanted.tolist()
    assert off_or_top(listing, len(wanted) - 1) is None
    assert off_or_top(listing, listing.size, at_top=False).tolist() == numbers.tolist()


@pytest.mark.parametrize("order", [1, -1], ids=["big first", "small first"])
def test_the_deepest_of_each_weather_is_told_with_the_biggest_machines_off_in_turn(order):
    given = loads(
        CROWDED.replace("room: a, speeds: {low: 30 cfm, high: 60", "room: a, speeds: {low: 30 cfm, high: 80"), "x.yaml"
    )
    listing = whole_listing(replace(given, exhausts=given.exhausts[::order]))
    numbers = np.arange(0, listing.size, 37)
    depth = -np.cos(np.arange(len(numbers)))  # no house: any depths will do
    pressure = np.stack([depth, np.zeros(len(numbers))])
    proof = Proof(numbers, pressure, (), 0)
    places = {one.name: i for i, one in enumerate(listing.freedoms)}
    wanted = set()
    for season in (0, 1):
        mine = numbers[listing.digits(numbers, places["season"]) == season]
        deepest = int(mine[np.argmin(depth[listing.digits(numbers, places["season"]) == season])])
        turned = {deepest}
        for machine in ("hood", "dryer", "bath fan"):  # 300, 120, 80 cfm; the other fan stays as it is
            stride = listing.strides[places[machine]]
            turned = {
                n - int(listing.digits(np.array([n]), places[machine])[0]) * stride + top * stride
                for n in turned
                for top in (0, 2)
            }
        wanted |= turned
    assert machines_apart(listing, proof).tolist() == sorted(wanted)


def test_each_end_of_the_tightness_and_each_speed_of_the_ventilator_has_its_deepest():
    ground = Ground(TWO_ROOMS)
    listing = ground.listing
    numbers = np.arange(listing.size)
    seen = ground.solve(listing.settings(numbers))
    found = machines_apart(listing, Proof(numbers, seen.solution.pressure, (), 0))
    kinds = [i for i, one in enumerate(listing.freedoms) if one.kind in ("tightness", "season", "ventilator")]
    groups = {tuple(int(listing.digits(np.array([n]), i)[0]) for i in kinds) for n in found}
    assert len(groups) == 2 * 2 * 3
    assert len(found) == len(groups) * 2 * 2  # two machines, off and at their top
