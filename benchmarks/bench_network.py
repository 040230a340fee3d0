"""The batch solver against a general root finder and against a careful Newton that takes one row at a time."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
from scipy.optimize import root

from airledger.physics.network import Network, Rows
from airledger.physics.solver import solve
from benchmarks.measure import Contest
from benchmarks.synthetic import HOURS, variants, year

SAMPLE = 40
VARIANTS = 20_000
CHUNK = 4_000


def contests() -> list[Contest]:
    """A year and random variants for houses of 4, 12 and 30 rooms; time a row, same rows."""
    found = []
    for rooms in (4, 12, 30):
        made = {
            "year": cache(lambda rooms=rooms: year(rooms)),
            "variants": cache(lambda rooms=rooms: variants(rooms, VARIANTS)),
        }
        for kind, size, goal, alone in (("year", HOURS, 40, 20), ("variants", VARIANTS, 100, 20)):
            rows = {"batch": size, "hybr": SAMPLE, "one by one": SAMPLE}
            runs = {
                "batch": _batch(made[kind]),
                "hybr": _general(made[kind], warm=kind == "year"),
                "one by one": _single(made[kind]),
            }
            for theirs, wanted in (("hybr", goal), ("one by one", alone)):
                pair = {name: runs[name] for name in ("batch", theirs)}
                found.append(Contest(f"{kind}, {rooms} rooms, against {theirs}", "batch", theirs, pair, wanted, rows))
    return found


Made = Callable[[], tuple[Network, Rows]]


def _batch(made: Made) -> Callable[[], float]:
    def run() -> float:
        network, rows = made()
        good = 0
        for start in range(0, rows.size, CHUNK):
            part = rows.of_rows(np.arange(start, min(start + CHUNK, rows.size)))
            good += int(solve(network, part).converged.sum())
        return good / rows.size

    return run


def _single(made: Made) -> Callable[[], float]:
    """The same solver, a row at a time: what batching alone is worth."""

    def run() -> float:
        network, rows = made()
        return sum(bool(solve(network, rows.of_rows(np.array([row]))).converged[0]) for row in range(SAMPLE)) / SAMPLE

    return run


def _general(made: Made, warm: bool) -> Callable[[], float]:
    """scipy's hybrid Powell method, xtol 1e-12, on a lean residual; warm: an hour begins at the last one's answer."""

    def run() -> float:
        network, rows = made()
        good, begin = 0, np.zeros(len(network.nodes))
        for row in range(SAMPLE):
            part = rows.of_rows(np.array([row]))

            sums = _lean_sums(network, part)
            answer = root(sums, begin, method="hybr", options={"xtol": 1e-12})
            size = max(1e-6, float(np.abs(sums(np.zeros_like(begin))).max()))
            good += bool(np.abs(sums(answer.x)).max() < 1e-6 * size)
            begin = answer.x if warm else np.zeros_like(begin)
        return good / SAMPLE

    return run


def _lean_sums(network: Network, part: Rows) -> Callable[[np.ndarray], np.ndarray]:
    """The sums at the nodes of one row with as few calls as numpy allows."""
    nodes, count = len(network.nodes), len(network.elements)
    incidence = np.zeros((nodes, count))
    for place, element in enumerate(network.elements):
        for node, sign in ((element.tail, 1.0), (element.head, -1.0)):
            if node >= 0:
                incidence[node, place] += sign
    (leaks, leak), (gaps, gap), (fans, fan), (fixed, machine) = part.laws
    offset = np.broadcast_to(part.offset, (count, 1))[:, 0]
    leak_size, gap_size, held = leak.forward[:, 0], gap.forward[:, 0], machine.mass_flow[:, 0]
    flow = np.empty(count)
    flow[fixed] = held

    def sums(pressure: np.ndarray) -> np.ndarray:
        difference = incidence.T @ pressure + offset
        through = difference[leaks]
        flow[leaks] = leak_size * through * (through * through + 1e-14) ** -0.175
        through = difference[gaps]
        flow[gaps] = gap_size * through / np.sqrt(np.sqrt(through * through + 1e-14))
        flow[fans] = fan.flow_and_slope(difference[fans][:, None])[0][:, 0]
        total: np.ndarray = incidence @ flow
        return total

    return sums
