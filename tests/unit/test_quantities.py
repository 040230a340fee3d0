"""Values as printed, and values that stand within words until someone reads them."""

from __future__ import annotations

import pytest

from airledger.quantities import QUANTITIES, in_units, number, text, within_words
from airledger.units import CFM, INCH_OF_WATER, POUND_FORCE


@pytest.mark.parametrize(
    ("value", "name", "ip", "si"),
    [
        (600 * CFM, "air flow", "600 cfm", "283 L/s"),
        (-87.62, "house pressure", "\u221287.6 Pa", "\u221287.6 Pa"),
        (0.25 * INCH_OF_WATER, "static pressure", "0.25 in w.c.", "62 Pa"),
        (13 * POUND_FORCE, "force", "13.0 lbf", "58 N"),
        (25.0, "temperature", "77 F", "25.0 C"),
        (1420.0, "money", "$1,420", "$1,420"),
        (-1e-9, "house pressure", "0.0 Pa", "0.0 Pa"),
    ],
)
def test_values_as_printed(value: float, name: str, ip: str, si: str) -> None:
    assert (text(value, name, "ip"), text(value, name, "si")) == (ip, si)


def test_a_value_within_words_is_printed_in_the_readers_units() -> None:
    words = f"a hood of up to {within_words(500 * CFM, 'air flow')} pulls with {within_words(298.0, 'force', 0)}."
    assert in_units(words, "ip") == "a hood of up to 500 cfm pulls with 67 lbf."
    assert in_units(words, "si") == "a hood of up to 236 L/s pulls with 298 N."
    assert in_units(in_units(words, "si"), "ip") == in_units(words, "si")


def test_words_without_values_stay_as_they_are() -> None:
    assert in_units("a 12 in opening | with a bar", "si") == "a 12 in opening | with a bar"


def test_a_system_of_units_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="ip or si, not 'metric'"):
        number(1.0, "air flow", "metric")


def test_each_quantity_stands_under_its_own_name() -> None:
    assert all(name == quantity.name for name, quantity in QUANTITIES.items())
