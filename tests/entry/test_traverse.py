"""`airledger traverse`: where to hold the probe."""

import pytest
from click.testing import CliRunner

from airledger.cli.main import main


def ran(*arguments):
    return CliRunner().invoke(main, ["traverse", *arguments])


# ISO 3966, log-linear, ten points on a diameter: 0.019, 0.077, 0.153, 0.217, 0.361 D and their mirror; on 1 m
def test_the_depths_of_a_round_duct_as_printed_by_the_standard():
    shown = ran("1000 mm", "--units", "si").stdout
    assert "20 readings (log-linear, ISO 3966)" in shown
    assert shown.count("19 mm, 77 mm, 153 mm, 217 mm, 361 mm, 639 mm") == 2


# ISO 3966, log-Tchebycheff: 0.074, 0.288, 0.5 of a side; 0.024, 0.100, 0.194, 0.334 of a diameter
def test_a_rectangle_and_the_other_rule():
    shown = ran("500 x 1000 mm", "--units", "si").stdout
    assert "37 mm, 144 mm, 250 mm, 356 mm, 463 mm" in shown
    assert "53 mm, 203 mm, 366 mm, 500 mm" not in shown
    assert "61 mm, 235 mm, 437 mm, 563 mm, 765 mm, 939 mm" in shown
    assert (
        "2 mm, 10 mm, 19 mm, 33 mm"
        in ran("100 mm", "--units", "si", "--rule", "log-Tchebycheff", "--points", "8").stdout
    )


def test_inches_are_read_by_the_sixteenth():
    assert "3/16 in, 13/16 in, 1 15/16 in, 4 1/16 in, 5 3/16 in, 5 13/16 in" in ran("6 in").stdout


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("junk",), "cannot read 'junk' as the size of a duct"),
        (("6 x 8 x 9 in",), "cannot read '6 x 8 x 9 in'"),
        (("9 m",), "cannot read '9 m'"),
        (("6 in", "--points", "7"), "a traverse of 7 points is not printed; there are: 6, 8, 10"),
    ],
)
def test_what_cannot_be_is_told_and_ends_with_2(arguments, told):
    ended = ran(*arguments)
    assert ended.exit_code == 2
    assert told in ended.stderr
