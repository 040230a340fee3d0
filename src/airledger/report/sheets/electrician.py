"""The electrician's page: what starts with what, what waits for what, what power goes where, and how it is proved."""

from __future__ import annotations

import re

from airledger.house.house import House, MakeUpAir
from airledger.report.blocks import table
from airledger.report.facts import first_way_out
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, signatures, ticks
from airledger.report.trade_words import NOT_KNOWN, article
from airledger.studies.protocol import Row

KEYS = ("when", "then", "power")
STARTS = re.compile(r"starts with the ([^;]+)")


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
        section = made.section("What comes on with what (interlock)")
        section.blocks.append(table(lines, KEYS, system, {"when": 1.3, "then": 2.2, "power": 1.3}))
    ventilator = outcome.house.ventilator
    if ventilator is not None:
        section = made.section("The ventilator")
        names = ", ".join(speed.name for speed in ventilator.speeds)
        unit = article(ventilator.kind.upper())
        section.words(f"{unit[:1].upper()}{unit[1:]} with the speeds {names}; it runs all day at "
                      f"{ventilator.speeds[0].name}.")  # fmt: skip
        boost = f" for {ventilator.boost_lasts / 60:.0f} min" if ventilator.boost_lasts else ""
        rooms = ", ".join(room for room, _ in ventilator.takes_from)
        section.words(
            f"A push button in each room that it takes air from ({rooms}) calls {ventilator.speeds[-1].name}{boost}. "
            'Label the main switch: "Ventilates the whole house, leave on".'
        )
    section = made.section("What needs power")
    section.blocks.append(
        table(_machines(outcome.house), ("machine", "room", "circuit_and_breaker"), system, {"circuit_and_breaker": 2})
    )
    section.words("Circuit, breaker and disconnect by the local electrical code and the maker's sheet.", True)
    section = made.section("Prove it before drywall, and again when it stands", whole=True)
    section.blocks.append(ticks([(words, "") for words in _proofs(bool(lines), ventilator is not None)]))
    section.blocks.append(signatures(["electrician, licence", "date"]))
    return made


def _sentence(lines: list[Row], outcome: Outcome) -> str:
    if not lines:
        decided = outcome.house.make_up_air is not None
        return "Nothing to interlock." if decided else "No make-up air is decided: nothing to interlock yet."
    drawn = bool(outcome.house.make_up_air)
    return "The make-up air comes on with the machines." if drawn else "Wire for this make-up air, if it is built."


def _proofs(interlocked: bool, ventilated: bool) -> list[str]:
    found = []
    if interlocked:
        found += [
            "Each machine on its lowest speed: the damper opens, or it stays shut where it should.",
            "On high: the damper is open before the machine pulls; where it waits, the end switch lets it go.",
            "Damper held shut by hand: a machine that waits does not run.",
            "Off: the damper shuts.",
            "Power off and on again while it runs: it comes back the same way, the damper first.",
        ]
    if ventilated:
        found += [
            "The ventilator: every button calls the highest speed, and it goes back by itself.",
            "Power off and on again: the ventilator runs as before.",
        ]
    return found or ["Each machine starts and stops at its own switch."]


def _machines(house: House) -> list[Row]:
    """Everything that needs a wire, its circuit to be written in."""
    named = [(machine.name, machine.room) for machine in house.exhausts if machine.kind != "open fireplace"]
    if house.ventilator is not None:
        named.insert(0, (house.ventilator.kind.upper(), house.ventilator.room or NOT_KNOWN))
    for a in house.make_up_air or ():
        parts = ("damper", a.damper.kind == "motorized"), ("fan", a.fan is not None), (_heater(a), _heater(a) != "")
        named += [(f"{a.name}, {part}", a.into) for part, there in parts if there]
    named += [(appliance.name, appliance.room) for appliance in house.appliances]
    return [{"machine": name, "room": room, "circuit_and_breaker": ""} for name, room in named]


def _heater(arrangement: MakeUpAir) -> str:
    """The heater of make-up air with its power; nothing where none is drawn."""
    heats = arrangement.fan.heats if arrangement.fan is not None else None
    return f"heater of {heats / 1000:g} kW" if heats else ""


def _drawn(house: House) -> list[Row]:
    """What the file draws: a line a machine and arrangement."""
    return [line for arrangement in house.make_up_air or () for line in _of(arrangement)]


def _of(arrangement: MakeUpAir) -> list[Row]:
    damper = arrangement.damper
    found: list[Row] = []
    for machine, how in arrangement.starts_with:
        waits = f"; {machine} is held until the damper's end switch" if machine in arrangement.waits else ""
        fan = ", its fan runs" if arrangement.fan is not None else ""
        circuit = "; a circuit for its fan" if fan else ""
        opens = "its damper opens" if damper.kind == "motorized" else "its damper opens by itself"
        found.append({
            "when": f"{machine}: {how}", "then": f"{arrangement.name}: {opens}{fan}{waits}",
            "power": f"{'24 V for the damper, by its maker' if damper.kind == 'motorized' else 'none'}{circuit}; "
            f"without power: {damper.without_power}",
        })  # fmt: skip
    return found


def _advised(outcome: Outcome) -> list[Row]:
    """What the first way out asks for, where nothing is drawn and it holds: a line a machine that starts it."""
    option = first_way_out(outcome)
    if option is None or str(option.get("power") or "none") == "none":
        return []
    note = str(option["note"])
    starts = STARTS.search(note)
    told = re.split(r", | and ", starts.group(1).removesuffix(" alone")) if starts else []
    names = [machine.name for machine in outcome.house.exhausts if machine.name in told]
    short = str(option.get("short") or option["option"])
    parts = [part for part in short.split(" + ") if not part.startswith(tuple(names))] or [short]
    held = "; the machine is held until the damper's end switch" if "wait for the end switch" in note else ""
    return [
        {
            "when": f"{name} runs, any speed", "then": f"{' and '.join(parts)}: opens{held}",
            "power": f"{option['power']}, by its maker",
        }
        for name in names or ["the machine"]
    ]  # fmt: skip
