"""What cannot be a house: each fault at its exact line and column, all at once, and never any other exception."""

from __future__ import annotations

import math
import time
import tomllib
from importlib import resources
from pathlib import Path

import pytest

from airledger.errors import AirledgerError, Fault, HouseFileError, InputError
from airledger.house.assemble import build
from airledger.house.state_words import named_states
from airledger.io import house_file
from tests.entry.mutations import damaged
from tests.property.house_files import house_file as house_file_text

HERE = Path(__file__).parent
TERN = resources.files("airledger.examples").joinpath("tern-street-14.yaml").read_text(encoding="utf-8")
EVERY_BLOCK = (HERE.parent / "unit" / "io" / "every_block.yaml").read_text(encoding="utf-8")
ONE_FAULT = tomllib.loads((HERE / "bad_input.toml").read_text(encoding="utf-8"))["fault"]
NEEDED = (
    "house: a\nsite: {elevation: 0 ft}\nenvelope: {tightness: 1 ach50}\nrooms: {hall: {area: 9 m2, ceiling: 8 ft}}\n"
)
MARK = "¦"
"""Stands in a damaged text where the fault has to be reported; taken out before the text is read."""


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(HouseFileError) as refused:
        house_file.loads(text, "house.yaml")
    assert refused.value.exit_code == 2
    assert str(refused.value).startswith("house.yaml:")
    return refused.value.faults


def places_of(text: str) -> list[tuple[int, int]]:
    """The faults' places in a text with marks, after a look that the marks stand at them."""
    places = []
    while MARK in text:
        place = text.index(MARK)
        places.append((text.count("\n", 0, place) + 1, place - text.rfind("\n", 0, place)))
        text = text.replace(MARK, "", 1)
    return places


@pytest.mark.parametrize("case", ONE_FAULT, ids=[f"{case['problem']} | {case['new'][:40]}" for case in ONE_FAULT])
def test_each_kind_of_fault_stands_at_its_place(case: dict[str, str]) -> None:
    assert case["old"] in EVERY_BLOCK
    text = EVERY_BLOCK.replace(case["old"], case["new"], 1)
    if "around" in case:
        assert case["around"] in text
        text = text.replace(case["around"], case["marked"], 1)
    faults = faults_of(text.replace(MARK, ""))
    assert [(fault.line, fault.column) for fault in faults] == places_of(text)
    assert case["problem"] in faults[0].problem
    assert faults[0].allowed or "comma" in faults[0].problem
    assert faults[0].source_line == text.replace(MARK, "").split("\n")[faults[0].line - 1]


def test_a_fault_is_printed_with_its_line_a_caret_and_what_is_allowed() -> None:
    with pytest.raises(HouseFileError) as refused:
        house_file.loads(NEEDED.replace("hall: {area: 9 m2", "hall: {aria: 9 m2"), "house.yaml")
    assert str(refused.value).split("\n") == [
        "house.yaml:4:16: rooms / hall / aria: no such key: 'aria'",
        "    rooms: {hall: {aria: 9 m2, ceiling: 8 ft}}",
        "                   ^",
        "    did you mean 'area'?",
        "    allowed: kind, level, size, corner, outline, area, ceiling, volume, vents, air",
    ]


def test_faults_of_every_sort_come_at_once_in_the_file_s_order() -> None:
    text = EVERY_BLOCK
    changes = {
        "elevation: 700 ft": "elevation: ¦700",
        "share: 30 %, height: 3 ft": "share: 30 %, height: ¦three",
        "  laundry: {level: main": "  laundry: {¦levl: main",
        "between: [hall, bedroom 2]": "between: [hall, ¦bedrom 2]",
        "swings: in}": "swings: ¦inside}",
        "  supplies: {bedroom 2: 60 %": "  ¦supplies: {bedroom 2: 50 %",
        "- elbow: {angle: 45 deg": "- elbow: {¦angel: 45 deg",
        "waits for it: [range hood]": "waits for it: [¦hod]",
    }
    for old, new in changes.items():
        text = text.replace(old, new, 1)
    faults = faults_of(text.replace(MARK, ""))
    assert set(places_of(text)) <= {(fault.line, fault.column) for fault in faults}
    assert [fault.line for fault in faults] == sorted(fault.line for fault in faults)
    assert len(faults) == len(changes)


