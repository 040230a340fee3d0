"""The house book: houses, their revisions, files, readings and results, kept in SQLite or PostgreSQL.

Nothing in it is changed or taken away: a save is a new revision, and a journal whose entries are chained by hash tells
who did what and why. The house file stays the truth: what goes in comes out bit for bit.
"""

from __future__ import annotations

from airledger.house_book.book import Book, open_book
from airledger.house_book.entries import Change, Clash, EditClash, Entry, House, Listed, Reading, Revision, Saved
from airledger.house_book.place import usual_address

__all__ = [
    "Book",
    "Change",
    "Clash",
    "EditClash",
    "Entry",
    "House",
    "Listed",
    "Reading",
    "Revision",
    "Saved",
    "open_book",
    "usual_address",
]
