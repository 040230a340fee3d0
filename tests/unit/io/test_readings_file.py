"""Blower-door readings from a file: the exact keys, every fault at once with line and column, what is only odd."""

import datetime
import io
import zipfile

import openpyxl
import pytest

from airledger.errors import InputError, ReadingsFileError
from airledger.io.readings_file import read_test, read_test_text
from airledger.units import CFM, FOOT

GOOD = """# direction: depressurization
# indoor temperature: 21 C
# outdoor temperature: -5 C
# indoor humidity: 35 %
# outdoor humidity: 70 %
# elevation: 300 m
# barometer: 97800 Pa
# volume: 25,000 ft3
# floor area: 2600 ft2
# envelope area: 7200 ft2
# height: 18 ft
# baseline before: -2.6 Pa
# baseline after: -2.0 -2.4 Pa
# flow density: indoor
# instrument: fan and gauge, calibrated 2026-11
# taped: dryer, range hood
pressure [Pa],flow [cfm]
-62.3,495
-55.1,455
"""


TOO_MUCH = "1e300 makes 4.72e+296 m3/s, more than any test fan blows: is the unit in the heading right?"


def faults(text):
    with pytest.raises(ReadingsFileError) as told:
        read_test_text(text, "r.csv")
    return [(fault.line, fault.column, fault.key, fault.problem) for fault in told.value.faults]


def without(*keys, rows=""):
    kept = [line for line in GOOD.splitlines() if not any(line.startswith(f"# {key}:") for key in keys)]
    return "\n".join(kept) + "\n" + rows


def test_every_key_is_read_in_si():
    test = read_test_text(GOOD, "r.csv").test
    assert test.pressures == (-62.3, -55.1)
    assert test.flows == pytest.approx((495 * CFM, 455 * CFM))
    assert (test.indoor_temperature, test.outdoor_temperature) == (21.0, -5.0)
    assert (test.indoor_humidity, test.outdoor_humidity) == pytest.approx((0.35, 0.70))
    assert (test.elevation, test.barometer) == (300.0, 97_800.0)
    assert test.volume == pytest.approx(25_000 * FOOT**3)
    assert (test.floor_area, test.envelope_area) == pytest.approx((2600 * FOOT**2, 7200 * FOOT**2))
    assert test.height == pytest.approx(18 * FOOT)
    assert (test.before, test.after) == pytest.approx((-2.6, -2.2))
    assert (test.flow_density, test.taped, test.lines) == ("indoor", ("dryer", "range hood"), (18, 19))
    assert test.instrument == "fan and gauge, calibrated 2026-11"


def test_remarks_blank_lines_and_other_separators_are_no_fault():
    text = GOOD.replace("-62.3,495", "\n# a remark without a colon\n-62.3,495").replace(",flow", ";flow")
    text = text.replace("-62.3,495", "-62.3;495").replace("-55.1,455", "-55.1;455")
    assert read_test_text(text, "r.csv").test.pressures == (-62.3, -55.1)


def test_units_of_the_heading_are_those_of_the_column():
    text = GOOD.replace("pressure [Pa],flow [cfm]", "pressure [inwc],flow [L/s]").replace("-62.3", "-0.25")
    text = text.replace("-55.1", "-0.22")
    test = read_test_text(text, "r.csv").test
    assert test.pressures[0] == pytest.approx(-0.25 * 249.0889)
    assert test.flows[0] == pytest.approx(0.495)


def test_magnitudes_are_taken_only_where_both_baselines_are_nothing():
    positive = GOOD.replace("-62.3", "62.3").replace("-55.1", "55.1")
    quiet = positive.replace("before: -2.6 Pa", "before: 0 Pa").replace("after: -2.0 -2.4 Pa", "after: 0 Pa")
    assert read_test_text(quiet, "r.csv").test.pressures == (-62.3, -55.1)
    ((line, column, key, problem),) = faults(positive)
    assert (line, column, key) == (18, 1, "pressure")
    assert problem == "every reading has the wrong sign: a depressurization reads below 0"
    assert faults(without("baseline before", "baseline after").replace("-62.3", "62.3").replace("-55.1", "55.1"))


def test_a_pressurization_reads_above_nothing():
    blown = GOOD.replace("depressurization", "pressurization").replace("-62.3", "62.3").replace("-55.1", "55.1")
    assert read_test_text(blown, "r.csv").test.pressures == (62.3, 55.1)
    (found,) = faults(GOOD.replace("depressurization", "pressurization"))
    assert found[3] == "every reading has the wrong sign: a pressurization reads above 0"


