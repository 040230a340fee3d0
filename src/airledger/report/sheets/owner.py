"""The owner's two pages: what runs, which switch, what to do when, and a sticker for the unit; plain words."""

from __future__ import annotations

from airledger.house.air_movers import Ventilator
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
    first = "Your house breathes through one machine: let it run." if ventilator else "Your house is tight: let it air."
    made = Sheet("for the owner", first, most_pages=2)
    made.danger_words = (
        "With the fans running, smoke and carbon monoxide can be pulled back into the house here. You cannot smell "
        "carbon monoxide: keep an alarm on every floor with a bedroom."
    )
    if ventilator is not None:
        _runs(made, ventilator, kind)
    _kitchen(made, outcome)
    section = made.section("Look after it")
    unit = [
        (f"Every month or two: look at the {kind}'s filters, both sides; grey and furry means change.", ""),
        ("Every six to twelve months: new filters; every year wash the core and look into the drain.", ""),
    ]
    section.blocks.append(
        ticks([
            *(unit if ventilator is not None else []),
            ("Each season: the hoods outdoors free of leaves, lint and nests.", ""),
            ("Monthly: the hood's grease filter. Yearly: the make-up air's filter, where there is one.", ""),
            ("Never cover a grille, never block the gap under a door: the room behind it breathes through them.", ""),
        ])
    )  # fmt: skip
    section.words("How often is common practice; what the maker of your machine writes comes first.", True)
    section = made.section("If something is odd", own_page=True)
    section.words("A carbon monoxide alarm: everybody out, call for help from outdoors. Do not look for the cause.")
    section.words("A door pulls hard with the hood on: turn the hood down, open a window, and call the builder.")
    section.words(
        "A door pulls for the first hand's breadth with nothing running: no fault. In a tight house a door moves the "
        "air of the room like a piston."
    )
    section.words("A room smells stale or its window runs with water: look at its grille, its filter and the gap under "
                  "its door. If that was not it, call.")  # fmt: skip
    if ventilator is not None:
        section.words(f"The {kind} is silent, or shows a fault: open windows several times a day until it runs again.")
    for _, words in CAUTIONS[2:]:
        section.words(words, True)
    if ventilator is not None:
        _sticker(made, f"{outcome.house.name}: this {kind} ventilates the whole house")
    return made


def _sticker(made: Sheet, title: str) -> None:
    """What is cut out and stuck on the unit's door."""
    section = made.section("For the unit's door: cut out along the dashes")
    fields = [
        ("filters looked at", 4), ("filters changed", 4), ("core washed", 4), ("filter size", 2), ("whom to call", 1),
    ]  # fmt: skip
    section.blocks.append(sticker(title, ["Let it run, day and night."], fields))


def _runs(made: Sheet, ventilator: Ventilator, kind: str) -> None:
    """What the ventilator does, where, and which switch is whose."""
    section = made.section("What runs, and what you switch")
    into, out = (_rooms(shares) for shares in (ventilator.supplies, ventilator.takes_from))
    section.words(
        f"The {kind}, the machine that changes the air, runs all day, low and quiet. It brings outdoor air into "
        f"{into} and takes stale air from {out}. Do not switch it off: the house is too tight to breathe by itself."
    )
    boost = f" for {ventilator.boost_lasts / 60:.0f} minutes" if ventilator.boost_lasts else ""
    section.words(f"Showering, washing, guests: press the button in the room. It runs faster{boost}, then goes back.")
    section.words(
        "It may stand still for as long as you work on it, and when the fire service or the authorities tell you to "
        "keep outdoor air out."
    )


def _rooms(shares: tuple[tuple[str, float], ...]) -> str:
    names = [f"the {room}" if not room[-1:].isdigit() else room for room, _ in shares]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


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
        section.words(
            f"The {hoods[0]} has no air of its own yet. On high it pulls the house hard: open a window wide first."
        )
    section.words("Cook with the hood on, on the back burners, and let it run a few minutes after.")
