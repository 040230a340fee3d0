"""Papers as they were printed: the runs that tests print, the text of a page, the box of every word on it."""

from __future__ import annotations

import html
import re
import subprocess
from dataclasses import dataclass
from functools import cache, cached_property
from importlib import resources
from pathlib import Path

from airledger import runs
from airledger.io.house_file import loads
from airledger.report.outcome import Outcome

EXAMPLES = ("tern-street-14", "alder-court-9")
STARTED = "tern-street-14, tested and started up"
PAGE = re.compile(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', re.DOTALL)
WORD = re.compile(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>')
LINE_SHARE = 1.3  # of the font size: ascent 1.025 and descent 0.275 of the papers' fonts, table hhea
ASCENT, TALL, DEEP = 1.025, 0.75, 0.2  # of the font size: line box, capitals above the base line, tails below it


@dataclass(frozen=True)
class Word:
    """A word on a page: its ends from the left, its line box from the top [pt]."""

    left: float
    top: float
    right: float
    bottom: float
    text: str

    @property
    def size(self) -> float:
        """Font size [pt]."""
        return (self.bottom - self.top) / LINE_SHARE

    def covers(self, other: Word) -> bool:
        """Whether the ink of one lies on that of the other."""
        one, two = self.ink, other.ink
        return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]

    @cached_property
    def ink(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of what is black."""
        base = self.top + ASCENT * self.size
        return self.left + 0.2, base - TALL * self.size, self.right - 0.2, base + DEEP * self.size


@dataclass(frozen=True)
class Page:
    """A printed page with its words [pt]."""

    width: float
    height: float
    words: tuple[Word, ...]

    def small(self, least: float = 7.0) -> list[str]:
        """Words in letters smaller than that."""
        return [word.text for word in self.words if word.size < least - 0.01]

    def covered(self) -> list[tuple[str, str]]:
        """Pairs of words one of which lies on the other."""
        lower = sorted(self.words, key=lambda word: word.ink[1])
        found = []
        for place, one in enumerate(lower):
            for other in lower[place + 1 :]:
                if other.ink[1] >= one.ink[3]:
                    break
                if one.covers(other):
                    found.append((one.text, other.text))
        return found

    def outside(self) -> list[str]:
        """Words past the margins, which the ends of the head line and the foot show; what a printer cannot reach."""
        top = min(word.top for word in self.words)
        head = [word for word in self.words if word.top < top + 1]
        left, right = min(word.left for word in head), max(word.right for word in head)
        foot = max(word.bottom for word in self.words)
        edge = 36.0  # half an inch
        inside = edge <= left and right <= self.width - edge and foot <= self.height - edge / 2 and top >= edge / 2
        past = [word.text for word in self.words if word.left < left - 0.5 or word.right > right + 0.5]
        return past if inside else [*past, "the margins themselves"]


def pages(paper: bytes, folder: Path) -> list[Page]:
    """Every page with the boxes of its words."""
    told = _pdftotext(paper, folder, "-bbox-layout")
    return [
        Page(
            float(width),
            float(height),
            tuple(
                Word(*(float(edge) for edge in edges), html.unescape(text)) for *edges, text in WORD.findall(content)
            ),
        )
        for width, height, content in PAGE.findall(told)
    ]


def texts(paper: bytes, folder: Path) -> list[str]:
    """The text of each page, line by line as printed, hard blanks as plain ones."""
    return [page.replace("\u00a0", " ") for page in _pdftotext(paper, folder, "-layout").split("\f")[:-1]]


def cells(paper: bytes, folder: Path) -> str:
    """The whole text in the order in which it was set, cell after cell, every blank a single one."""
    return " ".join(_pdftotext(paper, folder, "-raw").split())


def _pdftotext(paper: bytes, folder: Path, how: str) -> str:
    file = folder / "printed.pdf"
    file.write_bytes(paper)
    return subprocess.run(["pdftotext", how, str(file), "-"], capture_output=True, check=True).stdout.decode("utf-8")


@cache
def example(name: str, studies: tuple[str, ...] = ()) -> Outcome:
    """A run of an example, or of the first one with its test and its start-up readings put in; once a process."""
    folder = resources.files("airledger").joinpath("examples")
    words = folder.joinpath(f"{name.split(',', maxsplit=1)[0]}.yaml").read_text(encoding="utf-8")
    if name == STARTED:
        words = words.replace("  tightness: 0.6 to", "  tested: readings/tern-14.csv #", 1)
        words = words.replace("\npeople:", "\nstart up: readings/tern-14-start-up.csv\n\npeople:", 1)
    return runs.study(loads(words, f"{name}.yaml"), studies, beside=Path(str(folder)))
