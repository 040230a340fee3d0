"""A local rule: a folder of tables in the manner of those that ship, read with every fault by file, line and field.

# my-rules/county.toml
[[rate]]
key = "county"
title = "our county"
code = "County Code"
edition = "2026"
section = "12.4"
kind = "linear"
unit = "cfm"
per_area = 0.02
per_person = 10
source = "county ordinance 12.4, read on 2026-09-30"
tag = "published"
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from airledger.errors import Fault, HouseFileError, InputError
from airledger.io.fields import nearest
from airledger.io.house_file import file_bytes
from airledger.io.marks import decode
from airledger.sources import TAGS

MOST_FILES = 40
ROOMS = ("kitchen", "bath", "laundry", "utility", "toilet")
WORDS = ("key", "title", "code", "edition", "section", "kind", "unit", "beside", "source", "tag", "room")
NUMBERS = (
    "per_area",
    "per_person",
    "more",
    "least_bedrooms",
    "least",
    "most",
    "base",
    "further",
    "on_demand",
    "continuous",
)
NEEDED = {
    "rate": ("key", "title", "code", "edition", "section", "kind", "unit", "source", "tag"),
    "exhaust": ("key", "code", "section", "room", "unit", "source", "tag"),
}
KINDS = {"linear": ("per_area", "per_person"), "per person": ("base", "per_person", "per_area")}
ALLOWED = {"kind": tuple(KINDS), "unit": ("cfm", "L/s"), "tag": TAGS, "room": ROOMS}
MOST = 100_000.0


class RulesFileError(HouseFileError):
    """A table of local rules that cannot be used; carries every fault found, in file order."""


def read_local_rules(folder: str | Path) -> dict[str, tuple[dict[str, Any], ...]]:
    """The rules of a folder: "rate" and "exhaust", each entry as its table has it.

    Parameters
    ----------
    folder : str or Path
        with .toml files [-]

    Raises
    ------
    InputError
        no such folder, no table in it, or more tables than anybody writes.
    """
    place = Path(folder)
    if not place.is_dir():
        raise InputError(f"{folder}: no such folder of rules")
    files = sorted(place.glob("*.toml"))
    if not files:
        raise InputError(f"{folder}: no .toml table in it")
    if len(files) > MOST_FILES:
        raise InputError(f"{folder}: {len(files)} tables; up to {MOST_FILES} are read")
    found: dict[str, tuple[dict[str, Any], ...]] = {"rate": (), "exhaust": ()}
    for file in files:
        for kind, entries in rules_of(decode(file_bytes(file), str(file)), str(file)).items():
            found[kind] = (*found[kind], *entries)
    return found


def rules_of(text: str, name: str) -> dict[str, tuple[dict[str, Any], ...]]:
    """The rules of one table's text.

    Parameters
    ----------
    text : str
        TOML [-]
    name : str
        what to call it in messages [-]

    Raises
    ------
    RulesFileError
        it cannot be used; carries every fault.
    """
    try:
        content = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        where = re.search(r"at line (\d+), column (\d+)", str(problem))
        line, column = (int(where.group(1)), int(where.group(2))) if where else (1, 1)
        fault = Fault(line, column, "table", str(problem).partition(" (at")[0], "TOML, as in the tables that ship")
        raise RulesFileError(name, [fault]) from None
    faults: list[Fault] = []
    found: dict[str, tuple[dict[str, Any], ...]] = {}
    for kind, entries in content.items():
        if kind not in NEEDED:
            near = nearest(kind, tuple(NEEDED))
            faults.append(Fault(_line(text, kind, 0), 1, kind, "no such table", "[[rate]], [[exhaust]]", near))
        elif not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
            faults.append(Fault(_line(text, kind, 0), 1, kind, "is no list of rules", f"[[{kind}]]"))
        else:
            for number, entry in enumerate(entries):
                faults += _faults(text, kind, number, entry)
            found[kind] = tuple({"more": 1, "least_bedrooms": 0, "beside": "", **entry} for entry in entries)
    if faults:
        raise RulesFileError(name, faults)
    return found


def _faults(text: str, kind: str, number: int, entry: Mapping[str, Any]) -> list[Fault]:
    """What is wrong with one rule."""

    def wrong(key: str, problem: str, allowed: str = "", near: str = "") -> Fault:
        return Fault(_line(text, kind, number, key), 1, key, problem, allowed, near)

    needed = NEEDED[kind] + (KINDS.get(str(entry.get("kind")), ()) if kind == "rate" else ())
    found = [wrong(key, "is missing") for key in needed if key not in entry]
    for key, value in entry.items():
        if key in NUMBERS:
            if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 <= value <= MOST:
                found.append(wrong(key, f"{str(value)[:40]!r} cannot be", f"a number from 0 to {MOST:,.0f}"))
        elif key in WORDS:
            if not isinstance(value, str) or (not value.strip() and key != "beside") or len(value) > 500:
                found.append(wrong(key, f"{str(value)[:40]!r} is no plain words", "words in quotation marks"))
            elif key in ALLOWED and value not in ALLOWED[key]:
                found.append(
                    wrong(key, f"{value[:40]!r} is not known", ", ".join(ALLOWED[key]), nearest(value, ALLOWED[key]))
                )
        else:
            known = (*WORDS, *NUMBERS)
            found.append(wrong(key, "no such field", ", ".join(known), nearest(key, known)))
    if kind == "exhaust" and not {"on_demand", "continuous"} & set(entry):
        found.append(wrong("key", "asks for nothing", "on_demand, continuous, or both"))
    return found


def _line(text: str, kind: str, number: int, key: str = "") -> int:
    """The line of a rule, or of a field of it; the rule's first where the field is not found."""
    heads = [m.end() for m in re.finditer(rf"^[ \t]*\[\[?\s*{re.escape(kind)}\s*\]?\]", text, re.MULTILINE)]
    if number >= len(heads):
        return 1
    begin = heads[number]
    after = re.search(r"^[ \t]*\[", text[begin:], re.MULTILINE)
    end = begin + after.start() if after else len(text)
    match = re.search(rf"^[ \t]*\"?{re.escape(key)}\"?\s*=", text[begin:end], re.MULTILINE) if key else None
    return text.count("\n", 0, begin + match.start() if match else begin) + 1
