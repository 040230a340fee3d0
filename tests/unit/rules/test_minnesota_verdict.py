"""What Minnesota's tables say of a whole house: Minnesota Rules 1346.0501, 501.4.1 to 501.4.3 [published].

Expected flows are by hand from table 501.4.1: 135 + 0.8 of the largest exhaust (and the next, but in column A) less the
column's factor by 2,000 ft2: 0.15, 0.09, 0.06, 0.03 cfm/ft2.
"""

from dataclasses import replace

import pytest

from airledger.house.house import Appliance, Duct, Envelope, Exhaust, House, MakeUpAir, MakeUpFan, Room, Site
from airledger.quantities import in_units
from airledger.rules.make_up_trigger import make_up_trigger, overall, taken_as_new
from airledger.uncertain import Uncertain
from airledger.units import CFM, FOOT, INCH

HEATER = Appliance("water heater", burns="gas", vents="natural draft", room="house")
FURNACE = Appliance("furnace", burns="gas", vents="fan-assisted", room="house")
STOVE = Appliance("stove", burns="wood", vents="natural draft", room="house")
UNSEEN = replace(HEATER, name="boiler", vents="")


def machine(name, kind, flow):
    return Exhaust(name, kind, "house", speeds=(("on", flow * CFM),))


HOOD, BATH, DRYER = machine("hood", "hood", 900), machine("bath fan", "bath fan", 80), machine("dryer", "dryer", 150)


def a_house(*appliances, exhausts=(HOOD, BATH, DRYER), built=None, area=2000, **more):
    rooms = (Room("house", area=area * FOOT**2), Room("garage", kind="garage", area=400 * FOOT**2))
    return House(
        "test house", Site(place="Duluth, Minnesota", built=built), Envelope(Uncertain.exactly(1.0)), rooms,
        appliances=appliances, exhausts=exhausts, **more,
    )  # fmt: skip


def law(house):
    (found,) = [v for v in make_up_trigger(house) if v.key == "minnesota quantity"]
    return found


@pytest.mark.parametrize(
    ("appliances", "cfm", "column", "duct"),
    [
        ((), 135 + 720 - 300, "A (sealed vents, or none)", "11 in round and smooth, or 12 in flexible"),
        ((replace(HEATER, vents="power vent"),), 555, "A (sealed vents, or none)", "motorized damper"),
        ((FURNACE,), 135 + 720 + 64 - 180, "B (furnace)", "by a fan, on with the largest exhaust"),
        ((HEATER,), 135 + 720 + 64 - 120, "C (water heater)", "by a fan"),
        ((STOVE,), 135 + 720 + 64 - 120, "C (stove)", "by a fan"),
        ((HEATER, STOVE), 135 + 720 + 64 - 60, "D (water heater, stove)", "by a fan"),
        ((HEATER, replace(HEATER, name="boiler")), 135 + 720 + 64 - 60, "D (water heater, boiler)", "by a fan"),
        ((replace(HEATER, room="garage"),), 555, "A (sealed vents, or none)", "11 in"),
    ],
)  # fmt: skip
def test_a_new_house_is_reckoned(appliances, cfm, column, duct):
    found = law(a_house(*appliances))
    assert found.verdict == "yes"
    assert found.required == pytest.approx(cfm * CFM, rel=1e-9)
    assert f"column {column}" in found.formula
    assert f"{cfm} cfm = 135 cfm for a dryer + 0.8 x (900 cfm" in in_units(found.formula, "ip")
    assert duct in in_units(found.text, "ip")
    assert found.confirmed


def test_a_small_exhaust_in_a_big_house_is_covered_by_what_leaks_in():
    small = machine("hood", "hood", 300)
    found = law(a_house(exhausts=(small, BATH, DRYER), area=4068))  # 375 - 610 < 0, as a city's permit record has it
    assert (found.verdict, found.required) == ("no", 0.0)
    assert "below 0 = 135 cfm for a dryer + 0.8 x (300 cfm) − 610 cfm leaking in" in in_units(found.formula, "ip")


def test_a_small_opening_is_passive_and_its_run_is_told():
    found = law(a_house(HEATER, exhausts=(machine("hood", "hood", 60), DRYER)))  # 135 + 48 - 120 = 63 cfm, column C
    text = in_units(found.text, "ip")
    assert "6 in round and smooth, or 7 in flexible, 60 ft long less 10 ft an elbow, passive" in text
    assert "63 cfm" in text


