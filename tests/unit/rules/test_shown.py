"""From what an instrument showed to a flow with its error."""

import math

import pytest

from airledger.errors import InputError, OutOfRange
from airledger.rules.instruments import NORMAL_95, STALE, instrument
from airledger.rules.shown import Meter, Shown, taken
from airledger.units import CFM, FOOT, INCH, INCH_OF_WATER

FPM = FOOT / 60


def meter(key, **given):
    return Meter(instrument(key), stale=False, **given)


# handbook form of the pitot formula: fpm = 4005 sqrt(inches of water) at standard air (1.204 kg/m3)
def test_a_pitot_traverse_is_4005_times_the_root_of_inches_of_water():
    area = math.pi / 4 * (6 * INCH) ** 2
    read = taken(Shown("pressure", (0.01 * INCH_OF_WATER,) * 6, area=area), meter("traverse"))
    assert read.value / area / FPM == pytest.approx(4005 * 0.1, rel=2e-3)


# University of Central Florida energy research note: cfm = 1.07 in2 sqrt(Pa)
def test_an_orifice_box_by_its_printed_formula():
    read = taken(Shown("pressure", (4.0,), area=36 * INCH**2), meter("orifice box"))
    assert read.value / CFM == pytest.approx(1.07 * 36 * 2.0, rel=2e-3)


@pytest.mark.parametrize(
    ("shown", "by", "flow"),
    [
        (Shown("flow", (0.02,)), meter("powered flow hood"), 0.02),
        (Shown("pressure", (9.0,)), meter("flow station", station_factor=0.01), 0.03),
        (Shown("time", (5.0,)), meter("timed bag", bag_volume=0.1), 0.02),
        (Shown("speed", (2.0, 2.2, 1.8), area=0.04), meter("vane meter", frame_factor=0.8), 0.064),
        (Shown("speed", (4.0, 6.0) * 3, area=0.02), meter("traverse"), 0.1),
        (Shown("pressure", (100.0,)), meter("unit's pressure taps", tap_points=((25.0, 0.02), (400.0, 0.08))), 0.04),
        (Shown("pressure", (9.5,), (0.5,)), meter("flow station", station_factor=0.01), 0.03),
    ],
)
def test_what_is_shown_becomes_a_flow_and_its_error_is_no_less_than_the_instruments(shown, by, flow):
    read = taken(shown, by)
    assert read.value == pytest.approx(flow)
    assert read.error >= by.made.of(flow, max(1, len(shown.samples))) - 1e-12


def test_an_old_calibration_counts_twice():
    fresh, old = (
        taken(Shown("flow", (0.02,)), meter("vane meter")),
        taken(Shown("flow", (0.02,)), Meter(instrument("vane meter"))),
    )
    assert old.error == pytest.approx(STALE * fresh.error)


def test_a_gauge_near_its_least_step_makes_a_plates_flow_unsure():
    plate = meter("flow station", station_factor=0.01)
    low, high = taken(Shown("pressure", (0.5,)), plate), taken(Shown("pressure", (100.0,)), plate)
    assert low.error / low.value > 3 * high.error / high.value
    # Q = k sqrt(dp): half the gauge's share is the flow's
    gauge = 0.2 / NORMAL_95 / 0.5 / 2
    assert low.error / low.value == pytest.approx(math.hypot(0.05 / NORMAL_95, gauge), rel=0.05)


def test_scatter_counts_and_steadiness_does_not_hide_what_the_instrument_is_off_by():
    steady = taken(Shown("pressure", (-10.0,) * 4, (-1.0,) * 4), meter("manometer"))
    gusty = taken(Shown("pressure", (-14.0, -6.0, -13.0, -7.0), (-1.0,) * 4), meter("manometer"))
    assert (steady.value, gusty.value) == (-9.0, -9.0)
    assert gusty.error > 5 * steady.error > 0.0


@pytest.mark.parametrize(
    ("shown", "by", "told"),
    [
        (Shown("pressure", (4.0,)), meter("orifice box"), "the size of the hole"),
        (Shown("speed", (4.0,)), meter("vane meter"), "the size of the face of the grille"),
        (Shown("pressure", (4.0,)), meter("flow station"), "the k of its plate"),
        (Shown("time", (4.0,)), meter("timed bag"), "what the bag holds"),
        (Shown("pressure", (4.0,)), meter("unit's pressure taps"), "the maker's table"),
        (Shown("time", (4.0,)), meter("vane meter"), "does not show a time"),
    ],
)
def test_what_a_method_lacks_is_told(shown, by, told):
    with pytest.raises(InputError, match=told):
        taken(shown, by)


