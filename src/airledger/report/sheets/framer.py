"""The framer's sheet: holes through walls, what goes in which cavity, gaps under doors; boxes to tick when done."""

from __future__ import annotations

from airledger.house.air_movers import Duct
from airledger.house.house import House, Opening
from airledger.report.blocks import Section, table
from airledger.report.facts import first_way_out
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, signatures, ticks
from airledger.report.trade_words import BOX, NOT_KNOWN, duct_words, length_words
from airledger.studies.protocol import Row
from airledger.units import INCH

KEYS = ("hole", "size", "where", "way_through", "framed")
WIDTHS = {"hole": 1.1, "size": 1.3, "where": 0.9, "way_through": 2, "framed": 0}
BETWEEN_STUDS = 14.5 * INCH  # clear, studs 16 in on centre
STUDS = 16.0 * INCH


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
    if outcome.house.make_up_air is None:
        made.under.append(_undecided(outcome))
    section = made.section("Holes to frame, before drywall")
    section.blocks.append(table(holes, KEYS, system, WIDTHS))
    gap = length_words(0.5 * INCH, system)
    section.words(
        f"Where the plan has them; {gap} free all round the duct, sealed to the air barrier (common practice). "
        "Sizes are those of the duct, without its insulation.", True
    )  # fmt: skip
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
    section.blocks.append(signatures(["framer, date", "builder, date"]))
    return made


def _first_words(holes: list[Row], doors: list[Opening]) -> str:
    known = sum(hole["size"] != NOT_KNOWN for hole in holes)
    waiting = len(holes) - known
    framed = f"Frame {_count(known)} now" if known else "Frame no hole yet"
    if waiting:
        framed += f"; {waiting} {'waits' if waiting == 1 else 'wait'} for a size"
    return f"{framed}. Leave the gap under {len(doors)} doors." if doors else f"{framed}."


def _count(holes: int) -> str:
    return f"{holes} {'hole' if holes == 1 else 'holes'}"


def _undecided(outcome: Outcome) -> str:
    """What to do about make-up air that nobody has decided."""
    if _first_option(outcome) is None:
        return "No hole for make-up air yet: the builder has to settle it first."
    return (
        "The make-up air is not decided yet. Its hole is framed now, so that the choice stays open; have the builder "
        "confirm it before you cut."
    )


def _first_option(outcome: Outcome) -> Row | None:
    """The way out that stands first, where it holds and takes a wall."""
    option = first_way_out(outcome)
    return option if option is not None and option.get("wall_space") else None


def _holes(outcome: Outcome, system: str) -> list[Row]:
    """Every hole in the envelope: make-up air as drawn, else as the first way out asks; then machines, ventilator."""
    found: list[Row] = []
    for drawn in outcome.house.make_up_air or ():
        found.append(_round(drawn.name, drawn.duct, drawn.into, system))
    option = _first_option(outcome) if outcome.house.make_up_air is None else None
    if option is not None:
        found.append({
            "hole": "make-up air, if built", "size": str(option["wall_space"]), "where": _into(outcome.house),
            "way_through": str(option.get("cavity") or ""), "framed": BOX,
        })  # fmt: skip
    for machine in outcome.house.exhausts:
        if machine.vented != "heat pump" and machine.kind != "open fireplace":
            found.append(_round(machine.name, machine.duct, machine.room, system))
    unit = outcome.house.ventilator
    if unit is not None:
        for hole in ("outdoor air in", "stale air out"):
            found.append({
                "hole": f"{unit.kind.upper()}, {hole}", "size": NOT_KNOWN, "where": unit.room or NOT_KNOWN,
                "way_through": "insulated duct; ask the ventilation crew", "framed": BOX,
            })  # fmt: skip
    return found


def _round(name: str, duct: Duct | None, room: str, system: str) -> Row:
    """The hole of one duct."""
    wide = None if duct is None else duct.diameter or duct.width
    if wide is None:
        way = "ask the ventilation crew"
    elif wide <= BETWEEN_STUDS:
        way = f"between studs {length_words(STUDS, system)} on centre; its run is on the ventilation crew's sheet"
    else:
        way = f"cuts a stud at {length_words(STUDS, system)} on centre: header by the drawings"
    return {"hole": name, "size": duct_words(duct, system), "where": room, "way_through": way, "framed": BOX}


def _into(house: House) -> str:
    return next((machine.room for machine in house.exhausts if machine.kind == "hood"), NOT_KNOWN)


def _undercuts(made: Sheet, house: House, doors: list[Opening], system: str) -> None:
    """The gap under each inner door, above the finished floor."""
    if not doors:
        return
    section: Section = made.section("The gap under each inner door, measured from the finished floor")
    lines: list[Row] = [
        {
            "door": door.name,
            "between": f"{door.between[0]} and {door.between[1]}",
            "gap": NOT_KNOWN if door.undercut is None else length_words(door.undercut, system),
            "note": "over carpet it passes next to nothing: ask for a grille" if door.carpet else "",
            "left": BOX,
        }
        for door in doors
    ]
    widths = {"between": 1.3, "gap": 0, "note": 1.4, "left": 0}
    section.blocks.append(table(lines, ("door", "between", "gap", "note", "left"), system, widths))
    if house.ventilator is not None:
        section.words("A shut room breathes through this gap alone: the ventilator needs it.", True)
