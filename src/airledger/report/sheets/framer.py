"""The framer's sheet: holes through walls, what goes in which cavity, gaps under doors; boxes to tick when done."""

from __future__ import annotations

from airledger.house.house import House, Opening
from airledger.report.blocks import Section, capital, table
from airledger.report.facts import rows
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, ticks
from airledger.report.trade_words import NOT_KNOWN, duct_words, length_words
from airledger.studies.protocol import Row

KEYS = ("hole", "size", "where", "cavity")


def sheet(outcome: Outcome, system: str) -> Sheet:
    """What to frame now.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    holes = _holes(outcome, system)
    doors = [o for o in outcome.house.openings if o.kind == "door" and "outdoors" not in o.between]
    made = Sheet("for the framer", _first_words(holes, doors))
    wait = str(next((row.get("wait") or "" for row in rows(outcome, "make_up_air", "recommendation")), ""))
    if wait:
        made.under.append(f"{capital(wait)}.")
    section = made.section("Holes to frame, before drywall")
    section.blocks.append(table(holes, KEYS, system, {"hole": 1.1, "size": 1.3, "where": 1.2, "cavity": 2}))
    section.words("Keep the holes where the plan has them: every one is sealed to the air barrier all round.", True)
    _undercuts(made, outcome.house, doors, system)
    section = made.section("Before you leave", whole=True)
    section.blocks.append(
        ticks([
            ("Blocking in the wall or ceiling for every cap, grille and the ventilator.", "Common practice."),
            ("A way to reach every damper, filter and fan after drywall: panel or grille that comes off.", ""),
            ("No joist, stud or plate cut deeper than the structural drawings allow.", "Structural work: the engineer "
             "and local code decide."),
        ])
    )  # fmt: skip
    return made


def _first_words(holes: list[Row], doors: list[Opening]) -> str:
    count = len(holes)
    framed = "Frame no hole yet" if not count else f"Frame {count} {'hole' if count == 1 else 'holes'}"
    return f"{framed}; leave the gap under {len(doors)} doors." if doors else f"{framed}."


def _holes(outcome: Outcome, system: str) -> list[Row]:
    """Every hole in the envelope: make-up air as the option that stands first asks, then machines, then ventilator."""
    found: list[Row] = []
    for option in rows(outcome, "make_up_air", "options")[:1]:
        if option["holds"] != "does not hold" and option.get("wall_space"):
            found.append({
                "hole": "make-up air", "size": str(option["wall_space"]), "where": _into(outcome.house),
                "cavity": str(option.get("cavity") or ""),
            })  # fmt: skip
    for machine in outcome.house.exhausts:
        if machine.vented == "heat pump" or machine.kind == "open fireplace":
            continue
        found.append({
            "hole": machine.name, "size": duct_words(machine.duct, system), "where": machine.room,
            "cavity": "goes with the duct: see the ventilation crew's sheet",
        })  # fmt: skip
    if outcome.house.ventilator is not None:
        kind = outcome.house.ventilator.kind.upper()
        for hole in (f"{kind} outdoor air in", f"{kind} stale air out"):
            found.append({"hole": hole, "size": NOT_KNOWN, "where": outcome.house.ventilator.room or "",
                          "cavity": "insulated duct: ask the ventilation crew for the size"})  # fmt: skip
    return found


def _into(house: House) -> str:
    drawn = [arrangement.into for arrangement in house.make_up_air or ()]
    return ", ".join(dict.fromkeys(drawn)) or next((m.room for m in house.exhausts if m.kind == "hood"), "")


def _undercuts(made: Sheet, house: House, doors: list[Opening], system: str) -> None:
    """The gap under each inner door, above the finished floor."""
    if not doors:
        return
    section: Section = made.section("The gap under each inner door, measured from the finished floor")
    lines: list[Row] = [
        {
            "door": door.name,
            "between": f"{door.between[0]} and {door.between[1]}",
            "gap": "not given" if door.undercut is None else length_words(door.undercut, system),
            "note": "carpet: the gap passes next to nothing, ask for a grille" if door.carpet else "",
        }
        for door in doors
    ]
    section.blocks.append(table(lines, ("door", "between", "gap", "note"), system, {"note": 1.4, "gap": 0}))
    if house.ventilator is not None:
        section.words("A shut room breathes through this gap alone: the ventilator needs it.", True)
