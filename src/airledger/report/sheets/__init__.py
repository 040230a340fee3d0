"""A sheet for each reader: who builds, frames, ducts, wires, tests, inspects or lives in the house.

Each module draws one reader's sheet out of a run; nothing is computed here. `READERS` names them; a sheet can be had
alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module

from airledger.report.in_units import in_units
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, sheet_pdf

__all__ = ["READERS", "Sheet", "sheet_for", "sheet_pdf"]

READERS: Mapping[str, str] = {
    "framer": "framer.pdf",
    "hvac": "ventilation-crew.pdf",
    "electrician": "electrician.pdf",
    "tester": "tester.pdf",
    "inspector": "inspector.pdf",
    "owner": "owner.pdf",
}
"""Name of a sheet -> its file; the module of that name has `sheet(outcome, system) -> Sheet`."""


def sheet_for(reader: str, outcome: Outcome, system: str) -> Sheet:
    """One reader's sheet, not set yet.

    Parameters
    ----------
    reader : str
        a key of `READERS`
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    made: Callable[[Outcome, str], Sheet] = import_module(f"airledger.report.sheets.{reader}").sheet
    return made(in_units(outcome, system), system)
