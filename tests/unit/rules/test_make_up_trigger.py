"""When a code asks for make-up air. Expected verdicts and flows: the texts named beside each check, with their tags.

[restated] = published, read in a text that quotes the code; [published]; [memory] = recalled, shown as unconfirmed.
"""

from dataclasses import replace

import pytest

from airledger.house.house import Appliance, Envelope, Exhaust, House, Room, Ruling, Site, Ventilator, VentilatorSpeed
from airledger.quantities import in_units
from airledger.rules import make_up_trigger as module
from airledger.rules.appliances_inside import most_it_can_move
from airledger.rules.make_up_trigger import BESIDE, VERDICTS, make_up_trigger, named_rule, opening_conditions, overall
from airledger.uncertain import Uncertain
from airledger.units import CFM, FOOT

WATER_HEATER = Appliance("water heater", burns="gas", vents="natural draft", room="house")
COOKTOP = Appliance("cooktop", burns="gas", vents="none", room="house")


def a_house(place="Buffalo, New York", hood=900.0, appliances=(), **more):
    exhausts = (Exhaust("range hood", "hood", "house", speeds=(("low", 200 * CFM), ("high", hood * CFM))),)
    rooms = (Room("house", area=2000 * FOOT**2), Room("garage", kind="garage", area=400 * FOOT**2))
    return House(
        "test house", Site(place=place), Envelope(Uncertain.exactly(1.0)), rooms, appliances=appliances,
        **{"exhausts": exhausts, **more},
    )  # fmt: skip


def verdict(house, key, machine="range hood"):
    return next(v for v in make_up_trigger(house) if v.key == key and v.machine in (machine, ""))


def by_text(key, house):
    return named_rule(key, house)[0].verdict


class TestTheTrapOf2015:
    """Same all-electric house, same 900 cfm hood: the edition alone turns the verdict."""

    def test_irc_2009_and_2012_ask_in_any_house(self):  # Chicago 18-28-505.4 [published]; its IRC edition [memory]
        assert by_text("hood in any house", a_house()) == "yes"

    def test_irc_2015_and_later_ask_nothing_of_an_all_electric_house(self):  # M1503.6 [restated]
        assert by_text("exhaust with a fuel appliance inside", a_house()) == "no"

    def test_the_mechanical_code_never_took_the_appliance_condition(self):  # IMC 505.4 [restated]
        assert by_text("mechanical code hood", a_house()) == "yes"

    def test_the_recalled_edition_shows_as_unconfirmed(self):
        assert not named_rule("hood in any house", a_house())[0].confirmed
        assert named_rule("mechanical code hood", a_house())[0].confirmed


class TestResidentialCodeFrom2015:  # M1503.6 [restated]
    KEY = "exhaust with a fuel appliance inside"

    @pytest.mark.parametrize("vents", ["direct vent", "sealed", "power vent"])
    def test_a_sealed_or_fan_driven_vent_does_not_count(self, vents):
        house = a_house(appliances=(replace(WATER_HEATER, vents=vents),))
        assert verdict(house, self.KEY).verdict == "no"

    def test_a_natural_draft_vent_counts_and_asks_for_about_the_same_flow(self):
        found = verdict(a_house(appliances=(WATER_HEATER,)), self.KEY)
        assert found.verdict == "yes"
        assert found.required == pytest.approx(900 * CFM, rel=1e-12)
        assert "900 cfm > 400 cfm" in in_units(found.formula, "ip")
        assert "water heater" in in_units(found.formula, "ip")

    def test_what_stands_in_the_garage_is_not_inside(self):
        house = a_house(appliances=(replace(WATER_HEATER, room="garage"),))
        assert verdict(house, self.KEY).verdict == "no"

    def test_a_wood_stove_and_an_open_fireplace_are_solid_fuel_inside(self):
        stove = Appliance("stove", burns="wood", vents="natural draft", room="house")
        assert verdict(a_house(appliances=(stove,)), self.KEY).verdict == "yes"
        fire = Exhaust("fireplace", "open fireplace", "house", speeds=(("lit", 300 * CFM),))
        house = a_house()
        assert verdict(replace(house, exhausts=(*house.exhausts, fire)), self.KEY).verdict == "yes"

    @pytest.mark.parametrize(
        "appliance", [COOKTOP, replace(WATER_HEATER, vents=""), replace(WATER_HEATER, vents="fan-assisted")]
    )
    def test_where_officials_differ_the_tool_says_ask(self, appliance):
        found = verdict(a_house(appliances=(appliance,)), self.KEY)
        assert found.verdict == "ask the official"
        assert appliance.name in found.text

    def test_exactly_400_cfm_is_not_over_400_cfm(self):
        assert verdict(a_house(hood=400.0, appliances=(WATER_HEATER,)), self.KEY).verdict == "no"
        assert verdict(a_house(hood=400.1, appliances=(WATER_HEATER,)), self.KEY).verdict == "yes"

    def test_a_big_vacuum_is_an_exhaust_system_too(self):
        vacuum = Exhaust("vacuum", "vacuum", "house", speeds=(("on", 450 * CFM),))
        house = a_house(appliances=(WATER_HEATER,), exhausts=(vacuum,))
        assert verdict(house, self.KEY, "vacuum").verdict == "yes"


