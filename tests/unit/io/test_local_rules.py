"""A folder of local rules: each fault with file, line and field; damaged tables give words, never a traceback."""

import random

import pytest

from airledger import runs
from airledger.errors import AirledgerError, InputError
from airledger.io.house_file import loads
from airledger.io.local_rules import RulesFileError, read_local_rules, rules_of
from airledger.rules.local_exhaust import exhaust_of
from airledger.rules.whole_house_rate import HouseFacts, rate_of
from airledger.units import CFM, FOOT
from tests.entry.mutations import damaged
from tests.unit.studies.outcomes import TERN

GOOD = """# our county
[[rate]]
key = "county"
title = "our county"
code = "County Code"
edition = "2026"
section = "12.4"
kind = "linear"
unit = "cfm"
per_area = 0.02
per_person = 10
source = "county ordinance 12.4"
tag = "published"

[[exhaust]]
key = "county bath"
code = "County Code"
section = "12.5"
room = "bath"
unit = "cfm"
on_demand = 70
continuous = 25
source = "county ordinance 12.5"
tag = "published"
"""


def faults(text):
    with pytest.raises(RulesFileError) as told:
        rules_of(text, "county.toml")
    return [(fault.line, fault.key, fault.problem) for fault in told.value.faults]


def test_a_rule_asks_as_it_is_written():
    found = rules_of(GOOD, "county.toml")
    answer = rate_of(found["rate"][0], HouseFacts(2000 * FOOT**2, 3))
    assert answer.flow / CFM == pytest.approx(0.02 * 2000 + 10 * 4)
    assert answer.formula == "0.02 x 2,000 ft2 + 10 x (3 + 1) = 80 cfm"
    assert exhaust_of(found["exhaust"][0]).on_demand / CFM == pytest.approx(70)


def test_a_rule_by_people():
    text = GOOD.replace('"linear"', '"per person"').replace("per_person = 10", "per_person = 12\nbase = 5")
    answer = rate_of(rules_of(text, "c")["rate"][0], HouseFacts(500 * FOOT**2, 3, 4))
    assert answer.flow / CFM == pytest.approx(53)


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ('unit = "cfm"\nper_area', 'unit = "cfn"\nper_area', (9, "unit", "'cfn' is not known")),
        ("per_area = 0.02", 'per_area = "0.02"', (10, "per_area", "'0.02' cannot be")),
        ("per_area = 0.02", "per_area = -1", (10, "per_area", "'-1' cannot be")),
        ("per_area = 0.02", "per_area = nan", (10, "per_area", "'nan' cannot be")),
        ("per_area = 0.02\n", "", (2, "per_area", "is missing")),
        ('kind = "linear"', 'kind = "lineal"', (8, "kind", "'lineal' is not known")),
        ('tag = "published"\n\n', 'tag = "sure"\n\n', (13, "tag", "'sure' is not known")),
        ("[[exhaust]]", "[[exhausts]]", (15, "exhausts", "no such table")),
        ("section = ", "sektion = ", (7, "sektion", "no such field")),
        ('room = "bath"', 'room = "garage"', (19, "room", "'garage' is not known")),
        ("on_demand = 70\ncontinuous = 25\n", "", (16, "key", "asks for nothing")),
        ('key = "county"', 'key = ""', (3, "key", "'' is no plain words")),
        ("per_person = 10", "per_person = ", (11, "table", "Invalid value")),
    ],
)
def test_what_cannot_be_used_is_told_with_line_and_field(old, new, found):
    told = faults(GOOD.replace(old, new))
    assert found in told


def test_folders_that_are_none(tmp_path):
    with pytest.raises(InputError, match="no such folder of rules"):
        read_local_rules(tmp_path / "none")
    with pytest.raises(InputError, match=r"no \.toml table in it"):
        read_local_rules(tmp_path)


def test_a_local_rule_holds_for_its_house_and_can_fail_it(tmp_path):
    (tmp_path / "my-rules").mkdir()
    (tmp_path / "my-rules" / "county.toml").write_text(GOOD)
    house = loads(TERN.replace("rulings: {}", "folder: my-rules"), "tern.yaml")
    found = runs.study(house, ("ventilation_rate", "local_exhaust"), beside=tmp_path)
    rules = {row["rule"]: row for row in found.results["ventilation_rate"].tables["rules"]}
    assert (rules["our county"]["holds"], rules["our county"]["confirmed"]) == ("here", "yes")
    (rate,) = [f for f in found.findings if f.code == "whole_house_rate" and "County Code" in f.message]
    assert (rate.severity, rate.basis) == ("fail", "law")  # 73 cfm asked for, 70 set
    baths = [f for f in found.findings if f.code == "local_exhaust" and "County Code" in f.message]
    assert {f.where: f.severity for f in baths} == {"main bath": "ok", "hall bath": "fail"}


def answered(seed):
    """Whether a damaged table is read and its rules put into numbers; what it is refused with is words."""
    try:
        found = rules_of(damaged(GOOD, seed), "county.toml")
        for entry in found.get("rate", ()):
            rate_of(entry, HouseFacts(150.0, random.Random(seed).randint(0, 6)))
        for entry in found.get("exhaust", ()):
            exhaust_of(entry)
    except AirledgerError as refused:
        assert str(refused).strip(), seed  # noqa: PT017 - whatever the table, the refusal is words
        return False
    return True


def test_a_thousand_damaged_tables_are_read_or_refused_in_words():
    assert 20 < sum(answered(seed) for seed in range(1000)) < 980


@pytest.mark.soak
@pytest.mark.parametrize("part", range(200))
def test_hundred_thousand_damaged_tables_are_read_or_refused_in_words(part):
    assert sum(answered(seed) for seed in range(1000 + 500 * part, 1500 + 500 * part)) > 5


