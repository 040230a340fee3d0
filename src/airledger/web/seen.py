"""What the pages have at hand: the book, the jobs, and houses that were looked at, so that the next look is quick."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from typing import Any, TypeVar

from airledger.errors import AirledgerError
from airledger.house.house import House as HouseValues
from airledger.house_book import Book, House
from airledger.io.house_file import read_text
from airledger.io.marks import decode
from airledger.runs.jobs import Job, Jobs
from airledger.runs.work import HouseWork

T = TypeVar("T")
MOST_KEPT = 48


class Seen:
    """A house at one revision: its values where its file can be read, else what is wrong with it."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.problem = ""
        self.values: HouseValues | None = None
        self.work: HouseWork | None = None
        self.lock = threading.Lock()
        """Held while a moment of it is solved: the means are shared."""
        try:
            self.values = read_text(decode(house.files[house.file_name], house.file_name), house.file_name).house
            self.work = HouseWork(self.values, {})
        except AirledgerError as problem:
            self.problem = str(problem)


class Desk:
    """Everything that the pages share.

    Parameters
    ----------
    book : Book
        the house book [-]
    by : str
        who is at this machine [-]
    """

    def __init__(self, book: Book, by: str) -> None:
        self.book, self.by, self.jobs = book, by, Jobs()
        self._kept: OrderedDict[tuple[Any, ...], Any] = OrderedDict()
        self._lock = threading.Lock()

    def seen(self, house_id: str, number: int = 0) -> Seen:
        """A house at a revision; 0 is the newest.

        Parameters
        ----------
        house_id : str
            which house [-]
        number : int
            which revision [-]
        """
        wanted = number or self.book.head(house_id)
        return self.kept(("seen", house_id, wanted), lambda: Seen(self.book.house(house_id, wanted)))

    def job(self, seen: Seen) -> Job:
        """The study of a house, begun if nobody asked for it yet.

        Parameters
        ----------
        seen : Seen
            the house [-]
        """
        return self.jobs.wanted(seen.house.files, seen.house.file_name)

    def kept(self, key: tuple[Any, ...], made: Callable[[], T]) -> T:
        """Something that takes long to make, made once.

        Parameters
        ----------
        key : tuple
            its name [-]
        made : Callable
            makes it [-]
        """
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                found: T = self._kept[key]
                return found
        value = made()
        with self._lock:
            self._kept[key] = value
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        return value
