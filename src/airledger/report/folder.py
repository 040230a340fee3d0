"""A run written out: papers, pictures, tables, every state, JSON; each file whole or not at all."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path

from airledger.io import safe_write
from airledger.report.account_text import account_text
from airledger.report.csv_files import states_csv, tables
from airledger.report.in_units import in_units
from airledger.report.json_text import json_text
from airledger.report.outcome import Outcome
from airledger.report.paper import drawn

WHOLE, STATES, ACCOUNT, COPY = "airledger.json", "states.csv", "account.txt", "airledger.html"
SHEETS = {"all": "airledger.pdf", "builder": "builder.pdf"}
"""Papers by name: all of it, or the builder's one page."""


def files(
    outcome: Outcome, system: str, date: datetime.date | None = None, sheets: Sequence[str] = ()
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
    """
    outcome = in_units(outcome, system)
    texts = {STATES: states_csv(outcome, system), WHOLE: json_text(outcome, system)}
    paper = drawn(outcome, system)
    texts |= tables(outcome, system) | paper.pictures | {COPY: paper.html(date)}
    if "air_balance" in outcome.results:
        texts[ACCOUNT] = account_text(outcome, system)
    made = {name: words.encode("utf-8") for name, words in texts.items()}
    papers = {SHEETS[sheet]: paper.pdf(date, sheet) for sheet in dict.fromkeys(sheets or ("all",))}
    return {**papers, **dict(sorted(made.items()))}


def write(
    outcome: Outcome,
    folder: Path | str,
    system: str = "ip",
    date: datetime.date | None = None,
    sheets: Sequence[str] = (),
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
    """
    made = files(outcome, system, date, sheets)
    safe_write.folder(folder)
    written = []
    for name, data in made.items():
        path = Path(folder) / name
        safe_write.write_bytes(path, data)
        written.append(path)
    return written
