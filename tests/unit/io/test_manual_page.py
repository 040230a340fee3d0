"""The manual's page on the house file: its example loads, its fault is printed so, its words are the reader's."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from airledger.errors import HouseFileError
from airledger.io import house_file
from airledger.io.air_forms import RunPart
from airledger.io.build import KIND_WORDS
from airledger.io.forms import SURROUNDINGS, HouseForm

PAGE = (Path(__file__).parents[3] / "docs" / "manual" / "house-file.md").read_text(encoding="utf-8")


def test_the_example_of_the_page_loads_without_a_caution() -> None:
    (example,) = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)
    assert house_file.read_text(example).cautions == ()


def test_the_fault_of_the_page_is_printed_like_that() -> None:
    needed = "house: a\nsite: {elevation: 0 ft}\nenvelope: {tightness: 1 ach50}\n"
    text = needed + "rooms: {hall: {aria: 9 m2, ceiling: 8 ft}}\n"
    with pytest.raises(HouseFileError) as refused:
        house_file.loads(text, "house.yaml")
    assert "\n".join(f"    {line}" for line in str(refused.value).split("\n")) in PAGE


@pytest.mark.parametrize("block", [str(field.alias) for field in HouseForm.model_fields.values()])
def test_every_block_is_told(block: str) -> None:
    assert block == "shape" or f"`{block}`" in PAGE


@pytest.mark.parametrize("part", [str(field.alias) for field in RunPart.model_fields.values()])
def test_every_part_of_a_run_is_told(part: str) -> None:
    assert f"`{part}`" in PAGE


def test_surroundings_and_guessed_kinds_are_told() -> None:
    assert ", ".join(SURROUNDINGS) in PAGE
    assert all(f"*{word}*" in PAGE for word, _ in KIND_WORDS)
