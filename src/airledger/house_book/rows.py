"""Rows of a house book as values."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Row, select

from airledger.errors import InputError
from airledger.house_book.entries import Listed, Revision
from airledger.house_book.tables import CONTENTS, FILES, HOUSES, REVISIONS


def held_files(connection: Connection, house_id: str, number: int) -> dict[str, bytes]:
    """The files of a revision by path.

    Parameters
    ----------
    connection : Connection
        within a transaction [-]
    house_id : str
        which house [-]
    number : int
        which revision [-]

    Raises
    ------
    InputError
        there is no such revision.
    """
    rows = connection.execute(
        select(FILES.c.path, CONTENTS.c.data)
        .join(CONTENTS, CONTENTS.c.sha256 == FILES.c.sha256)
        .where(FILES.c.house_id == house_id, FILES.c.number == number)
    )
    found = {row.path: bytes(row.data) for row in rows}
    if not found:
        raise InputError(f"house {house_id} has no revision {number}")
    return found


def revisions_of(connection: Connection, house_id: str, number: int = 0) -> list[Revision]:
    """Revisions without the bytes of their files, the newest first.

    Parameters
    ----------
    connection : Connection
        within a transaction [-]
    house_id : str
        which house [-]
    number : int
        of which save; 0 of every one [-]
    """
    saves = select(REVISIONS).where(REVISIONS.c.house_id == house_id).order_by(REVISIONS.c.number.desc())
    files = select(FILES.c.number, FILES.c.path, FILES.c.sha256).where(FILES.c.house_id == house_id)
    if number:
        saves, files = saves.where(REVISIONS.c.number == number), files.where(FILES.c.number == number)
    held: dict[int, dict[str, str]] = {}
    for file in connection.execute(files):
        held.setdefault(file.number, {})[file.path] = file.sha256
    return [
        Revision(
            row.house_id, row.number, row.base, row.made_at, row.made_by, row.why, row.faults, held.get(row.number, {})
        )
        for row in connection.execute(saves)
    ]


def house_row(connection: Connection, house_id: str) -> Row[Any]:
    """The row of a house.

    Parameters
    ----------
    connection : Connection
        within a transaction [-]
    house_id : str
        which house [-]

    Raises
    ------
    InputError
        there is no such house.
    """
    row = connection.execute(select(HOUSES).where(HOUSES.c.id == house_id)).one_or_none()
    if row is None:
        raise InputError(f"no house {house_id!r} in this book")
    return row


def listed_of(row: Row[Any]) -> Listed:
    """A house as a list shows it.

    Parameters
    ----------
    row : Row
        of the houses [-]
    """
    return Listed(**{name: getattr(row, name) for name in Listed.__dataclass_fields__})
