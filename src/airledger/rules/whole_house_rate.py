"""How much outdoor air a rule asks for all day, with its formula and the numbers put in.

One house has two answers, or five: 62.2 took 0.01 cfm a square foot until 2010 and 0.03 since 2013, the residential and
the mechanical code still take 0.01. So every answer carries code, edition and section.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from airledger.errors import InputError, OutOfRange
from airledger.sources import Source, table
from airledger.units import CFM, FOOT

_TABLE = "rules/tables/whole_house_rates"
UNITS: Mapping[str, tuple[float, float, str]] = {"cfm": (CFM, FOOT**2, "ft2"), "L/s": (1e-3, 1.0, "m2")}
"""Unit of a rule -> its flow in m3/s, its area in m2, the word for the area."""

REDUCED = 0.70
"""Factor of a balanced system that brings outdoor air to every bedroom and living space [-]: IMC 403.3.2, IRC 2021."""

WASHINGTON = {2: 1.0, 1: 1.25, 0: 1.5}
"""Washington's coefficient by how many of "balanced" and "distributed" hold [-]: WAC 51-51, PUBLISHED (restated)."""


@dataclass(frozen=True)
class HouseFacts:
    """What the rules look at. floor_area [m2]; bedrooms; people who sleep there, None = bedrooms + 1."""

    floor_area: float
    bedrooms: int
    people: int | None = None

    @property
    def sleepers(self) -> int:
        """People counted: as told, else one more than bedrooms."""
        return self.people if self.people is not None else self.bedrooms + 1


@dataclass(frozen=True)
class RateAnswer:
    """What a rule asks for.

    flow [m3/s]; most [m3/s] where the rule gives a range; formula: with its numbers, in the rule's own units.
    """

    key: str
    title: str
    code: str
    edition: str
    section: str
    flow: float
    formula: str
    beside: str
    source: Source
    most: float | None = None

    @property
    def confirmed(self) -> bool:
        """Whether the rule was seen in print."""
        return self.source.confirmed


def rate_keys() -> tuple[str, ...]:
    """The rules by key, in the order of the table."""
    whole = table(_TABLE)
    return tuple(entry["key"] for entry in (*whole["rate"], *whole["band"]))


def whole_house_rate(key: str, facts: HouseFacts) -> RateAnswer:
    """What one rule asks of a house.

    Parameters
    ----------
    key : str
        one of `rate_keys` [-]
    facts : HouseFacts
        floor area, bedrooms, people [-]

    Raises
    ------
    InputError
        there is no such rule, or it does not speak of such a house.
    OutOfRange
        floor area not above 0, or bedrooms below 0.

    Reference: rules/tables/whole_house_rates.toml, each with its source and tag.
    """
    if not 0.0 < facts.floor_area < math.inf:
        raise OutOfRange("floor area", facts.floor_area, 0.0, math.inf, "m2")
    if not 0 <= facts.bedrooms <= 100:
        raise OutOfRange("bedrooms", facts.bedrooms, 0, 100, "-")
    whole = table(_TABLE)
    for entry in whole["rate"]:
        if entry["key"] == key:
            return rate_of(entry, facts)
    for entry in whole["band"]:
        if entry["key"] == key:
            return _band(entry, facts)
    raise InputError(f"no rule is called {key!r}; there are: {', '.join(rate_keys())}")


def rate_of(entry: Mapping[str, Any], facts: HouseFacts) -> RateAnswer:
    """What one entry of a table asks of a house, one that ships or a local one.

    Parameters
    ----------
    entry : Mapping
        as its table has it [-]
    facts : HouseFacts
        floor area, bedrooms, people [-]

    Reference: the entry's own source.
    """
    return _KINDS[entry["kind"]](entry, facts)


def minnesota_continuous(total: float) -> float:
    """The share of Minnesota's total that runs all the time: half of it, 40 cfm at least [m3/s].

    Parameters
    ----------
    total : float
        the total [m3/s]

    Reference: Minnesota Rules 1322.1104, table N1104.2, PUBLISHED.
    """
    return max(40 * CFM, 0.5 * total)


