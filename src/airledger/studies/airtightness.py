"""How tight the house is, read from a fan test: verdict, what to do while the wall is open, numbers with intervals."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from airledger.findings import Finding
from airledger.house.house import House
from airledger.quantities import within_words
from airledger.rules.airtightness_methods import (
    TITLES,
    AirtightnessResult,
    Measured,
    Point,
)
from airledger.rules.airtightness_rules import (
    COME_BACK,
    NOT_MET,
    WITH_CARE,
    odd_points,
    readable,
    validity,
    wind_band,
)
from airledger.rules.airtightness_together import LAST_FIRST, ROUGH_IN, Tests, last_series, read_together
from airledger.search.wording import capital
from airledger.search.work import Work
from airledger.studies.protocol import Result, Row
from airledger.uncertain import Uncertain

name = "airtightness"
needs = ("envelope / tested",)
reads = ("envelope", "rooms")
after: tuple[str, ...] = ()

PREFERRED = ("temperatures",)  # what a standard would like and does not ask for
SAME_VOLUME = 1.05
"""How far two volumes of one house may lie apart before it is asked which one is meant [-]: common practice."""


def run(house: House, options: Any, work: Work) -> Result:
    """The tests that the house file names, and what they change of the make-up air.

    Parameters
    ----------
    house : House
        its volume, where a test gives none [-]
    options : object
        the method's name, None for the first [-]
    work : Work
        the tests, and the make-up decision before and after them [-]
    """
    tests: Tests = work.data("tested")
    before, later = work.data("decisions")
    made = of_tests(tests, str(options or ""), house.volume)
    changes = decision_rows(before, later)
    told = made.findings if house.envelope.measured_by else [_keeps_the_guess(f) for f in made.findings]
    findings = [*told, *_odd_in_files(tests), *_decision_findings(changes)]
    return Result(tuple(findings), {**made.tables, "decision": tuple(changes)}, made.figures)


def of_tests(tests: Tests, method: str = "", volume: float | None = None) -> Result:
    """Tests read by one method, with or without a house.

    Parameters
    ----------
    tests : sequence
        what each stands for, and its series of readings, one or both directions [-]
    method : str
        one of `METHODS`; empty takes the usual one [-]
    volume : float
        of the house, where a test gives none [m3]
    """
    results = [(role, read_together(series, method)) for role, series in tests]
    tables: dict[str, list[Row]] = {"results": [], "flows": [], "points": [], "rules": []}
    findings: list[Finding] = []
    figures = {}
    for role, result in results:
        inside = _volume(result, volume)
        tables["results"].append(_result_row(role, result, inside))
        tables["flows"] += [_flow_row(role, p, measured) for p, measured in result.flows]
        tables["points"] += _point_rows(role, result)
        tables["rules"] += _rule_rows(role, result)
        findings += [*_findings(role, result, inside), *_volume_findings(role, result, volume)]
        figures[f"deviation {role}".strip()] = {
            "readings": tuple((point.pressure, point.deviation) for point in result.points),
            "wind": tuple((point.pressure, _wind_share(result, point)) for point in result.points),
        }
    findings += _between(results)
    return Result(tuple(findings), {key: tuple(rows) for key, rows in tables.items()}, figures)


def measured_house(house: House, tests: Tests, method: str = "") -> House:
    """The house with what its last test measured in place of the guess; as it was where nothing can be read.

    Parameters
    ----------
    house : House
        as its file says [-]
    tests : sequence
        its tests [-]
    method : str
        one of `METHODS`; empty takes the usual one [-]
    """
    last = last_series(tests)
    if not last:
        return house
    result = read_together(last, method)
    if readable(result)[0] == COME_BACK:
        return house
    flow, exponent = result.flow_at(50.0), result.exponent
    taped = tuple(dict.fromkeys(name for test in result.tests for name in test.taped)) or house.envelope.taped
    envelope = replace(
        house.envelope,
        tightness=Uncertain(flow.low, flow.value, flow.high),
        tightness_unit="flow50",
        exponent=Uncertain(*(min(max(n, 0.5), 1.0) for n in (exponent.low, exponent.value, exponent.high))),
        taped=taped,
        measured_by=result.title,
    )
    return replace(house, envelope=envelope)


def _volume(result: AirtightnessResult, volume: float | None) -> float | None:
    return next((test.volume for test in result.tests if test.volume is not None), volume)


def _told(key: str, unit: str, measured: Measured) -> Row:
    """A value with its limits, under keys that end in the unit."""
    end = f"_{unit}" if unit else ""
    return {f"{key}{end}": measured.value, f"{key}_low{end}": measured.low, f"{key}_high{end}": measured.high}


def _result_row(role: str, result: AirtightnessResult, volume: float | None) -> Row:
    test = result.tests[0]
    row: Row = {
        "role": role,
        "verdict": readable(result)[0],
        "method": result.title,
        "direction": result.direction,
        "readings": len(result.points),
        **_told("exponent", "", result.exponent),
        **_told("flow_coefficient", "", result.coefficient),
        **_told("flow50", "m3s", result.flow_at(50.0)),
        **_told("ela4", "m2", result.ela4),
        **_told("eqla10", "m2", result.eqla10),
        "volume_m3": volume,
        "air": "reference air" if result.corrected else "air of the test day",
    }
    if volume is not None:
        row |= _told("ach50", "", result.air_changes(volume))
    for key, area in (("per_floor", test.floor_area), ("per_envelope", test.envelope_area)):
        if area is not None:
            row |= _told(key, "m3s_m2", result.flow_at(50.0).times(1.0 / area))
    if result.fit is not None:
        row["squared_correlation"] = result.fit.squared_correlation
    return row


def _flow_row(role: str, pressure: float, measured: Measured) -> Row:
    return {"role": role, "pressure_pa": pressure, **_told("flow", "m3s", measured)}


def _wind_share(result: AirtightnessResult, point: Point) -> float:
    """By which share wind moves the flow of a reading, in the wind and by the exponent of its own direction."""
    one = next((part for part in result.parts if part.direction == point.direction), result)
    return one.exponent.value * wind_band(one.tests[0]) / point.pressure


def _point_rows(role: str, result: AirtightnessResult) -> list[Row]:
    odd = odd_points(result)
    rows: list[Row] = []
    for point in result.points:
        kinds = [one for one in odd if one.point == point]
        rows.append(
            {
                "role": role,
                "direction": point.direction,
                "line": point.line,
                "pressure_pa": point.pressure,
                "flow_m3s": point.flow,
                "deviation_ratio": point.deviation,
                "wind_ratio": _wind_share(result, point),
                "odd": "; ".join(f"{one.kind}: {one.words}" for one in kinds),
            }
        )
    return rows


def _rule_rows(role: str, result: AirtightnessResult) -> list[Row]:
    return [
        {
            "role": role,
            "rule": rule.title,
            "required": rule.required,
            "found": rule.found,
            "verdict": rule.verdict,
            "section": rule.source.name,
            "confirmed": "yes" if rule.source.confirmed else "no",
        }
        for rule in validity(result)
    ]


def _called(role: str) -> str:
    return f"the {role} test" if role == ROUGH_IN else (f'the test "{role}"' if role else "the test")


def tightness_words(result: AirtightnessResult, volume: float | None) -> str:
    """What a test measured, in one clause: air changes where a volume is known, else the flow at 50 Pa.

    Parameters
    ----------
    result : AirtightnessResult
        a test as read [-]
    volume : float
        inside the tested envelope, None where nobody told it [m3]
    """
    flow = result.flow_at(50.0)
    told = f"{within_words(flow.value, 'air flow')} at 50 Pa"
    if volume is None:
        return f"{told} ({within_words(flow.low, 'air flow')} to {within_words(flow.high, 'air flow')})"
    changes = result.air_changes(volume)
    return f"{changes.value:.2f} ACH50 ({changes.low:.2f} to {changes.high:.2f}), {told}"


def _findings(role: str, result: AirtightnessResult, volume: float | None) -> list[Finding]:
    word, why = readable(result)
    called, told = _called(role), tightness_words(result, volume)
    if word == COME_BACK:
        message = f"Nothing can be read from {called}: {'; '.join(why)}."
        return [_finding("come_back", "unknown", role, (message, "come back and read it again"), result)]
    way = "both directions averaged" if result.parts else result.direction
    message = f"{capital(called)} by {result.title}, {way}: {told}; 95 in 100 such intervals hold the truth."
    care = f" Read it with care: {'; '.join(why)}." if word == WITH_CARE else ""
    severity = "caution" if word == WITH_CARE else "ok"
    found = [_finding("tightness", severity, role, (message + care, ""), result)]
    missed = [rule for rule in validity(result) if rule.verdict == NOT_MET and rule.key not in PREFERRED]
    if missed:
        words = "; ".join(f"{rule.title}: {rule.found}, asked for {rule.required}" for rule in missed)
        message = f"{capital(called)} misses rules of {result.title} (recalled, unconfirmed): {words}."
        action = "ask the official whether the test counts, or read it again by the rules"
        found.append(_finding("rules_missed", "unknown", role, (message, action), result))
    return found


def _keeps_the_guess(finding: Finding) -> Finding:
    """Says so where a test that cannot be read leaves the house as it was guessed."""
    kept = f"{finding.action}; until then the guess of the house file stands"
    return replace(finding, action=kept) if finding.code == "come_back" else finding


def _odd_in_files(tests: Tests) -> list[Finding]:
    """What is odd in the files of readings, as punch items: a slip of a unit would decide the whole house."""
    return [
        Finding(
            study=name, code="odd_in_file", severity="caution" if words.endswith("?") else "unknown", basis="practice",
            where="envelope", state=role, message=capital(words), action="look at the file of readings",
            source="common practice", confirmed=False,
        )
        for role, series in tests
        for test in series
        for words in test.odd
    ]  # fmt: skip


def _volume_findings(role: str, result: AirtightnessResult, volume: float | None) -> list[Finding]:
    """Volumes of one house that differ between its files."""
    told = [test.volume for test in result.tests if test.volume is not None]
    every = [*told, *([] if volume is None else [volume])]
    if not told or max(every) <= SAME_VOLUME * min(every):
        return []
    least, most = (within_words(end(every), "volume") for end in (min, max))
    message = f"{capital(_called(role))} has more than one volume: {least} to {most}; air changes are by "
    message += f"{within_words(told[0], 'volume')}."
    action = "measure it once, inside the air barrier, and write the same into every file"
    return [_finding("volume", "caution", role, (message, action), result)]


def _finding(code: str, severity: str, role: str, told: tuple[str, str], result: AirtightnessResult) -> Finding:
    flow = result.flow_at(50.0)
    return Finding(
        study=name,
        code=code,
        severity=severity,
        basis="standard" if code in ("tightness", "rules_missed") else "practice",
        where="envelope",
        state=role,
        message=told[0],
        action=told[1],
        source=f"{TITLES[result.method]} (recalled, unconfirmed)",
        confirmed=False,
        value=flow.value,
        low=flow.low,
        high=flow.high,
        unit="m3/s",
    )


def _between(results: Sequence[tuple[str, AirtightnessResult]]) -> list[Finding]:
    """What was added between the rough-in test and the last one, and what taping was worth."""
    by_role = dict(results)
    found = []
    last = next((role for role in LAST_FIRST if role in by_role), "")
    for role in (ROUGH_IN, "for the code"):
        if role not in by_role or role == last:
            continue
        one, other = by_role[role].flow_at(50.0), by_role[last].flow_at(50.0)
        more = other.value - one.value
        error = math.hypot(max(one.high - one.value, one.value - one.low), other.high - other.value)
        sure = abs(more) > error
        change = "more" if more > 0 else "less"
        amount = within_words(abs(more), "air flow")
        message = f"The house leaks {amount} {change} at 50 Pa than at the rough-in" if role == ROUGH_IN else (
            f"As lived in the house leaks {amount} {change} at 50 Pa than with what was taped for the code"
        )  # fmt: skip
        message += "." if sure else ", which is within what the two tests may be off by."
        severity = "caution" if role == ROUGH_IN and more > 0 and sure else "ok"
        action = "find what was opened since: smoke at the new penetrations" if severity == "caution" else ""
        found.append(_finding("between_tests", severity, last, (message, action), by_role[last]))
    return found


DECIDED = ("option", "verdict")


def decision_rows(guessed: Result | None, tested: Result | None) -> list[Row]:
    """The make-up decision with the guess and with the test, side by side.

    Parameters
    ----------
    guessed : Result
        of the make-up study with the guess; None where there was none [-]
    tested : Result
        the same with the test [-]
    """
    rows: list[Row] = []
    for when, result in (("guessed", guessed), ("tested", tested)):
        if result is None:
            continue
        advice = result.tables["recommendation"][0]
        actions = [str(row["action"]) for row in result.tables["actions"]]
        rows.append(
            {
                "tightness": when,
                "option": advice["option"],
                "verdict": advice["verdict"],
                "house_pressure_pa": advice["house_pressure_pa"],
                "price_usd": advice["price_usd"],
                "do": " ".join(actions[:2]),
            }
        )
    return rows


def _decision_findings(rows: Sequence[Row]) -> list[Finding]:
    if len(rows) < 2:
        return []
    before, later = rows
    same = all(before[key] == later[key] for key in DECIDED)
    if same:
        message = f"The test changes nothing of the make-up air: still {later['option']}."
        action = ""
    else:
        holds = "" if later["verdict"] == "holds" else ", which does not hold: the nearest miss"
        message = (
            f"The test changes the make-up air: {before['option']} by the guess, {later['option']} by the test{holds}."
        )
        action = f"while the wall is open: {later['do']}"
    return [
        Finding(
            study=name, code="decision", severity="ok" if same else "caution", basis="user", where="make-up air",
            state="", message=message, action=action, source="your limits", confirmed=True,
        )
    ]  # fmt: skip
