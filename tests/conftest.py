"""What holds for every test: fixed examples, one thread a process."""

import importlib.util
import os

import pytest

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # -n 2 already uses the cores; results must not hang on threads
os.environ.setdefault("OMP_NUM_THREADS", "1")

from hypothesis import settings

# The same examples on every machine and in every run, so that a red test is red for everybody.
settings.register_profile("fixed", derandomize=True, max_examples=50, deadline=None, database=None)
# Many fresh examples; a failing one prints a blob that reproduces it.
settings.register_profile("soak", max_examples=2000, deadline=None, print_blob=True)
settings.load_profile(os.environ.get("AIRLEDGER_HYPOTHESIS", "fixed"))


def pytest_sessionstart():
    """Stop at once where the tests cannot all be run; none is left out in silence."""
    if importlib.util.find_spec("epanet") is None:
        raise pytest.UsageError(
            "the tests compare with an engine for water networks (owa-epanet) that is built for Python 3.11 and 3.12: "
            "make clean, then make setup PYTHON=python3.12"
        )
