"""The tests of a house: which one counts, by which method, both directions read as one, why one cannot be read."""

from __future__ import annotations

from collections.abc import Sequence

from airledger.errors import InputError
from airledger.rules.airtightness_methods import AirtightnessResult, airtightness_result, mean_of_both
from airledger.rules.airtightness_rules import COME_BACK, readable
from airledger.rules.airtightness_test import AirtightnessTest

Tests = Sequence[tuple[str, Sequence[AirtightnessTest]]]
"""What each test stands for, and its series of readings: one, or one of each direction."""
ROUGH_IN, LIVED_IN = "rough-in", "as lived in"
LAST_FIRST = (LIVED_IN, "for the code", ROUGH_IN)
FIRST_METHOD = "e779"
BY_READINGS = {1: "e1827-1", 2: "e1827-2"}
"""Where nobody chose a method: what so few readings can be read by; with more it is `FIRST_METHOD`."""


def usual_method(tests: Sequence[AirtightnessTest]) -> str:
    """The method where nobody chose one, by the series with the fewest readings; every result names it.

    Parameters
    ----------
    tests : sequence of AirtightnessTest
        the series that stand for one test [-]

    Reference: common practice, no source.
    """
    return BY_READINGS.get(min((len(test.pressures) for test in tests), default=0), FIRST_METHOD)


def read_together(tests: Sequence[AirtightnessTest], method: str = "") -> AirtightnessResult:
    """One or both directions, read by one method.

    Parameters
    ----------
    tests : sequence of AirtightnessTest
        one series, or one of each direction [-]
    method : str
        one of `METHODS`; empty takes the usual one [-]

    Raises
    ------
    InputError
        none, or more than two series.

    Reference: `airtightness_result`, `mean_of_both`.
    """
    if not 1 <= len(tests) <= 2:
        raise InputError(f"a test is one series of readings, or one of each direction; these are {len(tests)}")
    results = [airtightness_result(test, method or usual_method(tests)) for test in tests]
    return results[0] if len(results) == 1 else mean_of_both(results[0], results[1])


def last_series(tests: Tests) -> Sequence[AirtightnessTest]:
    """The series of the test that counts: as lived in before for the code before the rough-in.

    Parameters
    ----------
    tests : sequence
        the tests of a house [-]

    Reference: common practice, no source.
    """
    by_role = dict(tests)
    return next((by_role[role] for role in LAST_FIRST if role in by_role), ())


def why_unread(tests: Tests, method: str = "") -> str:
    """Why nothing can be read from the test that counts, in words; empty where it can be read.

    Parameters
    ----------
    tests : sequence
        the tests of a house [-]
    method : str
        one of `METHODS`; empty takes the usual one [-]

    Reference: `readable`.
    """
    word, why = readable(read_together(last_series(tests), method))
    return "; ".join(why) if word == COME_BACK else ""
