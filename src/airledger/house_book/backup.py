"""A whole book in one file, the same for SQLite and PostgreSQL, and back into an empty one."""

from __future__ import annotations

import base64
import gzip
import json
import os
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sqlalchemy import func, insert, select

from airledger.errors import InputError
from airledger.house_book.book import Book
from airledger.house_book.checked import faults
from airledger.house_book.store import NEWEST
from airledger.house_book.tables import HOUSES, JOURNAL, TABLES

KIND = "airledger house book"
BATCH = 200


def backup(book: Book, path: Path) -> int:
    """Writes all of a book, as it is at one moment, to a file; how many rows.

    Parameters
    ----------
    book : Book
        any [-]
    path : Path
        where to; written beside and put in place when whole [-]
    """
    beside = path.with_name(path.name + ".part")
    count = 0
    try:
        with gzip.open(beside, "wt", encoding="utf-8", newline="\n") as out, book.store.reading() as connection:
            out.write(json.dumps({"kind": KIND, "shape": NEWEST}) + "\n")
            for table in TABLES:
                for row in connection.execute(select(table).order_by(*table.primary_key.columns)):
                    out.write(json.dumps([table.name, {k: _plain(v) for k, v in row._mapping.items()}]) + "\n")
                    count += 1
            out.write(json.dumps({"rows": count}) + "\n")
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)
    return count


def put_back(book: Book, path: Path) -> int:
    """Puts a backup into an empty book; how many rows.

    Parameters
    ----------
    book : Book
        one without a house [-]
    path : Path
        of the backup [-]

    Raises
    ------
    InputError
        the book is not empty, the file is no backup, is cut short, or its chain does not hold.
    """
    by_name = {table.name: table for table in TABLES}
    with book.store.writing() as connection:
        taken = connection.execute(select(func.count()).select_from(HOUSES)).scalar() or 0
        taken += connection.execute(select(func.count()).select_from(JOURNAL)).scalar() or 0
        if taken:
            raise InputError(f"{book.store.shown}: holds houses already; a backup goes into an empty book")
        count, pending, name = 0, list[dict[str, Any]](), ""
        for line in _lines(path):
            if isinstance(line, dict):
                if line.get("rows") != count:
                    raise InputError(f"{path}: is cut short")
                break
            if line[0] not in by_name:
                raise InputError(f"{path}: holds {line[0]!r}, which this version does not know")
            if pending and (line[0] != name or len(pending) >= BATCH):
                connection.execute(insert(by_name[name]), pending)
                pending = []
            name = line[0]
            pending.append({key: _back(value) for key, value in line[1].items()})
            count += 1
        else:
            raise InputError(f"{path}: is cut short")
        if pending:
            connection.execute(insert(by_name[name]), pending)
    wrong = faults(book)
    if wrong:
        raise InputError(f"{path}: is not whole: {wrong[0]}")
    return count


def is_backup(path: Path) -> bool:
    """Whether a file begins as a backup.

    Parameters
    ----------
    path : Path
        any file [-]
    """
    try:
        return next(_lines(path), None) is not None
    except InputError:
        return False


def _lines(path: Path) -> Iterator[Any]:
    """The lines after the first, which has to say what the file is."""
    try:
        with gzip.open(path, "rt", encoding="utf-8") as source:
            first = json.loads(source.readline())
            if not isinstance(first, dict) or first.get("kind") != KIND:
                raise InputError(f"{path}: is no backup of a house book")
            if first.get("shape") != NEWEST:
                raise InputError(f"{path}: is of another version (shape {first.get('shape')}, here {NEWEST})")
            for line in source:
                yield json.loads(line)
    except (OSError, EOFError, zlib.error, ValueError) as problem:
        raise InputError(f"{path}: is no backup that can be read: {problem}") from problem


def _plain(value: Any) -> Any:
    return {"b64": base64.b64encode(value).decode()} if isinstance(value, bytes | memoryview) else value


def _back(value: Any) -> Any:
    return base64.b64decode(value["b64"]) if isinstance(value, dict) else value
