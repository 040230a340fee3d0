"""Limits: the user's win; defaults are listed as assumed, with what is recalled said to be unconfirmed."""

from dataclasses import replace

import pytest

from airledger.house.house import Appliance, Limit, Limits
from airledger.search.limits import (
    AS_WANTED,
    CANNOT_TELL,
    PAST,
    TOLERATED,
    YOURS,
    appliance_limit,
    both_ends,
    force_verdict,
    limits,
    pressure_verdict,
)
from airledger.units import POUND_FORCE
from tests.unit.search.houses import GAS, ONE_ROOM, TWO_ROOMS, house


def test_the_users_limits_win_and_are_not_assumed():
    judged = limits(house(ONE_ROOM))
    assert (judged.house_pressure, judged.house_source, judged.house_basis) == (Limit(-5.0, -10.0), YOURS, "user")
    assert judged.door_basis == "practice"
    assert [assumption.path for assumption in judged.assumed] == ["limits / door pull"]


def test_what_the_file_leaves_out_is_listed_as_assumed():
    judged = limits(replace(house(TWO_ROOMS), limits=Limits()))
    assert judged.house_pressure == Limit(-10.0, -20.0)  # CSA F326, from memory: unconfirmed
    assert not judged.house_source.confirmed
    assert judged.door_pull.tolerated == pytest.approx(5 * POUND_FORCE)  # common practice in a house, no source
    assert [a.path for a in judged.assumed] == [
        "limits / house pressure / wanted",
        "limits / house pressure / tolerated",
        "limits / door pull",
    ]


# make-up-air.md 5: BPI technical standard, depressurization by appliance; every value from memory, unconfirmed
@pytest.mark.parametrize(
    ("kind", "vents", "shared", "pascals"),
    [
        ("water heater", "natural draft", (), -2.0),
        ("furnace", "natural draft", ("water heater",), -3.0),
        ("water heater", "natural draft", ("furnace",), -3.0),
        ("furnace", "natural draft", (), -5.0),
        ("furnace", "fan-assisted", ("water heater",), -5.0),
        ("furnace", "fan-assisted", (), -15.0),
        ("water heater", "power vent", (), -50.0),
    ],
)
def test_each_vent_has_the_limit_of_the_table(kind, vents, shared, pascals):
    burner = Appliance(kind, burns="gas", vents=vents, room="living", shared_with=shared)
    found = appliance_limit(burner, replace(house(TWO_ROOMS), appliances=(burner,)))
    assert found is not None
    assert (found.pressure, found.source.confirmed) == (pascals, False)


def test_a_shared_vent_counts_from_the_other_side_too():
    heater = Appliance("water heater", burns="gas", vents="natural draft", room="living")
    furnace = Appliance("furnace", burns="gas", vents="natural draft", room="living", shared_with=("water heater",))
    shared = replace(house(TWO_ROOMS), appliances=(heater, furnace))
    assert [appliance_limit(a, shared).pressure for a in shared.appliances] == [-3.0, -3.0]


@pytest.mark.parametrize("vents", ["direct vent", "sealed", "none"])
def test_what_takes_no_air_from_the_house_has_no_limit(vents):
    burner = Appliance("water heater", burns="gas", vents=vents, room="living")
    assert appliance_limit(burner, house(TWO_ROOMS)) is None


def test_a_wood_stove_has_the_limit_of_practice():
    stove = Appliance("stove", burns="wood", vents="natural draft", room="living")
    found = appliance_limit(stove, house(TWO_ROOMS))
    assert (found.pressure, found.source.tag) == (-5.0, "practice")


def test_a_vented_appliance_is_watched_beside_the_house():
    judged = limits(house(GAS))
    assert [(a.name, a.room, a.pressure) for a in judged.appliances] == [("water heater", "basement", -2.0)]
    assert judged.house_pressure == Limit(-10.0, -20.0)


@pytest.mark.parametrize(
    ("pressure", "word"), [(-5.0, AS_WANTED), (3.0, AS_WANTED), (-7.0, TOLERATED), (-10.0, TOLERATED), (-10.5, PAST)]
)
def test_a_pressure_in_one_word(pressure, word):
    assert pressure_verdict(pressure, Limit(-5.0, -10.0)) == word


@pytest.mark.parametrize(
    ("force", "word"),
    [(20.0, AS_WANTED), (-22.0, AS_WANTED), (-25.0, TOLERATED), (30.0, TOLERATED), (31.0, PAST), (-31.0, PAST)],
)
def test_a_force_in_one_word_whichever_way_it_points(force, word):
    assert force_verdict(force, Limit(22.0, 30.0)) == word


def test_ends_that_disagree_depend_on_the_tightness():
    assert both_ends((AS_WANTED, PAST)) == CANNOT_TELL
    assert both_ends((PAST, PAST)) == PAST
    assert both_ends((AS_WANTED, TOLERATED)) == TOLERATED
    assert both_ends((AS_WANTED, AS_WANTED)) == AS_WANTED
