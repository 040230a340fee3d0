"""The rules by place, by name, and with a house's numbers put in."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from airledger.errors import InputError
from airledger.findings import Finding
from airledger.io.house_file import read
from airledger.rules.explained import DUCT, LOCAL, WHOLE, Entry, entries, holding, named
from airledger.rules.jurisdictions import jurisdiction, places
from airledger.rules.law_words import law_with_numbers
from airledger.rules.make_up_trigger import make_up_trigger
from airledger.runs.engine import study

__all__ = ["Book", "book", "explained"]

STUDIES = ("ventilation_rate", "local_exhaust")
SUBJECTS = {WHOLE: "ventilation_rate", LOCAL: "local_exhaust", DUCT: "local_exhaust"}
"""Subject of a rule -> the study that puts a house's numbers into it."""


@dataclass(frozen=True)
class Book:
    """Rules to show. head: what they are of; entries; findings: with the numbers of a house; places: all looked up."""

    head: str
    entries: tuple[Entry, ...]
    findings: tuple[Finding, ...] = ()
    places: tuple[str, ...] = ()


def book(place_or_house: str = "") -> Book:
    """The rules that hold in a place, or for a house; without either, every rule and every place looked up.

    Parameters
    ----------
    place_or_house : str
        a place as people write it, the path of a house file, or nothing [-]
    """
    if not place_or_house:
        return Book("Every rule in the tables, whether it holds anywhere or not.", entries(), places=places())
    if Path(place_or_house).suffix.lower() in (".yaml", ".yml"):
        house = read(place_or_house).house
        outcome = study(house, STUDIES, beside=Path(place_or_house).parent)
        told = tuple(finding for finding in outcome.findings if finding.basis == "law")
        told += tuple(law_with_numbers(make_up_trigger(house)))
        return Book(jurisdiction(house.site.place).text, holding(jurisdiction(house.site.place)), told)
    place = jurisdiction(place_or_house)
    return Book(place.text, holding(place), places=() if place.looked_up else places())


def explained(name: str, house: str | Path | None = None) -> Book:
    """One rule, or all that a name fits; with the numbers of a house where it speaks of them.

    Parameters
    ----------
    name : str
        key, title or section of a rule, or the code of a punch item [-]
    house : str or Path
        a house file, None for none [-]

    Raises
    ------
    InputError
        nothing is called so; the nearest name is told.
    """
    found = named(name)
    findings: tuple[Finding, ...] = ()
    if house is not None:
        read_house = read(house).house
        outcome = study(read_house, STUDIES, beside=Path(house).parent)
        cited = {(SUBJECTS.get(entry.subject), entry.cited.partition(",")[0]) for entry in found}
        findings = tuple(
            f
            for f in outcome.findings
            if f.code == name.replace("-", "_") or any(f.study == told and key in f.message for told, key in cited)
        )
        by_key = {entry.key for entry in found}
        findings += tuple(law_with_numbers(v for v in make_up_trigger(read_house) if v.key in by_key))
    if not found and not findings:
        near = get_close_matches(name, [entry.key for entry in entries()], 3, 0.4)
        hint = f"; near it: {', '.join(near)}" if near else ""
        raise InputError(f"no rule is called {name!r}{hint}; `airledger rules` lists all")
    return Book(f"{name}:", found, findings)
