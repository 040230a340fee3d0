"""What is told beside the pull: how far wind moves the worst state, and how hard the house is ever pushed up."""

from __future__ import annotations

import numpy as np

from airledger.findings import Finding
from airledger.search.wind import wind_range, wind_words
from airledger.search.wording import capital, pascals
from airledger.search.worst import Solve, Survey, Worst

PUSHED_UP = 10.0
"""House pressure above which indoor air is pushed into the walls in earnest [Pa]: common practice, no source."""


def beside_the_pull(study: str, found: Survey, solve: Solve, worst: Worst) -> list[Finding]:
    """The wind on the worst state for the house, and the highest pressure of the listing.

    Parameters
    ----------
    study : str
        the study that tells it [-]
    found : Survey
        every combination, solved [-]
    solve : callable
        settings to readout, of the house made `windy` [-]
    worst : Worst
        the worst for the house [-]
    """
    return [*_wind(study, found, solve, worst), *_pushed_up(study, found)]


def _wind(study: str, found: Survey, solve: Solve, worst: Worst) -> list[Finding]:
    listing = found.listing
    added = wind_range(listing, solve, int(found.numbers[worst.place]))
    if added is None:
        return []
    low, high = added
    message = (
        f"{wind_words(listing.house)} adds {pascals(low)} to {pascals(high)} to the worst state, by the side it blows "
        "from; limits are judged without it. A gust moves the gauge as far within seconds."
    )
    return [
        _finding(
            study,
            "wind_range",
            "ok",
            message,
            "read the gauge on a calm day: where it swings that far, come back another day",
            (worst.value, worst.value + low, worst.value + high),
        )
    ]


def _pushed_up(study: str, found: Survey) -> list[Finding]:
    counted = np.where(found.refused, -np.inf, found.house)
    place = int(np.argmax(counted))
    value = float(counted[place])
    if not value > PUSHED_UP:
        return []
    why = found.listing.why(int(found.numbers[place]))
    message = (
        f"{capital(why)}: the house is pushed up to {pascals(value)}. Indoor air goes into the walls, "
        "and a door that swings in is hard to open."
    )
    action = "let the make-up fan follow the machines' speed, or give it a relief opening"
    return [_finding(study, "pushed_up", "caution", message, action, (value, value, value), PUSHED_UP, why)]


def _finding(  # noqa: PLR0913, PLR0917 - a finding has many sides
    study: str,
    code: str,
    severity: str,
    message: str,
    action: str,
    values: tuple[float, float, float],
    limit: float | None = None,
    state: str = "worst for the house",
) -> Finding:
    value, low, high = values
    return Finding(
        study=study,
        code=code,
        severity=severity,
        basis="practice",
        where="house",
        state=state,
        message=message,
        action=action,
        source="common practice",
        confirmed=False,
        value=value,
        low=min(low, value),
        high=max(high, value),
        limit=limit,
        unit="Pa",
    )
