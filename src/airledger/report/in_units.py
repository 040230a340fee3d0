"""A run with every value that stands within its words printed in one system of units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any, TypeVar, cast

from airledger import quantities
from airledger.findings import Finding
from airledger.report.outcome import Outcome
from airledger.sources import Assumption
from airledger.studies.protocol import Result

T = TypeVar("T", bound="str | tuple[Any, ...] | Mapping[str, Any] | Finding | Result | Outcome")


def in_units(thing: T, system: str) -> T:
    """The same thing, words and all it holds, in one system of units.

    Solved states hold no such words: of a run its sentence, its findings and its studies' tables are told anew.

    Parameters
    ----------
    thing : T
        words, a run, a finding, a result, or a tuple or mapping of such
    system : str
        ``ip`` or ``si``
    """
    return cast(T, _told(thing, system))


def _told(thing: Any, system: str) -> Any:
    if isinstance(thing, str):
        return quantities.in_units(thing, system)
    if isinstance(thing, Outcome):
        parts = {name: _told(getattr(thing, name), system) for name in ("headline", "findings", "results", "assumed")}
        return replace(thing, **parts)
    if isinstance(thing, Result):
        return replace(thing, findings=_told(thing.findings, system), tables=_told(thing.tables, system))
    if isinstance(thing, (Finding, Assumption)):
        words = {entry.name: getattr(thing, entry.name) for entry in fields(thing)}
        return replace(thing, **{name: _told(value, system) for name, value in words.items() if _waits(value)})
    if isinstance(thing, Mapping):
        return {name: _told(value, system) for name, value in thing.items()}
    return tuple(_told(value, system) for value in thing) if isinstance(thing, tuple) else thing


def _waits(value: Any) -> bool:
    """Whether words hold a value that waits for its units."""
    return isinstance(value, str) and quantities.BEGIN in value
