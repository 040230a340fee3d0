"""What wind adds at the house, at each door and each appliance, read side by side; and the wind that is taken."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Wind
from airledger.house.operating_state import WIND_FROM, WIND_SPEED
from airledger.quantities import in_units
from airledger.runs.work import HouseWork
from airledger.search.limits import limits
from airledger.search.wind import (
    BREEZE,
    SIDES,
    added_by_wind,
    assumed_wind,
    reckoned_wind,
    wind_rows,
    wind_words,
    windy,
)
from airledger.search.worst import Worst, signed_force
from airledger.sources import Assumption, Source
from tests.unit.search.houses import ONE_ROOM, TWO_ROOMS, house
from tests.unit.search.test_worst_values import FOUR_MACHINES, made_up

WINDY = FOUR_MACHINES.replace("speed: 5 to 10 mph, from: west", "speed: 0 to 10 mph, from: any")
COLUMNS = ("adds_low_pa", "adds_high_pa", "adds_low_n", "adds_high_n")
WORST = (
    Worst("house", "house", -20.0, 7),
    Worst("living", "room", -20.0, 7),
    Worst("entry door", "door", 40.0, 90),
    Worst("back door", "door", -30.0, 91),
    Worst("bedroom door", "door", 0.5, 92),
    Worst("water heater", "appliance", -4.0, 120),
    Worst("stove", "appliance", -5.0, 121),
)


def with_wind(wind):
    given = house(WINDY)
    return replace(given, site=replace(given.site, wind=wind))


@pytest.fixture
def rows_of():
    """Rows of a house in a wind, with its solver and the survey they are about."""

    def rows(wind, worst=WORST):
        found = made_up()
        blown = with_wind(wind)
        found = replace(found, listing=replace(found.listing, house=blown))
        solve = HouseWork(windy(blown), {}).solver(windy(blown))
        return wind_rows(found, solve, limits(blown), worst), found, solve

    return rows


def alone(found, solve, one, wind):
    """What wind adds to one worst state, each side solved by itself: from, to."""
    settings = found.listing.settings(np.array([one.place]))

    def read(state):
        if one.kind == "door":
            return float(signed_force(solve(state), one.target)[0])
        room = {"water heater": "bedroom", "stove": "living"}.get(one.target)
        seen = solve(state)
        return float((seen.room_pressure(room) if room else seen.house_pressure())[0])

    sides = SIDES if wind.direction is None else (wind.direction,)
    calm = read(settings.with_({WIND_SPEED: 0.0, WIND_FROM: 0.0}))
    added = [read(settings.with_({WIND_SPEED: wind.high, WIND_FROM: side})) - calm for side in sides]
    return min(added), max(added)


@pytest.mark.parametrize(
    "wind", [Wind(0.0, 4.4704), Wind(0.0, 0.7), Wind(2.0, 8.0, 270.0)], ids=["any", "light", "west"]
)
def test_each_line_is_what_its_own_state_gains_side_by_side(wind, rows_of):
    rows, found, solve = rows_of(wind)
    told = [one for one in WORST if one.kind != "room"]
    assert [(row["target"], row["target_kind"]) for row in rows] == [(one.target, one.kind) for one in told]
    for row, one in zip(rows, told, strict=True):
        low, high = alone(found, solve, one, wind)
        if one.target == "back door":  # thrown open: what adds to the throw is more
            low, high = -high, -low
        has, lacks = ("n", "pa") if one.kind == "door" else ("pa", "n")
        assert (row[f"adds_low_{has}"], row[f"adds_high_{has}"]) == pytest.approx((low, high), abs=1e-9)
        assert row[f"adds_low_{lacks}"] is row[f"adds_high_{lacks}"] is None
        assert (row["wind_ms"], row["wind"]) == (wind.high, "from the file")
        assert set(row) == {"target", "target_kind", "wind_ms", "wind", *COLUMNS}


def test_a_wind_that_nobody_told_is_told_as_assumed(rows_of):
    rows, found, solve = rows_of(None, WORST[:1])
    (row,) = rows
    assert (row["wind_ms"], row["wind"]) == (pytest.approx(15 * 0.44704), "assumed")
    assert (row["adds_low_pa"], row["adds_high_pa"]) == pytest.approx(
        alone(found, solve, WORST[0], Wind(0.0, 15 * 0.44704)), abs=1e-9
    )


def test_a_calm_site_and_rooms_alone_have_no_lines(rows_of):
    assert rows_of(Wind(0.0, 0.0))[0] == []
    assert rows_of(Wind(0.0, 4.0), WORST[1:2])[0] == []


def test_one_state_gains_what_its_line_says():
    blown = with_wind(Wind(0.0, 0.7))
    found = made_up()
    solve = HouseWork(blown, {}).solver(blown)
    settings = found.listing.settings(np.array([WORST[5].place]))
    added = added_by_wind(blown, solve, settings, lambda seen: seen.room_pressure("bedroom"))
    assert added == pytest.approx(alone(found, solve, WORST[5], Wind(0.0, 0.7)), abs=1e-9)


def test_the_wind_that_is_taken_stands_in_the_house_it_is_reckoned_with():
    still, told = house(ONE_ROOM), house(TWO_ROOMS)
    assert reckoned_wind(still) == Wind(0.0, BREEZE)
    assert windy(still) == replace(still, site=replace(still.site, wind=Wind(0.0, BREEZE)))
    assert windy(told) == told


def test_the_wind_that_is_taken_is_listed_as_assumed():
    assert assumed_wind(house(ONE_ROOM)) == (
        Assumption(
            "site / wind / speed",
            15 * 0.44704,  # 15 mph, by definition of the mile
            "m/s",
            "not given: told beside the verdicts, which are in calm air",
            Source("a fresh day's wind", "practice"),
        ),
    )


def test_the_wind_in_words():
    assert in_units(wind_words(house(TWO_ROOMS)), "ip") == "A 10 mph wind"
    assert in_units(wind_words(house(ONE_ROOM)), "ip") == "A 15 mph wind (assumed: the file gives none)"
