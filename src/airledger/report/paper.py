"""The paper of a house as PDF/A: set in process with the fonts that ship, no clock, the same bytes every time."""

from __future__ import annotations

import datetime
import json
from importlib import resources
from typing import Any

from airledger.errors import CannotCompute
from airledger.report import pressure_tape
from airledger.report.blocks import Block, Section, picture, sentence, shortened, together
from airledger.report.facts import FOOT, dangers, gates, notches, rows, tightness_words
from airledger.report.one_page import is_small, one_page_blocks
from airledger.report.outcome import Outcome
from airledger.report.pages_air import accounts, balance, plans
from airledger.report.pages_answer import biggest_hood, doors, options, worst
from airledger.report.pages_back import assumptions, cautions, punch_list, sources
from airledger.report.svg import Drawing
from airledger.report.text_width import settable

UNDATED = datetime.date(2000, 1, 1)
STANDARD = "a-2a"


def sections(outcome: Outcome, system: str) -> list[Section]:
    """The subjects after the first page, only those that there is something to say about.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    if is_small(outcome):
        return []
    pages = (
        accounts(outcome, system), balance(outcome, system), options(outcome, system), biggest_hood(outcome, system),
        worst(outcome, system), doors(outcome, system), plans(outcome, system), punch_list(outcome), cautions(outcome),
        assumptions(outcome, system), sources(outcome),
    )  # fmt: skip
    return [page for page in pages if page is not None]


def pictures(outcome: Outcome, system: str) -> dict[str, str]:
    """File name -> SVG, for every picture of the paper.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    tape = _tape(outcome)
    drawings = {"tape.svg": tape} if tape else {}
    for section in [*sections(outcome, system), *_first(outcome, system)]:
        drawings.update(section.pictures)
    return {file: drawing.svg() for file, drawing in drawings.items()}


def pdf(outcome: Outcome, system: str, date: datetime.date | None = None) -> bytes:
    """The paper as PDF/A.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    date : date
        printed and kept as metadata; None prints "undated"

    Raises
    ------
    CannotCompute
        the typesetter complained: a paper with a warning is not handed out.
    """
    import typst  # noqa: PLC0415  # here, because no other output needs it and importing it takes long

    day = date or UNDATED
    package = resources.files("airledger").joinpath("report")
    files = {"main.typ": package.joinpath("templates", "house.typ").read_bytes()}
    files |= {name: settable(svg).encode() for name, svg in pictures(outcome, system).items()}
    files["paper.json"] = _told(content(outcome, system, date)).encode()
    try:
        made, warnings = typst.compile_with_warnings(  # type: ignore[call-overload]  # takes a set of files, types lag
            files,
            format="pdf",
            font_paths=[str(package.joinpath("fonts"))],
            ignore_system_fonts=True,
            pdf_standards=[STANDARD],
            timestamp=datetime.datetime(day.year, day.month, day.day, tzinfo=datetime.UTC),
        )
    except typst.TypstError as problem:
        raise CannotCompute(f"the paper could not be set: {problem.message}") from problem
    if warnings:
        raise CannotCompute("the paper could not be set: " + "; ".join(str(warning.message) for warning in warnings))
    return bytes(made)


def content(outcome: Outcome, system: str, date: datetime.date | None) -> dict[str, Any]:
    """Every word and figure of the paper, as the template reads it.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    date : date
        None prints "undated"
    """
    day, tape = date or UNDATED, _tape(outcome)
    headline, _, more = (outcome.headline or "How this house breathes.").partition(". ")
    headline += "." if more else ""
    actions = rows(outcome, "make_up_air", "actions")[:3]
    return {
        "title": f"{outcome.house.name}: how it breathes",
        "house": outcome.house.name,
        "date": date.isoformat() if date else "undated",
        "year": day.year, "month": day.month, "day": day.day,
        "caution": FOOT,
        "dangers": [
            {"where": f.where, "message": sentence(f.message), "action": sentence(f.action)} for f in dangers(outcome)
        ],
        "headline": together(headline),
        "small": is_small(outcome),
        "headline_size": 21 if len(headline) < 110 else 17 if len(headline) < 200 else 14,
        "under": [together(words) for words in (more, tightness_words(outcome, system)) if words],
        "tape": picture("tape.svg", tape) if tape else None,
        "actions": [
            {"number": f"{place + 1}", "action": together(str(row["action"])), "detail": str(row.get("detail") or "")}
            for place, row in enumerate(actions)
        ],
        "first": [block for section in _first(outcome, system) for block in section.blocks],
        "sections": [_section(section) for section in sections(outcome, system)],
    }  # fmt: skip


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
        "sentence": together(section.sentence), "short": shortened(section.sentence), "own_page": section.own_page,
        "whole": section.whole, "blocks": section.blocks,
    }  # fmt: skip


def _first(outcome: Outcome, system: str) -> list[Section]:
    """What a small house has on its only page."""
    return [one_page_blocks(outcome, system)] if is_small(outcome) else []


def _tape(outcome: Outcome) -> Drawing | None:
    marks = notches(outcome)
    return pressure_tape.drawing(marks, gates(outcome), "How hard the house is pulled") if marks else None
