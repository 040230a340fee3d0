"""The commands as a user meets them: what they print, where, and with which exit code; never a traceback."""

import json
import subprocess
import sys
from importlib import resources

import pytest
from click.testing import CliRunner

from airledger import runs
from airledger.cli.main import COMMANDS, main
from tests.unit.search.houses import BARE, GAS, ONE_ROOM, TWO_ROOMS

CALM = ONE_ROOM.replace("600 cfm", "50 cfm")
IMPOSSIBLE = ONE_ROOM.replace("600 cfm", "4000 cfm") + "states: {cooking: {range hood: high}}\n"


@pytest.fixture
def at(tmp_path):
    def write(text, name="house.yaml"):
        path = tmp_path / name
        path.write_text(text)
        return str(path)

    return write


TERN = resources.files("airledger").joinpath("examples/tern-street-14.yaml")


def called(*arguments):
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert "Traceback" not in result.output + result.stderr
    return result


def test_help_names_every_command():
    shown = called("--help")
    assert shown.exit_code == 0
    assert all(name in shown.output for name in COMMANDS)
    assert "licensed people" in shown.output


@pytest.mark.parametrize("command", [name for name in COMMANDS if name != "ask"])
def test_every_command_says_what_it_does(command):
    shown = called(command, "--help")
    assert shown.exit_code == 0
    assert len(shown.output.split()) > 20


def test_help_loads_nothing_heavy():
    heavy = "('numpy', 'pydantic', 'ruamel', 'typst')"
    code = f"import sys; import airledger.cli.main; print([m for m in {heavy} if m in sys.modules])"
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert shown.stdout.strip() == "[]"


def test_a_near_name_is_offered():
    shown = called("studdy", "house.yaml")
    assert shown.exit_code == 2
    assert "did you mean 'study'" in shown.stderr


def test_a_passed_limit_is_exit_code_one(at):
    shown = called("study", at(ONE_ROOM))
    assert shown.exit_code == 1
    assert "88 Pa" in shown.output


def test_nothing_worse_than_a_caution_is_exit_code_zero(at):
    assert called("study", at(CALM)).exit_code == 0


def test_a_named_state_that_no_fan_could_do_is_exit_code_three(at):
    shown = called("study", at(IMPOSSIBLE))
    assert shown.exit_code == 3
    assert "give its curve" in shown.stderr
    assert shown.stdout == ""


def test_json_is_one_object_and_nothing_else(at):
    shown = called("study", at(TWO_ROOMS), "--json")
    assert json.loads(shown.stdout)["house"] == "Two rooms"
    assert shown.stdout.endswith("}\n")


def test_two_runs_are_byte_equal(at):
    path = at(TWO_ROOMS)
    assert called("study", path, "--json").stdout == called("study", path, "--json").stdout


def test_two_runs_of_the_example_leave_the_same_bytes_in_every_file(tmp_path):
    for folder in ("one", "two"):
        assert called("study", TERN, "--out", tmp_path / folder).exit_code == 1
    one, two = ({p.name: p.read_bytes() for p in (tmp_path / folder).iterdir()} for folder in ("one", "two"))
    assert len(one) > 20
    assert one == two


@pytest.mark.parametrize("name", ["air-balance", "depressurization", "door-force", "make-up-air", "biggest-hood"])
def test_one_command_a_study(name, at):
    shown = called(name, at(TWO_ROOMS), "--json")
    assert shown.exit_code in (0, 1)
    assert list(json.loads(shown.stdout)["studies"]) == [name.replace("-", "_")]


def test_only_takes_several_studies(at):
    shown = called("study", at(TWO_ROOMS), "--json", "--only", "door_force", "--only", "air-balance")
    assert set(json.loads(shown.stdout)["studies"]) == {"door_force", "air_balance"}


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--only", "doors"), "no study is called 'doors'"),
        (("--units", "metric"), "metric"),
        (("--date", "tomorrow"), "2026-03-02"),
        (("--sheet", "plumber"), "plumber"),
        (("--sheet", "builder"), "--out"),
    ],
)
def test_a_word_that_is_not_known_is_exit_code_two(arguments, words, at):
    shown = called("study", at(TWO_ROOMS), *arguments)
    assert shown.exit_code == 2
    assert words in shown.stderr
    assert shown.stdout == ""


