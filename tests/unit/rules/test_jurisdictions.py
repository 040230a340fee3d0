"""Places: the narrowest entry wins, and a place that nobody looked up is never guessed."""

import pytest

from airledger.rules.explained import entries as explained
from airledger.rules.jurisdictions import NOT_LOOKED_UP, jurisdiction
from airledger.rules.local_exhaust import exhaust_keys
from airledger.rules.whole_house_rate import rate_keys
from airledger.sources import TAGS, table


@pytest.mark.parametrize(
    ("place", "code"),
    [
        ("Homestead, Florida", "Florida Building Code, Residential"),
        ("Miami-Dade County, FL", "Florida Building Code, Residential"),
        ("homestead florida", "Florida Building Code, Residential"),
        ("Homestead, Florida, USA", "Florida Building Code, Residential"),
        ("Buffalo, New York", "Residential Code of New York State"),
        ("Paris, Texas", "IRC with North Texas amendments"),
        ("Paris, Lamar County, TX", "IRC with North Texas amendments"),
        ("Chicago, Illinois", "Chicago Municipal Code"),
        ("Montgomery County, MD", "Montgomery County guidance"),
        ("Duluth, Minnesota", "Minnesota Rules 1346.0501"),
        ("Kingston, Ontario, Canada", "Ontario Building Code"),
        ("Halifax, Nova Scotia", "National Building Code of Canada"),
    ],
)
def test_a_listed_place_gives_its_code(place, code):
    assert jurisdiction(place).code == code


@pytest.mark.parametrize(
    "place",
    [
        "",
        "Houston, Texas",
        "Texas",
        "Paris, Tennessee",
        "Chicago Heights, Illinois",
        "New York, NY",
        "Brooklyn, New York",
        "?",
    ],
)
def test_any_other_place_is_not_looked_up(place):
    found = jurisdiction(place)
    assert not found.looked_up
    assert found.rules == ()
    assert NOT_LOOKED_UP in found.text


def test_what_is_not_known_about_an_adoption_is_said_as_unknown():
    florida = jurisdiction("Homestead, Florida")
    assert (florida.edition, florida.date) == ("unknown", "unknown")
    assert "unconfirmed" in florida.text
    assert "unconfirmed" not in jurisdiction("Buffalo, New York").text


def test_every_entry_of_the_table_has_a_known_tag_a_source_and_known_rules():
    entries = table("rules/tables/make_up_air")
    places = table("rules/tables/jurisdictions")["place"]
    keys = {rule["key"] for rule in entries["rule"]}
    assert len(keys) == len(entries["rule"])
    for entry in (*entries["rule"], *entries["condition"], *places):
        assert entry["tag"] in TAGS
        assert entry["source"] or not entry.get("code", "x")
    for place in places:
        assert set(place["rules"]) <= keys
        assert set(place.get("rates", ())) <= set(rate_keys())
        assert set(place.get("local", ())) <= set(exhaust_keys())
        assert set(place.get("tables", ())) <= {entry.key.partition(",")[0] for entry in explained()}
    names = [name for place in places for name in place["names"]]
    assert len(names) == len(set(names)), "a place stands twice in the table"
    assert all(name == name.lower() for name in names)
