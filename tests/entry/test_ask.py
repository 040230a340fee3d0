"""`airledger ask` as a new user meets it: questions, flags, files, bad input; one screen, one house file."""

import json
import subprocess
import sys

import pytest
from click.testing import CliRunner

from airledger.cli.main import main
from airledger.io.house_file import load

FLAGS = [
    "--place", "Homestead, Florida", "--floor-area", "2480 ft2", "--ceiling", "9 ft 6 in", "--bedrooms", "4",
    "--storeys", "1",
    "--tightness", "0.7 to 1.2", "--exhausts", "hood not picked up to 1200 cfm; dryer vented",
    "--appliances", "none, all electric", "--ventilator", "ERV 150 cfm", "--wall-duct", "10 in",
    "--entry-door-swings", "out",
]  # fmt: skip
TYPED = (
    "Homestead, Florida\n2480 ft2\n9 ft 6 in\n4\n1\n0.7 to 1.2\nhood not picked up to 1200 cfm; dryer vented\n"
    "none, all electric\nERV 150 cfm\n10 in\nout\n"
)
FILE = """\
house: Curlew Lane 3
place: Homestead, Florida
floor area: 2480 ft2
ceiling: 9 ft 6 in
bedrooms: 4
storeys: 1
tightness: 0.7 to 1.2 ach50
exhausts: {hood: "not picked, up to 1,200 cfm", dryer: vented}
appliances: none, all electric
ventilator: ERV 150 cfm
wall duct: 10 in
entry door swings: out
"""


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def ask(*arguments, typed=None):
    return CliRunner().invoke(main, ["ask", *arguments], input=typed)


def screen(found):
    """The answer without prompts and without what follows it."""
    return found.stdout[found.stdout.index("One 10 in") : found.stdout.index("Go on with")]


class TestOneScreen:
    def test_flags_give_the_whole_answer_on_one_screen(self):
        found = ask(*FLAGS)
        assert found.exit_code == 0, found.output
        lines = found.stdout.splitlines()
        assert len(lines) <= 41  # 40 and the line that says how to go on
        assert max(len(line) for line in lines) <= 100
        for part in ("One 10 in opening carries", "Code (Florida", "Ways out", "Biggest hood", "Frame now", "Can wait"):
            assert part in found.stdout

    def test_questions_flags_and_a_file_give_the_same_answer(self, tmp_path):
        (tmp_path / "answers.yaml").write_text(FILE, encoding="utf-8")
        by_flags, by_file, by_hand = ask(*FLAGS), ask("--answers", "answers.yaml"), ask(typed=TYPED)
        assert {found.exit_code for found in (by_flags, by_file, by_hand)} == {0}
        assert screen(by_flags) == screen(by_file)
        assert screen(by_hand) == screen(by_flags)

    def test_si_speaks_si(self):
        found = ask(*FLAGS, "--units", "si")
        told = [line for line in found.stdout.splitlines() if "(" not in line]
        assert found.exit_code == 0
        assert "L/s" in found.stdout
        assert not any("lbf" in line for line in told)

    @pytest.mark.parametrize("area", ["700 ft2", "1200 ft2", "9000 ft2"])
    @pytest.mark.parametrize("tightness", ["0.3", "0.6 to 3", "9"])
    @pytest.mark.parametrize("fire", ["none", "gas cooktop; wood stove; gas water heater natural draft; oil furnace"])
    def test_small_large_tight_and_loose_houses_all_get_one_screen(self, area, tightness, fire):
        everything = "hood 300/600/1200 cfm; dryer; 4 bath fans; vacuum"
        found = ask("--floor-area", area, "--tightness", tightness, "--exhausts", everything, "--appliances", fire)
        assert found.exit_code == 0, found.output
        assert len(found.stdout.splitlines()) <= 41
        assert fire == "none" or found.stdout.startswith("DANGER")


