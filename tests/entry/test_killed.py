"""The server is killed while people save: what it acknowledged is there, once, and the book is whole."""

import json
import random
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import uuid

import httpx2
import pytest

from airledger.house_book import open_book
from airledger.house_book.checked import faults
from tests import postgres
from tests.books import HOUSE, KINDS, new_database

PEOPLE = 5
FANS = "".join(f"  fan {person}: {{room: house, speeds: {{high: 1 cfm}}}}\n" for person in range(PEOPLE))


def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


class Server:
    """A server that is killed and started again at the same address."""

    def __init__(self, book):
        self.port, self.book = free_port(), book
        self.url = f"http://127.0.0.1:{self.port}"
        self.start()

    def start(self):
        command = ["-m", "airledger", "serve", "--no-open", "--port", str(self.port), "--book", self.book]
        self.process = subprocess.Popen([sys.executable, *command], stdout=subprocess.PIPE, text=True)
        assert self.url in self.process.stdout.readline()

    def kill(self):
        self.process.send_signal(signal.SIGKILL)
        self.process.wait(30)
        self.process.stdout.close()


def saved(server, house, person, numbers, acknowledged, over):
    """One person's saves, each sent until it is acknowledged, always under the same key."""
    with httpx2.Client(base_url=server.url, headers={"X-Airledger": "test"}, timeout=20, trust_env=False) as client:
        for number in numbers:
            sent = {
                "path": json.dumps(["exhausts", f"fan {person}", "speeds", "high"]), "text": f"{number} cfm",
                "edit_key": uuid.uuid4().hex,
            }  # fmt: skip
            while not over.is_set():
                try:
                    page = client.get(f"/houses/{house}/plan").text
                    sent.setdefault("base", re.search(r'name="base" value="(\d+)"', page).group(1))
                    answer = client.post(f"/houses/{house}/lines", data=sent)
                except httpx2.HTTPError:
                    time.sleep(0.05)
                    continue
                assert answer.status_code == 200, answer.text
                acknowledged.append((person, number))
                break


def assert_every_save_is_there(address, saves, kills, seed):
    """So many saves by several people with so many kills; the book afterwards has to hold each of them once."""
    book = open_book(address)
    text = HOUSE.replace("make-up air", FANS + "make-up air")
    house = book.add({"heron.yaml": text.encode()}, "heron.yaml", "Ana").id
    book.store.close()
    server, acknowledged, over = Server(address), [], threading.Event()
    each = range(2, 2 + saves // PEOPLE)
    people = [
        threading.Thread(target=saved, args=(server, house, person, each, acknowledged, over))
        for person in range(PEOPLE)
    ]
    for one in people:
        one.start()
    chance = random.Random(seed)
    try:
        for turn in range(1, kills + 1):
            while len(acknowledged) < saves * turn // (kills + 1) and any(one.is_alive() for one in people):
                time.sleep(0.01)
            time.sleep(chance.random() * 0.1)
            server.kill()
            server.start()
        for one in people:
            one.join(300)
    finally:
        over.set()
        server.kill()
    assert sorted(acknowledged) == [(person, number) for person in range(PEOPLE) for number in each]
    book = open_book(address)
    assert faults(book) == []
    told = [revision.why for revision in book.revisions(house)]
    for person, number in acknowledged:
        assert told.count(f"exhausts / fan {person} / speeds / high: {number} cfm") == 1
    last = book.house(house).text
    assert all(f"fan {person}: {{room: house, speeds: {{high: {each[-1]} cfm}}}}" in last for person in range(PEOPLE))
    book.store.close()


@pytest.fixture(params=KINDS)
def durable(request, tmp_path):
    """A book of either kind that writes to the disk as it does in earnest."""
    if request.param == "sqlite":
        yield str(tmp_path / "book.sqlite")
        return
    with postgres.running(durable=True) as folder:
        yield new_database(folder)


def test_killed_while_people_save(durable):
    assert_every_save_is_there(durable, saves=40, kills=2, seed=1)


@pytest.mark.soak
def test_killed_many_times_during_500_saves(durable):
    assert_every_save_is_there(durable, saves=500, kills=20, seed=2)
