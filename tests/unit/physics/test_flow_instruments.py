"""Flows from what is read on site: profiles against integrals, limiting cases, refusals."""

import numpy as np
import pytest
from scipy.integrate import quad

from airledger.errors import InputError, OutOfRange
from airledger.physics.flow_instruments import (
    Read,
    bag_flow,
    box_flow,
    handed_on,
    net_reading,
    pitot_flow,
    rectangular_traverse,
    round_traverse,
    station_flow,
    swing_flow,
    tap_flow,
    traverse_flow,
    vane_flow,
)
from airledger.physics.leakage import leakage_pressure


# independent witness: scipy.integrate over the power-law profile of turbulent air, exponents from 1/6 to 1/9
@pytest.mark.parametrize("rule", ["log-linear", "log-Tchebycheff"])
@pytest.mark.parametrize("points", [6, 8, 10])
@pytest.mark.parametrize("power", [1 / 6, 1 / 7, 1 / 9])
def test_a_round_traverse_meets_the_integral_of_a_turbulent_profile(points, power, rule):
    def speed(y):
        return min(y, 1 - y) ** power  # y over the diameter from the near wall

    true, _ = quad(lambda r: 2 * r * (0.5 * (1 - r)) ** power, 0, 1)
    read = [speed(y) for y in round_traverse(1.0, points, rule)]
    assert traverse_flow(read, 1.0) == pytest.approx(true, rel=0.01)


@pytest.mark.parametrize("points", [5, 6, 7])
@pytest.mark.parametrize("power", [1 / 6, 1 / 7, 1 / 9])
def test_a_rectangular_traverse_meets_the_integral_of_a_turbulent_profile(points, power):
    true, _ = quad(lambda y: min(y, 1 - y) ** power, 0, 1, points=[0.5])
    read = [min(y, 1 - y) ** power for y in rectangular_traverse(1.0, points)]
    assert np.mean(read) == pytest.approx(true, rel=0.012)


CHEBYSHEV = {
    2: (-(3**-0.5), 3**-0.5),
    3: (-(0.5**0.5), 0.0, 0.5**0.5),
    4: (-0.794654, -0.187592, 0.187592, 0.794654),
    5: (-0.832497, -0.374541, 0.0, 0.374541, 0.832497),
}
"""Chebyshev's equal-weight nodes on -1 to 1 (numerical handbooks; the next test proves them)."""


@pytest.mark.parametrize("count", CHEBYSHEV)
def test_equal_weights_at_chebyshevs_nodes_are_exact_to_their_degree(count):
    for degree in range(count + 1):
        exact = (1 - (-1) ** (degree + 1)) / (2 * (degree + 1))
        assert np.mean(np.array(CHEBYSHEV[count]) ** degree) == pytest.approx(exact, abs=2e-6)


def over_ring(law, low, high):
    """Mean of a law of the depth over the ring between two shares of the area, s = (r/R)^2."""
    return quad(lambda s: law(0.5 * (1 - s**0.5)), low, high)[0] / (high - low)


# independent derivation: the wall's share of the area follows a logarithm, the core a polynomial with equal weights
@pytest.mark.parametrize("count", [5, 6, 7])
def test_a_log_tchebycheff_traverse_over_a_side_follows_from_its_construction(count):
    wall = 1 / count / np.e  # mean of ln y over 0 to 1/n is ln(1/n) - 1
    core = 0.5 + (0.5 - 1 / count) * np.array(CHEBYSHEV[count - 2])
    assert rectangular_traverse(1.0, count) == pytest.approx([wall, *core, 1 - wall], abs=0.00051)


@pytest.mark.parametrize("count", [6, 8, 10])
def test_a_log_tchebycheff_traverse_over_a_diameter_follows_from_its_construction(count):
    rings = count // 2
    wall = np.exp(over_ring(np.log, 1 - 1 / rings, 1))
    core = 0.5 * (1 - np.sqrt((1 - 1 / rings) * 0.5 * (1 + np.array(CHEBYSHEV[rings - 1]))))
    near = sorted([wall, *core])
    assert round_traverse(1.0, count, "log-Tchebycheff")[:rings] == pytest.approx(near, abs=0.00051)


