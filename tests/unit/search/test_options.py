"""Make-up options: what each changes in a state, how it is judged, what it is made of."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Price
from airledger.house.operating_state import ACH50, SEASON
from airledger.house.outdoors import weather
from airledger.io import price_list
from airledger.physics.air_loads import condensed_water, latent_heat, sensible_heat
from airledger.runs.work import HouseWork
from airledger.search.judge import Trial, screened, verified
from airledger.search.limits import limits
from airledger.search.moments import moments, summer
from airledger.search.options import (
    DRAWN,
    FAN,
    GRAVITY,
    LESS,
    NONE,
    ONE,
    TRADE_SIZES,
    TWO,
    WINDOW,
    Option,
    all_options,
    changed,
    hood_limits,
    mismatches,
    option_faults,
    stacked,
)
from airledger.search.prices import bill, fan_duct_size, grille_words, parts_of, powered_flow
from airledger.search.slots import OPENING, POWERED, SECOND, slots
from airledger.search.worst import candidates
from airledger.units import CFM, INCH
from tests.unit.search.houses import GAS, ONE_ROOM, TWO_ROOMS, house


def trial_of(text):
    work = HouseWork(house(text), {})
    place = slots(work.house)
    numbers, highest = candidates(work.survey())
    listing = replace(work.listing(), house=place.house)
    return Trial(place, listing, numbers, highest, work.solver(place.house), limits(work.house))


@pytest.fixture(scope="module")
def two_rooms():
    return trial_of(TWO_ROOMS)


@pytest.fixture(scope="module")
def one_room():
    return trial_of(ONE_ROOM)


def cooking(place, hood=1.0, dryer=0.0):
    return {("speed", "range hood"): np.array([hood]), ("speed", "dryer"): np.array([dryer])}


def test_every_kind_of_option_is_tried(two_rooms):
    options = all_options(two_rooms.place, None)
    families = {option.family for option in options}
    assert families >= {NONE, LESS, ONE, TWO, FAN, GRAVITY, WINDOW, "powered and tempered", "heat-pump dryer"}
    assert len(options) == len(set(options))
    sizes = {o.inches for o in options if o.family == ONE and not o.filtered and o.waits and len(o.starts_with) == 2}
    assert sizes == set(TRADE_SIZES)
    assert [round(o.window / INCH) for o in options if o.family == WINDOW] == list(range(1, 13))
    assert any(o.filtered for o in options if o.family == ONE)
    assert any(o.starts_with == ("range hood",) for o in options if o.family == ONE)


def test_a_house_without_a_window_has_no_window_option(one_room):
    assert WINDOW not in {option.family for option in all_options(one_room.place, None)}


def test_what_the_file_draws_is_one_of_the_options():
    place = slots(house(GAS))
    assert [o.family for o in all_options(place, None)][:2] == [NONE, DRAWN]


def test_the_hood_is_never_limited_below_what_is_wanted(two_rooms):
    assert min(hood_limits(two_rooms.place, None, 50 * CFM)) == pytest.approx(200 * CFM)
    assert min(hood_limits(two_rooms.place, 330 * CFM, 50 * CFM)) == pytest.approx(350 * CFM)
    assert max(hood_limits(two_rooms.place, None, 50 * CFM)) < 500 * CFM


def test_an_opening_is_there_and_opens_with_its_machines(two_rooms):
    option = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=("range hood",), waits=True)
    on = changed(option, two_rooms.place, cooking(two_rooms.place))
    off = changed(option, two_rooms.place, cooking(two_rooms.place, hood=0.0, dryer=1.0))
    assert (on["there", OPENING], on["open", OPENING], off["open", OPENING]) == (1.0, 1.0, 0.0)
    assert on["size", OPENING] == pytest.approx(0.254)
    assert (on["there", SECOND], on["there", POWERED]) == (0.0, 0.0)


def test_a_limited_hood_goes_no_further_and_a_lower_speed_stays(two_rooms):
    option = Option(LESS, hood_limit=300 * CFM)
    assert changed(option, two_rooms.place, cooking(two_rooms.place))["speed", "range hood"] == pytest.approx(0.6)
    assert changed(option, two_rooms.place, cooking(two_rooms.place, 0.4))["speed", "range hood"] == pytest.approx(0.4)


def test_a_powered_fan_matches_what_runs_and_errs_both_ways(two_rooms):
    option = Option(FAN, powered=True, damper="motorized", starts_with=("range hood", "dryer"), waits=True)
    assert mismatches(option) == pytest.approx((0.9, 1.1))
    both = changed(option, two_rooms.place, cooking(two_rooms.place, 1.0, 1.0), 0.9)
    assert both["speed", POWERED] * two_rooms.place.powered_flow == pytest.approx(625 * CFM)
    dryer = changed(option, two_rooms.place, cooking(two_rooms.place, 0.0, 1.0), 0.9)
    assert dryer["speed", POWERED] * two_rooms.place.powered_flow == pytest.approx(125 * CFM)
    assert both["mismatch", POWERED] == 0.9


def test_a_heat_pump_dryer_blows_nothing_out(two_rooms):
    option = Option("heat-pump dryer", heat_pump_dryer=True)
    assert changed(option, two_rooms.place, cooking(two_rooms.place, 0.0, 1.0))["speed", "dryer"] == 0.0


def test_judged_pressures_are_those_of_the_option_solved_by_itself(one_room):
    option = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=("range hood",), waits=True)
    judged = screened(one_room, [option])[0]
    columns = changed(option, one_room.place, {("speed", "range hood"): np.ones(1), ("house", "ach50"): np.ones(1)})
    assert judged.pressure == float(one_room.seen(columns).house_pressure()[0])


def test_bigger_openings_pull_less_and_two_less_than_one(two_rooms):
    options = [o for o in all_options(two_rooms.place, None) if o.family in (ONE, TWO)]
    plain = [o for o in options if not o.filtered and o.waits and len(o.starts_with) == 2 and not o.heat_pump_dryer]
    judged = {(one.option.count, one.option.inches): one.pressure for one in screened(two_rooms, plain)}
    for count in (1, 2):
        curve = [judged[count, inches] for inches in TRADE_SIZES]
        assert curve == sorted(curve)
    assert all(judged[2, inches] > judged[1, inches] for inches in TRADE_SIZES)


def test_a_filter_and_a_flap_cost_pressure(two_rooms):
    one = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=("range hood", "dryer"), waits=True)
    flap = replace(one, family=GRAVITY, damper="gravity", waits=False)
    plain, filtered, gravity = screened(two_rooms, [one, replace(one, filtered=True), flap])
    assert filtered.pressure < plain.pressure
    assert gravity.pressure < plain.pressure


def test_a_damper_that_sticks_is_harmless_only_with_a_hold_back(two_rooms):
    waits = Option(ONE, 12 * INCH, 1, damper="motorized", starts_with=("range hood", "dryer"), waits=True)
    held, free, none = screened(two_rooms, [waits, replace(waits, waits=False), Option(NONE)])
    assert free.fault == "damper stuck shut"
    assert none.pressure < free.fault_pressure < 0.8 * none.pressure  # the shut damper still leaks a little
    assert held.fault_pressure > -10  # the machines wait: nothing pulls
    assert option_faults(Option(NONE)) == ()


def test_screening_finds_what_every_combination_finds(two_rooms):
    one = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=("range hood", "dryer"), waits=True)
    fan = Option(FAN, powered=True, damper="motorized", starts_with=("range hood", "dryer"), waits=True)
    for screen in screened(two_rooms, [Option(NONE), one, fan]):
        full = verified(two_rooms, screen)
        assert full.verified
        assert full.pressure <= screen.pressure + 1e-9
        assert full.pressure == pytest.approx(screen.pressure, abs=0.5)


def test_an_option_holds_at_its_limit_and_not_past_it(two_rooms):
    judged = screened(two_rooms, all_options(two_rooms.place, None))
    for one in judged:
        passes = one.pressure < -20.0 or one.door_force > 5 * 4.4482216152605
        assert one.keeps_limits != passes
        assert (one.miss > 0) != one.keeps_limits
        assert one.pressure <= one.shallowest


def test_parts_and_their_prices_add_up():
    place = slots(house(TWO_ROOMS))
    option = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=("range hood",), waits=True)
    parts = parts_of(option, place, house(TWO_ROOMS))
    assert {part.item for part in parts} == {
        "wall cap", "duct", "motorized damper", "grille", "framed opening", "interlock", "end-switch hold-back",
    }  # fmt: skip
    prices = (
        Price("wall cap", "10 in", 80, "HVAC"), Price("duct", "10 in", 10, "HVAC"),
        Price("grille", "10 in", 70, "HVAC"),
        Price("motorized damper", "10 in", 250, "HVAC"), Price("interlock", "", 240, "electrician"),
        Price("end-switch hold-back", "", 190, "electrician"),
    )  # fmt: skip
    found = bill(parts, prices)
    assert found.price == pytest.approx(80 + 15 * 10 + 250 + 70 + 240 + 190)
    assert found.trades == ("HVAC", "framer", "electrician")


def test_a_part_without_a_price_leaves_the_sum_open():
    option = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=("range hood",))
    found = bill(parts_of(option, slots(house(TWO_ROOMS)), house(TWO_ROOMS)), (Price("wall cap", "10 in", 80, "HVAC"),))
    assert found.price is None
    assert "motorized damper 10 in" in found.missing


def test_the_shipped_list_prices_every_option(two_rooms):
    prices = price_list.load()
    for option in all_options(two_rooms.place, None):
        assert bill(parts_of(option, two_rooms.place, house(TWO_ROOMS)), prices).missing == (), option


def test_a_fan_is_bought_for_what_it_has_to_move(two_rooms):
    option = Option(FAN, powered=True, damper="motorized", starts_with=("range hood", "dryer"), waits=True)
    assert powered_flow(option, two_rooms.place) == pytest.approx(625 * CFM)
    prices = (Price("make-up fan", "up to 600 cfm", 1, "HVAC"), Price("make-up fan", "up to 800 cfm", 2, "HVAC"))
    fan = [part for part in parts_of(option, two_rooms.place, house(TWO_ROOMS)) if part.item == "make-up fan"]
    assert bill(fan, prices).price == 2


def test_a_fans_duct_keeps_its_air_below_five_metres_a_second():
    inches = fan_duct_size(625 * CFM)
    assert 625 * CFM / (np.pi / 4 * (inches * INCH) ** 2) <= 5.0
    assert 625 * CFM / (np.pi / 4 * (TRADE_SIZES[TRADE_SIZES.index(inches) - 1] * INCH) ** 2) > 5.0


@pytest.mark.parametrize("inches", TRADE_SIZES)
def test_a_grille_has_about_three_duct_areas(inches):
    width, height = (int(side.removesuffix(" in")) for side in grille_words(inches).split(" x "))
    assert 1.0 <= width * height / (3 * np.pi / 4 * inches**2) < 1.35


def test_the_order_runs_from_the_simplest_to_the_most_involved():
    one = Option(ONE, 12 * INCH, 1, damper="motorized")
    less_and_one = Option("less hood and one opening", 10 * INCH, 1, hood_limit=0.2, hood_share=0.6)
    two = replace(one, family=TWO, diameter=10 * INCH, count=2)
    ordered = [
        Option(NONE), Option(LESS, hood_limit=0.2), one, two, less_and_one,
        Option(FAN, powered=True), Option("powered and tempered", powered=True), replace(one, diameter=14 * INCH),
        replace(one, family=GRAVITY), Option(WINDOW, window=0.1),
    ]  # fmt: skip
    places = [option.preference for option in ordered]
    assert places == sorted(places)
    assert len(set(places)) == len(places)
    assert replace(less_and_one, hood_share=0.3).preference > Option(FAN).preference


def test_baths_start_make_up_air_where_together_they_pull_like_a_dryer():
    few = house(TWO_ROOMS.replace("dryer: {room: living, speeds: {on: 125", "bath fan: {room: living, speeds: {on: 60"))
    many = house(
        TWO_ROOMS.replace("dryer: {room: living, speeds: {on: 125", "bath fan: {room: living, speeds: {on: 110")
    )
    assert [exhaust.name for exhaust in slots(few).starting] == ["range hood"]
    assert [exhaust.name for exhaust in slots(many).starting] == ["range hood", "bath fan"]


def test_candidates_are_not_part_of_what_was_tested():
    work = HouseWork(house(ONE_ROOM), {})
    place = slots(work.house)
    bare = changed(Option(NONE), place, {("speed", "range hood"): np.ones(1), ("house", "ach50"): np.ones(1)})
    trial = trial_of(ONE_ROOM)
    assert float(trial.seen(bare).house_pressure()[0]) == pytest.approx(work.survey().house[1], rel=1e-9)


def test_a_dead_fan_is_not_seen_by_an_end_switch(two_rooms):
    fan = Option(FAN, powered=True, damper="motorized", starts_with=("range hood", "dryer"), waits=True)
    assert [(fault.name, fault.held) for fault in option_faults(fan)] == [
        ("damper stuck shut", ("range hood", "dryer")),
        ("make-up fan dead", ()),
    ]
    judged = screened(two_rooms, [fan])[0]
    assert judged.fault == "make-up fan dead"
    assert judged.fault_pressure < judged.pressure


def test_the_heat_and_water_of_an_option_are_those_over_the_everyday_air(two_rooms):
    """The ventilator's air comes in anyhow: it is no load of the hood's."""
    place = two_rooms.place
    rest = {("speed", exhaust.name): np.zeros(1) for exhaust in place.house.exhausts}
    rest |= {SEASON: np.full(1, float(summer(place))), ACH50: np.full(1, 1.1)}
    hood = {**rest, ("speed", "range hood"): np.ones(1)}
    outdoor = two_rooms.seen(
        stacked([changed(Option(NONE), place, rest), changed(Option(NONE), place, hood)], place.house)
    )
    everyday, meanwhile = outdoor.outdoor_air_mass()
    assert 0.02 < everyday < meanwhile
    (moment,) = moments(two_rooms, screened(two_rooms, [Option(NONE)]), 1.1)
    air, more = weather(place.house)[summer(place)], meanwhile - everyday
    heat = sensible_heat(more, air.outdoor, air.indoor) + latent_heat(more, air.outdoor, air.indoor)
    assert moment.heat == pytest.approx(float(heat))
    assert moment.water == pytest.approx(float(condensed_water(more, air.outdoor, air.indoor)))
