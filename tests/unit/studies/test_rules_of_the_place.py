"""Ventilation rate and local exhaust: what the place asks beside what is set; law alone, unconfirmed said so."""

from dataclasses import replace

import pytest

from airledger import runs
from airledger.house.house import Ruling
from airledger.io.house_file import loads
from airledger.studies.local_exhaust import wet_rooms
from airledger.studies.ventilation_rate import condition_rows, facts
from airledger.units import CFM
from tests.unit.search.houses import ONE_ROOM, house
from tests.unit.studies.outcomes import TERN

BOTH = ("ventilation_rate", "local_exhaust")


def tern(**changes):
    return replace(loads(TERN, "tern.yaml"), **changes)


def at(place):
    whole = tern()
    return replace(whole, site=replace(whole.site, place=place))


def rows(found, study, table):
    return found.results[study].tables[table]


def findings(found, code):
    return [f for f in found.findings if f.code == code]


# rates.md 2: IRC M1505.4.3 eq. 15-1 (published): 0.01 A + 7.5 (bedrooms + 1); the table's cell of 1,501-3,000 ft2, 2-3
def test_the_example_asks_by_equation_and_by_table():
    found = runs.study(tern(), BOTH)
    told = {row["rule"]: row for row in rows(found, "ventilation_rate", "rules")}
    area = sum(room.area for room in tern().conditioned) / 0.3048**2
    equation = told["International Residential Code, by its equation"]
    assert equation["asks_m3s"] / CFM == pytest.approx(0.01 * area + 30)
    assert equation["holds"] == "here"
    table = told["International Residential Code, by its table"]
    assert table["asks_m3s"] >= equation["asks_m3s"]
    assert told["ASHRAE 62.2, 2013 and later"]["holds"] == "for comparison"
    assert facts(tern()).sleepers == 4


def test_a_place_that_is_only_recalled_never_fails_and_says_unconfirmed():
    found = runs.study(tern(), BOTH)
    assert {f.severity for f in findings(found, "whole_house_rate")} == {"unknown"}
    assert all("unconfirmed" in f.message for f in findings(found, "whole_house_rate"))
    (place,) = findings(found, "place")
    assert place.severity == "unknown"
    assert "Florida Building Code, Residential, edition unknown" in place.message


def test_a_place_whose_code_was_seen_decides():
    low = tern()
    slow = replace(
        low.ventilator,
        speeds=tuple(replace(s, supply=s.supply / 10, exhaust=s.exhaust / 10) for s in low.ventilator.speeds),
    )
    found = runs.study(replace(at("Buffalo, New York"), ventilator=slow), BOTH)
    assert {f.severity for f in findings(found, "whole_house_rate")} == {"fail"}
    enough = runs.study(at("Buffalo, New York"), BOTH)
    assert {f.severity for f in findings(enough, "whole_house_rate")} == {"ok"}
    assert all(f.basis == "law" for f in enough.findings)


# rates.md 2 and 2.3 (published): Minnesota, 0.02 A + 15 (bedrooms + 1); half of it, 40 cfm at least, all the time
def test_minnesota_splits_its_total():
    (row,) = [
        r for r in rows(runs.study(at("Duluth, Minnesota"), BOTH), "ventilation_rate", "rules") if r["holds"] == "here"
    ]
    area = sum(room.area for room in tern().conditioned) / 0.3048**2
    assert row["asks_m3s"] / CFM == pytest.approx(max(40, (0.02 * area + 60) / 2))
    assert "half of the total" in row["beside"]


def test_where_nobody_looked_the_model_codes_stand_for_comparison_alone():
    found = runs.study(at("Springfield, Ohio"), BOTH)
    assert {row["holds"] for row in rows(found, "ventilation_rate", "rules")} == {"for comparison"}
    (place,) = findings(found, "place")
    assert "code not looked up, ask the official" in place.message
    assert not findings(found, "whole_house_rate")


