"""The house book itself: houses in, revisions on top, everything told in the journal."""

from __future__ import annotations

import datetime
import uuid
from collections.abc import Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, func, insert, select, update

from airledger.errors import InputError
from airledger.house_book.about import about
from airledger.house_book.changes import brought_together, with_changes
from airledger.house_book.entries import (
    Change,
    Entry,
    House,
    Listed,
    Reading,
    Revision,
    Saved,
)
from airledger.house_book.journal import written
from airledger.house_book.paths import checked_path
from airledger.house_book.rows import held_files, house_row, listed_of, revisions_of
from airledger.house_book.store import Store, put
from airledger.house_book.tables import CONTENTS, FILES, HOUSES, JOURNAL, READINGS, RESULTS, REVISIONS

LISTED = [HOUSES.c[name] for name in Listed.__dataclass_fields__]
MOST_LISTED = 200


def now() -> str:
    """The time as the book writes it, in UTC."""
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="microseconds")


def open_book(address: str = "") -> Book:
    """A house book; made where there is none.

    Parameters
    ----------
    address : str
        a path, ``sqlite:///path`` or ``postgresql+psycopg://...``; nothing means the usual one [-]
    """
    return Book(Store(address))


class Book:
    """A house book.

    Parameters
    ----------
    store : Store
        the database under it [-]
    """

    def __init__(self, store: Store) -> None:
        self.store = store

    # -- houses and revisions

    def add(self, files: Mapping[str, bytes], file_name: str, by: str, why: str = "added") -> Listed:
        """A new house with its first revision.

        Parameters
        ----------
        files : Mapping[str, bytes]
            the house file and what it refers to, by path [-]
        file_name : str
            which of them is the house file [-]
        by : str
            who [-]
        why : str
            what for [-]

        Raises
        ------
        InputError
            the house file is not among the files, or a path leads out of the house's folder.
        """
        if file_name not in files:
            raise InputError(f"no house file {file_name!r} among the files")
        held = {checked_path(path): data for path, data in files.items()}
        found, at, house_id = about(held[file_name], file_name), now(), uuid.uuid4().hex
        with self.store.writing() as connection:
            connection.execute(
                insert(HOUSES).values(
                    id=house_id, file_name=file_name, head=1, made_at=at, changed_at=at,
                    searched=f"{found.name} {found.place}".lower(), **found.__dict__,
                )
            )  # fmt: skip
            change = Change(held, 0, by, why)
            self._revised(connection, house_id, 1, held, change, at, found.faults)
        return self.house(house_id).listed

    def save(self, house_id: str, change: Change) -> Saved:
        """A new revision; where somebody saved meanwhile, both changes, field by field.

        Parameters
        ----------
        house_id : str
            which house [-]
        change : Change
            files, the revision that the sender saw, who and why [-]

        Raises
        ------
        InputError
            no such house or revision, or a path leads out of the house's folder.
        EditClash
            both changed the same thing differently; nothing was written.
        """
        files = {checked_path(path): data for path, data in change.files.items()}
        with self.store.writing() as connection:
            if change.edit_key:
                known = connection.execute(
                    select(REVISIONS.c.number).where(
                        REVISIONS.c.house_id == house_id, REVISIONS.c.edit_key == change.edit_key
                    )
                ).scalar()
                if known is not None:
                    return Saved(known, False, True)
            house = house_row(connection, house_id)
            held = held_files(connection, house_id, house.head)
            if change.base == house.head:
                new, was_merged = with_changes(held, files), False
            else:
                base = held_files(connection, house_id, change.base)
                new, was_merged = brought_together(base, held, files, house.file_name, house.head), True
            if new == held:
                return Saved(house.head, was_merged)
            at, number = now(), house.head + 1
            found = about(new[house.file_name], house.file_name) if house.file_name in new else None
            if found is None:
                raise InputError(f"{house.name}: the house file {house.file_name!r} cannot be taken away")
            connection.execute(
                update(HOUSES)
                .where(HOUSES.c.id == house_id)
                .values(head=number, changed_at=at, searched=f"{found.name} {found.place}".lower(), **found.__dict__)
            )
            self._revised(connection, house_id, number, new, change, at, found.faults)
            return Saved(number, was_merged)

    def restore(self, house_id: str, number: int, by: str) -> Saved:
        """An old revision as a new one.

        Parameters
        ----------
        house_id : str
            which house [-]
        number : int
            which revision [-]
        by : str
            who [-]
        """
        old, head = self.house(house_id, number), self.house(house_id)
        files: dict[str, bytes | None] = dict.fromkeys(head.files)
        files.update(old.files)
        return self.save(house_id, Change(files, head.revision.number, by, f"as in revision {number}"))

    def house(self, house_id: str, number: int = 0) -> House:
        """A house with the bytes of a revision.

        Parameters
        ----------
        house_id : str
            which house [-]
        number : int
            which revision; 0 is the newest [-]
        """
        with self.store.reading() as connection:
            row = house_row(connection, house_id)
            wanted = number or row.head
            files = held_files(connection, house_id, wanted)
            (revision,) = revisions_of(connection, house_id, wanted)
            return House(listed_of(row), row.file_name, revision, files)

    def head(self, house_id: str) -> int:
        """The number of a house's newest revision.

        Parameters
        ----------
        house_id : str
            which house [-]
        """
        with self.store.reading() as connection:
            return int(house_row(connection, house_id).head)

    def houses(self, search: str = "", first: int = 0, most: int = MOST_LISTED) -> list[Listed]:
        """Houses by what each waits for, the earliest date first; those whose name or place holds every word.

        Parameters
        ----------
        search : str
            words, nothing for all [-]
        first : int
            how many to pass over [-]
        most : int
            how many to hand out [-]
        """
        query = select(*LISTED).order_by(HOUSES.c.decide_by, HOUSES.c.name, HOUSES.c.id).offset(first).limit(most)
        for word in search.lower().split():
            query = query.where(HOUSES.c.searched.contains(word, autoescape=True))
        with self.store.reading() as connection:
            return [Listed(**row._mapping) for row in connection.execute(query)]

    def find(self, words: str) -> Listed:
        """The one house of a name, or whose number begins so.

        Parameters
        ----------
        words : str
            its name as it stands, or the beginning of its number [-]

        Raises
        ------
        InputError
            there is none, or there are several.
        """
        hit = (HOUSES.c.name == words) | HOUSES.c.id.startswith(words.lower(), autoescape=True)
        with self.store.reading() as connection:
            rows = connection.execute(select(*LISTED).where(hit).order_by(HOUSES.c.id)).all()
        found = [Listed(**row._mapping) for row in rows] if words else []
        exact = [one for one in found if one.id == words] or found
        if len(exact) == 1:
            return exact[0]
        if not exact:
            raise InputError(f"no house is called {words!r}, and no number begins so; airledger book list shows them")
        told = ", ".join(f"{one.id[:8]} {one.name} ({one.place})" for one in exact[:5])
        raise InputError(f"{words!r} fits {len(exact)} houses: {told}; name the number")

    def count(self) -> int:
        """How many houses there are."""
        with self.store.reading() as connection:
            return connection.execute(select(func.count()).select_from(HOUSES)).scalar() or 0

    def revisions(self, house_id: str) -> list[Revision]:
        """Every revision of a house, the newest first.

        Parameters
        ----------
        house_id : str
            which house [-]
        """
        with self.store.reading() as connection:
            house_row(connection, house_id)
            return revisions_of(connection, house_id)

    def _revised(  # noqa: PLR0913, PLR0917 - a revision's own fields
        self,
        connection: Connection,
        house_id: str,
        number: int,
        files: Mapping[str, bytes],
        change: Change,
        at: str,
        faults: int,
    ) -> None:
        """Writes a revision, its files and its journal entry."""
        connection.execute(
            insert(REVISIONS).values(
                house_id=house_id, number=number, base=change.base, made_at=at, made_by=change.by, why=change.why,
                faults=faults, edit_key=change.edit_key or None,
            )
        )  # fmt: skip
        hashes = {path: put(connection, data) for path, data in sorted(files.items())}
        connection.execute(
            insert(FILES),
            [{"house_id": house_id, "number": number, "path": path, "sha256": sha} for path, sha in hashes.items()],
        )
        told: dict[str, Any] = {"number": number, "base": change.base, "why": change.why, "files": hashes}
        written(connection, at, change.by, "revision", house_id, told)

    # -- readings from the site, results of runs

    def take(self, reading: Reading) -> bool:
        """Keeps a reading or a photo; False where it is there already (a phone that sends twice).

        Parameters
        ----------
        reading : Reading
            with the id that the sender gave it [-]

        Raises
        ------
        InputError
            its id is taken by something else.
        """
        with self.store.writing() as connection:
            house_row(connection, reading.house_id)
            known = connection.execute(select(READINGS).where(READINGS.c.id == reading.id)).one_or_none()
            if known is not None:
                if (known.house_id, known.told) != (reading.house_id, reading.told):
                    raise InputError(f"another reading is called {reading.id!r}")
                return False
            at = now()
            sha = put(connection, reading.data) if reading.data else None
            connection.execute(
                insert(READINGS).values(
                    id=reading.id, house_id=reading.house_id, taken_at=reading.taken_at, received_at=at,
                    made_by=reading.made_by, kind=reading.kind, told=reading.told, sha256=sha,
                )
            )  # fmt: skip
            told = {"id": reading.id, "kind": reading.kind, "told": reading.told, "sha256": sha or ""}
            written(connection, at, reading.made_by, "reading", reading.house_id, told)
            return True

    def readings(self, house_id: str) -> list[Reading]:
        """The readings of a house in the order in which they were taken.

        Parameters
        ----------
        house_id : str
            which house [-]
        """
        query = (
            select(READINGS, CONTENTS.c.data)
            .outerjoin(CONTENTS, CONTENTS.c.sha256 == READINGS.c.sha256)
            .where(READINGS.c.house_id == house_id)
            .order_by(READINGS.c.taken_at, READINGS.c.id)
        )
        with self.store.reading() as connection:
            return [
                Reading(
                    row.id, row.house_id, row.taken_at, row.made_by, row.kind, row.told, bytes(row.data or b""),
                    row.received_at,
                )
                for row in connection.execute(query)
            ]  # fmt: skip

    def result(self, run_key: str) -> str | None:
        """What a run found, by its key; None where it was not run.

        Parameters
        ----------
        run_key : str
            of the run [-]
        """
        with self.store.reading() as connection:
            return connection.execute(select(RESULTS.c.told).where(RESULTS.c.run_key == run_key)).scalar()

    def keep_result(self, run_key: str, house_id: str, told: str) -> None:
        """Keeps what a run found; the first one stays.

        Parameters
        ----------
        run_key : str
            of the run [-]
        house_id : str
            of which house [-]
        told : str
            as JSON [-]
        """
        with self.store.writing() as connection:
            if connection.execute(select(RESULTS.c.run_key).where(RESULTS.c.run_key == run_key)).scalar() is None:
                connection.execute(insert(RESULTS).values(run_key=run_key, house_id=house_id, made_at=now(), told=told))

    # -- the journal

    def journal(self, house_id: str = "") -> Iterator[Entry]:
        """The journal in order; of one house, or all.

        Parameters
        ----------
        house_id : str
            which house, nothing for all [-]
        """
        query = select(JOURNAL).order_by(JOURNAL.c.place)
        if house_id:
            query = query.where(JOURNAL.c.house_id == house_id)
        with self.store.reading() as connection:
            for row in connection.execute(query):
                yield Entry(**row._mapping)
