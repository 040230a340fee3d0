"""The make-up options in words: what they are called, why they hold or not, what to do on site."""

from __future__ import annotations

from collections.abc import Sequence

from airledger.house.house import House
from airledger.quantities import within_words
from airledger.search.judge import Judged
from airledger.search.limits import Limits
from airledger.search.moments import Moment
from airledger.search.options import DRAWN, LESS, NONE, WINDOW, Option
from airledger.search.prices import Bill, heater_kilowatts, powered_flow
from airledger.search.slots import Slots
from airledger.search.wording import capital, pascals, series
from airledger.units import INCH, POUND_FORCE

Tried = tuple[Judged, Moment, Bill]
FORCE_IN_WHOLES = 10 * POUND_FORCE
"""Force above which a tenth of a pound says nothing [N]."""


def option_name(option: Option, place: Slots) -> str:
    """What an option is called.

    Parameters
    ----------
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    """
    told = []
    if option.heat_pump_dryer:
        told.append("a heat-pump dryer" if len(place.dryers) == 1 else "heat-pump dryers")
    if option.hood_limit is not None and place.machine is not None:
        told.append(f"a {place.machine.name} of up to {within_words(option.hood_limit, 'air flow')}")
    if option.powered:
        told.append(f"a make-up fan of {within_words(powered_flow(option, place), 'air flow')}")
    if option.tempered:
        told.append("a heater")
    if option.count:
        told.append(_openings(option) + _alone(option, place))
    if option.window is not None and place.window is not None:
        told.append(f"the {place.window.name} open {option.window / INCH:.0f} in")
    if option.family == DRAWN:
        told.append(f"as drawn: {series(place.drawn)}")
    return series(told) or "no make-up air"


def _alone(option: Option, place: Slots) -> str:
    """That an opening starts with the biggest machine and not with the others."""
    alone = starts(option, place).endswith(" alone")
    return f", with the {series(option.starts_with)} alone" if alone and not option.powered else ""


def _openings(option: Option) -> str:
    filtered = "filtered " if option.filtered else ""
    if option.powered:
        return f"one {option.inches} in relief opening"
    count, plural = ("two", "s") if option.count == 2 else ("one", "")
    words = f"{count} {option.inches} in {filtered}opening{plural} with {option.damper} damper{plural}"
    if option.damper == "motorized" and not option.waits:
        words += ", nothing waits for it"
    return words


def short_name(option: Option, place: Slots) -> str:
    """What an option is called in a table, where a line is short.

    Parameters
    ----------
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    """
    told = []
    if option.heat_pump_dryer:
        told.append("heat-pump dryer" if len(place.dryers) == 1 else "heat-pump dryers")
    if option.hood_limit is not None and place.machine is not None:
        told.append(f"{place.machine.name} to {within_words(option.hood_limit, 'air flow')}")
    if option.powered:
        told.append(f"make-up fan {within_words(powered_flow(option, place), 'air flow')}")
    if option.tempered:
        told.append("heater")
    if option.count:
        told.append(_opening_in_short(option) + _alone(option, place))
    if option.window is not None and place.window is not None:
        told.append(f"{place.window.name} open {option.window / INCH:.0f} in")
    return " + ".join(told) or option_name(option, place)


def _opening_in_short(option: Option) -> str:
    size = f"{option.inches} in" if option.count == 1 else f"two {option.inches} in"
    if option.powered:
        return f"{size} relief"
    filtered, kept = ("filtered " if option.filtered else ""), ""
    if option.damper == "motorized" and not option.waits:
        kept = ", nothing waits"
    return f"{size} {filtered}{option.damper} opening{'s' if option.count == 2 else ''}{kept}"


def starts(option: Option, place: Slots) -> str:
    """What opens an option, in words.

    Parameters
    ----------
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    """
    if not option.starts_with or option.damper == "gravity":
        return ""
    all_of_them = len(option.starts_with) == len(place.starting)
    alone = "" if all_of_them or option.heat_pump_dryer else " alone"
    return f"starts with the {series(option.starts_with)}{alone}"


def power(option: Option, place: Slots, house: House) -> str:
    """The power an option needs, in words.

    Parameters
    ----------
    option : Option
        the option [-]
    place : Slots
        the house with every candidate [-]
    house : House
        for its coldest season [-]
    """
    needs = []
    if option.damper == "motorized":
        needs.append("24 V for the damper")
    if option.powered:
        needs.append("a 120 V circuit for the fan")
    if option.tempered:
        needs.append(f"{heater_kilowatts(powered_flow(option, place), house):.0f} kW at 240 V for the heater")
    return series(needs) or "none"


def note(one: Judged, cost: Bill, place: Slots) -> str:
    """What else has to be said about an option.

    Parameters
    ----------
    one : Judged
        the option as judged [-]
    cost : Bill
        its parts and price [USD]
    place : Slots
        the house with every candidate [-]
    """
    option = one.option
    told = ["tried in every combination" if one.verified else "tried in the combinations that decide"]
    if starts(option, place):
        told.append(starts(option, place))
    if option.waits:
        told.append("machines wait for the end switch")
    if option.family == WINDOW:
        told.append("somebody has to open it every time")
    if option.damper == "gravity":
        told.append("a flap opens only at its own suction")
    if option.family == LESS and option.hood_limit is not None:
        told.append("check that it still catches the smoke")
    if cost.missing:
        told.append(f"no price for {series(cost.missing)}")
    return "; ".join(told)


