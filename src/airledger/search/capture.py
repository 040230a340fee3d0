"""What machines really move: by their curve, or between two ends where only a rating is known.

A machine known by a rating is taken as holding its flow where pressure is judged: that is the worst for the house. What
it then catches is told from the other end: a usual curve through its rating.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import Exhaust, House
from airledger.house.operating_state import full_flow
from airledger.house.readout import Readout

Cell = float | int | str | None

SHUT_OFF = 250.0
"""Shut-off pressure of a house's hood or dryer where no curve is given [Pa], about 1 in w.c.: common practice."""

RATED_AT = 25.0
"""Static pressure at which a flow is rated where none is given [Pa], about 0.1 in w.c.: common practice."""


def least_flow(exhaust: Exhaust, rated: NDArray[np.float64], pressure: NDArray[np.float64]) -> NDArray[np.float64]:
    """What a machine without a curve moves on a usual curve through its rating [m3/s].

    Parameters
    ----------
    exhaust : Exhaust
        the machine [-]
    rated : NDArray[np.float64]
        its rated flow at its speed in every state [m3/s]
    pressure : NDArray[np.float64]
        pressure of its room in every state [Pa]
    """
    at = min(exhaust.rated[1] if exhaust.rated else RATED_AT, 0.9 * SHUT_OFF)
    square = (rated / full_flow(exhaust)) ** 2
    left = 1.0 - (at * square + np.maximum(-pressure, 0.0)) / np.maximum(SHUT_OFF * square, 1e-12)
    return np.asarray(rated * np.sqrt(np.maximum(left, 0.0) / (1.0 - at / SHUT_OFF)))


def capture_rows(house: House, seen: Readout, states: Sequence[str]) -> list[dict[str, Cell]]:
    """What each machine moves in each named state in which it runs, with both ends where it has no curve.

    Parameters
    ----------
    house : House
        its machines [-]
    seen : Readout
        the named states, solved [-]
    states : Sequence[str]
        their names [-]
    """
    listed: list[tuple[int, dict[str, Cell]]] = []
    for exhaust in house.exhausts:
        if full_flow(exhaust) > 0:
            rated, real = seen.rated_flow(exhaust.name), seen.machine_flow(exhaust.name)
            room = seen.room_pressure(exhaust.room)
            low = real if exhaust.fan_curve else np.minimum(real, least_flow(exhaust, rated, room))
            for index, state in enumerate(states):
                if rated[index] > 0:
                    row: dict[str, Cell] = {
                        "state": state,
                        "machine": exhaust.name,
                        "rated_m3s": float(rated[index]),
                        "real_m3s": float(real[index]),
                        "low_m3s": float(low[index]),
                        "share_ratio": float(real[index] / rated[index]),
                        "known_by": "its curve" if exhaust.fan_curve else "its rating: real if it holds its flow",
                    }
                    listed.append((index, row))
    return [row for _, row in sorted(listed, key=lambda entry: entry[0])]
