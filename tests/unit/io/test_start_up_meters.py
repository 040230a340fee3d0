"""The line of an instrument: every value it may give, its bounds, and every refusal in full."""

import pytest

from airledger.errors import ReadingsFileError
from airledger.io.start_up_file import read_start_up_text
from airledger.rules.instruments import NORMAL_95, instrument, instrument_keys
from airledger.units import CFM, FOOT, expected

KINDS = ", ".join(instrument_keys())
ANY = "accuracy 6 %, accuracy 1 % or 0.2 Pa, calibrated on 2026-11-02"
VALUE = {
    "powered flow hood": "supply,bed,30 cfm", "manometer": "house pressure,hall,-5 Pa",
    "spring scale": "door pull,door,10 N", "vane meter": "supply,bed,30 cfm", "timed bag": "supply,bed,30 cfm",
    "flow station": "supply stream,ERV,30 cfm", "unit's pressure taps": "supply stream,ERV,30 cfm",
}  # fmt: skip


def text(line, kind="manometer", date="# date: 2027-03-10\n"):
    return f"{date}# instrument Mine: {line}\nstate,what,where,value,instrument\nlow,{VALUE[kind]},mine\n"


def meter(line, **given):
    return read_start_up_text(text(line, line.partition(",")[0].lower(), **given), "s.csv").readings[0].meter


def refused(line, kind="manometer", **given):
    with pytest.raises(ReadingsFileError) as told:
        read_start_up_text(text(line, kind, **given), "s.csv")
    return [(one.line, one.column, one.problem, one.allowed, one.nearest) for one in told.value.faults
            if one.key == "instrument mine"]  # fmt: skip


def test_a_kind_without_more_is_that_of_the_table():
    made = meter("Manometer")
    assert made.made == instrument("manometer")
    assert (made.stale, made.frame_factor, made.station_factor, made.bag_volume, made.tap_points) == (
        True, 1.0, None, None, (),
    )  # fmt: skip


def test_its_own_accuracy_and_its_least_step():
    share = meter("manometer, accuracy 2 %").made
    assert (share.error * NORMAL_95, share.least) == (pytest.approx(0.02), instrument("manometer").least)
    both = meter("manometer, accuracy 2 % or 0.3 Pa").made
    assert (both.error * NORMAL_95, both.least * NORMAL_95) == (pytest.approx(0.02), pytest.approx(0.3))
    assert meter("powered flow hood, accuracy 3 % or 3 cfm").made.least * NORMAL_95 == pytest.approx(3 * CFM)
    assert meter("spring scale, accuracy 3 % or 2 N").made.least * NORMAL_95 == pytest.approx(2.0)


# one calendar year, 365 days (Canadian depressurization test form)
@pytest.mark.parametrize(
    ("line", "date", "stale"),
    [
        ("manometer, calibrated on 2026-03-10", "# date: 2027-03-10\n", False),
        ("manometer, calibrated 2026-03-10", "# date: 2027-03-10\n", False),
        ("manometer, calibrated on 2026-03-09", "# date: 2027-03-10\n", True),
        ("manometer, calibrated on 2027-03-10", "# date: 2027-03-10\n", False),
        ("manometer, calibrated on 2026-11-02", "", True),
        ("manometer", "# date: 2027-03-10\n", True),
    ],
)
def test_a_calibration_counts_for_a_year(line, date, stale):
    assert meter(line, date=date).stale is stale


def test_what_only_one_kind_gives():
    assert meter("vane meter, frame factor 0.85").frame_factor == 0.85
    assert meter("timed bag, holds 2.5 ft3").bag_volume == pytest.approx(2.5 * FOOT**3)
    assert meter("flow station, k 24 cfm at 4 Pa").station_factor == pytest.approx(12 * CFM)
    assert meter("unit's pressure taps, 40 Pa is 60 cfm, 80 Pa is 92 cfm,").tap_points == (
        pytest.approx((40.0, 60 * CFM)), pytest.approx((80.0, 92 * CFM)),
    )  # fmt: skip
    every = meter("vane meter, frame factor 0.85, accuracy 8 %, calibrated on 2026-11-02")
    assert (every.frame_factor, every.made.error * NORMAL_95, every.stale) == (0.85, pytest.approx(0.08), False)