def test_the_nearest_word_is_named() -> None:
    (fault,) = faults_of(EVERY_BLOCK.replace("[hall, bedroom 2]", "[hall, bedrom 2]"))
    assert fault.nearest == "bedroom 2"
    assert fault.allowed.startswith("basement, great room, hall")
    assert fault.key == "openings / bedroom 2 door / between / 2"


@pytest.mark.parametrize(
    ("text", "key"),
    [("site: {elevation: 0 ft}\n", "house"), (NEEDED.replace("house: a\n", ""), "house"), ("house: a\n", "rooms")],
)
def test_what_is_needed_is_named_where_it_is_missing(text: str, key: str) -> None:
    assert f"{key} is missing" in [fault.problem for fault in faults_of(text)]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "is empty"),
        ("\n\n", "is empty"),
        ("# a remark\n", "is empty"),
        ("~", "is empty"),
        ("{}", "house is missing"),
        ("¦- house: a\n", "begins with a list"),
        ("¦Tern Street", "begins with a text"),
        ("a: 1\n¦a: 2\n", "stands twice in this block, first in line 1"),
        ("a: {b: 1, c: 2, ¦b: 3}\n", "stands twice in this block, first in line 1"),
        ("a: 1\n  b¦: 2\n", "cannot be read as YAML"),
        ("a: [1, 2\nb¦: 3\n", "cannot be read as YAML"),
        ("a: ¦&x 1\nb: 2\n", "anchors (&) and aliases (*)"),
        ("a: 1\nb: ¦*x\n", "anchors (&) and aliases (*)"),
        ("a: ¦!!str 1\n", "tags (!)"),
        ("a: ¦!python/object:os.system {}\n", "tags (!)"),
        ("a: {b: 1}\nc:\n  ¦<<: {d: 1}\n", "merge keys"),
        ("a: 1\n¦---\nb: 2\n", "a second document"),
        ("? ¦[a, b]\n: 1\n", "a key is a block here"),
        ("¦: 1\n", "a key is missing before the colon"),
        ("a: 1\nb: ¦\x07\n", "a character that no text has (code 7)"),
        ("a: ¦\x00\n", "a character that no text has (code 0)"),
    ],
)
def test_a_fault_of_the_text_stands_alone(text: str, problem: str) -> None:
    faults = faults_of(text.replace(MARK, ""))
    if problem == "house is missing":
        assert [fault.problem for fault in faults] == [
            f"{key} is missing" for key in ("house", "site", "envelope", "rooms")
        ]
        return
    (fault,) = faults
    assert problem in fault.problem
    assert (fault.line, fault.column) == (places_of(text) or [(1, 1)])[0]


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_a_file_that_is_too_deep_is_refused(opening: str) -> None:
    for depth in (21, 1000, 100_000):
        text = "a: " + opening * depth if opening != "- " else "a:\n " + opening * depth + "x"
        (fault,) = faults_of(text)
        assert "levels deep" in fault.problem or "cannot be read as YAML" in fault.problem


