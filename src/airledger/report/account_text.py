"""The two-sided account of each state as plain text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import zip_longest

from airledger.house.house import House
from airledger.quantities import QUANTITIES, number
from airledger.report.outcome import Outcome
from airledger.report.two_sided_account import Line, gathered
from airledger.studies.protocol import Row

NAME, FIGURE = 30, 9


def state_lines(outcome: Outcome, state: str) -> tuple[list[Line], list[Line]]:
    """What enters and what leaves the whole house in a state, as the air balance tells it.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    state : str
        its name
    """
    rows = outcome.results["air_balance"].tables["account"] if "air_balance" in outcome.results else ()
    return lines_of(outcome.house, [row for row in rows if row["state"] == state])


def lines_of(house: House, rows: Sequence[Row]) -> tuple[list[Line], list[Line]]:
    """The rows of one account as its two sides, in and out.

    Parameters
    ----------
    house : House
        what the file says
    rows : sequence of dict
        of one state, as `air_balance` makes them
    """
    sides: dict[str, list[Line]] = {"in": [], "out": []}
    for row in rows:
        flow, mass_flow = row["flow_m3s"], row["mass_flow_kgs"]
        sides[str(row["side"])].append(Line(_name(house, row), float(flow or 0), float(mass_flow or 0)))
    return sides["in"], sides["out"]


def _name(house: House, row: Row) -> str:
    """What the air goes through; a stream of the ERV or HRV is one line, told when air runs backwards in it."""
    through, ventilator = str(row["through"]), house.ventilator
    stream = re.match(r"ventilator (supply|exhaust)\b", through)
    if row.get("kind") != "ventilator" or stream is None or ventilator is None:
        return through.replace(" fan fan", " fan")  # the fan of an arrangement that is called a fan
    backwards = (stream.group(1) == "supply") != (row["side"] == "in")
    return f"{ventilator.kind.upper()} {stream.group(1)}{', backwards' if backwards else ''}"


def account_states(outcome: Outcome) -> list[str]:
    """The states that have an account, in the order of the study.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    rows = outcome.results["air_balance"].tables.get("account", ()) if "air_balance" in outcome.results else ()
    return list(dict.fromkeys(str(row["state"]) for row in rows))


def hardest_first(outcome: Outcome) -> list[str]:
    """The states that have an account, the hardest pull on the house first.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    pulled = {state.name: state.house_pressure for state in outcome.states}
    return sorted(account_states(outcome), key=lambda name: pulled.get(name, 0.0))


def account_text(outcome: Outcome, system: str) -> str:
    """All accounts, one below the other.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    parts = [_account(state, *state_lines(outcome, state), system) for state in account_states(outcome)]
    return "\n\n".join(parts) + "\n"


def _account(state: str, lines_in: Sequence[Line], lines_out: Sequence[Line], system: str) -> str:
    unit, weight = (QUANTITIES[name].shown(system).unit for name in ("air flow", "mass flow"))
    sides = gathered(lines_in, 1000), gathered(lines_out, 1000)
    half = NAME + FIGURE
    text = [
        state,
        f"{f'Air in, {unit}':<{half}} | {f'Air out, {unit}':<{half}}".rstrip(),
        "-" * half + "-+-" + "-" * half,
    ]
    for left, right in zip_longest(*sides):
        text.append(f"{_half(left, system)} | {_half(right, system)}".rstrip())
    text.append(" | ".join([" " * NAME + "-" * FIGURE] * 2))
    flows = [number(sum(line.flow for line in side), "air flow", system) for side in sides]
    masses = [number(sum(line.mass_flow for line in side), "mass flow", system) for side in sides]
    text.append(" | ".join(f"{'':<{NAME}}{flow:>{FIGURE}}" for flow in flows))
    text.append(" | ".join(f"{f'by weight, {weight}':<{NAME}}{mass:>{FIGURE}}" for mass in masses))
    text.append(" | ".join([" " * NAME + "=" * FIGURE] * 2))
    return "\n".join(text)


def _half(line: Line | None, system: str) -> str:
    if line is None:
        return " " * (NAME + FIGURE)
    return f"{line.name[: NAME - 1]:<{NAME}}{number(line.flow, 'air flow', system):>{FIGURE}}"
