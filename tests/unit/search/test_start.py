"""The start: how far down the house goes while the damper still opens, and what waiting saves."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airledger.search.judge import screened
from airledger.search.options import DRAWN, LESS, ONE, Option, all_options, changed
from airledger.search.start import RUN_UP, seconds_below, start_of, start_rows, start_sentence
from airledger.units import INCH
from tests.unit.search.houses import GAS, TWO_ROOMS
from tests.unit.search.test_options import trial_of


@pytest.fixture(scope="module")
def trial():
    return trial_of(TWO_ROOMS)


@pytest.fixture(scope="module")
def one(trial):
    wide = next(o for o in all_options(trial.place, None) if o.family == ONE and o.inches == 12 and o.waits)
    return screened(trial, [wide])[0]


@pytest.fixture(scope="module")
def start(trial, one):
    return start_of(trial, one)


def test_at_once_the_house_comes_down_far_towards_what_it_would_without_an_opening(trial, one, start):
    numbers = np.array([start.number])
    shut = trial.seen(changed(Option("none"), trial.place, trial.listing.columns(numbers))).house_pressure()[0]
    assert shut < start.at_once.lowest < 0.3 * shut


def test_held_for_the_end_switch_it_stands_no_deeper_than_with_the_damper_open(one, start):
    assert start.held.lowest == pytest.approx(start.held.path[-1][1], abs=1e-9)
    assert start.held.lowest >= one.pressure - 1e-9
    assert start.held.below_tolerated == 0.0
    assert start.at_once.below_tolerated > 0.0


def test_both_starts_end_alike_and_begin_with_the_machines_off(start):
    assert start.at_once.path[-1][1] == pytest.approx(start.held.path[-1][1], abs=1e-9)
    assert start.at_once.path[0][1] > 0.1 * start.at_once.lowest


def test_the_deepest_moment_comes_when_the_pull_is_there_and_the_damper_is_not(start):
    deepest = min(start.at_once.path, key=lambda point: point[1])[0]
    assert deepest == pytest.approx(RUN_UP, abs=1.0)


def test_a_slower_motor_keeps_the_house_down_longer(start):
    assert start.below_low < start.at_once.below_tolerated < start.below_high


def test_the_lag_of_the_air_only_softens_what_steady_reckoning_finds(start):
    assert start.at_once.lowest < start.softened < 0.5 * start.at_once.lowest


def test_a_leakier_house_follows_faster(trial, one, start):
    leaky = trial_of(TWO_ROOMS.replace("0.8 to 1.6 ach50 (likely 1.1)", "4 ach50"))
    assert 0.0 < start_of(leaky, one).settling < 1.0 < start.settling < start.moving.opens_in.low


def test_without_a_motorized_damper_there_is_no_stroke(trial, one):
    for option in (Option("none"), Option(LESS, hood_limit=0.1), replace(one.option, damper="gravity")):
        assert start_of(trial, replace(one, option=option)) is None


def test_time_below_a_limit_is_counted_straight_between_the_moments():
    times, pressures = np.array([0.0, 2.0, 4.0]), np.array([0.0, -20.0, 0.0])
    assert seconds_below((times, pressures), -10.0) == pytest.approx(2.0)  # closed form: half of either side
    assert seconds_below((times, pressures), -20.0) == 0.0
    assert seconds_below((times, pressures - 30.0), -10.0) == pytest.approx(4.0)


def test_the_words_say_both_and_the_rows_carry_them(start):
    words = start_sentence(start, "the range hood", f"one {12 * INCH / INCH:.0f} in opening")
    assert "Held for the end switch it never goes below" in words
    at_once, held = start_rows(start, "one 12 in opening", "why")
    assert at_once["lowest_pa"] < held["lowest_pa"]
    assert at_once["machines"] == "start at once"


# The file's own damper: its `opens in` counts, not the usual motor's.
def drawn_start(text):
    trial = trial_of(text)
    return trial, start_of(trial, screened(trial, [Option(DRAWN)])[0])


def test_what_is_drawn_opens_in_its_own_time():
    _, start = drawn_start(GAS)
    assert (start.moving.opens_in.value, start.moving.machines) == (30.0, ("range hood",))
    assert start.below_low == start.below_high == pytest.approx(start.at_once.below_tolerated, abs=1e-6)
    slower = drawn_start(GAS.replace("opens in: 30 s", "opens in: 60 s"))[1]
    assert slower.at_once.below_tolerated > 1.5 * start.at_once.below_tolerated
    assert slower.held.lowest == pytest.approx(start.held.lowest, abs=1e-6)
    assert "(30 s, as drawn)" in start_sentence(start, "range hood", "the north opening")


def test_what_is_drawn_ends_as_it_is_judged():
    trial, start = drawn_start(GAS)
    numbers = np.array([start.number])
    shown = changed(Option(DRAWN), trial.place, trial.listing.columns(numbers))
    assert start.at_once.path[-1][1] == pytest.approx(float(trial.seen(shown).house_pressure()[0]), abs=1e-9)
    assert start.at_once.lowest < start.held.lowest


def test_drawn_with_a_flap_or_a_hole_there_is_no_stroke():
    gravity = "{kind: gravity, opens at: 5 Pa, leaks shut: 5 cfm at 25 Pa}"
    motorized = "{kind: motorized, opens in: 30 s, leaks shut: 5 cfm at 25 Pa, without power: shut}"
    assert motorized in GAS
    taped = GAS.replace("exponent: 0.65}", "exponent: 0.65, taped at the test: [north opening]}")
    assert drawn_start(taped.replace(motorized, gravity))[1] is None
    assert drawn_start(taped)[1] is not None
