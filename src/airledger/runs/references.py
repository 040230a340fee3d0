"""What a house file refers to, read once for a run: price list, fan tests, start-up readings, local rules."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from airledger.house.house import House
from airledger.io import price_list

if TYPE_CHECKING:
    from airledger.rules.airtightness_test import AirtightnessTest

Tests = Sequence[tuple[str, "Sequence[AirtightnessTest]"]]


def references(house: House, beside: str | Path | None) -> dict[str, Any]:
    """Every reference of a house by its name, as a study asks for it.

    Parameters
    ----------
    house : House
        what its file names [-]
    beside : str or Path
        the folder of the house file [-]
    """
    folder = Path(beside or ".")
    found: dict[str, Any] = {
        "prices": price_list.load(folder / house.prices) if house.prices else price_list.load(),
        "tested": _tests(house, folder),
        "local rules": {},
    }
    # most houses have none of these yet, so that nothing of them is loaded for those
    if house.local_rules:
        from airledger.io.local_rules import read_local_rules  # noqa: PLC0415

        found["local rules"] = read_local_rules(folder / house.local_rules)
    if house.start_up:
        from airledger.io.start_up_file import read_start_up  # noqa: PLC0415

        found["start up"] = read_start_up(folder / house.start_up)
    return found


def _tests(house: House, folder: Path) -> Tests:
    if not house.envelope.tested:
        return ()
    from airledger.io.readings_file import read_test  # noqa: PLC0415 - as above

    return tuple(
        (role, tuple(read_test(folder / file).test for file in files)) for role, files in house.envelope.tested
    )
