"""A house of one room from ten plain answers, with every default that was taken on the way."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from airledger.house.answers import Answers, Pull, SaidVentilator
from airledger.house.house import (
    OUTDOORS,
    Appliance,
    Envelope,
    Exhaust,
    FanCurve,
    House,
    Leak,
    NamedState,
    Opening,
    Room,
    Season,
    Site,
    Ventilator,
    VentilatorSpeed,
)
from airledger.house.operating_state import speeds_of
from airledger.sources import Assumption, Source, table
from airledger.uncertain import Uncertain
from airledger.units import CFM, FOOT, INCH, INCH_OF_WATER, parse

ROOM = "house"
ENTRY_DOOR = "entry door"
PRACTICE = Source("", "practice")
RATE_FORMULA = Source("ANSI/ASHRAE 62.2-2013 and later: 0.03 cfm/ft2 + 7.5 cfm (bedrooms + 1)", "published (restated)")
HOOD_FIELD = Source(
    "Singer, Delp, Price, Apte, Indoor Air 22 (2012) 224-234: 10 of 15 hoods at or below 70 %", "published"
)

# kind -> what it moves where nothing was said [m3/s], why
DEFAULT_FLOWS: dict[str, tuple[float, str]] = {
    "hood": (400 * CFM, "a hood of unsaid size"),
    "dryer": (150 * CFM, "a regular vented dryer; of the usual flows the larger, which pulls harder"),
    "bath fan": (80 * CFM, "a bath fan of the usual size"),
    "vacuum": (240 * CFM, "a central vacuum; of the usual claims the largest, which pulls harder"),
    "open fireplace": (300 * CFM, "an open fireplace with a modest fire"),
    "exhaust": (100 * CFM, "an exhaust of unsaid size"),
}
SPEED_NAMES = {1: ("on",), 2: ("low", "high"), 3: ("low", "medium", "high")}
LARGEST_LIKELY_HOOD = 1200 * CFM
UNTESTED = Uncertain(0.6, 1.5, 3.0)
EXPONENT = Uncertain(0.60, 0.65, 0.70)
# share of the rated flow, pressure in inches of water: shares of one rating at 0.4 in w.c. (common practice)
TYPICAL_CURVE = ((0.0, 0.8), (0.625, 0.6), (1.0, 0.4), (1.25, 0.1))
PERCENT = 0.01


@dataclass(frozen=True)
class HouseFromAnswers:
    """The house and what had to be assumed to say it."""

    house: House
    assumed: tuple[Assumption, ...]


def house_from_answers(answers: Answers) -> HouseFromAnswers:
    """A house of one room that says what the answers say.

    Parameters
    ----------
    answers : Answers
        what was said [-]
    """
    listed: list[Assumption] = []
    site = _site(answers, listed)
    ceiling = _taken(answers.ceiling, 9 * FOOT, ("rooms / house / ceiling", "m", "an ordinary ceiling"), listed)
    bedrooms = int(_taken(answers.bedrooms, 3, ("people / bedrooms", "-", "an ordinary house"), listed))
    storeys = int(_taken(answers.storeys, 1, ("storeys", "-", "one floor"), listed))
    swings = _swing(answers, listed)
    exhausts = tuple(exhaust for pull in answers.exhausts for exhaust in [_exhaust(pull, listed)] if exhaust)
    exhausts = _bath_fans_together(exhausts)
    ventilator = _ventilator(answers, bedrooms, listed)
    listed.append(
        Assumption("rooms", "one room", "", "the house is taken as one open space, inner doors open", PRACTICE)
    )
    house = House(
        name=answers.name or f"House in {answers.place.split(',')[0].strip() or 'a place not named'}",
        site=site,
        envelope=_envelope(answers, ceiling * storeys, listed),
        rooms=(Room(ROOM, area=answers.floor_area, ceiling=ceiling),),
        bedrooms=bedrooms,
        openings=(Opening(ENTRY_DOOR, "door", (ROOM, OUTDOORS), 36 * INCH, 80 * INCH, swings=swings, stands="shut"),),
        ventilator=ventilator,
        exhausts=exhausts,
        make_up_air=None,
        appliances=_appliances(answers, listed),
    )
    return HouseFromAnswers(replace(house, states=_states(house)), tuple(listed))


def _taken(said: float | None, default: float, words: tuple[str, str, str], listed: list[Assumption]) -> float:
    """What was said, or the default, which is then listed: words are path, unit and why."""
    if said is not None:
        return said
    path, unit, why = words
    listed.append(Assumption(path, default, unit, why, PRACTICE))
    return default


def _rounded_height(height: float) -> float:
    feet, inches = divmod(round(height / INCH), 12)
    return feet * FOOT + inches * INCH


def _rounded_flow(flow: float) -> float:
    return max(1, round(flow / CFM)) * CFM if flow > 0 else 0.0


def _swing(answers: Answers, listed: list[Assumption]) -> str:
    listed.append(Assumption("openings / entry door / leaf", "36 in x 80 in", "", "an ordinary entry door", PRACTICE))
    if answers.entry_door_swings:
        return answers.entry_door_swings
    listed.append(Assumption("openings / entry door / swings", "in", "", "most entry doors swing in", PRACTICE))
    return "in"


def _site(answers: Answers, listed: list[Assumption]) -> Site:
    listed.append(
        Assumption("site / elevation", 0.0, "m", "near sea level; thin air changes little on low ground", PRACTICE)
    )
    climate = _climate(answers.place)
    if climate is None:
        why = "no season known for the place: dry air at 20 C inside and out"
        listed.append(Assumption("site / summer, winter", "reference day", "", why, PRACTICE))
        return Site(place=answers.place)
    source = Source(f"a {climate['name']} climate", "memory")
    why = f"{answers.place} taken as {climate['name']}"
    seasons = []
    for name in ("summer", "winter"):
        air = {key: parse(said, "temperature") for key, said in climate[name].items() if key != "humidity"}
        humidity = parse(climate[name]["humidity"], "fraction")
        seasons.append(Season(name, air["outdoors"], air["dew_point"], air["indoors"], humidity))
        listed.append(Assumption(f"site / {name} / outdoors", air["outdoors"], "degC", why, source))
        listed.append(Assumption(f"site / {name} / dew point", air["dew_point"], "degC", why, source))
    return Site(place=answers.place, seasons=tuple(seasons))


def _climate(place: str) -> dict[str, Any] | None:
    parts = [part.strip().lower().rstrip(".") for part in place.split(",") if part.strip()]
    state = next((part for part in reversed(parts) if part not in ("usa", "united states", "canada")), "")
    words = {state, " ".join(state.split()[-1:]), " ".join(state.split()[-2:])}
    return next((entry for entry in table("house/climates")["climate"] if words & set(entry["states"])), None)


def _envelope(answers: Answers, height: float, listed: list[Assumption]) -> Envelope:
    tightness, unit = answers.tightness, answers.tightness_unit
    if tightness is None:
        tightness, unit = UNTESTED, "ach50"
        why = "not said: from very tight to what most codes allow (0.6 to 3)"
        listed.append(Assumption("envelope / tightness", UNTESTED.likely, "1/h", why, PRACTICE))
    listed += [
        Assumption(
            "envelope / tightness as lived in", "as lived in", "", "nothing taped that is open in use", PRACTICE
        ),
        Assumption("envelope / exponent", EXPONENT.likely, "-", "0.65, give or take 0.05", PRACTICE),
        Assumption("envelope / leaks", "thirds", "", "low, at mid-height and high: not known yet", PRACTICE),
    ]
    leaks = (
        Leak("low in the walls", 35 * PERCENT, 0.0),
        Leak("at mid-height", 30 * PERCENT, _rounded_height(height / 2)),
        Leak("high in the walls", 35 * PERCENT, _rounded_height(height)),
    )
    return Envelope(tightness, unit, EXPONENT, leaks=leaks)


def _exhaust(pull: Pull, listed: list[Assumption]) -> Exhaust | None:
    path = f"exhausts / {pull.name}"
    if pull.kind == "glass fireplace":
        return None
    if pull.kind == "dryer" and pull.vented == "heat pump":
        return Exhaust(pull.name, "dryer", ROOM, vented="heat pump")
    if pull.not_picked is not None:
        why = "not picked yet: anything from nothing to this, full rating wherever pressure is judged"
        listed.append(Assumption(f"{path} / not picked", pull.not_picked, "m3/s", why, PRACTICE))
        _hood_note(pull, path, listed)
        return Exhaust(pull.name, pull.kind, ROOM, not_picked=pull.not_picked, vented=pull.vented)
    flows = pull.flows
    if not flows:
        default, why = DEFAULT_FLOWS[pull.kind]
        flows = (default,)
        listed.append(Assumption(f"{path} / flow", default, "m3/s", why, PRACTICE))
    _hood_note(pull, path, listed)
    names = SPEED_NAMES.get(len(flows)) or tuple(f"speed {number + 1}" for number in range(len(flows)))
    if pull.kind in ("hood",) and len(flows) == 1:
        names = ("high",)
    return Exhaust(pull.name, pull.kind, ROOM, speeds=tuple(zip(names, flows, strict=True)), vented=pull.vented)


def _bath_fans_together(exhausts: tuple[Exhaust, ...]) -> tuple[Exhaust, ...]:
    """Several bath fans as one machine with two speeds, "one" and "all": which of them runs does not matter here."""
    fans = [exhaust for exhaust in exhausts if exhaust.kind == "bath fan"]
    if len(fans) < 2:
        return exhausts
    flows = [flow for fan in fans for _, flow in fan.speeds]
    together = replace(fans[0], name="bath fans", speeds=(("one", max(flows)), ("all", sum(flows))))
    return tuple(together if exhaust is fans[0] else exhaust for exhaust in exhausts if exhaust not in fans[1:])


def _hood_note(pull: Pull, path: str, listed: list[Assumption]) -> None:
    if pull.kind == "hood":
        why = "the full rating counts for pressure; installed hoods move 0.4 to 0.95 of it, most often 0.65"
        listed.append(Assumption(f"{path} / share of its rating", 1.0, "-", why, HOOD_FIELD))


def _ventilator(answers: Answers, bedrooms: int, listed: list[Assumption]) -> Ventilator | None:
    said = answers.ventilator
    if said is None:
        return None
    low, boost = _ventilator_flows(said, answers, bedrooms, listed)
    why = "its boost flow at 100 Pa on a typical curve, give or take 15 %"
    listed.append(Assumption("ventilator / fan curve", 0.4 * INCH_OF_WATER, "Pa", why, PRACTICE))
    listed.append(Assumption("ventilator / supply and exhaust", "equal", "", "as set on balancing day", PRACTICE))
    points = tuple((_rounded_flow(share * boost), rise * INCH_OF_WATER) for share, rise in TYPICAL_CURVE)
    curve = FanCurve("boost", points)
    speeds = tuple(VentilatorSpeed(name, flow, flow) for name, flow in (("low", low), ("boost", boost)))
    return Ventilator(said.kind, speeds, ((ROOM, 1.0),), ((ROOM, 1.0),), fan_curve=curve)


def _ventilator_flows(
    said: SaidVentilator, answers: Answers, bedrooms: int, listed: list[Assumption]
) -> tuple[float, float]:
    if len(said.flows) >= 2:
        return said.flows[0], said.flows[-1]
    rate = (0.03 * answers.floor_area / FOOT**2 + 7.5 * (bedrooms + 1)) * CFM
    boost = said.flows[0] if said.flows else _rounded_flow(2 * rate)
    if not said.flows:
        listed.append(Assumption("ventilator / boost", boost, "m3/s", "twice the everyday rate", PRACTICE))
    low = _rounded_flow(min(rate, 0.8 * boost))
    listed.append(Assumption("ventilator / low", low, "m3/s", "the everyday rate, at most 80 % of boost", RATE_FORMULA))
    return low, boost


def _appliances(answers: Answers, listed: list[Assumption]) -> tuple[Appliance, ...]:
    said = list(answers.appliances)
    said += [
        Appliance(pull.name, kind="fireplace", burns="gas", vents=pull.vented)
        for pull in answers.exhausts
        if pull.kind == "glass fireplace" and not any(a.kind == "fireplace" for a in answers.appliances)
    ]
    found = []
    for appliance in said:
        if appliance.burns and not appliance.vents:
            why = "how it vents was not said: taken as natural draft, a danger until shown otherwise"
            listed.append(Assumption(f"appliances / {appliance.name} / vents", "natural draft", "", why, PRACTICE))
            found.append(replace(appliance, vents="natural draft", room=ROOM))
        else:
            found.append(replace(appliance, room=ROOM))
    names = {appliance.name for appliance in found} | {pull.name for pull in answers.exhausts}
    for pull in answers.exhausts:
        flue = f"{pull.name} flue"
        if pull.kind == "open fireplace" and flue not in names:
            found.append(Appliance(flue, kind="fireplace", burns="wood", vents="natural draft", room=ROOM))
    return tuple(found)


def _states(house: House) -> tuple[NamedState, ...]:
    """What runs at four ordinary moments, as far as the house has the machines for them."""
    everyday = (("ventilator", "low"),) if house.ventilator else ()
    states = [NamedState("everyday", everyday)] if everyday else []
    top = {e.name: (e.kind, speeds_of(e)[-1][0]) for e in house.exhausts if speeds_of(e)}
    hoods, dryers, baths = (
        tuple((name, speed) for name, (kind, speed) in top.items() if kind == wanted)
        for wanted in ("hood", "dryer", "bath fan")
    )
    if dryers:
        states.append(NamedState("drying", (*everyday, *dryers)))
    if baths:
        states.append(NamedState("showers", (*everyday, *baths)))
    if hoods:
        states.append(NamedState("cooking", (*everyday, *hoods)))
    if hoods and dryers:
        states.append(NamedState("cooking and drying", (*everyday, *hoods, *dryers)))
    return tuple(states)