def test_the_rated_maximum_counts_not_the_usual_speed():  # common practice, no source
    assert most_it_can_move(a_house().exhausts[0]) == pytest.approx(900 * CFM)
    open_choice = Exhaust("hood", "hood", "house", not_picked=1200 * CFM)
    assert most_it_can_move(open_choice) == pytest.approx(1200 * CFM)
    assert most_it_can_move(Exhaust("dryer", "dryer", "house", speeds=(("on", 150 * CFM),), vented="heat pump")) == 0.0


class TestDryer:  # IMC 504.6, IRC G2439.4-5 [restated]
    @pytest.mark.parametrize(("flow", "said"), [(125.0, "no"), (200.0, "no"), (201.0, "yes")])
    def test_over_200_cfm_asks_for_make_up_air(self, flow, said):
        dryer = Exhaust("dryer", "dryer", "house", speeds=(("on", flow * CFM),))
        assert verdict(a_house(exhausts=(dryer,)), "dryer", "dryer").verdict == said

    def test_one_in_a_closet_is_asked_for_100_square_inches(self):  # 0.0645 m2
        dryer = Exhaust("dryer", "dryer", "house", speeds=(("on", 201 * CFM),))
        asks = verdict(a_house(exhausts=(dryer,)), "dryer", "dryer").asks
        assert "in a closet an opening of at least 100 in2" in in_units(asks, "ip")
        assert "645 cm2" in in_units(asks, "si")

    def test_two_dryers_are_two_machines(self):
        dryers = tuple(Exhaust(f"dryer {n}", "dryer", "house", speeds=(("on", 150 * CFM),)) for n in (1, 2))
        found = [v for v in make_up_trigger(a_house(exhausts=dryers)) if v.key == "dryer"]
        assert [(v.machine, v.verdict) for v in found] == [("dryer 1", "no"), ("dryer 2", "no")]


class TestNorthTexas:
    """Paris, Texas, adopting ordinance [published]: hood - 400, or hood - 600 where all is sealed or electric."""

    @pytest.mark.parametrize(
        ("hood", "appliances", "required"),
        [
            (900, (), 300), (600, (), 0), (601, (), 1), (900, (WATER_HEATER,), 500), (400, (WATER_HEATER,), 0),
            (900, (COOKTOP,), 300), (900, (replace(WATER_HEATER, vents="power vent"),), 300),
        ],
    )  # fmt: skip
    def test_only_what_is_over_the_free_flow(self, hood, appliances, required):
        found = verdict(a_house("Paris, Texas", hood, appliances), "north texas hood")
        assert found.verdict == ("yes" if required else "no")
        assert found.required == pytest.approx(required * CFM, abs=1e-9)
        assert found.confirmed

    # one furnace whose vent nobody looked at: the text turns on it, so the tool asks; past 600 cfm something is due
    @pytest.mark.parametrize(
        ("hood", "said", "words"),
        [
            (400, "no", "nothing up to"),
            (500, "ask the official", "none or 100 cfm"),
            (900, "yes", "300 cfm or 500 cfm"),
        ],
    )
    @pytest.mark.parametrize("vents", ["", "fan-assisted"])
    def test_a_vent_that_nobody_knows_leaves_it_open(self, hood, said, words, vents):
        furnace = replace(WATER_HEATER, name="furnace", vents=vents)
        found = verdict(a_house("Paris, Texas", hood, (furnace,)), "north texas hood")
        assert found.verdict == said
        assert words in in_units(found.text, "ip")
        assert "furnace" in found.text


class TestFlorida:  # base text [restated]; amendment of 400-800 cfm [memory]
    def test_the_amendment_is_shown_as_unconfirmed_beside_the_base_text(self):
        found = {v.key: v for v in make_up_trigger(a_house("Homestead, Florida", 700)) if v.machine == "range hood"}
        assert found["exhaust with a fuel appliance inside"].confirmed
        assert not found["florida amendment"].confirmed
        assert {v.verdict for v in found.values()} == {"no"}

    def test_past_800_cfm_nothing_was_seen_so_ask(self):
        assert verdict(a_house("Homestead, Florida", 900), "florida amendment").verdict == "ask the official"
        assert verdict(a_house("Homestead, Florida", 800), "florida amendment").verdict == "no"

    def test_a_gravity_vent_in_the_living_space_ends_the_freedom(self):
        assert verdict(a_house("Homestead, Florida", 500, (WATER_HEATER,)), "florida amendment").verdict == "yes"
        unseen = replace(WATER_HEATER, vents="")
        assert verdict(a_house("Homestead, Florida", 500, (unseen,)), "florida amendment").verdict == "ask the official"


