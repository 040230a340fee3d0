"""How a ratio is measured: contestants take turns, the fastest of several counts, and so does what they solved."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

TURNS = 5


@dataclass(frozen=True)
class Contest:
    """One row of the table.

    name: what is timed · ours, theirs: keys of `runs` · goal: least ratio of their time to ours.
    runs: name -> a call that does the work once and returns the share of rows it really solved, 0 to 1.
    rows: name -> how many rows one call solves; times are compared a row.
    """

    name: str
    ours: str
    theirs: str
    runs: Mapping[str, Callable[[], float]]
    goal: float
    rows: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Outcome:
    """The fastest turn of each contestant [s] and the share of rows it solved."""

    contest: Contest
    seconds: Mapping[str, float]
    solved: Mapping[str, float]

    @property
    def ratio(self) -> float:
        """Their time over ours, each for one row."""
        ours, theirs = self.contest.ours, self.contest.theirs
        rows = self.contest.rows
        return self.seconds[theirs] / rows.get(theirs, 1) / (self.seconds[ours] / rows.get(ours, 1))

    @property
    def met(self) -> bool:
        """Whether the goal is met; an answer that did not converge does not count."""
        return self.ratio >= self.contest.goal and self.solved[self.contest.ours] == 1.0

    @property
    def line(self) -> str:
        """The outcome as printed."""
        parts = [f"{name} {self.seconds[name]:.4g} s, {self.solved[name]:.2%} solved" for name in self.contest.runs]
        verdict = "met" if self.met else "MISSED"
        return f"{self.contest.name}: {self.ratio:.2f}x, goal {self.contest.goal:g}x, {verdict} ({'; '.join(parts)})"


def measured(contest: Contest) -> Outcome:
    """A contest carried out: one turn to warm up, then turns one after the other."""
    seconds = dict.fromkeys(contest.runs, float("inf"))
    solved = {name: run() for name, run in contest.runs.items()}
    for _ in range(TURNS):
        for name, run in contest.runs.items():
            begin = time.perf_counter()
            share = run()
            seconds[name] = min(seconds[name], time.perf_counter() - begin)
            solved[name] = min(solved[name], share)
    return Outcome(contest, seconds, solved)
