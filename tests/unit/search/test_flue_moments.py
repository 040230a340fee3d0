"""When a flue is looked at, and what is read there: states named and found, fans on and off, room by room."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.assemble import build
from airledger.house.flues import flue_element, standing_draft
from airledger.house.operating_state import ACH50, SEASON, VENTILATOR_STREAMS, OperatingState, as_built, standing
from airledger.house.outdoors import weather
from airledger.io.house_file import loads
from airledger.physics.solver import solve as network_solve
from airledger.runs.work import HouseWork
from airledger.search import flues
from airledger.search.flues import (
    FOUND,
    NAMED,
    Moment,
    named_moments,
    open_flues,
    pulls_at,
    solved,
    stilled,
    together,
    worst_moments,
)
from airledger.search.hours import yearly_hours
from airledger.search.limits import ApplianceLimit
from airledger.search.worst import worst_of
from airledger.sources import Source
from tests.unit.search.combustion_houses import FIREPLACE, WINTER_BASEMENT
from tests.unit.search.houses import ONE_ROOM, TWO_ROOMS, house

SEASONS = """
  summer: {outdoors: 90 F, dew point: 70 F, indoors: 75 F, humidity: 50 %}
  winter: {outdoors: -10 F, dew point: -15 F, indoors: 68 F, humidity: 30 %}
