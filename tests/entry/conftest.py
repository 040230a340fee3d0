"""Pages on a book with a small house, for every test here that asks for them."""

from tests.entry.desk import client, house

__all__ = ["client", "house"]
