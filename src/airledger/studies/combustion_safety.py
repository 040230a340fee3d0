"""What burns inside: what the fans do at its flue against what it stands, and the air that its burner needs."""

from __future__ import annotations

from typing import Any

from airledger.errors import InputError
from airledger.findings import Finding
from airledger.house.flues import has_flue
from airledger.house.house import House
from airledger.rules.combustion_air import WAYS, burner_air, opening_area, rule, source_of
from airledger.search.burner_air import ENOUGH, UNTOLD, BurnerRoom, burner_rooms
from airledger.search.flues import (
    FOUND,
    Moment,
    OpenFlue,
    Pull,
    named_moments,
    open_flues,
    pulls_at,
    solved,
    worst_moments,
)
from airledger.search.limits import ApplianceLimit
from airledger.search.wording import capital, pascals, series
from airledger.search.work import Work
from airledger.sources import Source
from airledger.studies.protocol import Result, Row

name = "combustion_safety"
needs = ("site", "envelope", "rooms")
reads = ("openings", "ventilator", "exhausts", "make-up air", "appliances", "states", "limits")
after: tuple[str, ...] = ()

DANGER, WITHIN = "danger", "within"
DOWN, UP = "down the flue", "up the flue"
LICENSED = "do not light it until a licensed person has done a combustion test with the fans on"
DECIDES = "the gas official and a licensed installer decide"
APART = {
    "direct vent": "takes its air from outdoors: the pull in the room does not reach its flame",
    "sealed": "takes its air from outdoors: the pull in the room does not reach its flame",
    "none": "has no flue: what it burns stays in the room until the hood takes it",
}
OFF_CYCLE = Source("CMHC Technical Series 04-121 (2004): 5 Pa can backdraft a chimney in its off cycle", "published")


def run(house: House, options: Any, work: Work) -> Result:
    """The pull at every flue, the air in an open one, and the burners' air.

    Parameters
    ----------
    house : House
        what the file says [-]
    options : object
        none yet [-]
    work : Work
        solving and what is shared [-]
    """
    del options
    limits = work.limits().appliances
    pulls = _pulls(house, work) if limits else []
    rows: list[Row] = []
    flues: list[Row] = []
    findings: list[Finding] = []
    for stands, found in pulls:
        rows += [pull_row(stands, pull) for pull in found]
        findings += [
            pull_finding(stands, pull) for pull in found if pull.moment.found == FOUND or _passed(stands, pull)
        ]
        opened, told = _opened(house, stands, [pull.moment for pull in found])
        flues += [flue_row(stands, one) for one in opened]
        findings += [*told, *_flue_findings(stands, opened)]
    spaces = burner_rooms(house)
    findings += [space_finding(space) for space in spaces]
    findings.append(_last_word(bool(limits) or bool(spaces)))
    tables: dict[str, tuple[Row, ...]] = {
        "appliances": tuple(rows),
        "open_flue": tuple(flues),
        "burner_room": tuple(row for space in spaces for row in space_rows(space)),
        "openings": tuple(row for space in spaces for row in opening_rows(space)),
        "apart": tuple(
            {"appliance": a.name, "vents": a.vents, "why": APART[a.vents]}
            for a in house.appliances
            if a.burns and a.vents in APART
        ),
    }
    return Result(tuple(findings), tables)


def _pulls(house: House, work: Work) -> list[tuple[ApplianceLimit, list[Pull]]]:
    """What the fans do at every appliance: in its worst moment first, then in the named ones."""
    limits = work.limits()
    moments = [*worst_moments(work.survey(), limits).values(), *named_moments(house, work.named())]
    found = solved(house, work.solver(house), moments)
    return [(stands, pulls_at(house, stands, found)) for stands in limits.appliances]


def _passed(stands: ApplianceLimit, pull: Pull) -> bool:
    """Whether the change by the fans, at either end of the tightness, is more than the appliance stands."""
    return pull.low < stands.pressure


