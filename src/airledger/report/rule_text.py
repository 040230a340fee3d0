"""Rules on a terminal: words first, then section and source; what was only recalled says so."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from airledger.findings import Finding, ordered
from airledger.quantities import in_units
from airledger.report.blocks import sentence
from airledger.report.pages_back import WORDS
from airledger.rules.explained import Entry

WIDE = 100


def rule_text(
    head: str, entries: Sequence[Entry], findings: Sequence[Finding], places: Sequence[str], system: str
) -> str:
    """Rules as lines.

    Parameters
    ----------
    head : str
        what they are of
    entries : sequence of Entry
        the rules
    findings : sequence of Finding
        the same with the numbers of a house
    places : sequence of str
        places that were looked up
    system : str
        ``ip`` or ``si``
    """
    lines = textwrap.wrap(head, WIDE)
    for finding in ordered(tuple(findings)):
        words = in_units(
            f"{WORDS[finding.severity]}: {sentence(finding.message)} {sentence(finding.action)}".strip(), system
        )
        lines += ["", *textwrap.wrap(words, WIDE, subsequent_indent="  ")]
    subject = ""
    for entry in entries:
        if entry.subject != subject:
            subject = entry.subject
            lines += ["", subject.capitalize()]
        lines += textwrap.wrap(f"{entry.key}: {entry.says}", WIDE, initial_indent="  ", subsequent_indent="    ")
        lines += textwrap.wrap(
            f"{entry.cited} · {entry.source.text}", WIDE, initial_indent="    ", subsequent_indent="    "
        )
    if not entries and not findings:
        lines += ["", "No rule of it stands in the tables."]
    if places:
        lines += ["", *textwrap.wrap(f"Places looked up: {'; '.join(places)}.", WIDE)]
    return "\n".join(lines) + "\n"
