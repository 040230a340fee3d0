"""Runs every contest of every module `bench_*.py` beside this file; `python -m benchmarks start` runs one module's."""

from __future__ import annotations

import importlib
import os
import platform
import sys
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import numpy

from benchmarks.measure import measured

THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "OPENBLAS_CORETYPE")
LIBRARIES = ("numpy", "scipy", "numba", "owa-epanet", "click", "pydantic", "typst")


def _processor() -> str:
    info = Path("/proc/cpuinfo")
    if info.is_file():
        names = [line.partition(":")[2].strip() for line in info.read_text().splitlines() if "model name" in line]
        if names:
            return f"{names[0]}, {len(names)} in sight"
    return f"{platform.processor() or platform.machine()}, {os.cpu_count()} in sight"


def _version(library: str) -> str:
    try:
        return f"{library} {version(library)}"
    except PackageNotFoundError:
        return f"{library} missing"


def _simd() -> str:
    config = numpy.show_config(mode="dicts")
    found = config.get("SIMD Extensions", {}) if isinstance(config, dict) else {}
    return ", ".join(found.get("found", [])[-3:]) or "baseline only"


def main(wanted: list[str]) -> int:
    """Print the machine, then each outcome; 1 when one of the contests left rows unsolved on our side."""
    print(f"processor: {_processor()}; SIMD: {_simd()}; Python {platform.python_version()}")
    print("libraries: " + ", ".join(map(_version, LIBRARIES)))
    print("variables: " + ", ".join(f"{name}={os.environ.get(name, 'unset')}" for name in THREADS))
    names = sorted(path.stem for path in Path(__file__).parent.glob("bench_*.py"))
    unsolved = False
    for name in names:
        if wanted and name.removeprefix("bench_") not in wanted:
            continue
        module = importlib.import_module(f"benchmarks.{name}")
        for line in getattr(module, "facts", list)():
            print(line, flush=True)
        for contest in module.contests():
            outcome = measured(contest)
            unsolved |= outcome.solved[contest.ours] < 1.0
            print(outcome.line, flush=True)
    return int(unsolved)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
