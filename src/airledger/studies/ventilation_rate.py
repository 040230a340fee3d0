"""How much outdoor air the rules of the place ask for all day, beside what the ventilator is set to give."""

from __future__ import annotations

from typing import Any

from airledger.findings import Finding
from airledger.house.house import House, Ventilator
from airledger.quantities import within_words
from airledger.rules.jurisdictions import Jurisdiction, jurisdiction
from airledger.rules.whole_house_rate import (
    REDUCED,
    HouseFacts,
    RateAnswer,
    minnesota_continuous,
    rate_keys,
    rate_of,
    reduced_rate,
    whole_house_rate,
)
from airledger.search.work import Work
from airledger.studies.protocol import Result, Row

name = "ventilation_rate"
needs = ("site", "rooms")
reads = ("people", "ventilator", "rulings", "rules")
after: tuple[str, ...] = ()

BESIDE_HERE = ("62.2-2013",)
"""Rules that are told beside those of the place: the trade reckons by them whatever the code says."""
BALANCED_WITHIN = 0.10
LIVING = ("living", "great", "family", "dining", "kitchen", "den")
ENOUGH = 0.995  # of a rate: the last half percent is rounding, no shortfall


def run(house: House, options: Any, work: Work) -> Result:
    """What every rule asks, with its formula, and whether the ventilator as set gives it.

    Parameters
    ----------
    house : House
        what the file says [-]
    options : object
        none yet [-]
    work : Work
        the local rules that the house names [-]
    """
    del options
    place = jurisdiction(house.site.place)
    local = tuple(rate_of(entry, facts(house)) for entry in work.data("local rules").get("rate", ()))
    if house.bedrooms is None:
        return Result((_no_bedrooms(),), {"rules": (), "conditions": ()}, {})
    answers = [*local, *_answers(house, place)]
    conditions = condition_rows(house)
    rows = [_row(answer, place, house, answer in local) for answer in answers]
    findings = [_place_finding(place, house)]
    findings += [_finding(row, answer) for row, answer in zip(rows, answers, strict=True) if row["holds"] == "here"]
    return Result(tuple(findings), {"rules": tuple(rows), "conditions": tuple(conditions)}, {})


def facts(house: House) -> HouseFacts:
    """The house as the rules see it.

    Parameters
    ----------
    house : House
        its rooms and people [-]
    """
    area = sum(room.area for room in house.conditioned)
    return HouseFacts(area, house.bedrooms or 0, house.sleeping)


def _answers(house: House, place: Jurisdiction) -> list[RateAnswer]:
    """The rules of the place, then those told beside them; where nobody looked the place up, the model codes."""
    keys = place.rates or ("irc", "irc table", "imc")
    wanted = [*keys, *(key for key in BESIDE_HERE if key not in keys)]
    return [whole_house_rate(key, facts(house)) for key in rate_keys() if key in wanted]


def is_balanced(ventilator: Ventilator) -> bool:
    """Whether supply and exhaust are set within 10 % of each other at the lowest speed.

    Parameters
    ----------
    ventilator : Ventilator
        as its file sets it [-]
    """
    speed = ventilator.speeds[0]
    return abs(speed.supply - speed.exhaust) <= BALANCED_WITHIN * max(speed.supply, speed.exhaust)


def condition_rows(house: House) -> list[Row]:
    """The conditions of the reduction for balanced and distributed air, each met, not met, or not to be told.

    Parameters
    ----------
    house : House
        its rooms and ventilator [-]
    """
    supplied = {room for room, share in (house.ventilator.supplies if house.ventilator else ()) if share > 0}
    bedrooms = [room.name for room in house.conditioned if "bedroom" in room.name.lower()]
    living = [room.name for room in house.conditioned if any(word in room.name.lower() for word in LIVING)]
    dry = [room for room in bedrooms if room not in supplied]

    def word(met: bool | None) -> str:
        return "cannot tell" if met is None else "met" if met else "not met"

    ventilator = house.ventilator
    every = None if not bedrooms else not dry
    one = None if not living else bool(supplied & set(living))
    return [
        {
            "condition": "the system is balanced",
            "verdict": word(None if ventilator is None else is_balanced(ventilator)),
            "because": "no ventilator is in the file" if ventilator is None else "supply and exhaust as set, to 10 %",
        },
        {
            "condition": "outdoor air is ducted to every bedroom", "verdict": word(every),
            "because": f"without a supply: {', '.join(dry)}" if dry else
            ("every bedroom has a supply" if bedrooms else "no room is called a bedroom"),
        },
        {
            "condition": "and to at least one of living, dining, kitchen", "verdict": word(one),
            "because": f"supplied: {', '.join(sorted(supplied & set(living)))}" if one else
            ("none of them has a supply" if living else "no room is called so"),
        },
    ]  # fmt: skip


