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


def revision_of(connection: Connection, house_id: str, number: int) -> Revision:
    """A revision without the bytes of its files.

    Parameters
    ----------
    connection : Connection
        within a transaction [-]
    house_id : str
        which house [-]
    number : int
        which revision [-]
    """
    row = connection.execute(
        select(REVISIONS).where(REVISIONS.c.house_id == house_id, REVISIONS.c.number == number)
    ).one()
    files = connection.execute(
        select(FILES.c.path, FILES.c.sha256).where(FILES.c.house_id == house_id, FILES.c.number == number)
    )
    return Revision(
        row.house_id, row.number, row.base, row.made_at, row.made_by, row.why, row.faults,
        {file.path: file.sha256 for file in files},
    )  # fmt: skip


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
