"""Columns of blower-door readings: every faulty row told by its column, units as typed, nothing taped."""

import pytest

from airledger.errors import ReadingsFileError
from airledger.io.readings_file import read_test_text
from tests.unit.io.test_readings_file import GOOD

HEAD = "\n".join(line for line in GOOD.splitlines() if line.startswith("#")) + "\n"


def faults(text):
    with pytest.raises(ReadingsFileError) as told:
        read_test_text(text, "r.csv")
    return [(one.line - HEAD.count("\n"), one.key, one.problem, one.allowed) for one in told.value.faults]


@pytest.mark.parametrize("word", ["nothing", "none", "Nothing", "NONE", ""])
def test_nothing_taped_is_nothing(word):
    lines = [line for line in GOOD.splitlines() if not line.startswith("# taped")]
    test = read_test_text("\n".join([f"# taped: {word}", *lines]) + "\n", "r.csv").test
    assert test.taped == ()


def test_every_row_with_a_fault_is_told_by_the_column_it_is_in():
    found = faults(HEAD + "pressure [Pa],flow [cfm]\nfast,300\n-50,slow\n-40\nx,y\n")
    assert [(line, key) for line, key, _, _ in found] == [
        (2, "pressure"), (3, "flow"), (4, "readings"), (5, "pressure"), (5, "flow")
    ]  # fmt: skip


def test_every_fan_pressure_that_cannot_be_read_is_told():
    text = HEAD + "# fan calibration: 12.3 cfm at 1 Pa, exponent 0.5\npressure [Pa],fan pressure [Pa]\n-50,x\n-40,y\n"
    assert [key for _, key, _, _ in faults(text)][-2:] == ["fan pressure", "fan pressure"]


@pytest.mark.parametrize(
    ("heading", "key", "problem", "allowed"),
    [
        ("pressure,flow [cfm]", "pressure", "no unit in the heading", "pressure [Pa]"),
        ("pressure [Pa],flow", "flow", "no unit in the heading", "flow [cfm]"),
        ("pressure [Pa],flow [quarts]", "flow", "unit 'quarts' is not known", "cfm, L/s, m3/h"),
    ],
)
def test_a_heading_without_a_unit_is_told_with_one(heading, key, problem, allowed):
    assert (1, key, problem, allowed) in faults(HEAD + heading + "\n-50,300\n")
