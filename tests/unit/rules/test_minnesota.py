"""Minnesota's make-up air: which column, which opening, which section. Printed values: cases/minnesota.toml."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import InputError, OutOfRange
from airledger.rules.minnesota import (
    COLUMNS,
    column,
    counted_ratings,
    era,
    make_up_quantity,
    meant,
    opening,
    straight_length,
)
from airledger.units import CFM, FOOT, INCH

ratings = st.lists(st.floats(0.0, 1500 * CFM), max_size=4)
areas = st.floats(50.0, 1000.0)


# Minnesota Rules 1346.0501 table 501.4.1 [published]: atmospheric, solid fuel, fan-assisted -> column
@pytest.mark.parametrize(
    ("inside", "expected"),
    [
        ((0, 0, 0), "A"), ((0, 0, 1), "B"), ((0, 0, 3), "B"), ((1, 0, 0), "C"), ((0, 1, 0), "C"), ((1, 0, 2), "C"),
        ((2, 0, 0), "D"), ((0, 2, 0), "D"), ((1, 1, 0), "D"),
    ],
)  # fmt: skip
def test_the_column_is_by_what_burns_inside(inside, expected):
    assert column(*inside) == expected
    assert meant(column(*inside))


def test_past_the_last_opening_only_a_fan_may_bring_the_air():  # table 501.4.2, last row [published]
    for name, most in zip(COLUMNS, (679, 419, 290, 179), strict=True):
        last = opening(name, most * CFM)
        assert (last.kind, last.diameter) == ("motorized damper", pytest.approx(11 * INCH))
        past = opening(name, (most + 1) * CFM)
        assert (past.kind, past.diameter, past.flex_diameter) == ("powered", None, None)


def test_an_opening_over_eight_inches_has_a_motorized_damper():  # notes of table 501.4.2 [published]
    kinds = {opening("A", flow * CFM).diameter: opening("A", flow * CFM).kind for flow in range(1, 680)}
    assert {kind for size, kind in kinds.items() if size > 8.01 * INCH} == {"motorized damper"}
    assert {kind for size, kind in kinds.items() if size < 8.01 * INCH} == {"passive"}


def test_between_two_printed_flows_the_larger_duct_counts():
    assert opening("C", 28.4 * CFM).diameter == opening("C", 29 * CFM).diameter


@given(st.floats(1 * CFM, 800 * CFM), st.floats(1.0, 2.0))
def test_more_air_never_gets_a_smaller_duct_and_what_burns_never_a_smaller_one(flow, more):
    def size(name, wanted):
        found = opening(name, wanted).diameter
        return float("inf") if found is None else found

    for name in COLUMNS:
        assert size(name, flow * more) >= size(name, flow)
    sizes = [size(name, flow) for name in COLUMNS]
    assert sizes == sorted(sizes)


@given(areas, ratings, st.floats(0.0, 100 * CFM))
def test_what_burns_asks_for_more_air_and_a_bigger_house_for_less(area, moved, continuous):
    asked = [make_up_quantity(name, area, moved, continuous) for name in COLUMNS]
    assert asked == sorted(asked)
    for name in COLUMNS:
        assert make_up_quantity(name, 1.5 * area, moved, continuous) < make_up_quantity(name, area, moved, continuous)
        one_more = make_up_quantity(name, area, [*moved, 200 * CFM], continuous)
        assert one_more >= make_up_quantity(name, area, moved, continuous) - 1e-12


def test_only_the_largest_counts_in_the_first_column_and_two_in_the_others():
    moved = [50 * CFM, 400 * CFM, 110 * CFM]
    assert [len(counted_ratings(name, moved)) for name in COLUMNS] == [1, 2, 2, 2]
    assert counted_ratings("C", moved) == (400 * CFM, 110 * CFM)


def test_the_run_is_what_hood_and_elbows_leave_of_100_ft():
    assert straight_length(3) == pytest.approx(30 * FOOT)
    assert straight_length(10) == 0.0


# Minnesota Rules 1346.0501, 501.4.3 [published]: by year of building; its tables (1) to (3) were not seen
@pytest.mark.parametrize(
    ("built", "section", "seen"),
    [
        (2027, "501.4.1", True), (2004, "501.4.1", True), (2003, "501.4.1", True), (2000, "501.4.1", True),
        (1999, "501.4.3(1)", False), (1994, "501.4.3(1)", False), (1993, "501.4.3(2)", False),
        (1890, "501.4.3(2)", False),
    ],
)  # fmt: skip
def test_which_section_holds_is_by_the_year_of_building(built, section, seen):
    assert (era(built).section, era(built).seen) == (section, seen)
    assert era(built).source.confirmed


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: opening("E", 1.0), InputError, "no column is called 'E'; there are: A, B, C, D"),
        (lambda: make_up_quantity("E", 100.0, []), InputError, "no column is called 'E'; there are: A, B, C, D"),
        (lambda: make_up_quantity("A", 0.0, []), OutOfRange, "floor area"),
        (lambda: opening("A", 0.0), OutOfRange, "make-up air"),
        (lambda: straight_length(-1), OutOfRange, "elbows"),
    ],
)
def test_what_the_tables_do_not_speak_of_is_refused(call, error, words):
    with pytest.raises(error, match=words):
        call()
