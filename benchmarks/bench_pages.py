"""The pages: a house book of 10,000 houses, the first page, a switch thrown in Chromium, memory after many edits."""

from __future__ import annotations

import json
import re
import statistics
import subprocess
import sys
import tempfile
import time
import uuid
from pathlib import Path

import httpx2
from playwright.sync_api import Page, sync_playwright
from sqlalchemy import insert

from airledger.house_book import open_book
from airledger.house_book.tables import HOUSES
from benchmarks.bench_proof import house_file
from benchmarks.measure import Contest

HOUSES_MANY, EDITS, SWITCHES, LOOKS = 10_000, 2_000, 100, 40
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
CHROMIUM = "/usr/bin/chromium"


def contests() -> list[Contest]:
    """No contest: there is nobody to race; see `facts`."""
    return []


def facts() -> list[str]:
    """Each goal of the pages with what was measured, server and browser on the same processors."""
    with tempfile.TemporaryDirectory() as folder:
        return [*_many_houses(Path(folder)), *_served(Path(folder))]


def _many_houses(folder: Path) -> list[str]:
    book = open_book(str(folder / "many.sqlite"))
    names = [f"{street} {number}" for street in ("Heron Lane", "Egret Row", "Plover Way") for number in range(4_000)]
    rows = [
        {
            "id": uuid.uuid4().hex, "name": name, "place": "Homestead, Florida",
            "searched": f"{name} homestead".lower(), "file_name": "house.yaml", "head": 1,
            "faults": 0, "waits_for": "make-up air",
            "decide_by": f"2027-{1 + place % 12:02}-{1 + place % 28:02}", "made_at": "2027-01-01", "changed_at": "2027",
        }
        for place, name in enumerate(names[:HOUSES_MANY])
    ]  # fmt: skip
    with book.store.writing() as connection:
        connection.execute(insert(HOUSES), rows)
    listed = _least(lambda: book.houses(most=100))
    found = _least(lambda: book.houses("egret 399", most=100))
    book.store.close()
    return [
        f"{HOUSES_MANY:,} houses: listed in {listed * 1e3:.0f} ms, searched in {found * 1e3:.0f} ms, "
        "goal under 100 ms, " + _verdict(max(listed, found) < 0.1)
    ]


def _served(folder: Path) -> list[str]:
    book = open_book(str(folder / "book.sqlite"))
    house = book.add({"grown.yaml": house_file(13, True).encode()}, "grown.yaml", "bench").id
    book.store.close()
    command = [sys.executable, "-m", "airledger", "serve", "--no-open", "--port", "0", "--book", folder / "book.sqlite"]
    begun = time.perf_counter()
    server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        assert server.stdout is not None
        at = re.search(r"http://[\d.:]+", server.stdout.readline())
        assert at is not None
        url = at.group()
        with httpx2.Client(base_url=url, trust_env=False, timeout=60) as client:
            client.get("/")
            up = time.perf_counter() - begun
        lines = [f"server from a cold shell to its first page: {up:.2f} s"]
        with sync_playwright() as driver:
            browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            page = browser.new_page()
            lines += [_first_page(page, url), _switched(page, f"{url}/houses/{house}/running")]
            browser.close()
        lines.append(_edited(server.pid, url, house))
        return lines
    finally:
        server.kill()
        server.wait()


def _first_page(page: Page, url: str) -> str:
    page.goto(url, wait_until="load")
    seen = "[...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]"
    size = page.evaluate(f"{seen}.reduce((sum, one) => sum + one.transferSize, 0)")
    took = page.evaluate("performance.getEntriesByType('navigation')[0].domInteractive")
    met = _verdict(took < 1000 and size < 200_000)
    return f"first page: interactive after {took:.0f} ms, {size / 1e3:.0f} kB, goal under 1 s and 200 kB, {met}"


def _switched(page: Page, url: str) -> str:
    """From the click to the new sentence on the screen, each measured in the page itself."""
    page.goto(url, wait_until="load")
    page.evaluate(WATCH)
    took = []
    for turn in range(SWITCHES + 5):
        way = ("on", "off")[turn % 2]
        took.append(page.evaluate("way => window.thrown('thing dryer', way)", way))
    took = sorted(took[5:])
    at95 = took[int(0.95 * len(took))]
    return (
        f"a switch thrown on a house of 14 rooms, sentence, tape, account and plan drawn anew: median "
        f"{statistics.median(took):.0f} ms, 95th percentile {at95:.0f} ms, goal under 100 ms, {_verdict(at95 < 100)}"
    )


WATCH = """() => {
  window.thrown = (name, way) => new Promise((done) => {
    const box = document.getElementById("moment");
    const begun = performance.now();
    const seen = new MutationObserver(() => {
      seen.disconnect();
      requestAnimationFrame(() => done(performance.now() - begun));
    });
    seen.observe(box, { childList: true });
    document.querySelector(`input[name="${name}"][value="${way}"]`).click();
  });
}"""


def _edited(pid: int, url: str, house: str) -> str:
    """Lines of the house file saved one after the other, and what the server holds before and after."""
    path = json.dumps(["exhausts", "dryer", "speeds", "on"])
    with httpx2.Client(base_url=url, trust_env=False, timeout=60, headers={"X-Airledger": "bench"}) as client:
        held, marks = [_memory(pid)], []
        for turn in range(1, EDITS + 1):
            begun = time.perf_counter()
            sent = {"path": path, "text": f"{100 + turn % 60} cfm", "base": str(turn)}
            client.post(f"/houses/{house}/lines", data=sent).raise_for_status()
            marks.append(time.perf_counter() - begun)
            if turn in (EDITS // 2, EDITS):
                held.append(_memory(pid))
    growth = (held[2] - held[1]) / (EDITS / 2) * 1000
    return (
        f"{EDITS:,} lines saved, median {statistics.median(marks) * 1e3:.0f} ms: {held[0]:.0f} MB before, "
        f"{held[2]:.0f} MB after, {growth:+.1f} MB a thousand in the second half, goal under 300 MB, "
        + _verdict(held[2] < 300)
    )


def _memory(pid: int) -> float:
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1e3
    return float("nan")


def _least(run: object) -> float:
    assert callable(run)
    found = []
    for _ in range(LOOKS):
        begun = time.perf_counter()
        run()
        found.append(time.perf_counter() - begun)
    return min(found)


def _verdict(met: bool) -> str:
    return "met" if met else "MISSED"
