"""A real server in a child process, and what every test of the pages asks of a browser."""

import itertools
import subprocess
import sys
from contextlib import contextmanager

from playwright.sync_api import expect

from airledger.house_book import open_book
from tests.books import HOUSE

PATIENCE = 20_000
"""Longest wait for anything on a page of a busy machine [ms]; nothing is timed by it."""
DESK, PHONE = {"width": 1280, "height": 900}, {"width": 360, "height": 760}
NUMBERS = itertools.count(1)
SHIFTS = """
window.shifted = 0;
new PerformanceObserver((list) => {
  for (const one of list.getEntries()) if (!one.hadRecentInput) window.shifted += one.value;
}).observe({ type: "layout-shift", buffered: true });
"""


class Served:
    """`airledger serve` on a book, in a process of its own."""

    def __init__(self, book):
        self.book, self.port, self.process, self.address = str(book), 0, None, ""

    def start(self):
        """Starts the server, on the port it had; waits for the line with its address."""
        command = [sys.executable, "-m", "airledger", "serve", "--no-open", "--port", str(self.port)]
        self.process = subprocess.Popen(
            [*command, "--book", self.book], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        told = self.process.stdout.readline()
        assert "http://" in told, f"the server said {told!r}"
        self.address = told.split()[3].rstrip("/")
        self.port = int(self.address.rpartition(":")[2])

    def end(self, how="terminate"):
        """Ends the server: "terminate" or "kill"."""
        getattr(self.process, how)()
        self.process.wait(PATIENCE / 1000)
        self.process.stdout.close()


@contextmanager
def serving(folder):
    """A server on a new book in a folder, and that book."""
    served = Served(folder / "book.sqlite")
    held = open_book(served.book)
    served.start()
    try:
        yield served, held
    finally:
        served.end()
        held.store.close()


class Watch:
    """What no page may do, seen while a test runs: errors in the console, requests to another host."""

    def __init__(self, address):
        self.address, self.errors, self.elsewhere = address, [], []
        self.expected = ()
        """Beginnings of complaints that a test provokes."""

    def follow(self, page):
        page.on("console", lambda said: self._heard(said.text) if said.type in ("error", "warning") else None)
        page.on("pageerror", lambda wrong: self._heard(str(wrong)))
        page.on("request", lambda asked: self._asked(asked.url))

    def _heard(self, words):
        self.errors.append(words)

    def _asked(self, url):
        if not url.startswith((self.address, "blob:", "data:")):
            self.elsewhere.append(url)

    def unexpected(self):
        return [words for words in self.errors if not words.startswith(tuple(self.expected))], self.elsewhere


def new_house(book, *changes, **files):
    """A house of its own in a book: its address. Changes are (old, new) in the text of the small house."""
    name = f"Heron Lane {next(NUMBERS)}"
    text = HOUSE.replace("Heron Lane 3", name)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    listed = book.add({"heron.yaml": text.encode(), **files}, "heron.yaml", "Ana")
    return f"/houses/{listed.id}", name


def worked_out(page, address):
    """Opens a page and waits until what it shows was worked out."""
    page.goto(address)
    expect(page.locator("[data-events]")).to_have_count(0)
    expect(page.locator("h1")).to_have_count(1)
