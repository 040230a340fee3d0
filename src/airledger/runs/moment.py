"""One moment of a house: what somebody switched on, solved at both ends and the middle of how tight it may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from airledger.house import envelope
from airledger.house.ledger import StateResult
from airledger.house.operating_state import ACH50, OperatingState, Settings
from airledger.house.state_words import AS_WIRED, Switch, read_setting, switches
from airledger.runs.work import HouseWork
from airledger.sources import Source
from airledger.studies.air_balance import account_rows
from airledger.studies.protocol import Row

CALM = "calm"


@dataclass(frozen=True)
class Moment:
    """A solved moment: the state at the likely tightness, the house pressure at both ends [Pa], air in and air out.

    house_limits, door_limits: house pressure [Pa] and pull at a door [N], wanted and tolerated; limits_from: whose.
    """

    switches: tuple[Switch, ...]
    running: Mapping[str, str]
    state: StateResult
    low: float
    high: float
    account: tuple[Row, ...]
    house_limits: tuple[float | None, float | None]
    door_limits: tuple[float | None, float | None]
    limits_from: Source

    @property
    def words(self) -> str:
        """What differs from how things stand."""
        told = [f"{name} {how}" for name, how in self.running.items()]
        return ", ".join(told) or "as it stands when nobody touches anything"


def moment(work: HouseWork, running: Mapping[str, str]) -> Moment:
    """What a house does with some things switched.

    Parameters
    ----------
    work : HouseWork
        of the house; kept between calls it spares building the network again [-]
    running : Mapping[str, str]
        thing -> how, in the words of `states:`, and "wind"; what stands so anyway may be named [-]

    Raises
    ------
    InputError
        the house has no such thing, or it cannot be that way.
    """
    house = work.house
    known = switches(house)
    stands = {switch.name: switch.stands for switch in known} | {"wind": CALM}
    said = {name: how for name, how in running.items() if how not in ("", stands.get(name), AS_WIRED)}
    settings = tuple(pair for name, how in said.items() for pair in read_setting(house, name, how))
    state = OperatingState("this moment", why="switched by hand", settings=settings)
    range_of = envelope.ach50(house)
    columns = Settings.of(house, [state] * 3)
    if ACH50 not in dict(settings):
        columns = columns.with_({ACH50: np.array([range_of.likely, range_of.low, range_of.high])})
    seen = work.solved(columns)
    pressures = [float(value) for value in seen.house_pressure()]
    solved = seen.state(0, "this moment", "normal", "switched by hand")
    inside = frozenset(room.name for room in house.conditioned)
    judged = work.limits()
    return Moment(
        known, said, solved, min(pressures), max(pressures), tuple(account_rows(solved, inside)),
        (judged.house_pressure.wanted, judged.house_pressure.tolerated),
        (judged.door_pull.wanted, judged.door_pull.tolerated),
        judged.house_source,
    )  # fmt: skip
