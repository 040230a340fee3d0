"""The journal: every act in order, each entry holding the hash of the one before it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import Connection, insert, select

from airledger.house_book.entries import Entry
from airledger.house_book.tables import JOURNAL

FIRST = "0" * 64
"""What stands before the first entry."""


def canonical(told: Mapping[str, Any]) -> str:
    """A mapping as text that is the same every time.

    Parameters
    ----------
    told : Mapping
        plain values [-]
    """
    return json.dumps(told, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def hash_of(place: int, at: str, by: str, what: str, house_id: str, told: str, before: str) -> str:  # noqa: PLR0913, PLR0917 - an entry's own fields
    """The hash of an entry, over all it says and the hash before it.

    Parameters
    ----------
    place : int
        in the journal, from 1 [-]
    at : str
        time of the act [-]
    by : str
        who [-]
    what : str
        the act [-]
    house_id : str
        of which house, nothing for none [-]
    told : str
        the rest, as canonical JSON [-]
    before : str
        hash of the entry before [-]
    """
    return hashlib.sha256(canonical({"entry": [place, at, by, what, house_id, told, before]}).encode()).hexdigest()


def written(connection: Connection, at: str, by: str, what: str, house_id: str, told: Mapping[str, Any]) -> Entry:
    """A new last entry; the caller holds the book's lock for writing.

    Parameters
    ----------
    connection : Connection
        within a transaction that writes [-]
    at : str
        time of the act [-]
    by : str
        who [-]
    what : str
        the act [-]
    house_id : str
        of which house, nothing for none [-]
    told : Mapping
        the rest, plain values [-]
    """
    last = connection.execute(
        select(JOURNAL.c.place, JOURNAL.c.hash).order_by(JOURNAL.c.place.desc()).limit(1)
    ).one_or_none()
    place, before = (1, FIRST) if last is None else (last.place + 1, last.hash)
    text = canonical(told)
    entry = Entry(place, at, by, what, house_id, text, before, hash_of(place, at, by, what, house_id, text, before))
    connection.execute(insert(JOURNAL).values(**entry.__dict__))
    return entry


def faults_of_chain(entries: Iterable[Entry]) -> list[str]:
    """What is wrong with a chain of entries, in words; nothing where it holds.

    Parameters
    ----------
    entries : Iterable[Entry]
        in order from the first [-]
    """
    found = []
    place, before = 0, FIRST
    for entry in entries:
        if entry.place != place + 1:
            found.append(f"journal: entry {place + 1} is missing, {entry.place} follows")
        if entry.before != before:
            found.append(f"journal: entry {entry.place} does not follow from the one before it")
        expected = hash_of(entry.place, entry.at, entry.by, entry.what, entry.house_id, entry.told, entry.before)
        if entry.hash != expected:
            found.append(f"journal: entry {entry.place} was changed after it was written")
        place, before = entry.place, entry.hash
    return found
