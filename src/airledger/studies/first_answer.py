"""The first answer: ten plain answers in; out what the code asks, what the house does and feels like, and the ways out.

The house is one room. The ways out and the biggest hoods are those of `make_up_air` and `biggest_hood`; here they are
put beside the pull of each machine alone, the law, and what has to be framed now.
"""

from __future__ import annotations

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
from airledger.search.alone import ALL_AT_ONCE, Pulled, pulled, top_speed
from airledger.search.limits import Limits
from airledger.sources import Assumption
from airledger.studies.protocol import Result, Row
from airledger.studies.work import Work
from airledger.units import CFM, INCH, POUND_FORCE

name = "first_answer"
needs = ("site", "envelope", "rooms")
reads = ("openings", "ventilator", "exhausts", "make-up air", "appliances", "limits", "rules", "people")
after: tuple[str, ...] = ("make_up_air", "biggest_hood")

DUCTS_SHOWN = (6, 7, 8, 9, 10, 12)
WAYS_SHOWN = 3
INSULATION_AROUND = 4 * INCH
# hood flow up to this -> its duct: recalled, shown as unconfirmed
HOOD_DUCTS = ((400 * CFM, 7), (600 * CFM, 8), (1200 * CFM, 10), (1500 * CFM, 12))


@dataclass(frozen=True)
class Options:
    """system: units of the sentences, ip | si; wall_duct: what the wall takes; assumed: what the answers left open."""

    system: str = "ip"
    wall_duct: WallDuct | None = None
    assumed: tuple[Assumption, ...] = ()


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
    verdicts = make_up_trigger(house, options.system)
    tables = work.result("make_up_air").tables
    ducts = work.result("biggest_hood").tables.get("ducts", ())
    biggest = [_duct_row(row) for row in ducts if _is_shown(row, options.wall_duct)]
    ways = ways_out(tables.get("options", ()))
    found: dict[str, Sequence[Row]] = {
        "answer": _numbered(answer_lines(house, options, pulls, (judged, verdicts), (ways, biggest))),
        "pulls": [_pull_row(one, judged, options.system) for one in pulls],
        "ways": ways,
        "biggest": biggest,
        "law": [law_row(verdict) for verdict in verdicts],
        "frame_now": [{"item": item} for item in frame_now(house, options, ways)],
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
    words = []
    pounds = one.force / POUND_FORCE
    if one.direction in ("held shut", "thrown open") and pounds >= 1:
        words.append(f"{one.door} {one.direction} with {_said(one.force, 'force', system)}")
    if any(change < limit.pressure for change, limit in zip(one.appliances, judged.appliances, strict=True)):
        words.append("DANGER: pulls on the flue")
    if one.pressure <= -50:
        words.append("as hard as a blower-door test")
    elif one.pressure <= -10:
        words.append("leaks whistle")
    return ", ".join(words) or ("barely felt" if one.pressure > -5 else "felt at the door")


def ways_out(listed: Sequence[Row]) -> list[Row]:
    """Three ways out, each of another kind: those that hold first, best first; then the ones that miss by least.

    Parameters
    ----------
    listed : sequence of Row
        the options of `make_up_air` [-]
    """
    ranked = sorted(listed, key=lambda row: _number(row["rank"]))
    holding = [row for row in ranked if str(row["holds"]).startswith("holds")]
    missing = [row for row in ranked if row not in holding and row["family"] != "none"]
    chosen: list[Row] = []
    for row in (*holding, *missing):
        if len(chosen) < WAYS_SHOWN and row["family"] not in {other["family"] for other in chosen}:
            chosen.append(row)
    keys = ("option", "family", "holds", "house_pressure_pa", "low_pa", "high_pa", "hood_m3s", "diameter_m", "count")
    more = ("wall_space", "cavity", "trades", "power", "price_usd")
    return [{key: row.get(key) for key in (*keys, *more)} for row in chosen]


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
    opened = next((row for row in ways if row["diameter_m"]), None)
    duct = options.wall_duct
    if opened is not None and (duct is None or _number(opened["diameter_m"]) <= duct.diameter * 1.001):
        duct = WallDuct(_number(opened["diameter_m"]), int(_number(opened["count"])))
    hoods = [exhaust for exhaust in house.exhausts if exhaust.kind == "hood" and speeds_of(exhaust)]
    if duct is not None and ways:
        hole = _said(duct.diameter + INSULATION_AROUND, "small length", options.system, 0)
        size = _said(duct.diameter, "small length", options.system, 0)
        several = "a hole" if duct.count == 1 else f"{duct.count} holes"
        items.append(f"{several} {hole} square in an outside wall of the hood's room ({size} duct, insulated)")
        items.append("a panel to reach damper and filter; conduit from hood to damper")
    if hoods:
        top = max(top_speed(hood) for hood in hoods)
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
    items = [str(row["wait"]) for row in recommended if row.get("wait")]
    if not ach50(house).is_exact and not items:
        items.append("damper, fan and controls: test first, then choose")
    items += [f"which {exhaust.name}" for exhaust in house.exhausts if exhaust.not_picked is not None]
    return [item.rstrip(".") for item in items]


def answer_lines(
    house: House,
    options: Options,
    pulls: Sequence[Pulled],
    law: tuple[Limits, tuple[Verdict, ...]],
    ways: tuple[Sequence[Row], Sequence[Row]],
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
    ways : tuple
        the ways out, and the biggest hood of each duct [-]
    """
    judged, verdicts = law
    lines = [finding.message for finding in danger_findings(pulls, judged)[:1]]
    lines += [_duct_sentence(house, options, ways[1]), _pull_sentence(pulls, judged, options.system)]
    lines.append(law_sentence(verdicts, house.site.place))
    count = len(options.assumed) + len(judged.assumed)
    if count:
        lines.append(
            f"{count} things were assumed: each stands in the house file or under --json, with its why and source."
        )
    return [line for line in lines if line]


def _duct_sentence(house: House, options: Options, biggest: Sequence[Row]) -> str:
    hoods = [exhaust for exhaust in house.exhausts if exhaust.kind == "hood" and speeds_of(exhaust)]
    if not hoods:
        return ""
    top, system = max(top_speed(hood) for hood in hoods), options.system
    shown = [row for row in biggest if row["hood_m3s"] is not None]
    row = next((row for row in shown if _fits(row, options.wall_duct)), None)
    if row is None:
        row = max(shown, key=lambda row: _number(row["hood_m3s"]), default=None)
    if row is None:
        return ""
    flow, opening = _number(row["hood_m3s"]), str(row["opening"])
    opening = opening[:1].upper() + opening[1:] + " opening" + ("s" if opening.startswith("two") else "")
    verb = "carry" if opening.endswith("s") else "carries"
    if flow >= top * (1 - 1e-6):
        return f"{opening} {verb} the whole hood, {_said(top, 'air flow', system)}."
    if flow < 50 * CFM:
        return f"{opening} {verb} no hood worth the name within the limits."
    return f"{opening} {verb} a hood of {_said(flow, 'air flow', system)}, not {_said(top, 'air flow', system)}."


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
                        f"DANGER: {worst.what} pulls {limit.name} down by {_pascals(worst.appliances[place])} Pa, "
                        f"past the {_pascals(limit.pressure)} Pa it stands{hedge}: its smoke can come into the house."
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


def _numbered(lines: Sequence[str]) -> list[Row]:
    return [{"order": order, "line": line} for order, line in enumerate(lines, 1)]


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
    single = _number(row["count"]) == 1 and inches in DUCTS_SHOWN
    return single or (_number(row["count"]) == 2 and inches == 10) or _fits(row, duct)


def _fits(row: Row, duct: WallDuct | None) -> bool:
    if duct is None or not row["diameter_m"]:
        return False
    return abs(_number(row["diameter_m"]) - duct.diameter) < 0.002 and _number(row["count"]) == duct.count


def _duct_row(row: Row) -> Row:
    keys = ("opening", "hood_m3s", "hood_with_dryer_m3s", "diameter_m", "count", "bound_by")
    return {key: row.get(key) for key in keys}


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
    return f"{_pascals(one.pressure)} Pa ({_pascals(one.high)} to {_pascals(one.low)})"