"""
# tightness as a range; two burners; a state at a tightness of its own
BELOW = WINTER_BASEMENT.replace("1.0 ach50", "0.8 to 1.6 ach50 (likely 1.0)").replace(
    "site: {elevation: 0 ft, winter: {outdoors: -10 F, dew point: -15 F, indoors: 68 F, humidity: 30 %}}",
    "site:\n  elevation: 0 ft" + SEASONS.rstrip(),
)
BELOW = BELOW.replace(
    "make-up air: none",
    "  stove: {burns: wood, room: living, flue: {size: 6 in round, height: 16 ft}}\nmake-up air: none",
)


def below():
    given = house(BELOW)
    work = HouseWork(given, {})
    return given, work, named_moments(given, work.named())


def test_a_stilled_state_has_each_fan_off_once_and_all_else_as_it_was():
    state = OperatingState(
        "s", settings=((("speed", "range hood"), 1.0), (("open", "speed"), 0.5), (("speed", "ventilator supply"), 1.0))
    )
    given = house(TWO_ROOMS)
    fans = [("speed", "range hood"), ("speed", "dryer"), *(("speed", stream) for stream in VENTILATOR_STREAMS)]
    assert stilled(given, state).settings == ((("open", "speed"), 0.5), *((key, 0.0) for key in fans))
    assert stilled(house(ONE_ROOM), state).settings == ((("open", "speed"), 0.5), (("speed", "range hood"), 0.0))


def test_a_named_state_stands_at_the_likely_tightness_and_both_ends():
    given, work, moments = below()
    assert [(m.state, m.kind, m.found, m.why, m.hours, m.worst_for) for m in moments] == [
        (state.name, state.kind, NAMED, state.why, None, "") for state in work.named()
    ]
    for moment in moments:
        for settings in (moment.on, moment.off):
            assert settings.column(ACH50, 0.0).tolist() == [1.0, 0.8, 1.6]
    on, off = moments[2].on, moments[2].off
    assert on.column(("speed", "bath fan"), 0.0).tolist() == [1.0] * 3
    assert off.column(("speed", "bath fan"), 9.0).tolist() == [0.0] * 3
    assert given.name == "Winter basement"


def test_a_state_that_names_its_tightness_stands_at_that():
    given, work, _ = below()
    state = replace(work.named()[2], settings=(*work.named()[2].settings, (ACH50, 1.3)), why="why")
    (moment,) = named_moments(given, [state])
    assert moment.on.column(ACH50, 0.0).tolist() == moment.off.column(ACH50, 0.0).tolist() == [1.3] * 3
    assert moment.why == "why"


def test_the_worst_combination_for_each_appliance_with_its_fans_off():
    given, work, _ = below()
    found, judged = work.survey(), work.limits()
    listing = found.listing
    moments = worst_moments(found, judged)
    assert list(moments) == ["water heater", "stove"]
    for one in worst_of(found, judged):
        if one.kind != "appliance":
            continue
        moment, number = moments[one.target], int(found.numbers[one.place])
        rest = max(n for n in range(number + 1) if n % listing.fan_block == 0)
        for settings, wanted in ((moment.on, number), (moment.off, rest)):
            same = listing.settings(np.array([wanted]))
            assert settings.size == 1
            assert {key: value.tolist() for key, value in settings.columns.items()} == {
                key: value.tolist() for key, value in same.columns.items()
            }
        assert moment.hours == pytest.approx(yearly_hours(listing.share_of_year(number)))
        assert (moment.kind, moment.found, moment.why, moment.worst_for) == (
            "normal",
            FOUND,
            listing.why(number),
            one.target,
        )
    assert moments["water heater"].state == "worst for the house"
    assert given.appliances[0].name == "water heater"


def test_what_a_batch_does_not_name_stands_as_it_stands():
    given, work, moments = below()
    bare = moments[0].on.of_rows(np.array([0]))
    told = bare.with_({("speed", "bath fan"): 0.25, ("house", "something"): 7.0})
    both = together(given, [bare, told])
    rest = standing(given) | as_built(given)
    assert both.size == 2
    assert both.column(("house", "something"), -1.0).tolist() == [0.0, 7.0]
    for key in rest.keys() & both.columns.keys() - bare.columns.keys() - {("speed", "bath fan")}:
        assert both.column(key, -1.0)[0] == rest[key]
    assert both.column(("speed", "bath fan"), -1.0)[1] == 0.25
    assert work.house is given


def test_a_door_that_stands_open_stays_open_in_a_batch_that_does_not_name_it():
    given = house(TWO_ROOMS)
    work = HouseWork(given, {})
    moment = named_moments(given, work.named())[0].on
    key = ("open", "bedroom door")
    without = replace(moment, columns={k: v for k, v in moment.columns.items() if k != key})
    both = together(given, [without, moment.with_({key: 0.0})])
    assert both.column(key, 9.0).tolist() == [1.0] * moment.size + [0.0] * moment.size


def test_each_appliance_reads_its_own_room_in_every_moment_but_the_worst_of_another():
    given, work, moments = below()
    found = solved(given, work.solver(given), [*worst_moments(work.survey(), work.limits()).values(), *moments])
    solve = work.solver(given)
    for limit, room in zip(work.limits().appliances, ("basement", "living"), strict=True):
        pulls = pulls_at(given, limit, found)
        assert [pull.moment.worst_for for pull in pulls] == [limit.name, "", "", ""]
        assert [pull.moment.state for pull in pulls][1:] == [moment.state for moment in moments]
        appliance = next(one for one in given.appliances if one.name == limit.name)
        for pull in pulls:
            on, off = (solve(one).room_pressure(room) for one in (pull.moment.on, pull.moment.off))
            changes = on - off
            lowest = int(np.argmin(changes))
            assert (pull.pressure, pull.fans_off) == pytest.approx((on[0], off[0]), abs=1e-9)
            assert (pull.change, pull.low, pull.high) == pytest.approx(
                (changes[0], changes.min(), changes.max()), abs=1e-9
            )
            assert (pull.deepest, pull.deepest_fans_off) == pytest.approx((on[lowest], off[lowest]), abs=1e-9)
            season = weather(given)[int(pull.moment.on.column(SEASON, 0.0)[0])]
            assert pull.season == season.name
            assert pull.ach50 == pull.moment.on.column(ACH50, 0.0)[0]
            assert pull.draft == standing_draft(given, appliance, season)
            assert (pull.draft > 0.0) is (season.name == "winter")


def test_a_moment_that_names_neither_season_nor_tightness_stands_in_the_first_and_at_the_likely_one():
    given, work, moments = below()
    bare = {key: value for key, value in moments[1].on.columns.items() if key not in (ACH50, SEASON)}
    moment = replace(moments[1], on=replace(moments[1].on, columns=bare), off=replace(moments[1].off, columns=bare))
    (pull,) = pulls_at(given, work.limits().appliances[0], solved(given, work.solver(given), [moment]))
    assert (pull.season, pull.ach50) == (weather(given)[0].name, 1.0)


def test_a_fireplace_among_the_exhausts_has_no_draft_told_and_one_in_no_room_reads_the_house():
    given = house(FIREPLACE)
    work = HouseWork(given, {})
    fire = OperatingState("fire", settings=((("speed", "fireplace"), 1.0),))
    found = solved(given, work.solver(given), named_moments(given, [fire]))
    (limit,) = work.limits().appliances
    assert [pull.draft for pull in pulls_at(given, limit, found)] == [None]
    below_given, below_work, moments = below()
    found = solved(below_given, below_work.solver(below_given), moments)
    nowhere = ApplianceLimit("hearth", "", -5.0, "why", Source("s", "practice"))
    for pull in pulls_at(below_given, nowhere, found):
        assert pull.pressure == below_work.solver(below_given)(pull.moment.on).house_pressure()[0]


def flue_mass_flows(given, settings, name="water heater", room="basement"):
    """Mass flow of an open flue in each state [kg/s of dry air], upwards positive."""
    appliance = next(one for one in given.appliances if one.name == name)
    model = build(given)
    model = replace(model, specs=(*model.specs, flue_element(given, appliance, room)))
    return network_solve(model.network, model.rows(settings)).flow[-1]


def test_an_open_flue_is_told_for_each_moment_at_its_first_tightness():
    strong = loads(BELOW.replace("high: 80 cfm", "high: 400 cfm"), "x.yaml")
    moments = named_moments(strong, HouseWork(strong, {}).named())
    heater = strong.appliances[0]
    told = open_flues(strong, heater, moments)
    assert [one.moment for one in told] == moments
    winter = weather(strong)[-1]
    for one, moment in zip(told, moments, strict=True):
        on, off = flue_mass_flows(strong, moment.on)[0], flue_mass_flows(strong, moment.off)[0]
        assert one.flow == pytest.approx(
            on / (1.199 if on > 0 else 1.413), rel=0.01
        )  # dry air at 20 and -23 C [handbook]
        assert one.fans_off == pytest.approx(off / 1.199, rel=0.01)
        assert one.season == "winter"
        assert one.draft == standing_draft(strong, heater, winter)
    assert told[0].flow == pytest.approx(told[0].fans_off)
    assert told[2].flow < 0.0 < told[2].fans_off
    assert told[2].pressure < told[1].pressure < told[0].pressure


def test_a_flue_in_the_only_room_need_not_say_where_it_stands():
    heater = "appliances: {heater: {burns: gas, vents: natural draft, flue: {size: 4 in round, height: 20 ft}}}\n"
    text = FIREPLACE.replace("make-up air: none", heater + "make-up air: none")
    given = house(text)
    work = HouseWork(given, {})
    calm = OperatingState("calm", settings=((SEASON, 0.0),))
    moments = named_moments(given, [calm])
    heater = given.appliances[0]
    (nowhere,), (there,) = (open_flues(given, one, moments) for one in (heater, replace(heater, room="living")))
    assert (nowhere.flow, nowhere.pressure, nowhere.draft) == (there.flow, there.pressure, there.draft)
    assert nowhere.draft > 0.0
    assert nowhere.flow == pytest.approx(flue_mass_flows(given, moments[0].on, "heater", "living")[0] / 1.19, rel=0.01)
    assert work.house is given


def test_an_open_flue_in_a_moment_that_names_no_season_stands_in_the_first():
    given, _, moments = below()
    without = {key: value for key, value in moments[1].on.columns.items() if key != SEASON}
    bare = replace(moments[1], on=replace(moments[1].on, columns=without), off=replace(moments[1].off, columns=without))
    first = replace(moments[1], on=moments[1].on.with_({SEASON: 0.0}), off=moments[1].off.with_({SEASON: 0.0}))
    (told,), (same,) = (open_flues(given, given.appliances[0], [one]) for one in (bare, first))
    assert (told.season, told.flow, told.draft) == ("summer", same.flow, same.draft)


def test_where_it_is_as_warm_outside_as_inside_a_flue_has_no_draft():
    text = WINTER_BASEMENT.replace(", winter: {outdoors: -10 F, dew point: -15 F, indoors: 68 F, humidity: 30 %}", "")
    given = house(text.replace("season: winter", "").replace(", }", "}"))
    moments = named_moments(given, HouseWork(given, {}).named())
    assert [one.draft for one in open_flues(given, given.appliances[0], moments)] == [0.0] * 3


def test_a_moment_that_cannot_be_solved_with_fans_on_or_off_is_not_told(monkeypatch):
    given, _, moments = below()
    for lost in (2, 3):  # the second moment's fans on, and off

        def spoiled(network, rows, lost=lost):
            solution = network_solve(network, rows)
            return replace(solution, converged=np.arange(len(solution.converged)) != lost)

        monkeypatch.setattr(flues, "solve", spoiled)
        told = open_flues(given, given.appliances[0], moments)
        assert [one.moment.state for one in told] == ["every fan off", "a fan"]
    assert all(isinstance(one.moment, Moment) for one in told)
