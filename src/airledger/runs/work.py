"""What a run lends to its studies: solving, and what several of them share, each computed once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from airledger.errors import AirledgerError
from airledger.house import envelope
from airledger.house.assemble import Model, build
from airledger.house.house import House
from airledger.house.operating_state import ACH50, OperatingState, Settings
from airledger.house.readout import Readout
from airledger.house.state_words import named_states
from airledger.physics.solver import require_solved, solve
from airledger.search.limits import Limits, limits
from airledger.search.states import Listing
from airledger.search.surveyed import surveyed
from airledger.search.worst import STIFF_LIMIT, Solve, Survey
from airledger.studies.protocol import Result

Progress = Callable[[str], None]
Cancel = Callable[[], bool]


class Cancelled(AirledgerError):
    """The run was called off."""


class HouseWork:
    """The means of the studies of one run on one house."""

    def __init__(
        self,
        house: House,
        data: Mapping[str, Any],
        progress: Progress | None = None,
        cancel: Cancel | None = None,
    ) -> None:
        self.house = house
        self.results: dict[str, Result] = {}
        self._data = data
        self._progress, self._cancel = progress, cancel
        self._models: list[tuple[House, Model]] = []
        self._named: tuple[OperatingState, ...] | None = None
        self._named_at: dict[float | None, Readout] = {}
        self._survey: Survey | None = None
        self._limits: Limits | None = None

    def model(self, house: House) -> Model:
        """The topology of a house, built once."""
        for known, model in self._models:
            if known is house or known == house:
                return model
        self._models.append((house, build(house)))
        return self._models[-1][1]

    def solver(self, house: House) -> Solve:
        """How states of a house are solved; checked for a call to stop before every batch."""
        model = self.model(house)

        def solved(settings: Settings) -> Readout:
            self.check_cancelled()
            return Readout(model, settings, solve(model.network, model.rows(settings)))

        return solved

    def solved(self, settings: Settings) -> Readout:
        """States of the house, solved; one that cannot be is refused."""
        model = self.model(self.house)
        rows = model.rows(settings)
        solution = solve(model.network, rows)
        require_solved(solution, rows)
        return Readout(model, settings, solution)

    def limits(self) -> Limits:
        """The limits that the house is judged by."""
        if self._limits is None:
            self._limits = limits(self.house)
        return self._limits

    def named(self) -> tuple[OperatingState, ...]:
        """The states that the file names."""
        if self._named is None:
            states = named_states(self.house)
            self._named = states if self.house.states else self._possible(states)
        return self._named

    def _possible(self, states: tuple[OperatingState, ...]) -> tuple[OperatingState, ...]:
        """Of states that nobody named, those in which no machine would have to hold its flow past 1,000 Pa."""
        solve = self.solver(self.house)
        kept = np.ones(len(states), dtype=bool)
        for end in envelope.ach50(self.house).ends:
            seen = solve(Settings.of(self.house, states).with_({ACH50: end}))
            kept &= seen.solution.converged & (np.abs(seen.house_pressure()) <= STIFF_LIMIT)
        return tuple(state for state, keep in zip(states, kept, strict=True) if keep)

    def named_at(self, ach50: float | None) -> Readout:
        """The named states at a tightness, unless they name their own; one that cannot be solved is refused."""
        if ach50 not in self._named_at:
            settings = Settings.of(self.house, self.named())
            if ach50 is not None:
                own = np.array([dict(state.settings).get(ACH50, ach50) for state in self.named()])
                settings = settings.with_({ACH50: own})
            self._named_at[ach50] = self.solved(settings)
        return self._named_at[ach50]

    def listing(self) -> Listing:
        """The normal combinations of the house that the worst states were sought in."""
        return self.survey().listing

    def survey(self) -> Survey:
        """The worst states: every combination solved, or proved."""
        if self._survey is None:
            self.say("looking for the worst states")
            self._survey = surveyed(self.house, self.solver(self.house), self.limits())
        return self._survey

    def result(self, study: str) -> Result:
        """What another study found."""
        return self.results[study]

    def data(self, reference: str) -> Any:
        """What a reference of the house file stands for."""
        return self._data[reference]

    def say(self, words: str) -> None:
        """Tell whoever waits what is being done."""
        if self._progress is not None:
            self._progress(words)

    def check_cancelled(self) -> None:
        """Stop here if the run was called off.

        Raises
        ------
        Cancelled
            it was.
        """
        if self._cancel is not None and self._cancel():
            raise Cancelled("the run was called off")
