"""The papers as they reach a reader: the PDF's text is taken out again and compared with the JSON of the same run."""

from __future__ import annotations

import csv
import datetime
import json
import re
import subprocess
from dataclasses import replace
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
import typst

from airledger import runs
from airledger.errors import CannotCompute
from airledger.quantities import number
from airledger.report import json_text, pdf, summary, write
from airledger.report.columns import cell_text
from airledger.report.outcome import Outcome
from airledger.report.pressure_tape import pascals_text
from tests.unit.report.sample import one_room, outcome

WORDS_OF_THE_PROGRAM = (
    "finding",
    "ledger",
    "operating state",
    "residual",
    "exponent",
    "prior",
    "portfolio",
    "leak share",
)


def pages(paper: bytes, folder: Path) -> list[str]:
    """The text of each page, line by line as printed, hard blanks as plain ones."""
    file = folder / "paper.pdf"
    file.write_bytes(paper)
    ran = subprocess.run(["pdftotext", "-layout", str(file), "-"], capture_output=True, check=True)
    return [page.replace("\u00a0", " ") for page in ran.stdout.decode("utf-8").split("\f")[:-1]]


def rows(outcome_json: dict[str, Any], study: str, table: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = outcome_json["studies"][study]["tables"][table]
    return found


def line_with(text: str, *figures: str) -> bool:
    """Whether one printed line carries all the figures, each as a word of its own."""
    return any(
        all(re.search(rf"(?<![\d.,]){re.escape(f)}(?![\d,]|\.\d)", line) for f in figures) for line in text.splitlines()
    )


@pytest.fixture(params=["ip", "si"])
def system(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_every_figure_of_the_options_is_that_of_the_json(system: str, tmp_path: Path) -> None:
    text = "\n".join(pages(pdf(outcome(), system), tmp_path))
    for row in rows(json.loads(json_text(outcome())), "make_up_air", "options"):
        assert line_with(
            text,
            number(row["house_pressure_pa"], "house pressure", system),
            f"{number(row['low_pa'], 'house pressure', system)} to {number(row['high_pa'], 'house pressure', system)}",
            f"{number(row['hood_m3s'], 'air flow', system)} of {number(row['hood_rated_m3s'], 'air flow', system)}",
            number(row["make_up_share_ratio"], "share", system),
            number(row["door_force_n"], "force", system),
            f"${number(row['price_usd'], 'money', system)}",
        ), row["option"]


def test_every_figure_of_the_states_doors_and_fans_is_that_of_the_json(system: str, tmp_path: Path) -> None:
    text = "\n".join(pages(pdf(outcome(), system), tmp_path))
    whole = json.loads(json_text(outcome()))
    for row in rows(whole, "depressurization", "named"):
        figures = [number(row[key], "house pressure", system) for key in ("house_pressure_pa", "low_pa", "high_pa")]
        assert line_with(text, row["state"], *figures)
    for row in rows(whole, "depressurization", "worst"):
        # a door is moved by what stands across it: its line tells the force, not the pull on the house
        key, quantity = ("force_n", "force") if row["target_kind"] == "door" else ("pressure_pa", "house pressure")
        assert line_with(text, row["target"], number(row[key], quantity, system))
    for row in rows(whole, "door_force", "doors"):
        forces = [number(row[key], "force", system) for key in ("force_n", "low_n", "high_n")]
        assert line_with(text, row["opening"], number(row["difference_pa"], "house pressure", system), *forces)
    for row in rows(whole, "depressurization", "fans"):
        flows = [number(row[key], "air flow", system) for key in ("rated_m3s", "real_m3s")]
        assert line_with(text, row["machine"], *flows)
    for row in rows(whole, "biggest_hood", "ducts"):
        flows = [number(row[key], "air flow", system) for key in ("hood_m3s", "hood_with_dryer_m3s")]
        assert line_with(text, row["opening"], *flows)


def test_the_sums_of_each_account_are_those_of_the_json(system: str, tmp_path: Path) -> None:
    text = pages(pdf(outcome(), system), tmp_path)[1]
    account = rows(json.loads(json_text(outcome())), "air_balance", "account")
    for state in {row["state"] for row in account}:
        sums = [
            number(
                sum(row["flow_m3s"] for row in account if (row["state"], row["side"]) == (state, side)),
                "air flow",
                system,
            )
            for side in ("in", "out")
        ]
        assert line_with(text, *sums), state


def test_the_rooms_on_the_plan_stand_at_the_pressures_of_the_json(system: str, tmp_path: Path) -> None:
    text = "\n".join(pages(pdf(outcome(), system), tmp_path))
    cooking = next(state for state in json.loads(json_text(outcome()))["states"] if state["name"] == "cooking")
    for room in cooking["rooms"]:
        assert number(room["pressure_pa"], "house pressure", system) in text, room["name"]


def test_the_first_page_has_the_sentence_the_tape_and_three_actions(system: str, tmp_path: Path) -> None:
    first = pages(pdf(outcome(), system), tmp_path)[0]
    assert outcome().headline in " ".join(first.split())
    for state in outcome().states[:4]:
        assert line_with(first, state.name, pascals_text(state.house_pressure))
    for row in outcome().results["make_up_air"].tables["actions"]:
        assert str(row["action"]) in " ".join(first.split())


def test_every_page_opens_with_a_sentence(tmp_path: Path) -> None:
    for page in pages(pdf(outcome(), "ip"), tmp_path):
        lines = [line.strip() for line in page.splitlines() if line.strip()]
        assert lines[0].startswith(outcome().house.name)
        opening = " ".join(lines[1:4])
        assert re.match(r"[A-Z0-9].*\.( |$)", opening), opening


def test_danger_is_the_first_thing_read(tmp_path: Path) -> None:
    lines = [line for line in pages(pdf(outcome(danger=True), "ip"), tmp_path)[0].splitlines() if line.strip()]
    assert lines[1].strip() == "DANGER · water heater"


def test_a_paper_speaks_the_words_of_the_trade(tmp_path: Path) -> None:
    text = "\n".join(pages(pdf(outcome(danger=True), "ip"), tmp_path)).lower()
    assert [word for word in WORDS_OF_THE_PROGRAM if re.search(rf"\b{word}", text)] == []


def test_cautions_assumptions_and_what_was_not_looked_at_are_in_the_paper(tmp_path: Path) -> None:
    text = " ".join("\n".join(pages(pdf(outcome(), "ip"), tmp_path)).split())
    assert "belongs to licensed people" in text
    assert "does not replace a combustion test or a carbon monoxide alarm" in text
    assert "radon" in text
    assert "recalled, unconfirmed" in text
    assert "combustion safety: the house file lacks appliances." in text


def test_a_small_house_is_told_on_one_page(system: str, tmp_path: Path) -> None:
    (page,) = pages(pdf(one_room(), system), tmp_path)
    assert one_room().headline in " ".join(page.split())
    assert line_with(page, "hood on high", "−88")
    assert line_with(
        page, "envelope", "range hood", number(one_room().states[0].flows[0].volume_flow, "air flow", system)
    )


def test_an_outcome_with_hardly_anything_is_still_a_paper(tmp_path: Path) -> None:
    bare = Outcome(outcome().house, states=outcome().states[:1])
    text = "\n".join(pages(pdf(bare, "ip"), tmp_path))
    assert "everyday" in text
    assert "Do next" not in text


def test_a_date_is_printed_and_kept_else_the_paper_says_undated(tmp_path: Path) -> None:
    dated, undated = pdf(outcome(), "ip", datetime.date(2026, 10, 2)), pdf(outcome(), "ip")
    assert "2026-10-02" in pages(dated, tmp_path)[0]
    assert "undated" in pages(undated, tmp_path)[0]
    assert b"2026-10-02" in dated
    assert b"2000-01-01" in undated


def test_two_runs_are_the_same_bytes(system: str, tmp_path: Path) -> None:
    first = write(outcome(), tmp_path / "one", system)
    second = write(outcome(), tmp_path / "two", system)
    assert [path.name for path in first] == [path.name for path in second]
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]


def test_the_paper_says_that_it_keeps_to_the_archive_standard_and_carries_its_fonts(tmp_path: Path) -> None:
    paper = pdf(outcome(), "ip")
    assert b"<pdfaid:part>2</pdfaid:part>" in paper
    (tmp_path / "paper.pdf").write_bytes(paper)
    ran = subprocess.run(["pdffonts", str(tmp_path / "paper.pdf")], capture_output=True, check=True, text=True)
    fonts = ran.stdout.splitlines()[2:]
    assert len(fonts) >= 2
    assert all("IBMPlexSans" in font and re.search(r"\byes\s+yes\b", font) for font in fonts)


def test_no_letter_is_smaller_than_seven_points(tmp_path: Path) -> None:
    (tmp_path / "paper.pdf").write_bytes(pdf(outcome(danger=True), "ip"))
    command = ["pdftohtml", "-xml", "-i", "-stdout", "-zoom", "3", "-fontfullname", str(tmp_path / "paper.pdf")]
    ran = subprocess.run(command, capture_output=True, check=True, text=True)
    sizes = {int(size) / 3 for size in re.findall(r'<fontspec id="\d+" size="(\d+)"', ran.stdout)}
    assert sizes
    assert min(sizes) >= 6.9


def test_a_name_in_signs_that_the_fonts_lack_is_printed_with_question_marks_and_said_so(tmp_path: Path) -> None:
    named = replace(outcome(), house=replace(outcome().house, name='Heron \U0001f3e0 Lane 家 <3> & "Sons"'))
    first = pages(pdf(named, "ip"), tmp_path)[0]
    assert 'Heron ? Lane ? <3> & "Sons"' in first
    assert "printed as a question mark" in first


def test_words_are_never_read_as_markup(tmp_path: Path) -> None:
    tricky = replace(outcome(), headline="*Hood* #let x = 1; $x$ _high_ @door \\ <b> // end.")
    assert "*Hood* #let x = 1; $x$ _high_ @door \\ <b> // end." in " ".join(
        pages(pdf(tricky, "ip"), tmp_path)[0].split()
    )


def test_a_paper_that_cannot_be_set_is_one_clear_message(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("airledger.report.paper._content", lambda *_: {"under": []})
    with pytest.raises(CannotCompute, match="the paper could not be set"):
        pdf(outcome(), "ip")


def test_a_paper_with_a_warning_is_not_handed_out(monkeypatch: pytest.MonkeyPatch) -> None:
    real = typst.compile_with_warnings

    def with_another_font(files: dict[str, bytes], **options: Any) -> Any:
        files["blocks.typ"] = files["blocks.typ"].replace(b"IBM Plex Sans", b"A Font That Is Not There")
        return real(files, **options)

    monkeypatch.setattr(typst, "compile_with_warnings", with_another_font)
    with pytest.raises(CannotCompute, match="unknown font family"):
        pdf(outcome(), "ip")


CHECK_HOUSE = """
house: check house
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
exhausts:
  range hood: {room: house, speeds: {high: 600 cfm}}
states:
  cooking: {range hood: high}
"""


def test_the_one_room_house_goes_from_its_file_to_one_page(system: str, tmp_path: Path) -> None:
    (tmp_path / "house.yaml").write_text(CHECK_HOUSE)
    ran = runs.study(runs.load(tmp_path / "house.yaml"), ("air_balance", "depressurization"))
    (page,) = pages(pdf(ran, system), tmp_path)
    cooking = next(state for state in json.loads(json_text(ran))["states"] if state["name"] == "cooking")
    assert line_with(page, "cooking", pascals_text(cooking["house_pressure_pa"]))
    hood = next(flow for flow in cooking["flows"] if flow["kind"] == "exhaust")
    assert line_with(page, "range hood", number(hood["flow_m3s"], "air flow", system))


@pytest.fixture(scope="module")
def example() -> Outcome:
    """The example house, all studies."""
    with resources.as_file(resources.files("airledger").joinpath("examples", "tern-street-14.yaml")) as path:
        return runs.study(runs.load(path), deepest=50)


def test_the_papers_of_the_example_house_carry_the_figures_of_its_json(
    example: Outcome, system: str, tmp_path: Path
) -> None:
    written = {path.name: path for path in write(example, tmp_path / "out", system)}
    whole = json.loads(written["airledger.json"].read_text(encoding="utf-8"))
    printed = pages(written["airledger.pdf"].read_bytes(), tmp_path)
    for row in rows(whole, "depressurization", "named"):
        assert line_with(printed[0], row["state"], pascals_text(row["house_pressure_pa"]))
        assert line_with("\n".join(printed), row["state"], number(row["house_pressure_pa"], "house pressure", system))
    best = min(rows(whole, "make_up_air", "options"), key=lambda row: int(row["rank"]))
    assert line_with(
        "\n".join(printed),
        number(best["house_pressure_pa"], "house pressure", system),
        f"{number(best['hood_m3s'], 'air flow', system)} of {number(best['hood_rated_m3s'], 'air flow', system)}",
        f"${number(best['price_usd'], 'money', system)}",
    )
    for row in rows(whole, "biggest_hood", "ducts"):
        assert line_with("\n".join(printed), row["opening"], number(row["hood_m3s"], "air flow", system))
    assert printed[0].splitlines()[0].split() == ["Tern", "Street", "14", "undated"]


def test_wind_the_start_and_the_heater_stand_in_the_paper_with_the_figures_of_the_json(
    example: Outcome, system: str, tmp_path: Path
) -> None:
    whole = json.loads(json_text(example))
    printed = pages(pdf(example, system), tmp_path)
    text = "\n".join(printed)
    assert len(printed) <= 14
    tables = (
        ("depressurization", "wind", "target", ("adds_low_pa", "adds_high_pa", "adds_low_n", "adds_high_n")),
        ("make_up_air", "start", "machines", ("lowest_pa", "below_wanted_s", "below_tolerated_s")),
        ("make_up_air", "tempered", "season", ("make_up_m3s", "heater_w", "sensible_w", "latent_w", "water_kgs")),
    )
    for study, table, first, keys in tables:
        told = rows(whole, study, table)
        assert told, table
        for row in told:
            figures = [cell_text(row[key], key, system) for key in keys if row[key] is not None]
            still = table == "wind" and not any(float(one.replace("−", "-")) for one in figures)
            wanted = () if still else figures  # told in one line of words where a gauge would show nothing
            assert line_with(text, row[first], *wanted), (table, row[first])


def test_the_states_of_the_example_house_are_all_in_the_table_of_states(example: Outcome, tmp_path: Path) -> None:
    written = {path.name: path for path in write(example, tmp_path, "ip")}
    lines = list(csv.DictReader(written["states.csv"].read_text(encoding="utf-8").splitlines()))
    assert len(lines) == len(example.states) + 50
    for line, state in zip(lines, [*example.states, *example.deepest], strict=True):
        assert float(line["house pressure [Pa]"]) == pytest.approx(state.house_pressure, rel=1e-5, abs=1e-9)


def test_the_summary_of_the_example_house_fits_a_screen(example: Outcome) -> None:
    lines = summary(example).splitlines()
    assert len(lines) <= 24
    assert max(len(line) for line in lines) <= 100
    assert " ".join(lines).startswith(example.headline[:80])


@pytest.mark.parametrize("study", sorted(outcome().results))
def test_each_study_alone_makes_a_paper(study: str, tmp_path: Path) -> None:
    alone = replace(outcome(), results={study: outcome().results[study]}, findings=(), not_run=())
    first, *others = pages(pdf(alone, "si"), tmp_path)
    assert outcome().headline in " ".join(first.split())
    assert others
