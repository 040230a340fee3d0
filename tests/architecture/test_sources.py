"""Every number can be traced, and the list of sources is the one that the code has."""

from pathlib import Path

from docs.list_sources import from_memory, page

ROOT = Path(__file__).parents[2]
# Lower one whenever a value was looked up; none is raised for convenience. A new subject whose standards are not at
# hand brings its own number, once: its values show as unconfirmed until somebody looks them up.
MOST_FROM_MEMORY = {
    "up to the proof of the worst state": 46,
    "fan tests and their standards": 40,
    "rates": 12,
    "instruments and verdicts": 6,
    "air by the room": 4,
}

TABLE = """
[[rule]]
key = "hood"
source = "a code, section 1"
tag = "memory"
[[rule]]
key = "dryer"
source = "a code, section 2"
tag = "published"
"""
CODE = '''
def leak(flow):
    """Leak.

    Reference: a handbook chapter 3, MEMORY.
    """
LIMIT = Source("a standard", "memory")
'''


def test_the_list_of_sources_is_up_to_date():
    assert (ROOT / "docs" / "sources.md").read_text(encoding="utf-8") == page(ROOT), (
        "run `make docs` and commit the list"
    )


def test_the_number_of_values_from_memory_only_goes_down():
    assert from_memory(ROOT) <= sum(MOST_FROM_MEMORY.values())


def test_sources_are_found_in_tables_docstrings_and_code(tmp_path):
    package = tmp_path / "src" / "airledger"
    package.mkdir(parents=True)
    (package / "rules.toml").write_text(TABLE)
    (package / "leak.py").write_text(CODE)
    assert from_memory(tmp_path) == 3
    text = page(tmp_path)
    assert "**3 values come from memory.**" in text
    assert "| a code, section 2 | seen in print | `src/airledger/rules.toml` (dryer) |" in text
    assert "| a handbook chapter 3, MEMORY | from memory, unconfirmed | `src/airledger/leak.py` (leak) |" in text