def test_chicago_and_montgomery_county_ask_in_any_house():  # [published]
    assert verdict(a_house("Chicago, Illinois", 401), "chicago hood").verdict == "yes"
    assert verdict(a_house("Chicago, Illinois", 400), "chicago hood").verdict == "no"
    assert verdict(a_house("Montgomery County, Maryland", 450), "montgomery hood").verdict == "yes"


def test_ontario_wants_no_ventilator_that_exhausts_more_than_it_takes_in_beside_solid_fuel():  # [published]
    stove = Appliance("stove", burns="wood", vents="natural draft", room="house")

    def unit(supply, exhaust):
        return Ventilator(
            "hrv", (VentilatorSpeed("low", supply * CFM, exhaust * CFM),), (("house", 1.0),), (("house", 1.0),)
        )

    place = "Kingston, Ontario"
    assert verdict(a_house(place, 300, (stove,), ventilator=unit(70, 75)), "ontario solid fuel").verdict == "yes"
    assert verdict(a_house(place, 300, (stove,), ventilator=unit(75, 75)), "ontario solid fuel").verdict == "no"
    assert not [v for v in make_up_trigger(a_house(place, ventilator=unit(70, 75))) if v.key == "ontario solid fuel"]


def test_any_fan_beside_a_vent_that_can_be_reversed_is_for_the_official():  # IFGC 304.4; IRC G2407.4 [memory]
    found = verdict(a_house(hood=150.0, appliances=(WATER_HEATER,)), "appliances disturbed")
    assert found.verdict == "ask the official"
    assert not found.confirmed
    assert "range hood can pull on water heater" in found.text
    sealed = replace(WATER_HEATER, vents="direct vent")
    for quiet in (a_house(appliances=(sealed,)), a_house(appliances=(WATER_HEATER,), exhausts=())):
        assert "appliances disturbed" not in {v.key for v in make_up_trigger(quiet)}


def test_canada_asks_only_where_a_vent_can_be_reversed():  # NBC 9.32.3.8 [published]
    assert verdict(a_house("Halifax, Nova Scotia", 300, (WATER_HEATER,)), "canada test").verdict == "ask the official"
    assert overall(make_up_trigger(a_house("Halifax, Nova Scotia", 300))) in ("silent", "no")


class TestTwoLargestFans:  # ANSI/ASHRAE 62.2 section 6.4 [memory]: 15 cfm per 100 ft2; 2,000 ft2 allow 300 cfm
    @pytest.mark.parametrize(("hood", "said"), [(300, "no"), (301, "ask the official")])
    def test_2000_square_feet_allow_300_cfm(self, hood, said):
        found = verdict(a_house(hood=hood, appliances=(WATER_HEATER,)), "two largest fans")
        assert found.verdict == said
        assert "allowed 300 cfm" in in_units(found.formula, "ip")
        assert not found.confirmed

    def test_direct_vent_is_exempt(self):
        house = a_house(appliances=(replace(WATER_HEATER, vents="direct vent"),))
        assert "two largest fans" not in {v.key for v in make_up_trigger(house)}


def test_a_rule_on_all_fans_that_pull_leaves_no_machine_in_silence():  # NBC 9.32.3.8 [published]
    with_flue = make_up_trigger(a_house("Kingston, Ontario", 300, (WATER_HEATER,)))
    assert "silent" not in {v.verdict for v in with_flue}
    without = make_up_trigger(a_house("Kingston, Ontario", 300))
    assert [(v.machine, v.verdict) for v in without] == [("range hood", "silent")]


def test_any_other_place_is_not_guessed():
    (only,) = (v for v in make_up_trigger(a_house("Houston, Texas")) if v.verdict != BESIDE)
    assert only.verdict == "ask the official"
    assert only.text.startswith("code not looked up, ask the official")
    assert not only.confirmed
    assert only.source.text == "model codes, none of them looked up for this place (recalled, unconfirmed)"


def test_a_machine_that_the_rules_do_not_speak_of_is_silence_not_no():
    vacuum = Exhaust("vacuum", "vacuum", "house", speeds=(("on", 200 * CFM),))
    found = make_up_trigger(a_house("Chicago, Illinois", exhausts=(vacuum,)))
    assert [(v.machine, v.verdict) for v in found] == [("vacuum", "silent")]


