"""Damaged readings: whatever a file says, the answer is a result or words with a line, never a traceback."""

import random

import pytest

from airledger.errors import AirledgerError
from airledger.io.readings_file import read_test_text
from airledger.io.start_up_file import read_start_up_text
from airledger.rules.airtightness_methods import METHODS
from airledger.studies.airtightness import of_tests
from tests.entry.mutations import damaged
from tests.entry.test_airtightness import READINGS, REFERENCE
from tests.unit.io.test_start_up_file import GOOD as START_UP

FILES = [REFERENCE, *(file.read_text(encoding="utf-8") for file in sorted(READINGS.glob("*.csv")))]


def answered(seed):
    """Whether a damaged file is read; what it is refused with is words."""
    text = damaged(FILES[seed % len(FILES)], seed)
    try:
        test = read_test_text(text, "r.csv").test
        found = of_tests((("", (test,)),), random.Random(seed).choice(METHODS))
    except AirledgerError as refused:
        assert str(refused).strip(), seed  # noqa: PT017 - whatever the file, the refusal is words
        return False
    assert found.tables["results"], seed
    return True


def test_a_thousand_damaged_files_are_read_or_refused_in_words():
    read = sum(answered(seed) for seed in range(1000))
    assert 20 < read < 980


@pytest.mark.soak
@pytest.mark.parametrize("part", range(200))
def test_hundred_thousand_damaged_files_are_read_or_refused_in_words(part):
    assert sum(answered(seed) for seed in range(1000 + 500 * part, 1500 + 500 * part)) > 5


def start_up_answered(seed):
    """Whether damaged start-up readings are read; what they are refused with is words."""
    try:
        read = read_start_up_text(damaged(START_UP, seed), "s.csv")
    except AirledgerError as refused:
        assert str(refused).strip(), seed  # noqa: PT017 - whatever the file, the refusal is words
        return False
    assert read.readings, seed
    return True


def test_a_thousand_damaged_start_up_files_are_read_or_refused_in_words():
    assert 20 < sum(start_up_answered(seed) for seed in range(1000)) < 980


@pytest.mark.soak
@pytest.mark.parametrize("part", range(200))
def test_hundred_thousand_damaged_start_up_files_are_read_or_refused_in_words(part):
    assert sum(start_up_answered(seed) for seed in range(1000 + 500 * part, 1500 + 500 * part)) > 5
