"""A run written out: papers, pictures, tables, every state, JSON; each file whole or not at all."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path

from airledger.io import safe_write
from airledger.report.account_text import account_text
from airledger.report.csv_files import states_csv, tables
from airledger.report.filter_calendar import filter_calendar
from airledger.report.in_units import in_units
from airledger.report.json_text import json_text
from airledger.report.outcome import Outcome
from airledger.report.paper import Drawn, drawn
from airledger.report.sheets import READERS, sheet_for, sheet_pdf
from airledger.report.workbook import workbook

WHOLE, STATES, ACCOUNT, COPY = "airledger.json", "states.csv", "account.txt", "airledger.html"
WHOLE_PAPER, BUILDER, ANNEX, TABLES = "all", "builder", "annex", "tables"
SHEETS = {WHOLE_PAPER: "airledger.pdf", BUILDER: "builder.pdf", **READERS, ANNEX: "annex.pdf", TABLES: "tables.xlsx"}
OWNER, CALENDAR = "owner", "filters.ics"
"""Papers by name: all of it, the builder's one page, each further reader's, the technical annex, the tables."""


def files(
    outcome: Outcome,
    system: str,
    date: datetime.date | None = None,
    sheets: Sequence[str] = (),
    paper_size: str = "letter",
) -> dict[str, bytes]:
    """File name -> bytes of everything that is written.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    date : date
        of the paper; None prints "undated"
    sheets : sequence of str
        names of `SHEETS`; none is the whole paper
    paper_size : str
        ``letter`` or ``a4``
    """
    outcome = in_units(outcome, system)
    texts = {STATES: states_csv(outcome, system), WHOLE: json_text(outcome, system)}
    paper = drawn(outcome, system)
    texts |= tables(outcome, system) | paper.pictures | {COPY: paper.html(date)}
    if "air_balance" in outcome.results:
        texts[ACCOUNT] = account_text(outcome, system)
    made = {name: words.encode("utf-8") for name, words in texts.items()}
    wanted = dict.fromkeys(sheets or (WHOLE_PAPER,))
    papers = {SHEETS[sheet]: _sheet(sheet, paper, date, paper_size) for sheet in wanted}
    if OWNER in wanted and date is not None:
        papers[CALENDAR] = filter_calendar(outcome, date).encode("utf-8")
    return {**papers, **dict(sorted(made.items()))}


def one_sheet(
    sheet: str, outcome: Outcome, system: str, date: datetime.date | None = None, paper_size: str = "letter"
) -> bytes:
    """One paper alone.

    Parameters
    ----------
    sheet : str
        a key of `SHEETS`
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    date : date
        of the paper; None prints "undated"
    paper_size : str
        ``letter`` or ``a4``
    """
    return _sheet(sheet, drawn(outcome, system), date, paper_size)


def _sheet(sheet: str, paper: Drawn, date: datetime.date | None, paper_size: str) -> bytes:
    """One paper by its name."""
    if sheet == TABLES:
        return workbook(paper.outcome, paper.system, date)
    if sheet not in READERS:
        return paper.pdf(date, sheet, paper_size)
    return sheet_pdf(sheet_for(sheet, paper.outcome, paper.system), paper.outcome, date, paper_size)


def write(
    outcome: Outcome,
    folder: Path | str,
    system: str = "ip",
    date: datetime.date | None = None,
    sheets: Sequence[str] = (),
    paper_size: str = "letter",
) -> list[Path]:
    """Everything is made before the first file is touched; then each is written beside its place and moved there.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    folder : Path
        where to; made if it is not there; only files of these names are overwritten
    system : str
        ``ip`` or ``si``
    date : date
        of the paper; None prints "undated"
    sheets : sequence of str
        names of `SHEETS`; none is the whole paper
    paper_size : str
        ``letter`` or ``a4``
    """
    made = files(outcome, system, date, sheets, paper_size)
    safe_write.folder(folder)
    written = []
    for name, data in made.items():
        path = Path(folder) / name
        safe_write.write_bytes(path, data)
        written.append(path)
    return written
