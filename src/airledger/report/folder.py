"""A run written out: the paper, its pictures, the tables, every state, JSON; each file whole or not at all."""

from __future__ import annotations

import datetime
from pathlib import Path

from airledger.io import safe_write
from airledger.report.account_text import account_text
from airledger.report.csv_files import states_csv, tables
from airledger.report.json_text import json_text
from airledger.report.outcome import Outcome
from airledger.report.paper import drawn

PAPER, WHOLE, STATES, ACCOUNT = "airledger.pdf", "airledger.json", "states.csv", "account.txt"


def files(outcome: Outcome, system: str, date: datetime.date | None = None) -> dict[str, bytes]:
    """File name -> bytes of everything that is written.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    date : date
        of the paper; None prints "undated"
    """
    texts = {STATES: states_csv(outcome, system), WHOLE: json_text(outcome)}
    paper = drawn(outcome, system)
    texts |= tables(outcome, system) | paper.pictures
    if "air_balance" in outcome.results:
        texts[ACCOUNT] = account_text(outcome, system)
    made = {name: words.encode("utf-8") for name, words in texts.items()}
    return {PAPER: paper.pdf(date), **dict(sorted(made.items()))}


def write(outcome: Outcome, folder: Path | str, system: str = "ip", date: datetime.date | None = None) -> list[Path]:
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
    """
    made = files(outcome, system, date)
    safe_write.folder(folder)
    written = []
    for name, data in made.items():
        path = Path(folder) / name
        safe_write.write_bytes(path, data)
        written.append(path)
    return written