def test_the_users_own_calibration_of_his_fan():
    text = without(rows="").partition("pressure [Pa]")[0]
    text += "# fan calibration ring b: 10 cfm at 1 Pa, exponent 0.5\n# fan calibration: 20 cfm at 1 Pa, exponent 0.5\n"
    text += "pressure [Pa],fan pressure [Pa],ring\n-60,-100,B\n-50,81,open\n"
    test = read_test_text(text, "r.csv").test
    assert test.flows == pytest.approx((100 * CFM, 180 * CFM))
    assert test.rings == ("B", "open")
    lone = text.replace("# fan calibration: 20 cfm at 1 Pa, exponent 0.5\n", "")
    assert faults(lone)[0][3] == "no calibration of ring 'open'"


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (GOOD.replace("depress", "depres"), (1, 14, "direction", "'depresurization' is not known")),
        (without("direction"), (1, 1, "direction", "is missing")),
        (GOOD.replace("indoor temperature", "indoor temprature"), (2, 1, "indoor temprature", "no such key")),
        (GOOD.replace("70 %", "170 %"), (5, 21, "outdoor humidity", "'170 %' cannot be")),
        (GOOD.replace("97800 Pa", "1013 Pa"), (7, 14, "barometer", "'1013 Pa' cannot be")),
        (GOOD.replace("25,000 ft3", "25,000"), (8, 11, "volume", "cannot read '25,000'")),
        (GOOD.replace("-2.6 Pa", "-2.6"), (12, 20, "baseline before", "cannot read '-2.6'")),
        (GOOD.replace("-2.6 Pa", "-90 Pa"), (12, 20, "baseline before", "-90 Pa is no baseline: nothing blows then")),
        (GOOD.replace("-2.6 Pa", ""), (12, 18, "baseline before", "no value stands here")),
        (GOOD.replace("pressure [Pa]", "pressure"), (17, 1, "pressure", "no unit in the heading")),
        (GOOD.replace("[cfm]", "[cfn]"), (17, 15, "flow", "unit 'cfn' is not known")),
        (GOOD.replace("flow [cfm]", "flw [cfm]"), (17, 15, "heading", "no such column 'flw'")),
        (GOOD.replace(",flow [cfm]", ""), (17, 1, "heading", "no column of flows")),
        (GOOD.replace("-55.1,455", "-55.1"), (19, 1, "readings", "1 values stand here, the heading has 2")),
        (GOOD.replace("-55.1,455", "-55.1,-455"), (19, 7, "flow", "-455 cfm cannot be")),
        (GOOD.replace("-55.1,455", "-551,455"), (19, 1, "pressure", "-551 Pa is more than any test")),
        (
            GOOD.replace("-55.1,455", "55.1,455"),
            (19, 1, "pressure", "positive and negative mixed; a depressurization reads below 0"),
        ),
        (GOOD.partition("-62.3")[0], (17, 1, "readings", "there are none below the heading")),
        (GOOD.partition("pressure [Pa]")[0], (16, 1, "heading", "is missing")),
        (GOOD.replace("# height", "# volume: 3 ft3\n# height"), (11, 11, "volume", "stands twice, first in line 8")),
        (
            GOOD.replace("-62.3", "-0.25").replace("-55.1", "-0.22"),
            (18, 1, "pressure", "no reading reaches 3 Pa: is the unit in the heading right?"),
        ),
        (GOOD.replace("flow [cfm]", "fan pressure [Pa]"), (17, 15, "fan pressure", "needs your fan's calibration")),
        ("", (1, 1, "direction", "is missing")),
        # a comma for thousands or for decimals would put the wrong number into the wrong column without a word
        (GOOD.replace("-55.1,455", "-55.1,1,455"), (19, 9, "readings", "3 values stand here, the heading has 2")),
        (GOOD.replace("-55.1,455", "-55,1,455"), (19, 7, "readings", "3 values stand here, the heading has 2")),
        (
            GOOD.replace("flow [cfm]", "flow [cfm],flow [L/s]").replace("495", "495,233").replace("455", "455,215"),
            (17, 26, "flow", "stands twice in the heading: which one is meant?"),
        ),
        (
            GOOD.replace("baseline after:", "baseline after"),
            (13, 1, "baseline after", "no colon after the key, so that it would be read as a remark"),
        ),
        (
            GOOD.replace("direction: ", "Direction = "),
            (1, 1, "direction", "no colon after the key, so that it would be read as a remark"),
        ),
        (
            GOOD.replace("-55.1,455", "-55.1,1e300"),
            (19, 7, "flow", TOO_MUCH),
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_told_with_line_and_field(text, found):
    assert found in faults(text)


def test_all_faults_are_told_at_once_with_the_line_shown():
    text = GOOD.replace("70 %", "170 %").replace("depress", "depres")
    with pytest.raises(ReadingsFileError) as told:
        read_test_text(text, "r.csv")
    said = str(told.value)
    assert "r.csv:1:14: direction" in said
    assert "r.csv:5:21: outdoor humidity: '170 %' cannot be" in said
    assert "did you mean 'depressurization'?" in said
    assert "    # outdoor humidity: 170 %\n" + " " * 24 + "^" in said


def test_a_decimal_comma_is_shown_the_point():
    text = GOOD.replace(",flow", ";flow").replace("-62.3,495", "-62,3;495").replace("-55.1,455", "-55.1;455")
    with pytest.raises(ReadingsFileError, match=r"write -62\.3, with a point"):
        read_test_text(text, "r.csv")


@pytest.mark.parametrize(
    ("curve", "problem"),
    [
        ("-12 cfm at 1 Pa, exponent 0.5", "-12 cfm cannot be"),
        ("0 cfm at 1 Pa, exponent 0.5", "0 cfm cannot be"),
        ("12 cfm at 1 Pa, exponent 0", "no fan has an exponent of 0"),
        ("12 cfm at 1 Pa, exponent 900", "no fan has an exponent of 900"),
        ("12 at 1 Pa, exponent 0.5", "cannot read '12 at 1 Pa, exponent 0.5'"),
        ("12 cfm at 1 Pa, exponent 0.5.1", "cannot read '12 cfm at 1 Pa, exponent 0.5.1'"),
    ],
)
def test_a_calibration_that_no_fan_has_is_told_once(curve, problem):
    text = GOOD.replace("flow [cfm]", "fan pressure [Pa]").replace("# taped", f"# fan calibration: {curve}\n# taped")
    assert faults(text) == [(16, 20, "fan calibration", problem)]


def test_a_fan_pressure_past_any_fan_is_told():
    curve = "# fan calibration: 12 cfm at 1 Pa, exponent 0.5\n# taped"
    text = GOOD.replace("flow [cfm]", "fan pressure [Pa]").replace("# taped", curve).replace(",495", ",1e300")
    assert [(line, key) for line, _, key, _ in faults(text)] == [(19, "fan pressure")]


def test_the_unit_of_a_baseline_may_stand_after_each_sample():
    assert read_test_text(GOOD.replace("-2.0 -2.4 Pa", "-2.0 Pa, -2.4 Pa"), "r.csv").test.after == pytest.approx(-2.2)
    mixed = faults(GOOD.replace("-2.0 -2.4 Pa", "-2.0 Pa, -0.01 inwc"))
    assert mixed[0][2:] == ("baseline after", "cannot read '-2.0 Pa inwc'")


def test_a_workbook_saved_as_csv_pads_its_lines():
    padded = "\n".join(f"{line},," for line in GOOD.replace("25,000", "25000").splitlines())
    assert read_test_text(padded, "r.csv").test == read_test_text(GOOD, "r.csv").test
    apart = GOOD.replace(": 25,000 ft3", ':,"25,000 ft3"')
    assert read_test_text(apart, "r.csv").test == read_test_text(GOOD, "r.csv").test


def test_a_remark_that_is_none_of_the_keys_stays_one():
    text = GOOD.replace(
        "# direction", "# wind was low, volume by the plan\n# height of the lift looked odd\n# direction", 1
    )
    assert read_test_text(text, "r.csv").test.volume == pytest.approx(25_000 * FOOT**3)


@pytest.mark.parametrize("gone", ["baseline before", "baseline after"])
def test_one_baseline_is_taken_for_both_and_said(gone):
    kept = {"baseline before": -2.2, "baseline after": -2.6}[gone]
    read = read_test_text(without(gone), "r.csv")
    assert (read.test.before, read.test.after) == pytest.approx((kept, kept))
    assert f"r.csv:12: no {gone}: that {'after' if 'before' in gone else 'before'} is taken for both" in read.cautions


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (without("instrument"), "no instrument is named: an inspector will ask"),
        (without("baseline before", "baseline after"), "no baseline: taken as 0 Pa"),
        (without("indoor temperature", "outdoor temperature"), "no indoor temperature and no outdoor temperature"),
        (without("elevation", "barometer"), "no elevation and no barometer: taken at sea level"),
        (without("volume"), "no volume: flows are told, air changes are not"),
        (
            GOOD.replace("indoor temperature: 21 C", "indoor temperature: 21 F"),
            "r.csv:2: 21 F indoors: is the unit right?",
        ),
        (GOOD.replace("2600 ft2", "2600 m2"), "r.csv:9: volume over floor area makes ceilings of 0.89 ft"),
        (GOOD.replace("2600 ft2", "260 ft2"), "r.csv:9: volume over floor area makes ceilings of 96 ft"),
        # a ball of 25,000 ft3 has (36 pi)^(1/3) 25,000^(2/3) = 4,135 ft2 (closed form)
        (GOOD.replace("7200 ft2", "720 ft2"), "r.csv:10: no envelope of this volume has less than 4,135 ft2"),
        (GOOD.replace("25,000 ft3", "25,000 m3"), "air changes at 50 Pa: is the unit of flow or volume right?"),
    ],
)
def test_what_is_odd_is_a_caution(text, words):
    if "25,000 m3" in text:
        text = text.replace("495", "49").replace("455", "45")
    assert any(words in caution for caution in read_test_text(text, "r.csv").cautions)