def washington_rate(facts: HouseFacts, is_balanced: bool, is_distributed: bool) -> float:
    """Washington's rate with its coefficient [m3/s].

    Parameters
    ----------
    facts : HouseFacts
        floor area and bedrooms [-]
    is_balanced : bool
        whether the system is balanced [-]
    is_distributed : bool
        whether it is distributed [-]

    Reference: WAC 51-51-1505, PUBLISHED (restated).
    """
    return WASHINGTON[is_balanced + is_distributed] * whole_house_rate("washington", facts).flow


def reduced_rate(rate: float, is_balanced: bool, bedrooms_supplied: bool, living_supplied: bool) -> float:
    """The rate with the reduction of 30 % where all its conditions hold [m3/s].

    Parameters
    ----------
    rate : float
        before it [m3/s]
    is_balanced : bool
        whether the system is balanced [-]
    bedrooms_supplied : bool
        whether outdoor air is ducted to every bedroom [-]
    living_supplied : bool
        whether it is ducted to at least one of living, dining room, kitchen [-]

    Reference: IMC 403.3.2, PUBLISHED (restated); IRC 2021 and later, MEMORY; IRC 2018 has none.
    """
    return REDUCED * rate if is_balanced and bedrooms_supplied and living_supplied else rate


def intermittent_factor(share: float) -> float:
    """By how much a unit that runs a share of every four hours has to move more [-]; straight between printed shares.

    Parameters
    ----------
    share : float
        of the time that it runs [-]

    Raises
    ------
    OutOfRange
        less than a quarter of the time, or more than all of it.

    Reference: IRC table M1505.4.3(2), PUBLISHED: interpolate, never extrapolate.
    """
    printed = table(_TABLE)["intermittent"]
    shares, factors = printed["shares"], printed["factors"]
    if not shares[0] <= share <= shares[-1]:
        raise OutOfRange("share of the time", share, shares[0], shares[-1], "-")
    for low, high, first, last in zip(shares, shares[1:], factors, factors[1:], strict=False):
        if share <= high:
            return float(first + (last - first) * (share - low) / (high - low))
    return float(factors[-1])


def cycle_turnover(rate: float, cycle: float, floor_area: float) -> float:
    """N of a long cycle: how often the rate turns the air over in one cycle, as 62.2 reckons it [-].

    Parameters
    ----------
    rate : float
        the fan's rate if it ran all the time [m3/s]
    cycle : float
        of one cycle [h]
    floor_area : float
        of the house [m2]

    Raises
    ------
    OutOfRange
        a cycle longer than a day, or no floor area.

    Reference: ANSI/ASHRAE 62.2-2013 and later, 4.5.2, PUBLISHED; its table of effectiveness was not seen.
    """
    if not 0.0 < cycle <= 24.0:
        raise OutOfRange("cycle", cycle, 0.0, 24.0, "h")
    if not 0.0 < floor_area < math.inf:
        raise OutOfRange("floor area", floor_area, 0.0, math.inf, "m2")
    return 12.8 * (rate / CFM) * cycle / (floor_area / FOOT**2)


def cycle_effectiveness(cycle_changes: float, on_share: float) -> float | None:
    """How well a fan that runs a share of each cycle dilutes, against the same air spread evenly [-]; None = it cannot.

    Parameters
    ----------
    cycle_changes : float
        air changes that the rate makes in one cycle [-]
    on_share : float
        of the cycle that the fan runs [-]

    Raises
    ------
    OutOfRange
        air changes not above 0, share outside 0 to 1.

    Reference: equal mean concentration of a constant source, on and off (closed form); Sherman, LBNL.
    """
    if not 0.0 < cycle_changes < math.inf:
        raise OutOfRange("air changes in a cycle", cycle_changes, 0.0, math.inf, "-")
    if not 0.0 < on_share <= 1.0:
        raise OutOfRange("share of the time", on_share, 0.0, 1.0, "-")
    off = 1.0 - on_share
    if off == 0.0:
        return 1.0
    if off * off * cycle_changes / 2.0 >= 1.0:
        return None
    # mean concentration, over 1 for an even rate: eps [1 - off^2 + off^2 (N/2) coth(N/(2 eps))] ... solved for eps
    low, high = 1e-9, 1.0
    for _ in range(200):
        middle = 0.5 * (low + high)
        if _mean_dose(cycle_changes, on_share, middle) > 1.0:
            high = middle
        else:
            low = middle
    return 0.5 * (low + high)


