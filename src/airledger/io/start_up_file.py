"""Start-up readings from a file: what was running, what was read where, with which instrument.

# date: 2027-03-10
# instrument hood: powered flow hood, accuracy 6 %, calibrated on 2026-11-02
state,what,where,value,instrument,repeats
low,supply,main bedroom,24 cfm,hood,3
cooking,house pressure,great room,-14.5 Pa,gauge,1
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from airledger.errors import InputError, QuantityError
from airledger.io.fields import nearest
from airledger.io.readings_lines import Cell, Lines, heading_of, lines_of, read_lines
from airledger.rules.instruments import CALIBRATED_WITHIN, STALE, Instrument, instrument, instrument_keys
from airledger.rules.start_up import NO, WHATS, YES, StartUp, StartUpReading
from airledger.units import parse

COLUMNS = ("state", "what", "where", "value", "instrument", "repeats", "note")
NEEDED = COLUMNS[:4]
KEYS = ("date", "tester", "house", "address", "indoor temperature", "outdoor temperature", "wind", "remark")
MOST = {"flow": 5.0, "pressure": 500.0, "force": 2_000.0}
"""Readings that cannot be in a house: past 5 m3/s, 500 Pa, 2,000 N."""


@dataclass(frozen=True)
class Named:
    """An instrument as the file names it: which it is, its error, whether its calibration is old or not told."""

    made: Instrument
    stale: bool


def read_start_up(path: str | Path) -> StartUp:
    """The start-up readings of a file.

    Parameters
    ----------
    path : str or Path
        a .csv or .xlsx file [-]
    """
    return _start_up(read_lines(path))


def read_start_up_text(text: str, name: str = "start-up.csv") -> StartUp:
    """The start-up readings of a text.

    Parameters
    ----------
    text : str
        the content of a CSV file [-]
    name : str
        what to call it in messages [-]
    """
    return _start_up(lines_of(text, name))


def _start_up(lines: Lines) -> StartUp:
    day = _day(lines)
    instruments = _instruments(lines, day)
    columns = _columns(lines)
    readings = []
    if not lines.faults and not lines.rows:
        lines.add(lines.end, "readings", "there are none below the heading", "a row for each reading")
    for row in lines.rows if columns else ():
        if len(row) < len(NEEDED):
            lines.add(row[-1], "readings", f"{len(row)} values stand here, at least {len(NEEDED)} are wanted")
            continue
        cells = {name: row[place] for name, place in columns.items() if place < len(row)}
        reading = _reading(lines, cells, instruments)
        if reading is not None:
            readings.append(reading)
    lines.refuse()
    plain = {key: lines.keys[key].text for key in ("date", "tester") if key in lines.keys}
    return StartUp(lines.name, tuple(readings), **plain)


def _day(lines: Lines) -> datetime.date | None:
    cell = lines.keys.get("date")
    if cell is None:
        return None
    try:
        return datetime.date.fromisoformat(cell.text)
    except ValueError:
        lines.add(cell, "date", f"{cell.text!r} is no date", "a date like 2027-03-10")
        return None


def _instruments(lines: Lines, day: datetime.date | None) -> dict[str, Named]:
    """The instruments by the name that the rows use; those of the table may be used without a line."""
    found = {key: Named(instrument(key), True) for key in instrument_keys()}
    for key, cell in lines.keys.items():
        if not key.startswith("instrument "):
            if key not in KEYS:
                lines.add(
                    Cell(cell.line, 1, ""),
                    key,
                    "no such key",
                    ", ".join((*KEYS, "instrument NAME")),
                    nearest(key, KEYS),
                )
            continue
        parts = [part.strip() for part in cell.text.split(",")]
        accuracy, stale = None, True
        for part in parts[1:]:
            if part.startswith("accuracy "):
                accuracy = _accuracy(lines, cell, key, part.removeprefix("accuracy "))
            elif match := re.fullmatch(r"calibrated(?: on)? (\d{4}-\d{2}-\d{2})", part):
                stale = _stale(lines, cell, key, match.group(1), day)
            elif part:
                lines.add(cell, key, f"cannot read {part[:60]!r}", "accuracy 6 %, calibrated on 2026-11-02")
        try:
            found[key.removeprefix("instrument ")] = Named(instrument(parts[0].lower(), accuracy), stale)
        except InputError:
            known = instrument_keys()
            lines.add(cell, key, f"no instrument is called {parts[0]!r}", ", ".join(known), nearest(parts[0], known))
    return found


def _accuracy(lines: Lines, cell: Cell, key: str, words: str) -> float | None:
    try:
        value = parse(words, "fraction")
    except QuantityError:
        value = -1.0
    if not 0.001 <= value <= 0.5:
        lines.add(cell, key, f"accuracy {words!r} cannot be", "0.1 to 50 %")
        return None
    return value


def _stale(lines: Lines, cell: Cell, key: str, words: str, day: datetime.date | None) -> bool:
    try:
        calibrated = datetime.date.fromisoformat(words)
    except ValueError:
        lines.add(cell, key, f"{words!r} is no date", "a date like 2026-11-02")
        return True
    return day is None or (day - calibrated).days > CALIBRATED_WITHIN


def _columns(lines: Lines) -> dict[str, int]:
    if not lines.heading:
        lines.add(lines.end, "heading", "is missing", ",".join(COLUMNS))
        return {}
    found = {}
    for place, cell in enumerate(lines.heading):
        name, _ = heading_of(cell)
        if name not in COLUMNS:
            lines.add(cell, "heading", f"no such column {name!r}", ", ".join(COLUMNS), nearest(name, COLUMNS))
        found[name] = place
    for name in NEEDED:
        if name not in found:
            lines.add(lines.heading[0], "heading", f"no column {name!r}", ", ".join(COLUMNS))
    return found if not lines.faults else {}


def _reading(lines: Lines, cells: Mapping[str, Cell], instruments: Mapping[str, Named]) -> StartUpReading | None:
    what = cells["what"].text.lower()
    if what not in WHATS:
        lines.add(
            cells["what"], "what", f"{cells['what'].text!r} is not known", ", ".join(WHATS), nearest(what, tuple(WHATS))
        )
        return None
    dimension, on = WHATS[what]
    value_cell, words = cells["value"], cells["value"].text.lower()
    told = (cells["state"].text, what, cells["where"].text)
    if not dimension:
        if words not in (*YES, *NO):
            lines.add(value_cell, "value", f"{value_cell.text!r} is not known", ", ".join((*YES, *NO)))
            return None
        return StartUpReading(*told, None, words, 0.0, "", False, value_cell.line)
    value = lines.quantity(value_cell, "value", dimension)
    named = _instrument(lines, cells, instruments, dimension, on)
    if value is not None and abs(value) > MOST[dimension]:
        lines.add(value_cell, "value", f"{value_cell.text!r} cannot be in a house")
    if value is None or named is None:
        return None
    error = named.made.of(value, _repeats(lines, cells)) * (STALE if named.stale else 1.0)
    return StartUpReading(*told, value, "", error, named.made.key, named.stale, value_cell.line)


def _instrument(
    lines: Lines, cells: Mapping[str, Cell], instruments: Mapping[str, Named], dimension: str, on: str
) -> Named | None:
    cell = cells.get("instrument")
    if cell is None or not cell.text:
        lines.add(cell or cells["value"], "instrument", "none is named: a reading without one decides nothing",
                  ", ".join(instrument_keys(dimension, on)))  # fmt: skip
        return None
    named = instruments.get(cell.text.lower())
    if named is None:
        known = tuple(instruments)
        lines.add(cell, "instrument", f"{cell.text!r} is not named above", ", ".join(known), nearest(cell.text, known))
        return None
    if named.made.measures != dimension or on not in named.made.may:
        fit = ", ".join(instrument_keys(dimension, on))
        lines.add(cell, "instrument", f"a {named.made.key} does not read this", fit)
        return None
    return named


def _repeats(lines: Lines, cells: Mapping[str, Cell]) -> int:
    cell = cells.get("repeats")
    if cell is None or not cell.text:
        return 1
    if not re.fullmatch(r"[1-9]\d?", cell.text):
        lines.add(cell, "repeats", f"cannot read {cell.text[:30]!r}", "a number from 1 to 99")
        return 1
    return int(cell.text)
