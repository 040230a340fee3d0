"""What wind adds beside a verdict in calm air."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Wind
from airledger.house.operating_state import WIND_FROM, WIND_SPEED
from airledger.runs.work import HouseWork
from airledger.search.states import normal_listing
from airledger.search.wind import SIDES, assumed_wind, reckoned_wind, wind_range, wind_rows
from airledger.search.worst import worst_of
from tests.unit.search.houses import ONE_ROOM, TWO_ROOMS, house


def test_in_calm_air_there_is_nothing_to_add():
    windy = house(TWO_ROOMS)
    calm = replace(windy, site=replace(windy.site, wind=Wind(0.0, 0.0)))
    assert wind_range(normal_listing(calm), HouseWork(calm, {}).solver(calm), 0) is None


def test_the_range_is_that_of_all_sides_solved_one_by_one():
    windy = house(TWO_ROOMS)
    listing, solve = normal_listing(windy), HouseWork(windy, {}).solver(windy)
    number = listing.size - 1
    calm = float(solve(listing.settings(np.array([number]))).house_pressure()[0])
    alone = []
    for side in SIDES:
        settings = listing.settings(np.array([number])).with_({WIND_SPEED: windy.site.wind.high, WIND_FROM: side})
        alone.append(float(solve(settings).house_pressure()[0]) - calm)
    assert wind_range(listing, solve, number) == pytest.approx((min(alone), max(alone)), abs=1e-12)
    assert min(alone) < max(alone)


def test_more_wind_adds_more():
    windy = house(TWO_ROOMS)
    harder = replace(windy, site=replace(windy.site, wind=Wind(0.0, 2 * windy.site.wind.high)))
    ranges = []
    for one in (windy, harder):
        listing = normal_listing(one)
        ranges.append(wind_range(listing, HouseWork(one, {}).solver(one), 0))
    assert ranges[1][1] - ranges[1][0] > 2 * (ranges[0][1] - ranges[0][0])


def test_a_steady_wind_is_told_too():
    windy = house(TWO_ROOMS)
    steady = replace(windy, site=replace(windy.site, wind=Wind(5.0, 5.0)))
    low, high = wind_range(normal_listing(steady), HouseWork(steady, {}).solver(steady), 0)
    assert low < high


def test_a_file_without_wind_is_listed_as_assumed():
    still, windy = house(ONE_ROOM), house(TWO_ROOMS)
    (assumed,) = assumed_wind(still)
    assert assumed.value == pytest.approx(6.7056)  # 15 mph, by definition of the mile
    assert assumed_wind(windy) == ()
    assert reckoned_wind(windy) == windy.site.wind


def test_the_house_and_each_door_have_their_line():
    windy = house(TWO_ROOMS)
    work = HouseWork(windy, {})
    rows = wind_rows(work.survey(), work.solver(windy), work.limits(), worst_of(work.survey(), work.limits()))
    assert {row["target_kind"] for row in rows} == {"house", "door"}
    for row in rows:
        unit = "n" if row["target_kind"] == "door" else "pa"
        assert row[f"adds_low_{unit}"] <= row[f"adds_high_{unit}"]


# Worked by hand from ASHRAE Fundamentals 2021: ch. 24 eq. 4 (25 mph at the station, 10 ft eaves in a suburb: 6.17 m/s)
# and ch. 16 eq. 26 (four equal walls, wind square on: (0.6 - 0.3 - 0.65 - 0.65) / 4 = -0.25; at 45 degrees -0.037).
# A hood that holds its flow pulls alike on all four, so the house moves by the mean: that is why wind adds so little.
def test_the_house_moves_by_the_mean_of_its_four_walls():
    given = house(ONE_ROOM)
    gusty = replace(given, site=replace(given.site, wind=Wind(0.0, 25 * 0.44704)))
    listing = normal_listing(gusty)
    solve = HouseWork(gusty, {}).solver(gusty)
    calm = solve(listing.settings(np.arange(listing.size))).house_pressure()
    low, high = wind_range(listing, solve, int(np.argmin(calm)))
    velocity_pressure = 0.5 * 1.20 * 6.17**2
    assert low == pytest.approx(-0.25 * velocity_pressure, rel=0.05)
    assert high == pytest.approx(-0.037 * velocity_pressure, abs=0.15)
