"""Danger at a flue, through the front door: exit code, screen, JSON, papers; the second example house."""

import json
import subprocess
from importlib import resources

import pytest
from click.testing import CliRunner

from airledger.cli.main import main
from tests.unit.search.combustion_houses import SEALED, WINTER_BASEMENT

ALDER = resources.files("airledger").joinpath("examples/alder-court-9.yaml").read_text(encoding="utf-8")


def ran(tmp_path, text, *arguments):
    path = tmp_path / "house.yaml"
    path.write_text(text, encoding="utf-8")
    return CliRunner().invoke(main, [*arguments, str(path)])


@pytest.mark.parametrize("command", [("combustion-safety",), ("study",), ("depressurization",)])
def test_danger_is_the_first_word_on_the_screen_and_the_exit_code_is_one(tmp_path, command):
    found = ran(tmp_path, WINTER_BASEMENT, *command)
    assert found.exit_code == 1
    assert found.stdout.startswith("DANGER: The fans pull")
    assert "unconfirmed" in found.stdout


def test_with_every_fan_off_there_is_no_danger(tmp_path):
    calm = WINTER_BASEMENT.replace("speeds: {low: 20 cfm, high: 80 cfm}", "speeds: {low: 5 cfm, high: 10 cfm}")
    calm = calm.replace("high, season", "low, season")
    found = ran(tmp_path, calm, "combustion-safety", "--json")
    assert found.exit_code == 0
    told = json.loads(found.stdout)
    rows = told["studies"]["combustion_safety"]["tables"]["appliances"]
    assert min(row["absolute_pa"] for row in rows) < -5.5
    assert {row["verdict"] for row in rows} == {"within"}
    assert "danger" not in {finding["severity"] for finding in told["findings"]}


def test_the_second_example_is_in_danger_in_winter_with_its_dryer_on_and_not_with_every_fan_off(tmp_path):
    told = json.loads(ran(tmp_path, ALDER, "combustion-safety", "--json").stdout)
    rows = {row["state"]: row for row in told["studies"]["combustion_safety"]["tables"]["appliances"]}
    assert rows["winter night, every fan off"]["verdict"] == "within"
    assert rows["winter night, every fan off"]["absolute_pa"] < -4
    assert rows["washing day in winter"]["verdict"] == "danger"
    assert told["findings"][0]["severity"] == "danger"


def test_the_papers_say_danger_before_anything_else_and_keep_the_cautions(tmp_path):
    found = ran(tmp_path, ALDER, "study", "--out", str(tmp_path / "out"))
    assert found.exit_code == 1
    words = subprocess.run(
        ["pdftotext", "-layout", str(tmp_path / "out" / "airledger.pdf"), "-"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "DANGER" in words[: words.index("Alder Court 9") + 600]
    first_page = " ".join(words.partition("\f")[0].split())
    pulls = [f["message"] for f in json.loads((tmp_path / "out" / "airledger.json").read_text())["findings"]]
    assert all(m.partition(" Pa at")[0] in first_page for m in pulls if m.startswith("The fans pull"))
    assert "Ask for a sealed" in first_page
    assert "Prove it at the rough-in test" in first_page  # all three actions, however much danger stands above them
    flat = " ".join(words.split())
    assert "DANGER: the fans pull" in flat
    for caution in (
        "does not replace a combustion test",
        "tested for radon",
        "gas official and a licensed installer decide",
    ):
        assert caution in flat


def test_where_nothing_burns_on_a_flue_no_danger_is_told(tmp_path):
    found = ran(tmp_path, SEALED, "combustion-safety")
    assert found.exit_code == 0
    assert "DANGER" not in found.stdout
