"""The first answer: ten plain answers in; out what the code asks, what the house does and feels like, and the ways out.

The house is one room. Ways out and biggest hoods of `make_up_air` and `biggest_hood` are put beside the pull of each
machine alone, the law, and what has to be framed now.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from airledger import quantities
from airledger.findings import Finding
from airledger.house.answers import WallDuct
from airledger.house.envelope import ach50
from airledger.house.house import House
from airledger.house.operating_state import speeds_of
from airledger.rules.law_words import law_findings, law_row, law_sentence
from airledger.rules.make_up_trigger import Verdict, make_up_trigger
from airledger.search.alone import ALL_AT_ONCE, Pulled, pulled
from airledger.search.freedoms import top_flow
from airledger.search.limits import Limits
from airledger.search.work import Work
from airledger.sources import Assumption
from airledger.studies.protocol import Result, Row
from airledger.units import CFM, INCH, POUND_FORCE

name = "first_answer"
needs = ("site", "envelope", "rooms")
reads = ("openings", "ventilator", "exhausts", "make-up air", "appliances", "limits", "rules", "people")
after: tuple[str, ...] = ("make_up_air", "biggest_hood")

DUCTS_SHOWN = (6, 7, 8, 9, 10, 12)
DUCT_KEYS = ("opening", "hood_m3s", "hood_with_dryer_m3s", "diameter_m", "count", "bound_by")
WAYS_SHOWN = 3
WAY_KEYS = (
    "option", "family", "holds", "house_pressure_pa", "low_pa", "high_pa", "hood_m3s", "diameter_m", "count",
    "wall_space", "cavity", "trades", "power", "price_usd",
)  # fmt: skip
LEAST_HOOD = 100 * CFM
SAME_DUCT = 0.005  # a 250 mm duct is a 10 in duct [m]
INSULATION_AROUND = 4 * INCH
HOOD_DUCTS = ((400 * CFM, 7), (600 * CFM, 8), (1200 * CFM, 10), (1500 * CFM, 12))  # up to this: recalled, unconfirmed


@dataclass(frozen=True)
class Options:
    """system: units of the sentences, ip | si; wall_duct: what the wall takes; assumed: what the answers left open.

    said: the house as it was said, where the one reckoned with was cut to what a fan can do; the law looks at it.
    """

    system: str = "ip"
    wall_duct: WallDuct | None = None
    assumed: tuple[Assumption, ...] = ()
    said: House | None = None


def run(house: House, options: Options | None, work: Work) -> Result:
    """The first answer for a house of one room.

    Parameters
    ----------
    house : House
        the house that the answers say [-]
    options : Options
        units, the wall's duct, what was assumed; None takes none of them [-]
    work : Work
        solving, limits, and what the other studies found [-]
    """
    options = options or Options()
    judged = work.limits()
    pulls = pulled(house, work.solver(house), judged)
    said = options.said or house
    verdicts = make_up_trigger(said)
    tables = work.result("make_up_air").tables
    ducts = work.result("biggest_hood").tables.get("ducts", ())
    biggest = [{key: row.get(key) for key in DUCT_KEYS} for row in ducts if _is_shown(row, options.wall_duct)]
    ways = ways_out(tables.get("options", ()), options.wall_duct)
    lines = answer_lines(house, options, pulls, (judged, verdicts), biggest)
    found: dict[str, Sequence[Row]] = {
        "answer": [{"order": order, "line": line} for order, line in enumerate(lines, 1)],
        "pulls": [_pull_row(one, judged, options.system) for one in pulls],
        "ways": ways,
        "biggest": biggest,
        "law": [law_row(verdict) for verdict in verdicts],
        "frame_now": [{"item": item} for item in frame_now(said, options, ways)],
        "can_wait": [{"item": item} for item in can_wait(house, tables.get("recommendation", ()))],
        "assumed": [_assumed_row(assumption) for assumption in (*options.assumed, *judged.assumed)],
    }
    findings = (*danger_findings(pulls, judged), *law_findings(verdicts, name))
    return Result(findings, {key: tuple(rows) for key, rows in found.items()})


def feels(one: Pulled, judged: Limits, system: str) -> str:
    """What a pull feels like, in words that a person in the house would use.

    Parameters
    ----------
    one : Pulled
        what runs, solved [-]
    judged : Limits
        the limits, for what stands on a flue [-]
    system : str
        ``ip`` or ``si`` [-]

    Reference: whistling from 10 Pa, a blower-door test at 50 Pa: recalled, unconfirmed.
    """
    pulls_on_flue = any(c < limit.pressure for c, limit in zip(one.appliances, judged.appliances, strict=True))
    words = ["DANGER at the flue"] if pulls_on_flue else []
    pounds = one.force / POUND_FORCE
    if one.direction in ("held shut", "thrown open") and pounds >= 1:
        door = one.door.removeprefix("entry ")
        words.append(f"{door} {one.direction}, {_said(one.force, 'force', system)}")
    if one.pressure <= -50 and not pulls_on_flue:
        words.append("blower-door pull")
    elif one.pressure <= -10 and not pulls_on_flue:
        words.append("leaks whistle")
    return ", ".join(words) or ("barely felt" if one.pressure > -5 else "felt at the door")


def ways_out(listed: Sequence[Row], wall_duct: WallDuct | None) -> list[Row]:
    """Three ways out, each of another kind: those that hold and that the wall takes, then others, then the near misses.

    Parameters
    ----------
    listed : sequence of Row
        the options of `make_up_air` [-]
    wall_duct : WallDuct
        what the wall can take; None if that is not known [-]
    """
    ranked = sorted(
        listed, key=lambda row: (row["holds"] == "does not hold", not wall_takes(row, wall_duct), row["rank"])
    )
    chosen: list[Row] = []
    for row in ranked:
        kinds = {_kind(other) for other in chosen}
        if len(chosen) < WAYS_SHOWN and row["family"] != "none" and _kind(row) not in kinds:
            chosen.append(row)
    if ranked and ranked[0]["family"] == "none" and ranked[0]["holds"] != "does not hold":
        chosen = [ranked[0], *chosen[: WAYS_SHOWN - 1]]
    return [
        {**{key: row.get(key) for key in WAY_KEYS}, "wall_takes_it": "yes" if wall_takes(row, wall_duct) else "no"}
        for row in chosen
    ]


def _kind(row: Row) -> str:
    """What makes an option another kind of way: tempering the air of a fan does not."""
    return str(row["family"]).partition(" and tempered")[0]


def wall_takes(row: Row, wall_duct: WallDuct | None) -> bool:
    """Whether the wall takes every duct of an option; yes where nothing is known of the wall.

    Parameters
    ----------
    row : Row
        an option of `make_up_air`; its parts name each cap with its trade size [-]
    wall_duct : WallDuct
        what the wall can take [-]
    """
    if wall_duct is None:
        return True
    inches = [int(size) for size in re.findall(r"wall cap (\d+) in", str(row.get("parts") or ""))]
    count = max(len(inches), int(_number(row.get("count"))))
    return count <= wall_duct.count and all(size * INCH <= wall_duct.diameter * 1.001 for size in inches)


def frame_now(house: House, options: Options, ways: Sequence[Row]) -> list[str]:
    """What has to be in the frame whatever is decided later.

    Parameters
    ----------
    house : House
        its hood and dryers [-]
    options : Options
        what the wall can take [-]
    ways : sequence of Row
        the ways out [-]
    """
    items = []
    opened = next((row for row in ways if row["diameter_m"] and row["holds"] != "does not hold"), None)
    duct = options.wall_duct
    if duct is None and opened is not None:
        duct = WallDuct(_number(opened["diameter_m"]), int(_number(opened["count"])))
    hoods = [exhaust for exhaust in house.exhausts if exhaust.kind == "hood" and speeds_of(exhaust)]
    if duct is not None and ways and ways[0]["family"] != "none":
        hole = _said(duct.diameter + INSULATION_AROUND, "small length", options.system, 0)
        size = _said(duct.diameter, "small length", options.system, 0)
        several = "a hole" if duct.count == 1 else f"{duct.count} holes"
        items.append(f"{several} {hole} square in an outside wall of the hood's room ({size} duct, insulated)")
        items.append("a panel to reach damper and filter; conduit from hood to damper")
    if hoods:
        top = max(top_flow(hood) for hood in hoods)
        inches = next((inches for flow, inches in HOOD_DUCTS if top <= flow * 1.001), HOOD_DUCTS[-1][1])
        size = _said(inches * INCH, "small length", options.system, 0)
        items.append(
            f"hood duct {size} for {_said(top, 'air flow', options.system)} (recalled, the maker's table wins)"
        )
    if any(exhaust.kind == "dryer" and speeds_of(exhaust) for exhaust in house.exhausts):
        items.append(f"smooth {_said(4 * INCH, 'small length', options.system, 0)} dryer duct by a short way out")
    return items


def can_wait(house: House, recommended: Sequence[Row]) -> list[str]:
    """What can wait for the blower-door test at rough-in.

    Parameters
    ----------
    house : House
        its tightness and what is not picked [-]
    recommended : sequence of Row
        the recommendation of `make_up_air` [-]
    """
    told = [str(row["wait"]) for row in recommended if row.get("wait")]
    items = [f"nothing, {words}" if words.startswith("the test will not") else words for words in told]
    if not ach50(house).is_exact and not items:
        items.append("damper, fan and controls: test first, then choose")
    items += [f"which {exhaust.name}" for exhaust in house.exhausts if exhaust.not_picked is not None]
    return [item.rstrip(".") for item in items]


def answer_lines(
    house: House,
    options: Options,
    pulls: Sequence[Pulled],
    law: tuple[Limits, tuple[Verdict, ...]],
    biggest: Sequence[Row],
) -> list[str]:
    """The sentences of the answer, danger first.

    Parameters
    ----------
    house : House
        the house [-]
    options : Options
        units, the wall's duct [-]
    pulls : sequence of Pulled
        what each machine does [-]
    law : tuple
        the limits, and the verdicts of the code [-]
    biggest : sequence of Row
        the biggest hood of each duct [-]
    """
    judged, verdicts = law
    lines = [f"{finding.message} Cure: {finding.action}." for finding in danger_findings(pulls, judged)[:1]]
    lines += [_duct_sentence(house, options, biggest), _pull_sentence(pulls, judged, options.system)]
    lines.append(_reach_sentence(house, options))
    lines.append(law_sentence(verdicts, house.site.place))
    count = len(options.assumed) + len(judged.assumed)
    if count:
        lines.append(f"{count} things were assumed: each stands in the house file with its why.")
    return [line for line in lines if line]


def _duct_sentence(house: House, options: Options, biggest: Sequence[Row]) -> str:
    hoods = [exhaust for exhaust in (options.said or house).exhausts if exhaust.kind == "hood" and speeds_of(exhaust)]
    openings = [row for row in biggest if row["diameter_m"]]
    row = next((row for row in openings if _fits(row, options.wall_duct)), None)
    row = row or max(openings, key=lambda row: _number(row["hood_m3s"]), default=None)
    if not hoods or row is None:
        return ""
    top, system = max(top_flow(hood) for hood in hoods), options.system
    dryer = any(exhaust.kind == "dryer" and speeds_of(exhaust) for exhaust in house.exhausts)
    flow = _number(row["hood_with_dryer_m3s" if dryer else "hood_m3s"])
    opening = f"{str(row['opening']).capitalize()} opening{'s' if _number(row['count']) > 1 else ''}"
    verb, beside = ("carry" if opening.endswith("s") else "carries"), (" while the dryer runs" if dryer else "")
    if flow >= top * (1 - 1e-6):
        return f"{opening} {verb} the whole hood, {_said(top, 'air flow', system)}{beside}."
    if flow < LEAST_HOOD:
        return f"{opening} {verb} no hood worth the name{beside}."
    return f"{opening} {verb} a hood of {_rounded_down(flow, system)}{beside}, not {_said(top, 'air flow', system)}."


def _rounded_down(flow: float, system: str) -> str:
    """A flow that may not be promised larger than it is: down to the next 10 cfm or 5 L/s."""
    step = 10 * CFM if system == "ip" else 0.005
    return _said(int(flow / step + 0.02) * step, "air flow", system)


def _reach_sentence(house: House, options: Options) -> str:
    """That bigger machines were said than any fan could be in so tight a house; empty where none was."""
    tops = {exhaust.name: top_flow(exhaust) for exhaust in house.exhausts}
    cut = [e.name for e in (options.said or house).exhausts if top_flow(e) > tops.get(e.name, float("inf")) * 1.001]
    if not cut:
        return ""
    told = ", ".join(f"{name} {_said(tops[name], 'air flow', options.system)}" for name in cut)
    return f"So tight a house lets no fan pull more than about this, whatever its box says: {told}."


def _pull_sentence(pulls: Sequence[Pulled], judged: Limits, system: str) -> str:
    alone = [one for one in pulls if one.what != ALL_AT_ONCE]
    if not alone:
        return "Nothing here blows air out: no machine pulls on the house."
    worst = min(alone, key=lambda one: one.pressure)
    flow = _said(worst.flow, "air flow", system)
    told = f"Without make-up air {worst.what} at {flow} pulls the house to {_range(worst)}"
    if worst.direction in ("held shut", "thrown open"):
        held = "holds the entry door shut" if worst.direction == "held shut" else "throws the entry door open"
        told += f" and {held.replace('entry door', worst.door)} with {_said(worst.force, 'force', system)}"
    limit = judged.house_pressure
    hedge = "" if judged.house_source.confirmed else " (recalled, unconfirmed)"
    return f"{told}; wanted {_pascals(limit.wanted)}, tolerated {_pascals(limit.tolerated)} Pa{hedge}."


def danger_findings(pulls: Sequence[Pulled], judged: Limits) -> list[Finding]:
    """A finding for each appliance on a flue that the machines pull on beyond what it stands.

    Parameters
    ----------
    pulls : sequence of Pulled
        what each machine does [-]
    judged : Limits
        the limits [-]
    """
    found = []
    for place, limit in enumerate(judged.appliances):
        past = [one for one in pulls if one.appliances[place] < limit.pressure]
        if past:
            worst = min(past, key=lambda one: one.appliances[place])
            hedge = "" if limit.source.confirmed else " (unconfirmed)"
            found.append(
                Finding(
                    study=name,
                    code="flue_pulled",
                    severity="danger",
                    basis="standard",
                    where=limit.name,
                    state=worst.what,
                    message=(
                        f"DANGER: {worst.what} pulls {limit.name} down by {_pascals(-worst.appliances[place])} Pa, "
                        f"past the {_pascals(-limit.pressure)} Pa it can take{hedge}: "
                        "its smoke can come into the house."
                    ),
                    action="a licensed person tests it with all fans on, or it goes: sealed, power-vented or electric",
                    source=limit.source.text,
                    confirmed=limit.source.confirmed,
                    value=worst.appliances[place],
                    limit=limit.pressure,
                    unit="Pa",
                )
            )
    return found


def _pull_row(one: Pulled, judged: Limits, system: str) -> Row:
    return {
        "what": one.what if one.what == ALL_AT_ONCE else f"{one.what} {_said(one.flow, 'air flow', system)}",
        "flow_m3s": one.flow,
        "house_pressure_pa": one.pressure,
        "low_pa": one.low,
        "high_pa": one.high,
        "door_force_n": one.force,
        "feels": feels(one, judged, system),
    }


def _is_shown(row: Row, duct: WallDuct | None) -> bool:
    inches = round(_number(row["diameter_m"]) / INCH) if row["diameter_m"] else 0
    single = _number(row["count"]) <= 1 and inches in (0, *DUCTS_SHOWN)
    return single or (_number(row["count"]) == 2 and inches == 10) or _fits(row, duct)


def _fits(row: Row, duct: WallDuct | None) -> bool:
    if duct is None or not row["diameter_m"]:
        return False
    return abs(_number(row["diameter_m"]) - duct.diameter) < SAME_DUCT and _number(row["count"]) == duct.count


def _assumed_row(assumption: Assumption) -> Row:
    return {
        "path": assumption.path,
        "value": assumption.value,
        "unit": assumption.unit,
        "why": assumption.why,
        "source": assumption.source.text,
        "confirmed": "yes" if assumption.source.confirmed else "no",
    }


def _number(cell: object) -> float:
    return float(cell) if isinstance(cell, int | float) else 0.0


def _said(value: float, quantity: str, system: str, digits: int | None = None) -> str:
    return quantities.text(value, quantity, system, digits)


def _pascals(value: float) -> str:
    return quantities.number(value, "house pressure", "si", 0 if abs(value) >= 9.95 else 1)


def _range(one: Pulled) -> str:
    if one.high - one.low < 1:
        return f"{_pascals(one.pressure)} Pa"
    return f"{_pascals(one.pressure)} Pa ({_pascals(one.low)} to {_pascals(one.high)})"
