"""Supply against exhaust as read, in each state, by each meaning of balanced that holds and by the climate's goal."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from airledger.house.house import House
from airledger.house.outdoors import is_humid_climate
from airledger.inference.verdicts import (
    CANNOT_TELL,
    Keeps,
    Reading,
    Verdict,
    balance_verdict,
    balanced,
    between_goals,
    meter_that_decides,
)
from airledger.rules.balance import BalanceRule
from airledger.rules.instruments import better_than
from airledger.rules.start_up import StartUp, StartUpReading

FINEST = 0.02  # no meter in a truck is better than 2 %
COLD_GOAL, HUMID_GOAL = (-0.10, 0.0), (0.0, 0.10)


@dataclass(frozen=True)
class Balance:
    """Both streams of a state by one meaning of balanced. use: what would decide where the meter cannot."""

    state: str
    rule: str
    basis: str
    source: str
    confirmed: bool
    supply: Reading
    exhaust: Reading
    word: Verdict
    use: str


def balances(house: House, read: StartUp, rules: Iterable[BalanceRule]) -> Iterable[Balance]:
    """The balance of each state in which both streams were read, or all grilles of both sides.

    Parameters
    ----------
    house : House
        its ventilator and climate [-]
    read : StartUp
        what was read [-]
    rules : Iterable[BalanceRule]
        the meanings of balanced that hold [-]
    """
    meanings = [*_adopted(rules), _goal(house)]
    for state in dict.fromkeys(reading.state for reading in read.readings):
        supply, exhaust = (stream(house, read, state, side) for side in ("supply", "exhaust"))
        if supply is None or exhaust is None:
            continue
        for title, keeps, basis, source, confirmed in meanings:
            word = balance_verdict(supply, exhaust, keeps)
            use = _use(supply, exhaust, keeps) if word.word == CANNOT_TELL else ""
            yield Balance(state, title, basis, source, confirmed, supply, exhaust, word, use)


def _adopted(rules: Iterable[BalanceRule]) -> Iterable[tuple[str, Keeps, str, str, bool]]:
    for rule in rules:
        yield rule.title, balanced(rule.of, rule.share, rule.flow), rule.basis, rule.source.text, rule.source.confirmed


def _goal(house: House) -> tuple[str, Keeps, str, str, bool]:
    humid = is_humid_climate(house)
    climate = "a humid climate: a little more in than out" if humid else "a cold climate: a little more out than in"
    return climate, between_goals(*(HUMID_GOAL if humid else COLD_GOAL)), "practice", "common practice", False


def _use(supply: Reading, exhaust: Reading, keeps: Keeps) -> str:
    meter = meter_that_decides(supply.value, exhaust.value, keeps)
    if meter is None or 1.96 * meter < FINEST:
        return "no meter in a truck decides what stands so near the line: turn a damper, read again"
    better = better_than(meter, "stream", min(supply.value, exhaust.value))
    named = f", such as a {better[0]}" if better else ""
    return f"use a meter of {100 * 1.96 * meter:.0f} % or better{named}"


def stream(house: House, read: StartUp, state: str, which: str) -> Reading | None:
    """A stream as read at the unit; else the sum of its grilles where every one was read [m3/s].

    Where several instruments read one place, the surest counts, wherever it stands in the file.

    Parameters
    ----------
    house : House
        its ventilator [-]
    read : StartUp
        what was read [-]
    state : str
        what was running [-]
    which : str
        supply or exhaust [-]
    """
    here = [reading for reading in read.readings if reading.state == state and reading.value]
    here.sort(key=_unsure, reverse=True)
    mine = [reading for reading in here if reading.what == f"{which} stream"]
    if mine:
        return Reading(abs(mine[-1].value or 0.0), mine[-1].error)
    what = "supply" if which == "supply" else "pick-up"
    grilles = {reading.where: reading for reading in here if reading.what == what}
    if house.ventilator is None:
        return None
    shares = house.ventilator.supplies if which == "supply" else house.ventilator.takes_from
    wanted = [room for room, share in shares if share]
    if not wanted or any(room not in grilles for room in wanted):
        return None
    values = [abs(grilles[room].value or 0.0) for room in wanted]
    # one meter reads them all: what it is off by does not average out
    return Reading(sum(values), sum(grilles[room].error for room in wanted))


def _unsure(reading: StartUpReading) -> tuple[float, float]:
    """How unsure a reading is beside its size [-]; equally sure ones go by their size."""
    size = abs(reading.value or 0.0)
    return reading.error / size, size
