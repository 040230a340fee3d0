"""What one run of the studies hands over to be drawn, printed or written: values only."""

from __future__ import annotations

from dataclasses import dataclass, field

from airledger.findings import Finding
from airledger.house.house import House
from airledger.house.ledger import StateResult
from airledger.sources import Assumption
from airledger.studies.protocol import Result

WHY_NONE_IS_WORSE = (
    "Air goes where the pressure sends it, and more pressure never sends less. So what acts on one way for air alone, "
    "a machine, a window, a door that parts two rooms, is worst where it lets in least towards the room asked about; "
    "taken so, one solution is the lowest of all its combinations. Weather, tightness, the ventilator's speed and "
    "doors with another way round them were tried one by one."
)


@dataclass(frozen=True)
class Search:
    """How the worst states were looked for.

    combinations: how many there are · solved: how many states were solved · proof: "all" when every one was, "proved"
    when the others cannot be worse, else "best found" · worst_residual_relative [-]: the largest imbalance of any
    solved state · open: what nothing was proved of, by name.
    """

    combinations: int = 0
    solved: int = 0
    proof: str = "all"
    worst_residual_relative: float = 0.0
    open: tuple[str, ...] = ()


@dataclass(frozen=True)
class Outcome:
    """Everything a run found about a house.

    states: the named ones at the likely tightness, then the worst ones found · results: study name -> its result
    not_run: (study, what the house lacks for it) · findings: danger first · deepest: the lowest pressures of the search
    headline: the one sentence that says it all.
    """

    house: House
    assumed: tuple[Assumption, ...] = ()
    states: tuple[StateResult, ...] = ()
    search: Search = field(default_factory=Search)
    results: dict[str, Result] = field(default_factory=dict)
    not_run: tuple[tuple[str, str], ...] = ()
    findings: tuple[Finding, ...] = ()
    deepest: tuple[StateResult, ...] = ()
    headline: str = ""
