"""Photographs every page at desk and phone width into docs/pictures/screens: `make screens`.

Serves a new house book with the invented examples, walks through its pages in Debian's Chromium and keeps what is seen
first on each, as small WebP pictures. docs/manual/pages.md shows them.
"""

from __future__ import annotations

import base64
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import CDPSession, Page, sync_playwright

SCREENS = Path(__file__).parent / "pictures" / "screens"
HOUSE = "Tern Street 14"
SIZES = {"desk": (1280, 900), "phone": (360, 760)}
PAGES = {
    "first-screen": "", "plan": "/plan", "whats-running": "/running?thing+range+hood=high",
    "make-up-air": "/make-up-air", "rules": "/rules", "readings": "/readings", "papers": "/papers",
    "history": "/history",
}  # fmt: skip
ANSWERS = {
    "What to call the house": "Curlew Lane 3", "Floor area": "2480 ft2", "How tight": "0.7 to 1.2",
    "What blows air out": "hood not picked, up to 1200 cfm; dryer vented", "What burns": "none",
    "Where is it": "Homestead, Florida", "Round duct": "10 in",
}  # fmt: skip
PATIENCE = 120_000
"""Longest wait for a page [ms]."""
LARGEST = 60_000
"""Largest picture [bytes]."""


def kept(page: Page, camera: CDPSession, name: str) -> None:
    """What is on the screen as a picture, a little coarser where it would be too large."""
    page.wait_for_timeout(300)
    for quality in (80, 60, 40, 20):
        shot = camera.send("Page.captureScreenshot", {"format": "webp", "quality": quality})
        data = base64.b64decode(shot["data"])
        if len(data) <= LARGEST:
            (SCREENS / f"{name}.webp").write_bytes(data)
            return
    raise SystemExit(f"{name}: {len(data)} bytes, more than {LARGEST}")


def walked(page: Page, camera: CDPSession, size: str) -> None:
    """Each page once."""
    page.goto("/")
    kept(page, camera, f"houses-{size}")
    house = page.get_by_role("link", name=HOUSE).get_attribute("href")
    for name, end in PAGES.items():
        page.goto(f"{house}{end}")
        page.locator("[data-events]").wait_for(state="detached")
        if page.locator("[data-events]").count() == 0:
            page.locator("h1").first.wait_for(state="attached")
        kept(page, camera, f"{name}-{size}")
    page.goto("/first-answer")
    for label, words in ANSWERS.items():
        page.get_by_label(label).fill(words)
    page.locator("#answer").get_by_role("heading", name="Ways out").wait_for()
    page.locator("#answer" if size == "phone" else "h1").first.scroll_into_view_if_needed()
    if size == "phone":
        page.evaluate("document.getElementById('answer').scrollIntoView()")
    else:
        page.evaluate("scrollTo(0, 0)")
    kept(page, camera, f"first-answer-{size}")


def main() -> None:
    """Serves, walks, and ends the server."""
    program = shutil.which("chromium")
    if program is None:
        raise SystemExit("the pages are photographed in Debian's chromium; it is not there")
    SCREENS.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "airledger", "serve", "--no-open", "--port", "0", "--book", f"{folder}/book"]
        server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        try:
            assert server.stdout is not None
            address = server.stdout.readline().split()[3].rstrip("/")
            with sync_playwright() as driver:
                browser = driver.chromium.launch(executable_path=program, args=["--no-sandbox", "--disable-gpu"])
                first = browser.new_page(base_url=address)
                first.goto("/")
                first.get_by_role("button", name="invented houses").click()
                for size, (width, height) in SIZES.items():
                    page = browser.new_page(base_url=address, viewport={"width": width, "height": height})
                    page.set_default_timeout(PATIENCE)
                    walked(page, page.context.new_cdp_session(page), size)
        finally:
            server.terminate()
            server.wait(30)


if __name__ == "__main__":
    main()
