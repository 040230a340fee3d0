"""The rules by place, by name, and with a house's numbers put in."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from airledger.errors import InputError
from airledger.findings import Finding
from airledger.io.house_file import read
from airledger.rules.explained import Entry, entries, holding, named
from airledger.rules.jurisdictions import jurisdiction, places
from airledger.runs.engine import study

__all__ = ["Book", "book", "explained"]

STUDIES = ("ventilation_rate", "local_exhaust")


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
        outcome = study(read(house).house, STUDIES, beside=Path(house).parent)
        keys = {entry.cited.partition(",")[0] for entry in found}
        findings = tuple(
            f for f in outcome.findings if f.code == name.replace("-", "_") or any(key in f.message for key in keys)
        )
    if not found and not findings:
        near = get_close_matches(name, [entry.key for entry in entries()], 3, 0.4)
        hint = f"; near it: {', '.join(near)}" if near else ""
        raise InputError(f"no rule is called {name!r}{hint}; `airledger rules` lists all")
    return Book(f"{name}:", found, findings)
