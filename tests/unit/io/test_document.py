"""Changes spliced into a house file: one value, one line; everything else byte for byte as it was typed."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airledger.errors import InputError
from airledger.io.document import Document
from airledger.io.marks import Node, tree
from airledger.io.marks import Path as Steps

TERN = resources.files("airledger.examples").joinpath("tern-street-14.yaml").read_text(encoding="utf-8")
EVERY_BLOCK = (Path(__file__).parent / "every_block.yaml").read_text(encoding="utf-8")


def scalars(text: str) -> list[tuple[Steps, Node]]:
    return [(path, node) for path, node in tree(text, "house").walk() if node.kind == "scalar"]


def mappings(text: str) -> list[tuple[Steps, Node]]:
    return [(path, node) for path, node in tree(text, "house").walk() if node.kind == "mapping"]


def changed_lines(before: str, after: str) -> list[tuple[str, str]]:
    lines = before.split("\n"), after.split("\n")
    assert len(lines[0]) == len(lines[1])
    return [(old, new) for old, new in zip(*lines, strict=True) if old != new]


TERN_SCALARS, TERN_MAPPINGS = scalars(TERN), mappings(TERN)


def test_tern_street_has_as_many_values_as_were_looked_at() -> None:
    assert len(TERN_SCALARS) > 150


@pytest.mark.parametrize("text", [TERN, EVERY_BLOCK, TERN.replace("\n", "\r\n")], ids=["tern", "every block", "crlf"])
def test_setting_what_stands_there_changes_no_byte(text: str) -> None:
    document = Document(text)
    assert [path for path, node in scalars(text) if document.set(path, str(node.text)).text != text] == []


@pytest.mark.parametrize("path", [path for path, _ in TERN_SCALARS], ids=lambda path: " / ".join(map(str, path)))
def test_each_value_of_tern_street_changes_in_its_line_alone(path: Steps) -> None:
    after = Document(TERN).set(path, "7 ft 6 in")
    assert after.value(path) == "7 ft 6 in"
    ((old, new),) = changed_lines(TERN, after.text)
    assert new.count("7 ft 6 in") == old.count("7 ft 6 in") + 1
    assert new.rpartition("#")[2] == old.rpartition("#")[2] or "#" not in old
    assert after.set(path, str(Document(TERN).value(path))).text == TERN


@pytest.mark.parametrize(
    "path", [path for path, _ in TERN_MAPPINGS if path], ids=lambda path: " / ".join(map(str, path))
)
def test_a_new_key_is_the_last_of_its_block(path: Steps) -> None:
    after = Document(TERN).set((*path, "new key"), "1 ft")
    node = tree(after.text, "house")
    for step in path:
        node = node.children[step]
    assert list(node.keys)[-1] == "new key"
    assert after.value((*path, "new key")) == "1 ft"
    added = len(after.text) - len(TERN)
    assert added < 40


def test_a_new_key_goes_behind_the_remark_of_the_last_line() -> None:
    text = "house: a\nrooms:\n  hall: {area: 1 m2}   # as drawn\n\n# the end\n"
    assert Document(text).set(("rooms", "bath"), "{area: 2 m2}").text == (
        "house: a\nrooms:\n  hall: {area: 1 m2}   # as drawn\n  bath: {area: 2 m2}\n\n# the end\n"
    )


def test_a_new_key_at_the_top_and_in_an_empty_block() -> None:
    assert Document("house: a").set(("people",), "{bedrooms: 3}").text == "house: a\npeople: {bedrooms: 3}"
    assert Document("a: {}\n").set(("a", "b"), "c").text == "a: {b: c}\n"
    assert Document("a: { x: 1 }\n").set(("a", "b"), "c").text == "a: { x: 1, b: c }\n"
    assert Document("a: {x: 1,}\n").set(("a", "b"), "c").text == "a: {x: 1, b: c}\n"


def test_a_value_where_nothing_stood() -> None:
    assert Document("a:\nb: 1\n").set(("a",), "2").text == "a: 2\nb: 1\n"
    assert Document("a: {b: , c: 1}\n").set(("a", "b"), "2").value(("a", "b")) == "2"


def test_a_block_is_replaced_whole() -> None:
    text = "make-up air:\n  opening:\n    into: hall    # there\n    run: [loss: 1]\nstates: {}\n"
    assert Document(text).set(("make-up air",), "none").text == "make-up air: none\nstates: {}\n"
    assert Document("a: {b: 1}  # x\n").set(("a",), "undecided").text == "a: undecided  # x\n"
    assert Document("a: undecided  # x\n").set(("a",), "{b: {c: 1}}").text == "a: {b: {c: 1}}  # x\n"


@pytest.mark.parametrize(
    "said",
    [
        "a: b",
        "x # y",
        "1, 2",
        'it\'s "q"',
        "-5 Pa",
        "",
        "- x",
        "null",
        "~",
        "{x",
        "x]",
        "*x",
        "&x",
        "!x",
        "%x",
        "@x",
        "`x",
        "'x'",
        '"x"',
        "? x",
        "x:",
        "-",
        "---",
        "two\nlines",
        "tab\tin",
        " edge ",
        "é ½ °",
        "\u2028",
        "\U0001f3e0",
        "#x",
        "a\\b",
        "[x",
        "yes",
        "1_000",
        "0x1",
    ],
)
@pytest.mark.parametrize(
    "path", [("house",), ("site", "place"), ("people", "bedrooms"), ("rooms", "hall", "outline", 1, 0)]
)
def test_any_words_read_back_as_they_were_said(path: Steps, said: str) -> None:
    assert Document(TERN).set(path, said).value(path) == said


@given(st.sampled_from(TERN_SCALARS), st.text(st.characters(exclude_categories=("Cs", "Cc", "Cn")), max_size=20))
@settings(max_examples=100, deadline=None)
def test_any_text_is_set_exactly_or_refused(where: tuple[Steps, Node], said: str) -> None:
    path, _ = where
    try:
        after = Document(TERN).set(path, said)
    except InputError:
        return
    block = said.strip()[:1] + said.strip()[-1:] in ("{}", "[]")
    assert block or after.value(path) == said
    assert len(after.text.split("\n")) == len(TERN.split("\n"))


@pytest.mark.parametrize(
    ("path", "said"),
    [
        (("rooms", "nowhere", "area"), "1 m2"),
        (("house", "name"), "x"),
        ((), "x"),
        (("states",), "{a: b, a: c}"),
        (("states",), "{a: *b}"),
        (("exhausts", "range hood", "run", 0, "loss"), "{"),
        (("exhausts", "range hood", "run", 99), "x"),
    ],
)
def test_what_cannot_be_set_is_refused(path: Steps, said: str) -> None:
    if said == "{":
        assert Document(TERN).set(path, said).value(path) == said
        return
    with pytest.raises(InputError):
        Document(TERN).set(path, said)


def test_a_block_has_no_single_value() -> None:
    with pytest.raises(InputError, match="is no single value"):
        Document(TERN).value(("site",))
