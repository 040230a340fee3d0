"""Starting up: what a person waits for before anything is computed."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable

from benchmarks.measure import TURNS, Contest

FIRST = """
import numpy as np
from airledger.physics.laws import FixedFlow, PowerLaw
from airledger.physics.network import Element, Network, Rows
from airledger.physics.solver import solve
rooms = range(4)
leaks = [Element("leak", "leak", -1, room) for room in rooms]
doors = [Element("door", "door", room, room + 1) for room in range(3)]
network = Network(tuple(map(str, rooms)), (*leaks, *doors, Element("hood", "hood", 0, -1)))
size, half = np.full((7, 1), 0.01), np.full((7, 1), 0.65)
laws = ((np.arange(7), PowerLaw(size, size, half)), (np.array([7]), FixedFlow(np.array([[0.1]]))))
assert solve(network, Rows(laws, np.zeros((8, 1)), 1)).converged.all()
"""


def _shell(*arguments: str) -> Callable[[], float]:
    def run() -> float:
        done = subprocess.run([sys.executable, *arguments], capture_output=True, check=False)
        return float(done.returncode == 0)

    return run


def contests() -> list[Contest]:
    """`airledger --help` against a Python that starts, imports numpy and stops."""
    first = {"first result": _shell("-c", FIRST), "import numpy": _shell("-c", "import numpy")}
    runs = {"help": _shell("-m", "airledger", "--help"), "import numpy": _shell("-c", "import numpy")}
    return [
        Contest("help text against `import numpy`", "help", "import numpy", runs, goal=1.0),
        Contest("first network solved against `import numpy`", "first result", "import numpy", first, goal=0.5),
    ]


def facts() -> list[str]:
    """Seconds of `airledger --help`, least of several."""
    run, least = _shell("-m", "airledger", "--help"), float("inf")
    for _ in range(2 * TURNS):
        begin = time.perf_counter()
        run()
        least = min(least, time.perf_counter() - begin)
    return [f"airledger --help: {least:.3f} s, goal under 0.1 s, {'met' if least < 0.1 else 'MISSED'}"]
