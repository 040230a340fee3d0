"""`airledger airtightness` as a tester meets it: readings without a house, a house with a test, wrong input."""

import json
import subprocess
from importlib import resources
from pathlib import Path

import pytest
from click.testing import CliRunner

from airledger.cli.main import main
from airledger.units import CFM
from tests.unit.io.test_readings_file import GOOD
from tests.unit.studies.outcomes import TERN

READINGS = Path(str(resources.files("airledger").joinpath("examples/readings")))
# airtightness.md 4: the reference test as a file (invented readings; results computed with numpy and statsmodels)
REFERENCE = (
    GOOD.replace("after: -2.0 -2.4 Pa", "after: -2.2 Pa")
    + "-48.0,413\n-40.6,368\n-33.2,318\n-25.9,265\n-18.4,203\n-13.2,155\n"
)


def ran(*arguments):
    return CliRunner().invoke(main, ["airtightness", *map(str, arguments)])


@pytest.fixture
def reference(tmp_path):
    file = tmp_path / "reference.csv"
    file.write_text(REFERENCE)
    return file


def test_the_reference_test_in_its_printed_digits(reference):
    told = json.loads(ran(reference, "--json").stdout)
    assert told["pressure_exponent"]["value"] == pytest.approx(0.67804, abs=5e-6)
    assert told["flow_coefficient"]["value"] / CFM == pytest.approx(28.05609, abs=5e-6)
    printed = {"4": 71.820, "10": 133.679, "25": 248.818, "50": 398.099, "75": 524.068}
    assert {p: round(v["value"] / CFM, 3) for p, v in told["flow_pa"].items()} == printed
    assert told["flow_pa"]["50"]["low"] / CFM == pytest.approx(396.217, abs=5e-4)
    assert told["flow_pa"]["50"]["high"] / CFM == pytest.approx(399.990, abs=5e-4)
    assert told["ach50"]["value"] == pytest.approx(0.9554, abs=5e-5)
    assert told["ela4"]["value"] * 1e4 == pytest.approx(131.50, abs=5e-3)
    assert told["eqla10"]["value"] / 0.0254**2 == pytest.approx(39.270, abs=5e-4)
    assert {"rule", "required", "found", "verdict"} <= set(told["validity"][0])


def test_another_standard_says_so_and_differs(reference):
    told = json.loads(ran(reference, "--json", "--method", "iso9972").stdout)
    assert told["method"] == "ISO 9972"
    assert told["ach50"]["value"] == pytest.approx(0.9779, abs=5e-5)


def test_the_screen_tells_verdict_numbers_and_their_interval(reference):
    shown = ran(reference)
    assert shown.exit_code == 0
    assert "0.96 ACH50" in shown.stdout
    assert "396 to 400" in shown.stdout
    assert "in 95 of 100 tests" in shown.stdout
    assert "m3/s" not in shown.stdout
    assert " L/s" in ran(reference, "--units", "si").stdout


def test_a_sheet_is_written(reference, tmp_path):
    shown = ran(reference, "--out", tmp_path / "out", "--paper", "a4", "--date", "2027-02-18")
    assert shown.exit_code == 0
    sheet = tmp_path / "out" / "airtightness.pdf"
    text = subprocess.run(["pdftotext", "-layout", sheet, "-"], capture_output=True, check=True).stdout.decode()
    told = json.loads((tmp_path / "out" / "airtightness.json").read_text())
    assert f"{told['ach50']['value']:.2f}" in text
    assert "2027-02-18" in text
    assert "recalled, unconfirmed" in text


def test_one_of_each_direction_is_averaged(reference, tmp_path):
    up = tmp_path / "up.csv"
    up.write_text(REFERENCE.replace("depressurization", "pressurization").replace("-", ""))
    told = json.loads(ran(reference, up, "--json").stdout)
    assert told["direction"] == "both, averaged"


def test_an_outlier_of_one_direction_is_shown_with_its_direction(reference, tmp_path):
    up = tmp_path / "up.csv"
    flipped = REFERENCE.replace("depressurization", "pressurization").replace("-", "")
    up.write_text(flipped.replace("33.2,318", "33.2,250"))
    shown = ran(reference, up).stdout
    (line,) = [line for line in shown.splitlines() if line.startswith("  line 22")]
    assert line.startswith("  line 22 of the pressurization, 30.8 Pa: outlier: ")
    sheet = tmp_path / "out" / "airtightness.pdf"
    assert ran(reference, up, "--out", sheet.parent).exit_code == 0
    text = subprocess.run(["pdftotext", "-layout", sheet, "-"], capture_output=True, check=True).stdout.decode()
    (row,) = [line for line in text.splitlines() if "outlier: " in line]
    assert row.strip().startswith("pressurization")


def test_a_test_to_come_back_for_shows_no_figures_and_no_words_about_them():
    shown = ran(READINGS / "gale.csv").stdout
    assert "Come back and read it again." in shown
    assert "second figures" not in shown


def test_a_house_is_read_for_its_tests(reference, tmp_path):
    house = tmp_path / "tern.yaml"
    house.write_text(TERN.replace("  tightness:", "  tested: reference.csv\n  tightness:", 1))
    shown = ran(house, "--json")
    told = json.loads(shown.stdout)
    assert told["studies"]["airtightness"]["tables"]["results"][0]["method"] == "ASTM E779"
    assert len(told["studies"]["airtightness"]["tables"]["decision"]) == 2


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("depress", "depres"), "reference.csv:1:14: direction: 'depresurization' is not known"),
        (("[cfm]", ""), "no unit in the heading"),
        (("-55.1,455", "-55.1"), "reference.csv:19:1: readings: 1 values stand here"),
    ],
)
def test_wrong_input_is_told_with_line_and_field(reference, change, words):
    reference.write_text(REFERENCE.replace(*change))
    shown = ran(reference)
    assert shown.exit_code == 2
    assert words in shown.stderr
    assert "Traceback" not in shown.stderr


def test_too_few_readings_point_to_another_method(reference):
    reference.write_text(GOOD)
    shown = ran(reference)
    assert shown.exit_code == 2
    assert "use e1827-1 or e1827-2" in shown.stderr
    assert ran(reference, "--method", "e1827-1").exit_code == 0


def test_two_houses_are_one_too_many(tmp_path):
    shown = ran(tmp_path / "a.yaml", tmp_path / "b.yaml")
    assert shown.exit_code == 2
    assert "one house at a time" in shown.stderr


@pytest.mark.parametrize("file", sorted(READINGS.glob("*.csv")), ids=lambda file: file.stem)
def test_every_example_is_answered(file):
    shown = ran(file)
    assert shown.exit_code in (0, 2)
    assert shown.stdout or shown.stderr
    assert "Traceback" not in shown.output