def _mean_dose(air_changes: float, on_share: float, effectiveness: float) -> float:
    """Mean concentration over that of the even rate, when the fan gives air_changes / effectiveness in its on-time."""
    off = 1.0 - on_share
    half = air_changes / (2.0 * effectiveness)  # half the air changes of the on-time
    return effectiveness * (1.0 - off * off) + off * off * (air_changes / 2.0) / math.tanh(half)


def _answer(entry: Mapping[str, Any], flow: float, formula: str, most: float | None = None) -> RateAnswer:
    unit = UNITS[entry["unit"]][0]
    return RateAnswer(
        entry["key"], entry["title"], entry["code"], entry["edition"], entry["section"], flow * unit, formula,
        entry.get("beside", ""), Source(entry["source"], entry["tag"]), None if most is None else most * unit,
    )  # fmt: skip


def _area(entry: Mapping[str, Any], facts: HouseFacts) -> tuple[float, str]:
    _, size, word = UNITS[entry["unit"]]
    area = facts.floor_area / size
    return area, f"{area:,.0f} {word}"


def _linear(entry: Mapping[str, Any], facts: HouseFacts) -> RateAnswer:
    area, told = _area(entry, facts)
    flow = entry["per_area"] * area
    formula = f"{entry['per_area']:g} x {told}"
    if entry["per_person"]:
        bedrooms = max(facts.bedrooms, entry["least_bedrooms"])
        flow += entry["per_person"] * (bedrooms + entry["more"])
        formula += f" + {entry['per_person']:g} x ({bedrooms} + {entry['more']})"
    formula += f" = {flow:.4g} {entry['unit']}"
    least, most = entry.get("least", 0.0), entry.get("most", math.inf)
    if not least <= flow <= most:
        flow = min(max(flow, least), most)
        formula += f", {'raised' if flow == least else 'held'} to {flow:g} {entry['unit']}"
    return _answer(entry, flow, formula)


def _steps(entry: Mapping[str, Any], facts: HouseFacts) -> RateAnswer:
    steps = entry["steps"]
    if facts.bedrooms < 1:
        raise InputError(f"{entry['title']} begins with one bedroom")
    beyond = max(0, facts.bedrooms - len(steps))
    by_bedrooms = steps[min(facts.bedrooms, len(steps)) - 1] + beyond * entry["further"]
    return _larger(entry, facts, by_bedrooms, f"{facts.bedrooms} bedrooms: {by_bedrooms:g}")


def _per_person(entry: Mapping[str, Any], facts: HouseFacts) -> RateAnswer:
    people = facts.sleepers
    by_people = entry["base"] + entry["per_person"] * people
    base = f"{entry['base']:g} + " if entry["base"] else ""
    return _larger(entry, facts, by_people, f"{base}{entry['per_person']:g} x {people} people = {by_people:g}")


def _larger(entry: Mapping[str, Any], facts: HouseFacts, one: float, words: str) -> RateAnswer:
    area, told = _area(entry, facts)
    by_area = entry["per_area"] * area
    formula = f"{words} {entry['unit']}; {entry['per_area']:g} x {told} = {by_area:.3g} {entry['unit']}; the larger"
    return _answer(entry, max(one, by_area), formula)


def _ranges(entry: Mapping[str, Any], facts: HouseFacts) -> RateAnswer:
    ranges = entry["ranges"]
    if not 1 <= facts.bedrooms <= len(ranges):
        raise InputError(f"{entry['title']}: from 1 to {len(ranges)} bedrooms; {entry['beside']}")
    low, high = ranges[facts.bedrooms - 1]
    return _answer(entry, low, f"{facts.bedrooms} bedrooms: {low:g} to {high:g} {entry['unit']}", high)


def _band(entry: Mapping[str, Any], facts: HouseFacts) -> RateAnswer:
    area, told = _area(entry, facts)
    row = sum(area > edge * (1.0 + 1e-12) for edge in entry["areas"])
    column = sum(facts.bedrooms >= first for first in entry["bedrooms"]) - 1
    flow = entry["rates"][row][column]
    return _answer(entry, flow, f"{told}, {facts.bedrooms} bedrooms: {flow:g} {entry['unit']}")


_KINDS = {"linear": _linear, "steps": _steps, "per person": _per_person, "ranges": _ranges}
