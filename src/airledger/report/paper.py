"""The paper of a house as PDF/A: set in process with the fonts that ship, no clock, the same bytes every time."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass, replace
from typing import Any

from airledger.report import pressure_tape
from airledger.report.blocks import Block, Section, picture, shortened, together
from airledger.report.facts import FOOT, danger_boxes, dangers, gates, notches, rows, tightness_words
from airledger.report.in_units import in_units
from airledger.report.one_page import is_small, one_page_blocks
from airledger.report.outcome import Outcome
from airledger.report.pages_air import accounts, balance, plans
from airledger.report.pages_answer import biggest_hood, doors, options, worst
from airledger.report.pages_back import assumptions, cautions, punch_list, sources
from airledger.report.pages_combustion import combustion
from airledger.report.pages_rules import rules
from airledger.report.svg import Drawing
from airledger.report.text_width import settable
from airledger.report.typesetting import PAPERS, UNDATED, typeset


def sections(outcome: Outcome, system: str) -> list[Section]:
    """The subjects after the first page, only those that there is something to say about.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    on_site = set(outcome.results) == {"start_up"}  # its own pages tell every punch item; no state was asked for
    pages = (
        accounts(outcome, system), balance(outcome, system), options(outcome, system), biggest_hood(outcome, system),
        *_read_on_site(outcome, system),
        worst(outcome, system), combustion(outcome, system), doors(outcome, system), rules(outcome, system),
        *(() if on_site else (plans(outcome, system), punch_list(outcome))),
        cautions(outcome), assumptions(outcome, system), sources(outcome),
    )  # fmt: skip
    found = [page for page in pages if page is not None]
    if found and not _opens_with_more(outcome):
        found[0].own_page = False
    return found


def _opens_with_more(outcome: Outcome) -> bool:
    """Whether more than a sentence stands on the first page: the tape or what to do next."""
    return bool(notches(outcome) or rows(outcome, "make_up_air", "actions"))


def _read_on_site(outcome: Outcome, system: str) -> list[Section | None]:
    """What was read on site: the test of tightness and the start-up, of houses that have them."""
    if not {"airtightness", "start_up"} & set(outcome.results):
        return []
    from airledger.report.pages_airtightness import airtightness  # noqa: PLC0415 - most houses have neither yet
    from airledger.report.pages_start_up import start_up  # noqa: PLC0415

    tested, started = (outcome.results.get(study) for study in ("airtightness", "start_up"))
    return [airtightness(tested, system), start_up(started, system)]


@dataclass(frozen=True)
class Drawn:
    """Everything of a run that papers show: its subjects, the tape, and what a small house has on its only page."""

    outcome: Outcome
    system: str
    sections: tuple[Section, ...]
    first: Section | None
    tape: Drawing | None

    @property
    def pictures(self) -> dict[str, str]:
        """File name -> SVG, for every picture."""
        drawings = {"tape.svg": self.tape} if self.tape else {}
        for section in (*self.sections, *([self.first] if self.first else [])):
            drawings.update(section.pictures)
        return {file: drawing.svg() for file, drawing in drawings.items()}

    def pdf(self, date: datetime.date | None = None, sheet: str = "all", paper_size: str = "letter") -> bytes:
        """The paper as PDF/A.

        Parameters
        ----------
        date : date
            printed and kept as metadata; None prints "undated"
        sheet : str
            ``all``, ``builder`` for the first page alone, or ``annex`` for all that stands behind it
        paper_size : str
            ``letter`` or ``a4``
        """
        if sheet == "builder":
            return replace(self, sections=()).pdf(date, paper_size=paper_size)
        if sheet == "annex":
            return self._annex(date, paper_size)
        return self._set(_content(self, date), date, paper_size)

    def _annex(self, date: datetime.date | None, paper_size: str) -> bytes:
        """Every subject of the paper without its first page, then every named state path by path."""
        from airledger.report import annex  # noqa: PLC0415 - only runs that print it pay for it

        subjects = (*sections(self.outcome, self.system), *annex.states(self.outcome, self.system))
        subjects[0].own_page = True
        whole = replace(self, first=None, sections=subjects)
        return whole._set({**_content(whole, date), **annex.head(self.outcome, self.system)}, date, paper_size)

    def _set(self, content: dict[str, Any], date: datetime.date | None, paper_size: str) -> bytes:
        files = {name: settable(svg).encode() for name, svg in self.pictures.items()}
        files["paper.json"] = _told({**content, "paper_size": PAPERS[paper_size]}).encode()
        return typeset("house.typ", files, date or UNDATED)

    def first_screen(self) -> str:
        """What stands first, as HTML without a page around it: danger, the sentence, the tape, what to do next."""
        from airledger.report.html_page import first  # noqa: PLC0415 - as below

        return first(_content(replace(self, first=None, sections=()), None), self.pictures)

    def html(self, date: datetime.date | None = None) -> str:
        """The whole paper as one page for a browser, which needs no other file; no page is too full, so all is told.

        Parameters
        ----------
        date : date
            printed; None prints "undated"
        """
        from airledger.report.html_page import page  # noqa: PLC0415 - only runs that write a folder pay for it

        whole = self
        if self.first is not None:
            whole = replace(self, first=None, sections=tuple(sections(self.outcome, self.system)))
        return page(_content(whole, date), whole.pictures)


