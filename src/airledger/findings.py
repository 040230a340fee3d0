"""A finding: one thing that is wrong, unknown or shown good. On screens and papers it is a *punch item*."""

from __future__ import annotations

from dataclasses import dataclass

SEVERITIES = ("danger", "fail", "caution", "unknown", "ok")  # the order in which they are shown, everywhere
BASES = ("law", "standard", "maker", "practice", "user")


@dataclass(frozen=True)
class Finding:
    """One thing found.

    study, code: who found it and its stable name · severity: one of `SEVERITIES` · basis: one of `BASES` · where:
    room, door, machine
    state: the named or found state · value, low, high, limit: SI numbers or None · unit: their SI unit, "" if none
    message: written for a framer · action: what to do · source: where the limit comes from · confirmed: whether that
    source was seen.
    """

    study: str
    code: str
    severity: str
    basis: str
    where: str
    state: str
    message: str
    action: str
    source: str
    confirmed: bool
    value: float | None = None
    low: float | None = None
    high: float | None = None
    limit: float | None = None
    unit: str = ""

    def __post_init__(self) -> None:
        if self.severity not in SEVERITIES or self.basis not in BASES:
            raise ValueError(
                f"finding {self.code}: severity {self.severity!r}, basis {self.basis!r} are not both known"
            )


def ordered(findings: list[Finding] | tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings in the order in which they are shown: danger first, then by study and code.

    Parameters
    ----------
    findings : list of Finding
        any order [-]
    """
    return tuple(sorted(findings, key=lambda f: (SEVERITIES.index(f.severity), f.study, f.code, f.where, f.state)))


def exit_code(findings: list[Finding] | tuple[Finding, ...]) -> int:
    """0 when nothing is worse than caution or unknown, 1 with a fail or danger.

    Parameters
    ----------
    findings : list of Finding
        all findings of a run [-]
    """
    return int(any(f.severity in ("danger", "fail") for f in findings))
