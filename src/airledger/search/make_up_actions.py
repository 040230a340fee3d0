"""Three actions on site, in whole sentences: what to decide, what to frame and wire, how to prove it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airledger.house.house import House
from airledger.quantities import within_words
from airledger.search.freedoms import top_flow
from airledger.search.judge import Judged
from airledger.search.limits import Limits
from airledger.search.make_up_words import Tried, option_name, power, why_not
from airledger.search.options import DRAWN, NONE, WINDOW, Option
from airledger.search.prices import Bill, fan_duct_size, grille_words, powered_flow, wall_space
from airledger.search.slots import Slots
from airledger.search.wording import pascals, series
from airledger.units import INCH

Action = tuple[str, str]
NOTHING_BIGGER = "A bigger hood or a vented dryer changes the answer: run this again first."
NO_AIR_OUT = "A heat-pump dryer blows no air out; it needs a drain instead of a duct."


@dataclass(frozen=True)
class Site:
    """What actions are told for: the house as written, the same with every candidate in place, and its limits."""

    house: House
    place: Slots
    judged: Limits


def actions(first: Tried, rest: Sequence[Tried], site: Site) -> list[Action]:
    """Three actions, each with what has to be known to do it.

    Parameters
    ----------
    first : tuple
        the option at the top with its moment and bill [-]
    rest : sequence of tuple
        the others, in order [-]
    site : Site
        the house and its limits [-]
    """
    one, _, cost = first
    if not one.holds:
        told = [_settle(one, site), _frame_nothing_yet(one, cost, site)]
    elif one.option.family in (NONE, DRAWN):
        at_worst = f"At worst the house stands at {pascals(one.pressure)}: nothing has to be added."
        told = [("Keep it as it is.", at_worst), ("Buy nothing bigger.", NOTHING_BIGGER)]
    else:
        told = [_decide(first, rest, site), _frame(one, cost, site)]
    return [*told, _prove(one, site)]


def _settle(one: Judged, site: Site) -> Action:
    """What has to change before anything is framed, where no way holds."""
    machine = site.place.machine
    if one.bound_by in dict(one.changes):
        sealed = f"Ask for a sealed or heat-pump {one.bound_by}."
        return sealed, f"Nothing tried keeps the vent of the {one.bound_by} safe."
    if machine is None:
        return "Find what pulls so hard on the house.", f"With the nearest way tried {why_not(one)}."
    flow = within_words(top_flow(machine), "air flow")
    return "Talk to the client before framing.", f"No way tried holds with a {machine.name} of {flow}."


def _frame_nothing_yet(one: Judged, cost: Bill, site: Site) -> Action:
    by = f"misses by {pascals(one.miss)}" if not one.keeps_limits else f"falls short: {why_not(one)}"
    price = f"; {within_words(cost.price, 'money')} in all" if cost.price else ""
    nearest = f"The nearest way today is {option_name(one.option, site.place)}, which {by}{price}."
    return "Frame no make-up air yet: put that change into the house file and run this again.", nearest


def _decide(first: Tried, rest: Sequence[Tried], site: Site) -> Action:
    """What somebody has to say yes to before the crew begins, and the cheapest other way."""
    one, _, cost = first
    option, machine, place = one.option, site.place.machine, site.place
    if option.hood_limit is not None and machine is not None:
        dryer = " and a heat-pump dryer" if option.heat_pump_dryer else ""
        most = within_words(option.hood_limit, "air flow")
        asked = f"Ask the client for a {machine.name} of up to {most}{dryer}."
        today = f"Today it is {within_words(top_flow(machine), 'air flow')}."
        return asked, f"{today} {_instead('To keep that', rest, place) or 'No way tried holds with that.'}"
    if option.heat_pump_dryer:
        kept = _instead("To keep a vented dryer", rest, place)
        return "Order a heat-pump dryer.", f"{NO_AIR_OUT} {kept}".strip()
    if option.family == WINDOW and place.window is not None:
        label = f"Put up a label: open the {place.window.name} {(option.window or 0) / INCH:.0f} in first."
        return label, "Nobody remembers a rule that is not written down."
    keeps = f"At worst the house then stands at {pascals(one.pressure)}."
    cheaper = [entry for entry in rest if _cost(entry[2]) < _cost(cost)]
    return f"Decide on {option_name(option, place)}.", f"{keeps} {_instead('For less money', cheaper, place)}".strip()


def _instead(why: str, rest: Sequence[Tried], place: Slots) -> str:
    """The cheapest way that keeps hood and dryer, in a sentence; nothing where none holds."""
    found = cheapest([(one, cost) for one, _, cost in rest])
    if found is None:
        return ""
    one, cost = found
    price = f", {within_words(cost.price, 'money')}" if cost.price is not None else ""
    which = "cheapest" if price else "simplest"
    name = option_name(one.option, place)
    return f"{why}, the {which} way that holds is {name}: {pascals(one.pressure)} at worst{price}."


def cheapest(ways: Sequence[tuple[Judged, Bill]]) -> tuple[Judged, Bill] | None:
    """The cheapest way that holds, keeps hood and dryer, and holds them back until its end switch.

    So a damper that stays shut pulls on nobody. Without prices the simplest; None where there is none.

    Parameters
    ----------
    ways : sequence of tuple
        options as judged with their bills, in order [-]
    """
    kept = [
        (one, cost)
        for one, cost in ways
        if one.holds and one.option.waits and one.option.hood_limit is None and not one.option.heat_pump_dryer
    ]
    return min(kept, key=lambda way: _cost(way[1]), default=None)


def _cost(cost: Bill) -> float:
    return cost.price if cost.price is not None else float("inf")


def _frame(one: Judged, cost: Bill, site: Site) -> Action:
    """The hole, the grille, the wire, the price, and who comes."""
    option, place = one.option, site.place
    sizes = _sizes(option, place)
    price = ""
    if cost.price:
        price = f"{within_words(cost.price, 'money')} in all: {', '.join(cost.trades)}."
    if not sizes:
        return "Frame nothing for make-up air.", f"{price} {NOTHING_BIGGER}".strip()
    room = place.machine.room if place.machine is not None else "largest room"
    reach = "Keep the damper where a hand can reach it; the duct is "
    told = [f"{reach}{wall_space(option, place)[1]}.", _wire(option, site), price]
    return f"Frame {series(_holes(sizes))} into the {room}.", " ".join(part for part in told if part)


def _wire(option: Option, site: Site) -> str:
    needs = power(option, site.place, site.house)
    if needs == "none":
        return ""
    opens = ""
    if option.starts_with and option.damper == "motorized":
        one = len(option.starts_with) == 1
        held = f" and {'waits' if one else 'wait'} for its end switch" if option.waits else ""
        opens = f"; the {series(option.starts_with)} {'opens' if one else 'open'} it{held}"
    return f"The electrician brings {needs}{opens}."


def _prove(one: Judged, site: Site) -> Action:
    limit = pascals(site.judged.house_pressure.tolerated)
    goal = f"the house must not go below {limit}"
    if one.holds:
        goal += f" ({pascals(one.pressure)} is reckoned)"
    flue = " A licensed person does the combustion test meanwhile." if site.judged.appliances else ""
    detail = (
        "Put the rough-in reading into the house file and run this again. When the machines are in, run all of them at "
        f"once, inner doors shut and then open: {goal}.{flue}"
    )
    return "Prove it at the rough-in test, and again with everything running.", detail


def _holes(sizes: list[int]) -> list[str]:
    holes = []
    for size in dict.fromkeys(sizes):
        if sizes.count(size) > 1:
            holes.append(f"two {size} in sleeves with {grille_words(size)} grilles")
        else:
            holes.append(f"{with_article(f'{size} in sleeve')} with {with_article(grille_words(size))} grille")
    return holes


def with_article(size: str) -> str:
    """A size with a or an before it, as it is spoken.

    Parameters
    ----------
    size : str
        words that begin with a whole number, for example 8 in sleeve [-]
    """
    number = size.split(maxsplit=1)[0]
    return f"{'an' if number[0] == '8' or number in ('11', '18') else 'a'} {size}"


def _sizes(option: Option, place: Slots) -> list[int]:
    sizes = [option.inches] * option.count
    return [*sizes, fan_duct_size(powered_flow(option, place))] if option.powered else sizes
