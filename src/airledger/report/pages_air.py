"""Pages on the air itself: the two-sided accounts, the ERV's balance, the year, and the plan."""

from __future__ import annotations

from airledger.house.ledger import StateResult
from airledger.quantities import number, text
from airledger.report import levels, plan, two_sided_account
from airledger.report.account_text import account_states, hardest_first, state_lines
from airledger.report.blocks import Section, capital, table
from airledger.report.facts import figure, rows, unit_of
from airledger.report.outcome import Outcome
from airledger.report.pressure_tape import pascals_text
from airledger.report.two_sided_account import Line, gathered

FEW = 2  # rooms without a place that are told in words, not drawn by levels


def accounts(outcome: Outcome, system: str) -> Section | None:
    """The two-sided account of every named state, the hardest pull first.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    sides = {state: state_lines(outcome, state) for state in account_states(outcome)}
    if not sides:
        return None
    order = hardest_first(outcome)
    section = Section(_account_sentence(order[0], sides[order[0]][0], system))
    for place, state in enumerate(order):
        if place:
            section.heading(capital(state))
        file = f"account-{place + 1}{plan.slug(state)}.svg"
        section.picture(file, two_sided_account.drawing(*sides[state], system, f"Air in, air out: {state}"))
    return section


def _account_sentence(state: str, lines_in: list[Line], system: str) -> str:
    total = text(sum(line.flow for line in lines_in), "air flow", system)
    if not lines_in:
        return f"{capital(state)}: nothing comes in."
    first = gathered(lines_in)[0]
    share = number(first.flow, "air flow", system)
    return f"{capital(state)}: {total} comes in, {share} of it through {first.name}."


def balance(outcome: Outcome, system: str) -> Section | None:
    """Whether the ERV or HRV is balanced, and what the walls pass in a year.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    ventilator, yearly = rows(outcome, "air_balance", "ventilator"), rows(outcome, "air_balance", "yearly_air")
    if not ventilator and not yearly:
        return None
    told = [row for row in yearly if row.get("air_m3") is not None]
    section = Section("How the ERV or HRV is balanced.", own_page=False, whole=True)
    if told:
        most = max(told, key=lambda row: figure(row["air_m3"]))
        amount = text(figure(most["air_m3"]), "air a year", system)
        section.sentence = f"What draws most air through the walls in a year: {most['cause']}, {amount}."
        section.blocks.append(table(yearly, ("cause", "hours_s", "air_m3"), system))
        if any(figure(row["air_m3"]) < 0 for row in told):
            section.words("A minus keeps that much from coming in through the walls.", True)
    if ventilator:
        section.heading("Supply against exhaust of the ERV or HRV")
        keys = ("state", "supply_m3s", "exhaust_m3s", "balance_ratio", "goal_low_ratio", "goal_high_ratio", "verdict")
        section.blocks.append(table(ventilator, keys, system))
    return section


def pictured(outcome: Outcome) -> StateResult | None:
    """The named state that is drawn on the plan: the one with the hardest pull.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    named = {str(row["state"]) for row in rows(outcome, "depressurization", "named")} | set(account_states(outcome))
    states = [state for state in outcome.states if state.name in named] or list(outcome.states)
    return min(states, key=lambda state: state.house_pressure) if states else None


def plans(outcome: Outcome, system: str) -> Section | None:
    """The plan with ribbons, each drawn level by itself, and the rooms that are not drawn as levels.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    state = pictured(outcome)
    if state is None or len(state.rooms) < 2:
        return None
    house = {room.name for room in outcome.house.conditioned}
    pressures = [(name, pascals) for name, pascals in state.rooms if name in house] or list(state.rooms)
    section = Section(_plan_sentence(state.name, [pascals for _, pascals in pressures]), own_page=False)
    drawn = {room.name for _, group in plan.drawn_levels(outcome.house) for room in group}
    section.words(
        f"Pressures are inside minus outdoors; flows in {unit_of('air flow', system)} of the air that enters.", True
    )
    undrawn = [(name, pascals) for name, pascals in pressures if name not in drawn]
    if drawn and 0 < len(undrawn) <= FEW:
        section.words(" ".join(_not_drawn(state, name, pascals, system) for name, pascals in undrawn))
    for name, group in plan.drawn_levels(outcome.house):
        if not group:
            continue
        if name:
            section.heading(capital(name))
        file = f"plan{plan.slug(name)}.svg"
        section.picture(file, plan.drawing(outcome.house, state, group, system))
    others = [name for name, _ in pressures if name not in drawn]
    if others and not (drawn and len(others) <= FEW):
        if drawn:
            section.heading("Not drawn yet: as deep as they are pulled")
        section.picture("levels.svg", levels.drawing(state, others, system))
    return section


def _not_drawn(state: StateResult, name: str, pascals: float, system: str) -> str:
    """A room that the file gives no place, in words: its pressure, what comes in and goes out."""
    into, out = (
        text(sum(flow.volume_flow for flow in state.flows if getattr(flow, end) == name), "air flow", system)
        for end in ("to", "from_")
    )
    return f"Not drawn yet: {name}, {text(pascals, 'house pressure', system)}, {into} in, {out} out."


def _plan_sentence(state: str, pressures: list[float]) -> str:
    low, high = (pascals_text(value) for value in (min(pressures), max(pressures)))
    if low == high:
        return f"{capital(state)}: every room stands at {low} Pa."
    return f"{capital(state)}: the rooms stand between {low} and {high} Pa."
