"""What stands beside an answer: what wind adds, the moment while a damper opens, the loads of a tempered opening."""

from __future__ import annotations

from airledger.quantities import text
from airledger.report.blocks import Section, table
from airledger.report.facts import figure, rows
from airledger.report.outcome import Outcome

SMALL = 8.0
START_KEYS = (
    "machines",
    "lowest_pa",
    "lagging_pa",
    "below_wanted_s",
    "below_tolerated_s",
    "opens_in_s",
)
TEMPERED_KEYS = ("season", "make_up_m3s", "heater_w", "sensible_w", "latent_w", "water_kgs")
WIND_KEYS = ("target", "adds_low_pa", "adds_high_pa", "adds_low_n", "adds_high_n")


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
    if found:
        section.heading("While the damper opens")
        _told(section, outcome, "make_up_air", "start_pull")
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
    if found:
        section.heading("If the make-up air is warmed")
        _told(section, outcome, "make_up_air", "tempered_load")
        section.blocks.append({**table(found, TEMPERED_KEYS, system, size=SMALL), "whole": True})


def wind(section: Section, outcome: Outcome, system: str) -> None:
    """What wind adds to the worst of each, from the kindest direction to the hardest.

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
    if found:
        first = found[0]
        speed = text(figure(first["wind_ms"]), "wind speed", system)
        section.heading(f"What a wind of {speed} adds ({first['wind']})")
        _told(section, outcome, "depressurization", "wind_range")
        section.blocks.append({**table(found, WIND_KEYS, system, {"target": 2}, SMALL), "whole": True})


def _told(section: Section, outcome: Outcome, study: str, code: str) -> None:
    """The finding of a code in small words, with what to do about it."""
    for finding in outcome.results[study].findings:
        if finding.code == code:
            section.words(finding.message, True)
            if finding.action:
                section.words(f"To do: {finding.action}.", True)
