"""The electrician's page: what starts with what, what waits for what, what power goes where, and how it is proved."""

from __future__ import annotations

from airledger.house.house import House, MakeUpAir
from airledger.report.blocks import table
from airledger.report.facts import rows
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, ticks
from airledger.studies.protocol import Row

KEYS = ("when", "then", "power")


def sheet(outcome: Outcome, system: str) -> Sheet:
    """One wiring page.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    lines = _drawn(outcome.house) or _advised(outcome)
    made = Sheet("for the electrician", _sentence(lines, outcome))
    if lines:
        section = made.section("What comes on with what")
        section.blocks.append(table(lines, KEYS, system, {"when": 1.3, "then": 2.2, "power": 1.3}))
    ventilator = outcome.house.ventilator
    if ventilator is not None:
        section = made.section("The ventilator")
        names = ", ".join(speed.name for speed in ventilator.speeds)
        section.words(
            f"A {ventilator.kind.upper()} with the speeds {names}: it runs all day at {ventilator.speeds[0].name}."
        )
        boost = f" for {ventilator.boost_lasts / 60:.0f} min" if ventilator.boost_lasts else ""
        section.words(
            f"A push button in each wet room calls {ventilator.speeds[-1].name}{boost}; label the main switch."
        )
    section = made.section("Prove it before drywall, and again when it stands", whole=True)
    section.blocks.append(
        ticks([
            ("Each machine on its lowest speed: the damper opens, or it stays shut where it should.", ""),
            ("On high: the damper is open before the machine pulls; where it waits, the end switch lets it go.", ""),
            ("Off: the damper shuts.", ""),
            ("Power off and on again while it runs: it comes back the same way, the damper first.", ""),
            ("Circuit, breaker and disconnect by the local electrical code and the maker's sheet.", "Licensed work."),
        ])
    )  # fmt: skip
    return made


def _sentence(lines: list[Row], outcome: Outcome) -> str:
    if not lines:
        return "No make-up air is decided: nothing to interlock yet."
    drawn = bool(outcome.house.make_up_air)
    return "The make-up air comes on with the machines." if drawn else "Wire for this make-up air, if it is built."


def _drawn(house: House) -> list[Row]:
    """What the file draws: a line a machine and arrangement."""
    return [line for arrangement in house.make_up_air or () for line in _of(arrangement)]


def _of(arrangement: MakeUpAir) -> list[Row]:
    damper = arrangement.damper
    found: list[Row] = []
    for machine, how in arrangement.starts_with:
        waits = f"; {machine} is held until the damper's end switch" if machine in arrangement.waits else ""
        fan = ", its fan runs" if arrangement.fan is not None else ""
        opens = "its damper opens" if damper.kind == "motorized" else "its damper opens by itself"
        found.append({
            "when": f"{machine}: {how}", "then": f"{arrangement.name}: {opens}{fan}{waits}",
            "power": f"{'24 V for the damper, by its maker' if damper.kind == 'motorized' else 'none'}; without power: "
            f"{damper.without_power}",
        })  # fmt: skip
    return found


def _advised(outcome: Outcome) -> list[Row]:
    """What the first option that holds asks for, where nothing is drawn."""
    for option in rows(outcome, "make_up_air", "options")[:1]:
        if option["holds"] == "does not hold" or not option.get("power"):
            continue
        return [{
            "when": str(option["note"]).replace("tried in every combination; ", ""),
            "then": str(option["option"]), "power": str(option["power"]),
        }]  # fmt: skip
    return []
