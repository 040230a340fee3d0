"""Flows as read against what was drawn: grilles and streams of the ventilator, machines, the swing of the house."""

from __future__ import annotations

import math

from airledger.house.envelope import ach50, exponent
from airledger.house.house import House
from airledger.inference.plausibility import flow_question
from airledger.inference.told import Told, as_read, not_judged
from airledger.inference.verdicts import CANNOT_TELL, Reading, verdict_within
from airledger.physics.flow_instruments import Read, handed_on, swing_flow
from airledger.quantities import within_words
from airledger.rules.balance import BalanceRule
from airledger.rules.instruments import STALE, better_than
from airledger.rules.start_up import StartUpReading

DESIGN_WITHIN = 0.15
"""A flow counts as drawn within this share of its design [-]: a voluntary programme's tolerance, MEMORY."""
DESIGN_SOURCE = "tolerance of a voluntary programme (recalled, unconfirmed)"
MACHINES_OFTEN_AT = 0.55
"""A machine at less than its rating by this much is common, no slip need explain it [-]: field studies of hoods."""
SPREAD_OF_A_RANGE = 2 * 1.2815516
"""Standard deviations between the ends of a 10 to 90 % range [-]: normal distribution."""
ANOTHER_HOUSE = "no {} of this house is called so: another house's reading, or another name?"


def flow_told(house: House, reading: StartUpReading) -> Told:
    """A grille or a stream against its share of the unit's flow at that speed.

    Parameters
    ----------
    house : House
        its ventilator [-]
    reading : StartUpReading
        supply, pick-up, or a stream [-]
    """
    read = as_read(reading)
    design = design_flow(house, reading)
    if design is None:
        grille = not reading.what.endswith("stream")
        unknown = grille and all(room.name != reading.where for room in house.rooms)
        cause = ANOTHER_HOUSE.format("room") if unknown else ""
        return not_judged(reading, "nothing drawn for this place and speed", cause)
    low, high = (1 - DESIGN_WITHIN) * design, (1 + DESIGN_WITHIN) * design
    word = verdict_within(read, low, high)
    wanted = f"{within_words(design, 'air flow')} as drawn, to {100 * DESIGN_WITHIN:.0f} %"
    use = _use(reading, min(abs(read.value - low), abs(read.value - high))) if word.word == CANNOT_TELL else ""
    question = flow_question(read.value, design, _unit(reading))
    return Told(reading, wanted, word, "practice", DESIGN_SOURCE, use, question)


def design_flow(house: House, reading: StartUpReading) -> float | None:
    """The flow that a grille or a stream was drawn for in a state, None where the file draws none [m3/s].

    Parameters
    ----------
    house : House
        its ventilator [-]
    reading : StartUpReading
        what was read where [-]
    """
    ventilator = house.ventilator
    speed = next((s for s in ventilator.speeds if s.name == reading.state), None) if ventilator is not None else None
    if ventilator is None or speed is None:
        return None
    if reading.what.endswith("stream"):
        return speed.supply if reading.what.startswith("supply") else speed.exhaust
    shares = dict(ventilator.supplies if reading.what == "supply" else ventilator.takes_from)
    share = shares.get(reading.where)
    return None if share is None else share * (speed.supply if reading.what == "supply" else speed.exhaust)


def machine_told(house: House, reading: StartUpReading) -> Told:
    """A hood, dryer or fan against the rating of the speed it ran at.

    Parameters
    ----------
    house : House
        its exhausts [-]
    reading : StartUpReading
        exhaust of a machine [-]
    """
    machine = next((one for one in house.exhausts if one.name == reading.where), None)
    rated = dict(machine.speeds).get(reading.state) if machine is not None else None
    if rated is None:
        cause = ANOTHER_HOUSE.format("machine") if machine is None else ""
        return not_judged(reading, "no such machine or speed in the file", cause)
    least = (1 - DESIGN_WITHIN) * rated
    read = as_read(reading)
    word = verdict_within(read, low=least)
    use = _use(reading, abs(read.value - least)) if word.word == CANNOT_TELL else ""
    wanted = f"{within_words(least, 'air flow')} or more of {within_words(rated, 'air flow')} rated"
    question = flow_question(read.value, rated, _unit(reading), MACHINES_OFTEN_AT)
    return Told(reading, wanted, word, "practice", "common practice", use, question)


