"""Starting up: what a person waits for before anything is computed."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

from benchmarks.measure import Contest


def _shell(*arguments: str) -> Callable[[], float]:
    def run() -> float:
        done = subprocess.run([sys.executable, *arguments], capture_output=True, check=False)
        return float(done.returncode == 0)

    return run


def contests() -> list[Contest]:
    """`airledger --help` against a Python that starts, imports numpy and stops."""
    runs = {"help": _shell("-m", "airledger", "--help"), "import numpy": _shell("-c", "import numpy")}
    return [Contest("help text against `import numpy`", "help", "import numpy", runs, goal=1.0)]