def why_not(one: Judged) -> str:
    """Which limit an option passes, in words.

    Parameters
    ----------
    one : Judged
        the option as judged [-]
    """
    if one.keeps_limits:
        return f"the hood moves {within_words(one.short, 'air flow')} less than is wanted"
    if one.bound_by == "house pressure":
        return f"the house stands at {pascals(one.pressure)}"
    if one.bound_by == "door pull":
        return f"the house stands at {pascals(one.pressure)} and the {one.door} takes {_force(one.door_force)}"
    return f"the fans pull {pascals(-one.bound_pressure)} at the {one.bound_by}"


def _force(force: float) -> str:
    return within_words(force, "force", 0 if force > FORCE_IN_WHOLES else None)


def sentence(first: Tried, rest: Sequence[Tried], place: Slots, judged: Limits) -> str:
    """The recommendation in one sentence.

    Parameters
    ----------
    first : tuple
        the option at the top with its moment and bill [-]
    rest : sequence of tuple
        the others [-]
    place : Slots
        the house with every candidate [-]
    judged : Limits
        the limits [-]
    """
    one, doing, _ = first
    if not one.holds:
        near = f"{option_name(one.option, place)} comes nearest and misses by {pascals(one.miss)}: {why_not(one)}"
        if one.keeps_limits:
            near = f"{option_name(one.option, place)} comes nearest: {why_not(one)}"
        return f"None of the {len(rest) + 1} ways tried keeps every limit ({_limit(one, judged)}); {near}."
    if one.option.family in (NONE, DRAWN):
        name = "Nothing has to be added" if one.option.family == NONE else "What is drawn is enough"
        return f"{name}: at worst the house stands at {pascals(one.pressure)}."
    does = ""
    known = place.machine is not None and (place.machine.fan_curve is not None or place.machine.rated is not None)
    if place.machine is not None and known and doing.rated > 0:  # without a curve it is taken as holding its flow
        real, rated = (within_words(flow, "air flow") for flow in (doing.real, doing.rated))
        does = f", and the {place.machine.name} does {real} of {rated}"
    told = f"The simplest way out that holds is {option_name(one.option, place)}: the house then stands at"
    return f"{told} {pascals(one.pressure)} at worst{does}."


def _limit(one: Judged, judged: Limits) -> str:
    """The limit that binds, in words."""
    for appliance in judged.appliances:
        if appliance.name == one.bound_by:
            return f"a pull of {pascals(-appliance.pressure)} by the fans at the {appliance.name}"
    if one.bound_by == "door pull":
        return f"{within_words(judged.door_pull.tolerated, 'force')} at a door"
    return f"{pascals(judged.house_pressure.tolerated)} tolerated"


def less_hood(option: Option, place: Slots) -> str:
    """What a smaller machine asks of the client, in words.

    Parameters
    ----------
    option : Option
        the option with a limit [-]
    place : Slots
        the house with every candidate [-]
    """
    machine = place.machine.name if place.machine is not None else "hood"
    most = within_words(option.hood_limit or 0.0, "air flow")
    return f"A smaller pull comes first: the client picks a {machine} of up to {most}, or has it limited to that."


def fault_sentence(one: Judged, place: Slots) -> str:
    """The worst fault of an option, in words.

    Parameters
    ----------
    one : Judged
        the option as judged [-]
    place : Slots
        the house with every candidate [-]
    """
    machine = place.machine.name if place.machine is not None else "machine"
    pressure = pascals(one.fault_pressure or 0.0)
    opening = (
        f" The {machine} gives that pull at every start, until the damper is open." if not one.option.waits else ""
    )
    return f"{capital(one.fault)}: with {option_name(one.option, place)} the house then stands at {pressure}.{opening}"


def can_wait(judged: Sequence[Judged], place: Slots, limits: Limits) -> str:
    """Whether the choice can wait for the rough-in test: whether it changes between the ends.

    Parameters
    ----------
    judged : sequence of Judged
        the options in order [-]
    place : Slots
        the house with every candidate [-]
    limits : Limits
        the limits [-]
    """
    first = judged[0]
    tolerated = limits.house_pressure.tolerated
    if abs(first.tight - first.loose) < 1e-9:
        return "the tightness is known: nothing has to wait"
    if first.bound_by in dict(first.changes) and not first.keeps_limits:
        return f"the test will not settle it: the {first.bound_by} comes first"
    flues = {appliance.name: appliance.pressure for appliance in limits.appliances}
    good = [
        one
        for one in judged
        if one.loose >= tolerated
        and one.door_force * _eased(one) <= limits.door_pull.tolerated
        and all(change >= flues[name] for name, change in one.changes)
    ]
    if not good:
        return "the test will not change it: nothing holds even at the loose end"
    simplest = min(
        good, key=lambda one: (one.option.preference, -(one.option.hood_limit or 0), one.option.diameter or 0)
    )
    if first.holds and simplest.option == first.option:
        return "the test will not change it: decide now"
    loose = option_name(simplest.option, place)
    if not first.holds:
        return f"wait for the rough-in test: at the loose end {loose} holds"
    return f"frame for it now, buy after the rough-in test: at the loose end {loose} is enough"


def _eased(one: Judged) -> float:
    return one.loose / one.pressure if one.pressure < 0 else 1.0
