"""A reading with its word: what was read where, against what, and what may have gone wrong with it."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.inference.plausibility import Question
from airledger.inference.verdicts import NOT_TESTED, Reading, Verdict
from airledger.rules.start_up import StartUpReading


@dataclass(frozen=True)
class Told:
    """A reading before it is a line of a table: what was wanted, the word, on what basis; use: what would decide."""

    reading: StartUpReading
    wanted: str
    word: Verdict
    basis: str
    source: str
    use: str = ""
    question: Question | None = None


def as_read(reading: StartUpReading) -> Reading:
    """Value and error of a reading that has a value [SI].

    Parameters
    ----------
    reading : StartUpReading
        one with a value [-]
    """
    assert reading.value is not None, "words are told apart before"
    return Reading(reading.value, reading.error)


def not_judged(reading: StartUpReading, against: str, cause: str = "") -> Told:
    """A reading that there is nothing to judge by.

    Parameters
    ----------
    reading : StartUpReading
        any [-]
    against : str
        why there is nothing [-]
    cause : str
        what may have gone wrong with it, nothing for nothing [-]
    """
    question = Question(cause, reading.value or 0.0) if cause else None
    return Told(reading, against, Verdict(NOT_TESTED, 0.5, 0.0), "practice", "", "", question)
