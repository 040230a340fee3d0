"""What wind adds to a state that was judged in the least wind of the file."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airledger.house.operating_state import WIND_FROM, WIND_SPEED
from airledger.search.states import Listing
from airledger.search.worst import Solve

SIDES = (0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0)
"""Directions that wind "from any" side is tried from, clockwise from north [degrees]."""


def wind_range(listing: Listing, solve: Solve, number: int) -> tuple[float, float] | None:
    """What the most wind of the file adds to the house pressure of a combination: from, to [Pa]; None without wind.

    Parameters
    ----------
    listing : Listing
        the combinations [-]
    solve : callable
        settings to readout [-]
    number : int
        number of the combination [-]
    """
    wind = listing.house.site.wind
    if wind is None or wind.high <= wind.low:
        return None
    sides = np.array(SIDES if wind.direction is None else (wind.direction,))
    calm: NDArray[np.float64] = solve(listing.settings(np.array([number]))).house_pressure()
    blown = listing.settings(np.full(len(sides), number)).with_({WIND_SPEED: wind.high, WIND_FROM: sides})
    change = solve(blown).house_pressure() - calm[0]
    return float(change.min()), float(change.max())
