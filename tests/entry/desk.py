"""The pages with one small house, for the tests that ask them."""

import re

import pytest
from starlette.testclient import TestClient

from airledger.house_book import open_book
from airledger.web.app import application
from airledger.web.render import PAGES
from tests.books import HOUSE

HOME = "http://127.0.0.1:8735"
ENDS = (*(end for end, _ in PAGES), "worst", "punch-list", "file")


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    """Pages on a book with one small house, worked out once for the whole file."""
    book = open_book(str(tmp_path_factory.mktemp("pages") / "book.sqlite"))
    with TestClient(application(book, "Ana"), base_url=HOME, headers={"origin": HOME}) as asked:
        asked.book = book
        yield asked
    book.store.close()


@pytest.fixture
def house(client):
    """A new house of its own for each test; its address."""
    return f"/houses/{client.book.add({'heron.yaml': HOUSE.encode()}, 'heron.yaml', 'Ana').id}"


def worked_out(client, address, end=""):
    """A page when its study is there."""
    shown = client.get(f"{address}/{end}".rstrip("/"))
    for key in set(re.findall(r"/course/([0-9a-f]{64})/events", shown.text)):
        with client.stream("GET", f"/course/{key}/events") as told:
            assert "event: over" in "".join(told.iter_text())
    return client.get(f"{address}/{end}".rstrip("/"))


def head_of(client, address):
    return client.book.house(address.rpartition("/")[2]).revision.number