def _asked(answer: RateAnswer, house: House) -> tuple[float, str]:
    """What a rule asks of the ventilator, and what was taken off or split."""
    if answer.key == "minnesota total":
        return minnesota_continuous(answer.flow), "half of the total, 40 cfm at least, runs all the time"
    if answer.key in ("irc", "irc table", "imc"):
        met = [row["verdict"] == "met" for row in condition_rows(house)]
        flow = reduced_rate(answer.flow, *met)
        if flow < answer.flow:
            return answer.flow, f"{100 * (1 - REDUCED):.0f} % less may do: balanced and ducted to every bedroom"
    return answer.flow, ""


def _row(answer: RateAnswer, place: Jurisdiction, house: House, is_local: bool) -> Row:
    asked, split = _asked(answer, house)
    here = is_local or answer.key in place.rates
    adopted = is_local or place.source.confirmed
    row: Row = {
        "rule": answer.title,
        "code": answer.code,
        "edition": answer.edition,
        "section": answer.section,
        "holds": "here" if here else "for comparison",
        "asks_m3s": asked,
        "most_m3s": answer.most,
        "formula": answer.formula,
        "beside": "; ".join(words for words in (split, answer.beside) if words),
        "confirmed": "yes" if answer.confirmed and adopted else "no",
        "source": answer.source.text,
        "low_m3s": None,
        "top_m3s": None,
        "verdict": "cannot tell: no ventilator in the file",
    }
    if house.ventilator is not None:
        speeds = [min(speed.supply, speed.exhaust) for speed in house.ventilator.speeds]
        row |= {"low_m3s": speeds[0], "top_m3s": speeds[-1], "verdict": _verdict(asked, speeds)}
    return row


def _verdict(asked: float, speeds: list[float]) -> str:
    if speeds[0] >= ENOUGH * asked:
        return "met all day, as set"
    if speeds[-1] >= ENOUGH * asked:
        return "met at the top speed only"
    return "not met"


def _place_finding(place: Jurisdiction, house: House) -> Finding:
    """Which code the house is under, as far as it is known, and what is not."""
    ruling = [f"{r.subject}: {r.says} ({r.by or 'the official'}, {r.on or 'date not given'})" for r in house.rulings]
    ruled = f" Ruled: {'; '.join(ruling)}." if ruling else ""
    known = bool(place.rates) and place.source.confirmed
    doubt = "" if known else ": ask the official"
    return Finding(
        study=name, code="place", severity="ok" if known else "unknown", basis="law", where="house", state="",
        message=f"{place.text}{doubt}.{ruled}",
        action="" if known else "ask which edition and amendments hold, and write the answer under rulings",
        source=place.source.text, confirmed=place.source.confirmed,
    )  # fmt: skip


def _finding(row: Row, answer: RateAnswer) -> Finding:
    met = str(row["verdict"]).startswith("met all day")
    sure = row["confirmed"] == "yes"
    asked = within_words(float(str(row["asks_m3s"])), "air flow")
    given = ""
    if row["low_m3s"] is not None:
        low, top = (within_words(float(str(row[key])), "air flow") for key in ("low_m3s", "top_m3s"))
        given = f"; the ventilator is set to {low}, {top} at its top"
    hedge = "" if sure else ", unconfirmed here"
    message = (
        f"All day: {asked}, because {answer.formula} ({answer.code} {answer.section}{hedge}){given}: {row['verdict']}."
    )
    if met:
        severity, action = ("ok", "") if sure else ("unknown", "ask the official whether this is the rule here")
    elif sure and row["low_m3s"] is not None:
        severity, action = "fail", "set the lowest speed higher, and balance again"
    else:
        severity, action = "unknown", "ask the official whether this is the rule here, and set the lowest speed by it"
    return Finding(
        study=name, code="whole_house_rate", severity=severity, basis="law", where="ventilator", state="",
        message=message, action=action, source=answer.source.text, confirmed=sure,
        value=None if row["low_m3s"] is None else float(str(row["low_m3s"])), limit=float(str(row["asks_m3s"])),
        unit="m3/s",
    )  # fmt: skip


def _no_bedrooms() -> Finding:
    return Finding(
        study=name, code="no_bedrooms", severity="unknown", basis="law", where="house", state="",
        message="Every rule on outdoor air counts bedrooms, and the file names none.",
        action="write  people: {bedrooms: 3}", source="", confirmed=True,
    )  # fmt: skip
