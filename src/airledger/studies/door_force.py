"""What the pull does at the doors: held shut or thrown open, with how much, and what an open back door changes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from airledger.findings import Finding
from airledger.house.envelope import ach50
from airledger.house.house import OUTDOORS, House, Opening
from airledger.house.operating_state import OperatingState, Settings
from airledger.house.readout import Readout
from airledger.physics.door_force import piston_pressure, swept_volume
from airledger.quantities import within_words
from airledger.search.limits import PAST, Limits, both_ends, force_verdict
from airledger.search.wind import wind_rows, wind_words, windy
from airledger.search.wording import amount, capital, pascals
from airledger.search.work import Work
from airledger.search.worst import (
    HELD_SHUT,
    Solve,
    Survey,
    direction_of,
    leaf_doors,
    opening_named,
    outer_doors,
    signed_force,
    state_names,
    worst_of,
)
from airledger.studies.protocol import Result, Row
from airledger.units import POUND_FORCE

name = "door_force"
needs = ("site", "envelope", "rooms", "openings")
reads = ("ventilator", "exhausts", "make-up air", "appliances", "states", "limits")
after: tuple[str, ...] = ()

PISTON_ANGLE = math.radians(10)
PISTON_WORTH_SAYING = 10.0
READABLE = 0.1 * POUND_FORCE
"""The least force that a spring scale for doors tells [N]: common practice, no source."""
OUTER_ACTION = "bring the house pressure up; until then open another way out first"
INNER_ACTION = "give the shut room a way back for its air: a bigger undercut, or a grille beside the door"


def run(house: House, options: Any, work: Work) -> Result:
    """The force at every door in the named states and in its worst one, and its cures.

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
    judged, found = work.limits(), work.survey()
    rows = [*named_rows(house, work, judged), *worst_rows(found, judged, work.solver(house))]
    cures = cure_rows(house, work, rows)
    doors = [one for one in worst_of(found, judged) if one.kind == "door"]
    wind = wind_rows(found, work.solver(windy(found.listing.house)), judged, doors)
    findings = [*_force_findings(house, rows, (cures, wind), judged), *_piston_findings(house)]
    return Result(tuple(findings), {"doors": tuple(rows), "cure": tuple(cures), "wind": tuple(wind)})


def named_rows(house: House, work: Work, judged: Limits) -> list[Row]:
    """Every door in the named states, at the likely tightness and with its range.

    Parameters
    ----------
    house : House
        its doors and tightness [-]
    work : Work
        for the named states [-]
    judged : Limits
        the limits [-]
    """
    likely = work.named_at(None)
    ends = [work.named_at(end) for end in ach50(house).ends]
    tight = likely.settings.column(("house", "ach50"), ach50(house).likely)
    listed: list[Row] = []
    for door in leaf_doors(house):
        value = signed_force(likely, door)
        several = np.array([value, *(signed_force(end, door) for end in ends)])
        difference = likely.door_difference(opening_named(house, door))
        for index, state in enumerate(work.named()):
            sizes = [abs(float(force)) for force in several[:, index]]
            verdict = both_ends(tuple(force_verdict(force, judged.door_pull) for force in sizes))
            row = _row(door, state.name, float(tight[index]), float(value[index]), judged, verdict)
            listed.append(row | {"difference_pa": float(difference[index]), "low_n": min(sizes), "high_n": max(sizes)})
    return listed


def _row(door: str, state: str, tightness: float, force: float, judged: Limits, verdict: str) -> Row:
    return {
        "opening": door,
        "state": state,
        "ach50": tightness,
        "difference_pa": None,
        "force_n": abs(force),
        "low_n": abs(force),
        "high_n": abs(force),
        "direction": direction_of(force),
        "wanted_n": judged.door_pull.wanted,
        "tolerated_n": judged.door_pull.tolerated,
        "verdict": verdict,
    }


def worst_rows(found: Survey, judged: Limits, solve: Solve) -> list[Row]:
    """Every door in its worst state.

    Parameters
    ----------
    found : Survey
        the normal states, solved [-]
    judged : Limits
        the limits [-]
    solve : callable
        settings to readout [-]
    """
    listed: list[Row] = []
    worst = worst_of(found, judged)
    names = state_names(found, worst)
    doors = [one for one in worst if one.kind == "door"]
    if not doors:
        return listed
    numbers = found.numbers[np.array([one.place for one in doors], dtype=np.intp)]
    seen = solve(found.listing.settings(numbers))
    for place, (one, number) in enumerate(zip(doors, numbers, strict=True)):
        taken = {freedom.kind: choice for freedom, choice in found.listing.choices(int(number))}
        tightness = taken["tightness"].settings[0][1]
        verdict = force_verdict(one.value, judged.door_pull)
        row = _row(one.target, names[int(number)], tightness, one.value, judged, verdict)
        difference = seen.door_difference(opening_named(found.listing.house, one.target))
        listed.append(row | {"difference_pa": float(difference[place])})
    return listed


