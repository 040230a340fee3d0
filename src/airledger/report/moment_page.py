"""One moment of a house for a screen: its sentence, the tape, air in and air out, doors, rooms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from airledger.house.house import House
from airledger.house.ledger import StateResult
from airledger.quantities import text
from airledger.report import pressure_tape, two_sided_account
from airledger.report.account_text import lines_of
from airledger.report.blocks import Section, capital, table
from airledger.report.facts import short_source
from airledger.report.pressure_tape import Gate, Notch, pascals_text
from airledger.report.two_sided_account import Line, gathered
from airledger.sources import Source
from airledger.studies.protocol import Row

NOTHING = 0.05
"""House pressure that is printed as nothing [Pa]."""
LIGHT = 0.5
"""Pull at a door that nobody feels [N]."""


def moment_section(  # a moment's own parts  # noqa: PLR0913, PLR0917
    house: House,
    words: str,
    state: StateResult,
    ends: tuple[float, float],
    account: Sequence[Row],
    limits: Mapping[str, tuple[float | None, float | None]],
    limits_from: Source,
    system: str,
) -> Section:
    """A moment as blocks: house pressure over the range of tightness, the account, doors and rooms.

    Parameters
    ----------
    house : House
        what the file says
    words : str
        what is running
    state : StateResult
        solved at the likely tightness
    ends : tuple of float
        lowest and highest house pressure over the range of tightness
    account : sequence of dict
        rows as `air_balance` makes them
    limits : Mapping
        "house" and "door": wanted and tolerated
    limits_from : Source
        whose limits of the house pressure they are
    system : str
        ``ip`` or ``si``
    """
    section = Section(_sentence(words, state.house_pressure, ends), own_page=False)
    tolerated = limits["house"][1]
    low = min(ends)
    past = tolerated is not None and low < tolerated
    marks = [Notch("likely", state.house_pressure, tolerated is not None and state.house_pressure < tolerated)]
    if abs(ends[0] - ends[1]) > 2 * NOTHING:
        marks += [Notch("if tight", low, past), Notch("if loose", max(ends), (tolerated or low) > max(ends))]
    wanted = limits["house"][0]
    gates = [
        Gate(value, name, short_source(limits_from.tag, limits_from.name))
        for name, value in (("wanted", wanted), ("tolerated", tolerated))
        if value is not None
    ]
    gates = gates[1:] if wanted == tolerated else gates
    section.picture("tape.svg", pressure_tape.drawing(marks, gates, "How hard the house is pulled now"))
    into, out = lines_of(house, account)
    if into or out:
        section.heading("Air in, air out")
        section.picture("account.svg", two_sided_account.drawing(into, out, system, "Air in, air out, now"))
        section.words(_most(into, system))
    doors = _doors(state, limits["door"][1])
    if doors:
        section.heading("Doors")
        section.blocks.append(table(doors, ("opening", "force_n", "direction", "verdict"), system))
    rooms: list[Row] = [{"room": name, "pressure_pa": pascals} for name, pascals in state.rooms]
    if len(rooms) > 1:
        section.heading("Rooms")
        section.blocks.append(table(rooms, ("room", "pressure_pa"), system))
    section.words(
        f"{capital(state.season)} air, {state.wind or 'calm'}. A calculation does not replace a combustion test or a "
        "carbon monoxide alarm.",
        True,
    )
    return section


def _sentence(words: str, pascals: float, ends: tuple[float, float]) -> str:
    if abs(pascals) < NOTHING:
        return f"{capital(words)}: the house stands as outdoors."
    way = "below" if pascals < 0 else "above"
    spread = sorted(abs(end) for end in ends)
    told = f"{capital(words)}: the house stands {pascals_text(abs(pascals))} Pa {way} outdoors"
    if spread[1] - spread[0] > 2 * NOTHING:
        told += f", {pascals_text(spread[0])} to {pascals_text(spread[1])} as loose or tight as it may be"
    return f"{told}."


def _most(lines: Sequence[Line], system: str) -> str:
    if not lines:
        return ""
    first = gathered(lines)[0]
    total = text(sum(line.flow for line in lines), "air flow", system)
    return f"{total} comes in, {text(first.flow, 'air flow', system)} of it through {first.name}."


def _doors(state: StateResult, tolerated: float | None) -> list[Row]:
    found: list[Row] = []
    for force in sorted(state.door_forces, key=lambda one: -abs(one.force)):
        if abs(force.force) < LIGHT:
            continue
        passes = tolerated is not None and abs(force.force) > tolerated
        verdict = "past the limit" if passes else "within the limit" if tolerated is not None else ""
        cells: dict[str, Any] = {"opening": force.opening, "force_n": abs(force.force)}
        found.append({**cells, "direction": force.direction, "verdict": verdict, "strong": passes})
    return found
