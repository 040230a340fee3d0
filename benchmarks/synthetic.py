"""Synthetic houses of N rooms and some 5 N openings, a year of hours and random variants. All invented."""

from __future__ import annotations

import numpy as np

from airledger.physics.fan import fan_curve
from airledger.physics.laws import FanLaw, FixedFlow, OrificeLaw, PowerLaw
from airledger.physics.network import Element, Network, Rows

HOURS = 8760
POINTS = ((0.0, 400.0), (0.28, 220.0), (0.42, 50.0))


def house(rooms: int, more_doors: int = 0, seed: int = 7) -> tuple[Network, np.ndarray, np.ndarray, np.ndarray]:
    """Topology, leak coefficients [kg/(s Pa^0.65)], gap coefficients [kg/(s Pa^0.5)], heights of all elements [m].

    Rooms hang together as a tree; more_doors: further doors between any two rooms, which close loops.
    """
    random = np.random.default_rng(seed)
    leaks, gaps = [], []
    for room in range(rooms):
        leaks += [Element(f"leak {k}", "leak", -1, room) for k in range(3)]
        if room:
            other = int(random.integers(max(0, room - 4), room))
            gaps += [Element("door, lower half", "door", other, room), Element("door, upper half", "door", other, room)]
    for _ in range(more_doors):
        one, other = (int(room) for room in random.choice(rooms, 2, replace=False))
        gaps += [Element("door, lower half", "door", one, other), Element("door, upper half", "door", one, other)]
    volume = 60.0 * rooms
    total = 1.2 * 0.6 * volume / 3600 / 50**0.65
    share = random.dirichlet(np.full(3 * rooms, 3.0))
    sizes = random.choice([0.02, 0.9], len(gaps)) * 0.6 * np.sqrt(2 * 1.2)
    machines = [Element("hood", "exhaust", 0, -1), Element("fan", "exhaust", rooms - 1, -1)]
    unit = [Element("supply", "ventilator", -1, 1), Element("exhaust", "ventilator", 0, -1)]
    heights = np.array([random.choice([0.0, 1.2, 2.5]) for _ in leaks] + [0.5, 1.5] * (len(gaps) // 2) + [2.0] * 4)
    network = Network(tuple(f"room {i}" for i in range(rooms)), (*leaks, *gaps, *machines, *unit))
    return network, total * share, sizes, heights


def _rows(rooms: int, size: int, seed: int, spread: float, more_doors: int = 0) -> tuple[Network, Rows]:
    network, leak, gap, heights = house(rooms, more_doors)
    random = np.random.default_rng(seed)
    season = 12 + 12 * np.cos(2 * np.pi * np.arange(size) / HOURS) + random.normal(0, 4, size)
    wind = np.abs(random.normal(0, 2.5, size))
    facade = random.choice([0.6, -0.3, -0.65], (len(network.elements), 1))
    outdoor, indoor = 353.0 / (288.0 - season), 353.0 / 294.0
    to_outdoors = np.array([[float(e.tail < 0 or e.head < 0)] for e in network.elements])
    offset = to_outdoors * (9.81 * heights[:, None] * (indoor - outdoor) + 0.6 * facade * wind**2)
    scale = np.exp(random.normal(0, spread, (len(leak), size))) if spread else np.ones((1, 1))
    leaks = leak[:, None] * scale
    doors = gap[:, None] * (np.exp(random.normal(0, spread, (len(gap), size))) if spread else 1.0)
    first, second = len(leak), len(leak) + len(gap)
    curve = fan_curve(POINTS)
    speed = random.choice([0.0, 0.0, 0.5, 1.0], (2, size))
    one = np.array([[1.2]])
    flow = np.broadcast_to(np.array([[0.03], [0.03]]), (2, size))
    exponent = np.full((first, 1), 0.65)
    laws = (
        (np.arange(first), PowerLaw(leaks, leaks, exponent)),
        (np.arange(first, second), OrificeLaw(doors, doors)),
        (np.arange(second, second + 2), FanLaw(curve.knots, curve.coefficients, 1500.0, speed, one, one, one)),
        (np.arange(second + 2, second + 4), FixedFlow(flow)),
    )
    return network, Rows(laws, offset, size)


def year(rooms: int, size: int = HOURS, more_doors: int = 0) -> tuple[Network, Rows]:
    """8,760 hours of stack and wind over one house."""
    return _rows(rooms, size, 11, 0.0, more_doors)


def variants(rooms: int, size: int, seed: int = 13) -> tuple[Network, Rows]:
    """Random variants: every leak and every gap spread over about a decade."""
    return _rows(rooms, size, seed, 0.8)


def extremes(rooms: int, size: int, seed: int = 17) -> tuple[Network, Rows]:
    """Random extremes: leaks and gaps over some eight decades, so that a crack stands beside a barn door."""
    return _rows(rooms, size, seed, 3.0)


def stiff(rooms: int, size: int) -> tuple[Network, Rows]:
    """The year with both fans holding a flow, as a network of pipes can be told."""
    network, rows = year(rooms, size)
    laws = list(rows.laws)
    (index, fan) = laws[2]
    assert isinstance(fan, FanLaw)
    laws[2] = (index, FixedFlow(0.2 * fan.speed))
    return network, Rows(tuple(laws), rows.offset, rows.size)
