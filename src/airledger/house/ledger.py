"""A solved state in the trade's words: pressures of rooms, flows with what they go through, forces on doors."""

from __future__ import annotations

from dataclasses import dataclass


Key = tuple[str, str]  # (kind, name) of one setting


@dataclass(frozen=True)
class Flow:
    """One flow of air in its real direction. mass_flow [kg/s] of dry air, volume_flow [m3/s] at the density of the entering air; both >= 0.

    kind: leak | door | window | exhaust | ventilator | make-up | flue | vent; from_, to: rooms, "outdoors", "ventilator/supply".
    """

    through: str
    kind: str
    from_: str
    to: str
    mass_flow: float
    volume_flow: float


@dataclass(frozen=True)
class DoorForce:
    """The force at a door's knob [N] and what it does. direction: "held shut" | "thrown open" | "none"."""

    opening: str
    force: float
    direction: str


@dataclass(frozen=True)
class StateResult:
    """One solved state. pressures [Pa] inside minus outdoors; wind in words; settings that differ from how things stand."""

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
