"""What a reading shows of a limit, and how likely that word is wrong.

    shown good         the value is within its limit with the confidence asked for
    shown bad          it is past it with that confidence
    cannot tell        the meter is too coarse for the margin there is
    not tested         nothing was read

A meter of 11 % cannot decide a balance of 10 %: a perfect unit reads "fail" half the time. So a verdict is never the
reading against the limit alone; it is the chance that the true value keeps it, errors taken as normal and independent.

"Shown bad" means shown to be too much, or shown to be too little. A meter far coarser than the room between two limits
leaves next to no chance that the value is just between them, and still shows nothing: it cannot tell.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.errors import InputError, OutOfRange

GOOD, BAD, CANNOT_TELL, NOT_TESTED = "shown good", "shown bad", "cannot tell", "not tested"
SURE = 0.95
"""Chance from which a verdict is given [-]: as the intervals of fan tests; common practice, no source."""

_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(61)
_SHARE = _WEIGHTS / _WEIGHTS.sum()


@dataclass(frozen=True)
class Reading:
    """A value as read. value, error: one standard deviation [unit of the quantity]."""

    value: float
    error: float


@dataclass(frozen=True)
class Verdict:
    """A word on a limit. kept: chance that the true value keeps it [-]; wrong: chance that the word is wrong [-]."""

    word: str
    kept: float
    wrong: float


def verdict(kept: float, sure: float = SURE, past: float | None = None) -> Verdict:
    """The word for a chance that a limit is kept.

    Parameters
    ----------
    kept : float
        chance that it is kept [-]
    sure : float
        chance from which a word is given [-]
    past : float
        chance that the value is past the likelier of two limits; None where there is one limit, 1 - kept [-]

    Raises
    ------
    OutOfRange
        a chance outside 0 to 1, or a confidence outside 0.5 to 1.

    Reference: definition (own).
    """
    if not 0.0 <= kept <= 1.0:
        raise OutOfRange("chance that a limit is kept", kept, 0.0, 1.0, "-")
    if not 0.5 < sure < 1.0:
        raise OutOfRange("confidence of a verdict", sure, 0.5, 1.0, "-")
    broken = 1.0 - kept if past is None else past
    if kept >= sure:
        return Verdict(GOOD, kept, 1.0 - kept)
    if (kept <= 1.0 - sure) if past is None else (past >= sure):
        return Verdict(BAD, kept, 1.0 - broken)
    return Verdict(CANNOT_TELL, kept, 1.0 - max(kept, broken))


def verdict_within(reading: Reading, low: float = -math.inf, high: float = math.inf) -> Verdict:
    """The word for a reading that has to lie between two limits.

    Parameters
    ----------
    reading : Reading
        value and error [-]
    low : float
        least that is allowed [unit of the quantity]
    high : float
        greatest that is allowed [unit of the quantity]

    Reference: normal distribution (closed form).
    """
    past = max(chance_within(reading, high=low), chance_within(reading, low=high))
    return verdict(chance_within(reading, low, high), past=past)


def chance_within(reading: Reading, low: float = -math.inf, high: float = math.inf) -> float:
    """Chance that the true value of a reading lies between two limits [-].

    Parameters
    ----------
    reading : Reading
        value and error [-]
    low : float
        least that is allowed [unit of the quantity]
    high : float
        greatest that is allowed [unit of the quantity]

    Raises
    ------
    OutOfRange
        an error below 0.

    Reference: normal distribution (closed form).
    """
    if reading.error < 0.0:
        raise OutOfRange("error of a reading", reading.error, 0.0, math.inf, "-")
    if reading.error == 0.0:
        return float(low <= reading.value <= high)
    return _below(high, reading) - _below(low, reading)


def _below(limit: float, reading: Reading) -> float:
    if reading.error == 0.0:
        return float(reading.value < limit)
    return 0.5 * (1.0 + math.erf((limit - reading.value) / (reading.error * math.sqrt(2.0))))


Keeps = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.bool_]]
"""Whether a balance keeps its rule: supply and exhaust [m3/s] to yes or no."""


def balanced(of: str, share: float = 0.10, flow: float = 0.0) -> Keeps:
    """A meaning of balanced as a test of two flows.

    Parameters
    ----------
    of : str
        what the share is of: exhaust, larger, or mean (then either may be that far from it) [-]
    share : float
        how far apart they may be [-]
    flow : float
        how far apart they may be in any case [m3/s]

    Raises
    ------
    InputError
        no such meaning.

    Reference: rules/tables/balance.toml.
    """
    if of not in ("exhaust", "larger", "mean"):
        raise InputError(f"no meaning of balanced goes by {of!r}; there are: exhaust, larger, mean")

    def keeps(supply: NDArray[np.float64], exhaust: NDArray[np.float64]) -> NDArray[np.bool_]:
        # either is a share from their mean: together they are that share of their sum apart
        base = {"exhaust": exhaust, "larger": np.maximum(supply, exhaust), "mean": supply + exhaust}[of]
        kept: NDArray[np.bool_] = np.abs(supply - exhaust) <= np.maximum(share * base, flow)
        return kept

    return keeps


def between_goals(low: float, high: float) -> Keeps:
    """Supply over exhaust, less one, between two goals: humid 0 to +10 %, cold 0 to -10 %.

    Parameters
    ----------
    low : float
        least share by which supply exceeds exhaust [-]
    high : float
        greatest share [-]

    Reference: common practice, no source.
    """

    def keeps(supply: NDArray[np.float64], exhaust: NDArray[np.float64]) -> NDArray[np.bool_]:
        share = (supply - exhaust) / np.maximum(supply, exhaust)
        kept: NDArray[np.bool_] = (share >= low) & (share <= high)
        return kept

    return keeps


def chance_of_balance(supply_read: Reading, exhaust_read: Reading, keeps: Keeps) -> float:
    """Chance that the true flows keep a balance rule [-], errors independent.

    Parameters
    ----------
    supply_read : Reading
        as read [m3/s]
    exhaust_read : Reading
        as read [m3/s]
    keeps : Keeps
        the rule [-]

    Reference: two independent normal errors (quadrature).
    """
    return chances_of_balance(supply_read, exhaust_read, keeps)[1]


def chances_of_balance(supply_read: Reading, exhaust_read: Reading, keeps: Keeps) -> tuple[float, float, float]:
    """Chances that supply is too little, that the true flows keep a balance rule, that supply is too much [-].

    The stream that is surer is taken at the nodes of a Gauss rule; for each, the other's chance is that of its normal
    distribution between the flows where the rule turns, found by halving: so what is summed up is smooth. Errors are
    independent.

    Parameters
    ----------
    supply_read : Reading
        as read [m3/s]
    exhaust_read : Reading
        as read [m3/s]
    keeps : Keeps
        the rule; supply equal to exhaust keeps it, and beside one flow it holds on one stretch of the other [-]

    Raises
    ------
    OutOfRange
        a flow not above 0.

    Reference: two independent normal errors (quadrature).
    """
    for reading in (supply_read, exhaust_read):
        if reading.value <= 0.0:
            raise OutOfRange("flow of a stream", reading.value, 0.0, math.inf, "m3/s")
    if supply_read.error < exhaust_read.error:
        little, kept, much = chances_of_balance(exhaust_read, supply_read, lambda one, other: keeps(other, one))
        return much, kept, little
    flows = np.maximum(exhaust_read.value + exhaust_read.error * _NODES, 1e-9)
    low, high = _stretches(flows, supply_read, keeps)
    little = sum(share * _below(one, supply_read) for share, one in zip(_SHARE, low.tolist(), strict=True))
    enough = sum(share * _below(one, supply_read) for share, one in zip(_SHARE, high.tolist(), strict=True))
    return _chance(little), _chance(enough - little), _chance(1.0 - enough)


def _chance(share: float) -> float:
    return min(max(float(share), 0.0), 1.0)


def balance_verdict(supply_read: Reading, exhaust_read: Reading, keeps: Keeps, sure: float = SURE) -> Verdict:
    """The word for a balance as it was read.

    Parameters
    ----------
    supply_read : Reading
        as read [m3/s]
    exhaust_read : Reading
        as read [m3/s]
    keeps : Keeps
        the rule [-]
    sure : float
        chance from which a word is given [-]

    Reference: two independent normal errors (quadrature).
    """
    little, kept, much = chances_of_balance(supply_read, exhaust_read, keeps)
    return verdict(kept, sure, max(little, much))


Flows = NDArray[np.float64]


def _stretches(exhausts: Flows, supply: Reading, keeps: Keeps) -> tuple[Flows, Flows]:
    """The least and the greatest supply that keep the rule beside each exhaust; without end where the grid ends."""
    spread = max(6.0 * supply.error, 1e-12)
    grid = np.linspace(max(supply.value - spread, 0.0), supply.value + spread, 401)
    kept = keeps(*np.broadcast_arrays(grid, exhausts[:, np.newaxis]))
    first, last = kept.argmax(axis=1), len(grid) - 1 - kept[:, ::-1].argmax(axis=1)
    low = np.where(first == 0, -np.inf, _edges(grid[first - 1], grid[first], exhausts, keeps))
    after = np.minimum(last + 1, len(grid) - 1)
    high = np.where(last == after, np.inf, _edges(grid[after], grid[last], exhausts, keeps))
    some = kept.any(axis=1)
    return np.where(some, low, exhausts), np.where(some, high, exhausts)


def _edges(outside: Flows, inside: Flows, exhausts: Flows, keeps: Keeps) -> Flows:
    """Where the rule turns between supplies that break it and supplies that keep it."""
    for _ in range(40):
        middle = 0.5 * (outside + inside)
        kept = keeps(middle, exhausts)
        outside, inside = np.where(kept, outside, middle), np.where(kept, middle, inside)
    return inside


def misjudged(true_ratio: float, meter: float, keeps: Keeps) -> float:
    """Chance that a unit's balance is misread by a meter: what is read is on the other side of the rule than the truth.

    Parameters
    ----------
    true_ratio : float
        supply over exhaust in truth [-]
    meter : float
        standard deviation of the meter, a share of each flow [-]
    keeps : Keeps
        the rule, applied to the readings [-]

    Raises
    ------
    OutOfRange
        a ratio or a meter not above 0.

    Reference: two independent normal errors (quadrature).
    """
    if true_ratio <= 0.0 or meter <= 0.0:
        raise OutOfRange("ratio or meter", min(true_ratio, meter), 0.0, math.inf, "-")
    reads_good = chance_of_balance(Reading(true_ratio, meter * true_ratio), Reading(1.0, meter), keeps)
    is_good = bool(keeps(np.array([true_ratio]), np.array([1.0]))[0])
    return 1.0 - reads_good if is_good else reads_good


def meter_that_decides(supply_flow: float, exhaust_flow: float, keeps: Keeps, sure: float = SURE) -> float | None:
    """The coarsest meter, as a share of each flow, that would decide a balance as it was read; None where none would.

    Parameters
    ----------
    supply_flow : float
        as read [m3/s]
    exhaust_flow : float
        as read [m3/s]
    keeps : Keeps
        the rule [-]
    sure : float
        chance from which a word is given [-]

    Reference: two independent normal errors, halving (own).
    """

    def decides(meter: float) -> bool:
        read = Reading(supply_flow, meter * supply_flow), Reading(exhaust_flow, meter * exhaust_flow)
        return balance_verdict(*read, keeps, sure).word != CANNOT_TELL

    low, high = 0.001, 0.5
    if not decides(low):
        return None
    if decides(high):
        return high
    for _ in range(30):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if decides(middle) else (low, middle)
    return low
