"""A make-up opening that follows several machines, and one whose size is looked for."""

from __future__ import annotations

import numpy as np
import pytest

from airledger.house.operating_state import OperatingState, interlocked
from airledger.io.house_file import loads
from airledger.units import CFM, INCH
from tests.houses import solved

HOUSE = """
house: one opening
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65, taped at the test: [opening]}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
exhausts:
  hood: {room: house, speeds: {low: 150 cfm, high: 600 cfm}}
  dryer: {room: house, speeds: {on: 150 cfm}}
make-up air:
  opening:
    into: house
    duct: {size: 8 in round, made of: galvanized}
    run:
      - straight: 15 ft
      - loss: 3
      - filter: {clean: 20 Pa at 200 cfm, dirty: 60 Pa at 200 cfm}
      - grille: {size: 20 in x 14 in, free: 65 %}
    damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}
    starts with: {hood: high, dryer: any speed}
"""


@pytest.mark.parametrize(
    ("hood", "dryer", "opened"),
    [(0.0, 0.0, 0.0), (0.25, 0.0, 0.0), (1.0, 0.0, 1.0), (0.0, 1.0, 1.0), (0.25, 1.0, 1.0), (1.0, 1.0, 1.0)],
)
def test_any_one_of_its_machines_opens_the_damper(hood: float, dryer: float, opened: float) -> None:
    columns = {("speed", "hood"): np.array([hood]), ("speed", "dryer"): np.array([dryer])}
    assert interlocked(loads(HOUSE), columns, 1)["open", "opening"].tolist() == [opened]


def test_an_opening_of_another_size_is_the_opening_drawn_at_that_size() -> None:
    """Ten inches looked for in the eight-inch house: grille and filter grow with the duct, in area by 1.25 squared."""
    cooking = (("speed", "hood"), 1.0)
    sought = OperatingState("sought", settings=(cooking, (("size", "opening"), 10 * INCH)))
    drawn_text = HOUSE.replace("8 in round", "10 in round").replace("20 in x 14 in", "25 in x 17.5 in")
    drawn_text = drawn_text.replace("at 200 cfm", "at 312.5 cfm").replace("shut: 5 cfm", "shut: 7.8125 cfm")
    drawn = solved(drawn_text, (OperatingState("drawn", settings=(cooking,)),))
    as_it_is = solved(HOUSE, (OperatingState("as it is", settings=(cooking,)),))
    found = solved(HOUSE, (sought,))
    assert found.make_up_flow("opening")[0] == pytest.approx(drawn.make_up_flow("opening")[0], rel=1e-9)
    assert found.make_up_flow("opening")[0] > as_it_is.make_up_flow("opening")[0] + 50 * CFM
