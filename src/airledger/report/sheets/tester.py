"""The tester's plan: what to read, what the house should show, what it may not pass, and a box for each reading."""

from __future__ import annotations

from airledger.quantities import number, text
from airledger.report.facts import figure, rows, unit_of
from airledger.report.outcome import Outcome
from airledger.report.sheets.sheet import Sheet, entries, entry, notes, signatures, ticks
from airledger.studies.protocol import Row


def sheet(outcome: Outcome, system: str) -> Sheet:
    """The test plan.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    made = Sheet(
        "for the tester",
        "Read these, in this order; write each into its box.",
        most_pages=3,
        every_danger=True,
    )
    made.under.append(
        "Calm weather: where the gauge swings more than 5 Pa with everything off, come back another day. Outdoor tap "
        "away from the wind, indoor tap in the room named."
    )
    _day(made, system)
    _door_test(made, outcome, system)
    _flows(made, outcome, system)
    _pressures(made, outcome, system)
    _doors(made, outcome, system)
    if rows(outcome, "combustion_safety", "appliances"):
        _combustion(made, outcome, system)
    section = made.section("Before you leave", whole=True)
    section.blocks.append(
        ticks([
            ("Everything back as it was: pilots, thermostat, fans, tape off, dampers locked.", ""),
            ("Labels: which switch ventilates the whole house, which way each damper stands.", ""),
            ("Interlock proved: hood on low, on high, off, and after a power cut.", "Common practice."),
        ])
    )  # fmt: skip
    section.blocks.append(signatures(["tester, certificate", "date"]))
    return made


def _day(made: Sheet, system: str) -> None:
    """What a reading is worth nothing without: instruments, air and wind of the day."""
    section = made.section("The day and the instruments")
    section.blocks.append(
        notes([
            ("indoors", unit_of("temperature", system)), ("outdoors", unit_of("temperature", system)),
            ("wind", unit_of("wind speed", system)), ("gauge, calibrated on", ""), ("blower door, calibrated on", ""),
            ("flow meter, calibrated on", ""),
        ])
    )  # fmt: skip


def _range(low: object, high: object, quantity: str, system: str, digits: int | None = None) -> str:
    ends = sorted((figure(low), figure(high)))  # type: ignore[arg-type]  # cells of a table
    told = [number(end, quantity, system, digits) for end in ends]
    unit = unit_of(quantity, system)
    return f"{told[0]} {unit}" if told[0] == told[1] else f"{told[0]} to {told[1]} {unit}"


def _door_test(made: Sheet, outcome: Outcome, system: str) -> None:
    house = outcome.house
    tight = house.envelope.tightness
    factor = house.volume / 3600.0 if house.envelope.tightness_unit == "ach50" else 1.0
    expected = _range(tight.low * factor, tight.high * factor, "air flow", system)
    taped = ", ".join(house.envelope.taped) or "nothing"
    section = made.section("Blower door")
    section.words(f"Tape for the code: {taped}. Volume to reckon with: {text(house.volume, 'volume', system)}.")
    unit = unit_of("air flow", system)
    section.blocks.append(
        entries("reading", [
            entry("baseline before, fan covered", "", "swings 5 Pa at most", "Pa"),
            entry("flow at 50 Pa, as taped for the code", expected, "the adopted code's, ask", unit),
            entry("flow at 50 Pa, as lived in", "", "", unit),
            entry("baseline after", "", "", "Pa"),
        ])
    )  # fmt: skip


def _flows(made: Sheet, outcome: Outcome, system: str) -> None:
    """The ventilator's streams and grilles at its lowest and highest speed, then the machines."""
    ventilator = outcome.house.ventilator
    unit = unit_of("air flow", system)
    lines = []
    if ventilator is not None:
        for speed in dict.fromkeys((ventilator.speeds[0], ventilator.speeds[-1])):
            for what, flow in (("supply", speed.supply), ("exhaust", speed.exhaust)):
                wanted = text(flow, "air flow", system)
                lines.append(entry(f"{speed.name}: {what} stream", wanted, "within 10 % of the other", unit))
        top = ventilator.speeds[-1]
        lines += [
            entry(f"{top.name}: supply in {room}", text(share * top.supply, "air flow", system), "to 15 %", unit)
            for room, share in ventilator.supplies
        ]
        lines += [
            entry(f"{top.name}: pick-up in {room}", text(share * top.exhaust, "air flow", system), "to 15 %", unit)
            for room, share in ventilator.takes_from
        ]
    fans = {(str(row["machine"]), str(row["state"])): row for row in rows(outcome, "depressurization", "fans")}
    for (machine, state), row in fans.items():
        expected = _range(row.get("low_m3s", row["real_m3s"]), row["real_m3s"], "air flow", system)
        lines.append(entry(f"{machine}, in {state!r}".replace("'", '"'), expected, "", unit))
    if lines:
        section = made.section("Flows")
        section.blocks.append(entries("reading", lines))
        section.words("To 10 and 15 %: practice and a voluntary programme; what the law asks is the inspector's.", True)


