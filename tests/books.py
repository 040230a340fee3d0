"""House books for tests: the same test on SQLite and on PostgreSQL."""

import itertools

import psycopg
import pytest

from airledger.house_book import open_book
from tests import postgres

KINDS = ("sqlite", "postgresql")
NUMBERS = itertools.count(1)


@pytest.fixture(scope="session")
def server():
    """One PostgreSQL for the whole run."""
    with postgres.running() as folder:
        yield folder


def new_database(folder):
    """The address of a new, empty database of a server."""
    name = f"book{next(NUMBERS)}"
    with psycopg.connect(f"host={folder} user=airledger dbname=postgres", autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return postgres.address(folder, name)


@pytest.fixture(params=KINDS)
def address(request, tmp_path):
    """Where an empty book may be made, of either kind."""
    if request.param == "sqlite":
        return str(tmp_path / "book.sqlite")
    return new_database(request.getfixturevalue("server"))


@pytest.fixture
def book(address):
    """An empty book."""
    opened = open_book(address)
    yield opened
    opened.store.close()


HOUSE = """\
house: Heron Lane 3                 # as on the permit
site: {place: "Homestead, Florida", elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms:
  house: {area: 2500 ft2, ceiling: 10 ft}
openings:
  entry door: {between: [house, outdoors], leaf: 36 in x 80 in, swings: out, stands: shut}
exhausts:
  range hood: {room: house, speeds: {high: 600 cfm}}
  dryer: {room: house, speeds: {high: 125 cfm}}
make-up air: none
"""


def house(*changes):
    """A small house file as bytes, with changes (old, new) in its text."""
    text = HOUSE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text.encode()