@pytest.mark.parametrize(
    ("data", "line", "problem"),
    [
        (b"house: a\n" * 200_000, 1, "longer than any file that people write"),
        (b"house: \xff\xfe\n", 1, "is not text in UTF-8"),
        (b"house: a\nsite: \xc3\n", 2, "is not text in UTF-8"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", 1, "is not text in UTF-8"),
        (b"PK\x03\x04\x14\x00\x00", 1, "a character that no text has"),
        ("house: a\n".encode("utf-16"), 1, "is not text in UTF-8"),
        (b"", 1, "is empty"),
    ],
)
def test_what_is_no_text_is_refused_before_it_is_parsed(data: bytes, line: int, problem: str, tmp_path: Path) -> None:
    file = tmp_path / "house.yaml"
    file.write_bytes(data)
    begun = time.monotonic()
    with pytest.raises(HouseFileError) as refused:
        house_file.load(file)
    assert time.monotonic() - begun < 5
    assert [(fault.line, problem in fault.problem) for fault in refused.value.faults] == [(line, True)]


def test_a_file_that_is_not_there_and_a_folder_are_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nowhere\.yaml: no such file"):
        house_file.load(tmp_path / "nowhere.yaml")
    with pytest.raises(InputError, match="a folder, not a file"):
        house_file.load(tmp_path)
    with pytest.raises(InputError, match="cannot be read"):
        house_file.load("a\0b")


@pytest.mark.parametrize("value", ["nan", ".nan", "inf", "-.inf", "1e999", "1e400 ft", "NaN ft", "∞ ft", "1,0 ft"])
def test_no_value_is_ever_infinite_or_no_number(value: str) -> None:
    faults = faults_of(NEEDED.replace("ceiling: 8 ft", f"ceiling: '{value}'"))
    assert [(fault.line, fault.key) for fault in faults] == [(4, "rooms / hall / ceiling")]


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("exhausts: {hood: {room: hall, speeds: {on: 1,200 cfm}}}", "a comma inside a quantity?"),
        ("exhausts: {hood: {room: hall, not picked: up to 1,200 cfm}}", "a comma inside a quantity?"),
        ("openings: {door: {between: [hall, outdoors], leaf: 3 ft, 2 in x 80 in}}", "a comma inside a quantity?"),
    ],
)
def test_a_comma_inside_a_quantity_is_asked_about(typed: str, hint: str) -> None:
    assert any(hint in fault.problem for fault in faults_of(NEEDED + typed + "\n"))


def test_a_comma_inside_a_quantity_in_a_list_is_asked_about() -> None:
    curve = "fan curve: {at: on, points: [[0 cfm, 1 inwc], [1,200 cfm, 0.1 inwc]]}"
    text = NEEDED + f"exhausts: {{hood: {{room: hall, speeds: {{on: 900 cfm}}, {curve}}}}}\n"
    assert any("a comma inside a quantity?" in fault.problem for fault in faults_of(text))


def test_a_house_without_a_room_inside_is_refused() -> None:
    (fault,) = faults_of(NEEDED.replace("hall: {", "hall: {kind: attic, "))
    assert (fault.line, fault.column) == (4, 1)
    assert fault.problem == "no room inside the envelope: all are beside the house"


@pytest.mark.parametrize("filling", [" ", "1", "(", "+- ", " to 1", "1,", "ft "])
def test_a_value_as_long_as_a_file_is_refused_at_once(filling: str) -> None:
    begun = time.monotonic()
    (fault,) = faults_of(NEEDED.replace("1 ach50", f"'1{filling * (400_000 // len(filling))}x'"))
    assert time.monotonic() - begun < 10
    assert fault.key == "envelope / tightness"
    assert "characters are no single value" in fault.problem


def many(count: int, said: str) -> str:
    """A block of so many things of the same kind."""
    return "{" + ", ".join(f"thing {number}: {{{said}}}" for number in range(count)) + "}"


@pytest.mark.parametrize(
    ("block", "said", "problem", "allowed"),
    [
        ("rooms", many(101, "area: 9 m2, ceiling: 8 ft"), "more than 100 entries stand here", "up to 100"),
        (
            "openings",
            many(101, "between: [hall, outdoors], leaf: 3 ft x 7 ft, swings: in"),
            "101 openings lead to outdoors",
            "up to 100; leave out windows that stay shut",
        ),
        ("exhausts", many(41, "room: hall, rated: 50 cfm at 0.1 inwc"), "more than 40 entries stand here", "up to 40"),
        (
            "exhausts",
            many(1, "room: hall, speeds: {on: 1000000 cfm}"),
            "cannot read '1000000 cfm'",
            "a flow that a house",
        ),
        ("exhausts", many(1, "room: hall, speeds: {on: 0 cfm}"), "cannot read '0 cfm'", "a flow above 0"),
        ("envelope", "{tightness: 1000 ach50}", "cannot read '1000 ach50'", "a tightness above 0, and no tent's"),
    ],
)
def test_what_no_house_has_is_refused(block: str, said: str, problem: str, allowed: str) -> None:
    kept = [line for line in NEEDED.splitlines() if not line.startswith(block)]
    (fault,) = faults_of("\n".join([*kept, f"{block}: {said}", ""]))
    assert fault.problem == problem
    assert fault.allowed.startswith(allowed)


