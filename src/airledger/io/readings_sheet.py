"""The first sheet of a workbook as rows of words, laid out like a CSV file of readings."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Sequence

from airledger.errors import Fault, ReadingsFileError

LARGEST = 1_000_000
LARGEST_UNPACKED = 30_000_000
MOST_ROWS, MOST_COLUMNS = 6_000, 40


def sheet_rows(data: bytes, name: str) -> list[tuple[int, Sequence[str]]]:
    """Line number and cells of each row of the first sheet; a key and its value may stand in neighbouring cells.

    Parameters
    ----------
    data : bytes
        the file [-]
    name : str
        what to call it in messages [-]

    Raises
    ------
    ReadingsFileError
        too large, or no workbook.
    """
    from openpyxl import load_workbook  # noqa: PLC0415 - most readings come as CSV

    if len(data) > LARGEST:
        raise ReadingsFileError(name, [Fault(1, 1, "file", "longer than any readings", f"up to {LARGEST:,} bytes")])
    try:
        unpacked = sum(part.file_size for part in zipfile.ZipFile(io.BytesIO(data)).infolist())
        if unpacked > LARGEST_UNPACKED:
            raise ReadingsFileError(name, [Fault(1, 1, "file", "unpacks to more than any readings", "a smaller file")])
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        sheet = book.worksheets[0]
        found = sheet.iter_rows(max_row=MOST_ROWS, max_col=MOST_COLUMNS, values_only=True)
        return [(number, _words(row)) for number, row in enumerate(found, 1)]
    except ReadingsFileError:
        raise
    except Exception as problem:  # whatever a broken archive makes the library raise
        reason = type(problem).__name__
        raise ReadingsFileError(
            name, [Fault(1, 1, "file", f"is no workbook that can be read ({reason})", "an .xlsx file, or .csv")]
        ) from None


def _words(row: Sequence[object]) -> list[str]:
    cells = ["" if cell is None else _word(cell) for cell in row]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _word(cell: object) -> str:
    if isinstance(cell, float):
        return f"{cell:.10g}"
    if isinstance(cell, datetime.datetime) and cell.time() == datetime.time():
        return cell.date().isoformat()
    return str(cell)
