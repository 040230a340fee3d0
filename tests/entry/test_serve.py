"""`airledger serve`: one line with its address, an end on Ctrl-C with somebody connected, a port that is taken."""

import re
import signal
import socket
import subprocess
import sys

import httpx2
import pytest

from airledger.house_book import open_book
from tests.books import HOUSE


@pytest.fixture
def served(tmp_path):
    book = open_book(str(tmp_path / "book.sqlite"))
    house = book.add({"heron.yaml": HOUSE.encode()}, "heron.yaml", "Ana").id
    book.store.close()
    command = ["-m", "airledger", "serve", "--no-open", "--port", "0", "--book", str(tmp_path / "book.sqlite")]
    process = subprocess.Popen([sys.executable, *command], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    line = process.stdout.readline()
    yield process, line, house
    process.kill()
    process.communicate()


def test_it_says_one_line_and_stops_on_ctrl_c_with_somebody_connected(served):
    process, line, house = served
    at = re.fullmatch(r"airledger is at (http://127\.0\.0\.1:\d+)/ \(Ctrl-C stops it\)\n", line).group(1)
    with httpx2.Client(base_url=at, timeout=60, trust_env=False) as client:
        page = client.get(f"/houses/{house}").text
        key = re.search(r"/course/([0-9a-f]{64})/events", page).group(1)
        with client.stream("GET", f"/course/{key}/events") as told:
            next(told.iter_lines())
            process.send_signal(signal.SIGINT)
            out, err = process.communicate(timeout=60)
    assert process.returncode == 0
    assert (out, err) == ("", "")


def test_work_that_is_called_off_says_so(served):
    _, line, house = served
    at = re.search(r"http://[\d.:]+", line).group()
    with httpx2.Client(base_url=at, timeout=60, trust_env=False, headers={"X-Airledger": "test"}) as client:
        key = re.search(r"/course/([0-9a-f]{64})/events", client.get(f"/houses/{house}").text).group(1)
        assert client.post(f"/course/{key}/call-off").status_code == 204
        assert "called off" in client.get(f"/course/{key}/events").text
        assert client.post(f"/course/{'0' * 64}/call-off").status_code == 404


def test_a_port_that_is_taken_is_told(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        command = [sys.executable, "-m", "airledger", "serve", "--no-open", "--port", port, "--book"]
        done = subprocess.run(
            [*command, str(tmp_path / "b.sqlite")], capture_output=True, text=True, check=False, timeout=60
        )
    assert done.returncode == 2
    assert f"port {port} cannot be had" in done.stderr
    assert "--port 0" in done.stderr
