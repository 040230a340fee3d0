"""What a run lends to a study: solving, and what several studies share, each computed once a run; `runs` makes it."""

from __future__ import annotations

from typing import Any, Protocol

from airledger.house.house import House
from airledger.house.operating_state import OperatingState
from airledger.house.readout import Readout
from airledger.search.limits import Limits
from airledger.search.states import Listing
from airledger.search.worst import Solve, Survey


class Work(Protocol):
    """The means of a study."""

    def solver(self, house: House) -> Solve:
        """How states of a house are solved; its topology is built once.

        Parameters
        ----------
        house : House
            the house, or a changed one [-]
        """
        ...

    def limits(self) -> Limits:
        """The limits that the house is judged by."""
        ...

    def named(self) -> tuple[OperatingState, ...]:
        """The states that the file names."""
        ...

    def named_at(self, ach50: float | None) -> Readout:
        """The named states solved at a tightness.

        Parameters
        ----------
        ach50 : float
            air changes at 50 Pa; None takes the likely value [1/h]
        """
        ...

    def listing(self) -> Listing:
        """Every normal combination of the house."""
        ...

    def survey(self) -> Survey:
        """Every normal combination, solved."""
        ...

    def result(self, study: str) -> Any:
        """What another study found.

        Parameters
        ----------
        study : str
            a name among the study's `after` [-]
        """
        ...

    def data(self, reference: str) -> Any:
        """What a reference of the house file stands for, read before the run.

        Parameters
        ----------
        reference : str
            for example ``prices`` [-]
        """
        ...

    def check_cancelled(self) -> None:
        """Stop here if the run was called off."""
        ...
