"""Random networks for the solver: coefficients over eight decades, exponents 0.5 to 1, fans stronger than the
envelope, stack, wind, gravity dampers, ducts with friction and filters, fan curves at any speed.

All invented; the seed makes them repeatable.
"""

from __future__ import annotations

import numpy as np

from airledger.physics.laws import FanLaw, FixedFlow, GravityLaw, Law, OrificeLaw, PowerLaw, RunLaw
from airledger.physics.network import Element, Network, Rows

CURVE_KNOTS = (0.0, 60.0, 150.0, 240.0, 400.0)
CURVE_FLOWS = (0.45, 0.40, 0.28, 0.15, 0.0)


def curve_coefficients() -> tuple[tuple[float, ...], ...]:
    """Monotone cubic pieces through the points above, by scipy."""
    from scipy.interpolate import PchipInterpolator

    return tuple(tuple(float(v) for v in row) for row in PchipInterpolator(CURVE_KNOTS, CURVE_FLOWS).c)


def random_network(seed: int, size: int) -> tuple[Network, Rows]:
    """A network of 2 to 16 rooms and its duct junctions, with a batch of random rows over it."""
    random = np.random.default_rng(seed)
    rooms = int(random.integers(2, 17))
    nodes = [f"room {i}" for i in range(rooms)]
    elements: dict[str, list[Element]] = {
        "leak": [],
        "gap": [],
        "orifice": [],
        "hood": [],
        "fan": [],
        "run": [],
        "flap": [],
    }

    def add(kind: str, tail: int, head: int) -> None:
        elements[kind].append(Element(f"{kind} {len(elements[kind])}", kind, tail, head))

    for room in range(rooms):
        for _ in range(int(random.integers(1, 4))):
            add("leak", -1, room)
        if room:
            add("gap" if random.random() < 0.4 else "orifice", int(random.integers(0, room)), room)
    for _ in range(int(random.integers(0, rooms))):
        tail, head = (int(v) for v in random.choice(rooms, 2, replace=False))
        add("orifice", tail, head)
    for _ in range(int(random.integers(1, 4))):
        add("hood", int(random.integers(0, rooms)), -1)
    for _ in range(int(random.integers(0, 3))):  # fan, duct and flap in a row: two junctions
        nodes += [f"junction {len(nodes)}", f"junction {len(nodes) + 1}"]
        first, second = len(nodes) - 2, len(nodes) - 1
        add("fan", int(random.integers(0, rooms)), first)
        add("run", first, second)
        add("flap", second, -1)
        add("leak", second, -1)
    if random.random() < 0.6:  # a make-up opening with a gravity damper
        nodes.append(f"junction {len(nodes)}")
        add("run", -1, len(nodes) - 1)
        add("flap", len(nodes) - 1, int(random.integers(0, rooms)))
        add("leak", len(nodes) - 1, int(random.integers(0, rooms)))
    ordered = [element for kind in elements.values() for element in kind]
    network = Network(tuple(nodes), tuple(ordered))
    return network, _rows(random, elements, len(ordered), size)


def _rows(random: np.random.Generator, elements: dict[str, list[Element]], total: int, size: int) -> Rows:
    count = {kind: len(entries) for kind, entries in elements.items()}
    place, indices = 0, {}
    for kind, number in count.items():
        indices[kind] = np.arange(place, place + number)
        place += number

    def wide(number: int, low: float, high: float) -> np.ndarray:
        return random.uniform(low, high, (number, size))

    def decades(number: int, low: float, high: float) -> np.ndarray:
        return 10.0 ** wide(number, low, high)

    leaks, gaps = count["leak"], count["gap"]
    forward = decades(leaks, -9, -1)
    gap, orifice = decades(gaps, -8, 0.5), decades(count["orifice"], -8, 0.5)
    laws: list[tuple[np.ndarray, Law]] = [
        (indices["leak"], PowerLaw(forward, forward * wide(leaks, 0.9, 1.1), wide(leaks, 0.5, 1.0))),
        (indices["gap"], PowerLaw(gap, gap * wide(gaps, 0.9, 1.1), wide(gaps, 0.5, 1.0))),
        (indices["orifice"], OrificeLaw(orifice, orifice * wide(count["orifice"], 0.9, 1.1))),
    ]
    leak_total = forward.sum(axis=0)
    share = wide(count["hood"], 0, 3) * random.choice([-0.5, 0.0, 1.0], (count["hood"], size))
    laws.append((indices["hood"], FixedFlow(share * leak_total * 20.0)))
    if count["fan"]:
        number = count["fan"]
        speed = random.choice([0.0, 0.05, 0.4, 1.0], (number, size)) * wide(number, 0.5, 1.0)
        laws.append(
            (
                indices["fan"],
                FanLaw(
                    CURVE_KNOTS,
                    curve_coefficients(),
                    1500.0,
                    speed,
                    wide(number, 0.2, 2.0),
                    np.array([[1.2]]),
                    np.array([[1.15]]),
                ),
            )
        )
    if count["run"]:
        number = count["run"]
        diameter = wide(number, 0.08, 0.35)
        laws.append(
            (
                indices["run"],
                RunLaw(
                    wide(number, 0.0, 30.0),
                    diameter,
                    decades(number, -5, -3),
                    np.pi / 4 * diameter**2,
                    wide(number, 0, 5) / (2 * (np.pi / 4 * diameter**2) ** 2),
                    wide(number, 0, 80),
                    np.full((number, 1), 0.2),
                    wide(number, 1.0, 2.0),
                    np.array([[1.2]]),
                    np.array([[1.15]]),
                    np.array([[1.19]]),
                    np.array([[1.14]]),
                    np.array([[1.8e-5]]),
                ),
            )
        )
    if count["flap"]:
        laws.append((indices["flap"], GravityLaw(decades(count["flap"], -3, -0.5), wide(count["flap"], 1.0, 25.0))))
    return Rows(tuple(laws), random.normal(0.0, 4.0, (total, size)) * (random.random((1, size)) < 0.8), size)
