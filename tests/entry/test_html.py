"""The page for a browser as it reaches a reader: its text is taken out again and compared with the JSON of the run."""

from __future__ import annotations

import html
import json
import re
from dataclasses import replace
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from airledger import runs
from airledger.quantities import number
from airledger.report import write
from airledger.report.blocks import sentence, together
from airledger.report.outcome import Outcome
from tests.unit.report.sample import outcome


def lines(page: str) -> list[str]:
    """The text of the page: a line for each row, item and paragraph, cells apart, styles left out."""
    body = page.partition("<main>")[2]
    broken = re.sub(r"<(?:/tr|/p|/h\d|/div|/li|/svg|/text|p class)[^>]*>", "\n", body)
    words = html.unescape(re.sub(r"<[^>]+>", " ", broken)).replace("\u00a0", " ")
    return [" ".join(line.split()) for line in words.splitlines() if line.strip()]


def line_with(text: list[str], *figures: str) -> bool:
    return any(
        all(re.search(rf"(?<![\d.,]){re.escape(figure)}(?![\d,]|\.\d)", line) for figure in figures) for line in text
    )


@pytest.fixture(scope="module", params=["tern-street-14", "alder-court-9"])
def example(request: pytest.FixtureRequest) -> Outcome:
    """An example house, all studies."""
    with resources.as_file(resources.files("airledger").joinpath("examples", f"{request.param}.yaml")) as path:
        return runs.study(runs.load(path))


@pytest.fixture(params=["ip", "si"])
def system(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def written(ran: Outcome, folder: Path, system: str) -> tuple[list[str], dict[str, Any]]:
    made = {path.name: path.read_text(encoding="utf-8") for path in write(ran, folder, system) if path.suffix != ".pdf"}
    return lines(made["airledger.html"]), json.loads(made["airledger.json"])


def test_figures_are_those_of_the_json(example: Outcome, system: str, tmp_path: Path) -> None:
    text, whole = written(example, tmp_path, system)
    tables = {(study, name): rows for study, got in whole["studies"].items() for name, rows in got["tables"].items()}
    for row in tables["depressurization", "named"]:
        keys = ("house_pressure_pa", "low_pa", "high_pa", "worst_room_pressure_pa")
        shown = [number(row[key], "house pressure", system) for key in keys if row[key] is not None]
        assert line_with(text, row["state"], *shown)
    for row in tables["depressurization", "worst"]:
        key, quantity = ("force_n", "force") if row["target_kind"] == "door" else ("pressure_pa", "house pressure")
        assert line_with(text, row["target"], number(row[key], quantity, system))
    for row in tables["depressurization", "fans"]:
        assert line_with(
            text, row["machine"], *(number(row[key], "air flow", system) for key in ("rated_m3s", "real_m3s"))
        )
    for row in tables["biggest_hood", "ducts"]:
        assert line_with(text, row["opening"], number(row["hood_m3s"], "air flow", system))
    for row in tables["air_balance", "yearly_air"]:
        if row["air_m3"] is not None:
            assert line_with(text, row["cause"], number(row["air_m3"], "air a year", system))
    best = min(tables["make_up_air", "options"], key=lambda row: int(row["rank"]))
    assert line_with(
        text,
        number(best["house_pressure_pa"], "house pressure", system),
        f"{number(best['hood_m3s'], 'air flow', system)} of {number(best['hood_rated_m3s'], 'air flow', system)}",
        number(best["door_force_n"], "force", system),
        f"${number(best['price_usd'], 'money', system)}",
    )


def test_every_finding_of_the_json_is_told_danger_first(example: Outcome, system: str, tmp_path: Path) -> None:
    text, whole = written(example, tmp_path, system)
    told = "\n".join(text)
    places = []
    punch = told.rindex("on the punch list.")
    for finding in whole["findings"]:
        message = " ".join(together(sentence(finding["message"])).replace("\u00a0", " ").split())
        places.append((finding["severity"], told.index(message, punch)))
    assert places
    last = max((place for severity, place in places if severity == "danger"), default=-1)
    assert all(place > last for severity, place in places if severity != "danger")


def test_every_word_of_the_json_on_assumptions_is_told(example: Outcome, tmp_path: Path) -> None:
    text, whole = written(example, tmp_path, "ip")
    for entry in whole["assumed"]:
        assert any(line.startswith(entry["path"]) for line in text), entry["path"]
        if isinstance(entry["value"], str):
            assert any(entry["value"] in line for line in text), entry["path"]
    assert not re.search("[\ue000-\uf8ff]", "".join(text) + json.dumps(whole, ensure_ascii=False))


def test_a_date_is_shown_else_the_page_says_undated(tmp_path: Path) -> None:
    write(outcome(), tmp_path, "ip")
    assert "undated" in (tmp_path / "airledger.html").read_text(encoding="utf-8")


def test_a_word_of_sixty_letters_may_break_everywhere_but_in_a_box_that_scrolls(tmp_path: Path) -> None:
    write(replace(outcome(), headline="W" * 60 + "."), tmp_path, "ip")
    page = (tmp_path / "airledger.html").read_text(encoding="utf-8")
    body = re.search(r"^body \{[^}]*\}", page, re.MULTILINE)
    assert body is not None
    assert "overflow-wrap: anywhere" in body[0]
    for box in ("figure", r"\.scroll"):
        rule = re.search(rf"^{box} \{{[^}}]*\}}", page, re.MULTILINE)
        assert rule is not None
        assert "overflow-x: auto" in rule[0]
    outside = re.sub(r'<div class="scroll".*?</div>|<figure.*?</figure>', "", page, flags=re.DOTALL)
    assert "<table" not in outside
    assert "<svg" not in outside
