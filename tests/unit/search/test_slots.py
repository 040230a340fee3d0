"""The candidates of make-up air: of what a usual run is made, which machine and which window they belong to."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.air_movers import Damper, Exhaust, MakeUpAir, MakeUpFan
from airledger.house.house import Duct, FilterDrop, Opening, RunItem
from airledger.quantities import in_units
from airledger.search.slots import (
    NO_FILTER,
    OPENING,
    POWERED,
    SECOND,
    USUAL_FILTER,
    USUAL_MISMATCH,
    USUAL_RUN,
    grille_area,
    slots,
)
from airledger.sources import Assumption, Source
from airledger.units import CFM, FOOT, INCH, INCH_OF_WATER
from tests.unit.search.houses import BARE, GAS, TWO_ROOMS, house


def machine(name, kind, cfm, vented="", room="room"):
    return Exhaust(name, kind, room, (("on", cfm * CFM),), vented=vented)


def with_machines(*machines):
    return slots(replace(house(BARE), exhausts=machines))


CAP = RunItem("wall cap", loss=1.0)
DUCT, ELBOW = RunItem("straight", length=15 * FOOT), RunItem("loss", loss=0.25)
GRILLE = RunItem("loss", loss=pytest.approx((1 / (0.6 * 0.65 * 3)) ** 2))
"""65 % free area of three duct areas, discharge coefficient 0.6 of a sharp edge [practice]: K = (A/(Cd A free))2."""
BOX = RunItem("filter", filter=FilterDrop("merv 8", (NO_FILTER, 1000 * CFM), (0.25 * INCH_OF_WATER, 1000 * CFM)))
SHUT = Damper(kind="motorized", leaks_shut=(5 * CFM, 25.0))


def test_a_usual_run_is_a_cap_a_filter_box_a_duct_an_elbow_and_a_grille():
    place = slots(house(TWO_ROOMS))
    made = {one.name: one for one in place.house.make_up_air}
    assert list(made) == [OPENING, SECOND, POWERED]
    for name in (OPENING, SECOND):
        run = (CAP, BOX, DUCT, ELBOW, GRILLE)
        assert made[name] == MakeUpAir(name, "living", Duct(diameter=10 * INCH), run, SHUT, fan=None)
    fan = MakeUpFan(speeds=(("on", pytest.approx(625 * CFM)),), mismatch=0.10)
    assert made[POWERED] == MakeUpAir(
        POWERED, "living", Duct(diameter=10 * INCH), (CAP, DUCT, ELBOW, GRILLE), SHUT, fan=fan
    )
    assert place.powered_flow == pytest.approx(625 * CFM)
    assert place.house.envelope.taped[-3:] == (OPENING, SECOND, POWERED)


def test_what_the_file_draws_stands_before_the_candidates():
    place = slots(house(GAS))
    assert [one.name for one in place.house.make_up_air] == ["north opening", OPENING, SECOND, POWERED]
    assert place.drawn == ("north opening",)


def test_the_usual_run_is_told_as_assumed():
    run, box, fan = slots(house(BARE)).assumed
    assert (replace(run, value=in_units(run.value, "ip")), replace(box, why=in_units(box.why, "ip")), fan) == (
        Assumption(
            "make-up air / candidates / run",
            "cap, 15 ft of duct, one elbow, grille",
            "",
            "not drawn yet",
            USUAL_RUN,
        ),
        Assumption(
            "make-up air / candidates / filter",
            pytest.approx(62.2, abs=0.1),  # 0.25 inches of water
            "Pa",
            "dirty, at 1,000 cfm",
            USUAL_FILTER,
        ),
        Assumption("make-up air / candidates / fan / mismatch", 0.10, "-", "either way", USUAL_MISMATCH),
    )
    assert [one.source for one in slots(house(BARE)).assumed] == [
        Source(
            "a usual run: cap without flap, a short smooth duct, one elbow, a grille of three duct areas", "practice"
        ),
        Source("a large filter box of MERV 8 media", "practice"),
        Source("make-up fan against the hood, as set", "practice"),
    ]


def test_no_arrangement_of_a_house_file_is_ever_taken_for_a_candidate():
    """A name in a house file has no slash."""
    assert (OPENING, SECOND, POWERED) == ("candidate/opening", "candidate/second opening", "candidate/fan")


@pytest.mark.parametrize(
    ("machines", "chosen", "starting"),
    [
        ([], None, []),
        ([("hood", "hood", 300), ("vacuum", "vacuum", 900)], "hood", ["hood", "vacuum"]),  # a hood before all else
        ([("small", "hood", 300), ("big", "hood", 900), ("mid", "hood", 600)], "big", ["small", "big", "mid"]),
        ([("dryer", "dryer", 125), ("shop fan", "exhaust", 400)], "shop fan", ["dryer", "shop fan"]),
        ([("fire", "open fireplace", 300), ("bath", "bath fan", 60)], "fire", ["fire"]),
        ([("bath", "bath fan", 90), ("dryer", "dryer", 5)], "dryer", ["dryer"]),  # what starts make-up air, then size
        ([("bath", "bath fan", 50), ("guest bath", "bath fan", 30)], "bath", []),
        ([("bath", "bath fan", 50), ("guest bath", "bath fan", 50)], "bath", ["bath", "guest bath"]),  # like a dryer
        ([("bath", "bath fan", 50), ("guest bath", "bath fan", 49)], "bath", []),
    ],
)
def test_the_machine_that_make_up_air_is_for_and_those_that_start_it(machines, chosen, starting):
    place = with_machines(*(machine(*one) for one in machines))
    assert (place.machine.name if place.machine else None) == chosen
    assert [one.name for one in place.starting] == starting


def test_a_dryer_that_blows_nothing_out_and_a_machine_without_flow_count_for_nothing():
    pump = machine("dryer", "dryer", 125, vented="heat pump")
    place = with_machines(pump, machine("hood", "hood", 0))
    assert (place.machine, place.starting, place.dryers) == (None, (), ())
    assert with_machines(machine("dryer", "dryer", 125)).dryers == ("dryer",)
    fan = {one.name: one.fan for one in place.house.make_up_air}[POWERED]
    assert fan.speeds == (("on", CFM),)  # a fan of next to nothing, never built


def test_air_comes_into_the_room_of_the_machine_else_into_the_largest():
    plain = house(TWO_ROOMS)
    bedroom = replace(plain, exhausts=(machine("hood", "hood", 300, room="bedroom"),))
    assert {one.into for one in slots(bedroom).house.make_up_air} == {"bedroom"}
    assert {one.into for one in slots(replace(plain, exhausts=())).house.make_up_air} == {"living"}
    turned = replace(plain, exhausts=(), rooms=plain.rooms[::-1])
    assert {one.into for one in slots(turned).house.make_up_air} == {"living"}


def test_the_window_is_one_of_the_machines_room_before_another():
    plain = house(TWO_ROOMS)
    made = {
        name: Opening(name, kind, between, 1.0, 1.0)
        for name, kind, between in (
            ("bedroom window", "window", ("bedroom", "outdoors")),
            ("kitchen window", "window", ("outdoors", "living")),
            ("hatch", "window", ("bedroom", "living")),
            ("porch door", "door", ("living", "outdoors")),
        )
    }

    def chosen(*names):
        window = slots(replace(plain, openings=tuple(made[name] for name in names))).window
        return window and window.name

    assert chosen("bedroom window", "kitchen window") == "kitchen window"
    assert chosen("kitchen window", "bedroom window") == "kitchen window"
    assert chosen("hatch", "bedroom window", "porch door") == "bedroom window"
    assert chosen("hatch", "porch door") is None


def test_a_grille_has_three_duct_areas():
    """10 in round: 78.5 in2, three times that 235.6 in2."""
    assert grille_area(10 * INCH) == pytest.approx(3 * np.pi * 25 * INCH**2)
    assert grille_area(0.2) == pytest.approx(0.0942, abs=1e-4)
