"""What stands beside an answer: what wind adds, the moment while a damper opens, the loads of a tempered opening."""

from __future__ import annotations

from collections.abc import Sequence

from airledger.findings import Finding
from airledger.quantities import number, text
from airledger.report.blocks import Section, table
from airledger.report.facts import figure, rows, unit_of
from airledger.report.outcome import Outcome
from airledger.studies.protocol import Row

SMALL = 8.0
WHY_LITTLE = (
    "Wind pushes on one wall and pulls on three. A house that leaks on all of them moves by their mean, a quarter of "
    "the wind's own pressure or less, and a machine that gives way to the pull takes part of that up. "
    "What wind presses on a door itself is not in it and comes on top."
)
START_KEYS = (
    "machines",
    "lowest_pa",
    "lagging_pa",
    "below_wanted_s",
    "below_tolerated_s",
    "opens_in_s",
)
TEMPERED_KEYS = ("season", "make_up_m3s", "heater_w", "sensible_w", "latent_w", "water_kgs")


def start(section: Section, outcome: Outcome, system: str) -> None:
    """While the damper opens: how far down the house goes, and what waiting for the end switch saves.

    Parameters
    ----------
    section : Section
        the options' section, written to
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    found = rows(outcome, "make_up_air", "start")
    _laid(section, "While the damper opens", _finding(outcome, "make_up_air", "start_pull"), found)
    if found:
        section.blocks.append({**table(found, START_KEYS, system, {"machines": 2}, SMALL), "whole": True})


def tempered(section: Section, outcome: Outcome, system: str) -> None:
    """What a heater in the make-up air draws, and the heat and water that the air brings in each season.

    Parameters
    ----------
    section : Section
        the options' section, written to
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    found = rows(outcome, "make_up_air", "tempered")
    _laid(section, "If the make-up air is warmed", _finding(outcome, "make_up_air", "tempered_load"), found)
    if found:
        section.blocks.append({**table(found, TEMPERED_KEYS, system, size=SMALL), "whole": True})


def wind(section: Section, outcome: Outcome, system: str) -> None:
    """What wind adds to the worst of each, from the kindest direction to the hardest; what it does not move is told.

    Parameters
    ----------
    section : Section
        the section of the worst states, written to
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    found = rows(outcome, "depressurization", "wind")
    if not found:
        return
    speed = text(figure(found[0]["wind_ms"]), "wind speed", system)
    heading = f"What a wind of {speed} adds ({found[0]['wind']})"
    _laid(section, heading, _finding(outcome, "depressurization", "wind_range"), found)
    section.words(WHY_LITTLE, True)
    told = [{"target": row["target"], "wind_adds": _range(row, system)} for row in found]
    moved = [row for row in told if row["wind_adds"]]
    if moved:
        section.blocks.append({**table(moved, ("target", "wind_adds"), system, {"wind_adds": 2}, SMALL), "whole": True})
    still = [str(row["target"]) for row in told if not row["wind_adds"]]
    if still:
        section.words(f"Too little to read on a gauge or a spring scale: {', '.join(still)}.", True)


def _range(row: Row, system: str) -> str:
    """What wind adds, from and to; nothing where both ends print as zero."""
    for unit, quantity in (("pa", "house pressure"), ("n", "force")):
        ends = [row[f"adds_{end}_{unit}"] for end in ("low", "high")]
        if None not in ends:
            low, high = (number(figure(end), quantity, system) for end in ends)
            if {low, high} <= {"0.0", "−0.0", "0", "−0"}:
                return ""
            return f"{low} to {high} {unit_of(quantity, system)}"
    return ""


def _laid(section: Section, heading: str, told: Finding | None, found: Sequence[Row]) -> None:
    """A heading, and the finding below it in small words, where there is something to lay."""
    if not found:
        return
    section.heading(heading)
    if told is not None:
        section.words(told.message, True)
        section.words(f"To do: {told.action}." if told.action else "", True)


def _finding(outcome: Outcome, study: str, code: str) -> Finding | None:
    return next((finding for finding in outcome.results[study].findings if finding.code == code), None)
