"""The start moment by moment: each solved by itself with the damper and the machines where they then stand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.operating_state import SEASON
from airledger.house.outdoors import weather
from airledger.parts import PartValue, opening_time
from airledger.quantities import in_units
from airledger.search.judge import screened
from airledger.search.options import DRAWN, FAN, ONE, Option, all_options, changed, stacked
from airledger.search.slots import OPENING, POWERED
from airledger.search.start import Moving, Start, Stroke, seconds_below, start_of, start_rows, start_sentence
from airledger.sources import Source
from tests.unit.search.houses import GAS, TWO_ROOMS
from tests.unit.search.test_options import trial_of

PULL = 2.5  # seconds from the switch to the full pull: common practice, no source
GIVEN = Source("the house file", "practice")


def tried(text, wanted):
    """A trial with the first option of a kind, screened."""
    trial = trial_of(text)
    return trial, screened(trial, [next(o for o in all_options(trial.place, None) if wanted(o))])[0]


def one_opening(option):
    return option.family == ONE and option.inches == 12 and option.waits


def one_fan(option):
    return option.family == FAN and option.count == 1


def pressures(trial, one, times, opens_in, begins, number):
    """Solved moments: the damper opens from the switch on, the machines start at a time of their own."""
    numbers = np.full(len(times), number)
    columns = stacked(
        [changed(one.option, trial.place, trial.listing.columns(numbers), one.mismatch)], trial.place.house
    )
    position = np.clip(times / opens_in, 0.0, 1.0)
    pull = np.clip((times - begins) / PULL, 0.0, 1.0)
    for name in (OPENING, POWERED):
        if ("open", name) in columns:
            columns["open", name] = columns["open", name] * position
    if one.option.powered:
        columns["speed", POWERED] = columns["speed", POWERED] * position * pull
    for machine in one.option.starts_with:
        columns["speed", machine] = columns["speed", machine] * pull
    return trial.seen(columns)


@pytest.mark.parametrize("wanted", [one_opening, one_fan], ids=["opening", "fan"])
def test_each_moment_of_the_start_is_its_own_steady_state(wanted):
    trial, one = tried(TWO_ROOMS, wanted)
    start = start_of(trial, one)
    usual = opening_time()
    limit = trial.judged.house_pressure
    assert start.moving.opens_in == usual
    for stroke, begins in ((start.at_once, 0.0), (start.held, usual.value)):
        times, found = (np.array(row) for row in zip(*stroke.path, strict=True))
        even = np.linspace(0.0, usual.value + PULL, 81)
        assert {*even} | {begins, begins + PULL, usual.value} == {*times}
        assert np.all(np.diff(times) > 0)
        alone = pressures(trial, one, times, usual.value, begins, start.number).house_pressure()
        assert found == pytest.approx(alone, abs=1e-6)
        assert stroke.lowest == found.min()
        assert stroke.below_wanted == pytest.approx(seconds_below((times, found), limit.wanted))
        assert stroke.below_tolerated == pytest.approx(seconds_below((times, found), limit.tolerated))
    ends = []
    for opens_in in (usual.low, usual.high):
        times = np.union1d(np.linspace(0.0, opens_in + PULL, 81), [0.0, PULL, opens_in])
        alone = pressures(trial, one, times, opens_in, 0.0, start.number).house_pressure()
        ends.append(seconds_below((times, alone), limit.tolerated))
    assert (start.below_low, start.below_high) == pytest.approx((min(ends), max(ends)), abs=1e-6)
    assert min(ends) < max(ends)


@pytest.mark.parametrize("wanted", [one_opening, one_fan], ids=["opening", "fan"])
def test_the_start_is_that_of_the_combination_that_pulls_deepest_while_the_damper_is_shut(wanted):
    trial, one = tried(TWO_ROOMS, wanted)
    tried_first = list(dict.fromkeys([one.number, *trial.numbers[:6].tolist()]))
    shut = [pressures(trial, one, np.array([1e-9]), 1e9, -PULL, number).house_pressure()[0] for number in tried_first]
    assert start_of(trial, one).number == tried_first[int(np.argmin(shut))]


@pytest.mark.parametrize("wanted", [one_opening, one_fan], ids=["opening", "fan"])
def test_the_air_follows_by_the_slope_of_all_ways_in_at_the_deepest_moment(wanted):
    """Adiabatic volume, closed form: V / (1.4 p0 dQ/dP), the slope from two pulls a hundredth apart."""
    trial, one = tried(TWO_ROOMS, wanted)
    start = start_of(trial, one)
    deepest = min(start.at_once.path, key=lambda point: point[1])[0]
    before = min(deepest, PULL)
    opens_in = start.moving.opens_in.value
    flows, found = [], []
    for part in (1.0, 0.99):
        # the same damper, the machines a little less far up
        seen = pressures(trial, one, np.array([deepest]), opens_in, deepest - part * before, start.number)
        flow = sum(seen.machine_flow(machine)[0] for machine in one.option.starts_with)
        flows.append(flow - (seen.make_up_flow(POWERED)[0] if one.option.powered else 0.0))
        found.append(seen.house_pressure()[0])
    slope = -(flows[1] - flows[0]) / (found[1] - found[0])
    house = trial.place.house
    season = int(trial.listing.columns(np.array([start.number]))[SEASON][0])
    barometer = weather(house)[season].barometer
    assert start.settling == pytest.approx(house.volume / (1.4 * barometer * slope), rel=1e-6)


@pytest.mark.parametrize(
    ("pressures", "seconds"),
    [
        ((-10.0, -20.0, -10.0), 4.0),  # from the limit down and back to it: all of it below
        ((-10.0, -10.0, -10.0), 0.0),  # at the limit is not below it
        ((-9.5, -7.0, -5.0), 0.0),
        ((-11.0, -9.5, -9.5), 2.0 * 1.0 / 1.5),
        ((-10.5, -12.0, -10.2), 4.0),
        ((-10.0, -5.0, -15.0), 1.0),
    ],
)
def test_seconds_below_a_limit(pressures, seconds):
    assert seconds_below((np.array([0.0, 2.0, 4.0]), np.array(pressures)), -10.0) == pytest.approx(seconds)


def test_what_starts_with_nothing_or_builds_nothing_does_not_move():
    trial, one = tried(TWO_ROOMS, one_opening)
    for less in ({"starts_with": ()}, {"count": 0}, {"damper": "gravity"}, {"damper": ""}):
        assert start_of(trial, replace(one, option=replace(one.option, **less))) is None


def test_what_moves_is_told_by_name():
    trial, one = tried(TWO_ROOMS, one_opening)
    assert start_of(trial, one).moving == Moving((OPENING,), (), ("range hood", "dryer"), opening_time(), True)
    trial, one = tried(TWO_ROOMS, one_fan)
    moving = start_of(trial, one).moving
    assert (moving.dampers, moving.fans, moving.waits) == ((OPENING, POWERED), (POWERED,), True)


SECOND = """
  south opening:
    into: living
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, straight: 15 ft]
    damper: {kind: motorized, MOTOR}
    fan: {speeds: {on: 100 cfm}, mismatch: +-10 %}
    starts with: {range hood: high, bath fan: on}
  hole:
    into: living
    duct: {size: 3 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, straight: 15 ft]
    damper: none
