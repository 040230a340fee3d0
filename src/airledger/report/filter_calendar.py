"""The owner's filter dates as a calendar file (iCalendar, RFC 5545): looks every two months, changes twice a year."""

from __future__ import annotations

import datetime
import hashlib

from airledger.report.outcome import Outcome

EVENTS = (
    ("look", "Look at the filters of the {kind}", "FREQ=MONTHLY;INTERVAL=2", 60),
    ("change", "Change the filters of the {kind}", "FREQ=MONTHLY;INTERVAL=6", 182),
    ("wash", "Wash the core of the {kind}, look into its drain and hoods", "FREQ=YEARLY", 365),
)
"""Name, words, how often, first after so many days: common practice, the maker's manual wins."""


def filter_calendar(outcome: Outcome, date: datetime.date) -> str:
    """The calendar; no clock is read, so that the same run gives the same bytes.

    Parameters
    ----------
    outcome : Outcome
        for the house and its ventilator
    date : date
        from which the dates run: the hand-over
    """
    ventilator = outcome.house.ventilator
    kind = ventilator.kind.upper() if ventilator is not None else "ventilator"
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//airledger//filters//EN"]
    for name, words, rule, days in EVENTS:
        day = date + datetime.timedelta(days=days)
        key = hashlib.sha256(f"{outcome.house.name}/{name}/{date}".encode()).hexdigest()[:24]
        lines += [
            "BEGIN:VEVENT",
            f"UID:{key}@airledger",
            f"DTSTAMP:{date:%Y%m%d}T000000Z",
            f"DTSTART;VALUE=DATE:{day:%Y%m%d}",
            f"RRULE:{rule}",
            f"SUMMARY:{_escaped(words.format(kind=kind))}",
            f"DESCRIPTION:{_escaped(outcome.house.name)}: the maker's manual wins.",
            "END:VEVENT",
        ]
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _escaped(words: str) -> str:
    return words.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def _folded(line: str) -> list[str]:
    """Lines of at most 75 bytes; those that go on begin with a blank."""
    parts, rest = [], line
    while len(rest.encode()) > 75:
        cut = 75
        while len(rest[:cut].encode()) > 75:
            cut -= 1
        parts.append(rest[:cut])
        rest = f" {rest[cut:]}"
    return [*parts, rest]
