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
