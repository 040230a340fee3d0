"""Start-up readings from a file: every fault with line and column, errors by instrument."""

import pytest

from airledger.errors import ReadingsFileError
from airledger.io.start_up_file import read_start_up_text
from airledger.rules.instruments import STALE, instrument, instrument_keys
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


SHOWN = """# date: 2027-03-10
# instrument gauge: manometer, accuracy 1 % or 0.3 Pa, calibrated on 2026-11-02
# instrument vane: vane meter, frame factor 0.85
# instrument plate: flow station, k 12 cfm at 1 Pa
# instrument bag: timed bag, holds 2.5 ft3
# instrument unit: unit's pressure taps, 40 Pa is 60 cfm, 80 Pa is 92 cfm, 140 Pa is 125 cfm
state,what,where,value,instrument,baseline,through
"""


@pytest.mark.parametrize(
    ("row", "cfm"),
    [
        ("low,supply,bed,300; 310; 320 fpm,vane,,8 x 9 in", 310 * 0.5 * 0.85),
        ("low,supply,bed,300 fpm,vane,,72 in2", 300 * 0.5 * 0.85),
        ("low,supply stream,ERV,25 Pa,plate,,", 60.0),
        ("low,supply stream,ERV,80 Pa,unit,,", 92.0),
        ("low,exhaust,bath,3; 3.2; 2.8 s,bag,,", 50.0),
        ("low,exhaust,bath,4 Pa,orifice box,,6 x 6 in", 1.07 * 36 * 2),
        ("low,exhaust stream,ERV,400;420;430;440;410;360 fpm,traverse,,6 in round", 410 * 0.19635),
        (
            "low,exhaust stream,ERV,2 m/s;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2;2 m/s,traverse,,8 x 12 in",
            262.47,
        ),
        ("low,supply,bed,40 m3/h,powered flow hood,,", 23.543),
    ],
)
def test_what_the_instrument_showed_becomes_a_flow(row, cfm):
    (read,) = read_start_up_text(f"{SHOWN}{row}\n", "s.csv").readings
    assert read.value / CFM == pytest.approx(cfm, rel=2e-3)
    assert read.error > 0.0


def test_the_unit_of_a_reading_is_kept_as_written():
    (read,) = read_start_up_text(f"{SHOWN}low,supply,bed,40 m3/h,powered flow hood,,\n", "s.csv").readings
    assert read.shown.unit == "m3/h"


def test_a_house_pressure_is_taken_from_its_baseline():
    (read,) = read_start_up_text(f"{SHOWN}cooking,house pressure,hall,-12; -13 Pa,gauge,-2; -1 Pa,\n", "s.csv").readings
    assert read.value == pytest.approx(-11.0)


@pytest.mark.parametrize(
    ("row", "key", "problem"),
    [
        ("low,supply,bed,310 fpm,vane,,", "through", "the size of the face of the grille is missing"),
        ("low,supply,bed,310 fpm,vane,,a lot", "through", "cannot read 'a lot' as the size of the face of the grille"),
        ("low,supply,bed,310 fpm,vane,,8 x 9 x 2 in", "through", "cannot read '8 x 9 x 2 in' as the size"),
        ("low,exhaust stream,ERV,400;420 fpm,traverse,,6 in", "value", "2 points are no traverse of such a duct"),
        ("low,exhaust stream,ERV,400 fpm,traverse,,28 in2", "through", "cannot read '28 in2' as the size of the duct"),
        ("low,supply stream,ERV,300 Pa,unit,,", "value", "pressure at the unit's taps 300 Pa cannot be read so"),
        ("low,exhaust,bath,15 Pa,orifice box,,6 x 6 in", "value", "pressure in an orifice box 15 Pa cannot be read so"),
        ("low,supply stream,ERV,-3 Pa,plate,,", "value", "pressure at a flow station -3 Pa cannot be read so"),
        ("low,supply stream,ERV,3 Pa,flow station,,", "value", "the flow station wants the k of its plate"),
        ("low,exhaust,bath,3 s,timed bag,,", "value", "the timed bag wants what the bag holds"),
        ("low,supply,bed,20 cfm,hood,,", "instrument", "'hood' is not named above"),
        ("low,supply,bed,20 cfm,powered flow hood,2 cfm,", "baseline", "cannot read '2 cfm'"),
        ("low,unit swing,hall,-3 Pa,gauge,,", "baseline", "the pressure with the unit off is missing"),
        ("low,supply,bed,1,200 cfm,powered flow hood,,", "instrument", "'200 cfm' is not named above"),
        ("low,supply,bed,20 cfm,powered flow hood,,,7", "readings", "8 values stand here, the heading has 7"),
        ("low,supply,bed,90 m/s,vane,,8 x 8 in", "value", "'90 m/s' cannot be in a house"),
    ],
)
def test_what_the_instrument_cannot_have_shown_is_told(row, key, problem):
    told = faults(f"{SHOWN}{row}\n")
    assert any(found[2] == key and found[3].startswith(problem) for found in told), told


