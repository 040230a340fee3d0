"""What was read at start-up: shown good, shown bad, cannot tell with this meter, not tested; how likely that is wrong.

The cheap looks come first, then what the house does, then the flows. A reading that cannot be is questioned before it
is judged. Law, practice and the user's own limit never stand on one line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from airledger.findings import Finding
from airledger.house.envelope import ach50
from airledger.house.house import House
from airledger.house.outdoors import is_humid_climate
from airledger.inference.plausibility import Question, flow_question, pressure_question
from airledger.inference.verdicts import (
    BAD,
    CANNOT_TELL,
    GOOD,
    NOT_TESTED,
    Keeps,
    Reading,
    Verdict,
    between_goals,
    chance_of_balance,
    chance_within,
    meter_that_decides,
    verdict,
    within_of_exhaust,
)
from airledger.quantities import within_words
from airledger.rules.instruments import better_than
from airledger.rules.start_up import NO, StartUp, StartUpReading
from airledger.search.wording import capital, pascals
from airledger.search.work import Work
from airledger.studies.protocol import Result, Row

name = "start_up"
needs = ("start up",)
reads = ("ventilator", "exhausts", "openings", "envelope", "rooms", "site", "states", "levels", "make-up air",
         "appliances", "limits", "house", "people", "rulings")  # fmt: skip
after: tuple[str, ...] = ()

DESIGN_WITHIN = 0.15
"""A flow counts as drawn within this share of its design [-]: a voluntary programme's tolerance, MEMORY."""
BALANCE_WITHIN = 0.10
FINEST = 0.02  # no meter in a truck is better than 2 %
COLD_GOAL, HUMID_GOAL = (-0.10, 0.0), (0.0, 0.10)
PREDICTED_WITHIN = 0.25
"""How far a house pressure may lie outside what was predicted before the two are called at odds [-]: practice."""


@dataclass(frozen=True)
class Told:
    """A line of the table before it is one: what was read where, against what, and the word on it."""

    reading: StartUpReading
    wanted: str
    word: Verdict
    basis: str
    source: str
    use: str = ""
    question: Question | None = None


def run(house: House, options: Any, work: Work) -> Result:
    """Every reading with its word, the balance in each state, and what was not tested.

    Parameters
    ----------
    house : House
        design flows, limits, named states [-]
    options : object
        none yet [-]
    work : Work
        the readings, and the named states solved [-]
    """
    del options
    read: StartUp = work.data("start up")
    told = [one for reading in read.readings for one in _told(house, work, reading)]
    balances = list(_balances(house, read))
    rows = [_row(one) for one in told]
    findings = [_finding(one) for one in told] + [_balance_finding(row) for row in balances]
    findings += _not_tested(house, read)
    return Result(tuple(findings), {"readings": tuple(rows), "balance": tuple(balances)}, {})


def _told(house: House, work: Work, reading: StartUpReading) -> Iterable[Told]:
    if reading.value is None:
        good = reading.words not in NO
        yield Told(reading, "as it should be", Verdict(GOOD if good else BAD, float(good), 0.0), "practice", "")
    elif reading.what in ("supply", "pick-up", "supply stream", "exhaust stream"):
        yield from _flow(house, reading)
    elif reading.what == "exhaust":
        yield from _machine(house, reading)
    elif reading.what == "house pressure":
        yield from _pressure(house, work, reading)
    else:
        limit = work.limits().door_pull.tolerated
        word = verdict(chance_within(Reading(abs(reading.value), reading.error), high=limit))
        wanted = f"{within_words(limit, 'force')} at most"
        yield Told(reading, wanted, word, work.limits().door_basis, work.limits().door_source.text)


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


def _flow(house: House, reading: StartUpReading) -> Iterable[Told]:
    design = design_flow(house, reading)
    assert reading.value is not None, "words are told apart before"
    if design is None:
        word = Verdict(NOT_TESTED, 0.5, 0.0)
        yield Told(reading, "nothing drawn for this place and speed", word, "practice", "")
        return
    low, high = (1 - DESIGN_WITHIN) * design, (1 + DESIGN_WITHIN) * design
    word = verdict(chance_within(Reading(reading.value, reading.error), low, high))
    wanted = f"{within_words(design, 'air flow')} as drawn, to {100 * DESIGN_WITHIN:.0f} %"
    use = _use(reading, min(abs(reading.value - low), abs(reading.value - high))) if word.word == CANNOT_TELL else ""
    question = flow_question(reading.value, design)
    source = "tolerance of a voluntary programme (recalled, unconfirmed)"
    yield Told(reading, wanted, word, "practice", source, use, question)


def _use(reading: StartUpReading, margin: float) -> str:
    """What would decide: instruments sure enough for the margin there is."""
    assert reading.value is not None, "words are told apart before"
    needed = margin / 1.645 / max(abs(reading.value), 1e-9)
    on = {"supply stream": "stream", "exhaust stream": "stream", "exhaust": "exhaust"}.get(reading.what, "grille")
    found = better_than(needed, on)
    if found:
        return f"use a {found[0]}"
    return f"use a meter of {100 * 1.96 * needed:.0f} % or better, or read it more often"


