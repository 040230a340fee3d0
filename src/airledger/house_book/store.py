"""The database under a book: how it is opened, brought to the newest shape, read and written.

Writers take turns: SQLite by BEGIN IMMEDIATE, PostgreSQL by one advisory lock, so that the journal is one chain. What
is acknowledged is on the disk (SQLite: write-ahead log, synchronous FULL).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, create_engine, event, insert, inspect, select, text
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, SQLAlchemyError
from sqlalchemy.pool import NullPool

from airledger.errors import InputError
from airledger.house_book.place import full_address, shown_address
from airledger.house_book.tables import CONTENTS

LOCK = 7_314_159
"""Number of the lock that PostgreSQL's writers take."""
PATIENCE = 30.0
"""How long a writer waits for another [s]."""


class BookError(InputError):
    """The book cannot be reached, read or written; says which and why."""


class Store:
    """A database with the book's tables in it.

    Parameters
    ----------
    address : str
        a path, ``sqlite:///path`` or ``postgresql+psycopg://...``; nothing means the usual one [-]

    Raises
    ------
    BookError
        it cannot be opened.
    """

    def __init__(self, address: str = "") -> None:
        self.address = full_address(address)
        self.shown = shown_address(self.address)
        self.engine = self._engine()
        with self._told():
            self._to_newest()

    def _engine(self) -> Engine:
        try:
            if self.address.startswith("sqlite"):
                Path(self.address.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True)
                engine = create_engine(self.address, poolclass=NullPool, connect_args={"timeout": PATIENCE})
                event.listen(engine, "connect", _as_sqlite)
                event.listen(engine, "begin", _begun)
                return engine
            return create_engine(self.address, pool_pre_ping=True)
        except (ArgumentError, NoSuchModuleError, ModuleNotFoundError, OSError) as problem:
            hint = "; install airledger[postgres]" if "psycopg" in str(problem) else ""
            raise BookError(f"no house book can be opened at {self.shown}: {_short(problem)}{hint}") from problem

    def _to_newest(self) -> None:
        config = Config()
        config.set_main_option("script_location", "airledger.house_book:migrations")
        config.set_main_option("path_separator", "os")
        with self.writing() as connection:
            if self._is_newest(connection):
                return
            config.attributes["connection"] = connection
            command.upgrade(config, "head")

    def _is_newest(self, connection: Connection) -> bool:
        if not inspect(connection).has_table("alembic_version"):
            return False
        found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
        return found == NEWEST

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A transaction that reads one state of the book."""
        with self._told(), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that writes; one at a time, all or nothing."""
        with self._told(), self.engine.connect().execution_options(writes=True) as connection, connection.begin():
            if self.engine.dialect.name == "postgresql":
                connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": LOCK})
            yield connection

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Says what the database says, without its statement and its password."""
        try:
            yield
        except DBAPIError as problem:
            raise BookError(f"the house book at {self.shown} cannot be used: {_short(problem.orig)}") from problem
        except SQLAlchemyError as problem:
            raise BookError(f"the house book at {self.shown} cannot be used: {_short(problem)}") from problem

    def close(self) -> None:
        """Lets go of the database."""
        self.engine.dispose()


NEWEST = "0001"
"""The newest migration; a test compares it with the folder."""


def put(connection: Connection, data: bytes) -> str:
    """Keeps bytes under their hash, once; the hash.

    Parameters
    ----------
    connection : Connection
        within a transaction that writes [-]
    data : bytes
        anything [-]
    """
    found = hashlib.sha256(data).hexdigest()
    there = connection.execute(select(CONTENTS.c.sha256).where(CONTENTS.c.sha256 == found)).scalar()
    if there is None:
        connection.execute(insert(CONTENTS).values(sha256=found, data=data))
    return found


def _as_sqlite(connection: Any, _record: Any) -> None:
    """SQLite as a book wants it; transactions are begun by hand."""
    connection.isolation_level = None
    cursor = connection.cursor()
    for line in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        cursor.execute(f"PRAGMA {line}")
    cursor.close()


def _begun(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _short(problem: object) -> str:
    return str(problem).strip().split("\n")[0][:200]