@pytest.mark.parametrize(
    ("line", "problem"),
    [
        ("# instrument x: vane meter, frame factor 9", "'9' cannot be"),
        ("# instrument x: manometer, accuracy 1 % or 3 cfm", "cannot read '3 cfm'"),
        ("# instrument x: flow station, k 12 cfm", "cannot read 'k 12 cfm'"),
        ("# instrument x: powered flow hood, holds 3 ft3", "cannot read 'holds 3 ft3'"),
        ("# instrument x: unit's pressure taps, 40 Pa is 60 cfm", "a table of taps wants two rows or more"),
        (
            "# instrument x: unit's pressure taps, 40 Pa is 60 cfm, 30 Pa is 80 cfm",
            "a table of taps wants its pressures",
        ),
        ("# instrument x: manometer, calibrated on 2027-04-01", "calibrated on 2027-04-01, after the visit"),
    ],
)
def test_a_sheet_that_cannot_be_is_told(line, problem):
    told = faults(SHOWN.replace("state,what", f"{line}\nstate,what") + "low,look,filters,yes,,,\n")
    assert any(found[0] == 7 and found[2] == "instrument x" and found[3].startswith(problem) for found in told), told


def test_a_column_that_stands_twice_is_told():
    assert (5, 35, "heading", "the column 'value' stands twice") in faults(GOOD.replace(",repeats", ",value"))


def test_one_place_read_twice_with_one_instrument_is_asked_about():
    again = "low,supply,bedroom,25 cfm,hood,1\n"
    (fault,) = faults(GOOD + again)
    assert fault == (9, 12, "readings", "read before, in line 6, with the same instrument: which one counts?")
    assert len(read_start_up_text(GOOD + again.replace("hood", "vane meter"), "s.csv").readings) == 4
    assert len(read_start_up_text(GOOD + again.replace("low", "boost"), "s.csv").readings) == 4
    assert len(faults(GOOD + "low,look,filters,no,,\n")) == 1


@pytest.mark.parametrize(
    ("value", "kept"),
    [
        (";".join(["3"] * 100) + " Pa", True),
        (";".join(["3"] * 101) + " Pa", False),
        (";".join(["3.1 Pa"] * 42), True),
        (";".join(["3.1 Pa"] * 43), False),
    ],
)
def test_more_than_one_reading_may_have_is_refused_and_not_cut(value, kept):
    row = f"cooking,house pressure,hall,{value},gauge,,\n"
    if kept:
        (read,) = read_start_up_text(SHOWN + row, "s.csv").readings
        assert len(read.shown.samples) == value.count(";") + 1
    else:
        assert faults(SHOWN + row) == [(8, 29, "value", "more stands here than one reading may have")]
    row = f"low,unit swing,hall,-3 Pa,gauge,{value},\n"
    if kept:
        assert len(read_start_up_text(SHOWN + row, "s.csv").readings[0].shown.baselines) == value.count(";") + 1
    else:
        assert faults(SHOWN + row) == [(8, 33, "value", "more stands here than one reading may have")]