def test_a_ruling_stands_beside_the_place_with_who_and_when():
    ruled = tern(rulings=(Ruling("whole-house rate", "by the table", "2026-10-02", "county official"),))
    (place,) = findings(runs.study(ruled, BOTH), "place")
    assert "Ruled: whole-house rate: by the table (county official, 2026-10-02)." in place.message


def test_without_bedrooms_no_rule_can_be_put_into_numbers():
    found = runs.study(tern(bedrooms=None), ("ventilation_rate",))
    (told,) = found.findings
    assert (told.code, told.severity) == ("no_bedrooms", "unknown")
    assert rows(found, "ventilation_rate", "rules") == ()


def test_each_condition_of_the_reduction_is_told_by_itself():
    assert [row["verdict"] for row in condition_rows(tern())] == ["met", "met", "met"]
    whole = tern()
    lone = replace(whole.ventilator, supplies=(("main bedroom", 0.6), ("great room", 0.4)))
    told = condition_rows(replace(whole, ventilator=lone))
    assert [row["verdict"] for row in told] == ["met", "not met", "met"]
    assert told[1]["because"] == "without a supply: bedroom 2, bedroom 3"
    assert [row["verdict"] for row in condition_rows(replace(whole, ventilator=None))] == [
        "cannot tell",
        "not met",
        "not met",
    ]
    uneven = replace(
        whole.ventilator, speeds=tuple(replace(s, supply=0.85 * s.exhaust) for s in whole.ventilator.speeds)
    )
    assert condition_rows(replace(whole, ventilator=uneven))[0]["verdict"] == "not met"
    assert [row["verdict"] for row in condition_rows(house(ONE_ROOM))][1:] == ["cannot tell", "cannot tell"]


def test_pick_ups_share_the_units_flow():
    wet = {one.room.name: one for one in wet_rooms(tern())}
    assert set(wet) == {"great room", "main bath", "hall bath", "laundry"}
    assert wet["main bath"].boost / CFM == pytest.approx(0.45 * 160)
    assert wet["hall bath"].all_day / CFM == pytest.approx(0.30 * 70)
    assert wet["great room"].kind == "kitchen"
    assert wet["great room"].own / CFM == pytest.approx(900)
    assert wet["main bath"].by == ("ERV",)


# rates.md 6 (published): IRC bath 50 cfm on demand or 20 all day, kitchen 100 or 25
@pytest.mark.parametrize(
    ("low", "boost", "verdict"),
    [
        (70, 160, "met all day"),
        (30, 160, "met on boost"),
        (30, 60, "met all day only if the boost runs all day"),
        (10, 20, "not met"),
    ],
)
def test_a_bath_without_a_fan_by_what_the_unit_takes(low, boost, verdict):
    whole = tern()
    set_to = [replace(s, exhaust=f * CFM) for s, f in zip(whole.ventilator.speeds, (low, boost), strict=True)]
    found = runs.study(tern(ventilator=replace(whole.ventilator, speeds=tuple(set_to))), ("local_exhaust",))
    bath = next(row for row in rows(found, "local_exhaust", "rooms") if row["room"] == "main bath")
    assert bath["verdict"] == verdict


def test_a_room_that_no_rule_speaks_of_is_silent_and_one_without_anything_is_told():
    found = runs.study(tern(), ("local_exhaust",))
    told = {row["room"]: row for row in rows(found, "local_exhaust", "rooms")}
    assert (told["laundry"]["verdict"], told["laundry"]["rule"]) == ("silent", "the code is silent")
    bare = runs.study(replace(at("Buffalo, New York"), ventilator=None, states=()), ("local_exhaust",))
    bath = next(row for row in rows(bare, "local_exhaust", "rooms") if row["room"] == "main bath")
    assert bath["verdict"] == "nothing takes air from it"
    (fail,) = [f for f in findings(bare, "local_exhaust") if f.where == "main bath"]
    assert (fail.severity, fail.basis) == ("fail", "law")