def to_outdoors(house: House) -> tuple[Opening, ...]:
    """Doors and windows that lead to outdoors.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    return tuple(o for o in house.openings if o.kind in ("door", "window") and OUTDOORS in o.between)


def cure_rows(house: House, work: Work, rows: list[Row]) -> list[Row]:
    """What opening another door or window to outdoors leaves at each door, in the named state that pulls hardest at it.

    Parameters
    ----------
    house : House
        its doors and windows [-]
    work : Work
        for solving [-]
    rows : list of dict
        the named states by door [-]
    """
    named = {state.name: state for state in work.named()}
    outside = to_outdoors(house)
    opened: dict[str, Readout] = {}  # one solve serves all doors that are pulled hardest in one state
    listed: list[Row] = []
    for door in (opening for opening in outside if opening.kind == "door" and len(outside) > 1):
        mine = [row for row in rows if row["opening"] == door.name and row["state"] in named]
        if mine:
            state = str(max(mine, key=lambda row: amount(row["force_n"]))["state"])
            if state not in opened:
                opened[state] = work.solver(house)(_each_opened(house, named[state], outside))
            forces = signed_force(opened[state], door.name)
            listed += [
                {"opening": door.name, "state": state, "cure": f"{cure.name} open", "force_n": abs(float(force))}
                for cure, force in zip(outside, forces, strict=True)
                if cure is not door
            ]
    return listed


def _each_opened(house: House, state: OperatingState, outside: Sequence[Opening]) -> Settings:
    """A state as many times as there are doors and windows to outdoors, in each another one fully open."""
    base = Settings.of(house, [state] * len(outside))
    columns = {("open", cure.name): np.arange(len(outside)) == at for at, cure in enumerate(outside)}
    return base.with_({key: np.where(on, 1.0, base.column(key, 0.0)) for key, on in columns.items()})


def _wind_words(house: House, worst: Row, wind: list[Row]) -> str:
    """What wind adds to a door's worst state, or to the named one as hard, where a spring scale would tell it."""
    row = next((row for row in wind if row["target"] == worst["opening"]), None)
    if row is None:
        return ""
    ends = (amount(row["adds_low_n"]), amount(row["adds_high_n"]))
    if max(abs(end) for end in ends) < READABLE:
        return ""
    low, high = (within_words(end, "force") for end in ends)
    own = " through the house; what it presses on the door itself comes on top"
    return f" {wind_words(house)} adds {low} to {high}{own if row['target'] in outer_doors(house) else ''}."


def _force_findings(
    house: House, rows: list[Row], beside: tuple[list[Row], list[Row]], judged: Limits
) -> list[Finding]:
    """One finding a door: its hardest state, what eases it, what wind adds (`beside`: cures and wind)."""
    listed = []
    cures, wind = beside
    for door in leaf_doors(house):
        mine = [row for row in rows if row["opening"] == door]
        worst = max(mine, key=lambda row: (amount(row["high_n"]), not str(row["state"]).startswith("worst")))
        force = amount(worst["high_n"])
        if force_verdict(force, judged.door_pull) == "as wanted":
            continue
        past = force_verdict(force, judged.door_pull) == PAST
        does = "holds" if worst["direction"] == HELD_SHUT else "throws"
        how = "shut" if does == "holds" else "open"
        named = str(worst["state"]) if not str(worst["state"]).startswith("worst") else "the worst state found"
        message = capital(f"{named}: the pull {does} the {door} {how} with {within_words(force, 'force', 0)}.")
        eased = [row for row in cures if row["opening"] == door]
        ease = min(eased, key=lambda row: amount(row["force_n"]), default=None)
        if ease is not None:
            message += f" With the {ease['cure']} it is {within_words(amount(ease['force_n']), 'force')}."
        message += _wind_words(house, worst, wind)
        listed.append(
            Finding(
                study=name,
                code="door_pull",
                severity="fail" if past and judged.door_basis == "user" else "caution",
                basis=judged.door_basis,
                where=door,
                state=str(worst["state"]),
                message=message,
                action=OUTER_ACTION if door in outer_doors(house) else INNER_ACTION,
                source=judged.door_source.text,
                confirmed=judged.door_source.confirmed,
                value=force,
                low=amount(worst["low_n"]),
                high=force,
                limit=judged.door_pull.tolerated if past else judged.door_pull.wanted,
                unit="N",
            )
        )
    return listed


def _piston_findings(house: House) -> list[Finding]:
    """A door is a piston: what its first degrees do with nothing running."""
    doors = [opening for opening in to_outdoors(house) if opening.kind == "door"]
    if not doors:
        return []
    door = max(doors, key=lambda opening: opening.width**2 * opening.height)
    slow, quick = piston_pressure(swept_volume(door.width, door.height, PISTON_ANGLE), house.volume)
    if quick < PISTON_WORTH_SAYING:
        return []
    message = (
        f"The {door.name} is a piston: its first 10 degrees press or pull {pascals(float(slow))} to "
        f"{pascals(float(quick))} for a moment with nothing running. That is no fault."
    )
    return [
        Finding(
            study=name,
            code="door_is_a_piston",
            severity="ok",
            basis="practice",
            where=door.name,
            state="nothing running",
            message=message,
            action="",
            source="Boyle's law, computed",
            confirmed=True,
            value=float(quick),
            low=float(slow),
            high=float(quick),
            unit="Pa",
        )
    ]