def test_a_good_file_gives_no_caution():
    assert read_test_text(GOOD, "r.csv").cautions == ()


def test_a_workbook_is_read_like_a_csv(tmp_path):
    book = openpyxl.Workbook()
    for line in GOOD.splitlines():
        if line.startswith("#"):
            key, _, value = line.partition(":")
            book.active.append([f"{key}:", value.strip()])
        elif line.startswith("pressure"):
            book.active.append(line.split(","))
        else:
            book.active.append([float(part) for part in line.split(",")])
    file = tmp_path / "r.xlsx"
    book.save(file)
    plain = read_test_text(GOOD, str(file)).test
    assert read_test(file).test == plain
    book.active["A15"], book.active["B15"] = "# date:", datetime.date(2027, 2, 18)
    book.save(file)
    assert read_test(file).test.date == "2027-02-18"
    book.active["A1"] = "# direction: up"
    book.save(file)
    with pytest.raises(ReadingsFileError, match=r"r\.xlsx:1:\d+: direction: .* is not known"):
        read_test(file)


def test_what_is_no_workbook_or_no_readings_is_refused(tmp_path):
    broken = tmp_path / "r.xlsx"
    broken.write_bytes(b"not a workbook")
    with pytest.raises(ReadingsFileError, match="is no workbook that can be read"):
        read_test(broken)
    with pytest.raises(InputError, match=r"readings come as \.csv or \.xlsx"):
        read_test(tmp_path / "r.pdf")
    with pytest.raises(InputError, match="no such file"):
        read_test(tmp_path / "none.csv")
    long = tmp_path / "long.csv"
    long.write_bytes(io.BytesIO(b"x" * 2_000_000).getvalue())
    with pytest.raises(InputError, match="longer than any file that people write"):
        read_test(long)


