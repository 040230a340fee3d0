"""Flows from what is read on site: profiles against integrals, limiting cases, refusals."""

import numpy as np
import pytest
from scipy.integrate import quad

from airledger.errors import InputError, OutOfRange
from airledger.physics.flow_instruments import (
    bag_flow,
    rectangular_traverse,
    round_traverse,
    station_flow,
    swing_flow,
    traverse_flow,
)
from airledger.physics.leakage import leakage_pressure


# independent witness: scipy.integrate over the power-law profile of turbulent air, exponents from 1/6 to 1/9
@pytest.mark.parametrize("points", [6, 8, 10])
@pytest.mark.parametrize("power", [1 / 6, 1 / 7, 1 / 9])
def test_a_round_traverse_meets_the_integral_of_a_turbulent_profile(points, power):
    def speed(y):
        return min(y, 1 - y) ** power  # y over the diameter from the near wall

    true, _ = quad(lambda r: 2 * r * (0.5 * (1 - r)) ** power, 0, 1)
    read = [speed(y) for y in round_traverse(1.0, points)]
    assert traverse_flow(read, 1.0) == pytest.approx(true, rel=0.01)


@pytest.mark.parametrize("points", [5, 6, 7])
@pytest.mark.parametrize("power", [1 / 6, 1 / 7, 1 / 9])
def test_a_rectangular_traverse_meets_the_integral_of_a_turbulent_profile(points, power):
    true, _ = quad(lambda y: min(y, 1 - y) ** power, 0, 1, points=[0.5])
    read = [min(y, 1 - y) ** power for y in rectangular_traverse(1.0, points)]
    assert np.mean(read) == pytest.approx(true, rel=0.012)


@pytest.mark.parametrize(("traverse", "numbers"), [(round_traverse, (6, 8, 10)), (rectangular_traverse, (5, 6, 7))])
def test_points_lie_alike_from_both_walls_and_inside(traverse, numbers):
    for points in numbers:
        depths = traverse(0.2, points)
        assert len(depths) == points
        assert list(depths) == sorted(depths)
        assert np.array(depths) + np.array(depths[::-1]) == pytest.approx(np.full(points, 0.2))
        assert 0 < depths[0] < depths[-1] < 0.2


def test_air_that_moves_alike_everywhere_is_area_times_speed():
    assert traverse_flow([2.0] * 12, 0.05) == pytest.approx(0.1)


def test_a_station_reads_twice_at_four_times_the_pressure():
    assert station_flow(0.01, 40.0) == pytest.approx(2 * station_flow(0.01, 10.0))
    assert station_flow(0.01, 0.0) == 0.0


def test_a_bag_and_a_watch():
    assert bag_flow(0.30, 6.0) == pytest.approx(0.05)


def test_the_swing_of_a_house_tells_what_a_unit_takes_out():
    off, on = -1.2, -1.2 - 4.0
    net = swing_flow(0.02, 0.65, on, off)
    assert net > 0
    assert swing_flow(0.02, 0.65, off, off) == 0.0
    alone = swing_flow(0.02, 0.65, -float(leakage_pressure(0.05, 0.02, 0.65)), 0.0)
    assert alone == pytest.approx(0.05)
    assert swing_flow(0.02, 0.65, 3.0, 0.0) < 0  # pushed up: it brings more in than out


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: round_traverse(0.2, 7), "a traverse of 7 points is not printed; there are: 6, 8, 10"),
        (lambda: rectangular_traverse(0.2, 4), "a traverse of 4 points is not printed; there are: 5, 6, 7"),
        (lambda: traverse_flow([], 0.05), "points of a traverse 0 points is outside 1 to inf points"),
        (
            lambda: traverse_flow([1.0, -0.2], 0.05),
            "air speed at a point of a traverse -0.2 m/s is outside 0 to inf m/s",
        ),
        (lambda: station_flow(0.01, -1.0), "pressure at a flow station -1 Pa is outside 0 to inf Pa"),
        (lambda: bag_flow(0.3, 0.0), "time to fill a bag 0 s is outside 0 to inf s"),
    ],
)
def test_what_cannot_be_is_refused_word_for_word(call, words):
    with pytest.raises((InputError, OutOfRange)) as told:
        call()
    assert str(told.value).startswith(words)
