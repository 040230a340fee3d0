"""The conditions under which a rule on make-up air bites: each a function from one case to a verdict with its words.

The trap that costs houses: since 2015 the residential code asks only where a fuel-burning appliance stands inside whose
vent is neither direct nor mechanical draft; its 2009 and 2012 editions and the mechanical code ask in any house.
"""

from __future__ import annotations

from collections.abc import Callable

from airledger import units
from airledger.rules.appliances_inside import (
    SEALED_VENTS,
    burning_inside,
    fans,
    most_it_can_move,
    on_gravity_vents,
    open_fires,
    solid_fuel,
)
from airledger.rules.case import Answer, Case
from airledger.rules.minnesota_verdict import by_minnesotas_table


def _any_house(case: Case) -> Answer:
    if case.flow > case.over:
        return Answer("yes", f"asked for in any house: {case.rule['asks']}", case.compared, case.flow)
    return Answer("no", "not asked for at this flow", case.compared, 0.0)


def _fuel_appliance(case: Case) -> Answer:
    if case.flow <= case.over:
        return Answer("no", "not asked for at this flow, whatever burns inside", case.compared, 0.0)
    sure = on_gravity_vents(case.house)[0]
    if sure:
        words = f"asked for because of {', '.join(sure)}: {case.rule['asks']}"
        return Answer("yes", words, f"{case.compared}, and inside: {', '.join(sure)}", case.flow)
    unsure = [a for a in burning_inside(case.house) if a.vents not in SEALED_VENTS]
    if unsure:
        told = ", ".join(f"{a.name} ({_VENT_WORDS.get(a.vents, a.vents)})" for a in unsure)
        words = f"read word for word {told} counts; officials differ, get a ruling"
        return Answer("ask the official", words, f"{case.compared}; inside: {told}")
    words = "not asked for: nothing inside burns fuel without a sealed or fan-driven vent"
    return Answer("no", words, f"{case.compared}, but no such appliance inside", 0.0)


_VENT_WORDS = {"none": "no vent", "": "vent not looked at yet"}


def _over_free_flow(case: Case) -> Answer:
    sure, unsure = on_gravity_vents(case.house)
    sealed_free = units.parse(case.rule["sealed_over"], "flow")
    free = case.over if sure or unsure else sealed_free
    why = "every appliance is sealed, power-vented, unvented or electric"
    if sure or unsure:
        why = f"not every appliance is sealed, power-vented, unvented or electric ({', '.join((*sure, *unsure))})"
    if case.flow <= free:
        formula = f"{case.show(case.flow)} <= {case.show(free)}"
        return Answer("no", f"nothing up to {case.show(free)}: {why}", formula, 0.0)
    required = case.flow - free
    formula = f"{case.show(case.flow)} − {case.show(free)} = {case.show(required)}"
    if unsure and not sure:
        least = max(0.0, case.flow - sealed_free)
        either = f"{case.show(least) if least > 0 else 'none'} or {case.show(required)}"
        words = f"make-up air: {either}, by how {', '.join(unsure)} is vented"
        return Answer("yes" if least > 0 else "ask the official", words, formula, required)
    return Answer("yes", f"make-up air of {case.show(required)}: {why}", formula, required)


def _florida(case: Case) -> Answer:
    if case.flow <= case.over:
        return Answer("no", "not asked for at this flow", case.compared, 0.0)
    sure, unsure = on_gravity_vents(case.house)
    if sure:
        formula = f"{case.compared}, and on a gravity vent inside: {', '.join(sure)}"
        return Answer("yes", f"asked for because of {', '.join(sure)}", formula, case.flow)
    free = units.parse(case.rule["free_up_to"], "flow")
    if unsure:
        words = f"depends on how {', '.join(unsure)} is vented"
        return Answer("ask the official", words, f"{case.compared}; inside: {', '.join(unsure)}")
    if case.flow <= free:
        words = f"none needed up to {case.show(free)} without a gravity vent in the living space"
        return Answer("no", words, f"{case.show(case.flow)} <= {case.show(free)}, no gravity vent", 0.0)
    words = f"what holds past {case.show(free)} was not seen"
    return Answer("ask the official", words, f"{case.show(case.flow)} > {case.show(free)}, no gravity vent")


def _solid_fuel_balance(case: Case) -> Answer | None:
    solid, ventilator = solid_fuel(case.house), case.house.ventilator
    if not solid or not ventilator:
        return None
    short = "; ".join(
        f"{speed.name}: {case.show(speed.exhaust)} out > {case.show(speed.supply)} in"
        for speed in ventilator.speeds
        if speed.exhaust > speed.supply
    )
    if short:
        return Answer("yes", "set the ventilator so that it never exhausts more than it takes in", short)
    words = f"the ventilator takes in at least what it exhausts, as it must beside {', '.join(solid)}"
    return Answer("no", words, "out <= in at every speed", 0.0)


def _reversible_vent(case: Case) -> Answer | None:
    sure, unsure = on_gravity_vents(case.house)
    pulling = [fan.name for fan in fans(case.house)]
    names = ", ".join((*sure, *unsure))
    if not names or not pulling:
        return None
    words = f"{', '.join(pulling)} can pull on {names}: {case.rule['asks']}"
    return Answer("ask the official", words, f"inside: {names}; fans: {', '.join(pulling)}")


def _two_largest(case: Case) -> Answer | None:
    solid = [
        a.name for a in burning_inside(case.house) if a.name in solid_fuel(case.house) and a.vents not in SEALED_VENTS
    ]
    natural = [a.name for a in burning_inside(case.house) if a.vents == "natural draft"]
    names = list(dict.fromkeys((*natural, *solid, *open_fires(case.house))))
    two = sorted((most_it_can_move(fan) for fan in fans(case.house)), reverse=True)[:2]
    area = sum(room.area for room in case.house.rooms if room.kind == "room")
    if not names or not two or not area:
        return None
    allowed = case.over * area / units.parse(case.rule["per"], "area")
    total = sum(two)
    formula = f"{' + '.join(case.show(flow) for flow in two)}, allowed {case.show(allowed)} net"
    if total > allowed:
        words = f"past it with {', '.join(names)} inside, where the standard is adopted"
        return Answer("ask the official", words, formula, total - allowed)
    return Answer("no", "the two largest fans stay within it", formula, 0.0)


CONDITIONS: dict[str, Callable[[Case], Answer | None]] = {
    "any house": _any_house,
    "fuel appliance inside": _fuel_appliance,
    "what is over the free flow": _over_free_flow,
    "no gravity vent in the living space": _florida,
    "reckoned by table": by_minnesotas_table,
    "solid fuel and an ERV or HRV": _solid_fuel_balance,
    "a vent that a pull can reverse": _reversible_vent,
    "two largest fans": _two_largest,
}
