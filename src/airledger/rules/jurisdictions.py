"""Which place has adopted which code: looked up in a table, and said as unknown where it is not there.

The table (tables/jurisdictions.toml) holds few places on purpose: one that nobody looked up is never guessed from its
neighbour.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from airledger.sources import Source, table

NOT_LOOKED_UP = "code not looked up, ask the official"
_COUNTRIES = ("canada", "usa", "us", "u s a", "u s", "united states", "united states of america")


@dataclass(frozen=True)
class Jurisdiction:
    """What a place has adopted. code is "" and `looked_up` false where nobody has looked it up.

    edition, date: "unknown" where they are; amendments in words; rules: keys of the make-up rules that hold there;
    rates, local: of those on whole-house and local ventilation, () where not looked up; tables: names of the tables
    that it takes, of openings and lengths of ducts; source: of the adoption.
    """

    place: str
    code: str
    edition: str
    amendments: str
    date: str
    rules: tuple[str, ...]
    source: Source
    rates: tuple[str, ...] = ()
    local: tuple[str, ...] = ()
    tables: tuple[str, ...] = ()

    @property
    def looked_up(self) -> bool:
        """Whether anything is known about the place."""
        return bool(self.code)

    @property
    def text(self) -> str:
        """The adoption in one sentence."""
        if not self.looked_up:
            return f"{self.place or 'no place given'}: {NOT_LOOKED_UP}"
        unsure = "" if self.source.confirmed else ", unconfirmed"
        adopted = f"{self.code}, edition {self.edition}, in force since: {self.date}"
        return f"{self.place}: {adopted}; amendments: {self.amendments}{unsure}"


def jurisdiction(place: str) -> Jurisdiction:
    """The code of a place, or the plain statement that it was not looked up.

    Parameters
    ----------
    place : str
        city or county and state, as people write it: ``Homestead, Florida`` [-]

    Reference
    ---------
    The table of places in rules/tables/jurisdictions.toml, each with its own source and tag.
    """
    entries: dict[str, dict[str, Any]] = {
        name: entry for entry in table("rules/tables/jurisdictions")["place"] for name in entry["names"]
    }
    for name in _names_of(place):
        if name in entries:
            entry = entries[name]
            return Jurisdiction(
                place,
                entry["code"],
                entry["edition"],
                entry["amendments"],
                entry["date"],
                tuple(entry["rules"]),
                Source(entry["source"], entry["tag"]),
                tuple(entry.get("rates", ())),
                tuple(entry.get("local", ())),
                tuple(entry.get("tables", ())),
            )
    return Jurisdiction(place, "", "unknown", "unknown", "unknown", (), Source("", "memory"))


def places() -> tuple[str, ...]:
    """The places of which something was looked up, as their first name in the table.

    Reference
    ---------
    rules/tables/jurisdictions.toml.
    """
    return tuple(entry["names"][0] for entry in table("rules/tables/jurisdictions")["place"] if entry["code"])


def _names_of(place: str) -> list[str]:
    """The names under which a place may stand in the table, the narrowest first."""
    parts = [re.sub(r"[.\s]+", " ", part).strip().lower() for part in place.split(",")]
    parts = [part for part in parts if part]
    if len(parts) > 1 and parts[-1] in _COUNTRIES:
        parts = parts[:-1]
    if not parts:
        return []
    names = [f"{part}, {parts[-1]}" for part in parts[:-1]] + [parts[-1]]
    words = parts[-1].split()
    if len(parts) == 1 and len(words) > 1:  # "Homestead Florida", without the comma
        for size in (1, 2):
            state = " ".join(words[-size:])
            names += [f"{' '.join(words[:-size])}, {state}", state] if len(words) > size else []
    return names
