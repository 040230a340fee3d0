"""Published cases, one by one: `cases/*.toml`, a file for each source, values as printed.

A file has `source` and `tag`, which a case may override. `[[case]]`: name, section, call (dotted name), givens, value
(as printed, a string), unit, and item or attribute of the answer where it is no single number. `[[table]]`: the same
with `rows` under `columns` of givens ("flow cfm"; "section/length m" is one inside another) and of values ("= Pa").
A given is a number in SI, a pair of number and unit, a word, or a call or an object of its own. The tolerance is half
of the last printed digit unless `tolerance` ("4 %" or a number in the printed unit) says otherwise and `why` says why.
`missed` marks a case that is not met, with the reason.
"""

from __future__ import annotations

import copy
import importlib
import math
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from operator import attrgetter
from pathlib import Path
from typing import Any

import pytest

from airledger.sources import TAGS

CASES = Path(__file__).parent / "cases"

FOOT, INCH, POUND = 0.3048, 0.0254, 0.45359237
UNITS = {
    "": 1.0, "-": 1.0, "Pa": 1.0, "Pa/m": 1.0, "m": 1.0, "m2": 1.0, "m/s": 1.0, "degC": 1.0, "K": 1.0, "kg/m3": 1.0,
    "m3/kg": 1.0, "Pa s": 1.0, "kg/s": 1.0, "N": 1.0, "1/h": 1.0, "J/kg": 1.0, "kPa": 1e3, "%": 0.01, "m3/s": 1.0,
    "mm": 1e-3, "cm2": 1e-4, "in": INCH, "in2": INCH**2, "ft": FOOT, "ft2": FOOT**2, "ft3": FOOT**3,
    "L/s": 1e-3, "m3/h": 1 / 3600, "cfm": FOOT**3 / 60, "fpm": FOOT / 60, "inwc": 249.0889,
    "inwc/100ft": 249.0889 / (100 * FOOT), "lbf": POUND * 9.80665, "deg": math.pi / 180, "g/kg": 1e-3,
    "gr/lb": 1 / 7000, "kJ/kg": 1e3, "Btu/lb": 2326.0, "ft3/lb": FOOT**3 / POUND, "kW": 1e3, "kg/h": 1 / 3600,
    "Btu/h": 1055.05585262 / 3600,
}  # fmt: skip
"""Size of each unit in SI; temperatures in degF are read by themselves."""


@dataclass(frozen=True)
class Case:
    """One value as printed."""

    name: str
    call: str
    givens: dict[str, Any]
    printed: str
    unit: str
    pick: dict[str, Any]
    tolerance: str | float | None
    why: str
    source: str
    tag: str
    missed: str


def si(number: float, unit: str) -> float:
    return (number - 32) / 1.8 if unit == "degF" else number * UNITS[unit]


def shown(number: float, unit: str) -> float:
    return number * 1.8 + 32 if unit == "degF" else number / UNITS[unit]


def named(dotted: str) -> Any:
    module, _, name = dotted.rpartition(".")
    owner, _, last = module.rpartition(".")
    if last[:1].isupper():  # a method of a class
        return getattr(named(f"{owner}.{last}"), name)
    return getattr(importlib.import_module(f"airledger.{module}"), name)


def given(entry: Any) -> Any:
    if isinstance(entry, list):
        if len(entry) == 2 and isinstance(entry[1], str):
            return si(float(entry[0]), entry[1])
        return tuple(given(part) for part in entry)
    if isinstance(entry, dict):
        return answer(entry["call"], entry["givens"], entry)
    return entry


def answer(call: str, givens: dict[str, Any], pick: dict[str, Any]) -> Any:
    found = named(call)(**{name: given(entry) for name, entry in givens.items()})
    found = found[pick["item"]] if "item" in pick else found
    return attrgetter(pick["attribute"])(found) if "attribute" in pick else found


