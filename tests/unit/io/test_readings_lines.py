"""A file of readings taken apart: what parts its cells, where each fault stands, how much is too much."""

import pytest

from airledger.errors import InputError, ReadingsFileError
from airledger.io.readings_lines import (
    LONGEST_CELL,
    LONGEST_VALUE,
    MOST_ROWS,
    Cell,
    fills_the_heading,
    heading_of,
    lines_of,
    read_lines,
    unit_is_known,
    units_of,
)


def told(lines):
    with pytest.raises(ReadingsFileError) as problem:
        lines.refuse()
    return [(f.line, f.column, f.key, f.problem, f.allowed, f.nearest, f.source_line) for f in problem.value.faults]


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_what_parts_the_heading_parts_every_row(mark):
    lines = lines_of(f"  # volume: 400 m3\na{mark}b{mark}c\n1{mark}2{mark}3\n", "r.csv")
    assert [cell.text for cell in lines.heading] == ["a", "b", "c"]
    assert [(cell.text, cell.line, cell.column) for cell in lines.rows[0]] == [("1", 3, 1), ("2", 3, 3), ("3", 3, 5)]
    assert lines.keys["volume"].text == "400 m3"


def test_more_semicolons_in_a_remark_than_in_the_heading_part_nothing():
    lines = lines_of("   # remark; with; many; of; them\na,b\n1,2\n", "r.csv")
    assert [cell.text for cell in lines.heading] == ["a", "b"]


def test_a_heading_of_one_column_takes_its_rows_whole():
    lines = lines_of("x\n1.5\n", "r.csv")
    assert [cell.text for cell in lines.rows[0]] == ["1.5"]


def test_a_cell_is_placed_where_it_stands_also_when_it_stands_twice():
    lines = lines_of("a,b,c,d\n7,7,,17\n", "r.csv")
    assert [cell.column for cell in lines.rows[0]] == [1, 3, 4, 6]


def test_a_cell_in_quotes_that_is_not_in_the_line_as_such_keeps_a_place_in_it():
    lines = lines_of('a,b\n"x""y",2\n', "r.csv")
    assert [(cell.text, cell.column) for cell in lines.rows[0]] == [('x"y', 1), ("2", 8)]


@pytest.mark.parametrize(("more", "faults"), [(0, 0), (1, 1), (5, 1)])
def test_rows_past_the_most_are_one_fault_at_the_first_of_them(more, faults):
    lines = lines_of("a,b\n" + "1,2\n" * (MOST_ROWS + more), "r.csv")
    assert len(lines.rows) == MOST_ROWS
    assert len(lines.faults) == faults
    if faults:
        most = f"{MOST_ROWS:,}"
        assert told(lines) == [(MOST_ROWS + 2, 1, "file", f"more than {most} rows", f"up to {most}", "", "1,2")]


def test_a_key_that_stands_twice_names_the_first():
    lines = lines_of("# volume: 400 m3\n# Volume :  500 m3\na,b\n", "r.csv")
    assert told(lines) == [
        (2, 13, "volume", "stands twice, first in line 1", "one line for each key", "", "# Volume :  500 m3")
    ]
    assert lines.keys["volume"].text == "400 m3"


def test_a_key_without_a_value_is_placed_at_its_colon():
    lines = lines_of("# volume:\na,b\n", "r.csv")
    assert (lines.keys["volume"].column, lines.keys["volume"].text) == (9, "")


def test_a_value_that_is_too_long_is_told_where_it_begins_and_its_line_is_not_printed():
    long = "7" * (LONGEST_VALUE + 1)
    lines = lines_of(f"# volume: {long}\na,b\n", "r.csv")
    shown = f"# volume: {long}"
    printed = shown if len(shown) <= LONGEST_CELL else ""
    most = f"up to {LONGEST_VALUE:,}"
    assert told(lines) == [(1, 11, "volume", f"{len(long):,} characters stand here", most, "", printed)]


def test_a_line_just_as_long_as_a_cell_may_be_is_printed_and_a_longer_one_is_not():
    for length, printed in ((LONGEST_CELL, True), (LONGEST_CELL + 1, False)):
        row = "x" * (length - 2) + ",2"
        lines = lines_of(f"a,b\n{row}\n", "r.csv")
        lines.add(lines.rows[0][1], "b", "is no number")
        assert told(lines) == [(2, length, "b", "is no number", "", "", row if printed else "")]


def test_a_fault_past_the_file_has_no_line_and_one_in_its_first_and_last_line_has():
    lines = lines_of("a,b\n1,2", "r.csv")
    for cell in (lines.heading[0], lines.rows[0][0], lines.end):
        lines.add(cell, "k", "p")

    lines.add(Cell(0, 1, ""), "k", "p")
    lines.add(Cell(3, 1, ""), "k", "p")
    assert [fault[-1] for fault in told(lines)] == ["", "a,b", "1,2", "1,2", ""]  # in the order of lines


