"""The text as a tree: every key and value knows where it stands, and every scalar stays text."""

from __future__ import annotations

import pytest

from airledger.errors import HouseFileError
from airledger.io.marks import decode, path_text, source_line, tree

TEXT = """\
# a remark
house: Tern Street 14   # behind it
rooms:
  hall: {area: 9 m2, "ceiling": '8 ft'}
  'bath': {outline: [[0 ft, 1 ft], [2 ft, 3 ft]]}
run:
- straight: 9 ft
- loss: 1.5
note: |
  two
  lines
empty:
"""


def test_plain_content_is_text_lists_and_keys() -> None:
    assert tree(TEXT, "house").plain() == {
        "house": "Tern Street 14",
        "rooms": {
            "hall": {"area": "9 m2", "ceiling": "8 ft"},
            "bath": {"outline": [["0 ft", "1 ft"], ["2 ft", "3 ft"]]},
        },
        "run": [{"straight": "9 ft"}, {"loss": "1.5"}],
        "note": "two\nlines\n",
        "empty": None,
    }


def test_each_scalar_s_marks_cut_out_its_text() -> None:
    root = tree(TEXT, "house")
    for path, node in root.walk():
        if node.kind == "scalar" and node.text is not None and node.style not in ("|", ">"):
            assert TEXT[node.start : node.end].strip("'\"") == node.text, path
            assert TEXT.split("\n")[node.line - 1][node.column - 1 :].lstrip("'\"").startswith(node.text)
        for name, key in node.keys.items():
            assert TEXT[key.start : key.end].strip("'\"") == name


def test_a_block_ends_with_its_last_scalar() -> None:
    root = tree(TEXT, "house")
    assert TEXT[: root.children["run"].end].endswith("loss: 1.5")
    assert TEXT[: root.children["rooms"].end].endswith("[2 ft, 3 ft]]}")


@pytest.mark.parametrize(
    "word", ["yes", "no", "on", "off", "true", "1.0", "0x1F", "1e3", "2026-10-02", "12:30", "0o7", ".5", "=", "NULLS"]
)
def test_words_that_other_readers_convert_stay_text(word: str) -> None:
    assert tree(f"a: {word}", "house").plain() == {"a": word}


@pytest.mark.parametrize("nothing", ["", "~", "null", "Null", "NULL"])
def test_nothing_is_nothing_unless_in_quotes(nothing: str) -> None:
    assert tree(f"a: {nothing}\n", "house").plain() == {"a": None}
    assert tree(f"a: '{nothing}'\n", "house").plain() == {"a": nothing}


def test_characters_beyond_the_first_plane_count_as_one_column() -> None:
    root = tree("a: {\U0001f3e0 house: 1, é: 2}", "house")
    assert root.children["a"].keys["é"].column == 17
    assert root.children["a"].children["é"].column == 20


def test_twenty_levels_are_read_and_one_more_is_refused() -> None:
    assert tree("a: " + "[" * 19 + "x" + "]" * 19, "house").plain()
    with pytest.raises(HouseFileError, match="more than 20 levels deep"):
        tree("a: " + "[" * 20 + "x" + "]" * 20, "house")


def test_a_path_is_printed_with_slashes_and_places_from_one() -> None:
    assert path_text(("rooms", "hall", "outline", 0, 1)) == "rooms / hall / outline / 1 / 2"


def test_a_source_line_has_its_tabs_as_blanks_and_is_left_out_where_too_long() -> None:
    assert source_line("a\nb\tc\r\nd", 2) == "b c"
    assert source_line("x" * 301, 1) == ""
    assert source_line("a", 3) == ""


def test_a_byte_order_mark_is_taken_off() -> None:
    assert decode(b"\xef\xbb\xbfhouse: a", "house") == "house: a"


def test_a_million_bytes_are_read_and_one_more_is_refused() -> None:
    assert len(decode(b"#" * 1_000_000, "house")) == 1_000_000
    with pytest.raises(HouseFileError, match="longer than any file that people write"):
        decode(b"#" * 1_000_001, "house")