def drawn(outcome: Outcome, system: str) -> Drawn:
    """A run made ready for paper.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    outcome = in_units(outcome, system)
    marks, small = notches(outcome), is_small(outcome)
    tape = pressure_tape.drawing(marks, gates(outcome), "How hard the house is pulled") if marks else None
    subjects = () if small else tuple(sections(outcome, system))
    return Drawn(outcome, system, subjects, one_page_blocks(outcome, system) if small else None, tape)


def pdf(outcome: Outcome, system: str, date: datetime.date | None = None) -> bytes:
    """The paper of a run as PDF/A.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    date : date
        printed and kept as metadata; None prints "undated"
    """
    return drawn(outcome, system).pdf(date)


def _content(made: Drawn, date: datetime.date | None) -> dict[str, Any]:
    """Every word and figure of the paper, as the template reads it."""
    outcome, system, day = made.outcome, made.system, date or UNDATED
    headline, _, more = (outcome.headline or "How this house breathes.").partition(". ")
    headline += "." if more else ""
    actions = rows(outcome, "make_up_air", "actions")[:3]
    return {
        "title": f"{outcome.house.name}: how it breathes",
        "house": outcome.house.name,
        "date": date.isoformat() if date else "undated",
        "year": day.year, "month": day.month, "day": day.day,
        "caution": FOOT,
        "dangers": danger_boxes(outcome, in_full=made.first is not None),
        "headline": together(headline),
        "small": made.first is not None,
        "annex": False,
        "headline_size": _headline_size(headline, bool(dangers(outcome))),
        "under": [together(words) for words in (more, tightness_words(outcome, system)) if words],
        "tape": picture("tape.svg", made.tape) if made.tape else None,
        "actions": [
            {
                "number": f"{place + 1}",
                "action": together(str(row["action"])),
                "detail": together(str(row.get("detail") or "")),
            }
            for place, row in enumerate(actions)
        ],
        "first": made.first.blocks if made.first else [],
        "sections": [_section(section) for section in made.sections],
    }  # fmt: skip


def _headline_size(headline: str, danger: bool) -> int:
    """Points of the first sentence; under danger it steps back, so that the first page still holds what to do next."""
    size = 21 if len(headline) < 110 else 17 if len(headline) < 200 else 14
    return min(size, 16) if danger else size


def _told(said: dict[str, Any]) -> str:
    """The content as the template reads it; signs that the fonts lack become question marks."""
    plain = json.dumps(said, ensure_ascii=False)
    shown = settable(plain)
    if shown != plain:
        said["under"].append("A sign that the paper's fonts lack is printed as a question mark.")
        shown = settable(json.dumps(said, ensure_ascii=False))
    return shown


def _section(section: Section) -> Block:
    return {
        "sentence": together(section.sentence), "short": shortened(section.sentence),
        "size": 14 if len(section.sentence) < 100 else 12, "own_page": section.own_page,
        "whole": section.whole, "blocks": section.blocks,
    }  # fmt: skip