def test_a_decimal_comma_is_told_with_its_point_and_other_words_with_what_is_allowed():
    lines = lines_of("a;b\n 12,5;fast\n", "r.csv")
    first, second = lines.rows[0]
    assert lines.quantity(first, "flow", "flow", "cfm") is None
    assert lines.quantity(second, "flow", "flow", "cfm") is None
    comma, words = told(lines)
    assert comma[4] == "write 12.5, with a point"
    assert "point" not in words[4]
    assert words[3] == "cannot read 'fast cfm'"


@pytest.mark.parametrize("name", ["r.csv", "r.txt", "r.TXT", "r"])
def test_a_text_file_of_any_of_these_names_is_read_and_named_in_what_is_wrong(tmp_path, name):
    path = tmp_path / name
    path.write_text("# volume: 1\n# volume: 2\na,b\n")
    lines = read_lines(path)
    assert lines.name == str(path)
    assert len(lines.faults) == 1


@pytest.mark.parametrize("name", ["r.pdf", "r.XXXX", "r.yaml"])
def test_a_file_of_another_kind_is_refused(tmp_path, name):
    (tmp_path / name).write_text("a,b\n")
    with pytest.raises(InputError, match=r"readings come as \.csv or \.xlsx"):
        read_lines(tmp_path / name)


def test_a_file_that_is_no_text_is_refused_by_its_name(tmp_path):
    (tmp_path / "r.csv").write_bytes(b"\xff\xfe\x00a")
    with pytest.raises(InputError) as problem:
        read_lines(tmp_path / "r.csv")
    assert str(tmp_path / "r.csv") in str(problem.value)


def test_a_workbook_is_read_row_by_row_and_what_is_wrong_names_it(tmp_path):
    import openpyxl

    book = openpyxl.Workbook()
    for row in (["# volume: 400 m3"], ["a", "b"], [1, 2.5], [3, None]):
        book.active.append(row)
    book.save(tmp_path / "r.xlsx")
    lines = read_lines(tmp_path / "r.xlsx")
    assert lines.name == str(tmp_path / "r.xlsx")
    assert [cell.text for cell in lines.heading] == ["a", "b"]
    assert [cell.text for cell in lines.rows[0]] == ["1", "2.5"]
    lines.add(lines.rows[0][1], "b", "p")
    assert told(lines)[0][-1] == "1, 2.5"


def test_a_row_has_a_value_for_each_heading_and_no_more():
    lines = lines_of("a,b\n1\n1,2,3\n1,2,\n1,2\n", "r.csv")
    assert [fills_the_heading(lines, row) for row in lines.rows] == [False, False, True, True]
    spare = "a point for decimals, no comma for thousands, every column with a heading"
    assert told(lines) == [
        (2, 1, "readings", "1 values stand here, the heading has 2", "", "", "1"),
        (3, 5, "readings", "3 values stand here, the heading has 2", spare, "", "1,2,3"),
    ]


def test_a_row_may_leave_out_its_last_columns_where_fewer_are_enough():
    lines = lines_of("a,b,c\n1\n1,2\n", "r.csv")
    assert [fills_the_heading(lines, row, 2) for row in lines.rows] == [False, True]
    assert told(lines) == [(2, 1, "readings", "1 values stand here, the heading has 3", "2 at least", "", "1")]


@pytest.mark.parametrize(
    ("text", "name", "unit"),
    [
        (" House  Pressure [ Pa ] ", "house pressure", "Pa"), ("flow", "flow", ""), ("x [a] b", "x [a] b", ""),
        ("", "", ""), ("[cfm]", "", "cfm"), ("two\nlines", "two lines", ""),
    ],
)  # fmt: skip
def test_a_heading_is_a_name_and_a_unit(text, name, unit):
    assert heading_of(Cell(1, 1, text)) == (name, unit)


def test_units_are_listed_as_they_may_be_typed():
    assert units_of("flow") == "cfm, L/s, m3/h"
    assert unit_is_known("cfm", "flow")
    assert not unit_is_known("Pa", "flow")


def test_a_value_that_stands_in_its_own_key_too_is_placed_behind_the_colon_or_at_its_first_place():
    lines = lines_of("# remark: a: b: \na,b\n", "r.csv")
    assert [cell.text for cell in (*lines.remarks, *lines.keys.values())] == ["a: b:"]


def test_a_long_remark_is_kept_up_to_a_cell_and_is_no_fault():
    lines = lines_of(f"# remark: {'x' * 400}\na,b\n", "r.csv")
    assert lines.faults == []
    assert lines.keys["remark"].text == "x" * LONGEST_CELL