def _machine(house: House, reading: StartUpReading) -> Iterable[Told]:
    """A hood, dryer or fan against the rating of the speed it ran at."""
    machine = next((one for one in house.exhausts if one.name == reading.where), None)
    rated = dict(machine.speeds).get(reading.state) if machine is not None else None
    assert reading.value is not None, "words are told apart before"
    if rated is None:
        word = Verdict(NOT_TESTED, 0.5, 0.0)
        yield Told(reading, "no such machine or speed in the file", word, "practice", "")
        return
    least = (1 - DESIGN_WITHIN) * rated
    word = verdict(chance_within(Reading(reading.value, reading.error), low=least))
    use = _use(reading, abs(reading.value - least)) if word.word == CANNOT_TELL else ""
    wanted = f"{within_words(least, 'air flow')} or more of {within_words(rated, 'air flow')} rated"
    yield Told(reading, wanted, word, "practice", "common practice", use, flow_question(reading.value, rated))


def _pressure(house: House, work: Work, reading: StartUpReading) -> Iterable[Told]:
    """Against the tolerated limit, and beside what the model said for that state."""
    assert reading.value is not None, "words are told apart before"
    limit = work.limits().house_pressure.tolerated
    word = verdict(chance_within(Reading(reading.value, reading.error), low=limit))
    predicted = predicted_pressure(house, work, reading.state)
    wanted = f"{pascals(limit)} or nearer to 0"
    question = None
    if predicted is not None:
        low, likely, high = predicted
        wanted += f"; {pascals(low)} to {pascals(high)} was predicted"
        question = pressure_question(reading.value, likely)
        away = max(low - reading.value, reading.value - high, 0.0)
        if question is None and away > max(2.0, 2 * reading.error, PREDICTED_WITHIN * abs(likely)):
            cause = "the prediction and the gauge are at odds: a door, a damper or the hood is not as written"
            question = Question(cause, reading.value)
    yield Told(reading, wanted, word, work.limits().house_basis, work.limits().house_source.text, "", question)


def predicted_pressure(house: House, work: Work, state: str) -> tuple[float, float, float] | None:
    """What the model says the house stands at in a named state: low, likely, high [Pa]; None of a state not named.

    Parameters
    ----------
    house : House
        its tightness [-]
    work : Work
        the named states solved [-]
    state : str
        its name [-]
    """
    names = [one.name for one in work.named()]
    if state not in names:
        return None
    place = names.index(state)
    ends = [float(work.named_at(end).house_pressure()[place]) for end in ach50(house).ends]
    likely = float(work.named_at(None).house_pressure()[place])
    return min([*ends, likely]), likely, max([*ends, likely])


def _balances(house: House, read: StartUp) -> Iterable[Row]:
    """Supply against exhaust in each state in which both streams were read, or all grilles of both sides."""
    for state in dict.fromkeys(reading.state for reading in read.readings):
        pair = [_stream(house, read, state, side) for side in ("supply", "exhaust")]
        if pair[0] is None or pair[1] is None:
            continue
        supply, exhaust = pair[0], pair[1]
        ratio = supply.value / exhaust.value - 1.0
        for rule, keeps, basis in _balance_rules(house):
            kept = chance_of_balance(supply, exhaust, keeps)
            word = verdict(min(max(kept, 0.0), 1.0))
            meter = meter_that_decides(supply.value, exhaust.value, keeps) if word.word == CANNOT_TELL else None
            yield {
                "state": state, "rule": rule, "basis": basis, "supply_m3s": supply.value, "exhaust_m3s": exhaust.value,
                "balance_ratio": ratio, "verdict": word.word, "wrong_ratio": word.wrong,
                "use": _meter_words(meter) if word.word == CANNOT_TELL else "",
            }  # fmt: skip


def _meter_words(meter: float | None) -> str:
    if meter is None or 1.96 * meter < FINEST:
        return "no meter in a truck decides what stands so near the line: turn a damper, read again"
    better = better_than(meter, "stream")
    named = f", such as a {better[0]}" if better else ""
    return f"use a meter of {100 * 1.96 * meter:.0f} % or better{named}"


def _balance_rules(house: House) -> Iterable[tuple[str, Keeps, str]]:
    yield f"supply within {100 * BALANCE_WITHIN:.0f} % of exhaust", within_of_exhaust(BALANCE_WITHIN), "practice"
    humid = is_humid_climate(house)
    low, high = HUMID_GOAL if humid else COLD_GOAL
    climate = "a humid climate: a little more in than out" if humid else "a cold climate: a little more out than in"
    yield climate, between_goals(low, high), "practice"


