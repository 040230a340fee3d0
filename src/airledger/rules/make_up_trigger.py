"""Does a code ask for make-up air here? One verdict for each rule and machine: yes, no, silent, or ask the official.

Only the triggers: whether something is asked for, not how big an opening has to be. The law's limits are on the *rated
maximum* of a machine, not on its usual speed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from airledger import quantities, units
from airledger.rules.appliances_inside import fans, most_it_can_move
from airledger.rules.case import Answer, Case
from airledger.rules.conditions import CONDITIONS
from airledger.rules.house_shape import Exhausting, HouseLike
from airledger.rules.jurisdictions import NOT_LOOKED_UP, Jurisdiction, jurisdiction
from airledger.sources import Source, table

VERDICTS = ("yes", "ask the official", "silent", "no")  # the weightiest first
BESIDE = "beside that"  # what is no verdict on the question, but holds beside one
_TABLE = "rules/tables/make_up_air"


@dataclass(frozen=True)
class Verdict:
    """What one rule says about one machine of a house, or about the house (machine "").

    verdict: one of `VERDICTS`, or `BESIDE` · text: the verdict in words, an official's ruling first · code, section,
    edition of the rule · formula: with its numbers · asks: what has to be done if yes · confirmed: whether the text was
    seen in print · flow, over, required [m3/s] or None · ruling: "" or who decided what and when.
    """

    rule: str
    key: str
    machine: str
    verdict: str
    text: str
    code: str
    section: str
    edition: str
    formula: str
    asks: str
    source: Source
    confirmed: bool
    flow: float | None = None
    over: float | None = None
    required: float | None = None
    ruling: str = ""


def make_up_trigger(house: HouseLike) -> tuple[Verdict, ...]:
    """What the code of the house's place asks about make-up air: a verdict for each rule and machine that it meets.

    Parameters
    ----------
    house : HouseLike
        the house: place, rooms, exhausts, appliances, ventilator, rulings [-]

    Reference
    ---------
    The rules of rules/tables/make_up_air.toml, each with its source and tag.
    """
    place = jurisdiction(house.site.place)
    if not place.looked_up:
        return _with_conditions([_with_ruling(_not_looked_up(house), house)], place, house)
    rules = {rule["key"]: rule for rule in table(_TABLE)["rule"]}
    keys = [*place.rules, *([] if "canada test" in place.rules else ["appliances disturbed"]), "two largest fans"]
    verdicts = [verdict for key in keys for verdict in of_rule(rules[key], house)]
    verdicts += _silences(place, rules, house, verdicts)
    return _with_conditions([_with_ruling(verdict, house) for verdict in verdicts], place, house)


def named_rule(key: str, house: HouseLike) -> tuple[Verdict, ...]:
    """What one rule of the table would say about a house, wherever the house stands.

    Parameters
    ----------
    key : str
        the rule's key in rules/tables/make_up_air.toml [-]
    house : HouseLike
        the house [-]

    Raises
    ------
    KeyError
        the table has no such rule.

    Reference
    ---------
    The rules of rules/tables/make_up_air.toml, each with its source and tag.
    """
    for rule in table(_TABLE)["rule"]:
        if rule["key"] == key:
            return tuple(of_rule(rule, house))
    raise KeyError(key)


def opening_conditions() -> tuple[tuple[str, str, Source], ...]:
    """What else a make-up opening has to meet once it is asked for: section, words, source.

    Reference
    ---------
    IRC M1503.6.1 and M1503.6.2 (recalled) and the exception of M1503.6.
    """
    return tuple(
        (entry["section"], f"{entry['about']}: {entry['says']}", Source(entry["source"], entry["tag"]))
        for entry in table(_TABLE)["condition"]
    )


def _with_conditions(verdicts: list[Verdict], place: Jurisdiction, house: HouseLike) -> tuple[Verdict, ...]:
    """The verdicts with the conditions that hold beside those that ask for something or leave it open."""
    open_ones = [verdict for verdict in verdicts if verdict.verdict in ("yes", "ask the official")]
    entries = [e for e in table(_TABLE)["condition"] if e.get("place", "") in ("", *place.rules)]
    return (*verdicts, *(_condition(e) for e in entries if _holds_beside(e, open_ones, house)))


def _holds_beside(entry: dict[str, Any], open_ones: list[Verdict], house: HouseLike) -> bool:
    over = units.parse(entry["over"], "flow")
    meant = {fan.name: fan.kind for fan in fans(house) if most_it_can_move(fan) > over}
    if entry["kinds"]:
        meant = {name: kind for name, kind in meant.items() if kind in entry["kinds"]}
    return any(v.key in entry["rules"] and meant and (not v.machine or v.machine in meant) for v in open_ones)


def _condition(entry: dict[str, Any]) -> Verdict:
    source = Source(entry["source"], entry["tag"])
    return Verdict(
        rule="what else holds for make-up air",
        key="condition",
        machine="",
        verdict=BESIDE,
        text=entry["about"],
        code=entry["code"],
        section=entry["section"],
        edition="unknown",
        formula=entry["says"],
        asks=entry["says"],
        source=source,
        confirmed=source.confirmed,
    )


def taken_as_new(house: HouseLike) -> bool:
    """Whether a rule of the place turns on the year of building, and the house tells none.

    Parameters
    ----------
    house : HouseLike
        the house [-]
    """
    return house.site.built is None and "minnesota quantity" in jurisdiction(house.site.place).rules


def overall(verdicts: tuple[Verdict, ...]) -> str:
    """The weightiest verdict of all: yes before ask the official before silent before no.

    Parameters
    ----------
    verdicts : tuple[Verdict, ...]
        what `make_up_trigger` gave [-]
    """
    told = (verdict.verdict for verdict in verdicts if verdict.verdict != BESIDE)
    return min(told, key=VERDICTS.index, default="silent")


def of_rule(rule: dict[str, Any], house: HouseLike) -> list[Verdict]:
    """The verdicts of one rule: one a machine it speaks of, or one for the house where it names none.

    Parameters
    ----------
    rule : dict[str, Any]
        the rule as it stands in the table [-]
    house : HouseLike
        the house [-]
    """
    rule = rule | {key: law_units(rule[key]) for key in ("title", "asks")}
    over = units.parse(rule["over"], "flow")
    machines: list[Exhausting | None] = [e for e in house.exhausts if e.kind in rule["machines"]]
    verdicts = []
    for machine in machines if rule["machines"] else [None]:
        flow = most_it_can_move(machine) if machine else 0.0
        answer = CONDITIONS[rule["condition"]](Case(rule, house, machine, flow, over))
        if answer is not None:
            verdicts.append(_verdict(rule, machine, answer, flow, over))
    return verdicts


def law_units(words: str) -> str:
    """A rule's words, its flows and areas as values that each reader sees in his own units.

    Parameters
    ----------
    words : str
        words as the code prints them: hood over 400 cfm, 400 to 800 cfm, 100 in2 [-]
    """
    kinds = {"cfm": ("flow", "air flow"), "ft2": ("area", "area"), "in2": ("area", "small area")}

    def told(found: re.Match[str]) -> str:
        unit = found.group(3)
        parsed, shown = kinds[unit]
        numbers = [number for number in found.group(1, 2) if number]
        return " to ".join(quantities.within_words(units.parse(f"{one} {unit}", parsed), shown) for one in numbers)

    return re.sub(r"(?:(\d+) to )?(\d+) (cfm|ft2|in2)\b", told, words)


def _verdict(rule: dict[str, Any], machine: Exhausting | None, answer: Answer, flow: float, over: float) -> Verdict:
    source = Source(rule["source"], rule["tag"])
    return Verdict(
        rule=rule["title"],
        key=rule["key"],
        machine=machine.name if machine else "",
        verdict=answer.verdict,
        text=answer.words,
        code=rule["code"],
        section=rule["section"],
        edition=rule["edition"],
        formula=answer.formula,
        asks=rule["asks"],
        source=source,
        confirmed=source.confirmed,
        flow=flow if machine else None,
        over=over if machine else None,
        required=answer.required,
    )


def _silences(
    place: Jurisdiction, rules: dict[str, dict[str, Any]], house: HouseLike, verdicts: list[Verdict]
) -> list[Verdict]:
    """The machines of which the rules looked up for the place say nothing; one on fans that pull speaks of all."""
    if any(v.key in ("canada test", "minnesota quantity") for v in verdicts):
        return []
    spoken = {kind for key in place.rules for kind in rules[key]["machines"]}
    return [
        Verdict(
            rule="no rule looked up for this machine",
            key="silent",
            machine=fan.name,
            verdict="silent",
            text="the rules looked up for this place do not speak of it",
            code=place.code,
            section="",
            edition=place.edition,
            formula=f"{quantities.within_words(most_it_can_move(fan), 'air flow')} rated",
            asks="",
            source=place.source,
            confirmed=place.source.confirmed,
            flow=most_it_can_move(fan),
        )
        for fan in fans(house)
        if fan.kind not in spoken
    ]


def _not_looked_up(house: HouseLike) -> Verdict:
    largest = max((most_it_can_move(fan) for fan in fans(house)), default=0.0)
    words = law_units(
        f"{NOT_LOOKED_UP}; model codes differ: the residential one of 2015 and later asks past 400 cfm only where fuel "
        "burns inside, its 2009 and 2012 editions and the mechanical code in any house"
    )
    return Verdict(
        rule="make-up air",
        key="not looked up",
        machine="",
        verdict="ask the official",
        text=words,
        code="unknown",
        section="unknown",
        edition="unknown",
        formula=f"largest machine: {quantities.within_words(largest, 'air flow')} rated",
        asks="",
        source=Source("model codes, none of them looked up for this place", "memory"),
        confirmed=False,
        flow=largest,
    )


def _with_ruling(verdict: Verdict, house: HouseLike) -> Verdict:
    """The verdict with what the official ruled beside it; a ruling on the question itself decides it."""
    machines = tuple(exhaust.name for exhaust in house.exhausts)
    about = [ruling for ruling in house.rulings if _speaks_of(ruling.subject, verdict, machines)]
    if not about:
        return verdict
    told = "; ".join(
        f"{ruling.subject}: {ruling.says} ({ruling.by or 'the official'}, {ruling.on or 'date not given'})"
        for ruling in about
    )
    decisions = [_decision(ruling.says) for ruling in about if _decides(ruling.subject, verdict)]
    ruled = next((word for word in reversed(decisions) if word), verdict.verdict)
    required = verdict.required
    if ruled != verdict.verdict:
        required = verdict.flow if ruled == "yes" else 0.0
    return replace(verdict, verdict=ruled, text=f"ruled: {told}", ruling=told, required=required)


def _speaks_of(subject: str, verdict: Verdict, machines: Sequence[str]) -> bool:
    """Whether a ruling is on a verdict's machine, or on make-up air without naming another machine."""
    words, machine = _plain(subject), verdict.machine.lower()
    if machine and machine in words:
        return True
    return "make-up" in words and not (machine and any(name.lower() in words for name in machines))


def _decides(subject: str, verdict: Verdict) -> bool:
    """Whether a ruling is on the question "is make-up air asked for", for the house or for this machine."""
    words, machine = _plain(subject), verdict.machine.lower()
    of_machine = (machine, f"make-up air for {machine}", f"make-up air for the {machine}")
    return words in ("make-up air", "make-up air needed", "make-up air required") or bool(
        machine and words in of_machine
    )


def _decision(says: str) -> str:
    words = _plain(says)
    if words in ("no", "none", "not needed", "not required", "none needed", "none required", "not asked for"):
        return "no"
    return "yes" if words in ("yes", "needed", "required", "asked for") else ""


def _plain(words: str) -> str:
    return " ".join(words.lower().replace("makeup", "make-up").split())
