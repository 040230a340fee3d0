"""Readings from a workbook: the same rows as from a text, and every refusal in full."""

import datetime
import io
import zipfile

import openpyxl
import pytest

from airledger.errors import ReadingsFileError
from airledger.io import readings_sheet
from airledger.io.readings_sheet import MOST_COLUMNS, MOST_ROWS, sheet_rows


def workbook(rows):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def refused(data, name="r.xlsx"):
    with pytest.raises(ReadingsFileError) as told:
        sheet_rows(data, name)
    (one,) = told.value.faults
    assert str(told.value).startswith(f"{name}:")
    return one.line, one.column, one.key, one.problem, one.allowed


def test_cells_become_the_words_that_a_person_would_type():
    rows = [["# volume: 400 m3"], ["a", "b", None, "c"], [1, 2.5, None, None], [-0.1, 0.30000000000000004, "x, y"]]
    assert sheet_rows(workbook(rows), "r.xlsx") == [
        (1, ["# volume: 400 m3"]), (2, ["a", "b", "", "c"]), (3, ["1", "2.5"]), (4, ["-0.1", "0.3", "x, y"]),
    ]  # fmt: skip


def test_a_date_reads_as_a_date_and_a_moment_as_a_moment():
    day = datetime.datetime.fromisoformat("2027-03-10")
    moment = datetime.datetime.fromisoformat("2027-03-10T09:30:00")
    assert sheet_rows(workbook([["a", day, moment, True]]), "r.xlsx") == [
        (1, ["a", "2027-03-10", "2027-03-10 09:30:00", "True"])
    ]


def test_only_the_first_sheet_is_read_and_a_formula_by_its_last_value():
    book = openpyxl.Workbook()
    book.active.append(["a", "=1+1"])
    book.create_sheet("second").append(["no"])
    out = io.BytesIO()
    book.save(out)
    assert sheet_rows(out.getvalue(), "r.xlsx") == [(1, ["a"])]  # never opened by a program that works it out


def test_rows_and_columns_past_the_most_are_not_looked_at():
    rows = sheet_rows(workbook([["a"] * (MOST_COLUMNS + 1)] + [["b"]] * MOST_ROWS), "r.xlsx")
    assert len(rows) == MOST_ROWS
    assert len(rows[0][1]) == MOST_COLUMNS


def test_what_is_no_workbook_is_refused_in_full():
    words = "is no workbook that can be read (BadZipFile)"
    assert refused(b"not a workbook") == (1, 1, "file", words, "an .xlsx file, or .csv")


def test_a_workbook_larger_than_any_readings_is_refused_and_one_just_as_large_is_looked_at(monkeypatch):
    data = workbook([["a"]])
    monkeypatch.setattr(readings_sheet, "LARGEST", len(data))
    assert sheet_rows(data, "r.xlsx")
    monkeypatch.setattr(readings_sheet, "LARGEST", len(data) - 1)
    assert refused(data) == (1, 1, "file", "longer than any readings", f"up to {len(data) - 1:,} bytes")


def test_a_workbook_that_unpacks_to_more_than_any_readings_is_refused(monkeypatch):
    data = workbook([["a"]])
    with zipfile.ZipFile(io.BytesIO(data)) as parcel:
        unpacked = sum(one.file_size for one in parcel.infolist())
    monkeypatch.setattr(readings_sheet, "LARGEST_UNPACKED", unpacked)
    assert sheet_rows(data, "r.xlsx")
    monkeypatch.setattr(readings_sheet, "LARGEST_UNPACKED", unpacked - 1)
    assert refused(data) == (1, 1, "file", "unpacks to more than any readings", "a smaller file")
