"""Places: the narrowest entry wins, and a place that nobody looked up is never guessed."""

import pytest

from airledger.rules.explained import entries as explained
from airledger.rules.jurisdictions import NOT_LOOKED_UP, jurisdiction, places
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
    listed = table("rules/tables/jurisdictions")["place"]
    keys = {rule["key"] for rule in entries["rule"]}
    assert len(keys) == len(entries["rule"])
    for entry in (*entries["rule"], *entries["condition"], *listed):
        assert entry["tag"] in TAGS
        assert entry["source"] or not entry.get("code", "x")
    for place in listed:
        assert set(place["rules"]) <= keys
        assert set(place.get("rates", ())) <= set(rate_keys())
        assert set(place.get("local", ())) <= set(exhaust_keys())
        assert set(place.get("tables", ())) <= {entry.key.partition(",")[0] for entry in explained()}
    names = [name for place in listed for name in place["names"]]
    assert len(names) == len(set(names)), "a place stands twice in the table"
    assert all(name == name.lower() for name in names)


PLACES = table("rules/tables/jurisdictions")["place"]


@pytest.mark.parametrize("name", [name for entry in PLACES for name in entry["names"] if entry["code"]])
def test_an_adoption_is_told_as_the_table_has_it(name):
    found = jurisdiction(name)
    (entry,) = [entry for entry in PLACES if name in entry["names"]]
    assert (found.place, found.code, found.edition, found.amendments, found.date) == (
        name, entry["code"], entry["edition"], entry["amendments"], entry["date"],
    )  # fmt: skip
    assert (found.source.name, found.source.tag) == (entry["source"], entry["tag"])
    for kind in ("rules", "rates", "local", "tables"):
        assert getattr(found, kind) == tuple(entry.get(kind, ()))
    words = f"{name}: {entry['code']}, edition {entry['edition']}, in force since: {entry['date']}; amendments: "
    assert found.text == f"{words}{entry['amendments']}{'' if found.source.confirmed else ', unconfirmed'}"


def test_of_a_place_not_looked_up_everything_is_unknown():
    found = jurisdiction("Houston, Texas")
    assert (found.place, found.code, found.edition, found.amendments, found.date) == (
        "Houston, Texas", "", "unknown", "unknown", "unknown",
    )  # fmt: skip
    assert (found.source.name, found.source.tag) == ("", "memory")
    assert (found.rules, found.rates, found.local, found.tables) == ((), (), (), ())
    assert found.text == f"Houston, Texas: {NOT_LOOKED_UP}"
    assert jurisdiction("").text == f"no place given: {NOT_LOOKED_UP}"


def test_the_places_looked_up_are_listed_by_their_first_name():
    assert places() == tuple(entry["names"][0] for entry in PLACES if entry["code"])
    assert "paris, texas" in places()


@pytest.mark.parametrize(
    ("place", "name"),
    [
        ("Buffalo New York", "new york"),
        ("buffalo  new   york", "new york"),
        ("Duluth MN", "minnesota"),
        ("MN", "minnesota"),
        ("Homestead, Fla., FL.", "florida"),
        ("Homestead, FL, U.S.A.", "florida"),
        ("Duluth, Minnesota, United States of America", "minnesota"),
        ("Minnesota, USA", "minnesota"),
        ("USA", None),
        ("usa, usa", None),
        ("Rockville, Montgomery County, MD", "montgomery county, maryland"),
        ("Rockville, near the Metro, Montgomery County, MD", "montgomery county, maryland"),
        ("Montgomery County Maryland", "montgomery county, maryland"),
        ("Paris Texas", "paris, texas"),
        ("Paris, , Texas", "paris, texas"),
        ("Clinton, Western New York", None),
        ("Texas Paris", None),
        ("Florida Keys", None),
        ("York", None),
    ],
)
def test_a_place_is_found_by_the_ways_people_write_it(place, name):
    found = jurisdiction(place)
    (code,) = [entry["code"] for entry in PLACES if name in entry["names"]] or [""]
    assert found.code == code
