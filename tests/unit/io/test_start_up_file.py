"""Start-up readings from a file: every fault with line and column, errors by instrument."""

import pytest

from airledger.errors import ReadingsFileError
from airledger.io.start_up_file import read_start_up_text
from airledger.rules.instruments import STALE, instrument
from airledger.units import CFM

GOOD = """# date: 2027-03-10
# tester: our own crew
# instrument hood: powered flow hood, accuracy 5 %, calibrated on 2026-11-02
# instrument gauge: manometer, calibrated on 2025-01-01
state,what,where,value,instrument,repeats
low,supply,bedroom,24 cfm,hood,3
cooking,house pressure,great room,-14.5 Pa,gauge,1
low,look,filters,yes,,
"""


def faults(text):
    with pytest.raises(ReadingsFileError) as told:
        read_start_up_text(text, "s.csv")
    return [(fault.line, fault.column, fault.key, fault.problem) for fault in told.value.faults]


def test_every_reading_has_its_value_its_instrument_and_its_error():
    read = read_start_up_text(GOOD, "s.csv")
    flow, pressure, look = read.readings
    assert (read.date, read.tester) == ("2027-03-10", "our own crew")
    assert (flow.state, flow.what, flow.where, flow.line) == ("low", "supply", "bedroom", 6)
    assert flow.value == pytest.approx(24 * CFM)
    assert flow.error == pytest.approx(instrument("powered flow hood", 0.05).of(24 * CFM, 3))
    assert not flow.stale
    assert (look.value, look.words, look.error) == (None, "yes", 0.0)
    assert pressure.stale
    assert pressure.error == pytest.approx(STALE * instrument("manometer").of(14.5))


def test_an_instrument_may_be_named_by_its_kind_and_then_its_calibration_is_not_told():
    read = read_start_up_text(GOOD.replace("24 cfm,hood", "24 cfm,vane meter"), "s.csv")
    assert (read.readings[0].instrument, read.readings[0].stale) == ("vane meter", True)


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ("low,supply,", "low,suply,", (6, 5, "what", "'suply' is not known")),
        ("24 cfm", "24", (6, 20, "value", "cannot read '24'")),
        ("24 cfm", "24 Pa", (6, 20, "value", "cannot read '24 Pa'")),
        ("24 cfm", "90000 cfm", (6, 20, "value", "'90000 cfm' cannot be in a house")),
        ("hood,3", ",3", (6, 26, "instrument", "none is named: a reading without one decides nothing")),
        ("cfm,hood", "cfm,hod", (6, 27, "instrument", "'hod' is not named above")),
        ("cfm,hood", "cfm,gauge", (6, 27, "instrument", "a manometer does not read this")),
        ("hood,3", "hood,many", (6, 32, "repeats", "cannot read 'many'")),
        ("filters,yes", "filters,perhaps", (8, 18, "value", "'perhaps' is not known")),
        ("2027-03-10", "March", (1, 9, "date", "'March' is no date")),
        ("powered flow hood", "powered hood", (3, 20, "instrument hood", "no instrument is called 'powered hood'")),
        ("accuracy 5 %", "accuracy 5", (3, 20, "instrument hood", "cannot read '5'")),
        (
            "calibrated on 2026-11-02",
            "calibrated lately",
            (3, 20, "instrument hood", "cannot read 'calibrated lately'"),
        ),
        ("2026-11-02", "2026-13-02", (3, 20, "instrument hood", "'2026-13-02' is no date")),
        ("# tester", "# testr", (2, 1, "testr", "no such key")),
        ("state,what", "stat,what", (5, 1, "heading", "no such column 'stat'")),
        ("low,look,filters,yes,,", "low,look", (8, 5, "readings", "2 values stand here, the heading has 6")),
    ],
)
def test_what_cannot_be_read_is_told_with_line_and_field(old, new, found):
    assert found in faults(GOOD.replace(old, new))


def test_half_a_file_is_told():
    assert faults(GOOD.partition("low,supply")[0])[0][2:] == ("readings", "there are none below the heading")
    assert faults(GOOD.partition("state,")[0])[0][2:] == ("heading", "is missing")
