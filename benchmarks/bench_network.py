"""The solver in batches and the compiled engine against general, careful and foreign solvers, on synthetic houses."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import numpy as np
from numba import njit

from airledger.physics import fast
from airledger.physics.fast_rows import Scratch, evaluate, newton
from airledger.physics.network import Network, Rows
from airledger.physics.solver import SECANTS, pinned_nodes, solve
from benchmarks.measure import TURNS, Contest
from benchmarks.rivals import Made, Water, careful, general
from benchmarks.synthetic import HOURS, extremes, stiff, variants, year

SAMPLE = 40
MANY = 100_000
VARIANTS = 20_000
CHUNK = 4_000
ROOMS = (4, 12, 30)

MEMORY = """
import resource, sys
from airledger.physics.solver import solve
from benchmarks.synthetic import variants
for chunk in range(int(sys.argv[1]) // 2000):
    assert solve(*variants(12, 2000, 100 + chunk)).converged.all()
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
"""


def contests() -> list[Contest]:
    """A year and random variants for houses of 4, 12 and 30 rooms; time a row, same rows."""
    found = []
    for rooms in ROOMS:
        hours = cache(lambda rooms=rooms: year(rooms))
        some = cache(lambda rooms=rooms: variants(rooms, VARIANTS))
        for kind, made, size, goals in (("year", hours, HOURS, (40, 60)), ("variants", some, VARIANTS, (100, 150))):
            rows = {"numpy": size, "fast": size, "hybr": SAMPLE, "one by one": SAMPLE}
            ours = {"numpy": _batch(made, solve), "fast": _batch(made, fast.solve)}
            rival = general(made, SAMPLE, warm=kind == "year")
            alone = careful(made, SAMPLE)
            for engine, goal in zip(("numpy", "fast"), goals, strict=True):
                pair = {engine: ours[engine], "hybr": rival}
                found.append(Contest(f"{kind}, {rooms} rooms, {engine} against hybr", engine, "hybr", pair, goal, rows))
            pair = {"numpy": ours["numpy"], "one by one": alone}
            title = f"{kind}, {rooms} rooms, numpy against a careful Newton one by one"
            found.append(Contest(title, "numpy", "one by one", pair, 20, rows))
        found += [_against_floor(rooms, hours), _against_water(rooms), _waiting(rooms, hours)]
    return found


def facts() -> Iterator[str]:
    """Convergence, memory, and how the cost grows."""
    yield from _convergence()
    yield _memory()
    yield from _growth()


def _batch(made: Made, engine: Callable[..., Any]) -> Callable[[], float]:
    def run() -> float:
        network, rows = made()
        good = 0
        for start in range(0, rows.size, CHUNK):
            part = rows.of_rows(np.arange(start, min(start + CHUNK, rows.size)))
            good += int(engine(network, part).converged.sum())
        return good / rows.size

    return run


def _against_floor(rooms: int, made: Made) -> Contest:
    """Compiled laws and eliminations alone, as many a row as the solver needs: no search, no account, no start."""
    network, rows = made()
    steps = SECANTS + 1 + round(float(solve(network, rows.of_rows(np.arange(CHUNK))).iterations.mean()))
    kinds, curves, numbers = fast.packed(network, rows)
    ways, order = fast.topology(network, kinds)
    nodes, count = len(network.nodes), len(network.elements)
    filled = [rows_of(numbers, 0), *(np.zeros(size) for size in (nodes + 1, count, count, nodes + 1, nodes + 1))]
    row = Scratch(*filled, np.zeros(nodes + 1), *(np.zeros(count) for _ in range(3)))
    room, pinned = np.empty((4, nodes + 1 + len(order.links))), pinned_nodes(network, rows)
    still = np.zeros(count)

    def run() -> float:
        _arithmetic((ways, order, pinned), curves, (row, room, still), (numbers.offset, steps))
        return 1.0

    runs = {"numpy": _batch(made, solve), "floor": run}
    title = f"year, {rooms} rooms, numpy against the arithmetic alone, compiled"
    return Contest(title, "numpy", "floor", runs, 0.4, {"numpy": HOURS, "floor": HOURS})


@njit
def _arithmetic(layout: Any, curves: Any, held: Any, work: Any) -> None:
    """Laws and eliminations of every hour, one after the other, at pressures that move a little."""
    ways, order, pinned = layout
    row, room, still = held
    offset, steps = work
    for hour in range(len(offset)):
        row.pressure[:] = 0.0
        for _ in range(steps):
            evaluate(ways, curves, row, offset[hour], still)
            newton(ways, order, row, pinned, room)
            for node in range(len(row.step) - 1):
                row.pressure[node] += 0.5 * row.step[node]


def rows_of(numbers: fast.Numbers, row: int) -> np.ndarray:
    """The numbers of all laws in one row, as the compiled laws take them."""
    taken = np.where(
        numbers.slot >= 0,
        numbers.of_row[row][np.maximum(numbers.slot, 0)] if numbers.of_row.shape[1] else 0.0,
        numbers.common[np.maximum(~numbers.slot, 0)],
    )
    return np.ascontiguousarray(taken)


def _against_water(rooms: int) -> Contest:
    made = cache(lambda: stiff(rooms, CHUNK))
    water = Water(made, 10 * SAMPLE)
    batch = cache(lambda: (water.network, water.common()))
    runs = {"numpy": _batch(batch, solve), "epanet": water.prepared()}
    title = f"stiff fans, {rooms} rooms, numpy against owa-epanet"
    return Contest(title, "numpy", "epanet", runs, 1.5, {"numpy": CHUNK, "epanet": 10 * SAMPLE})


def _waiting(rooms: int, made: Made) -> Contest:
    """A row at a time, as where each step waits for the one before."""

    def alone(engine: Callable[..., Any]) -> Callable[[], float]:
        def run() -> float:
            network, rows = made()
            parts = (rows.of_rows(np.array([row])) for row in range(SAMPLE))
            return sum(bool(engine(network, part).converged[0]) for part in parts) / SAMPLE

        return run

    runs = {"fast": alone(fast.solve), "numpy": alone(solve)}
    return Contest(f"a row at a time, {rooms} rooms, fast against numpy", "fast", "numpy", runs, 1.0)


def _convergence() -> Iterator[str]:
    for rooms in ROOMS:
        for kind, count, made in (
            ("year", HOURS, None),
            ("variants", MANY, variants),
            ("extremes", MANY, extremes),
        ):
            chunks = [year(rooms)] if made is None else (made(rooms, CHUNK, 100 + k) for k in range(MANY // CHUNK))
            answered, begin = 0, time.perf_counter()
            for network, rows in chunks:
                answered += _answered(network, rows)
            verdict = "met" if answered == count else "MISSED"
            seconds = time.perf_counter() - begin
            yield f"answered, {rooms} rooms, {kind}: {answered:,} of {count:,}, {verdict} ({seconds:.1f} s)"


def _answered(network: Network, rows: Rows) -> int:
    """Rows solved to 1e-9 in every room."""
    solution = solve(network, rows)
    return int((solution.converged & (solution.residual_relative < 1e-9)).sum())


def _memory() -> str:
    peaks = []
    for count in (20_000, MANY):
        done = subprocess.run([sys.executable, "-c", MEMORY, str(count)], capture_output=True, check=True)
        peaks.append(float(done.stdout))
    flat = max(peaks) < 300 and peaks[1] < 1.1 * peaks[0]
    words = ", ".join(f"{peak:.0f} MB" for peak in peaks)
    return f"peak memory of 20,000 and 100,000 variants, 12 rooms: {words}, goal flat and under 300 MB, " + (
        "met" if flat else "MISSED"
    )


def _growth() -> list[str]:
    """Microseconds a row by rooms, by further doors, and by rows solved together."""
    by_rooms = {rooms: _microseconds(*year(rooms, 2_000)) for rooms in (4, 8, 16, 32, 64)}
    by_doors = {doors: _microseconds(*year(12, 2_000, doors)) for doors in (0, 6, 12, 24, 48)}
    network, rows = year(12)
    by_count = {size: _microseconds(network, rows.of_rows(np.arange(size))) for size in (1, 10, 100, 1_000, 8_000)}
    named = (
        ("rooms", by_rooms),
        ("doors more than a tree's, 12 rooms", by_doors),
        ("rows together, 12 rooms", by_count),
    )
    return [
        f"time a row by {words}: " + ", ".join(f"{size:,}: {cost:,.0f} us" for size, cost in table.items())
        for words, table in named
    ]


def _microseconds(network: Network, rows: Rows) -> float:
    least = float("inf")
    for _ in range(TURNS):
        begin = time.perf_counter()
        solve(network, rows)
        least = min(least, time.perf_counter() - begin)
    return 1e6 * least / rows.size
