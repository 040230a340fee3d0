"""The proof of an interlock: what the make-up air does at each speed of what starts it, off, and after a power cut."""

from __future__ import annotations

import numpy as np

from airledger.house.house import House, MakeUpAir
from airledger.house.operating_state import full_flow, interlocked, speeds_of
from airledger.inference.told import Told, not_judged
from airledger.inference.verdicts import BAD, GOOD, Verdict
from airledger.rules.start_up import AFTER, NO, OPENED, YES, StartUp, StartUpReading

HELD = "held shut"
"""State in which the damper is held shut and what waits for it must not run."""


def proof_of(house: House, arrangement: MakeUpAir) -> dict[str, bool]:
    """Every state in which an interlock is proved, and whether the make-up air has to be open there.

    Each speed of each machine that starts it, everything off, power gone and back (it has to follow the machine, told
    as yes or no), and where a machine waits for the damper, the damper held shut: the machine must not run.

    Parameters
    ----------
    house : House
        its machines [-]
    arrangement : MakeUpAir
        one make-up opening [-]
    """
    if not arrangement.starts_with:
        return {}
    machines = {exhaust.name: exhaust for exhaust in house.exhausts}
    kind = "open" if arrangement.damper.kind == "motorized" else "speed"
    found = {}
    for name, _ in arrangement.starts_with:
        for speed, flow in speeds_of(machines[name]):
            share = np.array([flow / max(full_flow(machines[name]), 1e-12)])
            columns = interlocked(house, {("speed", name): share}, 1)
            found[f"{name} {speed}"] = bool(columns[kind, arrangement.name][0] > 0.0)
    found |= dict.fromkeys(AFTER, False)
    return found | ({HELD: False} if arrangement.waits else {})


def interlock_told(house: House, reading: StartUpReading) -> Told:
    """Whether a make-up opening did what it has to in a state.

    Parameters
    ----------
    house : House
        its make-up air [-]
    reading : StartUpReading
        an interlock, in words [-]
    """
    wired = [one for one in house.make_up_air or () if one.starts_with]
    arrangement = next((one for one in wired if one.name == reading.where), None)
    if arrangement is None and len(wired) == 1 and reading.where in ("", "make-up air"):
        arrangement = wired[0]
    if arrangement is None:
        names = ", ".join(one.name for one in wired)
        return not_judged(reading, f"nothing is wired so in the file{f'; there are: {names}' if names else ''}")
    expected = proof_of(house, arrangement)
    state = state_of(expected, reading.state)
    if state is None:
        return not_judged(reading, f"no such state of it; there are: {', '.join(expected)}")
    wanted = wanted_words(state, expected[state])
    if reading.words in (*YES, *NO):
        return Told(reading, wanted, _word(reading.words in YES), "practice", "common practice")
    if state == AFTER[1]:
        return not_judged(reading, "say yes or no: did it stand as its machine did once power was back?")
    return Told(reading, wanted, _word((reading.words in OPENED) == expected[state]), "practice", "common practice")


def state_of(expected: dict[str, bool], told: str) -> str | None:
    """The state of a proof that a row means: by its whole name, or by the speed alone where one machine has it.

    Parameters
    ----------
    expected : dict
        states of the proof [-]
    told : str
        as the row says [-]
    """
    if told in expected:
        return told
    found = [state for state in expected if state.endswith(f" {told}")]
    return found[0] if len(found) == 1 else None


def wanted_words(state: str, is_open: bool) -> str:
    """What has to happen in a state, in words.

    Parameters
    ----------
    state : str
        of the proof [-]
    is_open : bool
        whether the make-up air has to be open [-]
    """
    if state == HELD:
        return "what waits for it does not run"
    if state == AFTER[1]:
        return "follows its machine once power is back"
    return "opens" if is_open else "is shut"


def unproved(house: House, read: StartUp) -> tuple[str, ...]:
    """What of the interlocks nobody looked at, in words.

    Parameters
    ----------
    house : House
        its make-up air [-]
    read : StartUp
        what was read [-]
    """
    seen = [reading for reading in read.readings if reading.what == "interlock"]
    missing = []
    for arrangement in house.make_up_air or ():
        expected = proof_of(house, arrangement)
        done = {
            state_of(expected, reading.state)
            for reading in seen
            if reading.where in (arrangement.name, "", "make-up air")
        }
        left = [state for state in expected if state not in done]
        if left:
            missing.append(f"the interlock of {arrangement.name}: {', '.join(left)}")
    return tuple(missing)


def _word(good: bool) -> Verdict:
    return Verdict(GOOD if good else BAD, float(good), 0.0)
