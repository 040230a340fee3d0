"""The first answer: answers in; the study of the house that they tell, and a house file to go on with."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from airledger.house.answers import Answers
from airledger.house.from_answers import house_from_answers
from airledger.house.reckoned import reckoned
from airledger.io.house_writer import house_text
from airledger.runs.engine import study
from airledger.runs.outcome import Outcome
from airledger.sources import Assumption
from airledger.studies.first_answer import Options

LONGEST_STEM = 60


@dataclass(frozen=True)
class FirstAnswer:
    """What the answers led to. name: of the house; text: its file."""

    outcome: Outcome
    name: str
    text: str

    @property
    def stem(self) -> str:
        """What to call its file, without the ending: the house's name in small letters and dashes."""
        return re.sub(r"[^a-z0-9]+", "-", self.name.lower()).strip("-")[:LONGEST_STEM] or "house"


def first_answer(said: Answers, units: str = "ip", aside: bool = False) -> FirstAnswer:
    """The first answer to ten plain answers.

    Parameters
    ----------
    said : Answers
        the answers [-]
    units : str
        ``ip`` or ``si``, of what is shown [-]
    aside : bool
        whether a child process may help [-]
    """
    made = house_from_answers(said)
    options = Options(units, said.wall_duct, made.assumed, made.house)
    outcome = study(reckoned(made.house), ("first_answer",), {"first_answer": options}, aside=aside)
    outcome = replace(outcome, assumed=_together(made.assumed, outcome.assumed))
    return FirstAnswer(outcome, made.house.name, house_text(made.house, made.assumed))


def _together(first: tuple[Assumption, ...], second: tuple[Assumption, ...]) -> tuple[Assumption, ...]:
    """Assumptions of both, each path once; what the answers left open comes first."""
    return tuple({assumption.path: assumption for assumption in (*reversed(second), *reversed(first))}.values())[::-1]