# independent derivation: in each ring two points carry A + B ln y + C y exactly; a ring of one point A + B ln y
@pytest.mark.parametrize(
    ("count", "single", "pairs"),
    [(6, (2 / 3,), ((0, 2 / 3),)), (8, (), ((0.5, 1), (0, 0.5))), (10, (0.8,), ((0.4, 0.8), (0, 0.4)))],
)
def test_a_log_linear_traverse_over_a_diameter_follows_from_its_construction(count, single, pairs):
    near = [np.exp(over_ring(np.log, low, 1)) for low in single]
    for low, high in pairs:
        middle, product = over_ring(lambda y: y, low, high), np.exp(2 * over_ring(np.log, low, high))
        near += [middle - np.sqrt(middle**2 - product), middle + np.sqrt(middle**2 - product)]
    assert round_traverse(1.0, count)[: count // 2] == pytest.approx(sorted(near), abs=0.00051)


@pytest.mark.parametrize(("traverse", "numbers"), [(round_traverse, (6, 8, 10)), (rectangular_traverse, (5, 6, 7))])
def test_points_lie_alike_from_both_walls_and_inside(traverse, numbers):
    for points in numbers:
        depths = traverse(0.2, points)
        assert len(depths) == points
        assert list(depths) == sorted(depths)
        assert np.array(depths) + np.array(depths[::-1]) == pytest.approx(np.full(points, 0.2))
        assert 0 < depths[0] < depths[-1] < 0.2


def test_who_names_no_number_of_points_gets_the_fewest_that_are_printed():
    assert round_traverse(0.15) == round_traverse(0.15, 6)
    assert rectangular_traverse(0.3) == rectangular_traverse(0.3, 5)


def test_air_that_moves_alike_everywhere_is_area_times_speed():
    assert traverse_flow([2.0] * 12, 0.05) == pytest.approx(0.1)
    assert traverse_flow([2] * 12, 0.05) == pytest.approx(0.1)  # a meter that shows whole numbers


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


def test_the_mean_of_speeds_is_not_the_speed_of_the_mean_pressure():
    uneven = [2.0, 8.0, 18.0]  # speeds as 1 : 2 : 3
    assert pitot_flow(uneven, 0.05, 1.0) == pytest.approx(0.05 * 4.0)
    assert pitot_flow(uneven, 0.05, 1.0) < 0.05 * np.sqrt(2 * np.mean(uneven))
    assert pitot_flow([2, 8, 18], 0.05, 1.0) == pitot_flow(uneven, 0.05, 1.0)


# closed form: half of 1.204 kg/m3 (room air, 20 degC) times the square of the speed
@pytest.mark.parametrize("speed", [0.0, 0.5, 1.0, 4.0])
def test_a_pitot_tube_in_room_air_reads_half_the_density_times_the_square_of_the_speed(speed):
    assert pitot_flow([0.5 * 1.204 * speed**2] * 3, 0.02) == pytest.approx(0.02 * speed)


def test_a_box_holds_up_to_its_last_pressure():
    assert box_flow(8.0, 0.01) == pytest.approx(2**0.5 * float(box_flow(4.0, 0.01)))
    assert box_flow(0.5, 0.01) == pytest.approx(0.25 * float(box_flow(8.0, 0.01)))
    assert box_flow(0.0, 0.01) == 0.0


# closed form of the orifice
def test_thin_air_goes_through_a_box_faster():
    assert box_flow(4.0, 0.01, 1.0) == pytest.approx(0.607 * 0.01 * 8.0**0.5)
    assert box_flow(4.0, 0.01, 1.0) == pytest.approx(1.204**0.5 * float(box_flow(4.0, 0.01)))


def test_a_frame_takes_its_share_of_a_vanes_flow():
    assert vane_flow(2.0, 0.02, 0.8) == pytest.approx(0.032)
    assert vane_flow(2.0, 0.02) == pytest.approx(0.04)
    assert vane_flow(0.3, 0.02) == pytest.approx(0.006)  # a bedroom's grille
    assert vane_flow(0.0, 0.02) == 0.0


TABLE = [(20.0, 0.030), (50.0, 0.050), (90.0, 0.068), (140.0, 0.080)]


def test_a_makers_table_gives_its_own_rows_back_and_rises_between_them():
    assert [tap_flow(pressure, TABLE) for pressure, _ in TABLE] == pytest.approx([flow for _, flow in TABLE])
    between = tap_flow(np.linspace(20.0, 140.0, 500), TABLE)
    assert (np.diff(between) > 0).all()
    falling = [(pressure, 0.1 - flow) for pressure, flow in TABLE]
    assert (np.diff(tap_flow(np.linspace(20.0, 140.0, 500), falling)) < 0).all()


def test_a_table_made_by_a_power_law_gives_that_law_back():
    made = [(pressure, 0.01 * pressure**0.6) for pressure in (10.0, 40.0, 160.0)]
    assert tap_flow(77.0, made) == pytest.approx(0.01 * 77.0**0.6)


def test_a_table_may_be_in_whole_numbers_and_in_small_steps():
    assert tap_flow(20, [(10, 1), (40, 2)]) == pytest.approx(2**0.5)
    close = [(1.0, 0.010), (1.5, 0.012), (2.0, 0.014)]
    assert tap_flow(1.5, close) == pytest.approx(0.012)


@pytest.mark.parametrize("odd", [19.9, 140.1, float("nan")])
def test_no_table_speaks_beyond_its_ends(odd):
    with pytest.raises(OutOfRange) as told:
        tap_flow(odd, TABLE)
    words = f"pressure at the unit's taps {odd:g} Pa is outside 20 to 140 Pa, where the method holds"
    assert str(told.value) == words


NUMBERS = "a table of taps wants two rows or more of pressure and flow, all above 0"
ORDER = "a table of taps wants its pressures rising and its flows all rising or all falling"


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([(20.0, 0.03)], NUMBERS),
        ([(0.0, 0.03), (10.0, 0.05)], NUMBERS),
        ([(20.0, 0.03), (float("inf"), 0.05)], NUMBERS),
        ([(50.0, 0.05), (20.0, 0.03)], ORDER),
        ([(20.0, 0.03), (20.0, 0.05)], ORDER),
        ([(20.0, 0.03), (50.0, 0.05), (90.0, 0.04)], ORDER),
        ([(20.0, 0.03), (50.0, 0.03)], ORDER),
    ],
)
def test_a_table_that_cannot_be_read_is_refused_word_for_word(rows, words):
    with pytest.raises(InputError) as told:
        tap_flow(30.0, rows)
    assert str(told.value) == words


