"""A house that is soon told, such as one room with one fan, on a single page."""

from __future__ import annotations

from airledger.quantities import number, text
from airledger.report import two_sided_account
from airledger.report.account_text import account_states, hardest_first, state_lines
from airledger.report.blocks import Section, capital, item, sentence, shortened
from airledger.report.facts import CAUTIONS, rows
from airledger.report.outcome import Outcome
from airledger.report.pages_back import WORDS, value_text
from airledger.report.plan import slug
from airledger.report.two_sided_account import gathered

MOST_ROOMS, MOST_STATES = 2, 2
MOST_LINES, MOST_PUNCH, MOST_LETTERS = 7, 4, 700  # what one page holds


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
    for state in hardest_first(outcome)[:1]:
        section.heading(capital(state))
        coming, going = (gathered(side, MOST_LINES) for side in state_lines(outcome, state))
        drawing = two_sided_account.drawing(coming, going, system, f"Air in, air out: {state}")
        section.picture(f"account-1{slug(state)}.svg", drawing)
    for named in outcome.states[:MOST_STATES]:
        doors = [f"{d.opening} {d.direction} with {text(d.force, 'force', system)}" for d in named.door_forces[:2]]
        pressure = number(named.house_pressure, "house pressure", system)
        section.words(shortened(f"{capital(named.name)}: {pressure} Pa. {'; '.join(doors)}", 130), True)
    told = [(f, f"{sentence(f.message)} {sentence(f.action)}") for f in outcome.findings[:MOST_PUNCH]]
    punch = [item(WORDS[f.severity], shortened(words, 200), "", f.severity == "danger") for f, words in told]
    if punch:
        section.heading("Punch list")
        section.blocks.append({"kind": "items", "items": punch})
        _others(section, len(outcome.findings) - len(punch))
    _taken(section, outcome, system)
    section.words(" ".join(words for _, words in CAUTIONS[2:]), True)
    return section


def _taken(section: Section, outcome: Outcome, system: str) -> None:
    """What was assumed, as much as fits."""
    if not outcome.assumed:
        return
    section.heading("Taken because the house file is silent")
    told: list[str] = []
    for entry in outcome.assumed:
        line = f"{entry.path}: {value_text(entry, system)} ({entry.source.text})"
        if sum(len(words) for words in told) + len(line) > MOST_LETTERS:
            break
        told.append(line)
    section.words(" · ".join(told), True)
    _others(section, len(outcome.assumed) - len(told))


def _others(section: Section, count: int) -> None:
    if count > 0:
        section.words(f"The other {count} stand in airledger.json.", True)