def _pressures(made: Sheet, outcome: Outcome, system: str) -> None:
    """The house pressure in the states that the file names, and in the worst one that was found."""
    named = rows(outcome, "depressurization", "named")
    lines = [
        entry(
            str(row["state"]), _range(row["low_pa"], row["high_pa"], "house pressure", system, 1),
            _limit(row, system), "Pa", f"in {row['reference_room']}",
        )
        for row in named
    ]  # fmt: skip
    worst = next((r for r in rows(outcome, "depressurization", "worst") if r["target_kind"] == "house"), None)
    if worst is not None:
        expected = f"{number(figure(worst['pressure_pa']), 'house pressure', system, 0)} Pa"
        lines.append(
            entry("the worst found", expected, _limit(named[0], system) if named else "", "Pa", str(worst["why"]))
        )
    if lines:
        section = made.section("House pressure, inside against outdoors")
        section.blocks.append(entries("what is running", lines))
        if outcome.house.make_up_air is None:
            section.words(
                "No make-up air is decided yet: expected is the house without it. Once it is built none may pass the "
                "limit, with it working; do not run what passes the limit where something burns inside.", True
            )  # fmt: skip
        elif outcome.house.make_up_air:
            section.words("Read each with the make-up air working, then with its damper held shut.", True)


def _limit(row: Row, system: str) -> str:
    return f"{number(figure(row['tolerated_pa']), 'house pressure', system, 0)} Pa tolerated"


def _doors(made: Sheet, outcome: Outcome, system: str) -> None:
    """The doors that pull hardest, one line each."""
    hardest: dict[str, Row] = {}
    for row in rows(outcome, "door_force", "doors"):
        known = hardest.get(str(row["opening"]))
        if known is None or figure(row["force_n"]) > figure(known["force_n"]):
            hardest[str(row["opening"])] = row
    unit = unit_of("force", system)
    lines = [
        entry(
            f"{name}: {row['direction']}", text(figure(row["force_n"]), "force", system),
            f"{text(figure(row['tolerated_n']), 'force', system)} at the knob", unit, str(row["state"]),
        )
        for name, row in sorted(hardest.items(), key=lambda pair: -figure(pair[1]["force_n"]))[:4]
        if row["direction"] != "none"
    ]  # fmt: skip
    if lines:
        made.section("Doors, with a spring scale at the knob").blocks.append(entries("door", lines))


def _combustion(made: Sheet, outcome: Outcome, system: str) -> None:
    """The worst-case sequence, where something burns on a flue."""
    section = made.section("Where something burns: the worst case, step by step", whole=True)
    section.words(
        "Licensed people light and adjust appliances. Measure carbon monoxide before and during; on a high reading "
        "stop, open up, leave."
    )
    steps = (
        "Ask consent. Alarms, soot, gas smell, ash: looked at. Fireplace damper shut.",
        "Windows, doors and hatches to outdoors shut; appliances on pilot; fans off; inner doors open. Baseline.",
        "What runs all day on: radon fan, ventilator. If a balanced unit pushes the house up, leave it off.",
        "Dryer (lint clean), hood on high, every other exhaust on.",
        "Each inner door: keep the way that pulls the appliance's room hardest; its own door both ways.",
        "Air handler on; keep whichever pulls harder. An open fireplace: add its flow.",
        "Net pull = reading less baseline. Then a cold start: spillage, smallest appliance first.",
        "Again with the make-up air working, and with it held shut, where there is one. Then everything back.",
    )
    section.blocks.append(ticks([(step, "") for step in steps]))
    lines = [
        entry(
            f"{row['appliance']}: net pull", f"{number(figure(row['change_pa']), 'house pressure', system, 1)} Pa",
            f"{number(figure(row['limit_pa']), 'house pressure', system, 0)} Pa, recalled", "Pa", str(row["why"]),
        )
        for row in rows(outcome, "combustion_safety", "appliances")
        if str(row.get("state", "")).startswith("worst")
    ]  # fmt: skip
    if lines:
        section.blocks.append(entries("at the appliance", lines))
