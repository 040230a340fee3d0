"""What the blower-door test held counts once: what is taped is what is named, and nothing that is called alike."""

from __future__ import annotations

import pytest

from airledger.house.assemble import build
from airledger.io.house_file import loads
from tests.houses import solved

TWO_OPENINGS = """
house: two openings
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65, taped at the test: [north]}
rooms: {house: {area: 1500 ft2, ceiling: 8 ft}}
openings:
  north window: {between: [house, outdoors], sash: 3 ft x 4 ft}
exhausts: {hood: {room: house, speeds: {on: 300 cfm}}}
make-up air:
  north: {into: house, duct: {size: 4 in round, made of: galvanized}, run: [straight: 6 ft, loss: 1.5], damper: none}
  other: {into: house, duct: {size: 4 in round, made of: galvanized}, run: [straight: 6 ft, loss: 1.5], damper: none}
states: {on: {hood: on}}
"""


@pytest.mark.parametrize("name", ["north wall", "north, low", "north 2"])
def test_taping_one_opening_tapes_none_that_is_called_alike(name: str) -> None:
    text = TWO_OPENINGS.replace("  other:", f"  '{name}':")
    plain = build(loads(TWO_OPENINGS, "plain.yaml")).held_at_test
    assert plain > 0.01
    assert build(loads(text, "alike.yaml")).held_at_test == pytest.approx(plain, rel=1e-12)
    assert solved(text).house_pressure() == pytest.approx(solved(TWO_OPENINGS).house_pressure(), rel=1e-12)


def test_all_parts_of_what_is_taped_are_taped() -> None:
    both = TWO_OPENINGS.replace("[north]", "[north, other]")
    assert build(loads(both, "both.yaml")).held_at_test == pytest.approx(0.0, abs=1e-9)
    damped = both.replace("damper: none", "damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}")
    assert build(loads(damped, "damped.yaml")).held_at_test == pytest.approx(0.0, abs=1e-9)
