"""The instruments that a start-up file names: kind, accuracy, calibration, and what the sheet of each gives.

# instrument hood: powered flow hood, accuracy 6 %, calibrated on 2026-11-02
# instrument gauge: manometer, accuracy 1 % or 0.2 Pa
# instrument vane: vane meter, frame factor 0.85
# instrument plate: flow station, k 12.3 cfm at 1 Pa
# instrument bag: timed bag, holds 2.5 ft3
# instrument unit: unit's pressure taps, 40 Pa is 60 cfm, 80 Pa is 92 cfm, 140 Pa is 125 cfm
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field, replace
from typing import Any

from airledger.errors import InputError, QuantityError
from airledger.io.fields import nearest
from airledger.io.readings_lines import Cell, Lines
from airledger.physics.flow_instruments import tap_flow
from airledger.rules.instruments import CALIBRATED_WITHIN, instrument, instrument_keys
from airledger.rules.shown import Meter
from airledger.units import parse

KEYS = ("date", "tester", "house", "address", "indoor temperature", "outdoor temperature", "wind", "remark")
NAMED = "instrument "

ANY = "accuracy 6 %, accuracy 1 % or 0.2 Pa, calibrated on 2026-11-02"
OWN = {
    "vane meter": "frame factor 0.85",
    "flow station": "k 12.3 cfm at 1 Pa",
    "timed bag": "holds 2.5 ft3",
    "unit's pressure taps": "40 Pa is 60 cfm",
}
"""What the sheet of a kind gives besides, as it is written."""
READ_AS = {
    "vane meter": r"frame factor (.+)",
    "flow station": r"k (.+?) at (.+)",
    "timed bag": r"holds (.+)",
    "unit's pressure taps": r"(.+?) is (.+)",
}
COARSEST = {"flow": 0.05, "pressure": 25.0, "force": 50.0}
"""What an instrument may be off by at the least and still be of use [m3/s, Pa, N]: common practice, no source."""


def meters(lines: Lines, day: datetime.date | None) -> dict[str, Meter]:
    """The instruments by the name that the rows use; those of the table may be used without a line.

    Parameters
    ----------
    lines : Lines
        the file; faults are noted there [-]
    day : datetime.date
        of the visit, None where it is not told: then every calibration counts as old [-]
    """
    found = {key: Meter(instrument(key)) for key in instrument_keys()}
    for key, cell in lines.keys.items():
        if key.startswith(NAMED):
            made = _meter(lines, key, cell, day)
            if made is not None:
                found[key.removeprefix(NAMED)] = made
        elif key not in KEYS:
            allowed = ", ".join((*KEYS, "instrument NAME"))
            lines.add(Cell(cell.line, 1, ""), key, "no such key", allowed, nearest(key, KEYS))
    return found


@dataclass
class _Sheet:
    """One instrument's line while it is read."""

    lines: Lines
    key: str
    cell: Cell
    kind: str = ""
    given: dict[str, Any] = field(default_factory=dict)

    def refuse(self, problem: str, allowed: str = "", near: str = "") -> None:
        """Notes a fault of the line."""
        self.lines.add(self.cell, self.key, problem, allowed, near)

    def within(self, words: str, dimension: str, low: float, high: float) -> float | None:
        """A value of the line in SI; a fault and None where it is none or cannot be."""
        try:
            value = parse(words, dimension)
        except QuantityError as problem:
            self.refuse(f"cannot read {words[:60]!r}", problem.expected)
            return None
        if not low <= value <= high:
            self.refuse(f"{words[:60]!r} cannot be", "0.1 to 50 %" if dimension == "fraction" else "")
            return None
        return value


def _meter(lines: Lines, key: str, cell: Cell, day: datetime.date | None) -> Meter | None:
    kind, *parts = (part.strip() for part in cell.text.split(","))
    sheet = _Sheet(lines, key, cell, kind.lower())
    if sheet.kind not in instrument_keys():
        known = instrument_keys()
        sheet.refuse(f"no instrument is called {kind[:60]!r}", ", ".join(known), nearest(kind, known))
        return None
    for part in parts:
        if part and not (_any_sheet(sheet, part, day) or _own_sheet(sheet, part)):
            own = f", {OWN[sheet.kind]}" if sheet.kind in OWN else ""
            sheet.refuse(f"cannot read {part[:60]!r}", f"{ANY}{own}")
    accuracy, floor = sheet.given.pop("accuracy", None), sheet.given.pop("floor", None)
    meter = replace(Meter(instrument(sheet.kind, accuracy, floor)), **sheet.given)
    return meter if not meter.tap_points or _table_is_good(sheet, meter) else None


def _any_sheet(sheet: _Sheet, part: str, day: datetime.date | None) -> bool:
    """What the sheet of every instrument may give; False where the part is something else."""
    if match := re.fullmatch(r"accuracy (.+?)(?: or (.+))?", part):
        sheet.given["accuracy"] = sheet.within(match.group(1), "fraction", 1e-3, 0.5)
        if match.group(2):
            dimension = instrument(sheet.kind).measures
            sheet.given["floor"] = sheet.within(match.group(2), dimension, 0.0, COARSEST[dimension])
        return True
    if match := re.fullmatch(r"calibrated(?: on)? (\d{4}-\d{2}-\d{2})", part):
        sheet.given["stale"] = _stale(sheet, match.group(1), day)
        return True
    return False


def _own_sheet(sheet: _Sheet, part: str) -> bool:
    """What only one kind's sheet gives; False where the part is something else."""
    if sheet.kind not in OWN or not (match := re.fullmatch(READ_AS[sheet.kind], part)):
        return False
    if sheet.kind == "vane meter":
        sheet.given["frame_factor"] = sheet.within(match.group(1), "plain number", 0.2, 2.0) or 1.0
    elif sheet.kind == "timed bag":
        sheet.given["bag_volume"] = sheet.within(match.group(1), "volume", 1e-3, 5.0)
    elif sheet.kind == "flow station":
        flow, pressure = _pair(sheet, match.group(1), match.group(2))
        sheet.given["station_factor"] = flow / pressure**0.5 if flow and pressure else None
    else:
        flow, pressure = _pair(sheet, match.group(2), match.group(1))
        if pressure and flow:
            sheet.given["tap_points"] = (*sheet.given.get("tap_points", ()), (pressure, flow))
    return True


def _pair(sheet: _Sheet, flow: str, pressure: str) -> tuple[float | None, float | None]:
    return sheet.within(flow, "flow", 1e-5, 5.0), sheet.within(pressure, "pressure", 1e-2, 2_000.0)


def _stale(sheet: _Sheet, words: str, day: datetime.date | None) -> bool:
    try:
        calibrated = datetime.date.fromisoformat(words)
    except ValueError:
        sheet.refuse(f"{words!r} is no date", "a date like 2026-11-02")
        return True
    if day is not None and calibrated > day:
        sheet.refuse(f"calibrated on {words}, after the visit", "the date on its sticker")
    return day is None or (day - calibrated).days > CALIBRATED_WITHIN


def _table_is_good(sheet: _Sheet, meter: Meter) -> bool:
    """Whether the maker's table can be read between its points."""
    try:
        tap_flow(meter.tap_points[0][0], meter.tap_points)
    except InputError as problem:
        sheet.refuse(str(problem), "40 Pa is 60 cfm, 80 Pa is 92 cfm, in order of pressure")
        return False
    return True