def test_an_open_fireplace_is_solid_fuel_and_no_exhaust():
    fire = Exhaust("fireplace", "open fireplace", "house", speeds=(("lit", 400 * CFM),))
    found = law(a_house(exhausts=(HOOD, BATH, fire)))
    assert "column C (fireplace)" in found.formula
    assert found.required == pytest.approx((135 + 720 + 64 - 120) * CFM, rel=1e-9)


def test_a_second_dryer_counts_as_an_exhaust():
    found = law(a_house(HEATER, exhausts=(HOOD, DRYER, replace(DRYER, name="second dryer"))))
    assert found.required == pytest.approx((135 + 720 + 120 - 120) * CFM, rel=1e-9)
    smaller = law(a_house(HEATER, exhausts=(HOOD, machine("second dryer", "dryer", 100), DRYER)))
    assert smaller.required == pytest.approx((135 + 720 + 80 - 120) * CFM, rel=1e-9)  # the larger is the 135 cfm


@pytest.mark.parametrize(
    ("flow", "starts", "left_out"),
    [(900, "any speed", True), (830, "any speed", True), (600, "any speed", False), (900, "high", False)],
)
def test_a_hood_with_a_matched_make_up_fan_drops_out(flow, starts, left_out):
    fan = MakeUpFan((("on", flow * CFM),))
    way = MakeUpAir("inlet", "house", Duct(INCH * 10), (), starts_with=(("hood", starts),), fan=fan)
    found = law(a_house(make_up_air=(way,)))
    # without the hood: 135 + 0.8 x 80 - 300 < 0
    assert found.verdict == ("no" if left_out else "yes")
    assert ("hood left out, its make-up fan comes on with it" in found.formula) == left_out


def test_make_up_air_still_open_drops_nothing_out():
    assert law(a_house(make_up_air=None)).required == pytest.approx(555 * CFM, rel=1e-9)


@pytest.mark.parametrize(
    ("hood", "verdict", "told"),
    [
        (900, "yes", "555 cfm or 799 cfm, by how boiler is vented"),  # A: 555; C: 135 + 720 + 64 - 120
        (150, "ask the official", "none or 199 cfm, by how boiler is vented"),  # A: 135 + 120 - 300; C: + 64 - 120
        (0, "ask the official", "none or 79 cfm"),  # C: 135 + 64 - 120
    ],
)
def test_a_vent_that_nobody_told_leaves_two_answers(hood, verdict, told):
    exhausts = (machine("hood", "hood", hood), BATH) if hood else (BATH,)
    found = law(a_house(UNSEEN, exhausts=exhausts))
    assert found.verdict == verdict
    assert told in in_units(found.text, "ip")
    assert "column C (boiler)" in found.formula


@pytest.mark.parametrize(
    ("built", "verdict", "told"),
    [
        (None, "yes", "(a new house)"),
        (2026, "yes", "built 2026, once an exhaust system or a vented appliance is put in or replaced"),
        (2001, "yes", "if it was built by the energy code of chapter 7672"),
        (1996, "ask the official", "table 501.4.3(1) holds once an exhaust system over 300 cfm is put in"),
        (1964, "ask the official", "table 501.4.3(2) holds once an exhaust system over 300 cfm is put in"),
    ],
)
def test_an_older_house_is_by_another_table(built, verdict, told):
    found = law(a_house(HEATER, built=built))
    assert found.verdict == verdict
    assert told in found.text
    assert (found.required is None) == (verdict != "yes")


def test_an_older_house_is_asked_nothing_for_small_exhausts():
    small = (machine("hood", "hood", 300), BATH, DRYER)  # exactly 300 cfm is not over 300 cfm
    assert law(a_house(HEATER, exhausts=small, built=1964)).verdict == "no"
    assert law(a_house(STOVE, exhausts=small, built=1964)).verdict == "ask the official"
    fire = Exhaust("fireplace", "open fireplace", "house", speeds=(("lit", 200 * CFM),))
    assert law(a_house(exhausts=(*small, fire), built=1964)).formula == "fireplace"
    assert law(a_house(HEATER, exhausts=(machine("hood", "hood", 301),), built=1964)).verdict == "ask the official"


def test_a_house_without_a_floor_area_is_for_the_official():
    assert law(a_house(area=0)).verdict == "ask the official"


def test_no_machine_is_left_in_silence():
    assert "silent" not in {v.verdict for v in make_up_trigger(a_house(HEATER))}
    assert overall(make_up_trigger(a_house(exhausts=(BATH,), area=4000))) == "no"


def test_the_year_is_asked_for_where_the_law_turns_on_it():
    here, elsewhere = a_house(), replace(a_house(), site=Site(place="Buffalo, New York"))
    assert taken_as_new(here)
    assert not taken_as_new(elsewhere)
    assert not taken_as_new(a_house(built=1964))
