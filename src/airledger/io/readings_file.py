"""Blower-door readings from a file: every fault at once, each with line, column and what is allowed.

The keys are exact: direction, indoor temperature, outdoor temperature, indoor humidity, outdoor humidity, elevation,
barometer, volume, floor area, envelope area, height, baseline before, baseline after, flow density, instrument, taped;
beside them wind, accuracy, date, address, and the user's own fan calibration. `pressure` is inside minus outdoors.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from airledger.errors import QuantityError
from airledger.io.fields import nearest
from airledger.io.readings_lines import (
    Cell,
    Lines,
    fills_the_heading,
    heading_of,
    lines_of,
    read_lines,
    unit_is_known,
    units_of,
)
from airledger.rules.airtightness_test import DENSITIES, DEPRESSURIZATION, DIRECTIONS, AirtightnessTest
from airledger.units import CFM, FOOT, parse

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
MOST_FLOW = 100.0
"""Past what several of the largest test fans blow together [m3/s]: common practice, no source."""
CURVE_EXPONENTS = (0.3, 1.0)
"""Of a fan's calibration, about 0.5 as flow goes with the root of a pressure [-]: common practice, no source."""
MILD_INDOORS = (0.0, 40.0)
CEILINGS = (1.8, 9.0)
SPHERE = (36.0 * math.pi) ** (1.0 / 3.0)
"""Surface of a ball over its volume to the power of two thirds: nothing encloses a volume with less [-]."""
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
    _lost_keys(lines)
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
    cautions = tuple(_cautions(lines, test))
    return LoadedTest(replace(test, odd=cautions), cautions)


def _read_key(lines: Lines, key: str, cell: Cell, told: dict[str, Any]) -> None:
    if key in QUANTITIES:
        field, dimension, least, most, range_ = QUANTITIES[key]
        value = lines.quantity(cell, key, dimension)
        if value is not None and not least <= value <= most:
            lines.add(cell, key, f"{cell.text[:60]!r} cannot be", range_)
        elif value is not None:
            told[field] = value
    elif key in BASELINES:
        told[BASELINES[key]] = _samples(lines, key, cell)
    elif key in WORDS:
        word = cell.text.lower()
        if word in WORDS[key]:
            told[key.replace(" ", "_")] = word
        else:
            lines.add(cell, key, f"{cell.text[:60]!r} is not known", ", ".join(WORDS[key]), nearest(word, WORDS[key]))
    elif key == "taped":
        names = [name.strip() for name in cell.text.split(",")]
        told["taped"] = tuple(name for name in names if name and name.lower() not in ("nothing", "none"))
    elif key in ("instrument", "date", "address"):
        told[key] = cell.text
    elif key not in PLAIN and not key.startswith(CALIBRATION):
        lines.add(Cell(cell.line, 1, ""), key, "no such key", ", ".join(KEYS), nearest(key, KEYS))


_LOST = re.compile(
    rf"#\s*(?:({'|'.join(WORDS)})\b|({'|'.join((*QUANTITIES, *BASELINES))})\s*[=,;]?\s*[-+−.\d])", re.IGNORECASE
)


def _lost_keys(lines: Lines) -> None:
    """Remarks that were meant as keys: a baseline lost for a colon would bend the whole test."""
    for cell in lines.remarks:
        match = _LOST.match(cell.text)
        if match is not None:
            key = (match.group(1) or match.group(2)).lower()
            lines.add(cell, key, "no colon after the key, so that it would be read as a remark", f"# {key}: ...")


def _samples(lines: Lines, key: str, cell: Cell) -> tuple[float, ...]:
    """One baseline or several: ``-2.6 -2.4 -2.5 Pa``, parted by blanks or commas; the unit may stand after each."""
    parts = [part for part in re.split(r"[\s,;]+", cell.text.replace("−", "-")) if part]
    units = dict.fromkeys(part for part in parts if not re.match(r"[-+.\d]", part))
    numbers = [part for part in parts if part not in units]
    unit = " ".join(units)
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
    curves = _curves(lines, columns)
    if "flow" not in columns and not curves:
        return nothing
    pressures, flows, rings, at = nothing
    for row in lines.rows:
        if not fills_the_heading(lines, row):
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
        if name in found:
            lines.add(cell, name, "stands twice in the heading: which one is meant?", "one column of each")
        found[name] = (place, unit)
    if "pressure" not in found and not lines.faults:
        lines.add(lines.heading[0], "heading", "no column of pressures", "pressure [Pa],flow [cfm]")
    if "pressure" in found and not {"flow", "fan pressure"} & set(found):
        lines.add(lines.heading[0], "heading", "no column of flows", "pressure [Pa],flow [cfm]")
    return found


