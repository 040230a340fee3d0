"""What was read at start-up, beside what was wanted: a line a reading, then the balance in each state."""

from __future__ import annotations

from airledger.findings import ordered
from airledger.report.blocks import Section, table
from airledger.report.pages_back import punch_item
from airledger.studies.protocol import Result, Row

READ_KEYS = ("what_where", "state", "read", "instrument", "wanted", "verdict")
PRESSURE_KEYS = ("state", "read_pa", "predicted_pa", "low_pa", "high_pa", "shut_pa")
BALANCE_KEYS = ("state", "rule", "supply_m3s", "exhaust_m3s", "verdict", "use")
SMALL = 8.2


def start_up(result: Result | None, system: str) -> Section | None:
    """The section of the papers; None where nothing was read.

    Parameters
    ----------
    result : Result
        of the study
    system : str
        ``ip`` or ``si``
    """
    if result is None or not result.tables.get("readings"):
        return None
    rows = result.tables["readings"]
    words = [str(row["verdict"]) for row in rows]
    bad, open_ = words.count("shown bad"), words.count("cannot tell")
    section = Section(f"Start-up: of {len(rows)} readings {bad} are shown bad, {open_} this meter cannot tell.")
    told = [f for f in ordered(result.findings) if f.severity != "ok"]
    if told:
        section.blocks.append({"kind": "items", "items": [punch_item(found) for found in told]})
    _balance(section, result, system)
    _pressures(section, result, system)
    shown: list[Row] = [{**row, "what_where": f"{row['what']}, {row['where']}"} for row in rows]
    shares = {"what_where": 1.4, "state": 0.8, "read": 0, "instrument": 0.9, "wanted": 1.6, "verdict": 0.8}
    section.blocks.append(
        {**table(shown, READ_KEYS, system, shares, SMALL), "title": "Every reading beside what was wanted"}
    )
    section.words(
        "A word is given where its chance of being right is 95 in 100, errors of the instruments taken as told or as "
        "usual for their kind.", True
    )  # fmt: skip
    return section


def _balance(section: Section, result: Result, system: str) -> None:
    """Supply against exhaust, a line a state and meaning of balanced."""
    balance = result.tables.get("balance", ())
    if balance:
        shares = {"state": 0.6, "rule": 1.4, "verdict": 0.7, "use": 1.6}
        section.blocks.append({
            **table(balance, BALANCE_KEYS, system, shares, SMALL), "whole": True, "title": "Supply against exhaust",
        })  # fmt: skip


def _pressures(section: Section, result: Result, system: str) -> None:
    """The house pressure as read, beside what was predicted for the state."""
    pressures = result.tables.get("pressures", ())
    if pressures:
        keys = PRESSURE_KEYS if any(row["shut_pa"] is not None for row in pressures) else PRESSURE_KEYS[:-1]
        section.blocks.append({
            **table(pressures, keys, system, {"state": 1.4}, SMALL), "whole": True,
            "title": "The house pressure beside what was predicted",
        })  # fmt: skip
