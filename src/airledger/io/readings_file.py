"""Blower-door readings from a file: every fault at once, each with line, column and what is allowed.

The keys are exact: direction, indoor temperature, outdoor temperature, indoor humidity, outdoor humidity, elevation,
barometer, volume, floor area, envelope area, height, baseline before, baseline after, flow density, instrument, taped;
beside them wind, accuracy, date, address, and the user's own fan calibration. `pressure` is inside minus outdoors.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from airledger.errors import QuantityError
from airledger.io.fields import nearest
from airledger.io.readings_lines import Cell, Lines, heading_of, lines_of, read_lines, unit_is_known, units_of
from airledger.rules.airtightness_test import DENSITIES, DEPRESSURIZATION, DIRECTIONS, AirtightnessTest
from airledger.units import parse

# key -> (field, dimension, least, most in SI, both as people read them)
QUANTITIES: dict[str, tuple[str, str, float, float, str]] = {
    "indoor temperature": ("indoor_temperature", "temperature", -40.0, 60.0, "−40 to 140 F"),
    "outdoor temperature": ("outdoor_temperature", "temperature", -60.0, 60.0, "−76 to 140 F"),
    "indoor humidity": ("indoor_humidity", "fraction", 0.0, 1.0, "0 to 100 %"),
    "outdoor humidity": ("outdoor_humidity", "fraction", 0.0, 1.0, "0 to 100 %"),
    "elevation": ("elevation", "length", -500.0, 6_000.0, "−1,600 to 19,000 ft"),
    "barometer": ("barometer", "pressure", 40_000.0, 110_000.0, "40 to 110 kPa at the place, not at sea level"),
    "volume": ("volume", "volume", 10.0, 100_000.0, "350 to 3,500,000 ft3"),
    "floor area": ("floor_area", "area", 5.0, 20_000.0, "50 to 200,000 ft2"),
    "envelope area": ("envelope_area", "area", 10.0, 60_000.0, "100 to 600,000 ft2"),
    "height": ("height", "length", 1.8, 60.0, "6 to 200 ft"),
    "wind": ("wind", "speed", 0.0, 40.0, "0 to 90 mph"),
    "accuracy": ("accuracy", "fraction", 0.001, 0.5, "0.1 to 50 %"),
}
BASELINES = {"baseline before": "baselines_before", "baseline after": "baselines_after"}
WORDS = {"direction": DIRECTIONS, "flow density": DENSITIES}
PLAIN = ("instrument", "taped", "date", "address", "tester", "house", "stage", "remark")
CALIBRATION = "fan calibration"
KEYS = (*WORDS, *QUANTITIES, *BASELINES, *PLAIN, CALIBRATION)
COLUMNS = {"pressure": "pressure", "flow": "flow", "fan pressure": "pressure", "ring": ""}
MOST_PRESSURE, LEAST_HIGHEST = 300.0, 3.0
_CURVE = re.compile(r"^\s*(.+?)\s+at\s+1\s*pa\s*,\s*exponent\s+([\d.]+)\s*$", re.IGNORECASE)


@dataclass(frozen=True)
class LoadedTest:
    """Readings that were read, and what is odd in them, as lines to print."""

    test: AirtightnessTest
    cautions: tuple[str, ...]


def read_test(path: str | Path) -> LoadedTest:
    """The blower-door readings of a file.

    Parameters
    ----------
    path : str or Path
        a .csv or .xlsx file [-]
    """
    return _test(read_lines(path))


def read_test_text(text: str, name: str = "readings.csv") -> LoadedTest:
    """The blower-door readings of a text.

    Parameters
    ----------
    text : str
        the content of a CSV file [-]
    name : str
        what to call it in messages [-]
    """
    return _test(lines_of(text, name))


def _test(lines: Lines) -> LoadedTest:
    told: dict[str, Any] = {}
    for key, cell in lines.keys.items():
        _read_key(lines, key, cell, told)
    if "direction" not in lines.keys:
        lines.add(Cell(1, 1, ""), "direction", "is missing", "a line like  # direction: depressurization")
    readings = _readings(lines)
    lines.refuse()
    pressures, flows, rings, at = readings
    pressures = _signed(lines, told, pressures, at)
    lines.refuse()
    test = AirtightnessTest(
        name=lines.name, pressures=tuple(pressures), flows=tuple(flows), rings=tuple(rings),
        lines=tuple(cell.line for cell in at), **told,
    )  # fmt: skip
    return LoadedTest(test, tuple(_cautions(lines, test)))


def _read_key(lines: Lines, key: str, cell: Cell, told: dict[str, Any]) -> None:
    if key in QUANTITIES:
        field, dimension, least, most, range_ = QUANTITIES[key]
        value = lines.quantity(cell, key, dimension)
        if value is not None and not least <= value <= most:
            lines.add(cell, key, f"{cell.text!r} cannot be", range_)
        elif value is not None:
            told[field] = value
    elif key in BASELINES:
        told[BASELINES[key]] = _samples(lines, key, cell)
    elif key in WORDS:
        word = cell.text.lower()
        if word in WORDS[key]:
            told[key.replace(" ", "_")] = word
        else:
            lines.add(cell, key, f"{cell.text!r} is not known", ", ".join(WORDS[key]), nearest(word, WORDS[key]))
    elif key == "taped":
        names = [name.strip() for name in cell.text.split(",")]
        told["taped"] = tuple(name for name in names if name and name.lower() not in ("nothing", "none"))
    elif key in ("instrument", "date", "address"):
        told[key] = cell.text
    elif key not in PLAIN and not key.startswith(CALIBRATION):
        lines.add(Cell(cell.line, 1, ""), key, "no such key", ", ".join(KEYS), nearest(key, KEYS))


def _samples(lines: Lines, key: str, cell: Cell) -> tuple[float, ...]:
    """One baseline or several: ``-2.6 -2.4 -2.5 Pa``, parted by blanks or commas."""
    parts = [part for part in re.split(r"[\s,;]+", cell.text.replace("−", "-")) if part]
    numbers = parts[:-1] if parts and not re.match(r"[-+.\d]", parts[-1]) else parts
    unit = parts[-1] if len(numbers) < len(parts) else ""
    found = []
    for number in numbers:
        value = lines.quantity(Cell(cell.line, cell.column, number), key, "pressure", unit)
        if value is None:
            return ()
        if abs(value) > 60.0:
            lines.add(cell, key, f"{number} {unit} is no baseline: nothing blows then", "−60 to 60 Pa")
        found.append(value)
    if not numbers:
        lines.add(cell, key, "no value stands here", "a pressure, or several: -2.6 -2.4 -2.5 Pa")
    return tuple(found)


Readings = tuple[list[float], list[float], list[str], list[Cell]]


def _readings(lines: Lines) -> Readings:
    """The rows: pressures, flows, rings, where each stands."""
    columns = _columns(lines)
    nothing: Readings = ([], [], [], [])
    if not {"pressure"} <= set(columns) or not {"flow", "fan pressure"} & set(columns):
        return nothing
    if not lines.rows:
        lines.add(lines.end, "readings", "there are none below the heading", "a row for each pressure")
        return nothing
    curves = _curves(lines)
    if "flow" not in columns and not curves:
        cell = lines.heading[columns["fan pressure"][0]]
        lines.add(
            cell, "fan pressure", "needs your fan's calibration", "# fan calibration: 12.3 cfm at 1 Pa, exponent 0.5"
        )
        return nothing
    pressures, flows, rings, at = nothing
    for row in lines.rows:
        if len(row) < len(lines.heading):
            lines.add(row[-1], "readings", f"{len(row)} values stand here, the heading has {len(lines.heading)}")
            continue
        ring = row[columns["ring"][0]].text if "ring" in columns else ""
        cell = row[columns["pressure"][0]]
        pressure = lines.quantity(cell, "pressure", "pressure", columns["pressure"][1])
        flow = _flow(lines, row, columns, curves, ring)
        if pressure is None or flow is None:
            continue
        if abs(pressure) > MOST_PRESSURE:
            lines.add(cell, "pressure", f"{cell.text} {columns['pressure'][1]} is more than any test", "up to 300 Pa")
        pressures.append(pressure)
        flows.append(flow)
        rings.append(ring)
        at.append(cell)
    if pressures and max(map(abs, pressures)) < LEAST_HIGHEST:
        lines.add(at[0], "pressure", "no reading reaches 3 Pa: is the unit in the heading right?", "pressure [Pa]")
    return pressures, flows, rings, at


def _columns(lines: Lines) -> dict[str, tuple[int, str]]:
    """Columns by name: place and unit."""
    if not lines.heading:
        lines.add(lines.end, "heading", "is missing", "pressure [Pa],flow [cfm]")
        return {}
    found: dict[str, tuple[int, str]] = {}
    for place, cell in enumerate(lines.heading):
        name, unit = heading_of(cell)
        if name not in COLUMNS:
            lines.add(cell, "heading", f"no such column {name!r}", ", ".join(COLUMNS), nearest(name, tuple(COLUMNS)))
            continue
        dimension = COLUMNS[name]
        if dimension and not unit:
            lines.add(cell, name, "no unit in the heading", f"{name} [{units_of(dimension).split(',')[0]}]")
        elif dimension and not unit_is_known(unit, dimension):
            lines.add(cell, name, f"unit {unit!r} is not known", units_of(dimension))
        found[name] = (place, unit)
    if "pressure" not in found and not lines.faults:
        lines.add(lines.heading[0], "heading", "no column of pressures", "pressure [Pa],flow [cfm]")
    if "pressure" in found and not {"flow", "fan pressure"} & set(found):
        lines.add(lines.heading[0], "heading", "no column of flows", "pressure [Pa],flow [cfm]")
    return found


def _curves(lines: Lines) -> dict[str, tuple[float, float]]:
    """The user's calibration of the fan: ring -> flow at 1 Pa [m3/s], exponent."""
    found = {}
    for key, cell in lines.keys.items():
        if not key.startswith(CALIBRATION):
            continue
        ring = key.removeprefix(CALIBRATION).removeprefix(" ring").strip()
        match = _CURVE.match(cell.text)
        try:
            if match is None:
                raise QuantityError(cell.text, "")
            found[ring] = (parse(match.group(1), "flow"), float(match.group(2)))
        except (QuantityError, ValueError):
            lines.add(
                cell, key, f"cannot read {cell.text[:60]!r}", "a flow and an exponent: 12.3 cfm at 1 Pa, exponent 0.5"
            )
    return found