class TestQuestions:
    def test_a_bad_answer_is_asked_again_with_what_is_allowed(self):
        found = ask(typed=TYPED.replace("2480 ft2\n", "2480\nbig\n2480 ft2\n").replace("out\n", "up\nout\n"))
        assert found.exit_code == 0
        assert found.stdout.count("Floor area") == 1
        assert found.stdout.count("2480 of what? Say 2480 ft2 or 2480 m2") == 1
        assert found.stdout.count("one number and its unit: 2480 ft2") == 1
        assert "in or out" in found.stdout

    def test_enter_takes_what_stands_behind_the_question(self):
        found = ask(typed="\n2000 ft2\n\n\n\n\nhood 600 cfm\nnone\n\n\n\n")
        assert found.exit_code == 0, found.output
        assert "Code not looked up, ask the official" in found.stdout

    def test_what_has_to_be_answered_is_asked_until_it_is(self):
        found = ask(typed="\n\n\n2000 ft2\n\n\n\n\n\nhood 600 cfm\n\nnone\n\n\n\n")
        assert found.exit_code == 0, found.output
        assert found.stdout.count("this has to be answered") == 4

    def test_a_dryer_and_an_unknown_flue_are_asked_back(self):
        found = ask(
            typed="\n2000 ft2\n\n\n\n\nhood 300 cfm; dryer\nheat pump\ngas fireplace with glass\nwhat\nsealed\n\n\n\n"
        )
        assert found.exit_code == 0, found.output
        assert "is it a heat pump?" in found.stdout
        assert "How does the fireplace vent?" in found.stdout
        assert "with the dryer" not in found.stdout
        assert "DANGER" not in found.stdout

    @pytest.mark.parametrize("count", [0, 1, 5, 10])
    def test_end_of_input_stops_cleanly_and_writes_nothing(self, count, tmp_path):
        found = ask(typed="".join(line + "\n" for line in TYPED.splitlines()[:count]))
        assert found.exit_code == 2
        assert "stopped before the last answer; nothing was written" in found.stderr
        assert list(tmp_path.iterdir()) == []

    def test_control_c_stops_cleanly(self, monkeypatch):
        def interrupted():
            raise KeyboardInterrupt

        monkeypatch.setattr("builtins.input", interrupted)
        found = ask()
        assert found.exit_code == 2
        assert "nothing was written" in found.stderr


class TestHouseFile:
    def test_the_file_to_go_on_with_loads_and_is_named_after_the_house(self, tmp_path):
        assert ask(*FLAGS, "--name", "Curlew Lane 3").exit_code == 0
        house = load(tmp_path / "curlew-lane-3.yaml")
        assert house.name == "Curlew Lane 3"
        assert house.exhausts[0].not_picked is not None
        assert "# assumed:" in (tmp_path / "curlew-lane-3.yaml").read_text(encoding="utf-8")

    def test_the_file_can_be_studied(self):
        assert ask(*FLAGS).exit_code == 0
        found = CliRunner().invoke(main, ["check", "house-in-homestead.yaml"])
        assert found.exit_code == 0, found.output

    def test_the_same_answer_twice_leaves_one_file_and_another_house_gets_its_own(self, tmp_path):
        ask(*FLAGS)
        ask(*FLAGS)
        assert [path.name for path in tmp_path.iterdir()] == ["house-in-homestead.yaml"]
        ask(*FLAGS, "--storeys", "2")
        assert sorted(path.name for path in tmp_path.iterdir()) == [
            "house-in-homestead-2.yaml",
            "house-in-homestead.yaml",
        ]

    def test_a_file_that_is_there_is_replaced_only_by_someones_word(self, tmp_path):
        kept = tmp_path / "mine.yaml"
        kept.write_text("mine\n", encoding="utf-8")
        refused = ask(*FLAGS, "--house", "mine.yaml")
        assert refused.exit_code == 2
        assert "is there already" in refused.stderr
        no = ask("--house", "mine.yaml", typed=TYPED + "\n")
        assert no.exit_code == 2
        assert kept.read_text(encoding="utf-8") == "mine\n"
        yes = ask("--house", "mine.yaml", typed=TYPED + "yes\n")
        assert yes.exit_code == 0, yes.output
        assert load(kept).name == "House in Homestead"
        kept.write_text("mine\n", encoding="utf-8")
        assert ask(*FLAGS, "--house", "mine.yaml", "--overwrite").exit_code == 0
        assert load(kept).name == "House in Homestead"

    @pytest.mark.parametrize("place", [".", "no/such/folder/x.yaml"])
    def test_a_place_that_takes_no_file_is_said(self, place):
        found = ask(*FLAGS, "--house", place)
        assert found.exit_code == 2
        assert found.stderr.count("\n") == 1
        assert "Traceback" not in found.output