class TestRulings:
    def test_a_ruling_on_the_question_decides_and_says_who_and_when(self):
        ruling = Ruling("make-up air for the range hood", "not required", "2026-10-02", "county building official")
        found = verdict(a_house(appliances=(COOKTOP,), rulings=(ruling,)), "exhaust with a fuel appliance inside")
        assert found.verdict == "no"
        assert found.required == 0.0
        assert found.text.startswith("ruled: ")
        assert "2026-10-02" in found.ruling
        assert "county building official" in found.ruling

    def test_a_ruling_on_something_near_is_shown_but_decides_nothing(self):
        ruling = Ruling("make-up share of a passive opening", "enough", "2026-10-02")
        found = verdict(a_house(appliances=(COOKTOP,), rulings=(ruling,)), "exhaust with a fuel appliance inside")
        assert found.verdict == "ask the official"
        assert "enough" in found.text

    def test_a_ruling_on_another_machine_changes_nothing(self):
        ruling = Ruling("dryer", "yes", "2026-10-02")
        assert not verdict(a_house(rulings=(ruling,)), "exhaust with a fuel appliance inside").ruling

    def test_a_ruling_on_the_hoods_make_up_air_is_not_told_beside_the_dryer(self):
        hood = a_house().exhausts[0]
        dryer = Exhaust("dryer", "dryer", "house", speeds=(("on", 150 * CFM),))
        ruling = Ruling("make-up air for the range hood", "not needed", "2026-10-02")
        found = {v.machine: v for v in make_up_trigger(a_house(exhausts=(hood, dryer), rulings=(ruling,))) if v.machine}
        assert found["range hood"].ruling
        assert not found["dryer"].ruling
        assert "ruled" not in found["dryer"].text


def test_overall_is_the_weightiest_verdict():
    found = make_up_trigger(a_house("Homestead, Florida", 900))
    assert overall(found) == "ask the official"
    assert overall(()) == "silent"
    assert all(v.verdict in (*VERDICTS, BESIDE) for v in found)


def test_formulas_print_in_the_system_asked_for():
    found = make_up_trigger(a_house("Chicago, Illinois", 900))[0]
    assert in_units(found.formula, "si") == "425 L/s > 189 L/s"


def test_the_conditions_of_an_opening_carry_their_sections_and_tags():
    sections = {section: source.confirmed for section, _, source in opening_conditions()}
    assert sections["IRC M1503.6.1"] is False
    assert sections["IRC M1503.6, exception"] is True


def besides(house):
    return {v.section: v.confirmed for v in make_up_trigger(house) if v.verdict == BESIDE}


def test_the_conditions_stand_beside_a_verdict_that_asks_or_leaves_it_open():
    """M1503.6.1 and .2 [memory]; the exception for summer cooling [restated], where such a fan may be."""
    opening = {"IRC M1503.6.1": False, "IRC M1503.6.2": False}
    fan = Exhaust("attic fan", "exhaust", "house", speeds=(("on", 900 * CFM),))
    hood = a_house().exhausts[0]
    assert besides(a_house(appliances=(WATER_HEATER,))) == opening
    assert besides(a_house("Nowhere, Kansas")) == opening
    assert besides(a_house(appliances=(WATER_HEATER,), exhausts=(hood, fan))) == opening | {
        "IRC M1503.6, exception": True
    }


@pytest.mark.parametrize(
    "house",
    [
        a_house(),  # all electric: nothing is asked for
        a_house("Nowhere, Kansas", 350),  # not past the limit of any model code
        a_house("Chicago, Illinois"),  # a code of its own
        a_house(appliances=(WATER_HEATER,), exhausts=()),
    ],
)
def test_no_condition_stands_where_nothing_is_asked_for_or_another_code_asks(house):
    assert besides(house) == {}


def test_a_radon_fan_needs_no_make_up_air_in_ontario_alone():  # Ontario Building Code [published]
    fan = Exhaust("radon fan", "exhaust", "house", speeds=(("on", 80 * CFM),))
    for place, told in (("Ottawa, Ontario", {"Ontario Building Code, radon fans": True}), ("Calgary, Alberta", {})):
        assert besides(a_house(place, appliances=(WATER_HEATER,), exhausts=(fan,))) == told


def test_what_stands_beside_weighs_nothing():
    assert overall(tuple(v for v in make_up_trigger(a_house("Nowhere, Kansas")) if v.verdict == BESIDE)) == "silent"


def test_every_condition_of_the_table_has_its_function():
    rules = module.table("rules/tables/make_up_air")["rule"]
    assert {rule["condition"] for rule in rules} == set(module.CONDITIONS)


def test_an_unknown_rule_is_an_error():
    with pytest.raises(KeyError):
        named_rule("no such rule", a_house())
