"""What a state does to one room, in lines: its pressure, what leaks in or out, what each machine brings or takes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from airledger.house.house import House
from airledger.house.ledger import Flow, StateResult
from airledger.quantities import number

SMALLEST = 2.5e-4  # m3/s, half a cfm: less is not drawn
THROUGH_WALLS = ("leak", "vent")
THROUGH_OPENINGS = ("door", "window")


@dataclass(frozen=True)
class Way:
    """Air on one way into or out of a room: its name, flow [m3/s], and whether it enters the room."""

    name: str
    flow: float
    enters: bool

    def words(self, system: str) -> str:
        """As printed: name and figure.

        Parameters
        ----------
        system : str
            ``ip`` or ``si``
        """
        return f"{self.name} {number(self.flow, 'air flow', system)}"


def leaks(state: StateResult, room: str) -> list[Way]:
    """What passes the room's leaks, inwards and outwards, added up.

    Parameters
    ----------
    state : StateResult
        a solved state
    room : str
        a room
    """
    return _added(state, room, lambda flow: "leaks" if flow.kind in THROUGH_WALLS else "")


def machines(house: House, state: StateResult, room: str) -> list[Way]:
    """What each machine, make-up opening or flue brings into a room or takes out of it.

    Parameters
    ----------
    house : House
        the house
    state : StateResult
        a solved state
    room : str
        a room
    """
    recovery = house.ventilator.kind.upper() if house.ventilator else "ventilator"

    def name(flow: Flow) -> str:
        if flow.kind in THROUGH_WALLS or flow.kind in THROUGH_OPENINGS:
            return ""
        return recovery if flow.kind == "ventilator" else flow.through.replace(" fan fan", " fan")

    return _added(state, room, name)


def through(state: StateResult, opening: str, inside: str) -> list[Way]:
    """What passes an opening, each way by itself; `enters` is towards the first space.

    Parameters
    ----------
    state : StateResult
        a solved state
    opening : str
        the opening's name
    inside : str
        the space that counts as inside
    """
    return _added(state, inside, lambda flow: opening if flow.through in (opening, f"{opening} undercut") else "")


def _added(state: StateResult, room: str, name: Callable[[Flow], str]) -> list[Way]:
    sums: dict[tuple[str, bool], float] = {}
    for flow in state.flows:
        if room not in (flow.from_, flow.to):
            continue
        words = name(flow)
        if words:
            key = (words, flow.to == room)
            sums[key] = sums.get(key, 0.0) + flow.volume_flow
    ways = [Way(words, flow, enters) for (words, enters), flow in sums.items() if flow >= SMALLEST]
    return sorted(ways, key=lambda way: (-way.flow, way.name, way.enters))