def swing_told(house: House, reading: StartUpReading, rule: BalanceRule) -> Told:
    """The unit on and off, by the house's own leaks: what it takes out beyond what it brings in.

    Parameters
    ----------
    house : House
        its tightness and its ventilator [-]
    reading : StartUpReading
        house pressure with the unit on, its baseline with it off [-]
    rule : BalanceRule
        what counts as balanced [-]
    """
    speeds = house.ventilator.speeds if house.ventilator is not None else ()
    speed = next((one for one in speeds if one.name == reading.state), None)
    if speed is None:
        return not_judged(reading, "no such speed of the ventilator in the file")
    net = net_flow_of_swing(house, reading)
    base = {"exhaust": speed.exhaust, "larger": max(speed.supply, speed.exhaust), "mean": speed.supply + speed.exhaust}
    most = max(rule.share * base[rule.of], rule.flow)
    wanted = (
        f"{within_words(most, 'air flow')} net at most ({rule.title}); the swing makes it "
        f"{within_words(abs(net.value), 'air flow')} {'out' if net.value > 0 else 'in'}"
    )
    word = verdict_within(Reading(net.value, net.error), -most, most)
    use = "read both streams at the unit" if word.word == CANNOT_TELL else ""
    return Told(reading, wanted, word, rule.basis, rule.source.text, use)


def net_flow_of_swing(house: House, reading: StartUpReading) -> Read:
    """Net air that the unit takes out of the house, with its error from gauge, tightness and exponent [m3/s].

    Parameters
    ----------
    house : House
        its tightness and volume [-]
    reading : StartUpReading
        house pressure with the unit on, its baseline with it off [-]
    """
    assert reading.shown is not None, "a reading with a value was shown"
    assert reading.meter is not None, "a reading with a value has an instrument"
    tight, n = ach50(house), exponent(house)[0]

    def net(changes: float, power: float, on: float, off: float) -> float:
        coefficient = changes * house.volume / 3600.0 / 50.0**power
        return float(swing_flow(coefficient, power, on, off))

    def gauge(samples: tuple[float, ...]) -> Read:
        mean = sum(samples) / len(samples)
        scatter = sum((one - mean) ** 2 for one in samples) / max(len(samples) - 1, 1) / len(samples)
        assert reading.meter is not None, "asked above"
        own = (STALE if reading.meter.stale else 1.0) * reading.meter.made.of(mean, len(samples))
        return Read(mean, math.hypot(own, math.sqrt(scatter)))

    return handed_on(
        net,
        Read(tight.likely, (tight.high - tight.low) / SPREAD_OF_A_RANGE),
        Read(n.likely, (n.high - n.low) / SPREAD_OF_A_RANGE),
        gauge(reading.shown.samples),
        gauge(reading.shown.baselines),
    )


def _unit(reading: StartUpReading) -> str:
    return reading.shown.unit if reading.shown is not None else ""


def _use(reading: StartUpReading, margin: float) -> str:
    """What would decide: instruments sure enough for the margin there is."""
    flow = max(abs(as_read(reading).value), 1e-9)
    needed = margin / 1.645 / flow
    on = {"supply stream": "stream", "exhaust stream": "stream", "exhaust": "exhaust"}.get(reading.what, "grille")
    found = better_than(needed, on, flow)
    if found:
        return f"use a {found[0]}"
    return f"use a meter of {100 * 1.96 * needed:.0f} % or better, or read it more often"
