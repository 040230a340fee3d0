"""Does the code ask for make-up air: a larger machine or one more fire never asks for less; no order counts.

Every rule of the table asks past a flow, where something burns, or where a pressure is passed: each of these is only
driven further by a larger machine or a further open flame. All houses are invented.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from airledger.house.house import Appliance, Envelope, Exhaust, House, Room, Site
from airledger.rules.jurisdictions import places
from airledger.rules.make_up_trigger import VERDICTS, make_up_trigger, named_rule, overall
from airledger.sources import table
from airledger.uncertain import Uncertain
from airledger.units import CFM

RULES = [rule["key"] for rule in table("rules/tables/make_up_air")["rule"]]
FIRES = (
    Appliance("water heater", burns="gas", vents="natural draft", room="house"),
    Appliance("furnace", burns="gas", vents="direct vent", room="house"),
    Appliance("cooktop", burns="gas", vents="none", room="house"),
    Appliance("stove", burns="wood", vents="natural draft", room="house"),
)
rules, flows = st.sampled_from(RULES), st.floats(20.0, 1500.0)
burning = st.lists(st.sampled_from(FIRES), unique_by=lambda one: one.name, max_size=4).map(tuple)


def a_house(place: str, hood: float, dryer: float, appliances: tuple[Appliance, ...]) -> House:
    exhausts = (
        Exhaust("range hood", "hood", "house", speeds=(("low", 0.2 * hood * CFM), ("high", hood * CFM))),
        Exhaust("dryer", "dryer", "house", speeds=(("on", dryer * CFM),)),
    )
    return House(
        "grown", Site(place=place), Envelope(Uncertain.exactly(1.0)), (Room("house", area=180.0),),
        exhausts=exhausts, appliances=appliances,
    )  # fmt: skip


def weight(key: str, house: House) -> int:
    """The weightiest word of a rule: 0 for no, 3 for yes; nothing said counts as no."""
    words = [one.verdict for one in named_rule(key, house) if one.verdict in VERDICTS]
    return max((3 - VERDICTS.index(word) for word in words), default=0)


@given(rules, flows, flows, flows, burning)
def test_a_larger_machine_never_asks_for_less(
    key: str, hood: float, dryer: float, more: float, fires: tuple[Appliance, ...]
) -> None:
    house = a_house("Paris, Texas", hood, dryer, fires)
    assert weight(key, a_house("Paris, Texas", hood + more, dryer, fires)) >= weight(key, house)
    assert weight(key, a_house("Paris, Texas", hood, dryer + more, fires)) >= weight(key, house)


@given(rules, flows, flows, burning, st.sampled_from(FIRES))
def test_one_more_fire_never_asks_for_less(
    key: str, hood: float, dryer: float, fires: tuple[Appliance, ...], other: Appliance
) -> None:
    house = a_house("Paris, Texas", hood, dryer, tuple(one for one in fires if one.name != other.name))
    assert weight(key, replace(house, appliances=(*house.appliances, other))) >= weight(key, house)


@given(st.sampled_from([*places(), "Houston, Texas"]), flows, flows, burning, st.randoms(use_true_random=False))
def test_no_order_counts(place: str, hood: float, dryer: float, fires: tuple[Appliance, ...], chance: object) -> None:
    def mixed(entries: tuple) -> tuple:  # type: ignore[type-arg]  # whatever the house holds
        return tuple(chance.sample(entries, len(entries)))  # type: ignore[attr-defined]  # Hypothesis's own Random

    house = a_house(place, hood, dryer, fires)
    other = replace(house, exhausts=mixed(house.exhausts), appliances=mixed(house.appliances))
    one, two = make_up_trigger(house), make_up_trigger(other)
    assert overall(one) == overall(two)
    words = [Counter((v.key, v.machine, v.verdict, v.flow, v.required) for v in found) for found in (one, two)]
    assert words[0] == words[1]
