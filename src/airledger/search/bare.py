"""The house without what its file draws for make-up air: where the combinations that decide an option are found.

What is drawn eases some combinations and not others. An option that stands in its place has to be tried in those that
are the worst without it.
"""

from __future__ import annotations

from dataclasses import replace

from airledger.search.limits import Limits
from airledger.search.slots import Slots, emptied
from airledger.search.surveyed import worst_under
from airledger.search.worst import Solve, Survey


def without_drawn(found: Survey, place: Slots, solve: Solve, judged: Limits) -> Survey:
    """Combinations without make-up air, every machine off or at its top; those found where the file draws none.

    Parameters
    ----------
    found : Survey
        the house as its file says, solved [-]
    place : Slots
        the house with every candidate [-]
    solve : callable
        settings of that house to readout [-]
    judged : Limits
        the limits [-]
    """
    if not place.drawn:
        return found
    listing = replace(found.listing, house=place.house)
    return worst_under(listing, solve, judged, lambda columns: emptied(columns, place, False), at_top=True)
