"""What was read at start-up: shown good, shown bad, cannot tell with this meter, not tested; how likely that is wrong.

The cheap looks come first, then what the house does, then the flows. A reading that cannot be is questioned before it
is judged. Law, practice and the user's own limit never stand on one line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from airledger.findings import Finding
from airledger.house.envelope import ach50
from airledger.house.house import House
from airledger.house.operating_state import ACH50, Settings
from airledger.house.outdoors import outdoors, seasons
from airledger.inference.balance_read import Balance, balances
from airledger.inference.flows_read import ANOTHER_HOUSE, flow_told, machine_told, swing_told
from airledger.inference.interlock import interlock_told, unproved
from airledger.inference.plausibility import Question, is_same_house, pressure_question
from airledger.inference.told import Told, as_read, not_judged
from airledger.inference.verdicts import BAD, CANNOT_TELL, GOOD, NOT_TESTED, Reading, Verdict, verdict_within
from airledger.quantities import within_words
from airledger.rules.balance import BalanceRule, balance_rules
from airledger.rules.jurisdictions import jurisdiction
from airledger.rules.shown import taken
from airledger.rules.start_up import NO, YES, StartUp, StartUpReading
from airledger.search.faults import shut_damper
from airledger.search.wording import capital, pascals
from airledger.search.work import Work
from airledger.studies.protocol import Result, Row

name = "start_up"
needs = ("start up",)
reads = ("ventilator", "exhausts", "openings", "envelope", "rooms", "site", "states", "levels", "make-up air",
         "appliances", "limits", "house", "people", "rulings", "rules")  # fmt: skip
after: tuple[str, ...] = ()

PREDICTED_WITHIN = 0.25
"""How far a house pressure may lie outside what was predicted before the two are called at odds [-]: practice."""
APART = 3.0
"""How far two predictions have to lie apart before a reading is said to be nearer to one [Pa]: practice."""


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
    read = _in_its_air(house, work.data("start up"))
    rules = balance_rules(jurisdiction(house.site.place).rates, house.balance)
    told = [_told(house, work, reading, rules) for reading in read.readings]
    found = list(balances(house, read, rules))
    findings = [_finding(one) for one in told] + [_balance_finding(one) for one in found]
    findings += _other_house(house, read) + _not_tested(house, read)
    tables = {
        "readings": tuple(_row(one) for one in told),
        "balance": tuple(_balance_row(one) for one in found),
        "pressures": tuple(_pressures(house, work, read)),
    }
    return Result(tuple(findings), tables, {})


def _in_its_air(house: House, read: StartUp) -> StartUp:
    """The readings as the air of the place has them: thin air passes an orifice faster than the file's reader took."""
    density = outdoors(seasons(house)[0], house.site.elevation).indoor.density

    def moved(reading: StartUpReading) -> StartUpReading:
        if reading.meter is None or reading.shown is None:
            return reading
        found = taken(reading.shown, reading.meter, float(density))
        return replace(reading, value=found.value, error=found.error)

    return replace(read, readings=tuple(moved(reading) for reading in read.readings))


def _told(house: House, work: Work, reading: StartUpReading, rules: tuple[BalanceRule, ...]) -> Told:
    judges: dict[str, Callable[[], Told]] = {
        "interlock": lambda: interlock_told(house, reading),
        "look": lambda: _look(reading),
        "exhaust": lambda: machine_told(house, reading),
        "house pressure": lambda: _pressure(house, work, reading),
        "unit swing": lambda: swing_told(house, reading, rules[0]),
        "door pull": lambda: _door(house, work, reading),
    }
    return judges.get(reading.what, lambda: flow_told(house, reading))()


def _look(reading: StartUpReading) -> Told:
    good = reading.words not in NO
    return Told(reading, YES[0], Verdict(GOOD if good else BAD, float(good), 0.0), "practice", "")


def _door(house: House, work: Work, reading: StartUpReading) -> Told:
    if all(opening.name != reading.where for opening in house.openings):
        return not_judged(reading, "no such door in the file", ANOTHER_HOUSE.format("door"))
    limit, read = work.limits().door_pull.tolerated, as_read(reading)
    word = verdict_within(Reading(abs(read.value), read.error), high=limit)
    wanted = f"{within_words(limit, 'force')} at most"
    return Told(reading, wanted, word, work.limits().door_basis, work.limits().door_source.text)


def _pressure(house: House, work: Work, reading: StartUpReading) -> Told:
    """Against the tolerated limit, and beside what the model said for that state."""
    limit, read = work.limits().house_pressure.tolerated, as_read(reading)
    word = verdict_within(read, low=limit)
    predicted = predicted_pressure(house, work, reading.state)
    wanted = f"{pascals(limit)} or nearer to 0"
    question = None
    if predicted is not None:
        low, likely, high = predicted
        wanted += f"; {pascals(low)} to {pascals(high)} was predicted"
        question = pressure_question(read.value, likely) or _make_up_stayed_shut(
            house, work, read, reading.state, likely
        )
        away = max(low - read.value, read.value - high, 0.0)
        if question is None and away > max(2.0, 2 * read.error, PREDICTED_WITHIN * abs(likely)):
            cause = "the prediction and the gauge are at odds: a door, a damper or the hood is not as written"
            question = Question(cause, read.value)
    return Told(reading, wanted, word, work.limits().house_basis, work.limits().house_source.text, "", question)


def _make_up_stayed_shut(house: House, work: Work, read: Reading, state: str, likely: float) -> Question | None:
    """Whether the reading is what the house stands at when the make-up air does not open."""
    shut = pressure_with_make_up_shut(house, work, state)
    if shut is None or abs(shut - likely) < max(APART, 4 * read.error):
        return None
    if abs(read.value - shut) < 0.5 * abs(read.value - likely):
        cause = f"the make-up air did not open: with it shut {pascals(shut)} was predicted"
        return Question(cause, read.value)
    return None


