"""The test plan as one file for a phone: one reading a screen, without network; it gives the readings back as a file.

The file needs nothing but itself: it works from the phone's own files, keeps what is typed in the browser, and writes
the readings as `airledger start-up` and `airledger airtightness` read them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from html import escape
from importlib import resources
from typing import Any

from airledger.house.house import House
from airledger.quantities import number, text
from airledger.report.facts import FOOT, figure, rows, unit_of
from airledger.report.html_page import fonts_inside
from airledger.report.in_units import in_units
from airledger.report.outcome import Outcome
from airledger.rules.instruments import instrument_keys

LOOKS = (
    ("filters", "Are the filters in, the right way round?"),
    ("label on the control", "Is there a label on the control that says what it is for?"),
    ("tape taken out", "Is all tape out of grilles and caps?"),
)
PRESSURES = (60, 54, 48, 42, 36, 30, 24, 18)
"""House pressures that a blower-door test steps through [Pa]."""

Asked = dict[str, Any]


def pocket(outcome: Outcome, system: str) -> str:
    """The whole file.

    Parameters
    ----------
    outcome : Outcome
        what a run found
    system : str
        ``ip`` or ``si``
    """
    shown = in_units(outcome, system)
    plan = {
        "house": shown.house.name,
        "start_up": list(_start_up(shown, system)),
        "blower": list(_blower(shown.house, system)),
        "flow": unit_of("air flow", system),
        "caution": FOOT,
    }
    told = json.dumps(plan, ensure_ascii=False).replace("<", "\\u003c")
    template = resources.files("airledger").joinpath("report", "templates", "pocket.html").read_text(encoding="utf-8")
    return (
        template.replace("/*fonts*/", fonts_inside())
        .replace("@title@", escape(shown.house.name))
        .replace("@plan@", told)
    )


def _start_up(outcome: Outcome, system: str) -> Iterator[Asked]:
    """What is read at start-up, the cheap looks first."""
    house = outcome.house
    speeds = [speed.name for speed in house.ventilator.speeds] if house.ventilator else []
    first = speeds[0] if speeds else "off"
    for what, question in LOOKS:
        yield _asked(first, "look", what, question, choices=("yes", "no"))
    yield from _ventilator(house, system)
    fans = {(str(row["machine"]), str(row["state"])): row for row in rows(outcome, "depressurization", "fans")}
    for machine in house.exhausts:
        for speed, _ in list(machine.speeds)[-1:]:
            known = next((row for (name, _), row in fans.items() if name == machine.name), None)
            wanted = text(figure(known["real_m3s"]), "air flow", system) if known else ""
            does = f"{machine.name} on {speed}: what does it move?"
            yield _asked(speed, "exhaust", machine.name, does, wanted, unit_of("air flow", system), _meters("exhaust"))
    for row in rows(outcome, "depressurization", "named"):
        ends = sorted((figure(row["low_pa"]), figure(row["high_pa"])))
        wanted = " to ".join(number(end, "house pressure", system, 1) for end in ends) + " Pa"
        does = f"Set: {row['state']}. Hose to outdoors. Wait ten seconds. Inside against outdoors?"
        yield _asked(
            str(row["state"]), "house pressure", str(row["reference_room"]), does, wanted, "Pa", ("manometer",), True
        )
    hardest = sorted(rows(outcome, "door_force", "doors"), key=lambda row: -figure(row["force_n"]))
    seen: set[str] = set()
    named = {str(row["state"]) for row in rows(outcome, "depressurization", "named")}
    for row in hardest:
        if row["direction"] == "none" or str(row["opening"]) in seen or str(row["state"]) not in named:
            continue
        seen.add(str(row["opening"]))
        does = f"Set: {row['state']}. Spring scale at the knob of the {row['opening']}: how much until it moves?"
        wanted = text(figure(row["force_n"]), "force", system)
        yield _asked(
            str(row["state"]),
            "door pull",
            str(row["opening"]),
            does,
            wanted,
            unit_of("force", system),
            ("spring scale",),
        )


def _ventilator(house: House, system: str) -> Iterator[Asked]:
    """Streams at the lowest and highest speed, grilles at the highest."""
    ventilator = house.ventilator
    if ventilator is None:
        return
    unit, kind = unit_of("air flow", system), ventilator.kind.upper()
    for speed in dict.fromkeys((ventilator.speeds[0], ventilator.speeds[-1])):
        for what, flow in (("supply stream", speed.supply), ("exhaust stream", speed.exhaust)):
            does = f"{kind} on {speed.name}: the {what}, at the unit?"
            yield _asked(speed.name, what, kind, does, text(flow, "air flow", system), unit, _meters("stream"))
    top = ventilator.speeds[-1]
    sides = (("supply", ventilator.supplies, top.supply), ("pick-up", ventilator.takes_from, top.exhaust))
    for what, shares, flow in sides:
        for room, share in shares:
            does = f"{kind} on {top.name}: the {what} in the {room}?"
            yield _asked(top.name, what, room, does, text(share * flow, "air flow", system), unit, _meters("grille"))


def _meters(on: str) -> tuple[str, ...]:
    return instrument_keys("flow", on)


def _asked(  # a reading's own parts  # noqa: PLR0913, PLR0917
    state: str,
    what: str,
    where: str,
    does: str,
    wanted: str = "",
    unit: str = "",
    meters: tuple[str, ...] = (),
    baseline: bool = False,
    choices: tuple[str, ...] = (),
) -> Asked:
    return {
        "state": state, "what": what, "where": where, "do": does, "expected": wanted, "unit": unit,
        "meters": list(meters), "baseline": baseline, "choices": list(choices),
    }  # fmt: skip


def _blower(house: House, system: str) -> Iterator[Asked]:
    """A blower-door test: the day, the baseline, the steps, the baseline again."""
    warm, air = unit_of("temperature", system), unit_of("air flow", system)
    yield {"key": "indoor temperature", "do": "How warm is it indoors?", "unit": warm}
    yield {"key": "outdoor temperature", "do": "And outdoors?", "unit": warm}
    yield {
        "key": "baseline before", "unit": "Pa",
        "do": "Fan covered and off. What does the gauge show? (Inside below outdoors is minus.)",
    }  # fmt: skip
    taped = ", ".join(house.envelope.taped) or "nothing"
    for step in PRESSURES:
        yield {"gauge": step, "unit": "Pa", "do": f"Taped: {taped}. Pull to about -{step} Pa. The gauge shows?"}
        yield {"flow": step, "unit": air, "do": "And the flow at that pressure?"}
    yield {"key": "baseline after", "unit": "Pa", "do": "Fan covered and off again. The gauge?"}
