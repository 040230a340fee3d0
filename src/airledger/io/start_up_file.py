"""Start-up readings from a file: what was running, what was read where, with which instrument.

# date: 2027-03-10
# instrument hood: powered flow hood, accuracy 6 %, calibrated on 2026-11-02
state,what,where,value,instrument,repeats
low,supply,main bedroom,24 cfm,hood,3
cooking,house pressure,great room,-14.5 Pa,gauge,1

A value is what the instrument showed, in its unit: the flow itself, or what the flow is made of (the speeds of a
traverse, the pressure at a plate, the time of a bag). Several stand in one cell with semicolons between.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from pathlib import Path

from airledger.errors import InputError, OutOfRange, QuantityError
from airledger.io.fields import nearest
from airledger.io.readings_lines import LONGEST_CELL, Cell, Lines, fills_the_heading, heading_of, lines_of, read_lines
from airledger.io.start_up_meters import OWN, meters
from airledger.io.through import passage
from airledger.physics.flow_instruments import Read
from airledger.rules.instruments import instrument_keys
from airledger.rules.shown import PASSED, SHOWS, Meter, Shown, taken
from airledger.rules.start_up import NO, OPENED, STAYED_SHUT, WHATS, YES, StartUp, StartUpReading
from airledger.units import expected, leading_number, parse

COLUMNS = ("state", "what", "where", "value", "instrument", "repeats", "baseline", "through", "note")
NEEDED = COLUMNS[:4]
MOST = {"flow": 5.0, "pressure": 500.0, "force": 2_000.0, "speed": 60.0, "time": 36_000.0}
"""Readings that cannot be in a house: past 5 m3/s, 500 Pa, 2,000 N, 60 m/s, ten hours."""
MOST_SAMPLES = 100


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
    instruments = meters(lines, day)
    columns = _columns(lines)
    readings: list[StartUpReading] = []
    first: dict[tuple[str, ...], int] = {}
    if not lines.faults and not lines.rows:
        lines.add(lines.end, "readings", "there are none below the heading", "a row for each reading")
    for row in lines.rows if columns else ():
        if not fills_the_heading(lines, row, len(NEEDED)):
            continue
        cells = {name: row[place] for name, place in columns.items() if place < len(row)}
        reading = _reading(lines, cells, instruments)
        if reading is not None and not _stands_twice(lines, cells, first):
            readings.append(reading)
    lines.refuse()
    plain = {key: lines.keys[key].text for key in ("date", "tester", "house", "address") if key in lines.keys}
    return StartUp(lines.name, tuple(readings), **plain)


def _stands_twice(lines: Lines, cells: Mapping[str, Cell], first: dict[tuple[str, ...], int]) -> bool:
    """Whether one instrument read one place in one state before: which of the two counts, nobody can know."""
    told = tuple(cells[name].text.lower() for name in ("state", "what", "where", "instrument") if name in cells)
    line = first.setdefault(told, cells["value"].line)
    if line == cells["value"].line:
        return False
    problem = f"read before, in line {line}, with the same instrument: which one counts?"
    lines.add(cells["where"], "readings", problem, "one row for each; samples of one reading in one cell: 24; 25 cfm")
    return True


def _day(lines: Lines) -> datetime.date | None:
    cell = lines.keys.get("date")
    if cell is None:
        return None
    try:
        return datetime.date.fromisoformat(cell.text)
    except ValueError:
        lines.add(cell, "date", f"{cell.text[:60]!r} is no date", "a date like 2027-03-10")
        return None


def _columns(lines: Lines) -> dict[str, int]:
    if not lines.heading:
        lines.add(lines.end, "heading", "is missing", ",".join(COLUMNS))
        return {}
    found = {}
    for place, cell in enumerate(lines.heading):
        name, _ = heading_of(cell)
        if name not in COLUMNS:
            lines.add(cell, "heading", f"no such column {name!r}", ", ".join(COLUMNS), nearest(name, COLUMNS))
        if name in found:
            lines.add(cell, "heading", f"the column {name!r} stands twice", "each column once")
        found[name] = place
    for name in NEEDED:
        if name not in found:
            lines.add(lines.heading[0], "heading", f"no column {name!r}", ", ".join(COLUMNS))
    return found if not lines.faults else {}


def _reading(lines: Lines, cells: Mapping[str, Cell], instruments: Mapping[str, Meter]) -> StartUpReading | None:
    what = cells["what"].text.lower()
    if what not in WHATS:
        problem = f"{cells['what'].text!r} is not known"
        lines.add(cells["what"], "what", problem, ", ".join(WHATS), nearest(what, tuple(WHATS)))
        return None
    dimension, on = WHATS[what]
    told = (cells["state"].text, what, cells["where"].text)
    if not dimension:
        return _words(lines, cells["value"], told)
    meter = _meter(lines, cells, instruments, dimension, on)
    shown = _shown(lines, cells, meter) if meter is not None else None
    read = _read(lines, cells["value"], what, shown, meter) if meter is not None and shown is not None else None
    if read is None:
        return None
    return StartUpReading(*told, read.value, "", read.error, cells["value"].line, meter, shown)


def _read(lines: Lines, cell: Cell, what: str, shown: Shown, meter: Meter) -> Read | None:
    """The value and its error; a fault and None where the method does not hold for what was shown."""
    try:
        read = taken(shown, meter)
    except OutOfRange as odd:
        most = f"{odd.high:g} {odd.unit} at most" if odd.value > odd.high else f"{odd.low:g} {odd.unit} or more"
        lines.add(cell, "value", f"{odd.quantity} {odd.value:.4g} {odd.unit} cannot be read so", most)
        return None
    except InputError as missing:
        lines.add(cell, "value", str(missing), OWN.get(meter.made.key, ""))
        return None
    if abs(read.value) > MOST[WHATS[what][0]]:
        lines.add(cell, "value", f"{cell.text[:60]!r} cannot be in a house")
        return None
    if what == "unit swing" and not shown.baselines:
        lines.add(cell, "baseline", "the pressure with the unit off is missing", "-1.2; -1.1 Pa under baseline")
        return None
    return read


def _words(lines: Lines, cell: Cell, told: tuple[str, str, str]) -> StartUpReading | None:
    """A look or an interlock: words for a value."""
    known = (*YES, *NO) if told[1] == "look" else (*YES, *NO, *OPENED, *STAYED_SHUT)
    if cell.text.lower() not in known:
        lines.add(cell, "value", f"{cell.text[:60]!r} is not known", ", ".join(known), nearest(cell.text, known))
        return None
    return StartUpReading(*told, None, cell.text.lower(), 0.0, cell.line)


def _meter(
    lines: Lines, cells: Mapping[str, Cell], instruments: Mapping[str, Meter], dimension: str, on: str
) -> Meter | None:
    cell = cells.get("instrument")
    fit = ", ".join(instrument_keys(dimension, on))
    if cell is None or not cell.text:
        lines.add(cell or cells["value"], "instrument", "none is named: a reading without one decides nothing", fit)
        return None
    named = instruments.get(cell.text.lower())
    if named is None:
        known = tuple(instruments)
        lines.add(cell, "instrument", f"{cell.text!r} is not named above", ", ".join(known), nearest(cell.text, known))
        return None
    if named.made.measures != dimension or on not in named.made.may:
        lines.add(cell, "instrument", f"a {named.made.key} does not read this", fit)
        return None
    return named


def _shown(lines: Lines, cells: Mapping[str, Cell], meter: Meter) -> Shown | None:
    """What the instrument showed, and what the air passed; None where it cannot be read."""
    cell, key = cells["value"], meter.made.key
    if any(_is_cut(lines, cells[name]) for name in ("value", "baseline") if name in cells):
        return None
    dimension = next((d for d in (meter.made.measures, *SHOWS.get(key, ())) if _samples(cell.text, d)), "")
    samples = _samples(cell.text, dimension) if dimension else ()
    if not samples:
        wanted = "; ".join(f"{expected(d)}" for d in (meter.made.measures, *SHOWS.get(key, ())))
        lines.add(cell, "value", f"cannot read {cell.text[:60]!r}", wanted)
        return None
    if max(map(abs, samples)) > MOST[dimension]:
        lines.add(cell, "value", f"{cell.text[:60]!r} cannot be in a house")
        return None
    baselines: tuple[float, ...] = ()
    if (base := cells.get("baseline")) is not None and base.text:
        baselines = _samples(base.text, dimension)
        if dimension != "pressure" or not baselines or max(map(abs, baselines)) > MOST[dimension]:
            allowed = expected("pressure") if dimension == "pressure" else "only a pressure has one"
            lines.add(base, "baseline", f"cannot read {base.text[:60]!r}", allowed)
            return None
    area = None
    if dimension != meter.made.measures and key in PASSED:
        through = passage(lines, cells, PASSED[key], len(samples) if key == "traverse" else 0)
        if through is None:
            return None
        area = through
    return Shown(dimension, samples, baselines, area, _repeats(lines, cells), _unit(cell.text.split(";")[-1]))


def _is_cut(lines: Lines, cell: Cell) -> bool:
    """Whether more stands in a cell than is read: a mean of the first part would be a misreading."""
    if len(cell.text) < LONGEST_CELL and cell.text.count(";") < MOST_SAMPLES:
        return False
    allowed = f"up to {MOST_SAMPLES} values, {LONGEST_CELL - 1} characters, the unit behind the last alone"
    lines.add(cell, "value", "more stands here than one reading may have", allowed)
    return True


def _unit(text: str) -> str:
    """The unit of a value as written, in small letters; nothing where no number stands before it."""
    try:
        return leading_number(text, "plain number")[1].strip().lower()
    except QuantityError:
        return ""


def _samples(text: str, dimension: str) -> tuple[float, ...]:
    """The values of a cell in SI, the unit of the last for those without one; none where they are not of a kind."""
    parts = [part.strip() for part in text.split(";")]
    unit = _unit(parts[-1])
    try:
        return tuple(parse(part if _unit(part) else f"{part} {unit}", dimension) for part in parts)
    except QuantityError:
        return ()


def _repeats(lines: Lines, cells: Mapping[str, Cell]) -> int:
    cell = cells.get("repeats")
    if cell is None or not cell.text:
        return 1
    if not re.fullmatch(r"[1-9]\d?", cell.text):
        lines.add(cell, "repeats", f"cannot read {cell.text[:30]!r}", "a number from 1 to 99")
        return 1
    return int(cell.text)
