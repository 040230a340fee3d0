"""Limits: the user's win; defaults are listed as assumed, with what is recalled said to be unconfirmed."""

from dataclasses import replace

import pytest

from airledger.house.house import Appliance, Exhaust, Limit, Limits
from airledger.search.limits import (
    AS_WANTED,
    CANNOT_TELL,
    DOOR_PRACTICE,
    PAST,
    SEALED_HOUSE,
    TOLERATED,
    VENTED_APPLIANCE,
    WOOD_APPLIANCE,
    YOURS,
    ApplianceLimit,
    appliance_limit,
    both_ends,
    force_verdict,
    limits,
    open_fireplaces,
    pressure_verdict,
)
from airledger.sources import Assumption
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


def test_each_assumed_limit_tells_value_unit_reason_and_source():
    burner = Appliance("water heater", burns="gas", vents="natural draft", room="living")
    stove = Appliance("stove", burns="wood", room="living")
    bare = replace(house(TWO_ROOMS), limits=Limits(), appliances=(burner, stove))
    have = "have tighter limits of their own, on the change that the fans make"
    why = f"for the house as a whole; water heater and stove {have}"
    pull = "what a child or a frail person can still pull open; a code binds public doors only"
    assert limits(bare).assumed == (
        Assumption("appliances / water heater / largest depressurization", -2.0, "Pa",
                   "a natural-draft water heater alone on its vent", VENTED_APPLIANCE),
        Assumption("appliances / stove / largest depressurization", -5.0, "Pa",
                   "a wood appliance on a chimney", WOOD_APPLIANCE),
        Assumption("limits / house pressure / wanted", -10.0, "Pa", why, SEALED_HOUSE),
        Assumption("limits / house pressure / tolerated", -20.0, "Pa", why, SEALED_HOUSE),
        Assumption("limits / door pull", 5 * POUND_FORCE, "N", pull, DOOR_PRACTICE),
    )  # fmt: skip
    assert limits(bare).door_pull == Limit(5 * POUND_FORCE, 5 * POUND_FORCE)
    alone = limits(replace(bare, appliances=(burner,))).assumed[1].why
    assert "; water heater has a tighter limit of its own, " in alone
    assert limits(replace(bare, appliances=())).assumed[0].why == "nothing burns with a vent inside"
    assert limits(bare).door_source is DOOR_PRACTICE


def test_an_open_fireplace_has_a_limit_unless_its_room_lists_the_wood_stove_that_it_is():
    fire = Exhaust("hearth", "open fireplace", "living", (("lit", 0.14),))
    bare = replace(house(TWO_ROOMS), exhausts=(fire, replace(fire, name="fan", kind="exhaust")), appliances=())
    there = ApplianceLimit("hearth", "living", -5.0, "an open fireplace on its chimney", WOOD_APPLIANCE)
    assert open_fireplaces(bare) == (there,)
    stove = Appliance("stove", burns="wood", room="living")
    assert open_fireplaces(replace(bare, appliances=(stove,))) == ()
    gas = replace(stove, burns="gas")
    assert open_fireplaces(replace(bare, appliances=(gas,))) == (there,)


@pytest.mark.parametrize(
    ("appliance", "why"),
    [
        (Appliance("furnace", burns="gas", vents="power vent"), "an appliance blown out by a fan at its outlet"),
        (Appliance("furnace", burns="gas", vents="fan-assisted"), "a fan-assisted appliance"),
        (
            Appliance("furnace", burns="gas", vents="fan-assisted", shared_with=("water heater",)),
            "a fan-assisted appliance that shares a vent with a water heater",
        ),
        (
            Appliance("furnace", burns="gas", vents="natural draft", shared_with=("water heater",)),
            "a natural-draft appliance that shares a vent with a water heater",
        ),
        (Appliance("furnace", burns="gas", vents="natural draft"), "a natural-draft appliance alone on its vent"),
    ],
)
def test_each_limit_says_what_it_is_the_limit_of(appliance, why):
    found = appliance_limit(appliance, replace(house(TWO_ROOMS), appliances=(appliance,)))
    assert (found.why, found.name) == (why, "furnace")
