"""Whether a book is whole: every byte under its hash, every revision in the journal, the journal one chain."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, select, text

from airledger.house_book.book import Book
from airledger.house_book.entries import Entry
from airledger.house_book.journal import faults_of_chain
from airledger.house_book.tables import CONTENTS, FILES, HOUSES, READINGS, REVISIONS


def faults(book: Book) -> list[str]:
    """What is wrong with a book, in words; nothing where it is whole.

    Parameters
    ----------
    book : Book
        any [-]
    """
    with book.store.reading() as connection:
        found = [*_database(connection), *_contents(connection)]
        entries = list(book.journal())
        found += faults_of_chain(entries)
        told = [_told(entry) | {"house": entry.house_id, "what": entry.what} for entry in entries]
        in_journal = {
            (one["house"], one.get("number", 0)): one.get("files", {}) for one in told if one["what"] == "revision"
        }
        found += _revisions(connection, in_journal)
        readings = {one.get("id", "") for one in told if one["what"] == "reading"}
        kept = set(connection.execute(select(READINGS.c.id)).scalars())
        found += [f"reading {name}: is kept and stands in no journal" for name in sorted(kept - readings)]
        found += [f"reading {name}: stands in the journal and is not kept" for name in sorted(readings - kept)]
    return found


def _told(entry: Entry) -> dict[str, Any]:
    """What an entry tells; nothing where it can no longer be read, which the chain has said already."""
    try:
        told = json.loads(entry.told)
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}


def _database(connection: Connection) -> Iterator[str]:
    if connection.dialect.name == "sqlite":
        told = connection.execute(text("PRAGMA integrity_check")).scalars().all()
        yield from (f"database: {line}" for line in told if line != "ok")


def _contents(connection: Connection) -> Iterator[str]:
    for row in connection.execution_options(stream_results=True).execute(select(CONTENTS)):
        if hashlib.sha256(bytes(row.data)).hexdigest() != row.sha256:
            yield f"contents {row.sha256[:12]}: the bytes are not those that were kept"


def _revisions(connection: Connection, in_journal: dict[tuple[str, int], dict[str, str]]) -> Iterator[str]:
    kept: dict[tuple[str, int], dict[str, str]] = {}
    for row in connection.execute(select(REVISIONS.c.house_id, REVISIONS.c.number)):
        kept[row.house_id, row.number] = {}
    for row in connection.execute(select(FILES)):
        kept.setdefault((row.house_id, row.number), {})[row.path] = row.sha256
    for house_id, number in sorted(set(kept) | set(in_journal)):
        there, told = kept.get((house_id, number)), in_journal.get((house_id, number))
        if there is None:
            yield f"house {house_id}: revision {number} stands in the journal and is not kept"
        elif told is None:
            yield f"house {house_id}: revision {number} is kept and stands in no journal"
        elif there != told:
            yield f"house {house_id}: the files of revision {number} are not those of the journal"
    newest: dict[str, int] = {}
    for house_id, number in kept:
        newest[house_id] = max(number, newest.get(house_id, 0))
    for row in connection.execute(select(HOUSES.c.id, HOUSES.c.head)):
        if newest.get(row.id) != row.head:
            yield f"house {row.id}: its newest revision is {newest.get(row.id)}, the list says {row.head}"