def _curves(lines: Lines, columns: dict[str, tuple[int, str]]) -> dict[str, tuple[float, float]]:
    """The user's calibration of the fan: ring -> flow at 1 Pa [m3/s], exponent."""
    found = {}
    if "flow" not in columns and not any(key.startswith(CALIBRATION) for key in lines.keys):
        allowed = f"# {CALIBRATION}: 12.3 cfm at 1 Pa, exponent 0.5"
        lines.add(lines.heading[columns["fan pressure"][0]], "fan pressure", "needs your fan's calibration", allowed)
    for key, cell in lines.keys.items():
        if not key.startswith(CALIBRATION):
            continue
        ring = key.removeprefix(CALIBRATION).removeprefix(" ring").strip()
        match = _CURVE.match(cell.text)
        try:
            if match is None:
                raise QuantityError(cell.text, "")
            at_one, exponent = parse(match.group(1), "flow"), float(match.group(2))
        except (QuantityError, ValueError):
            lines.add(
                cell, key, f"cannot read {cell.text[:60]!r}", "a flow and an exponent: 12.3 cfm at 1 Pa, exponent 0.5"
            )
            continue
        low, high = CURVE_EXPONENTS
        if at_one <= 0:
            lines.add(cell, key, f"{match.group(1)} cannot be", "a flow above 0")
        elif not low <= exponent <= high:
            lines.add(cell, key, f"no fan has an exponent of {match.group(2)}", f"{low:g} to {high:g}, about 0.5")
        else:
            found[ring] = (at_one, exponent)
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
        return None if flow is None else _within(lines, row[place], "flow", flow)
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
    return _within(lines, row[place], "fan pressure", float(curve[0] * abs(pressure) ** curve[1]))


def _within(lines: Lines, cell: Cell, key: str, flow: float) -> float | None:
    """A flow that a test fan can blow; a fault and None where it is more."""
    if flow <= MOST_FLOW:
        return flow
    told = f"{cell.text} makes {flow:.3g} m3/s, more than any test fan blows: is the unit in the heading right?"
    lines.add(cell, key, told, f"up to {MOST_FLOW / CFM:,.0f} cfm")
    return None


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
    elif not test.baselines_before or not test.baselines_after:
        there, gone = ("after", "before") if test.baselines_after else ("before", "after")
        say(f"no baseline {gone}: that {there} is taken for both", lines.keys[f"baseline {there}"].line)
    lacking = [key for key in ("indoor temperature", "outdoor temperature") if key not in lines.keys]
    if lacking:
        say(f"no {' and no '.join(lacking)}: taken as 68 F")
    if "elevation" not in lines.keys and "barometer" not in lines.keys:
        say("no elevation and no barometer: taken at sea level")
    inside = test.indoor_temperature
    if inside is not None and not MILD_INDOORS[0] <= inside <= MILD_INDOORS[1]:
        cell = lines.keys["indoor temperature"]
        say(f"{cell.text} indoors: is the unit right?", cell.line)
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
        _size_cautions(lines, test, test.volume, say)
    return told


def _size_cautions(lines: Lines, test: AirtightnessTest, volume: float, say: Callable[[str, int], None]) -> None:
    """Sizes that do not go together: mostly a unit, or another house's number."""
    if test.floor_area is not None and not CEILINGS[0] <= volume / test.floor_area <= CEILINGS[1]:
        words = f"volume over floor area makes ceilings of {volume / test.floor_area / FOOT:.2g} ft: is a unit wrong?"
        say(words, lines.keys["floor area"].line)
    least = SPHERE * volume ** (2.0 / 3.0)
    if test.envelope_area is not None and test.envelope_area < least:
        words = f"no envelope of this volume has less than {least / FOOT**2:,.0f} ft2: is a unit wrong?"
        say(words, lines.keys["envelope area"].line)