"""


def drawn_start(text):
    trial = trial_of(text)
    return trial, start_of(trial, screened(trial, [Option(DRAWN)])[0])


@pytest.mark.parametrize(
    ("motor", "opens_in", "known"),
    [
        ("opens in: 20 s, leaks shut: 5 cfm at 25 Pa", 30.0, "as drawn"),
        ("opens in: 45 s, leaks shut: 5 cfm at 25 Pa", 45.0, "as drawn"),
        ("leaks shut: 5 cfm at 25 Pa", 60.0, "by memory"),
    ],
)
def test_of_several_drawn_dampers_the_slowest_counts(motor, opens_in, known):
    taped = GAS.replace("exponent: 0.65}", "exponent: 0.65, taped at the test: [south opening, hole, north opening]}")
    _, start = drawn_start(taped + SECOND.replace("MOTOR", motor))
    moving = start.moving
    assert (moving.dampers, moving.fans) == (("north opening", "south opening"), ("south opening",))
    assert moving.machines == ("range hood", "bath fan")
    assert not moving.waits
    wanted = PartValue("opens in", opens_in, opens_in, opens_in, "s", GIVEN) if known == "as drawn" else opening_time()
    assert moving.opens_in == wanted


def test_drawn_make_up_air_waits_where_every_machine_is_held_for_it():
    assert not drawn_start(GAS)[1].moving.waits
    assert drawn_start(GAS + "    waits for it: [range hood]\n")[1].moving.waits


def told(**parts):
    """A start with numbers made up."""
    at_once = Stroke(-30.0, 12.0, 8.4, ((0.0, 0.0), (2.0, -30.0)))
    held = Stroke(-9.0, 0.0, 0.0, ((0.0, 0.0), (2.0, -9.0)))
    start = Start(
        Moving(("a",), (), ("range hood",), PartValue("m", 60.0, 15.0, 90.0, "s", Source("s", "memory")), False),
        1.2, -22.0, 5, at_once, held, 2.4, 14.0,
    )  # fmt: skip
    return replace(start, **parts)


def sentence(start):
    return in_units(start_sentence(start, "the range hood", "one 10 in opening"), "si").replace("\N{MINUS SIGN}", "-")


def test_the_start_in_words():
    begin = (
        "The range hood pulling at once while the damper of one 10 in opening opens (60 s, by memory): the house comes "
    )
    assert sentence(told()) == begin + (
        "down to -30 Pa (-22 Pa with the lag of its air), 8 s of it below what is tolerated (2 to 14 s by the motor). "
        "Held for the end switch it never goes below -9.0 Pa."
    )
    assert sentence(told(softened=-30.0, below_low=8.4, below_high=8.4)) == begin + (
        "down to -30 Pa, 8 s of it below what is tolerated. Held for the end switch it never goes below -9.0 Pa."
    )
    mild = Stroke(-15.0, 3.0, 0.0, ())
    assert sentence(told(at_once=mild, softened=-15.0)) == begin + (
        "down to -15 Pa, never below what is tolerated. Held for the end switch it never goes below -9.0 Pa."
    )
    brief = Stroke(-21.0, 3.0, 0.6, ())
    assert "1 s of it below what is tolerated" in sentence(told(at_once=brief))
    small = Stroke(-25.0, 9.0, 0.5, ())
    assert sentence(told(held=small)).endswith(
        "Held for the end switch it still comes to -25 Pa: the opening itself is too small."
    )


def test_the_start_as_lines_of_a_table():
    start = told()
    assert start_rows(start, "one 10 in opening", "why") == [
        {
            "option": "one 10 in opening", "machines": "start at once", "lowest_pa": -30.0, "lagging_pa": -22.0,
            "below_wanted_s": 12.0, "below_tolerated_s": 8.4, "opens_in_s": 60.0, "settling_s": 1.2, "state": "why",
        },
        {
            "option": "one 10 in opening", "machines": "wait for the end switch", "lowest_pa": -9.0, "lagging_pa": None,
            "below_wanted_s": 0.0, "below_tolerated_s": 0.0, "opens_in_s": 60.0, "settling_s": 1.2, "state": "why",
        },
    ]  # fmt: skip