def pull_row(stands: ApplianceLimit, pull: Pull) -> Row:
    """What the fans do at an appliance in one state as a line of the table.

    Parameters
    ----------
    stands : ApplianceLimit
        what it stands [-]
    pull : Pull
        what the fans do [-]
    """
    return {
        "appliance": stands.name,
        "venting": stands.why,
        "state": pull.moment.state,
        "kind": pull.moment.kind,
        "found": pull.moment.found,
        "why": pull.moment.why,
        "season": pull.season,
        "ach50": pull.ach50,
        "change_pa": pull.change,
        "deepest_change_pa": pull.low,
        "mildest_change_pa": pull.high,
        "absolute_pa": pull.pressure,
        "fans_off_pa": pull.fans_off,
        "limit_pa": stands.pressure,
        "limit_tag": stands.source.tag,
        "limit_source": stands.source.text,
        "verdict": DANGER if _passed(stands, pull) else WITHIN,
        "cold_draft_pa": pull.draft,
        "hours_s": pull.moment.hours,
    }


def pull_finding(stands: ApplianceLimit, pull: Pull) -> Finding:
    """What the fans do at an appliance, judged by the change that they make; the pressure itself is told beside it.

    Parameters
    ----------
    stands : ApplianceLimit
        what it stands [-]
    pull : Pull
        what the fans do [-]
    """
    passed = _passed(stands, pull)
    hedge = "" if stands.source.confirmed else " (unconfirmed)"
    when = f'in "{pull.moment.state}"' if pull.moment.found != FOUND else pull.moment.why
    at = " at the tight end" if pull.low < pull.change else ""
    message = (
        f"The fans {'pull' if pull.low < 0 else 'push'} {pascals(abs(pull.low))} at the {stands.name}{at}, "
        f"{'more than' if passed else 'within'} the {pascals(-stands.pressure)}{hedge} that {stands.why} can take: "
        f"{when}. Against outdoors its room then stands at {pascals(pull.deepest)}, and at "
        f"{pascals(pull.deepest_fans_off)} with every fan off. Its flue was taken as shut."
    )
    return Finding(
        study=name,
        code="appliance_pull" if pull.moment.found == FOUND else "appliance_pull_named",
        severity="danger" if passed else "ok",
        basis="standard",
        where=stands.name,
        state=pull.moment.state,
        message=message,
        action=LICENSED if passed else "",
        source=stands.source.text,
        confirmed=stands.source.confirmed,
        value=pull.low,
        low=pull.low,
        high=pull.high,
        limit=stands.pressure,
        unit="Pa",
    )


def _opened(house: House, stands: ApplianceLimit, moments: list[Moment]) -> tuple[list[OpenFlue], list[Finding]]:
    """The open flue in all moments; where it cannot be solved, why not."""
    appliance = next((entry for entry in house.appliances if entry.name == stands.name), None)
    if appliance is None or not has_flue(appliance):
        return [], []
    try:
        return open_flues(house, appliance, moments), []
    except InputError as problem:
        message = f"What an open flue of the {stands.name} would do cannot be told: {problem}."
        return [], [_said("unknown", "open_flue", stands.name, message, "measure again with the flue open", OFF_CYCLE)]


def flue_row(stands: ApplianceLimit, one: OpenFlue) -> Row:
    """Air in an open flue in one state as a line of the table.

    Parameters
    ----------
    stands : ApplianceLimit
        whose flue it is [-]
    one : OpenFlue
        what goes through it [-]
    """
    return {
        "appliance": stands.name,
        "state": one.moment.state,
        "why": one.moment.why,
        "season": one.season,
        "cold_draft_pa": one.draft,
        "room_pa": one.pressure,
        "flow_m3s": abs(one.flow),
        "goes": _way(one.flow),
        "fans_off_flow_m3s": abs(one.fans_off),
        "fans_off_goes": _way(one.fans_off),
    }


def _way(flow: float) -> str:
    return UP if flow > 0 else DOWN


def _flue_findings(stands: ApplianceLimit, opened: list[OpenFlue]) -> list[Finding]:
    """States in which the fans turn the air in a cold flue around, and seasons in which it falls by itself."""
    turned = [one for one in opened if one.flow < 0 < one.fans_off]
    falling = sorted({one.season for one in opened if one.fans_off < 0})
    listed = []
    if turned:
        states = series(list(dict.fromkeys(one.moment.state for one in turned)))
        message = (
            f"With the flue of the {stands.name} open and cold, the fans turn the air in it around ({states}): it "
            "comes down, and the first smoke of a firing spills into the room."
        )
        listed.append(_said("caution", "flue_turned", stands.name, message, LICENSED, OFF_CYCLE))
    if falling:
        message = (
            f"With every fan off, air stands or falls in the cold flue of the {stands.name} in {series(falling)}: a "
            "flue has little draft when it is as warm outdoors as inside."
        )
        action = "have its start watched on a warm day by a licensed person"
        listed.append(_said("caution", "flue_without_draft", stands.name, message, action, OFF_CYCLE))
    return listed


