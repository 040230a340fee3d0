"""Tables as CSV: one file a table, and one row a state with every room and door."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from airledger.house.ledger import StateResult
from airledger.quantities import QUANTITIES
from airledger.report.columns import column, shown_value
from airledger.report.outcome import Outcome
from airledger.studies.protocol import Cell, Row


def table_csv(rows: Sequence[Row], system: str) -> str:
    """A study's table with the units in its heading.

    Parameters
    ----------
    rows : sequence of dict
        the table
    system : str
        ``ip`` or ``si``
    """
    keys = list(dict.fromkeys(key for row in rows for key in row))
    columns = [column(key, system) for key in keys]
    body = [[_cell(row.get(c.key), c.quantity, system) for c in columns] for row in rows]
    return _text([[c.title for c in columns], *body])


def tables(outcome: Outcome, system: str) -> dict[str, str]:
    """File name -> text, for every table that has rows.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    files = {}
    for study, result in sorted(outcome.results.items()):
        for name, rows in sorted(result.tables.items()):
            if rows:
                files[f"{study}-{name}.csv".replace("_", "-")] = table_csv(rows, system)
    return files


def states_csv(outcome: Outcome, system: str) -> str:
    """The named states, the worst ones and the deepest that were solved: one row each.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    states = [*outcome.states, *outcome.deepest]
    rooms = list(dict.fromkeys(name for state in states for name, _ in state.rooms))
    doors = list(dict.fromkeys(door.opening for state in states for door in state.door_forces))
    force = QUANTITIES["force"].shown(system).unit
    head = ["state", "kind", "because", "season", "wind", "tightness [ACH50]", "house pressure [Pa]"]
    head += [f"{room} [Pa]" for room in rooms]
    head += [title for door in doors for title in (f"{door} [{force}]", f"{door}, what it does")]
    return _text([head, *(_state(state, rooms, doors, system) for state in states)])


def _state(state: StateResult, rooms: Iterable[str], doors: Iterable[str], system: str) -> list[str]:
    pressures = dict(state.rooms)
    forces = {door.opening: door for door in state.door_forces}
    cells = [
        state.name,
        state.kind,
        state.why,
        state.season,
        state.wind,
        f"{state.ach50:.6g}",
        f"{state.house_pressure:.6g}",
    ]
    cells += [_cell(pressures.get(room), "house pressure", system) for room in rooms]
    for door in doors:
        known = forces.get(door)
        cells += [_cell(known.force, "force", system), known.direction] if known else ["", ""]
    return cells


def _cell(value: Cell, quantity: str, system: str) -> str:
    """A cell: six digits, empty where it cannot be told."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    return f"{shown_value(float(value), quantity, system) + 0.0:.6g}"


def _text(rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()