class TestJson:
    def test_json_is_one_object_and_nothing_else(self, tmp_path):
        found = ask(*FLAGS, "--json")
        told = json.loads(found.stdout)
        assert told["schema"] == 1
        assert set(told["studies"]["first_answer"]["tables"]) >= {
            "answer", "pulls", "ways", "biggest", "law", "frame_now", "can_wait",
        }  # fmt: skip
        assert len({assumption["path"] for assumption in told["assumed"]}) == len(told["assumed"]) > 15
        assert list(tmp_path.iterdir()) == []

    def test_questions_go_to_stderr_where_stdout_is_for_json(self):
        found = ask("--json", "--house", "x.yaml", typed=TYPED)
        assert json.loads(found.stdout)["house"] == "House in Homestead"
        assert "Ten plain questions" in found.stderr

    def test_two_runs_are_byte_equal(self):
        assert ask(*FLAGS, "--json").stdout_bytes == ask(*FLAGS, "--json").stdout_bytes


class TestBadInput:
    @pytest.mark.parametrize(
        ("arguments", "told"),
        [
            (["--floor-area", "2480"], "--floor-area: cannot read '2480'"),
            (["--floor-area", "2480 ft2"], "--appliances has to be answered"),
            ([*FLAGS, "--storeys", "none"], "--storeys"),
            ([*FLAGS, "--name", "a/b"], "is no name"),
            ([*FLAGS, "--answers", "x.yaml"], "not both"),
            (["--answers", "none.yaml"], "no such file"),
            (["--answers", "."], "a folder"),
            ([*FLAGS, "--units", "metric"], "metric"),
        ],
    )
    def test_one_clear_message_and_exit_code_2(self, arguments, told, tmp_path):
        found = ask(*arguments)
        assert found.exit_code == 2
        assert told in found.stderr
        assert "Traceback" not in found.output
        assert found.stdout == ""
        assert list(tmp_path.iterdir()) == []

    def test_all_bad_flags_at_once(self):
        found = ask("--floor-area", "2480", "--ceiling", "9", "--exhausts", "banana")
        assert found.exit_code == 2
        assert found.stderr.count("cannot read") == 3

    @pytest.mark.parametrize(
        "data", [b"", b"\x00\xff", b"[1, 2]", b"a: &x 1\nb: *x\n", b"house: {", b"place: x\nplace: y\n"]
    )
    def test_files_that_are_no_answers(self, data, tmp_path):
        (tmp_path / "answers.yaml").write_bytes(data)
        found = ask("--answers", "answers.yaml")
        assert found.exit_code == 2
        assert "answers.yaml" in found.stderr
        assert "Traceback" not in found.output


class TestBlank:
    def test_a_blank_form_is_written_and_not_over_another(self, tmp_path):
        found = ask("--blank", "answers.yaml")
        assert found.exit_code == 0
        assert "airledger ask --answers answers.yaml" in found.stdout
        assert "floor area:" in (tmp_path / "answers.yaml").read_text(encoding="utf-8")
        assert ask("--blank", "answers.yaml").exit_code == 2

    def test_a_blank_form_filled_in_gives_the_answer(self, tmp_path):
        ask("--blank", "answers.yaml")
        path = tmp_path / "answers.yaml"
        filled = {
            "floor area:": "floor area: 2480 ft2",
            "exhausts:": "exhausts: hood 600 cfm",
            "appliances:": "appliances: none",
        }
        lines = [
            next((value for key, value in filled.items() if line.startswith(key)), line)
            for line in path.read_text(encoding="utf-8").splitlines()
        ]
        path.write_text("\n".join(lines), encoding="utf-8")
        found = ask("--answers", "answers.yaml")
        assert found.exit_code == 0, found.output


def test_help_says_what_it_is_for_and_stays_light():
    found = ask("--help")
    assert found.exit_code == 0
    for words in ("Ten plain questions", "licensed person", "--answers", "--blank", "--house"):
        assert words in " ".join(found.stdout.split())
    code = "import sys; from airledger.cli import ask; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
