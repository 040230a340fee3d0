"""The ventilation crew's sheet: units, flows at every grille, sizes as far as known, measuring spots, access."""

from __future__ import annotations

from airledger.house.air_movers import RunItem, Ventilator
from airledger.house.house import House
from airledger.quantities import text
from airledger.report.blocks import capital, table
from airledger.report.facts import figure, first_way_out
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, signatures, ticks
from airledger.report.trade_words import NOT_KNOWN, duct_words, length_words
from airledger.studies.protocol import Row

STRAIGHT = {"ip": "3 ft", "si": "1 m"}
SCREEN = {"ip": "1/4 in", "si": "6 mm"}


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
    first = "Hang these units and ducts; a size not given here is not decided: ask before you buy."
    made = Sheet("for the ventilation crew", first, most_pages=2)
    if ventilator is not None:
        _grilles(made, ventilator, system)
    machines = _machines(outcome.house, system)
    if machines:
        section = made.section("Machines and make-up air")
        keys = ("machine", "room", "moves", "duct", "run")
        section.blocks.append(table(machines, keys, system, {"run": 2.4, "moves": 0}))
    _option(made, outcome, system)
    section = made.section("Before drywall", whole=True)
    section.blocks.append(
        ticks([
            ("Every joint sealed, flex pulled tight and hung; no elbow crushed.", "Common practice."),
            (f"A damper at every branch, reached after drywall; a measuring hole after {STRAIGHT[system]} of straight "
             "duct.", "Common practice."),
            ("Filters, core, drain and fans come out without a hidden panel.", "Common practice."),
            (f"Caps: screens no finer than {SCREEN[system]}; intake away from dryer, vents and drive by local code.",
             "Common practice; distances by the local code and the maker."),
        ])
    )  # fmt: skip
    section.blocks.append(signatures(["ventilation contractor, licence", "date"]))
    return made


def _grilles(made: Sheet, ventilator: Ventilator, system: str) -> None:
    """What every grille gets at the lowest and the highest speed, with the sum of each stream."""
    low, top = ventilator.speeds[0], ventilator.speeds[-1]
    section = made.section(f"{ventilator.kind.upper()}: what every grille gets")
    lines: list[Row] = []
    streams = (
        ("supply", ventilator.supplies, low.supply, top.supply),
        ("pick-up", ventilator.takes_from, low.exhaust, top.exhaust),
    )
    for grille, shares, at_low, at_top in streams:
        told = [(room, share, False) for room, share in shares] + [("all together", 1.0, True)]
        lines += [
            {
                "room": room, "grille": grille, low.name: text(share * at_low, "air flow", system),
                top.name: text(share * at_top, "air flow", system), "strong": strong,
            }
            for room, share, strong in told
        ]  # fmt: skip
    keys = tuple(dict.fromkeys(("room", "grille", low.name, top.name)))
    section.blocks.append(table(lines, keys, system, {low.name: 0, top.name: 0}))
    curve = ventilator.fan_curve
    static = next((p for flow, p in curve.points if abs(flow - top.supply) < 1e-6), None) if curve else None
    if static is not None:
        section.words(
            f"At {top.name} the unit gives {text(top.supply, 'air flow', system)} against "
            f"{text(static, 'static pressure', system)} by its curve: ducts, caps and filter of each stream "
            "together may not take more."
        )  # fmt: skip
    stands = ventilator.room or "a room not named yet"
    section.words(
        f"The unit stands in {stands}. Both outdoor ducts insulated over their whole length, jacket sealed at both "
        "ends (common practice).", True
    )  # fmt: skip


def _machines(house: House, system: str) -> list[Row]:
    found: list[Row] = [
        {
            "machine": m.name, "room": m.room, "moves": _most(m.speeds, m.not_picked, system),
            "duct": duct_words(m.duct, system), "run": _run(m.run, system),
        }
        for m in house.exhausts
        if m.vented != "heat pump"
    ]  # fmt: skip
    return found + [
        {
            "machine": a.name, "room": a.into,
            "moves": _most(a.fan.speeds, None, system) if a.fan is not None else "as it is pulled",
            "duct": duct_words(a.duct, system), "run": _run(a.run, system),
        }
        for a in house.make_up_air or ()
    ]  # fmt: skip


def _most(speeds: tuple[tuple[str, float], ...], not_picked: float | None, system: str) -> str:
    """The most that a machine moves, as rated."""
    if speeds:
        return text(speeds[-1][1], "air flow", system)
    return f"up to {text(not_picked, 'air flow', system)}" if not_picked is not None else NOT_KNOWN


def _option(made: Sheet, outcome: Outcome, system: str) -> None:
    """The first way out, where nothing is drawn and it holds."""
    option = first_way_out(outcome)
    if outcome.house.make_up_air is not None or option is None:
        return
    section = made.section("Make-up air, not decided: what the first way out would need")
    flow = figure(option["make_up_m3s"])
    air = f"{text(flow, 'air flow', system)} of outdoor air" if flow > 0 else "no opening for outdoor air"
    section.words(f"{capital(str(option['option']))}: {air}. {capital(str(option['parts']))}.")


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