def _stream(house: House, read: StartUp, state: str, side: str) -> Reading | None:
    """A stream as read at the unit; else the sum of its grilles where every one was read."""
    mine = [r for r in read.readings if r.state == state and r.what == f"{side} stream" and r.value]
    if mine:
        return Reading(abs(mine[0].value or 0.0), mine[0].error)
    what = "supply" if side == "supply" else "pick-up"
    grilles = {r.where: r for r in read.readings if r.state == state and r.what == what and r.value}
    if house.ventilator is None:
        return None
    wanted = [
        room
        for room, share in (house.ventilator.supplies if side == "supply" else house.ventilator.takes_from)
        if share
    ]
    if not wanted or any(room not in grilles for room in wanted):
        return None
    values = [abs(grilles[room].value or 0.0) for room in wanted]
    # one meter reads them all: what it is off by does not average out
    return Reading(sum(values), sum(grilles[room].error for room in wanted))


def _row(one: Told) -> Row:
    reading = one.reading
    row: Row = {
        "state": reading.state, "what": reading.what, "where": reading.where, "read": _value_words(reading),
        "wanted": one.wanted, "verdict": one.word.word, "wrong_ratio": one.word.wrong, "use": one.use,
        "question": "" if one.question is None else one.question.cause, "instrument": reading.instrument,
        "line": reading.line,
    }  # fmt: skip
    return row


def _value_words(reading: StartUpReading) -> str:
    if reading.value is None:
        return reading.words
    quantity = {"house pressure": "house pressure", "door pull": "force"}.get(reading.what, "air flow")
    return within_words(reading.value, quantity)


SEVERITY = {GOOD: "ok", BAD: "caution", CANNOT_TELL: "unknown", NOT_TESTED: "unknown"}


def _looked(one: Told) -> Finding:
    """A look, or an interlock: words against words."""
    reading = one.reading
    good = one.word.word == GOOD
    message = (
        f"{capital(reading.where)}, {reading.state}: {reading.words}{'' if good else ', which is not as it should be'}."
    )
    return Finding(
        study=name, code=reading.what, severity=SEVERITY[one.word.word], basis="practice", where=reading.where,
        state=reading.state, message=message, action="" if good else "set it right, and look again",
        source="common practice", confirmed=False,
    )  # fmt: skip


def _finding(one: Told) -> Finding:
    reading = one.reading
    if reading.value is None:
        return _looked(one)
    what = f"{reading.what} {reading.where}".strip()
    message = f"{capital(what)}, {reading.state}: {_value_words(reading)}, wanted {one.wanted}: {one.word.word}"
    message += f" with this {reading.instrument}" if one.word.word == CANNOT_TELL else ""
    message += f", {one.use}." if one.use else "."
    if one.word.word in (GOOD, BAD) and one.word.wrong >= 0.005:
        message += f" The chance that this is wrong is {100 * one.word.wrong:.0f} %."
    if reading.stale:
        message += " Its calibration is old or not told: twice its error was taken."
    severity = SEVERITY[one.word.word]
    if one.word.word == BAD and one.basis == "user":
        severity = "fail"
    action = ""
    if one.question is not None:
        severity, action = "unknown", f"read it again; likelier: {one.question.cause}"
    elif severity in ("caution", "fail"):
        action = "look at filter, cap, damper and tape first; then set it and read again"
    return Finding(
        study=name, code=f"read_{reading.what.replace(' ', '_').replace('-', '_')}", severity=severity, basis=one.basis,
        where=reading.where, state=reading.state, message=message, action=action,
        source=one.source or "common practice", confirmed=one.basis == "user",
        value=reading.value, unit={"door pull": "N", "house pressure": "Pa"}.get(reading.what, "m3/s"),
    )  # fmt: skip


def _balance_finding(row: Row) -> Finding:
    percent = f"{100 * float(str(row['balance_ratio'])):+.0f} %".replace("-", "−")
    message = f'In "{row["state"]}" supply is {percent} against exhaust ({row["rule"]}): {row["verdict"]}'
    wrong = f"; the chance that this is wrong is {100 * float(str(row['wrong_ratio'])):.0f} %."
    message += f", {row['use']}." if row["use"] else wrong
    word = str(row["verdict"])
    return Finding(
        study=name, code="balance", severity=SEVERITY[word], basis=str(row["basis"]), where="ventilator",
        state=str(row["state"]), message=message,
        action="throttle the higher stream, read both again" if word == BAD else "", source="common practice",
        confirmed=False, value=float(str(row["balance_ratio"])), unit="-",
    )  # fmt: skip


def _not_tested(house: House, read: StartUp) -> list[Finding]:
    """What a start-up is for and nobody read."""
    seen = {reading.what for reading in read.readings}
    asked = [("house pressure", "the house pressure with the hood on high", bool(house.exhausts))]
    asked.append(("interlock", "the make-up air's interlock: low, high, off, power back", bool(house.make_up_air)))
    flows = {"supply", "pick-up", "supply stream", "exhaust stream"}
    missing = [words for what, words, there in asked if there and what not in seen]
    if house.ventilator is not None and not flows & seen:
        missing.append("the ventilator's flows")
    return [
        Finding(
            study=name, code="not_tested", severity="unknown", basis="practice", where="house", state="",
            message=f"Not tested: {words}.", action="read it before the walls and the file are closed",
            source="common practice", confirmed=False,
        )
        for words in missing
    ]  # fmt: skip