@pytest.mark.parametrize(
    ("line", "kept"),
    [
        ("manometer, accuracy 0.1 %", True), ("manometer, accuracy 0.09 %", False), ("manometer, accuracy 50 %", True),
        ("manometer, accuracy 51 %", False), ("manometer, accuracy 1 % or 25 Pa", True),
        ("manometer, accuracy 1 % or 26 Pa", False), ("manometer, accuracy 1 % or 0 Pa", True),
        ("manometer, accuracy 1 % or -1 Pa", False), ("powered flow hood, accuracy 5 % or 0.05 m3/s", True),
        ("powered flow hood, accuracy 5 % or 0.051 m3/s", False), ("spring scale, accuracy 5 % or 50 N", True),
        ("spring scale, accuracy 5 % or 51 N", False), ("vane meter, frame factor 0.2", True),
        ("vane meter, frame factor 0.19", False), ("vane meter, frame factor 2", True),
        ("vane meter, frame factor 2.1", False), ("timed bag, holds 0.001 m3", True),
        ("timed bag, holds 0.0009 m3", False), ("timed bag, holds 5 m3", True), ("timed bag, holds 5.1 m3", False),
        ("flow station, k 0.00001 m3/s at 0.01 Pa", True), ("flow station, k 0.000009 m3/s at 1 Pa", False),
        ("flow station, k 5 m3/s at 2000 Pa", True), ("flow station, k 5.1 m3/s at 1 Pa", False),
        ("flow station, k 1 m3/s at 0.009 Pa", False), ("flow station, k 1 m3/s at 2001 Pa", False),
    ],
)  # fmt: skip
def test_the_bounds_of_a_sheet(line, kept):
    kind = line.partition(",")[0]
    if kept:
        assert meter(line)
    else:
        (found,) = refused(line, kind)
        cut = line.rpartition(" or ")[2] if " or " in line else line.partition(", ")[2]
        cut = cut.removeprefix("accuracy ").removeprefix("frame factor ").removeprefix("holds ").removeprefix("k ")
        words = [part for part in cut.split(" at ") if f"{part!r} cannot be" == found[2]]
        assert len(words) == 1, found
        assert found[3] == ("0.1 to 50 %" if line.endswith("%") else "")


@pytest.mark.parametrize(
    ("line", "kind", "told"),
    [
        ("manomter, accuracy 1 %", "manometer", ("no instrument is called 'manomter'", KINDS, "manometer")),
        ("manometer, accuracy 1", "manometer", ("cannot read '1'", None, "")),
        ("manometer, accuracy 1 % or 3 cfm", "manometer", ("cannot read '3 cfm'", None, "")),
        ("manometer, calibrated lately", "manometer", ("cannot read 'calibrated lately'", ANY, "")),
        ("vane meter, holds 2 ft3", "vane meter", ("cannot read 'holds 2 ft3'", f"{ANY}, frame factor 0.85", "")),
        ("flow station, k 2 cfm", "flow station", ("cannot read 'k 2 cfm'", f"{ANY}, k 12.3 cfm at 1 Pa", "")),
        ("timed bag, 2 ft3", "timed bag", ("cannot read '2 ft3'", f"{ANY}, holds 2.5 ft3", "")),
        ("unit's pressure taps, 40 Pa", "unit's pressure taps",
         ("cannot read '40 Pa'", f"{ANY}, 40 Pa is 60 cfm", "")),
        ("manometer, calibrated on 2026-13-02", "manometer", ("'2026-13-02' is no date", "a date like 2026-11-02", "")),
        ("manometer, calibrated on 2027-03-11", "manometer",
         ("calibrated on 2027-03-11, after the visit", "the date on its sticker", "")),
        ("unit's pressure taps, 40 Pa is 60 cfm", "unit's pressure taps",
         ("a table of taps wants two rows or more of pressure and flow, all above 0",
          "40 Pa is 60 cfm, 80 Pa is 92 cfm, in order of pressure", "")),
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_read_is_told_in_full(line, kind, told):
    (found,) = refused(line, kind)
    assert found[:3] == (2, 20, told[0])
    assert told[1] is None or found[3] == told[1]
    assert found[4] == told[2]


def test_a_key_that_is_not_known_is_told_with_what_is():
    with pytest.raises(ReadingsFileError) as told:
        read_start_up_text(text("manometer").replace("# date", "# tster: we\n# date"), "s.csv")
    (fault,) = told.value.faults
    assert (fault.line, fault.column, fault.key, fault.problem, fault.nearest) == (
        1,
        1,
        "tster",
        "no such key",
        "tester",
    )
    assert fault.allowed == (
        "date, tester, house, address, indoor temperature, outdoor temperature, wind, remark, instrument NAME"
    )


def test_what_a_value_may_be_is_told_with_it():
    (share,) = refused("manometer, accuracy 1")
    assert share[3] == expected("fraction")
    (floor,) = refused("manometer, accuracy 1 % or 3 cfm")
    assert floor[3] == expected("pressure")


# a row of the table that cannot be is told, and the rest of it is not called a table
def test_a_row_of_the_taps_that_cannot_be_is_told_once_for_itself():
    line = "unit's pressure taps, 40 Pa is 60 cfm, 80 Pa is 900 m3/s, 140 Pa is 125 cfm"
    (found,) = refused(line, "unit's pressure taps")
    assert found[2] == "'900 m3/s' cannot be"
    line = "unit's pressure taps, 40 Pa is 60 cfm, 9000 Pa is 92 cfm, 140 Pa is 125 cfm"
    (found,) = refused(line, "unit's pressure taps")
    assert found[2] == "'9000 Pa' cannot be"


def test_long_words_are_cut_where_they_are_told():
    many = "q" * 90
    assert refused(many)[0][2] == f"no instrument is called {'q' * 60!r}"
    assert refused(f"manometer, accuracy {many}")[0][2] == f"cannot read {'q' * 60!r}"
    assert refused(f"manometer, {many}")[0][2] == f"cannot read {'q' * 60!r}"
    assert refused(f"manometer, accuracy {'9' * 90} %")[0][2] == f"{'9' * 60!r} cannot be"
