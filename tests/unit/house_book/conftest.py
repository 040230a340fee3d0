"""An empty house book of either kind for each test here."""

from tests.books import address, book, server

__all__ = ["address", "book", "server"]
