"""What wind adds beside a verdict in calm air."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Wind
from airledger.house.operating_state import WIND_FROM, WIND_SPEED
from airledger.runs.work import HouseWork
from airledger.search.states import normal_listing
from airledger.search.wind import SIDES, wind_range
from tests.unit.search.houses import ONE_ROOM, TWO_ROOMS, house


def test_without_wind_there_is_nothing_to_add():
    calm = house(ONE_ROOM)
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
