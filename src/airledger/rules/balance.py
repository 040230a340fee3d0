"""When supply and exhaust count as balanced: each code has its own meaning of the word, and the user may choose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airledger.errors import InputError
from airledger.sources import Source, table
from airledger.units import CFM

_TABLE = "rules/tables/balance"
USUAL = "10 % of exhaust"
"""What is taken where no adopted code says what balanced means: common practice."""


@dataclass(frozen=True)
class BalanceRule:
    """A meaning of balanced. of: exhaust, larger or mean; share [-] of it; flow [m3/s] that is allowed in any case.

    basis: law where the place has adopted it, user where the file chose it, practice where nothing is known.
    """

    key: str
    title: str
    of: str
    share: float
    flow: float
    code: str
    section: str
    basis: str
    source: Source


def balance_keys() -> tuple[str, ...]:
    """The meanings by key, as a house file chooses among them.

    Reference: rules/tables/balance.toml.
    """
    return tuple(entry["key"] for entry in table(_TABLE)["balance"])


def balance_rules(rates: Sequence[str] = (), chosen: str = "") -> tuple[BalanceRule, ...]:
    """The meanings that hold for a house, law first: the adopted one, the chosen one; the usual one where neither is.

    Parameters
    ----------
    rates : Sequence[str]
        keys of the whole-house rates that the place has adopted [-]
    chosen : str
        the one that the house file names, nothing for none [-]

    Raises
    ------
    InputError
        the chosen one is not known.

    Reference: rules/tables/balance.toml, each with its source and tag.
    """
    entries = {entry["key"]: entry for entry in table(_TABLE)["balance"]}
    if chosen and chosen not in entries:
        raise InputError(f"no meaning of balanced is called {chosen!r}; there are: {', '.join(entries)}")
    bases = {key: "law" for key, entry in entries.items() if set(entry["rates"]) & set(rates)}
    if chosen:
        bases.setdefault(chosen, "user")
    if not bases:
        bases = {USUAL: "practice"}
    return tuple(
        BalanceRule(
            key, entries[key]["title"], entries[key]["of"], entries[key]["share"], entries[key]["flow"] * CFM,
            entries[key]["code"], entries[key]["section"], basis, Source(entries[key]["source"], entries[key]["tag"]),
        )
        for key, basis in bases.items()
    )  # fmt: skip