@pytest.mark.parametrize(
    ("shown", "by"),
    [
        (Shown("pressure", (9.0,), area=0.02), meter("orifice box")),
        (Shown("pressure", (-1.0,)), meter("flow station", station_factor=0.01)),
        (Shown("pressure", (500.0,)), meter("unit's pressure taps", tap_points=((25.0, 0.02), (400.0, 0.08)))),
        (Shown("speed", (4.0, -1.0) * 3, area=0.02), meter("traverse")),
        (Shown("pressure", (4.0, -1.0) * 3, area=0.02), meter("traverse")),
    ],
)
def test_outside_a_method_nothing_is_read(shown, by):
    with pytest.raises(OutOfRange):
        taken(shown, by)


def test_thin_air_passes_a_box_faster_and_a_bag_no_faster():
    box = Shown("pressure", (4.0,), area=0.02)
    assert taken(box, meter("orifice box"), 1.0).value == pytest.approx(
        taken(box, meter("orifice box"), 1.2).value * 1.2**0.5
    )
    bag = Shown("time", (4.0,))
    by = meter("timed bag", bag_volume=0.1)
    assert taken(bag, by, 1.0) == taken(bag, by, 1.2)


# six points of a traverse are one reading of the duct, not six of it: chance is not taken out
def test_the_points_of_a_traverse_are_one_reading():
    for dimension in ("speed", "pressure"):
        six = taken(Shown(dimension, (4.0,) * 6, area=0.02), meter("traverse"))
        own = instrument("traverse").of(six.value)
        assert own <= six.error < 1.2 * own
    speeds = taken(Shown("speed", (4.0,) * 6, area=0.02), meter("traverse"))
    assert speeds.error == pytest.approx(0.05 / NORMAL_95 * 0.08)
    thrice = taken(Shown("speed", (4.0,) * 6, area=0.02, repeats=3), meter("traverse"))
    assert thrice.error == pytest.approx(speeds.error * math.sqrt(0.5 + 0.5 / 3))


def test_samples_of_one_place_take_chance_out_of_the_instrument():
    one, four = (taken(Shown("speed", (2.0,) * count, area=0.04), meter("vane meter")) for count in (1, 4))
    assert four.error == pytest.approx(one.error * math.sqrt(0.5 + 0.5 / 4))
    bag = meter("timed bag", bag_volume=0.1)
    assert taken(Shown("time", (5.0,) * 3), bag).error == pytest.approx(
        0.10 / NORMAL_95 * 0.02 * math.sqrt(0.5 + 0.5 / 3)
    )


# pitot: v = sqrt(2 p/rho), so that thin air passes faster
def test_thin_air_passes_a_pitot_traverse_faster_and_a_hot_wire_no_faster():
    pitot, wire = (Shown(what, (4.0,) * 6, area=0.02) for what in ("pressure", "speed"))
    assert taken(pitot, meter("traverse"), 1.0).value == pytest.approx(
        taken(pitot, meter("traverse"), 1.2).value * 1.2**0.5
    )
    assert taken(wire, meter("traverse"), 1.0) == taken(wire, meter("traverse"), 1.2)


# by hand: v = sqrt(2 p/1.204); a gauge of 0.2 Pa (95 in 100) at 0.25 Pa moves the mean of the roots
def test_a_pitot_near_its_gauges_least_step_is_unsure():
    low = taken(Shown("pressure", (0.25,) * 6, area=0.02), meter("traverse"))
    gauge = 0.2 / NORMAL_95
    roots = (math.sqrt(0.25 + gauge) - math.sqrt(0.25 - gauge)) / 2
    own = 0.05 / NORMAL_95 * low.value
    assert low.error == pytest.approx(math.hypot(own, 0.02 * math.sqrt(2 / 1.204) * roots))
    nothing = taken(Shown("pressure", (0.0,) * 6, area=0.02), meter("traverse"))
    assert (nothing.value, nothing.error) == (0.0, pytest.approx(0.02 * math.sqrt(2 / 1.204 * gauge) / 2, rel=0.01))


@pytest.mark.parametrize(
    ("shown", "by", "told"),
    [
        (Shown("pressure", (4.0,)), "orifice box", "the orifice box wants the size of the hole"),
        (Shown("speed", (4.0,) * 6), "traverse", "the traverse wants the size of the duct"),
        (Shown("speed", (4.0,)), "vane meter", "the vane meter wants the size of the face of the grille"),
        (Shown("speed", (4.0,)), "manometer", "a manometer does not show a speed"),
    ],
)
def test_what_is_missing_in_full(shown, by, told):
    with pytest.raises(InputError) as missing:
        taken(shown, meter(by))
    assert str(missing.value) == told