# what cannot be in a house: past 5 m3/s, 500 Pa, 2,000 N, 60 m/s, ten hours
@pytest.mark.parametrize(
    ("row", "at_most", "past"),
    [
        ("low,supply,bed,{} m3/s,powered flow hood,,", "5", "5.01"),
        ("low,house pressure,hall,{} Pa,gauge,,", "500", "500.1"),
        ("low,house pressure,hall,{} Pa,gauge,,", "-500", "-500.1"),
        ("low,door pull,door,{} N,spring scale,,", "2000", "2001"),
        ("low,supply,bed,{} m/s,vane,,1 x 1 in", "60", "60.1"),
        ("low,supply,bed,{} s,bag,,", "36000", "36001"),
        ("low,house pressure,hall,-3 Pa,gauge,{} Pa,", "400", "500.1"),
    ],
)
def test_the_most_that_can_be_in_a_house(row, at_most, past):
    (read,) = read_start_up_text(f"{SHOWN}{row.format(at_most)}\n", "s.csv").readings
    assert read.value is not None
    (fault,) = faults(f"{SHOWN}{row.format(past)}\n")
    assert fault[2] == ("baseline" if "-3 Pa" in row else "value")


def whole(text):
    with pytest.raises(ReadingsFileError) as told:
        read_start_up_text(text, "s.csv")
    (one,) = told.value.faults
    return one.key, one.problem, one.allowed, one.nearest


COLUMNS = "state, what, where, value, instrument, repeats, baseline, through, note"


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("low,suply,bed,3 cfm,hood,,",
         ("what", "'suply' is not known", "supply, pick-up, supply stream, exhaust stream, exhaust, house pressure, "
          "unit swing, door pull, interlock, look", "supply")),
        ("low,look,filters,yess,,,", ("value", "'yess' is not known", "yes, no", "yes")),
        ("low,interlock,air,opend,,,",
         ("value", "'opend' is not known", "yes, no, opened, open, ran, stayed open, shut, shut again, stayed shut, "
          "did not run", "opened")),
        ("low,supply,bed,3 Pa,powered flow hood,,", ("value", "cannot read '3 Pa'", None, "")),
        ("low,house pressure,hall,3 cfm,gauge,,", ("value", "cannot read '3 cfm'", None, "")),
        ("low,house pressure,hall,3 Pa,gauge,2 cfm,", ("baseline", "cannot read '2 cfm'", None, "")),
        ("low,supply,bed,3 cfm,powered flow hood,2 Pa,",
         ("baseline", "cannot read '2 Pa'", "only a pressure has one", "")),
        ("low,house pressure,hall,3 Pa,gage,,", ("instrument", "'gage' is not named above", None, "gauge")),
        ("low,supply stream,ERV,3 Pa,flow station,,",
         ("value", "the flow station wants the k of its plate", "k 12.3 cfm at 1 Pa", "")),
        ("low,exhaust,bath,9 Pa,orifice box,,6 in",
         ("value", "pressure in an orifice box 9 Pa cannot be read so", "8 Pa at most", "")),
        ("low,exhaust,bath,-9 Pa,orifice box,,6 in",
         ("value", "pressure in an orifice box -9 Pa cannot be read so", "0 Pa or more", "")),
        ("low,unit swing,hall,-3 Pa,gauge,,",
         ("baseline", "the pressure with the unit off is missing", "-1.2; -1.1 Pa under baseline", "")),
        ("low,supply stream,ERV,2000 Pa,plate,,", ("value", "'2000 Pa' cannot be in a house", "", "")),
    ],
)  # fmt: skip
def test_a_row_that_cannot_be_is_told_in_full(row, told):
    found = whole(f"{SHOWN}{row}\n")
    assert found[:2] == told[:2]
    assert told[2] is None or found[2] == told[2]
    assert found[3] == told[3]


