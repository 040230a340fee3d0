"""Writes what the manual shows: `python docs/draw_pictures.py` runs the demo and the tutorial and keeps their output.

Into docs/pictures go drawings of the demo's papers and their first page, into docs/tutorial the screens of the
tutorial, word for word down to the punch list. Needs pdftoppm (Debian: poppler-utils) for the first page.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from click.testing import CliRunner

from airledger.cli.main import main

DOCS = Path(__file__).parent
DRAWINGS = {"tape.svg": "pressure-tape.svg", "curve.svg": "option-curve.svg"}
FIRST_PAGE = "first-page.png"
HOUSE = "curlew-lane-3.yaml"
EXPECTED, MEASURED = "tightness: 0.7 to 1.2 ach50", "tightness: 0.8 ach50"
# screen: command, and the exit code that says what the tutorial says
SCREENS = {
    "first-answer.txt": (["ask", "--answers", "answers.yaml", "--house", HOUSE, "--overwrite"], 0),
    "check.txt": (["check", HOUSE], 0),
    "study.txt": (["study", HOUSE, "--out", "papers"], 1),
    "after-the-test.txt": (["biggest-hood", HOUSE], 0),
}


@contextmanager
def standing_in(folder: Path) -> Iterator[None]:
    """Work in a folder, and come back."""
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


def run(arguments: list[str], expected: int) -> str:
    """What a command prints; an exit code that nobody expects stops the script."""
    result = CliRunner().invoke(main, arguments)
    if result.exit_code != expected:
        raise SystemExit(f"airledger {' '.join(arguments)}: exit {result.exit_code}, not {expected}\n{result.output}")
    return result.output


def screens() -> dict[str, str]:
    """The tutorial, run from its first command to its last: what each of them prints."""
    printed = {}
    with tempfile.TemporaryDirectory() as name, standing_in(Path(name)):
        shutil.copy(DOCS / "tutorial" / "answers.yaml", "answers.yaml")
        for screen, (arguments, expected) in SCREENS.items():
            if screen == "after-the-test.txt":
                text = Path(HOUSE).read_text(encoding="utf-8")
                if text.count(EXPECTED) != 1:
                    raise SystemExit(f"{HOUSE} no longer has one line {EXPECTED!r}")
                Path(HOUSE).write_text(text.replace(EXPECTED, MEASURED), encoding="utf-8")
            above_punch_list = run(arguments, expected).partition("\nPunch list:")[0]
            printed[screen] = "\n".join(line.rstrip() for line in above_punch_list.splitlines()) + "\n"
    return printed


def draw(folder: Path) -> None:
    """Drawings and first page of the demo's papers into a folder."""
    with tempfile.TemporaryDirectory() as name:
        run(["demo", f"{name}/demo"], 0)
        for drawn, kept in DRAWINGS.items():
            (found,) = Path(name).rglob(drawn)
            shutil.copy(found, folder / kept)
        (paper,) = Path(name).rglob("airledger.pdf")
        target = folder / FIRST_PAGE.removesuffix(".png")
        subprocess.run(["pdftoppm", "-f", "1", "-l", "1", "-r", "80", "-png", "-singlefile", paper, target], check=True)


if __name__ == "__main__":
    for screen_name, screen_text in screens().items():
        (DOCS / "tutorial" / screen_name).write_text(screen_text, encoding="utf-8")
    draw(DOCS / "pictures")