def _flow(
    lines: Lines,
    row: Sequence[Cell],
    columns: dict[str, tuple[int, str]],
    curves: dict[str, tuple[float, float]],
    ring: str,
) -> float | None:
    if "flow" in columns:
        place, unit = columns["flow"]
        flow = lines.quantity(row[place], "flow", "flow", unit)
        if flow is not None and flow <= 0:
            lines.add(
                row[place], "flow", f"{row[place].text} {unit} cannot be", "a flow above 0, whichever way it goes"
            )
            return None
        return flow
    place, unit = columns["fan pressure"]
    pressure = lines.quantity(row[place], "fan pressure", "pressure", unit)
    curve = curves.get(ring.lower(), curves.get(""))
    if curve is None:
        known = ", ".join(f"{CALIBRATION} ring {name}" for name in curves)
        lines.add(row[place], "ring", f"no calibration of ring {ring!r}", known)
        return None
    if pressure is None or pressure == 0:
        if pressure == 0:
            lines.add(row[place], "fan pressure", "0: the fan stands still", "a pressure other than 0")
        return None
    return float(curve[0] * abs(pressure) ** curve[1])


def _signed(lines: Lines, told: dict[str, Any], pressures: list[float], at: Sequence[Cell]) -> list[float]:
    """Readings with the sign of inside minus outdoors; magnitudes are taken as such only where both baselines are 0."""
    down = told.get("direction") == DEPRESSURIZATION
    wrong = [place for place, pressure in enumerate(pressures) if (pressure > 0) == down or pressure == 0]
    if not wrong:
        return pressures
    asked = "below 0" if down else "above 0"
    if len(wrong) < len(pressures):
        lines.add(at[wrong[0]], "pressure", f"positive and negative mixed; a {told['direction']} reads {asked}",
                  "inside minus outdoors")  # fmt: skip
        return pressures
    baselines = [told.get("baselines_before", ()), told.get("baselines_after", ())]
    if down and all(samples and not any(samples) for samples in baselines):
        return [-pressure for pressure in pressures]
    told_how = "inside minus outdoors; sizes without a sign only where both baselines are 0 Pa"
    lines.add(
        at[wrong[0]], "pressure", f"every reading has the wrong sign: a {told['direction']} reads {asked}", told_how
    )
    return pressures


def _cautions(lines: Lines, test: AirtightnessTest) -> list[str]:
    """What is odd and still can be read."""
    told = []

    def say(words: str, line: int = 1) -> None:
        told.append(f"{lines.name}:{line}: {words}")

    if not test.instrument:
        say("no instrument is named: an inspector will ask; add  # instrument: ... and its calibration date")
    if not test.baselines_before and not test.baselines_after:
        say("no baseline: taken as 0 Pa; read it before and after with the fan covered")
    lacking = [key for key in ("indoor temperature", "outdoor temperature") if key not in lines.keys]
    if lacking:
        say(f"no {' and no '.join(lacking)}: taken as 68 F")
    if "elevation" not in lines.keys and "barometer" not in lines.keys:
        say("no elevation and no barometer: taken at sea level")
    if test.volume is None:
        say("no volume: flows are told, air changes are not")
    else:
        tightest = max(
            flow / max(abs(p), 1.0) ** 0.65 * 50**0.65 for p, flow in zip(test.pressures, test.flows, strict=True)
        )
        changes = 3600 * tightest / test.volume
        if not 0.05 <= changes <= 60:
            say(
                f"about {changes:.2g} air changes at 50 Pa: is the unit of flow or volume right?", lines.heading[0].line
            )
    return told