def test_who_reads_this_is_told_the_surest_first():
    fit = ", ".join(instrument_keys("flow", "grille"))
    assert whole(SHOWN + "low,supply,bed,3 cfm,,,\n")[:3] == (
        "instrument", "none is named: a reading without one decides nothing", fit,
    )  # fmt: skip
    assert whole(SHOWN + "low,supply,bed,3 cfm,gauge,,\n")[:3] == ("instrument", "a manometer does not read this", fit)
    # a box reads an exhaust and no grille
    assert whole(SHOWN + "low,supply,bed,3 cfm,orifice box,,\n")[1] == "a orifice box does not read this"
    no_column = SHOWN.replace(",instrument,baseline,through", "") + "low,supply,bed,3 cfm\n"
    assert whole(no_column)[0] == "instrument"


def test_the_heading_in_full():
    assert whole(SHOWN.partition("state,")[0]) == ("heading", "is missing", COLUMNS.replace(", ", ","), "")
    twice = "state,what,where,value,value\nlow,look,filters,yes,no\n"
    assert whole(twice) == ("heading", "the column 'value' stands twice", "each column once", "")
    with pytest.raises(ReadingsFileError) as told:
        read_start_up_text("state,what,where,valu\nlow,look,filters,yes\n", "s.csv")
    assert [(one.problem, one.allowed, one.nearest) for one in told.value.faults] == [
        ("no column 'value'", COLUMNS, ""), ("no such column 'valu'", COLUMNS, "value"),
    ]  # fmt: skip
    assert whole("state,what,where,value\n") == (
        "readings", "there are none below the heading", "a row for each reading", "",
    )  # fmt: skip
    assert whole("# date: soon\nstate,what,where,value\nlow,look,filters,yes\n") == (
        "date", "'soon' is no date", "a date like 2027-03-10", "",
    )  # fmt: skip


@pytest.mark.parametrize(("repeats", "kept"), [("1", 1), ("9", 9), ("10", 10), ("99", 99), ("", 1)])
def test_how_often_it_was_read(repeats, kept):
    (read,) = read_start_up_text(
        f"state,what,where,value,instrument,repeats\nlow,supply,bed,3 cfm,vane meter,{repeats}\n", "s.csv"
    ).readings
    assert read.shown.repeats == kept


@pytest.mark.parametrize("repeats", ["0", "100", "2.5", "-1", "03", "two"])
def test_how_often_nothing_is_read(repeats):
    text = f"state,what,where,value,instrument,repeats\nlow,supply,bed,3 cfm,vane meter,{repeats}\n"
    assert whole(text) == ("repeats", f"cannot read {repeats!r}", "a number from 1 to 99", "")


def test_who_read_where_and_when():
    text = (
        "# date: 2027-03-10\n# tester: we\n# house: Tern\n# address: 14 Tern Street\n# wind: 2 mph\n"
        + GOOD.partition("own crew\n")[2]
    )
    read = read_start_up_text(text, "s.csv")
    assert (read.name, read.date, read.tester, read.house, read.address) == (
        "s.csv", "2027-03-10", "we", "Tern", "14 Tern Street",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("value", "unit"), [("3 cfm", "cfm"), ("3; 4 CFM", "cfm"), ("3 L/s", "l/s"), ("3 cfm; 4 L/s", "l/s")]
)
def test_the_unit_is_that_of_the_last_value_in_small_letters(value, unit):
    (read,) = read_start_up_text(f"{SHOWN}low,supply,bed,{value},powered flow hood,,\n", "s.csv").readings
    assert read.shown.unit == unit


def test_a_value_with_its_own_unit_keeps_it():
    (read,) = read_start_up_text(f"{SHOWN}low,supply,bed,30 L/s; 63.566 cfm,powered flow hood,,\n", "s.csv").readings
    assert read.shown.samples == pytest.approx((0.03, 0.03), rel=1e-4)
