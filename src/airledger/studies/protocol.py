"""What every study is and gives.

Studies know `house`, `rules`, `search` and below; `runs` calls them; `report` draws what they give.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from airledger.findings import Finding
from airledger.house.house import House

Cell = float | int | str | None
Row = dict[str, Cell]


@dataclass(frozen=True)
class Result:
    """What a study found.

    Tables: name -> rows with SI values, keys ending in their unit; figures: name -> series -> (x, y) points.
    """

    findings: tuple[Finding, ...] = ()
    tables: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)
    figures: Mapping[str, Mapping[str, tuple[tuple[float, float], ...]]] = field(default_factory=dict)


class Study(Protocol):
    """A module of `studies` that answers one question."""

    name: str
    needs: tuple[str, ...]
    after: tuple[str, ...]

    def run(self, house: House, options: Any, work: Any) -> Result:
        """Answer the question for a house with what `work` gives."""
        ...