def pressure_with_make_up_shut(house: House, work: Work, state: str) -> float | None:
    """What the house stands at in a named state if no make-up air opens [Pa]; None where there is none to open.

    Parameters
    ----------
    house : House
        its make-up air [-]
    work : Work
        solves the state [-]
    state : str
        its name [-]
    """
    named = [one for one in work.named() if one.name == state]
    wired = [one for one in house.make_up_air or () if one.damper.kind != "none"]
    if not named or not wired:
        return None
    shut = {
        key: value
        for one in wired
        for key, value in shut_damper(one.name, one.damper.kind == "gravity", one.fan is not None)
    }
    settings = Settings.of(house, named).with_({**shut, ACH50: ach50(house).likely})
    return float(work.solver(house)(settings).house_pressure()[0])


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


def _pressures(house: House, work: Work, read: StartUp) -> Iterable[Row]:
    """Each house pressure beside what was predicted for it, make-up air working and shut."""
    for reading in read.readings:
        predicted = predicted_pressure(house, work, reading.state) if reading.what == "house pressure" else None
        if predicted is not None:
            low, likely, high = predicted
            yield {
                "state": reading.state, "read_pa": reading.value, "predicted_pa": likely, "low_pa": low,
                "high_pa": high, "shut_pa": pressure_with_make_up_shut(house, work, reading.state),
                "line": reading.line,
            }  # fmt: skip


def _balance_row(one: Balance) -> Row:
    return {
        "state": one.state, "rule": one.rule, "basis": one.basis, "supply_m3s": one.supply.value,
        "exhaust_m3s": one.exhaust.value, "balance_ratio": one.supply.value / one.exhaust.value - 1.0,
        "verdict": one.word.word, "wrong_ratio": one.word.wrong, "use": one.use,
    }  # fmt: skip


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


ACTIONS = {
    "house pressure": "see that the make-up air opens, that its filter and screen are clean; read again",
    "door pull": "ease the pull on the house, not the closer; then read again",
    "exhaust": "look at cap, screen, filter and crushed duct first; then read again",
}
SEVERITY = {GOOD: "ok", BAD: "caution", CANNOT_TELL: "unknown", NOT_TESTED: "unknown"}


def _looked(one: Told) -> Finding:
    """A look, or an interlock: words against words."""
    reading = one.reading
    good = one.word.word == GOOD
    where = capital(f"{reading.where or 'make-up air'}, {reading.state}: {reading.words}")
    wanted = "" if good else f"; wanted: {one.wanted}"
    message = f"{where}{wanted}: {one.word.word}."
    return Finding(
        study=name, code=reading.what, severity=SEVERITY[one.word.word], basis="practice", where=reading.where,
        state=reading.state, message=message, action="set it right, and look again" if one.word.word == BAD else "",
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
        action = ACTIONS.get(reading.what, "look at filter, cap, damper and tape first; then set it and read again")
    return Finding(
        study=name, code=f"read_{reading.what.replace(' ', '_').replace('-', '_')}", severity=severity, basis=one.basis,
        where=reading.where, state=reading.state, message=message, action=action,
        source=one.source or "common practice", confirmed=one.basis == "user",
        value=reading.value, unit={"door pull": "N", "house pressure": "Pa"}.get(reading.what, "m3/s"),
    )  # fmt: skip


def _balance_finding(one: Balance) -> Finding:
    ratio = one.supply.value / one.exhaust.value - 1.0
    percent = f"{100 * ratio:+.0f} %".replace("-", "−")
    unsure = ", unconfirmed" if one.basis == "law" and not one.confirmed else ""
    message = f'In "{one.state}" supply is {percent} against exhaust ({one.rule}{unsure}): {one.word.word}'
    wrong = f"; the chance that this is wrong is {100 * one.word.wrong:.0f} %."
    message += f", {one.use}." if one.use else wrong
    word = one.word.word
    return Finding(
        study=name, code="balance", severity=SEVERITY[word], basis=one.basis, where="ventilator", state=one.state,
        message=message, action="throttle the higher stream, read both again" if word == BAD else "",
        source=one.source, confirmed=one.confirmed, value=ratio, unit="-",
    )  # fmt: skip


def _other_house(house: House, read: StartUp) -> list[Finding]:
    """Whether the file names another house than this one."""
    told = read.house or read.address
    if not told or is_same_house(told, house.name) or is_same_house(told, house.site.place):
        return []
    return [
        Finding(
            study=name, code="another_house", severity="unknown", basis="practice", where="house", state="",
            message=f'The readings are of "{told}", this house is "{house.name}".',
            action="see that the file belongs to this house", source="common practice", confirmed=False,
        )
    ]  # fmt: skip


def _not_tested(house: House, read: StartUp) -> list[Finding]:
    """What a start-up is for and nobody read."""
    seen = {reading.what for reading in read.readings}
    asked = [("house pressure", "the house pressure with the hood on high", bool(house.exhausts))]
    flows = {"supply", "pick-up", "supply stream", "exhaust stream"}
    missing = [words for what, words, there in asked if there and what not in seen]
    if house.ventilator is not None and not flows & seen:
        missing.append("the ventilator's flows")
    missing += unproved(house, read)
    return [
        Finding(
            study=name, code="not_tested", severity="unknown", basis="practice", where="house", state="",
            message=f"Not tested: {words}.", action="read it before the walls and the file are closed",
            source="common practice", confirmed=False,
        )
        for words in missing
    ]  # fmt: skip
