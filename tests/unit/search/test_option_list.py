"""The list of make-up options, what each sets in a state, and what may fail in it."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Exhaust
from airledger.house.operating_state import ACH50, SEASON, interlocked
from airledger.io.house_file import loads
from airledger.search.faults import Fault
from airledger.search.options import (
    DRAWN,
    FAN,
    GRAVITY,
    HEAT_PUMP,
    LESS,
    LESS_AND_ONE,
    NONE,
    ONE,
    TEMPERED,
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
from airledger.search.slots import OPENING, POWERED, SECOND, slots
from airledger.units import CFM, INCH
from tests.unit.search.houses import BARE, GAS, TWO_ROOMS, house

BOTH, HOOD = ("range hood", "dryer"), ("range hood",)
OPENS = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=BOTH, waits=True)
BLOWS = Option(FAN, powered=True, damper="motorized", starts_with=BOTH, waits=True)
FLAP = Option(GRAVITY, 10 * INCH, 1, damper="gravity", starts_with=BOTH)


@pytest.fixture
def place():
    return slots(house(TWO_ROOMS))


def state(hood=1.0, dryer=0.0, **more):
    return {("speed", "range hood"): np.array([hood]), ("speed", "dryer"): np.array([dryer]), **more}


def expected(wanted_limits, coarse_limits):
    """The list in the trade's words: a hood of 500 cfm and a dryer of 125, one window, nothing drawn."""
    whole = Option(NONE)
    less = [Option(LESS, hood_limit=round(cfm * CFM, 9)) for cfm in wanted_limits]
    passive = []
    for inches in TRADE_SIZES:
        one = Option(ONE, inches * INCH, 1, False, "motorized", starts_with=BOTH, waits=True)
        passive += [one, replace(one, filtered=True), replace(one, waits=False), replace(one, starts_with=HOOD)]
        flap = Option(GRAVITY, inches * INCH, 1, False, "gravity", starts_with=BOTH, waits=False)
        passive += [flap, replace(flap, filtered=True)]
        two = replace(one, family=TWO, count=2)
        passive += [two, replace(two, filtered=True)]
    relieved = [
        Option(
            LESS_AND_ONE,
            inches * INCH,
            1,
            damper="motorized",
            hood_limit=round(cfm * CFM, 9),
            hood_share=pytest.approx(cfm / 500),
            starts_with=BOTH,
            waits=True,
        )
        for cfm in coarse_limits
        for inches in (6, 8, 10, 12)
    ]
    fans = []
    for family, tempered in ((FAN, False), (TEMPERED, True)):
        fan = Option(family, powered=True, damper="motorized", tempered=tempered, starts_with=BOTH, waits=True)
        fans += [fan, *(replace(fan, count=1, diameter=inches * INCH) for inches in (6, 8, 10, 12))]
    plain = [one for one in passive if one.family == ONE and one.waits and not one.filtered and one.starts_with == BOTH]
    joined = [*less, *plain, *relieved, fans[0]]
    pumps = [replace(o, heat_pump_dryer=True, starts_with=HOOD if o.starts_with else ()) for o in joined]
    windows = [Option(WINDOW, window=inches * INCH, starts_with=BOTH) for inches in range(1, 13)]
    return [whole, *less, *passive, *relieved, *fans, Option(HEAT_PUMP, heat_pump_dryer=True), *pumps, *windows]


def test_the_families_in_the_words_of_the_tables_and_the_round_sizes_of_the_trade():
    assert (NONE, DRAWN, LESS, ONE, TWO, LESS_AND_ONE) == (
        "none", "as drawn", "less hood", "one opening", "two openings", "less hood and one opening",
    )  # fmt: skip
    assert (FAN, TEMPERED, HEAT_PUMP, GRAVITY, WINDOW) == (
        "powered", "powered and tempered", "heat-pump dryer", "gravity opening", "window",
    )  # fmt: skip
    assert TRADE_SIZES == (4, 5, 6, 7, 8, 9, 10, 12, 14, 16)  # inches, common practice, no source


@pytest.mark.parametrize(
    ("wanted", "limits", "coarse"),
    [
        (None, (450, 400, 350, 300, 250, 200), (400, 300, 200)),
        (350, (450, 400, 350), (400,)),  # a limit that is just what is wanted
        (330, (450, 400, 350), (400,)),
    ],
)
def test_the_whole_list(place, wanted, limits, coarse):
    made = all_options(place, None if wanted is None else wanted * CFM)
    assert list(made) == expected(limits, coarse)


