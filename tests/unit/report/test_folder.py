"""Writing a run: only its own files, each whole, nothing when something cannot be made."""

from dataclasses import replace
from pathlib import Path

import pytest

from airledger.errors import CannotCompute, InputError
from airledger.report.folder import files, write
from airledger.studies.protocol import Result
from tests.unit.report.sample import outcome


def test_what_is_written_is_what_was_made_and_foreign_files_stay(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("keep")
    (tmp_path / "states.csv").write_text("old")
    written = write(outcome(), tmp_path, "ip")
    made = files(outcome(), "ip")
    assert {path.name for path in tmp_path.iterdir()} == {*made, "mine.txt"}
    assert [path.read_bytes() for path in written] == list(made.values())
    assert (tmp_path / "mine.txt").read_text() == "keep"


def test_a_folder_is_made_where_there_is_none(tmp_path: Path) -> None:
    assert write(outcome(), tmp_path / "a" / "b")[0] == tmp_path / "a" / "b" / "airledger.pdf"


def test_nothing_is_written_when_a_value_is_no_number(tmp_path: Path) -> None:
    spoilt = replace(outcome(), results={**outcome().results, "x": Result(tables={"t": ({"a_pa": float("nan")},)})})
    with pytest.raises(CannotCompute):
        write(spoilt, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_file_where_the_folder_should_be_is_told_in_one_message(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(InputError, match="out"):
        write(outcome(), tmp_path / "out")


def test_a_folder_where_a_file_should_be_leaves_nothing_half_written(tmp_path: Path) -> None:
    (tmp_path / "airledger.pdf").mkdir()
    with pytest.raises(InputError, match=r"airledger\.pdf"):
        write(outcome(), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["airledger.pdf"]
