"""The ventilation crew's sheet: units, flows at every grille, sizes as far as known, measuring spots, access."""

from __future__ import annotations

from airledger.house.air_movers import RunItem
from airledger.quantities import text
from airledger.report.blocks import table
from airledger.report.facts import rows
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, ticks
from airledger.report.trade_words import NOT_KNOWN, duct_words, length_words
from airledger.studies.protocol import Row


def sheet(outcome: Outcome, system: str) -> Sheet:
    """What to hang, at which flow, and where to measure.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    ventilator = outcome.house.ventilator
    first = "Hang these units and ducts; sizes not given yet wait for the duct layout."
    made = Sheet("for the ventilation crew", first, most_pages=2)
    if ventilator is not None:
        low, top = ventilator.speeds[0], ventilator.speeds[-1]
        section = made.section(f"{ventilator.kind.upper()}: what every grille gets")
        grilles: list[Row] = [
            {"room": room, "grille": "supply", "low_m3s": share * low.supply, "top_m3s": share * top.supply}
            for room, share in ventilator.supplies
        ]
        grilles += [
            {"room": room, "grille": "pick-up", "low_m3s": share * low.exhaust, "top_m3s": share * top.exhaust}
            for room, share in ventilator.takes_from
        ]
        named: list[Row] = [
            {
                "room": grille["room"],
                "grille": grille["grille"],
                low.name: text(float(str(grille["low_m3s"])), "air flow", system),
                top.name: text(float(str(grille["top_m3s"])), "air flow", system),
            }
            for grille in grilles
        ]
        keys = tuple(dict.fromkeys(("room", "grille", low.name, top.name)))
        section.blocks.append(table(named, keys, system, {low.name: 0, top.name: 0}))
        section.words(f"The unit stands in {ventilator.room or 'a room not named yet'}. Both outdoor ducts insulated "
                      "over their whole length, jacket sealed at both ends (common practice).", True)  # fmt: skip
    machines: list[Row] = [
        {"machine": m.name, "room": m.room, "duct": duct_words(m.duct, system), "run": _run(m.run, system)}
        for m in outcome.house.exhausts
        if m.vented != "heat pump"
    ]
    machines += [
        {"machine": a.name, "room": a.into, "duct": duct_words(a.duct, system), "run": _run(a.run, system)}
        for a in outcome.house.make_up_air or ()
    ]
    if machines:
        section = made.section("Machines and make-up air")
        section.blocks.append(table(machines, ("machine", "room", "duct", "run"), system, {"run": 2.4}))
    for option in rows(outcome, "make_up_air", "options")[:1]:
        if outcome.house.make_up_air is None and option["holds"] != "does not hold":
            made.section("Make-up air, if the first way out is built").words(str(option["parts"]))
    section = made.section("Before drywall", whole=True)
    section.blocks.append(
        ticks([
            ("Every joint sealed, flex pulled tight and hung; no elbow crushed.", "Common practice."),
            ("A damper at every branch, reached after drywall; a measuring hole after 3 ft of straight duct.", ""),
            ("Filters, core, drain and fans come out without tools and without a hidden panel.", ""),
            ("Caps: screens no finer than 1/4 in; intake away from dryer, vents and drive by the local code.", ""),
        ])
    )  # fmt: skip
    return made


def _run(items: tuple[RunItem, ...], system: str) -> str:
    """A run in the order in which the air meets its parts."""
    told = []
    for item in items:
        if item.kind == "straight":
            told.append(text(item.length, "length", system))
        elif item.kind == "elbow":
            told.append(f"{item.angle:.0f} deg elbow")
        elif item.kind == "grille" and item.width and item.height:
            told.append(f"grille {length_words(item.width, system)} x {length_words(item.height, system)}")
        elif item.kind not in ("loss", "entry", "exit"):
            told.append(f"{item.kind} {item.word}".strip())
    return ", ".join(told) or NOT_KNOWN
