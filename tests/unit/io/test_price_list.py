"""Price lists: the shipped, invented one holds what the ways out are made of; faults stand at their place."""

from __future__ import annotations

from pathlib import Path

import pytest

from airledger.errors import HouseFileError, InputError
from airledger.house.house import Price
from airledger.io import price_list
from airledger.search.options import TRADE_SIZES
from airledger.search.prices import TRADES

SIZED = ("wall cap", "duct", "motorized damper", "gravity damper", "filter box", "grille", "framed opening")


def test_the_shipped_list_has_each_part_in_each_trade_size() -> None:
    lines = {(price.item, price.size): price for price in price_list.load()}
    for item in SIZED:
        sizes = [lines[item, f"{inches} in"].each for inches in TRADE_SIZES]
        assert sizes == sorted(sizes), item
        assert sizes[0] > 0


def test_the_shipped_list_prices_every_part_that_an_option_is_made_of_by_its_trade() -> None:
    trades = {price.item: price.trade for price in price_list.load()}
    assert trades == TRADES


def test_a_line_or_a_list_of_lines_stands_behind_an_item() -> None:
    assert price_list.loads(
        "interlock: {each: 240, trade: electrician}\nduct:\n- {size: 6 in, each: 9}\n- {size: 8 in, each: 12.5}\n"
    ) == (
        Price("interlock", "", 240.0, "electrician"),
        Price("duct", "6 in", 9.0, ""),
        Price("duct", "8 in", 12.5, ""),
    )


def test_a_list_of_the_builder_s_own_is_read_from_its_file(tmp_path: Path) -> None:
    file = tmp_path / "prices.yaml"
    file.write_text("grille: {size: 10 in, each: 70, trade: HVAC}\n", encoding="utf-8")
    assert price_list.load(file) == (Price("grille", "10 in", 70.0, "HVAC"),)
    with pytest.raises(InputError, match="no such file"):
        price_list.load(tmp_path / "none.yaml")


@pytest.mark.parametrize(
    ("text", "line", "column", "problem"),
    [
        ("grille: {size: 10 in}\n", 1, 1, "each is missing"),
        ("grille: {size: 10 in, each: -7}\n", 1, 29, "cannot read '-7'"),
        ("grille: {each: $70}\n", 1, 16, "cannot read '$70'"),
        ("grille: {each: 1, trad: HVAC}\n", 1, 19, "no such key: 'trad'"),
        ("a: {each: 1}\ngrille:\n  - {each: 1}\n  - {size: 4 in, each: ten}\n", 4, 24, "cannot read 'ten'"),
        ("grille: 70\n", 1, 9, "a line of prices is wanted here"),
        ("grille:\n", 1, 1, "a line of prices is wanted here"),
        ("grille: []\n", 1, 9, "a line of prices is wanted here"),
        ("{}\n", 1, 1, "a line of prices is wanted here"),
        ("", 1, 1, "is empty"),
        ("grille: {each: 1}\ngrille: {each: 2}\n", 2, 1, "stands twice"),
    ],
)
def test_a_fault_of_a_price_list_stands_at_its_place(text: str, line: int, column: int, problem: str) -> None:
    with pytest.raises(HouseFileError) as refused:
        price_list.loads(text)
    (fault,) = refused.value.faults
    assert problem in fault.problem
    assert fault.line == line
    assert fault.column == column