def test_a_baseline_is_taken_off_and_its_scatter_counts():
    read = net_reading([-6.0, -5.0, -7.0], [-1.0, -2.0, -1.5], 0.2)
    assert read.value == pytest.approx(-4.5)
    assert read.error == pytest.approx(np.sqrt(0.2**2 + 1.0 / 3 + 0.25 / 3))
    assert net_reading([4.0], [], 0.3) == Read(4.0, 0.3)
    assert net_reading([4.0, 4.4], [], 0.3).error == pytest.approx(np.sqrt(0.3**2 + 0.08 / 2))  # two show a scatter
    many = net_reading([4.0, 4.2] * 5000, [], 0.3)
    assert many.error == pytest.approx(0.3, abs=1e-3)  # what the gauge is off by stays


def test_a_flow_hands_on_what_its_givens_are_off_by():
    station = handed_on(station_flow, Read(0.01, 0.0003), Read(25.0, 1.0))
    assert station.value == pytest.approx(0.05)
    assert station.error / station.value == pytest.approx(np.hypot(0.03, 0.5 * 0.04), rel=1e-3)  # half of that of dp
    bag = handed_on(bag_flow, Read(0.3, 0.009), Read(6.0, 0.24))
    assert bag.error / bag.value == pytest.approx(np.hypot(0.03, 0.04), rel=2e-3)
    vane = handed_on(vane_flow, Read(2.0, 0.1), Read(0.02, 0.0), Read(0.8, 0.08))
    assert vane.error / vane.value == pytest.approx(np.hypot(0.05, 0.1))


def test_a_flow_without_errors_has_none():
    assert handed_on(bag_flow, Read(0.3, 0.0), Read(6.0, 0.0)) == Read(pytest.approx(0.05), 0.0)


def test_near_zero_and_at_a_tables_end_the_side_that_holds_counts_whole():
    near = handed_on(station_flow, Read(0.01, 0.0), Read(0.1, 0.2))
    assert near.error == pytest.approx(0.01 * (0.3**0.5 - 0.1**0.5))
    end = handed_on(lambda pressure: tap_flow(pressure, TABLE), Read(140.0, 2.0))
    assert end.error == pytest.approx(0.080 - float(tap_flow(138.0, TABLE)))
    still = handed_on(lambda on, off: swing_flow(0.02, 0.65, on, off), Read(0.0, 0.2), Read(0.0, 0.2))
    assert still.error == pytest.approx(np.sqrt(2) * 0.02 * 0.2**0.65)  # a slope without bound, an error with one


# independent witness: a million seeded readings
def test_what_a_swing_hands_on_is_what_a_simulation_shows():
    chance = np.random.default_rng(4)
    givens = [Read(0.02, 0.0008), Read(0.65, 0.01), Read(-8.0, 0.4), Read(-1.5, 0.3)]
    drawn = [given.value + given.error * chance.standard_normal(1_000_000) for given in givens]
    assert handed_on(swing_flow, *givens).error == pytest.approx(float(np.std(swing_flow(*drawn))), rel=0.01)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (
            lambda: round_traverse(0.2, 6, "even"),
            "no rule for a traverse is called 'even'; there are: log-linear, log-T",
        ),
        (lambda: pitot_flow([4.0, -1.0], 0.05), "velocity pressure at a point of a traverse -1 Pa is outside 0"),
        (lambda: pitot_flow([4.0], 0.05, 0.0), "density of the air in the duct 0 kg/m3 is outside 0"),
        (lambda: box_flow(8.1, 0.01), "pressure in an orifice box 8.1 Pa is outside 0 to 8 Pa"),
        (lambda: box_flow(-0.1, 0.01), "pressure in an orifice box -0.1 Pa is outside 0 to 8 Pa"),
        (lambda: vane_flow(-1.0, 0.02), "speed that a vane meter reads -1 m/s is outside 0"),
        (lambda: vane_flow(1.0, 0.02, 0.0), "frame factor of a vane meter 0 - is outside 0"),
        (lambda: net_reading([], [], 0.1), "samples of a reading 0 samples is outside 1"),
        (lambda: net_reading([1.0], [], -0.1), "error of a gauge -0.1 - is outside 0"),
        (lambda: handed_on(box_flow, Read(4.0, 5.0), Read(0.01, 0.0)), "error of a given 5 - is outside 0 to 4 -"),
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