def test_a_workbook_that_unpacks_to_more_than_any_readings_is_refused(tmp_path):
    file = tmp_path / "r.xlsx"
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/sharedStrings.xml", bytes(31_000_000))
    assert file.stat().st_size < 100_000
    with pytest.raises(ReadingsFileError, match="unpacks to more than any readings"):
        read_test(file)


def test_a_minute_of_baseline_is_read_whole_and_a_long_list_of_what_was_taped_too():
    samples = " ".join(f"{-2.0 - 0.01 * second:.2f}" for second in range(60))
    names = [f"bath fan number {number}" for number in range(40)]
    text = GOOD.replace("-2.6 Pa", f"{samples} Pa").replace("dryer, range hood", ", ".join(names))
    test = read_test_text(text, "r.csv").test
    assert len(test.baselines_before) == 60
    assert test.taped == tuple(names)


def test_more_behind_a_key_than_is_read_is_refused_and_a_long_remark_is_not():
    assert (16, 10, "taped", "2,003 characters stand here") in faults(GOOD.replace("dryer, range hood", "q" * 2003))
    assert read_test_text(GOOD + "# remark: " + "q" * 3000 + "\n", "r.csv").test.taped == ("dryer", "range hood")
    assert len(read_test_text(GOOD.replace("dryer, range hood", "q" * 2000), "r.csv").test.taped[0]) == 2000