def test_a_study_that_lacks_its_data_is_exit_code_two(at):
    shown = called("door-force", at(BARE))
    assert shown.exit_code == 2
    assert "door_force needs openings" in shown.stderr


@pytest.mark.parametrize("command", ["study", "check", "door-force"])
def test_a_file_that_is_not_there_and_a_folder_instead_of_one(command, tmp_path):
    for path in (tmp_path / "none.yaml", tmp_path):
        shown = called(command, path)
        assert shown.exit_code == 2
        assert str(path) in shown.stderr
        assert shown.stdout == ""


def test_check_says_what_it_read(at):
    shown = called("check", at(TWO_ROOMS))
    assert shown.exit_code == 0
    assert "Two rooms can be used: 2 rooms, 2 machines that blow air out, " in shown.stdout


def test_check_counts_one_of_a_thing_as_one(at):
    shown = called("check", at(ONE_ROOM))
    assert "One room can be used: 1 room, 1 machine that blows air out, " in shown.stdout


def test_check_shows_every_fault_with_its_place(at):
    bad = TWO_ROOMS.replace("0.8 to 1.6 ach50", "0.8 to 1.6 bananas").replace("kind: erv", "kind: toaster")
    shown = called("check", at(bad, "bad.yaml"))
    assert shown.exit_code == 2
    assert shown.stderr.count("bad.yaml:") == 2
    assert shown.stdout == ""


def test_papers_land_in_the_folder_and_the_next_one_to_open_is_named(at, tmp_path):
    out = tmp_path / "papers"
    shown = called("study", at(TWO_ROOMS), "--out", out, "--date", "2026-03-02", "--units", "si")
    assert shown.exit_code == 1
    assert (out / "airledger.pdf").read_bytes().startswith(b"%PDF")
    assert "Open next" in shown.stdout
    assert json.loads((out / "airledger.json").read_text())["house"] == "Two rooms"


def test_a_file_where_the_folder_should_be(at, tmp_path):
    (tmp_path / "papers").write_text("mine")
    shown = called("study", at(TWO_ROOMS), "--out", tmp_path / "papers")
    assert shown.exit_code == 2
    assert "papers" in shown.stderr
    assert (tmp_path / "papers").read_text() == "mine"


def test_a_fault_of_our_own_is_said_as_such(at, monkeypatch):
    def broken(*_, **__):
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(runs, "study", broken)
    shown = called("study", at(TWO_ROOMS))
    assert shown.exit_code == 3
    assert "this is a fault of airledger" in shown.stderr


def test_being_stopped_by_hand_is_said_in_a_word(at, monkeypatch):
    def stopped(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(runs, "study", stopped)
    shown = called("study", at(TWO_ROOMS))
    assert (shown.exit_code, shown.stderr.strip()) == (2, "stopped")


def test_a_price_list_beside_the_house_is_used(at, tmp_path):
    shipped = runs.write_examples(tmp_path / "shipped")[0].parent / "prices.yaml"
    (tmp_path / "mine.yaml").write_text(shipped.read_text().replace("each: 250", "each: 1250"))
    text = TWO_ROOMS + "prices: mine.yaml\n"
    rows = {}
    for name, content in (("a.yaml", TWO_ROOMS), ("b.yaml", text)):
        shown = called("make-up-air", at(content, name), "--json")
        options = json.loads(shown.stdout)["studies"]["make_up_air"]["tables"]["options"]
        rows[name] = next(row for row in options if row["option"] == "one 10 in opening with motorized damper")
    assert rows["b.yaml"]["price_usd"] - rows["a.yaml"]["price_usd"] == pytest.approx(1000)


def test_demo_says_one_sentence_and_leaves_its_papers(tmp_path):
    folder = tmp_path / "demo"
    folder.mkdir()
    (folder / "mine.txt").write_text("mine")
    shown = called("demo", folder)
    assert shown.exit_code == 0
    assert "Tern Street 14: At worst" in shown.stdout
    assert "Pa below outdoors" in shown.stdout
    assert "Open next" in shown.stdout
    assert (folder / "mine.txt").read_text() == "mine"
    for name in ("airledger.pdf", "airledger.json", "states.csv", "tern-street-14.yaml", "prices.yaml"):
        assert (folder / name).stat().st_size > 0


def test_a_danger_is_the_first_thing_said(at):
    shown = called("study", at(GAS))
    assert shown.exit_code == 1
    assert shown.stdout.startswith("DANGER")
