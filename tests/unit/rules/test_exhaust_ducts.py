"""How long a duct may be: the cells without a number, and what lies between the printed ones.

IRC table M1504.2 [published; rows of 7 and 8 in restated]; its numbers: cases/exhaust_ducts.toml.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import InputError, OutOfRange
from airledger.rules.exhaust_ducts import FLEX, SMOOTH, dryer_duct, exhaust_duct
from airledger.units import CFM, FOOT, INCH

RATINGS = (50, 80, 100, 125, 150, 200, 250, 300)
NOT_ALLOWED = {  # size in inches -> the first rating with an X
    FLEX: {3: 50, 4: 100, 5: 200, 6: 300},
    SMOOTH: {3: 80, 4: 125, 5: 250},
}
NO_LIMIT = {  # size in inches -> the last rating with NL
    FLEX: {5: 50, 6: 80, 7: 125, 8: 150},
    SMOOTH: {5: 50, 6: 100, 7: 150, 8: 200},
}


@pytest.mark.parametrize("made_of", [FLEX, SMOOTH])
@pytest.mark.parametrize("inches", [3, 4, 5, 6, 7, 8])
@pytest.mark.parametrize("rating", RATINGS)
def test_where_the_table_prints_no_number(made_of, inches, rating):
    found = exhaust_duct(rating * CFM, inches * INCH, made_of)
    assert found.allowed == (rating < NOT_ALLOWED[made_of].get(inches, 1000))
    assert (found.length == 0.0) == (not found.allowed)
    assert math.isinf(found.length) == (rating <= NO_LIMIT[made_of].get(inches, 0))
    assert found.source.confirmed
    assert found.section == "table M1504.2 (older M1506.2)"


def test_between_two_ratings_the_higher_and_between_two_sizes_the_smaller_counts():
    assert exhaust_duct(81 * CFM, 4 * INCH, SMOOTH).length == pytest.approx(10 * FOOT)
    assert exhaust_duct(20 * CFM, 4 * INCH, SMOOTH).length == pytest.approx(114 * FOOT)
    assert exhaust_duct(150 * CFM, 5.9 * INCH, FLEX).length == pytest.approx(2 * FOOT)
    assert exhaust_duct(300 * CFM, 10 * INCH, SMOOTH).length == pytest.approx(133 * FOOT)


def test_elbows_take_15_ft_each_and_may_end_it():
    assert exhaust_duct(100 * CFM, 4 * INCH, SMOOTH, 0).allowed
    assert not exhaust_duct(100 * CFM, 4 * INCH, SMOOTH, 1).allowed
    assert math.isinf(exhaust_duct(50 * CFM, 5 * INCH, FLEX, 12).length)


@given(st.floats(1 * CFM, 300 * CFM), st.floats(3 * INCH, 8 * INCH), st.integers(0, 6))
def test_smooth_is_never_shorter_than_flex_and_a_stronger_fan_never_gets_more(flow, size, elbows):
    smooth, flex = (exhaust_duct(flow, size, made_of, elbows).length for made_of in (SMOOTH, FLEX))
    assert smooth >= flex
    assert exhaust_duct(min(1.3 * flow, 300 * CFM), size, SMOOTH, elbows).length <= smooth


def test_a_dryers_duct_may_be_used_up_by_its_bends():
    assert dryer_duct([("mitered", 90)] * 6).length == pytest.approx(5 * FOOT)
    assert not dryer_duct([("mitered", 90)] * 7).allowed
    assert dryer_duct([("mitered", 90)], 25 * FOOT).length == pytest.approx(20 * FOOT)  # older codes


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: exhaust_duct(301 * CFM, 0.2, SMOOTH), OutOfRange, "rating of the fan"),
        (lambda: exhaust_duct(0.0, 0.2, SMOOTH), OutOfRange, "rating of the fan"),
        (lambda: exhaust_duct(50 * CFM, 2.9 * INCH, SMOOTH), OutOfRange, "diameter"),
        (lambda: exhaust_duct(50 * CFM, 0.2, SMOOTH, -1), OutOfRange, "elbows"),
        (lambda: exhaust_duct(50 * CFM, 0.2, "wood"), InputError, "a duct is smooth or flex, not 'wood'"),
        (lambda: dryer_duct([("mitered", 30)]), InputError, "no bend mitered of 30 degrees; there are: mitered 45"),
    ],
)
def test_what_the_table_does_not_speak_of_is_refused(call, error, words):
    with pytest.raises(error, match=words):
        call()
