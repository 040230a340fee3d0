"""The page of check coverage tells the truth: what it names exists, and little is left out."""

import re
import tomllib
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
PAGE = TESTS.parent / "docs" / "check-coverage.md"
ROWS = [
    line.strip("| \n").split(" | ", 1)
    for line in PAGE.read_text(encoding="utf-8").splitlines()
    if line.startswith("| ") and not line.startswith("| row ")
]
KINDS = r'(case|test) |not computable: |disputed, because |practice, told in [\w./-]+ \("'


def missing(how):
    """What a row names and the tests do not have."""
    for file, name in re.findall(r"case (\w+): ([^;]+)", how):
        path = TESTS / "published" / "cases" / f"{file}.toml"
        content = tomllib.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}
        names = {entry["name"] for kind in ("case", "table") for entry in content.get(kind, [])}
        if not {name.strip(), re.sub(r" \([^()]*\)$", "", name.strip())} & names:
            yield f"{file}: {name}"
    for file, name in re.findall(r"test ([\w/]+\.py)::(\w+)", how):
        path = TESTS / file
        if not path.is_file() or f"def {name}(" not in path.read_text(encoding="utf-8"):
            yield f"{file}::{name}"
    for file, words in re.findall(r'told in ([\w./-]+) \("([^"]+)"\)', how):
        path = TESTS.parent / file
        if not path.is_file() or words not in " ".join(path.read_text(encoding="utf-8").split()):
            yield f"{file}: {words}"


@pytest.mark.parametrize(("row", "how"), ROWS, ids=[f"{number}: {row}" for number, (row, _) in enumerate(ROWS)])
def test_what_a_row_names_exists(row, how):
    assert not list(missing(how))
    assert re.match(KINDS, how), row


def test_a_case_that_is_not_there_is_seen():
    assert len(list(missing("case closed_forms: no such case; test unit/physics/test_laws.py::test_nothing"))) == 2


def test_advice_that_is_told_nowhere_is_seen():
    told = 'practice, told in docs/how-to/worst-case.md ("Ask consent")'
    assert not list(missing(told))
    assert list(missing(told.replace("consent", "nobody")))
    assert list(missing(told.replace("worst-case", "best-case")))
    assert not re.match(KINDS, "practice, told in the office")


def test_every_row_has_a_number_of_its_own_or_says_why_not():
    """A row is checked, disputed, or counts among those left out: there is no third way out."""
    kinds = {re.match(r"[a-z ]+", how).group().split()[0] for _, how in ROWS}
    assert kinds == {"case", "test", "disputed", "not", "practice"}


def test_at_most_a_tenth_of_what_is_no_advice_is_not_computable():
    left_out = [row for row, how in ROWS if how.startswith("not computable")]
    advice = [row for row, how in ROWS if how.startswith("practice")]
    assert len(left_out) <= (len(ROWS) - len(advice)) / 10, left_out
