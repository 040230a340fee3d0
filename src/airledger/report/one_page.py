"""A house that is soon told, such as one room with one fan, on a single page."""

from __future__ import annotations

from airledger.quantities import number, text
from airledger.report import two_sided_account
from airledger.report.account_text import account_states, state_lines
from airledger.report.blocks import Section, capital, item, sentence
from airledger.report.facts import CAUTIONS, rows
from airledger.report.outcome import Outcome
from airledger.report.pages_back import WORDS, value_text
from airledger.report.plan import slug

MOST_ROOMS, MOST_STATES, MOST_LINES = 2, 2, 6


def is_small(outcome: Outcome) -> bool:
    """Whether everything fits on one page: a room or two, a state or two, no options to weigh.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    states = account_states(outcome) or [state.name for state in outcome.states]
    few = len(outcome.house.conditioned) <= MOST_ROOMS and len(states) <= MOST_STATES
    return few and not rows(outcome, "make_up_air", "options")


def one_page_blocks(outcome: Outcome, system: str) -> Section:
    """What stands below the tape on the only page.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    section = Section("")
    for place, state in enumerate(account_states(outcome)):
        section.heading(capital(state))
        drawing = two_sided_account.drawing(*state_lines(outcome, state), system, f"Air in, air out: {state}")
        section.picture(f"account-{place + 1}{slug(state)}.svg", drawing)
    for named in outcome.states[:MOST_STATES]:
        doors = [
            f"{door.opening} {door.direction} with {text(door.force, 'force', system)}" for door in named.door_forces
        ]
        section.words(
            f"{capital(named.name)}: {number(named.house_pressure, 'house pressure', system)} Pa. {'; '.join(doors)}",
            True,
        )
    punch = [
        item(WORDS[f.severity], f"{sentence(f.message)} {sentence(f.action)}", f.where, f.severity == "danger")
        for f in outcome.findings
    ]
    if punch:
        section.heading("Punch list")
        section.blocks.append({"kind": "items", "items": punch[:MOST_LINES]})
        _others(section, len(punch))
    if outcome.assumed:
        section.heading("Taken because the house file is silent")
        told = [
            f"{entry.path}: {value_text(entry, system)} ({entry.source.text})"
            for entry in outcome.assumed[: 2 * MOST_LINES]
        ]
        section.words(" · ".join(told), True)
        if len(outcome.assumed) > len(told):
            section.words(f"The other {len(outcome.assumed) - len(told)} stand in airledger.json.", True)
    section.words(" ".join(words for _, words in CAUTIONS[2:]), True)
    return section


def _others(section: Section, count: int) -> None:
    if count > MOST_LINES:
        section.words(f"The other {count - MOST_LINES} stand in airledger.json.", True)
