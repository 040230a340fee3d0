"""Long work in processes of its own: one a house, told as it goes, called off when it is no longer wanted.

A job is named by what it depends on: the bytes of every file of the house, the studies, the version. The same job asked
for twice is one; its outcome stays in memory until newer ones push it out.
"""

from __future__ import annotations

import contextlib
import hashlib
import multiprocessing
import os
import signal
import tempfile
import threading
import time
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from airledger import __version__
from airledger.errors import AirledgerError
from airledger.runs.outcome import Outcome

KEPT = 24
"""How many outcomes stay in memory."""
AT_ONCE = 2
"""How many jobs run at the same time; the others wait."""
WAITING, RUNNING, DONE, FAILED, CANCELLED = "waiting", "running", "done", "failed", "called off"
OVER = (DONE, FAILED, CANCELLED)


def run_key(files: Mapping[str, bytes], file_name: str, only: Sequence[str] = ()) -> str:
    """The name of a job: a hash over all that it depends on.

    Parameters
    ----------
    files : Mapping[str, bytes]
        of the house, by path [-]
    file_name : str
        which of them is the house file [-]
    only : Sequence[str]
        the studies wanted, all if empty [-]
    """
    found = hashlib.sha256(f"{__version__}\n{file_name}\n{','.join(only)}\n".encode())
    for path in sorted(files):
        found.update(f"{path}\n{len(files[path])}\n".encode())
        found.update(files[path])
    return found.hexdigest()


class Job:
    """One piece of work. state: waiting | running | done | failed | called off."""

    def __init__(self, key: str, files: Mapping[str, bytes], file_name: str, only: Sequence[str]) -> None:
        self.key, self.state, self.begun = key, WAITING, 0.0
        self.told: list[str] = []
        self.outcome: Outcome | None = None
        self.problem = ""
        self._what = (dict(files), file_name, tuple(only))
        self._changed = threading.Condition()
        self._process: Any = None

    def after(self, seen: int, timeout: float) -> tuple[list[str], str]:
        """What was told after the first so many, and the state; waits for news.

        Parameters
        ----------
        seen : int
            how many lines are known [-]
        timeout : float
            longest wait [s]
        """
        with self._changed:
            self._changed.wait_for(lambda: len(self.told) > seen or self.state in OVER, timeout)
            return self.told[seen:], self.state

    def wait(self, timeout: float = 600.0) -> Outcome | None:
        """The outcome when it is there; None where there is none.

        Parameters
        ----------
        timeout : float
            longest wait [s]
        """
        with self._changed:
            self._changed.wait_for(lambda: self.state in OVER, timeout)
        return self.outcome

    def cancel(self) -> None:
        """Calls the work off; what is done already stays done."""
        with self._changed:
            if self.state in OVER:
                return
            self._end(CANCELLED)
            process = self._process
        if process is not None:
            process.terminate()

    def run(self) -> None:
        """Does the work in a child process and listens to it; returns when it is over."""
        with self._changed:
            if self.state in OVER:
                return
            self.state, self.begun = RUNNING, time.monotonic()
            context = multiprocessing.get_context("spawn")
            here, there = context.Pipe(duplex=False)
            self._process = context.Process(target=_work, args=(there, os.getpid(), *self._what), daemon=True)
            self._process.start()
        there.close()
        self._listen(here)
        self._process.join()
        here.close()

    def _listen(self, here: Connection) -> None:
        while True:
            try:
                kind, said = here.recv()
            except (EOFError, OSError):
                with self._changed:
                    if self.state not in OVER:
                        self.problem = "the work stopped without a word; the machine may be short of memory"
                        self._end(FAILED)
                return
            with self._changed:
                if self.state in OVER:
                    return
                if kind == "told":
                    self.told.append(said)
                    self._changed.notify_all()
                else:
                    self.outcome, self.problem = (said, "") if kind == "done" else (None, said)
                    self._end(DONE if kind == "done" else FAILED)

    def _end(self, state: str) -> None:
        self.state = state
        self._changed.notify_all()


class Jobs:
    """The jobs of a server: the same work is done once, and only so many at a time."""

    def __init__(self) -> None:
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._lock = threading.Lock()
        self._places = threading.Semaphore(AT_ONCE)

    def wanted(self, files: Mapping[str, bytes], file_name: str, only: Sequence[str] = ()) -> Job:
        """The job on a house: the one that is there, or a new one, begun as soon as there is a place.

        Parameters
        ----------
        files : Mapping[str, bytes]
            of the house, by path [-]
        file_name : str
            which of them is the house file [-]
        only : Sequence[str]
            the studies wanted, all if empty [-]
        """
        key = run_key(files, file_name, only)
        with self._lock:
            job = self._jobs.get(key)
            if job is not None and job.state != CANCELLED:
                self._jobs.move_to_end(key)
                return job
            job = self._jobs[key] = Job(key, files, file_name, only)
            self._jobs.move_to_end(key)
            over = [old for old, one in self._jobs.items() if one.state in OVER]
            for old in over[: max(0, len(self._jobs) - KEPT)]:
                del self._jobs[old]
        threading.Thread(target=self._run, args=(job,), daemon=True).start()
        return job

    def named(self, key: str) -> Job | None:
        """A job by its key; None where it is not known any more.

        Parameters
        ----------
        key : str
            as `run_key` makes it [-]
        """
        with self._lock:
            return self._jobs.get(key)

    def stop(self) -> None:
        """Calls off all that is running."""
        with self._lock:
            jobs = list(self._jobs.values())
        for job in jobs:
            job.cancel()

    def _run(self, job: Job) -> None:
        with self._places:
            job.run()


def _work(there: Connection, parent: int, files: Mapping[str, bytes], file_name: str, only: Sequence[str]) -> None:
    """In the child: the study of the files, told through the pipe."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the server's
    threading.Thread(target=_watch, args=(parent,), daemon=True).start()
    from airledger import runs  # noqa: PLC0415 - only the child pays for it

    def told(words: str) -> None:
        there.send(("told", words))

    with contextlib.suppress(BrokenPipeError):
        try:
            with tempfile.TemporaryDirectory(prefix="airledger-") as folder:
                for path, data in files.items():
                    target = Path(folder) / path
                    target.parent.mkdir(parents=True, exist_ok=True)
                    target.write_bytes(data)
                house = runs.load(Path(folder) / file_name)
                there.send(("done", runs.study(house, only, progress=told, beside=folder)))
        except AirledgerError as problem:
            there.send(("failed", str(problem).replace(f"{folder}{os.sep}", "")))
        except Exception as problem:  # a fault of ours is told, not swallowed
            there.send(
                ("failed", f"this is a fault of airledger, not of your house: {type(problem).__name__}: {problem}")
            )


def _watch(parent: int) -> None:
    """Ends the child when its server is gone, however it went."""
    while os.getppid() == parent:
        time.sleep(1.0)
    os._exit(1)
