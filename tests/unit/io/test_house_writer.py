"""The house file that answers lead to: readable, and equal when it is read back."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import InputError
from airledger.house.from_answers import house_from_answers
from airledger.house.house import Limit, Limits
from airledger.io.answers import answers_from_text
from airledger.io.house_file import loads
from airledger.io.house_writer import house_text, typed
from airledger.units import FOOT, INCH, INCH_OF_WATER, parse


def made(**more):
    lines = {"floor area": "2480 ft2", "exhausts": "hood 600 cfm; dryer", "appliances": "none", **more}
    return house_from_answers(answers_from_text("\n".join(f"{k}: {v}" for k, v in lines.items()), "answers.yaml"))


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"place": "Homestead, Florida", "ventilator": "ERV 150 cfm", "ceiling": "9 ft 6 in"},
        {"place": "Duluth, Minnesota", "ventilator": "HRV", "storeys": "two", "tightness": "300 cfm50"},
        {"exhausts": "hood not picked; 2 dryers; dryer heat pump; open fireplace; fan 100 cfm; bath fans"},
        {"appliances": "gas cooktop; gas water heater; wood stove; propane furnace power vent", "ceiling": "23561 ft3"},
        {"exhausts": "hood 283 L/s; vacuum", "tightness": "0.6 to 1.8 (likely 1.1)", "floor area": "231.7 m2"},
        {"house": '"Lot 7: the # one"', "exhausts": "none", "entry door swings": "out"},
        {"exhausts": "gas fireplace with glass; hood 250/500/900 cfm", "ventilator": "ERV 70 / 160 cfm"},
    ],
)
def test_the_written_file_reads_back_as_the_same_house(more):
    found = made(**more)
    assert loads(house_text(found.house, found.assumed)) == found.house


def test_what_was_assumed_is_marked_where_it_stands():
    found = made(place="Homestead, Florida")
    text = house_text(found.house, found.assumed)
    assert "a regular vented dryer; of the usual flows the larger" in text
    assert text.count("# assumed:") >= 6
    assert max(len(line) for line in text.splitlines()) <= 130


def test_a_house_that_says_more_is_refused_and_not_cut_short():
    found = made()
    more = replace(found.house, limits=Limits(house_pressure=Limit(-5.0, -10.0)))
    with pytest.raises(InputError, match="written by hand"):
        house_text(more, found.assumed)


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (parse("9 ft 6 in", "length"), "length", "9 ft 6 in"),
        (9 * FOOT, "length", "9 ft"),
        (10 * INCH, "length", "10 in"),
        (0.4 * INCH_OF_WATER, "pressure", "0.4 inwc"),
        (parse("91 F", "temperature"), "temperature", "91 F"),
        (parse("35 %", "fraction"), "fraction", "35 %"),
        (parse("283 L/s", "flow"), "flow", "283 L/s"),
    ],
)
def test_quantities_are_written_as_people_say_them(value, dimension, text):
    assert typed(value, dimension) == text


@given(st.floats(1e-3, 50), st.sampled_from(["length", "flow", "area"]))
def test_any_quantity_reads_back_as_the_very_same_number(value, dimension):
    assert parse(typed(value, dimension), dimension) == value
