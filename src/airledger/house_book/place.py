"""Where a house book lives, and what its address means."""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_data_path

FILE = "house-book.sqlite"


def usual_address() -> str:
    """The address of the book in the user's data folder, an embedded SQLite file."""
    return f"sqlite:///{user_data_path('airledger') / FILE}"


def full_address(address: str) -> str:
    """An address as the database library wants it; a plain path means an SQLite file.

    Parameters
    ----------
    address : str
        a path, ``sqlite:///path`` or ``postgresql+psycopg://...``; nothing means the usual one [-]
    """
    if not address:
        return usual_address()
    if "://" not in address:
        return f"sqlite:///{Path(address).expanduser().absolute()}"
    return address.replace("postgresql://", "postgresql+psycopg://", 1)


def shown_address(address: str) -> str:
    """An address without its password, for messages.

    Parameters
    ----------
    address : str
        as `full_address` gives it [-]
    """
    head, at, tail = address.rpartition("@")
    if not at or ":" not in head.partition("://")[2]:
        return address
    return f"{head.rpartition(':')[0]}:...@{tail}"
