"""The lines of a file of readings, from CSV or from a sheet: `# key: value unit` above, then a heading and its rows.

    # direction: depressurization
    # indoor temperature: 72 F
    pressure [Pa],flow [cfm]
    -50.2,412

Faults are gathered, each with line and column, so that a tester mends them in one go.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from airledger.errors import Fault, InputError, QuantityError, ReadingsFileError
from airledger.io.house_file import file_bytes
from airledger.io.marks import decode
from airledger.units import expected, parse

SHEETS = (".xlsx", ".xlsm")
MOST_ROWS = 5_000
LONGEST_CELL = 300
LONGEST_VALUE = 2_000
"""Behind a key: a minute of baseline, second by second, or a long list of what was taped; more is refused, not cut."""
FREE = ("remark", "address")
"""Keys whose words are for people: cut where they are too long."""
PADDING = ' ,;\t"'  # a workbook saved as CSV fills up its lines, and may put a value into a cell of its own
_KEY = re.compile(r"#\s*([^:#]{1,80}?)\s*:\s*(.*)$")
_HEADING = re.compile(r"^\s*(.*?)\s*(?:\[\s*(.*?)\s*\])?\s*$")


@dataclass(frozen=True)
class Cell:
    """What stands in one place of the file."""

    line: int
    column: int
    text: str


@dataclass
class Lines:
    """A file of readings taken apart: keys, heading, rows, remarks, and the faults found on the way."""

    name: str
    keys: dict[str, Cell] = field(default_factory=dict)
    heading: list[Cell] = field(default_factory=list)
    rows: list[list[Cell]] = field(default_factory=list)
    remarks: list[Cell] = field(default_factory=list)
    source: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    def add(self, cell: Cell, key: str, problem: str, allowed: str = "", nearest: str = "") -> None:
        """Notes a fault."""
        shown = self.source[cell.line - 1] if 0 < cell.line <= len(self.source) else ""
        shown = shown if len(shown) <= LONGEST_CELL else ""
        self.faults.append(Fault(cell.line, cell.column, key, problem, allowed, nearest, shown))

    def refuse(self) -> None:
        """Stops where faults were found.

        Raises
        ------
        ReadingsFileError
            there are faults; carries all of them.
        """
        if self.faults:
            raise ReadingsFileError(self.name, self.faults)

    def quantity(self, cell: Cell, key: str, dimension: str, unit: str = "") -> float | None:
        """The SI value of a cell; a fault and None where it is none."""
        text = f"{cell.text} {unit}".strip()
        try:
            return parse(text, dimension)
        except QuantityError as problem:
            comma = re.fullmatch(r"\s*[-+−]?\d+,\d{1,2}\s*", cell.text)
            hint = f"write {cell.text.strip().replace(',', '.')}, with a point" if comma else problem.expected
            self.add(cell, key, f"cannot read {text[:60]!r}", hint)
            return None

    @property
    def end(self) -> Cell:
        """The last place of the file, for what is missing."""
        return Cell(max(1, len(self.source)), 1, "")


def read_lines(path: str | Path) -> Lines:
    """A file of readings, taken apart.

    Parameters
    ----------
    path : str or Path
        a .csv or .xlsx file [-]

    Raises
    ------
    InputError
        no such file, or one of another kind.
    """
    name = str(path)
    if Path(path).suffix.lower() in SHEETS:
        from airledger.io.readings_sheet import sheet_rows  # noqa: PLC0415 - most readings come as CSV

        return _taken_apart(name, sheet_rows(file_bytes(path), name))
    if Path(path).suffix.lower() not in (".csv", ".txt", ""):
        raise InputError(f"{name}: readings come as .csv or .xlsx")
    return lines_of(decode(file_bytes(path), name), name)


def lines_of(text: str, name: str) -> Lines:
    """A text of readings, taken apart.

    Parameters
    ----------
    text : str
        the content of a CSV file [-]
    name : str
        what to call it in messages [-]
    """
    source = text.splitlines()
    delimiter = _delimiter(source)
    rows = []
    for number, line in enumerate(source, 1):
        if line.lstrip().startswith("#") or not line.strip():
            rows.append((number, [line]))
        else:
            rows.append((number, next(csv.reader([line], delimiter=delimiter), [])))
    return _taken_apart(name, rows, source)


def _delimiter(source: Iterable[str]) -> str:
    """What parts the cells: what the heading uses."""
    heading = next((line for line in source if line.strip() and not line.lstrip().startswith("#")), "")
    return max(",;\t", key=heading.count)


def _taken_apart(name: str, rows: Sequence[tuple[int, Sequence[str]]], source: list[str] | None = None) -> Lines:
    made = Lines(name, source=source if source is not None else [", ".join(cells) for _, cells in rows])
    for number, cells in rows:
        told = [cell.strip() for cell in cells]
        if not any(told):
            continue
        if told[0].startswith("#"):
            _key(made, number, " ".join(part for part in told if part))
            continue
        placed = _placed(made, number, told)
        if not made.heading:
            while not placed[-1].text:
                placed.pop()
            made.heading = placed
        elif len(made.rows) < MOST_ROWS:
            made.rows.append(placed)
        else:
            made.add(placed[0], "file", f"more than {MOST_ROWS:,} rows", f"up to {MOST_ROWS:,}")
            break
    return made


def _placed(made: Lines, number: int, told: Sequence[str]) -> list[Cell]:
    """Cells with the column in which each begins."""
    line = made.source[number - 1] if number <= len(made.source) else ""
    placed, at = [], 0
    for text in told:
        found = line.find(text, at) if text else at
        at = found if found >= 0 else at
        placed.append(Cell(number, at + 1, text[:LONGEST_CELL]))
        at += len(text)
    return placed


def _key(made: Lines, number: int, line: str) -> None:
    match = _KEY.match(line)
    if match is None:
        made.remarks.append(Cell(number, 1, line[:LONGEST_CELL]))
        return
    key = " ".join(match.group(1).lower().split())
    shown = made.source[number - 1] if number <= len(made.source) else line
    value = match.group(2).strip(PADDING)
    at = shown.find(value) if value else shown.find(":")
    cell = Cell(number, max(at, 0) + 1, value[: LONGEST_CELL if key in FREE else LONGEST_VALUE])
    if len(value) > LONGEST_VALUE and key not in FREE:
        made.add(cell, key, f"{len(value):,} characters stand here", f"up to {LONGEST_VALUE:,}")
    if key in made.keys:
        made.add(cell, key, f"stands twice, first in line {made.keys[key].line}", "one line for each key")
    else:
        made.keys[key] = cell


def fills_the_heading(lines: Lines, row: Sequence[Cell], least: int = 0) -> bool:
    """Whether a row has a value for each heading and no more: a comma for thousands would shift them unseen.

    Parameters
    ----------
    lines : Lines
        the file; a fault is noted there [-]
    row : Sequence[Cell]
        one row [-]
    least : int
        how many values are enough; 0 wants one for each heading [-]
    """
    told = f"{len(row)} values stand here, the heading has {len(lines.heading)}"
    if len(row) < (least or len(lines.heading)):
        lines.add(row[-1], "readings", told, f"{least} at least" if least else "")
        return False
    spare = next((cell for cell in row[len(lines.heading) :] if cell.text), None)
    if spare is not None:
        lines.add(spare, "readings", told, "a point for decimals, no comma for thousands, every column with a heading")
    return spare is None


def heading_of(cell: Cell) -> tuple[str, str]:
    """Name and unit of a heading: ``pressure [Pa]`` is pressure, Pa.

    Parameters
    ----------
    cell : Cell
        one heading [-]
    """
    match = _HEADING.match(cell.text)
    name, unit = (match.group(1), match.group(2)) if match else (cell.text, "")
    return " ".join((name or "").lower().split()), unit or ""


def unit_is_known(unit: str, dimension: str) -> bool:
    """Whether a unit is one of a dimension.

    Parameters
    ----------
    unit : str
        as typed [-]
    dimension : str
        a key of `units.UNITS` [-]
    """
    try:
        parse(f"1 {unit}", dimension)
    except QuantityError:
        return False
    return True


def units_of(dimension: str) -> str:
    """What may stand as a unit of a dimension, in words.

    Parameters
    ----------
    dimension : str
        a key of `units.UNITS` [-]
    """
    return expected(dimension).partition("one of: ")[2]
