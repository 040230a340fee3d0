"""What the air passes: sizes as people write them, to the square metre; how many points a traverse may have."""

import math

import pytest

from airledger.errors import ReadingsFileError
from airledger.io.start_up_file import read_start_up_text
from airledger.io.through import counts, sides
from airledger.units import INCH

HEAD = "state,what,where,value,instrument,through\n"


def area(row):
    """The area that one row's reading was taken through [m2]."""
    (read,) = read_start_up_text(f"{HEAD}{row}\n", "s.csv").readings
    return read.shown.area


def fault(row):
    with pytest.raises(ReadingsFileError) as told:
        read_start_up_text(f"{HEAD}{row}\n", "s.csv")
    (one,) = told.value.faults
    return one.line, one.column, one.key, one.problem, one.allowed


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("6 in", (6,)), ("6 in round", (6,)), ("8 x 12 in", (8, 12)), ("8 in x 12 in", (8, 12)), ("8x12 in", (8, 12)),
        ("8×12 in", (8, 12)), ("8 × 12 in", (8, 12)), ("1 ft x 6 in", (12, 6)), ("1/2 ft", (6,)),
        ("152.4 mm", (6,)), ("20 mm", (20 / 25.4,)), ("2 m", (2 / 0.0254,)), ("2 m x 20 mm", (2 / 0.0254, 20 / 25.4)),
    ],
)  # fmt: skip
def test_a_size_as_people_write_it(text, inches):
    assert sides(text) == pytest.approx([INCH * side for side in inches])


@pytest.mark.parametrize("text", ["", "6", "a lot", "8 x 9 x 2 in", "19 mm", "2.01 m", "8 in x 19 mm", "6 Pa", "x in"])
def test_what_is_no_size(text):
    assert sides(text) == ()


# ISO 3966: 6, 8 or 10 points on each of up to three diameters; a grid of 5, 6 or 7 by 5, 6 or 7
def test_how_many_points_a_traverse_may_have():
    assert counts(True) == (6, 8, 10, 12, 16, 18, 20, 24, 30)
    assert counts(False) == (25, 30, 35, 36, 42, 49)


def test_the_area_is_the_circles_or_the_rectangles():
    speeds = ";".join(["400"] * 25)
    assert area("low,supply,bed,300 fpm,vane meter,6 in") == pytest.approx(math.pi / 4 * (6 * INCH) ** 2)
    assert area("low,supply,bed,300 fpm,vane meter,8 x 9 in") == pytest.approx(72 * INCH**2)
    assert area("low,supply,bed,300 fpm,vane meter,72 in2") == pytest.approx(72 * INCH**2)
    assert area(f"low,exhaust stream,ERV,{speeds} fpm,traverse,8 x 12 in") == pytest.approx(96 * INCH**2)
    assert area("low,exhaust,bath,4;4;4;4;4;4 Pa,traverse,6 in") == pytest.approx(math.pi / 4 * (6 * INCH) ** 2)
    # a flow needs no size, even where one stands
    assert area("low,supply,bed,30 cfm,vane meter,8 x 9 in") is None


# half of a square of the least side, and a square of the greatest, are the least and the greatest area
@pytest.mark.parametrize(("text", "kept"), [("2 cm2", True), ("1.9 cm2", False), ("4 m2", True), ("4.1 m2", False)])
def test_the_least_and_the_greatest_area(text, kept):
    row = f"low,supply,bed,0.1 m/s,vane meter,{text}"
    if kept:
        assert area(row) > 0
    else:
        assert fault(row)[3] == f"cannot read {text!r} as the size of the face of the grille"


MISSING = "the size of the face of the grille is missing"
SIZE, DUCT = "8 x 8 in, 6 in, or 52 in2", "6 in, or 8 x 12 in"


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("low,supply,bed,300 fpm,vane meter,", (2, 34, "through", MISSING, SIZE)),
        ("low,supply,bed,300 fpm,vane meter", (2, 16, "through", MISSING, SIZE)),
        ("low,exhaust,bath,4 Pa,orifice box,a lot",
         (2, 35, "through", "cannot read 'a lot' as the size of the hole", SIZE)),
        ("low,exhaust,bath,4;4;4;4;4;4 Pa,traverse,52 in2",
         (2, 42, "through", "cannot read '52 in2' as the size of the duct", DUCT)),
        ("low,exhaust,bath,4;4;4 Pa,traverse,6 in",
         (2, 18, "value", "3 points are no traverse of such a duct", "6, 8, 10, 12, 16, 18, 20, 24, 30")),
        ("low,exhaust,bath,4;4;4;4;4;4 Pa,traverse,6 x 6 in",
         (2, 18, "value", "6 points are no traverse of such a duct", "25, 30, 35, 36, 42, 49")),
    ],
)  # fmt: skip
def test_a_size_that_cannot_be_is_told_in_full(row, told):
    assert fault(row) == told


def test_a_long_word_is_cut_where_it_is_told():
    assert fault(f"low,supply,bed,300 fpm,vane meter,{'q' * 90}")[3] == (
        f"cannot read {'q' * 60!r} as the size of the face of the grille"
    )