def allowed(case: Case) -> float:
    """Tolerance in the printed unit."""
    if case.tolerance is None:
        exponent = Decimal(case.printed.replace(",", "")).as_tuple().exponent
        # a hair more than half a digit, for values that fall on the half
        return 0.5000001 * 10.0 ** int(exponent)
    assert case.why, f"{case.name}: a tolerance of its own needs a reason"
    if isinstance(case.tolerance, str):
        return abs(number(case.printed)) * float(case.tolerance.removesuffix("%")) / 100
    return float(case.tolerance)


def number(printed: str) -> float:
    return float(printed.replace(",", ""))


def off_by(case: Case) -> float:
    """How far our value lies from the printed one, in the printed unit."""
    return abs(shown(float(answer(case.call, case.givens, case.pick)), case.unit) - number(case.printed))


def cases_of(path: Path) -> Iterator[Case]:
    content = tomllib.loads(path.read_text(encoding="utf-8"))
    for entry in content.get("case", []):
        yield made(content, entry, entry["name"], entry["givens"], entry["value"], entry.get("unit", ""), entry)
    for entry in content.get("table", []):
        columns = [column.partition(" ") for column in entry["columns"]]
        for row in entry["rows"]:
            assert len(row) == len(columns), f"{path.name}: {entry['name']}: {row}"
            givens = copy.deepcopy(entry.get("givens", {}))
            for (name, _, unit), cell in zip(columns, row, strict=True):
                *path, last = name.split("/")
                inner = givens
                for step in path:
                    inner = inner[step]["givens"]
                if name != "=":
                    inner[last] = cell if isinstance(cell, str) and not unit else [cell, unit]
            label = " ".join(str(cell) for (name, _, _), cell in zip(columns, row, strict=True) if name != "=")
            for (name, _, unit), cell in zip(columns, row, strict=True):
                if name == "=" and cell != "":
                    yield made(content, entry, f"{entry['name']}: {label} ({unit})", givens, cell, unit, entry)


def made(
    content: dict[str, Any],
    entry: dict[str, Any],
    name: str,
    givens: dict[str, Any],
    printed: str,
    unit: str,
    pick: dict[str, Any],
) -> Case:
    assert isinstance(printed, str), f"{name}: write the value as printed, in quotation marks"
    source = entry.get("source", content["source"]) + (f", {entry['section']}" if "section" in entry else "")
    tag = entry.get("tag", content["tag"])
    places = {key: pick[key] for key in ("item", "attribute") if key in pick}
    return Case(
        name, entry["call"], givens, printed, unit, places,
        entry.get("tolerance"), entry.get("why", ""), source, tag, entry.get("missed", ""),
    )  # fmt: skip


def params() -> Iterator[Any]:
    for path in sorted(CASES.glob("*.toml")):
        for case in cases_of(path):
            marks = [pytest.mark.xfail(reason=case.missed, strict=True)] if case.missed else []
            yield pytest.param(case, id=f"{path.stem}: {case.name}", marks=marks)


@pytest.mark.parametrize("case", list(params()))
def test_value_as_printed(case):
    assert off_by(case) <= allowed(case), f"{case.source} ({case.tag}) prints {case.printed} {case.unit}"


@pytest.mark.parametrize("path", sorted(CASES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_case_names_its_source_and_tag(path):
    cases = list(cases_of(path))
    assert cases
    assert {case.tag for case in cases} <= set(TAGS)
    assert all(case.source.strip() for case in cases)
    names = [case.name for case in cases]
    assert len(names) == len(set(names)), sorted(name for name in names if names.count(name) > 1)


def test_a_wrong_value_is_seen():
    case = next(cases_of(CASES / "closed_forms.toml"))
    wrong = Case(**{**{f: getattr(case, f) for f in Case.__dataclass_fields__}, "printed": "1" + case.printed})
    assert off_by(case) <= allowed(case)
    assert off_by(wrong) > allowed(wrong)