def test_very_many_faults_end_in_time() -> None:
    rooms = "".join(f"  room {number}: {{aria: 9 m2}}\n" for number in range(5000))
    begun = time.monotonic()
    faults = faults_of("house: a\nsite: {elevation: 0 ft}\nenvelope: {tightness: 1 ach50}\nrooms:\n" + rooms)
    assert 1 <= len(faults) <= 300
    assert time.monotonic() - begun < 30


def finite(value: object) -> bool:
    """Whether no number within a house is infinite or no number."""
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, tuple):
        return all(finite(entry) for entry in value)
    return all(finite(entry) for entry in vars(value).values()) if hasattr(value, "__dataclass_fields__") else True


def check_damaged(text: str, seed: int) -> bool:
    """Whether a damaged text loads; if it does not, every fault is told at a place of the text, and nothing else."""
    try:
        house = house_file.loads(text, "house.yaml")
    except HouseFileError as refused:
        lines = text.split("\n")
        assert refused.faults, seed  # noqa: PT017 - whatever the text, the refusal is a list of places and words
        for fault in refused.faults:  # a file that ends too soon is told at its end
            assert 1 <= fault.line <= len(lines) + 1, seed
            assert fault.column >= 1, seed
            assert fault.problem, seed
        return False
    assert finite(house), seed
    return True


@pytest.mark.parametrize("part", range(8))
def test_two_thousand_damaged_files_load_or_tell_their_faults(part: int) -> None:
    seeds = range(250 * part, 250 * (part + 1))
    loaded = sum(check_damaged(damaged((TERN, EVERY_BLOCK)[seed % 2], seed), seed) for seed in seeds)
    assert 0 < loaded < 250


@pytest.mark.soak
@pytest.mark.parametrize("part", range(200))
def test_hundred_thousand_damaged_files_load_or_tell_their_faults(part: int) -> None:
    """200 blocks of 500 files: the example house, the file with every block, and random houses by turns."""
    loaded = 0
    for seed in range(1_000_000 + 500 * part, 1_000_000 + 500 * (part + 1)):
        whole = (TERN, EVERY_BLOCK, house_file_text(seed))[seed % 3]
        loaded += check_damaged(damaged(whole, seed), seed)
    assert 0 < loaded < 500


def check_built(text: str, seed: int) -> bool:
    """Whether what loads is assembled with its named states; if not, the refusal is in words."""
    try:
        house = house_file.loads(text, "house.yaml")
    except HouseFileError:
        return False
    try:
        assert build(house).nodes
        assert named_states(house)
    except AirledgerError as refused:
        assert str(refused), seed  # noqa: PT017 - whatever the house, the refusal is words
        return False
    return True


def test_what_loads_can_be_assembled_or_is_refused_in_words() -> None:
    assert sum(check_built(damaged(TERN, seed), seed) for seed in range(5000, 5400)) > 10


@pytest.mark.soak
@pytest.mark.parametrize("part", range(20))
def test_of_ten_thousand_damaged_files_what_loads_can_be_assembled(part: int) -> None:
    built = 0
    for seed in range(2_000_000 + 500 * part, 2_000_000 + 500 * (part + 1)):
        built += check_built(damaged((TERN, house_file_text(seed))[seed % 2], seed), seed)
    assert built > 10
