"""A solved state as values: pressures, flows, forces on doors, and the two-sided account of any place."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.house.house import OUTDOORS
from airledger.house.operating_state import Key


@dataclass(frozen=True)
class Flow:
    """One flow of air in its real direction.

    mass_flow [kg/s] of dry air, volume_flow [m3/s] at the density of the entering air; both >= 0.
    kind: leak | door | window | exhaust | ventilator | make-up | vent; from_, to: rooms, "outdoors",
    "ventilator/supply".
    """

    through: str
    kind: str
    from_: str
    to: str
    mass_flow: float
    volume_flow: float


@dataclass(frozen=True)
class DoorForce:
    """The force at a door's knob [N] and what it does: "held shut", "thrown open" or "none"."""

    opening: str
    force: float
    direction: str


@dataclass(frozen=True)
class StateResult:
    """One solved state.

    Pressures [Pa] inside minus outdoors; wind in words; settings that differ from how things stand.
    """

    name: str
    kind: str
    why: str
    season: str
    wind: str
    ach50: float
    house_pressure: float
    reference_room: str
    rooms: tuple[tuple[str, float], ...]
    flows: tuple[Flow, ...]
    door_forces: tuple[DoorForce, ...]
    residual_relative: float
    settings: tuple[tuple[Key, float], ...] = ()


@dataclass(frozen=True)
class Ledger:
    """The two-sided account of a room, a duct junction or the whole house.

    Every flow in and out, and what does not add up [kg/s].
    """

    place: str
    state: str
    entries_in: tuple[Flow, ...]
    entries_out: tuple[Flow, ...]

    @classmethod
    def of(cls, state: StateResult, place: str, outside: tuple[str, ...] = (OUTDOORS,)) -> Ledger:
        """The account of one place in a state.

        Parameters
        ----------
        state : StateResult
            a solved state [-]
        place : str
            a room, a junction, or house: everything but `outside` [-]
        outside : tuple[str, ...]
            what counts as not in the house: outdoors, attic, crawl space, garage [-]
        """

        def inside(name: str) -> bool:
            return name not in outside if place == "house" else name == place

        into = [flow for flow in state.flows if inside(flow.to) and not inside(flow.from_)]
        out = [flow for flow in state.flows if inside(flow.from_) and not inside(flow.to)]
        return cls(place, state.name, _biggest_first(into), _biggest_first(out))

    @property
    def sum_in(self) -> float:
        """All that comes in [kg/s]."""
        return sum(flow.mass_flow for flow in self.entries_in)

    @property
    def sum_out(self) -> float:
        """All that goes out [kg/s]."""
        return sum(flow.mass_flow for flow in self.entries_out)

    @property
    def residual(self) -> float:
        """In minus out [kg/s]."""
        return self.sum_in - self.sum_out

    def text(self) -> str:
        """The account as a bookkeeper would sign it, in kilograms of dry air an hour."""
        lines = [f"{self.place}: {self.state}".center(76), "air in, kg/h".ljust(38) + "| air out, kg/h"]
        lines.append("-" * 37 + "+" + "-" * 38)
        for number in range(max(len(self.entries_in), len(self.entries_out))):
            left = _line(self.entries_in, number, "from_")
            lines.append(f"{left:<37}| {_line(self.entries_out, number, 'to')}".rstrip())
        lines.append("-" * 37 + "+" + "-" * 38)
        lines.append(f"{'sum':<24}{self.sum_in * 3600:>11.3f}  | {'sum':<24}{self.sum_out * 3600:>11.3f}")
        lines.append("=" * 37 + "+" + "=" * 38)
        return "\n".join(lines) + "\n"


def _biggest_first(flows: list[Flow]) -> tuple[Flow, ...]:
    return tuple(sorted(flows, key=lambda flow: (-flow.mass_flow, flow.through, flow.from_, flow.to)))


def _line(entries: tuple[Flow, ...], number: int, end: str) -> str:
    if number >= len(entries):
        return ""
    flow = entries[number]
    other = getattr(flow, end)
    name = flow.through if other == OUTDOORS else f"{flow.through}, {other}"
    return f"{name[:24]:<24}{flow.mass_flow * 3600:>11.3f}"
