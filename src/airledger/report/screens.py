"""What a browser shows of a run, page by page: the papers' own blocks, so that a figure is the same on both."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from airledger.house.house import House
from airledger.house.ledger import StateResult
from airledger.report import plan
from airledger.report.blocks import Section, capital, item, table
from airledger.report.first_answer_screen import SURE, law_heading, law_place, law_told, weightiest_first
from airledger.report.html_page import subjects
from airledger.report.in_units import in_units
from airledger.report.outcome import Outcome
from airledger.report.pages_airtightness import airtightness
from airledger.report.pages_answer import biggest_hood, doors, options, worst
from airledger.report.pages_back import assumptions, cautions, punch_list, sources
from airledger.report.pages_combustion import combustion
from airledger.report.pages_rules import rules
from airledger.report.pages_start_up import start_up
from airledger.report.paper import drawn
from airledger.studies.protocol import Result, Row

Subject = Callable[[Outcome, str], Section | None]

SCREENS: Mapping[str, tuple[Subject, ...]] = {
    "worst": (worst, combustion, doors),
    "make-up-air": (options, biggest_hood),
    "rules": (rules,),
    "readings": (
        lambda outcome, system: airtightness(outcome.results.get("airtightness"), system),
        lambda outcome, system: start_up(outcome.results.get("start_up"), system),
    ),
    "punch-list": (
        lambda outcome, _: punch_list(outcome),
        assumptions,
        lambda outcome, _: sources(outcome),
        lambda outcome, _: cautions(outcome),
    ),
}
"""Page -> the subjects it shows."""


def screen(name: str, outcome: Outcome, system: str) -> str:
    """One page's subjects as HTML; nothing where the run has nothing to say there.

    Parameters
    ----------
    name : str
        a key of `SCREENS`
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    shown = in_units(outcome, system)
    found = [made for subject in SCREENS[name] if (made := subject(shown, system)) is not None]
    return subjects(found, "h1")


def overview(outcome: Outcome, system: str) -> str:
    """The first screen of a house: danger, the sentence, the tape, what to do next.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    return drawn(outcome, system).first_screen()


def levels(house: House, state: StateResult, system: str) -> list[tuple[str, str]]:
    """Each drawn level as its name and its picture, with what is running.

    Parameters
    ----------
    house : House
        what the file says
    state : StateResult
        a solved state
    system : str
        ``ip`` or ``si``
    """
    shown = [(name, rooms) for name, rooms in plan.drawn_levels(house) if rooms]
    return [(name, plan.drawing(house, state, rooms, system).svg()) for name, rooms in shown]


def first_answer(result: Result, system: str) -> str:
    """The first answer as HTML: what follows, how hard the house is pulled, ways out, biggest hoods, the code.

    Parameters
    ----------
    result : Result
        of the study first_answer
    system : str
        ``ip`` or ``si``
    """
    tables = in_units(result.tables, system)
    lines = [str(row["line"]) for row in tables["answer"]]
    section = Section(" ".join(lines[:1]) or "The first answer.", own_page=False)
    for line in lines[1:]:
        section.words(line)
    if tables["pulls"]:
        section.heading("What the house does, without make-up air")
        keys = ("what", "house_pressure_pa", "low_pa", "high_pa", "feels")
        section.blocks.append(table(tables["pulls"], keys, system, {"feels": 2}))
    if tables["ways"]:
        section.heading("Ways out")
        told = ("option", "low_pa", "wall_space", "trades", "power", "price_usd")
        section.blocks.append(table(tables["ways"], told, system, {"option": 3}))
    if tables["biggest"]:
        section.heading("Biggest hood for the duct")
        section.blocks.append(table(tables["biggest"], ("opening", "hood_m3s", "hood_with_dryer_m3s"), system))
    _code(section, tables["law"])
    for head, key in (("Frame now", "frame_now"), ("Can wait for the rough-in test", "can_wait")):
        if tables[key]:
            section.heading(head)
            section.words(capital("; ".join(str(row["item"]) for row in tables[key])) + ".")
    return subjects([section])


def _code(section: Section, law: Sequence[Row]) -> None:
    """What the code asks, each with its section and edition."""
    if not law:
        return
    section.heading(law_heading(law))
    items = [
        item(str(row["verdict"]), capital(law_told(row)), f"{law_place(row)}{SURE[str(row['confirmed'])]}")
        for row in weightiest_first(law)
    ]
    section.blocks.append({"kind": "items", "items": items})