def test_a_house_without_machines_and_one_whose_fans_are_small_have_no_options():
    assert all_options(slots(house(BARE)), None) == (Option(NONE),)
    small = replace(house(BARE), exhausts=(Exhaust("bath fan", "bath fan", "room", (("on", 50 * CFM),)),))
    assert all_options(slots(small), None) == (Option(NONE),)


def test_a_hood_may_be_limited_to_its_own_speeds_too():
    text = TWO_ROOMS.replace("{low: 200 cfm, high: 500 cfm}", "{low: 220 cfm, medium: 330 cfm, high: 500 cfm}")
    limits = hood_limits(slots(house(text)), 220 * CFM, 50 * CFM)
    assert np.array(limits) / CFM == pytest.approx([450, 400, 350, 330, 300, 250, 220])
    assert len(hood_limits(slots(house(TWO_ROOMS)), 200 * CFM, 50 * CFM)) == 6  # 200 is a step and a speed: once


def test_only_hoods_are_limited():
    dryer = replace(house(BARE), exhausts=(Exhaust("dryer", "dryer", "room", (("on", 400 * CFM),)),))
    assert hood_limits(slots(dryer), None, 50 * CFM) == ()
    assert hood_limits(slots(house(BARE)), None, 50 * CFM) == ()


def test_the_order_from_simple_to_involved():
    """Without anything or as drawn; less hood, another dryer; openings by number; fans; what is too big last."""
    ranked = [
        [Option(NONE), Option(DRAWN)],
        [Option(LESS), Option(HEAT_PUMP)],
        [Option(ONE, 4 * INCH, 1), Option(ONE, 12 * INCH, 1)],
        [Option(TWO, 4 * INCH, 2), Option(TWO, 10 * INCH, 2)],
        [Option(LESS_AND_ONE, 10 * INCH, 1, hood_share=0.5), Option(LESS_AND_ONE, 10 * INCH, 1, hood_share=0.9)],
        [Option(FAN)],
        [Option(TEMPERED)],
        [Option(ONE, 14 * INCH, 1), Option(TWO, 12 * INCH, 2), Option(LESS_AND_ONE, 10 * INCH, 1, hood_share=0.49)],
        [Option(GRAVITY, 6 * INCH, 1)],
        [Option(WINDOW)],
    ]
    assert [[option.preference for option in row] for row in ranked] == [[i] * len(ranked[i]) for i in range(10)]
    assert (Option(NONE).inches, Option(ONE, 10 * INCH, 1).inches) == (0, 10)


def test_a_flap_swings_free_and_a_motorized_damper_does_not(place):
    flap, damper = changed(FLAP, place, state()), changed(OPENS, place, state())
    assert (flap["gravity", OPENING], flap["open", OPENING]) == (1.0, 0.0)
    assert (damper["gravity", OPENING], damper["open", OPENING]) == (0.0, 1.0)


def test_two_openings_are_both_there_and_both_open_with_a_dirty_filter_each(place):
    two = changed(replace(OPENS, family=TWO, count=2, filtered=True), place, state())
    for name in (OPENING, SECOND):
        assert [two[kind, name] for kind in ("there", "open", "size")] == pytest.approx([1.0, 1.0, 0.254])
        assert two["dirty", f"{name} filter"] == 1.0
    assert changed(OPENS, place, state())["dirty", f"{OPENING} filter"] == 0.0


@pytest.mark.parametrize(("hood", "dryer", "runs"), [(1.0, 0.0, 1.0), (0.0, 1.0, 1.0), (0.0, 0.0, 0.0)])
def test_the_damper_of_a_make_up_fan_opens_with_its_machines(place, hood, dryer, runs):
    new = changed(BLOWS, place, state(hood, dryer))
    assert (new["there", POWERED], new["open", POWERED], new["mismatch", POWERED]) == (1.0, runs, 1.0)
    assert new["speed", POWERED] * place.powered_flow == pytest.approx((500 * hood + 125 * dryer) * CFM)


def test_a_window_is_opened_as_far_as_told_never_past_its_stop_and_never_less_than_it_stands(place):
    """The sash stops at 20 in."""
    key = ("open", "kitchen window")
    quarter = Option(WINDOW, window=5 * INCH, starts_with=BOTH)
    assert changed(quarter, place, state())[key] == pytest.approx(0.25)
    assert changed(quarter, place, state(**{}) | {key: np.array([0.5])})[key] == 0.5
    assert changed(quarter, place, state(hood=0.0) | {key: np.array([0.1])})[key] == 0.1  # nobody cooks
    assert changed(replace(quarter, window=30 * INCH), place, state())[key] == 1.0


