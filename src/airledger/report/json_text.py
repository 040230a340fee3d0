"""A run as one JSON object: plain SI numbers, keys in order, the same bytes for the same run."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

from airledger.errors import CannotCompute
from airledger.findings import Finding
from airledger.house.ledger import StateResult
from airledger.report.in_units import in_units
from airledger.report.outcome import WHY_NONE_IS_WORSE, Outcome
from airledger.studies.protocol import Result

SCHEMA = 1


def json_text(outcome: Outcome, system: str = "ip") -> str:
    """The object as text, ending in a newline.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``: units of values within words; numbers are SI
    """
    told = json_object(in_units(outcome, system))
    return json.dumps(told, allow_nan=False, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def json_object(outcome: Outcome) -> dict[str, Any]:
    """The object: schema, house, assumed, states, search, studies, not_run, findings.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    search = outcome.search
    whole = {
        "schema": SCHEMA,
        "house": outcome.house.name,
        "assumed": [
            {
                "path": entry.path, "value": entry.value, "unit": entry.unit, "why": entry.why,
                "source": entry.source.text,
                "confirmed": entry.source.confirmed,
            }
            for entry in outcome.assumed
        ],
        "states": [state_object(state) for state in outcome.states],
        "search": {
            "combinations": search.combinations, "solved": search.solved, "proof": search.proof,
            "worst_residual_relative": search.worst_residual_relative,
            "why": WHY_NONE_IS_WORSE if search.proof == "proved" else "", "open": list(search.open),
        },
        "studies": {name: result_object(result) for name, result in outcome.results.items()},
        "not_run": [{"study": study, "needs": needs} for study, needs in outcome.not_run],
        "findings": [finding_object(finding) for finding in outcome.findings],
    }  # fmt: skip
    plain: dict[str, Any] = _plain(whole, outcome.house.name)
    return plain


def state_object(state: StateResult) -> dict[str, Any]:
    """One solved state.

    Parameters
    ----------
    state : StateResult
        a solved state
    """
    return {
        "name": state.name, "kind": state.kind, "why": state.why, "season": state.season, "wind": state.wind,
        "ach50": state.ach50, "house_pressure_pa": state.house_pressure, "reference_room": state.reference_room,
        "rooms": [{"name": name, "pressure_pa": pascals} for name, pascals in state.rooms],
        "flows": [
            {
                "through": flow.through, "kind": flow.kind, "from": flow.from_, "to": flow.to,
                "mass_flow_kgs": flow.mass_flow, "flow_m3s": flow.volume_flow,
            }
            for flow in state.flows
        ],
        "door_forces": [
            {"opening": door.opening, "force_n": door.force, "direction": door.direction} for door in state.door_forces
        ],
        "residual_relative": state.residual_relative,
    }  # fmt: skip


def result_object(result: Result) -> dict[str, Any]:
    """What a study found: its tables and figures.

    Parameters
    ----------
    result : Result
        of one study
    """
    return {
        "tables": {name: [dict(row) for row in rows] for name, rows in result.tables.items()},
        "figures": {
            name: {line: [list(point) for point in points] for line, points in series.items()}
            for name, series in result.figures.items()
        },
    }


def finding_object(finding: Finding) -> dict[str, Any]:
    """One punch item.

    Parameters
    ----------
    finding : Finding
        what a study found
    """
    keys = (
        "study", "code", "severity", "basis", "where", "state", "value", "low", "high", "limit", "unit", "message",
        "action", "source", "confirmed",
    )  # fmt: skip
    return {key: getattr(finding, key) for key in keys}


def _plain(value: Any, place: str) -> Any:
    """A value as JSON knows it: plain numbers, no negative zero; a number that is not finite is refused."""
    if value is None or isinstance(value, str | bool):
        return value
    if isinstance(value, Mapping):
        return {str(key): _plain(inner, f"{place} / {key}") for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner, f"{place} / {index}") for index, inner in enumerate(value)]
    if hasattr(value, "item"):
        return _plain(value.item(), place)
    if isinstance(value, int):
        return value
    if isinstance(value, float):
        if not math.isfinite(value):
            raise CannotCompute(f"{place}: {value} is no number that could be written")
        return value + 0.0
    raise TypeError(f"{place}: {type(value).__name__} cannot be written as JSON")
