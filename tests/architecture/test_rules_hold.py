"""The repository keeps its own rules."""

from pathlib import Path

import pytest

from tests.architecture.rules import RULES

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("name", RULES)
def test_the_repository_keeps(name):
    complaints = list(RULES[name](ROOT))
    assert not complaints, f"{RULES[name].__doc__}\n" + "\n".join(complaints)