def test_what_the_file_draws_stays_in_its_own_option_alone():
    place, drawn = slots(house(GAS)), "north opening"
    cooking = {("speed", "range hood"): np.ones(1)}
    kept, gone = changed(Option(DRAWN), place, cooking), changed(Option(NONE), place, cooking)
    assert kept["there", drawn] == 1.0
    assert ("open", drawn) not in kept  # it follows its machines
    assert (gone["there", drawn], gone["open", drawn]) == (0.0, 0.0)
    for name in (OPENING, SECOND, POWERED):
        assert [kept[kind, name] for kind in ("there", "open", "gravity")] == [0.0, 0.0, 0.0]
    assert kept["speed", POWERED] == 0.0


def test_what_a_row_does_not_name_stands_as_in_the_house_and_candidates_are_not_there():
    """The kitchen window stands ajar, the hood is off, the weather is the first season's."""
    standing = house(TWO_ROOMS.replace("opens up to: 20 in, stands: shut", "opens up to: 20 in, stands: 5 in"))
    place = slots(standing)
    full = {
        ("speed", "range hood"): np.array([1.0, 0.5]),
        ("flow", "range hood"): np.array([0.3, 0.4]),
        ("open", "kitchen window"): np.array([0.0, 1.0]),
        ("there", OPENING): np.ones(2),
        ("open", OPENING): np.ones(2),
        ("size", OPENING): np.full(2, 0.1),
        ("mismatch", POWERED): np.full(2, 0.9),
        SEASON: np.ones(2),
        ACH50: np.full(2, 0.8),
    }
    columns = stacked([full, {("speed", "dryer"): np.ones(1)}], place.house)
    told = {key: values[2] for key, values in columns.items()}
    assert all(list(columns[key][:2]) == list(values) for key, values in full.items())
    assert told == {
        ("speed", "range hood"): 0.0,
        ("flow", "range hood"): 1.0,
        ("open", "kitchen window"): pytest.approx(0.25),
        ("there", OPENING): 0.0,
        ("open", OPENING): 0.0,
        ("size", OPENING): 0.25,
        ("mismatch", POWERED): 1.0,
        SEASON: 0.0,
        ACH50: pytest.approx(1.1),
        ("speed", "dryer"): 1.0,
    }


def test_what_is_drawn_follows_its_machines_beside_options_that_leave_it_out():
    """Nothing said of a damper or a fan (not a number) lets it follow; shut as drawn would be one that never opens."""
    place, cooking = slots(house(GAS)), {("speed", "range hood"): np.array([1.0, 0.0])}
    parts = [changed(Option(NONE), place, cooking), changed(Option(DRAWN), place, cooking)]
    columns = stacked(parts, place.house)
    following = interlocked(place.house, columns, 4)
    assert list(following["there", "north opening"]) == [0.0, 0.0, 1.0, 1.0]
    assert list(following["open", "north opening"]) == [0.0, 0.0, 1.0, 0.0]


def test_a_drawn_hole_without_a_damper_is_open_whatever_runs():
    hole = loads(
        GAS.replace("damper: {kind: motorized, opens in: 30 s, leaks shut: 5 cfm at 25 Pa, without power: shut}\n", "")
        .replace("    starts with: {range hood: high}\n", "")
        .replace("free: 65 %}]\n    ", "free: 65 %}]\n    damper: none\n"),
        "x.yaml",
    )
    place, resting = slots(hole), {("speed", "range hood"): np.zeros(1)}
    parts = [changed(Option(family), place, resting) for family in (NONE, DRAWN)]
    following = interlocked(place.house, stacked(parts, place.house), 2)
    assert list(following["there", "north opening"] * following["open", "north opening"]) == [0.0, 1.0]


def test_a_fan_errs_either_way_and_an_opening_has_no_fan_to_err():
    assert mismatches(OPENS) == (1.0,)
    assert mismatches(BLOWS) == pytest.approx((0.9, 1.1))


def test_what_may_fail_in_an_option_in_its_words():
    why, name = "a make-up damper does not open", "damper stuck shut"
    assert option_faults(OPENS) == (Fault(name, why, ((("open", OPENING), 0.0),), BOTH),)
    assert option_faults(replace(OPENS, waits=False)) == (Fault(name, why, ((("open", OPENING), 0.0),)),)
    assert option_faults(FLAP) == (Fault(name, why, ((("open", OPENING), -1.0),)),)
    stuck = Fault(name, why, ((("open", POWERED), 0.0), (("speed", POWERED), 0.0)), BOTH)
    dead = Fault("make-up fan dead", "the make-up fan does not run", ((("speed", POWERED), 0.0),))
    assert option_faults(BLOWS) == (stuck, dead)
