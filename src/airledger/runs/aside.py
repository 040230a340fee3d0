"""A second processor for what nothing waits for: a task begun in a child process that shares what is known so far."""

from __future__ import annotations

import os
import pickle
from collections.abc import Callable
from typing import TypeVar

T = TypeVar("T")


def begun(task: Callable[[], T]) -> Callable[[], T]:
    """The task, begun elsewhere where that can be: calling what comes back waits for its result.

    A child that fails gives nothing; the task is then done here, so that its error is told as always. The result is the
    same to the last bit; only what this very program wrote into its own pipe is read back.
    """
    if not hasattr(os, "fork") or (os.cpu_count() or 1) < 2:
        return task
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        _give(task, writing)
    os.close(writing)

    def result() -> T:
        with os.fdopen(reading, "rb") as pipe:
            content = pipe.read()
        _, status = os.waitpid(child, 0)
        if status != 0:
            return task()
        found: T = pickle.loads(content)
        return found

    return result


def _give(task: Callable[[], T], writing: int) -> None:
    """Do the task in the child, hand its result over, and end without anything that the parent will do itself."""
    status = 1
    try:
        content = pickle.dumps(task())
        with os.fdopen(writing, "wb") as pipe:
            pipe.write(content)
        status = 0
    finally:
        os._exit(status)
