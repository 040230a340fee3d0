"""The technical annex: every subject with its ranges and sources, then every named state path by path."""

from __future__ import annotations

from typing import Any

from airledger.house.ledger import StateResult
from airledger.quantities import text
from airledger.report.blocks import Block, Section, capital, item, table, together
from airledger.report.facts import CAUTIONS, tightness_words
from airledger.report.outcome import WHY_NONE_IS_WORSE, Outcome
from airledger.studies.protocol import Row

PROOFS = {
    "all": "Every one of {combinations} ways the house can run was solved.",
    "proved": "Of {combinations} ways the house can run {solved} were solved; none of the others can be worse: {why}",
    "best found": "Of {combinations} ways the house can run {solved} were solved; a worse one is not ruled out.",
}
PATHS = ("through", "from_", "to", "flow_m3s", "mass_flow_kgs")
SMALL = 7.8


def head(outcome: Outcome, system: str) -> dict[str, Any]:
    """What the annex opens with, in place of the paper's first page.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    return {
        "title": f"{outcome.house.name}: technical annex",
        "annex": True,
        "headline": "Technical annex: what stands behind every figure on the sheets.",
        "headline_size": 17,
        "under": [together(words) for words in (tightness_words(outcome, system), searched(outcome)) if words],
        "dangers": [],
        "actions": [],
        "first": [_cautions()],
    }


def _cautions() -> Block:
    return {"kind": "items", "items": [item(word, words) for word, words in CAUTIONS]}


def searched(outcome: Outcome) -> str:
    """How the worst states were looked for, and how well every state closes.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    """
    search = outcome.search
    if not search.combinations:
        return ""
    told = PROOFS[search.proof].format(
        combinations=f"{search.combinations:,}", solved=f"{search.solved:,}", why=WHY_NONE_IS_WORSE
    )
    left = " Nothing was proved of: " + ", ".join(search.open) + "." if search.open else ""
    return f"{told}{left} In each, what enters weighs what leaves, to {search.worst_residual_relative:.0e} of it."


def states(outcome: Outcome, system: str) -> list[Section]:
    """Every named state: what passes each path, largest first, and how each room stands.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    named = {state.name for state in outcome.house.states}
    return [_state(state, system) for state in outcome.states if state.name in named]


def _state(state: StateResult, system: str) -> Section:
    stands = text(state.house_pressure, "house pressure", system)
    section = Section(
        own_page=False, sentence=f"{capital(state.name)}, path by path: {state.reference_room} stands at {stands}."
    )
    rooms = ", ".join(f"{name} {text(pascals, 'house pressure', system)}" for name, pascals in state.rooms)
    section.words(f"{rooms}.", True)
    section.words(f"{capital(state.season)}; {state.ach50:.2f} ACH50; {state.wind}.".replace("; .", "."), True)
    lines: list[Row] = [
        {
            "through": flow.through, "from_": flow.from_, "to": flow.to, "flow_m3s": flow.volume_flow,
            "mass_flow_kgs": flow.mass_flow,
        }
        for flow in sorted(state.flows, key=lambda flow: -flow.mass_flow)
    ]  # fmt: skip
    section.blocks.append(table(lines, PATHS, system, {"through": 1.6}, SMALL))
    section.words("Flow at the density of the air that enters the path; weight is that of dry air.", True)
    return section
