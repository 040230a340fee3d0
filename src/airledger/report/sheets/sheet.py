"""A sheet for one reader: a sentence, what to do, boxes to fill in; set as PDF/A like the whole paper."""

from __future__ import annotations

import datetime
import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from airledger.report.blocks import Block, Section, together
from airledger.report.facts import FOOT, danger_boxes
from airledger.report.outcome import Outcome
from airledger.report.text_width import settable
from airledger.report.typesetting import PAPERS, UNDATED, typeset


@dataclass
class Sheet:
    """What one reader gets.

    reader: whom it is for, as printed · sentence: what stands first · under: paragraphs below it · sections: the rest;
    dangers: whether what puts somebody in danger is told on it (on every sheet but one of law alone) · every_danger:
    each of its figures, not the worst alone · danger_words: said in place of them · most_pages: it is made to fit on.
    """

    reader: str
    sentence: str
    under: list[str] = field(default_factory=list)
    sections: list[Section] = field(default_factory=list)
    dangers: bool = True
    every_danger: bool = False
    danger_words: str = ""
    most_pages: int = 1
    caution: str = FOOT

    def section(self, words: str, *, own_page: bool = False, whole: bool = False) -> Section:
        """A further section, to be filled."""
        made = Section(words, own_page=own_page, whole=whole)
        self.sections.append(made)
        return made


def entry(what: str, expected: str = "", limit: str = "", unit: str = "", how: str = "") -> dict[str, str]:
    """A line of a test plan: what to read, what is expected, the limit, and a box with its unit to write in.

    Parameters
    ----------
    what : str
        what to read
    expected : str
        value or range that the house should show
    limit : str
        what it may not pass, with whose limit it is
    unit : str
        printed in the box
    how : str
        how to read it, in small words
    """
    return {
        "what": together(what), "expected": together(expected), "limit": together(limit), "unit": unit,
        "how": together(how),
    }  # fmt: skip


def entries(title: str, lines: Sequence[dict[str, str]]) -> Block:
    """A block of lines with boxes to write readings in.

    Parameters
    ----------
    title : str
        heads the first column
    lines : sequence of dict
        from `entry`
    """
    return {"kind": "entries", "title": title, "lines": list(lines)}


def notes(labels: Sequence[tuple[str, str]]) -> Block:
    """A block of boxes to write in, three beside each other, each under its label.

    Parameters
    ----------
    labels : sequence of tuple
        what is written there, and its unit
    """
    return {"kind": "notes", "labels": [{"label": label, "unit": unit} for label, unit in labels]}


def ticks(lines: Sequence[tuple[str, str]]) -> Block:
    """A block of boxes to tick.

    Parameters
    ----------
    lines : sequence of tuple
        words, and what is said beside them in small
    """
    told = [{"words": together(words), "small": together(small)} for words, small in lines]
    return {"kind": "ticks", "lines": told}


def _dangers(sheet: Sheet, about: Outcome) -> list[dict[str, Any]]:
    """What puts somebody in danger, as this reader is told it."""
    if not sheet.dangers:
        return []
    boxes = danger_boxes(about, in_full=False)
    return [{**box, "messages": _messages(sheet, box["messages"])} for box in boxes]


def _messages(sheet: Sheet, messages: list[str]) -> list[str]:
    if sheet.danger_words:
        return [sheet.danger_words]
    if sheet.every_danger or len(messages) == 1:
        return messages
    others = len(messages) - 1
    return [messages[0], f"{others} more on the builder's sheet."]


def signatures(labels: Sequence[str]) -> Block:
    """A block of lines to sign on.

    Parameters
    ----------
    labels : sequence of str
        what stands under each line
    """
    return {"kind": "signatures", "labels": list(labels)}


def sticker(title: str, lines: Sequence[str], fields: Sequence[tuple[str, int]]) -> Block:
    """A block to cut out and stick on.

    Parameters
    ----------
    title : str
        its first line
    lines : sequence of str
        what stands below
    fields : sequence of tuple
        a label, and how many places to write in stand behind it
    """
    told = [{"label": label, "places": places} for label, places in fields]
    return {"kind": "sticker", "title": title, "lines": [together(line) for line in lines], "fields": told}


def sheet_pdf(sheet: Sheet, about: Outcome | str, date: datetime.date | None = None, paper: str = "letter") -> bytes:
    """A sheet as PDF/A.

    Parameters
    ----------
    sheet : Sheet
        what it says
    about : Outcome or str
        the run, for the house's name and what puts somebody in danger; a name alone where no house was run
    date : date
        printed and kept as metadata; None prints "undated"
    paper : str
        ``letter`` or ``a4``
    """
    day = date or UNDATED
    called = about if isinstance(about, str) else about.house.name
    pictures = {file: drawing for section in sheet.sections for file, drawing in section.pictures.items()}
    content = {
        "title": f"{called}: {sheet.reader}",
        "house": called,
        "reader": sheet.reader,
        "date": date.isoformat() if date else "undated",
        "year": day.year, "month": day.month, "day": day.day,
        "paper": PAPERS[paper],
        "caution": sheet.caution,
        "dangers": [] if isinstance(about, str) else _dangers(sheet, about),
        "sentence": together(sheet.sentence),
        "under": [together(words) for words in sheet.under if words],
        "sections": [
            {"sentence": together(s.sentence), "own_page": s.own_page, "whole": s.whole, "blocks": s.blocks}
            for s in sheet.sections
        ],
    }  # fmt: skip
    files = {name: settable(drawing.svg()).encode() for name, drawing in pictures.items()}
    files["sheet.json"] = settable(json.dumps(content, ensure_ascii=False)).encode()
    return typeset("sheet.typ", files, day)