def space_rows(space: BurnerRoom) -> list[Row]:
    """The room volume for burners, a line a method.

    Parameters
    ----------
    space : BurnerRoom
        joined rooms and what burns there [-]
    """
    least = float(rule("standard volume")["least_air_changes"])
    barred = "" if space.standard_allowed else f"not allowed: air leaks in slower than {least:.2f} times an hour"
    told: Row = {
        "rooms": series(list(space.rooms)),
        "appliances": series(list(space.appliances)),
        "volume_m3": space.volume,
        "input_w": space.input,
        "air_changes_per_h": space.air_changes,
    }
    methods = (
        ("standard volume", space.standard, barred or _fits(space.volume, space.standard)),
        ("known leakage", space.known, _fits(space.volume, space.known) if space.known else space.verdict),
    )
    rows: list[Row] = []
    for method, asked, verdict in methods:
        key = "standard volume" if method == "standard volume" else "known rate, natural draft"
        source = source_of(key).text
        rows.append({**told, "method": method, "asked_m3": asked, "verdict": verdict, "source": source})
    return rows


def _fits(volume: float, asked: float | None) -> str:
    if asked is None:
        return UNTOLD
    return ENOUGH if volume >= asked else "too small"


def opening_rows(space: BurnerRoom) -> list[Row]:
    """The openings to outdoors that would bring the burners their air, a line a way.

    Parameters
    ----------
    space : BurnerRoom
        joined rooms and what burns there [-]
    """
    if space.input is None:
        return []
    return [
        {
            "appliances": series(list(space.appliances)),
            "way": str(rule(way)["title"]),
            "count": int(rule(way)["count"]),
            "each_free_m2": opening_area(way, space.input),
            "burner_air_m3s": burner_air(space.input),
            "source": source_of(way).text,
        }
        for way in WAYS
    ]


def space_finding(space: BurnerRoom) -> Finding:
    """Whether the rooms hold air enough for the burners by the methods of the fuel-gas code.

    Parameters
    ----------
    space : BurnerRoom
        joined rooms and what burns there [-]
    """
    who, source = series(list(space.appliances)), source_of("known rate, natural draft")
    where = series(list(space.rooms))
    if space.input is None:
        message = f"Whether {where} holds air enough for the {who} cannot be told: an input is not in the file."
        return _said("unknown", "burner_room", who, message, "read the input from its label into the file", source)
    fits = space.verdict == ENOUGH
    message = f"No room volume in the house counts as air enough for the {who}: {space.verdict}."
    if space.known is not None or fits:
        message = f"For the {who}, {where} is {space.verdict}."
    barred = (
        " The standard volume is not allowed here: it is for houses that change their air at least 0.40 times an hour, "
        f"and this one does so about {space.air_changes:.2f} times (a twentieth of its blower-door rate: practice)."
    )
    barred = "" if space.standard_allowed else barred
    action = "" if fits else f"take its air from outdoors, or set a sealed one; {DECIDES}"
    return _said("ok" if fits else "caution", "burner_room", who, capital(message) + barred, action, source)


def _last_word(burning: bool) -> Finding:
    """What no calculation settles."""
    first = "" if burning else "Nothing in the file burns on a flue inside the house; if something does, list it. "
    message = (
        f"{first}A calculation does not replace a combustion test or a carbon monoxide alarm. "
        "A house that was made tighter is tested for radon."
    )
    return _said("ok", "still_test", "house", message, "", Source("caution of the trade", "practice"))


def _said(severity: str, code: str, where: str, message: str, action: str, source: Source) -> Finding:
    return Finding(
        study=name,
        code=code,
        severity=severity,
        basis="practice" if source.tag == "practice" else "standard",
        where=where,
        state="",
        message=message,
        action=action,
        source=source.text,
        confirmed=source.confirmed,
    )
