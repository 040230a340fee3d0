"""The tables as a workbook, and the owner's calendar: figures as in the CSV, the same bytes every time."""

import datetime
import io
import re

import openpyxl
import pytest

from airledger.report.columns import column, shown_value
from airledger.report.filter_calendar import filter_calendar
from airledger.report.folder import files
from airledger.report.workbook import workbook
from tests.unit.report.sample import outcome


@pytest.mark.parametrize("system", ["ip", "si"])
def test_every_table_and_every_figure_is_in_the_workbook(system):
    book = openpyxl.load_workbook(io.BytesIO(workbook(outcome(), system)))
    tables = [
        (study, name)
        for study, result in sorted(outcome().results.items())
        for name, rows in sorted(result.tables.items())
        if rows
    ]
    assert len(book.sheetnames) == len(tables)
    for sheet, (study, name) in zip(book.worksheets, tables, strict=True):
        rows = outcome().results[study].tables[name]
        heads = [cell.value for cell in sheet[1]]
        for row, line in zip(rows, sheet.iter_rows(min_row=2, values_only=True), strict=True):
            for key, value in row.items():
                there = line[heads.index(column(key, system).title)]
                if isinstance(value, int | float):
                    assert there == pytest.approx(shown_value(value, column(key, system).quantity, system), rel=1e-5)
                elif value:
                    assert str(there).strip() == value.strip()


def test_the_same_run_gives_the_same_bytes():
    assert workbook(outcome(), "ip") == workbook(outcome(), "ip")


def test_words_that_look_like_a_formula_stay_words():
    from airledger.report.workbook import _cell

    assert _cell("=1+1", "", "ip") == " =1+1"
    assert _cell("fan", "", "ip") == "fan"


def test_a_workbook_and_a_calendar_can_be_had_alone():
    day = datetime.date(2027, 3, 10)
    made = files(outcome(), "ip", day, sheets=["tables", "owner"])
    assert {"tables.xlsx", "owner.pdf", "filters.ics"} <= set(made)
    assert "filters.ics" not in files(outcome(), "ip", sheets=["owner"])


# RFC 5545: lines end in CR LF, none is longer than 75 bytes, events stand between BEGIN and END
def test_the_calendar_is_one():
    told = filter_calendar(outcome(), datetime.date(2027, 3, 10))
    lines = told.split("\r\n")
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-2:] == ["END:VCALENDAR", ""]
    assert max(len(line.encode()) for line in lines) <= 75
    assert told.count("BEGIN:VEVENT") == told.count("END:VEVENT") == 3
    assert "DTSTART;VALUE=DATE:20270509" in told
    assert len(set(re.findall(r"UID:(\S+)", told))) == 3
    assert told == filter_calendar(outcome(), datetime.date(2027, 3, 10))
