"""What the code asks, in words: what is only recalled is said so, and never decides."""

import pytest

from airledger.findings import exit_code
from airledger.quantities import in_units
from airledger.rules.law_words import COUNTED, law_findings, law_row, law_sentence
from airledger.rules.make_up_trigger import make_up_trigger, named_rule
from tests.unit.rules.test_make_up_trigger import COOKTOP, WATER_HEATER, a_house


def sentence(place, hood=600.0, appliances=()):
    return law_sentence(make_up_trigger(a_house(place, hood, appliances)), place)


# make-up-air.md 1 and 2: Florida's adoption is recalled; New York's and the county's texts were seen
@pytest.mark.parametrize(
    ("place", "told"),
    [
        (
            "Homestead, Florida",
            "Code (Florida Building Code, Residential, edition unknown, its adoption recalled and unconfirmed): "
            "it asks for no make-up air here.",
        ),
        (
            "Albany, New York",
            "Code (Residential Code of New York State, edition 2025): it asks for no make-up air here.",
        ),
        (
            "Montgomery County, Maryland",
            "Code (Montgomery County guidance, edition unknown): it asks for make-up air.",
        ),
        ("Paris, Texas", "Code (IRC with North Texas amendments, edition unknown): it asks for no make-up air here."),
        ("Duluth, Minnesota", "Code (Minnesota Rules 1346.0501, edition 2015): it asks for make-up air."),
    ],
)
def test_the_sentence_of_each_place(place, told):
    assert sentence(place) == told


def test_a_place_not_looked_up_says_so_first():
    assert sentence("Nowhere, Kansas") == "Code not looked up, ask the official; model codes differ."


def test_the_official_is_asked_once_in_a_line_and_flows_are_told_in_the_readers_units():
    verdict = make_up_trigger(a_house("Nowhere, Kansas"))[0]
    (finding,) = law_findings([verdict], "make_up_air")
    assert finding.message.count("ask the official") == 1
    assert str(law_row(verdict)["text"]).startswith("code not looked up; model codes differ: ")
    assert "past 189 L/s only where fuel burns inside" in in_units(finding.message, "si")
    title = named_rule("florida amendment", a_house())[0].rule
    assert in_units(title, "si").startswith("Florida: 189 L/s to 378 L/s free")
    assert in_units(named_rule("chicago hood", a_house())[0].rule, "ip") == "hood over 400 cfm, any house"


def test_what_is_only_recalled_is_told_apart_and_does_not_decide():
    """62.2 section 6.4 is recalled [memory]: with a flue inside it says ask; what was seen says no, and stands."""
    told = sentence("Albany, New York", 350.0, (WATER_HEATER,))
    assert "it asks for no make-up air here; but a rule recalled and not confirmed says: ask the official" in told


@pytest.mark.parametrize("place", ["Homestead, Florida", "Albany, New York", "Duluth, Minnesota", "Nowhere, Kansas"])
@pytest.mark.parametrize("appliances", [(), (COOKTOP,), (WATER_HEATER,)], ids=["none", "cooktop", "water heater"])
def test_what_is_recalled_never_fails_a_house_and_is_said_to_be_unconfirmed(place, appliances):
    found = law_findings(make_up_trigger(a_house(place, 900.0, appliances)), "make_up_air")
    assert exit_code(found) == 0
    for finding in found:
        assert finding.basis == "law"
        assert finding.source.strip() == finding.source != ""
        assert finding.confirmed != ("unconfirmed" in finding.message)
        assert finding.confirmed != ("unconfirmed" in finding.source)


def test_which_flow_counts_is_marked_as_practice():
    """What a machine is "able to move" is read as the rated maximum: make-up-air.md 1, common practice, no source."""
    verdict = named_rule("chicago hood", a_house("Chicago, Illinois"))[0]
    assert COUNTED.endswith("common practice")
    assert law_row(verdict)["counted"] == COUNTED
    (finding,) = law_findings([verdict], "make_up_air")
    assert COUNTED in finding.message


@pytest.mark.parametrize(
    ("key", "section", "edition"),
    [
        ("exhaust with a fuel appliance inside", "IRC M1503.6 (2015: M1503.4)", "2015 and later"),
        ("chicago hood", "Chicago Municipal Code 18-28-505.4", "edition unknown"),
        ("montgomery hood", "Montgomery County guidance, kitchen hoods", "edition unknown"),
        ("north texas hood", "IRC with North Texas amendments M1503.6 as amended", "edition unknown"),
    ],
)
def test_a_row_names_code_section_and_edition(key, section, edition):
    row = law_row(named_rule(key, a_house())[0])
    assert (row["section"], row["edition"]) == (section, edition)


def test_a_row_names_the_code_once_and_says_what_nobody_looked_up():
    row = law_row(make_up_trigger(a_house("Nowhere, Kansas"))[0])
    assert (row["section"], row["edition"]) == ("code and section unknown", "edition unknown")
    two = next(v for v in make_up_trigger(a_house(appliances=(WATER_HEATER,))) if v.key == "two largest fans")
    assert law_row(two)["section"] == "ANSI/ASHRAE 62.2 6.4"
    assert "allowed 300 cfm net" in in_units(str(law_row(two)["formula"]), "ip")
