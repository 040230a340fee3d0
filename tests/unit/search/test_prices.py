"""Of what an option is made, what of the wall it takes, and what it costs by a price list."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Price
from airledger.house.outdoors import weather
from airledger.search.options import FAN, HEAT_PUMP, LESS, NONE, ONE, TEMPERED, TWO, Option
from airledger.search.prices import (
    Bill,
    Part,
    bill,
    fan_duct_size,
    grille_speed,
    grille_words,
    heater_kilowatts,
    parts_of,
    powered_flow,
    tempering_heat,
    wall_space,
)
from airledger.search.slots import slots
from airledger.units import CFM, INCH
from tests.unit.search.houses import TWO_ROOMS, house

BOTH = ("range hood", "dryer")
OPENS = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=BOTH, waits=True)
BLOWS = Option(FAN, powered=True, damper="motorized", starts_with=BOTH, waits=True)


@pytest.fixture
def place():
    """A hood of 500 cfm and a dryer of 125: a fan for 625 cfm, in a 12 in duct at 4 m/s."""
    return slots(house(TWO_ROOMS))


def opening(size, damper="motorized damper", *box):
    """Cap, 15 ft of duct, damper, box, grille and hole of a size."""
    sized = [Part("wall cap", size), Part("duct", size, pytest.approx(15)), Part(damper, size), *box]
    return [*sized, Part("grille", size), Part("framed opening", size)]


SWITCHED = [Part("interlock"), Part("end-switch hold-back")]
FAN_PARTS = [Part("make-up fan", flow=pytest.approx(625 * CFM)), *opening("12 in"), Part("current-sensing switch")]


@pytest.mark.parametrize(
    ("option", "parts"),
    [
        (Option(NONE), []),
        (OPENS, [*opening("10 in"), *SWITCHED]),
        (replace(OPENS, waits=False), [*opening("10 in"), SWITCHED[0]]),
        (replace(OPENS, damper="gravity", waits=False), opening("10 in", "gravity damper")),
        (
            replace(OPENS, family=TWO, count=2, filtered=True),
            [*opening("10 in", "motorized damper", Part("filter box", "10 in")) * 2, *SWITCHED],
        ),
        (BLOWS, [*FAN_PARTS, *SWITCHED]),
        (
            replace(BLOWS, family=TEMPERED, tempered=True, count=1, diameter=8 * INCH),
            [*opening("8 in"), *FAN_PARTS, *SWITCHED, Part("tempering heater", count=8.0)],
        ),
        (Option(LESS, hood_limit=300 * CFM), [Part("hood limiter")]),
        (Option(HEAT_PUMP, heat_pump_dryer=True), [Part("heat-pump dryer", count=1)]),
    ],
)
def test_what_an_option_is_built_of(place, option, parts):
    assert list(parts_of(option, place, house(TWO_ROOMS))) == parts


def test_every_dryer_is_replaced(place):
    two = replace(place, dryers=("dryer", "guest dryer"))
    assert parts_of(Option(HEAT_PUMP, heat_pump_dryer=True), two, two.house) == (Part("heat-pump dryer", count=2),)


def test_a_fan_moves_what_starts_it_less_what_the_hood_gives_up(place):
    assert powered_flow(BLOWS, place) == pytest.approx(625 * CFM)
    assert powered_flow(replace(BLOWS, starts_with=("range hood",)), place) == pytest.approx(500 * CFM)
    assert powered_flow(replace(BLOWS, hood_limit=300 * CFM), place) == pytest.approx(425 * CFM)


@pytest.mark.parametrize(
    ("cfm", "inches"), [(50, 4), (84, 4), (88, 5), (300, 8), (350, 9), (625, 12), (1300, 16), (5000, 16)]
)
def test_a_fans_duct_is_the_first_below_five_metres_a_second_up_to_the_largest(cfm, inches):
    """A 4 in duct passes 85.9 cfm at 5 m/s (984 fpm), closed form; past 16 in there is none to buy."""
    assert fan_duct_size(cfm * CFM) == inches


def test_a_heater_goes_one_step_up_just_past_a_whole_kilowatt():
    two = house(TWO_ROOMS)
    flow = 8000 / max(tempering_heat(1.0, air) for air in weather(two))
    assert (heater_kilowatts(flow * 0.99999, two), heater_kilowatts(flow * 1.00001, two)) == (8.0, 9.0)


@pytest.mark.parametrize(
    ("inches", "words"),
    [
        (4, "8 in x 6 in"),
        (6, "12 in x 8 in"),
        (8, "16 in x 10 in"),
        (10, "20 in x 12 in"),
        (12, "22 in x 16 in"),
        (14, "26 in x 18 in"),
        (16, "32 in x 20 in"),
    ],
)
def test_a_grille_is_about_half_as_wide_again_as_high(inches, words):
    assert grille_words(inches) == words


def test_the_speed_at_the_grille(place):
    """A third of the speed in the duct; 10 in round is 0.0507 m2."""
    area = 3 * np.pi / 4 * (10 * INCH) ** 2
    assert grille_speed(0.1, OPENS, place) == pytest.approx(0.1 / area)
    assert grille_speed(0.1, replace(OPENS, family=TWO, count=2), place) == pytest.approx(0.05 / area)
    fan = 3 * np.pi / 4 * (12 * INCH) ** 2
    assert grille_speed(0.3, BLOWS, place) == pytest.approx(0.3 / fan)
    assert grille_speed(0.3, replace(BLOWS, count=1, diameter=10 * INCH), place) == pytest.approx(0.3 / (fan + area))
    assert grille_speed(0.0, Option(NONE), place) is None


@pytest.mark.parametrize(
    ("option", "wall", "cavity"),
    [
        (Option(NONE), "", ""),
        (OPENS, "10 in cap outdoors, 20 in x 12 in grille indoors", "10 in round, 14 in with 2 in of insulation"),
        (
            replace(OPENS, family=TWO, count=2),
            "2 x 10 in cap outdoors, 2 x 20 in x 12 in grille indoors",
            "10 in round, 14 in with 2 in of insulation",
        ),
        (
            replace(BLOWS, count=1, diameter=6 * INCH),
            "6 in cap and 12 in cap outdoors, 12 in x 8 in and 22 in x 16 in grille indoors",
            "12 in round, 16 in with 2 in of insulation",
        ),
        (
            replace(OPENS, diameter=4 * INCH),
            "4 in cap outdoors, 8 in x 6 in grille indoors",
            "4 in round, 8 in with 2 in of insulation",
        ),
    ],
)
def test_what_it_takes_of_the_wall(place, option, wall, cavity):
    """A 2x6 stud bay is 5 1/2 in deep: with 2 in of insulation around it no trade size fits."""
    assert wall_space(option, place) == (wall, cavity and f"{cavity}: a stud bay will not take it")


LIST = (
    Price("Wall cap", "10 in", 80.0, "mason"),
    Price("duct", "10-in", 10.0, ""),
    Price("grille", "any size", 70.0, "HVAC"),
    Price("interlock", "two machines", 240.0, "electrician"),
    Price("hood limiter", "for 600 cfm hoods", 55.0, "HVAC"),
    Price("make-up fan", "up to 1,000 cfm", 900.0, "HVAC"),
    Price("make-up fan", "500 cfm", 500.0, "HVAC"),
    Price("make-up fan", "by order", 50.0, "HVAC"),
    Price("make-up fan", "up to 800 cfm", 700.0, "HVAC"),
)


@pytest.mark.parametrize(
    ("part", "price"),
    [
        (Part("wall cap", "10 in"), 80.0),
        (Part("wall cap", "8 in"), None),  # another size is no price
        (Part("duct", "10 in", 15.0), 150.0),  # however it is written
        (Part("grille", "8 in"), 70.0),  # a line for any size
        (Part("interlock"), 240.0),
        (Part("hood limiter"), 55.0),  # a part without a size takes the line there is
        (Part("filter box", "10 in"), None),
        (Part("make-up fan", flow=400 * CFM), 500.0),  # the smallest that is enough
        (Part("make-up fan", flow=500 * CFM), 500.0),  # just enough
        (Part("make-up fan", flow=501 * CFM), 700.0),
        (Part("make-up fan", flow=999 * CFM), 900.0),
        (Part("make-up fan", flow=1001 * CFM), None),
    ],
)
def test_the_line_of_the_list_for_a_part(part, price):
    assert bill([part], LIST).price == price


def test_who_builds_it_and_what_has_no_price():
    """The list's trade before the usual one; framing is in nobody's list; each missing part is told once."""
    parts = [Part("wall cap", "10 in"), Part("duct", "10 in", 15.0), Part("framed opening", "10 in")]
    assert bill(parts, LIST) == Bill(tuple(parts), ("mason", "HVAC", "framer"), 230.0, ())
    lacking = [Part("filter box", "8 in"), Part("filter box", "8 in"), Part("end-switch hold-back")]
    assert bill(lacking, LIST) == Bill(
        tuple(lacking), ("HVAC", "electrician"), None, ("filter box 8 in", "end-switch hold-back")
    )
    doubled = [Price("interlock", "", 240.0, "electrician"), Price("interlock", "", 999.0, "electrician")]
    assert bill([Part("interlock")], doubled).price == 240.0
    equal = [Price("make-up fan", "500 cfm", 1.0, "HVAC"), Price("make-up fan", "500 cfm", 2.0, "owner")]
    assert bill([Part("make-up fan", flow=400 * CFM)], equal).price == 1.0
