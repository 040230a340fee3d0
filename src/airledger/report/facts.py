"""What papers and screens read out of an outcome: rows of a study, limits, the worst of something."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from airledger.findings import Finding
from airledger.quantities import QUANTITIES, number
from airledger.report.blocks import sentence, together
from airledger.report.outcome import Outcome
from airledger.report.pressure_tape import Gate, Notch
from airledger.studies.protocol import Cell, Row

CAUTIONS = (
    ("licensed work", "Combustion, gas, electrical and structural work belongs to licensed people."),
    ("code first", "Local code and the maker's instructions win over anything printed here."),
    ("still test", "A calculation does not replace a combustion test or a carbon monoxide alarm."),
    ("radon", "A house that was made tighter is tested for radon."),
)
NEXT_SENTENCE = re.compile(r"(?<=[.!?]) (?=[A-Z])")
FOOT = (
    "Gas, combustion, electrical and structural work belongs to licensed people; "
    "local code and the maker's instructions win."
)


def rows(outcome: Outcome, study: str, table: str) -> tuple[Row, ...]:
    """The rows of a study's table; none where the study did not run or gave no such table.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    study : str
        its name
    table : str
        the table's name
    """
    result = outcome.results.get(study)
    return tuple(result.tables.get(table, ())) if result else ()


def figure(value: Cell) -> float:
    """A cell that must hold a number.

    Parameters
    ----------
    value : float or int
        the cell

    Raises
    ------
    TypeError
        the cell holds words or nothing.
    """
    if isinstance(value, str) or value is None:
        raise TypeError(f"{value!r} stands where a number belongs")
    return float(value)


def first_way_out(outcome: Outcome) -> Row | None:
    """The way to make up the air that stands first, where it holds.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    option = next(iter(rows(outcome, "make_up_air", "options")), None)
    return None if option is None or option["holds"] == "does not hold" else option


def dangers(outcome: Outcome) -> list[Finding]:
    """The punch items that put somebody in danger.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    return [finding for finding in outcome.findings if finding.severity == "danger"]


def danger_boxes(outcome: Outcome, in_full: bool = True) -> list[dict[str, Any]]:
    """What puts somebody in danger: a box for each place and what to do there, every message in it.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    in_full : bool
        every message whole; else its first sentence, where the punch list behind holds the rest
    """
    boxes: dict[tuple[str, str], list[str]] = {}
    for found in dangers(outcome):
        told = sentence(found.message) if in_full else NEXT_SENTENCE.split(sentence(found.message), maxsplit=1)[0]
        boxes.setdefault((found.where, found.action), []).append(together(told))
    return [
        {"where": where, "messages": messages, "action": together(sentence(action))}
        for (where, action), messages in boxes.items()
    ]


def worst_of_house(outcome: Outcome) -> Row | None:
    """The row of the hardest pull on the house that was found with everything working.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    found = [row for row in rows(outcome, "depressurization", "worst") if row.get("target_kind") == "house"]
    normal = [row for row in found if row.get("kind") != "fault"] or found
    return min(normal, key=lambda row: figure(row["pressure_pa"])) if normal else None


def running(row: Row) -> str:
    """What is running in a state that was found: its name, or what it consists of where the name only says "worst".

    Parameters
    ----------
    row : dict
        of the table of worst states
    """
    name, why = str(row["state"]), str(row.get("why") or "")
    return why if why and name.startswith("worst") else name


def notches(outcome: Outcome) -> list[Notch]:
    """Every named state, then the worst that was found, as notches of the tape.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    named = rows(outcome, "depressurization", "named")
    tolerated = limit(named, "tolerated_pa")
    marks = []
    if named:
        pulled = [(str(row["state"]), figure(row["house_pressure_pa"])) for row in named]
    else:
        pulled = [(state.name, state.house_pressure) for state in outcome.states if not state.why]
    for name, pascals in pulled:
        severities = {finding.severity for finding in outcome.findings if finding.state == name}
        past = (tolerated is not None and pascals < tolerated) or bool(severities & {"fail", "danger"})
        marks.append(Notch(name, pascals, past, "danger" in severities))
    worst = worst_of_house(outcome)
    if worst is not None and all(abs(figure(worst["pressure_pa"]) - mark.pascals) > 0.05 for mark in marks):
        pascals = figure(worst["pressure_pa"])
        marks.append(Notch("worst found", pascals, tolerated is not None and pascals < tolerated))
    return marks


def limit(named: Sequence[Row], key: str) -> float | None:
    """A limit of the house pressure as the studies used it.

    Parameters
    ----------
    named : sequence of dict
        rows of the named states
    key : str
        ``wanted_pa`` or ``tolerated_pa``
    """
    return next((figure(row[key]) for row in named if row.get(key) is not None), None)


def gates(outcome: Outcome) -> list[Gate]:
    """The limits of the house pressure with their source, the one that must hold last.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    named = rows(outcome, "depressurization", "named")
    assumed = [entry for entry in outcome.assumed if "house pressure" in entry.path and "limits" in entry.path]
    found = []
    for name in ("wanted", "tolerated"):
        pascals = limit(named, f"{name}_pa")
        if pascals is not None:
            own = next((entry for entry in assumed if name in entry.path), assumed[0] if assumed else None)
            found.append(Gate(pascals, name, short_source(own.source.tag, own.source.name) if own else "yours"))
    if len(found) == 2 and found[0].pascals == found[1].pascals:
        return found[1:]
    return found


def short_source(tag: str, name: str) -> str:
    """A source in as few words as fit under a gate.

    Parameters
    ----------
    tag : str
        of the source
    name : str
        of the source
    """
    if tag == "memory":
        return "recalled, unconfirmed"
    if tag == "practice":
        return "common practice"
    return name if len(name) <= 36 else name[:35].rstrip() + "…"


def tightness_words(outcome: Outcome, system: str) -> str:
    """How tight the house is taken to be, and whether that is known.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    envelope = outcome.house.envelope
    tight = envelope.tightness
    if envelope.tightness_unit == "ach50":
        likely, low, high = (f"{value:g}" for value in (tight.likely, tight.low, tight.high))
        unit = "ACH50"
    else:
        likely, low, high = (number(value, "air flow", system) for value in (tight.likely, tight.low, tight.high))
        unit = f"{unit_of('air flow', system)} at 50 Pa"
    if envelope.measured_by:
        return f"Tightness by the test: {likely} {unit} ({low} to {high})."
    if tight.is_exact:
        return f"Tightness as lived in: {likely} {unit}."
    return f"Tightness is not known yet: {low} to {high} {unit}, likely {likely}."


def unit_of(quantity: str, system: str) -> str:
    """The unit in which a quantity is printed.

    Parameters
    ----------
    quantity : str
        a key of `QUANTITIES`
    system : str
        ``ip`` or ``si``
    """
    return QUANTITIES[quantity].shown(system).unit