def whole(text):
    with pytest.raises(RulesFileError) as told:
        rules_of(text, "county.toml")
    (one,) = told.value.faults
    return one.line, one.column, one.key, one.problem, one.allowed, one.nearest


FIELDS = (
    "key, title, code, edition, section, kind, unit, beside, source, tag, room, per_area, per_person, more, "
    "least_bedrooms, least, most, base, further, on_demand, continuous"
)
NUMBER = "a number from 0 to 100,000"


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('kind = "linear"', 'kind = "steps"', (8, 1, "kind", "'steps' is not known", "linear, per person", "")),
        ('unit = "cfm"\nper', 'unit = "l/s"\nper', (9, 1, "unit", "'l/s' is not known", "cfm, L/s", "L/s")),
        ('room = "bath"', 'room = "bat"',
         (19, 1, "room", "'bat' is not known", "kitchen, bath, laundry, utility, toilet", "bath")),
        ("per_area = 0.02", "per_area = true", (10, 1, "per_area", "'True' cannot be", NUMBER, "")),
        ("per_area = 0.02", "per_area = 100001", (10, 1, "per_area", "'100001' cannot be", NUMBER, "")),
        ("per_area = 0.02", "per_area = -0.01", (10, 1, "per_area", "'-0.01' cannot be", NUMBER, "")),
        ("per_area = 0.02", f"per_area = \"{'9' * 50}\"", (10, 1, "per_area", f"{'9' * 40!r} cannot be", NUMBER, "")),
        ('title = "our county"', "title = 7", (4, 1, "title", "'7' is no plain words", "words in quotation marks", "")),
        ('title = "our county"', f"title = \"{'q' * 501}\"",
         (4, 1, "title", f"{'q' * 40!r} is no plain words", "words in quotation marks", "")),
        ('title = "our county"', 'title = "our county"\nsecton = "9"',
         (5, 1, "secton", "no such field", FIELDS, "section")),
        ("[[exhaust]]", "[[exhausts]]", (15, 1, "exhausts", "no such table", "[[rate]], [[exhaust]]", "exhaust")),
        ("[[exhaust]]", "[exhaust]", (15, 1, "exhaust", "is no list of rules", "[[exhaust]]", "")),
        ("[[exhaust]]\n", "rates = 3\n[[exhaust]]\n", (15, 1, "rates", "no such field", FIELDS, "")),
        ("on_demand = 70\ncontinuous = 25\n", "",
         (16, 1, "key", "asks for nothing", "on_demand, continuous, or both", "")),
        ("per_person = 10", "per_person =", (11, 13, "table", "Invalid value", "TOML, as in the tables that ship", "")),
        ('code = "County Code"\nsection = "12.5"', 'section = "12.5"', (15, 1, "code", "is missing", "", "")),
    ],
)  # fmt: skip
def test_a_fault_in_full(old, new, told):
    assert whole(GOOD.replace(old, new, 1)) == told


def test_what_is_not_said_is_filled_in():
    (rate,) = rules_of(GOOD, "c")["rate"]
    assert (rate["more"], rate["least_bedrooms"], rate["beside"]) == (1, 0, "")
    said = GOOD.replace("per_person = 10", 'per_person = 10\nmore = 2\nleast_bedrooms = 1\nbeside = ""')
    assert (rules_of(said, "c")["rate"][0]["more"], rules_of(said, "c")["rate"][0]["least_bedrooms"]) == (2, 1)
    for edge in ("0", "100000"):
        assert rules_of(GOOD.replace("per_area = 0.02", f"per_area = {edge}"), "c")["rate"]
    assert rules_of(GOOD.replace('"our county"', f'"{"q" * 500}"'), "c")["rate"]
    alone = GOOD.replace("on_demand = 70\n", ""), GOOD.replace("continuous = 25\n", "")
    assert all(rules_of(one, "c")["exhaust"] for one in alone)


def test_the_second_rule_of_a_table_is_found_by_its_own_lines():
    second = (
        GOOD.partition("[[exhaust]]")[0].replace("# our county\n", "").replace("0.02", "-2").replace('county"', 'two"')
    )
    assert faults(GOOD + "\n" + second) == [(34, "per_area", "'-2' cannot be")]
    quoted = GOOD.replace("per_area = 0.02", '"per_area" = -2')
    assert faults(quoted) == [(10, "per_area", "'-2' cannot be")]
    inline = "rate = [{key = 'a'}]\n"
    assert {line for line, _, _ in faults(inline)} == {1}


def test_many_tables_are_read_together_and_too_many_are_not(tmp_path):
    for number in range(40):
        (tmp_path / f"{number:02}.toml").write_text(GOOD.replace('"county', f'"county {number}'), encoding="utf-8")
    found = read_local_rules(tmp_path)
    assert [rate["key"] for rate in found["rate"]] == [f"county {number}" for number in range(40)]
    assert len(found["exhaust"]) == 40
    (tmp_path / "40.toml").write_text(GOOD, encoding="utf-8")
    with pytest.raises(InputError) as told:
        read_local_rules(tmp_path)
    assert str(told.value) == f"{tmp_path}: 41 tables; up to 40 are read"


def test_a_folder_in_full(tmp_path):
    for place, words in ((tmp_path / "none", "no such folder of rules"), (tmp_path, "no .toml table in it")):
        with pytest.raises(InputError) as told:
            read_local_rules(place)
        assert str(told.value) == f"{place}: {words}"
    (tmp_path / "a.toml").write_text(GOOD.replace("0.02", "-1"), encoding="utf-8")
    with pytest.raises(RulesFileError, match=r"a\.toml:10:1: per_area"):
        read_local_rules(tmp_path)
