"""Sheets of houses other than the examples: make-up air as drawn, and a bare house with one hood."""

from __future__ import annotations

import re
from functools import cache
from importlib import resources

import pytest

from airledger import runs
from airledger.io.house_file import loads
from airledger.report import in_units, sheets
from tests.entry.printed import EXAMPLES, cells, pages

DRAWN = """make-up air:
  north opening:
    into: great room
    duct: {size: 12 in round, made of: galvanized, insulated: R-8}
    run: [wall cap: {loss: 1.0}, straight: 15 ft, grille: {size: 22 in x 16 in, free: 65 %}]
    damper: {kind: motorized, opens in: 30 s, leaks shut: 5 cfm at 25 Pa, without power: shut}
    starts with: {range hood: medium and up, dryer: on}
    waits for it: [range hood]
    fan: {speeds: {on: 800 cfm}, mismatch: +-10 %, heats: 5 kW}
"""
BARE = """
house: bare house
site: {place: "Nowhere, Utah", elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
exhausts:
  range hood: {room: house, speeds: {high: 600 cfm}}
states:
  cooking: {range hood: high}
"""


@cache
def ran(which):
    words = BARE
    if which == "drawn":
        words = resources.files("airledger").joinpath(f"examples/{EXAMPLES[0]}.yaml").read_text(encoding="utf-8")
        words = re.sub(r"make-up air: undecided.*\n", DRAWN, words)
    return in_units(runs.study(loads(words, "house.yaml")), "ip")


def paper(which, reader):
    return sheets.sheet_pdf(sheets.sheet_for(reader, ran(which), "ip"), ran(which))


@pytest.mark.parametrize("which", ["drawn", "bare"])
@pytest.mark.parametrize("reader", sheets.READERS)
def test_every_sheet_is_set_cleanly(which, reader, tmp_path):
    made = pages(paper(which, reader), tmp_path)
    assert len(made) <= sheets.sheet_for(reader, ran(which), "ip").most_pages
    for page in made:
        assert (page.covered(), page.outside(), page.small()) == ([], [], [])


def test_what_is_drawn_is_wired_machine_by_machine(tmp_path):
    text = cells(paper("drawn", "electrician"), tmp_path)
    assert "The make-up air comes on with the machines." in text
    assert "range hood: medium and up north opening: its damper opens, its fan runs; range hood is held" in text
    assert "dryer: on north opening: its damper opens, its fan runs 24 V" in text
    assert "without power: shut" in text
    for wired in ("north opening, damper", "north opening, fan", "north opening, heater of 5 kW"):
        assert wired in text


def test_what_is_drawn_is_framed_and_hung(tmp_path):
    framed = cells(paper("drawn", "framer"), tmp_path)
    assert "north opening 12 in round great room between studs 16 in on centre" in framed
    assert "if built" not in framed
    hung = cells(paper("drawn", "hvac"), tmp_path)
    assert "north opening great room 800 cfm 12 in round wall cap, 15.0 ft, grille 22 in x 16 in" in hung
    assert "not decided: what the first way out" not in hung


def test_with_make_up_air_the_tester_reads_with_it_working_and_held_shut(tmp_path):
    assert "then with its damper held shut" in cells(paper("drawn", "tester"), tmp_path)
    assert "brings its own air: north opening opens with it" in cells(paper("drawn", "owner"), tmp_path)


def test_a_smaller_hood_needs_neither_wire_nor_hole(tmp_path):
    (first, *_) = ran("bare").results["make_up_air"].tables["options"]
    assert first["holds"] != "does not hold"
    assert first["make_up_m3s"] == 0
    wired = cells(paper("bare", "electrician"), tmp_path)
    assert "nothing to interlock yet" in wired
    assert "damper" not in wired
    assert "no opening for outdoor air" in cells(paper("bare", "hvac"), tmp_path)
    assert "Frame no hole yet; 1 waits for a size." in cells(paper("bare", "framer"), tmp_path)


def test_without_a_ventilator_no_sheet_speaks_of_one(tmp_path):
    for reader in ("hvac", "electrician"):
        text = cells(paper("bare", reader), tmp_path)
        assert "ERV" not in text
        assert "every grille" not in text
    owned = cells(paper("bare", "owner"), tmp_path)
    assert "unit's door" not in owned
    assert "wash the core" not in owned
    assert "code not looked up" in cells(paper("bare", "inspector"), tmp_path)
