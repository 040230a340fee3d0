"""All tables of a run as one workbook: a sheet a table, units in the headings, the same bytes for the same run."""

from __future__ import annotations

import datetime
import io
import re
import zipfile

from airledger.report.columns import column, shown_value
from airledger.report.outcome import Outcome
from airledger.studies.protocol import Row

LONGEST_NAME = 31  # of a sheet, by the file format
FIXED = datetime.datetime(2000, 1, 1)  # noqa: DTZ001 - the file format knows no zone


def workbook(outcome: Outcome, system: str, date: datetime.date | None = None) -> bytes:
    """The workbook.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    date : date
        kept as the file's date; None keeps a fixed one
    """
    from openpyxl import Workbook  # noqa: PLC0415 - only a run that asks for it pays for it

    book = Workbook()
    for blank in list(book.worksheets):
        book.remove(blank)
    moment = FIXED if date is None else datetime.datetime(date.year, date.month, date.day)  # noqa: DTZ001 - as above
    book.properties.created = book.properties.modified = moment
    book.properties.title, book.properties.creator = outcome.house.name, "airledger"
    for study, result in sorted(outcome.results.items()):
        for name, rows in sorted(result.tables.items()):
            if rows:
                sheet = book.create_sheet(_name(f"{study} {name}", book.sheetnames))
                for line in _lines(rows, system):
                    sheet.append(line)
                sheet.freeze_panes = "A2"
    raw = io.BytesIO()
    book.save(raw)
    return _repacked(raw.getvalue(), moment)


def _name(words: str, taken: list[str]) -> str:
    """A sheet's name: plain words, short, not used yet."""
    plain = re.sub(r"[\[\]:*?/\\]", " ", words.replace("_", " "))[:LONGEST_NAME]
    number = 2
    found = plain
    while found in taken:
        found = f"{plain[: LONGEST_NAME - 3]} {number}"
        number += 1
    return found


def _lines(rows: tuple[Row, ...], system: str) -> list[list[str | float | None]]:
    keys = list(dict.fromkeys(key for row in rows for key in row))
    columns = [column(key, system) for key in keys]
    lines: list[list[str | float | None]] = [[c.title for c in columns]]
    for row in rows:
        lines.append([_cell(row.get(c.key), c.quantity, system) for c in columns])
    return lines


def _cell(value: object, quantity: str, system: str) -> str | float | None:
    """A number in its shown unit; words that begin like a formula stay words."""
    if value is None:
        return None
    if isinstance(value, int | float):
        return float(f"{shown_value(float(value), quantity, system):.6g}") + 0.0
    words = str(value)
    return f" {words}" if words[:1] in "=+-@" else words


def _repacked(data: bytes, moment: datetime.datetime) -> bytes:
    """The archive again with one time for every part, so that the same tables give the same bytes."""
    packed = io.BytesIO()
    stamp = (max(moment.year, 1980), moment.month, moment.day, 0, 0, 0)
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        for name in sorted(old.namelist()):
            content = old.read(name)
            if name == "docProps/core.xml":
                day = f"{moment:%Y-%m-%dT%H:%M:%SZ}".encode()
                content = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>" + day, content)
            new.writestr(zipfile.ZipInfo(name, stamp), content, zipfile.ZIP_DEFLATED)
    return packed.getvalue()
