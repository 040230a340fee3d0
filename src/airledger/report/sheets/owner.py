"""The owner's two pages: what runs, which switch, what to do when, and a sticker for the unit; plain words."""

from __future__ import annotations

from airledger.report.facts import CAUTIONS, rows
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, sticker, ticks


def sheet(outcome: Outcome, system: str) -> Sheet:
    """What somebody who lives in the house has to know.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    del system  # no figures that a reader would have to convert
    ventilator = outcome.house.ventilator
    kind = ventilator.kind.upper() if ventilator is not None else "fan"
    made = Sheet("for the owner", "Your house breathes through one machine: let it run.", most_pages=2)
    section = made.section("What runs, and what you switch")
    if ventilator is not None:
        boost = f" for {ventilator.boost_lasts / 60:.0f} minutes" if ventilator.boost_lasts else ""
        section.words(
            f"The {kind} runs all day, low and quiet. It brings outdoor air to the bedrooms and takes stale air from "
            "the baths and the laundry. Do not switch it off: the house is too tight to breathe by itself."
        )
        section.words(
            f"Showering, washing, guests: press the button in the room. It runs faster{boost}, then goes back."
        )
    _kitchen(made, outcome)
    section = made.section("Look after it")
    section.blocks.append(
        ticks([
            (f"Every month or two: look at the {kind}'s filters; grey and furry means change.", "Both sides."),
            ("Every six to twelve months: new filters; every year wash the core and look into the drain.", ""),
            ("Each season: the hoods outdoors free of leaves, lint and nests.", ""),
            ("Monthly: the hood's grease filter. Yearly: the make-up air's filter, where there is one.", ""),
            ("Never cover a grille, never block the gap under a door: the room behind it breathes through them.", ""),
        ])
    )  # fmt: skip
    section = made.section("If something is odd")
    section.words("A door pulls hard with the hood on: turn the hood down, open a window, and call the builder.")
    section.words("A carbon monoxide alarm: everybody out, call for help from outdoors. Do not look for the cause.")
    for _, words in CAUTIONS[2:]:
        section.words(words, True)
    section = made.section("For the unit's door", own_page=True)
    section.blocks.append(
        sticker(f"{outcome.house.name}: this {kind} ventilates the whole house", [
            "Let it run, day and night.",
            "Filters looked at: ______________  ______________  ______________",
            "Filters changed: ______________  ______________  ______________",
            "Core washed: ______________  ______________",
            "Whom to call: ____________________________",
        ])
    )  # fmt: skip
    return made


def _kitchen(made: Sheet, outcome: Outcome) -> None:
    hoods = [machine.name for machine in outcome.house.exhausts if machine.kind == "hood"]
    if not hoods:
        return
    section = made.section("The kitchen hood")
    drawn = [a.name for a in outcome.house.make_up_air or ()]
    if drawn:
        section.words(
            f"The {hoods[0]} brings its own air: {' and '.join(drawn)} opens with it. A draught there is right."
        )
    elif rows(outcome, "depressurization", "named"):
        section.words(f"The {hoods[0]} has no air of its own yet. On high it pulls the house hard: open a window wide.")
    section.words("Cook with the hood on, on the back burners, and let it run a few minutes after.")
