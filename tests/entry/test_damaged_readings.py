"""Damaged readings: whatever a file says, the answer is a result or words with a line, never a traceback."""

import math
import random
from importlib import resources
from pathlib import Path

import pytest

from airledger.errors import AirledgerError
from airledger.inference.flows_read import flow_told, machine_told, swing_told
from airledger.inference.interlock import interlock_told
from airledger.io.house_file import loads
from airledger.io.readings_file import read_test_text
from airledger.io.start_up_file import read_start_up_text
from airledger.rules.airtightness_methods import METHODS
from airledger.rules.balance import balance_rules
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


# every column and every way to read a flow: baselines, sizes, several samples, sheets
WHOLE = (Path(__file__).parent / "start_up_whole.csv").read_text(encoding="utf-8")
TERN = loads(
    resources.files("airledger").joinpath("examples/tern-street-14.yaml").read_text(encoding="utf-8"), "t.yaml"
)
RULES = balance_rules(("irc",))


def start_up_answered(seed, text=START_UP):
    """Whether damaged start-up readings are read and judged; what they are refused with is words."""
    try:
        read = read_start_up_text(damaged(text, seed), "s.csv")
    except AirledgerError as refused:
        assert str(refused).strip(), seed  # noqa: PT017 - whatever the file, the refusal is words
        return False
    assert read.readings, seed
    for one in read.readings:
        if one.value is not None:
            assert math.isfinite(one.value), seed
            assert 0.0 <= one.error < math.inf, seed
        if one.what in JUDGES:
            assert JUDGES[one.what](one).word.word, seed
    return True


JUDGES = {
    **dict.fromkeys(("supply", "pick-up", "supply stream", "exhaust stream"), lambda one: flow_told(TERN, one)),
    "exhaust": lambda one: machine_told(TERN, one),
    "unit swing": lambda one: swing_told(TERN, one, RULES[0]),
    "interlock": lambda one: interlock_told(TERN, one),
}


def test_the_undamaged_file_of_every_column_is_read():
    assert len(read_start_up_text(WHOLE, "s.csv").readings) == 17


def test_five_hundred_damaged_files_of_every_column_are_read_or_refused_in_words():
    assert 20 < sum(start_up_answered(seed, WHOLE) for seed in range(500)) < 480


@pytest.mark.soak
@pytest.mark.parametrize("part", range(200))
def test_hundred_thousand_damaged_files_of_every_column_are_read_or_refused_in_words(part):
    assert sum(start_up_answered(seed, WHOLE) for seed in range(1000 + 500 * part, 1500 + 500 * part)) > 5


def test_a_thousand_damaged_start_up_files_are_read_or_refused_in_words():
    assert 20 < sum(start_up_answered(seed) for seed in range(1000)) < 980


@pytest.mark.soak
@pytest.mark.parametrize("part", range(200))
def test_hundred_thousand_damaged_start_up_files_are_read_or_refused_in_words(part):
    assert sum(start_up_answered(seed) for seed in range(1000 + 500 * part, 1500 + 500 * part)) > 5
