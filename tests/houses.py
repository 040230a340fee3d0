"""Houses for the tests, written as house files: all invented."""

from __future__ import annotations

import numpy as np

from airledger.house.assemble import build
from airledger.house.house import House
from airledger.house.operating_state import OperatingState, Settings
from airledger.house.readout import Readout
from airledger.house.state_words import named_states
from airledger.io.house_file import loads
from airledger.physics.solver import require_solved, solve

CFM = 0.3048**3 / 60
LBF = 4.4482216152605

CHECK_HOUSE = """
house: check house
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
openings:
  entry door: {between: [house, outdoors], leaf: 36 in x 80 in, swings: out}
  back door: {between: [house, outdoors], leaf: 36 in x 80 in, swings: out}
exhausts:
  hood: {room: house, speeds: {high: 600 cfm}}
make-up air: none
states:
  rest: {}
  cooking: {hood: high}
  cooking with the back door open: {hood: high, back door: open}
"""


def with_opening(inches: float, text: str = CHECK_HOUSE) -> str:
    """The check house with 15 ft of passive galvanized duct and total loss coefficient 3, taped at the test."""
    opening = (
        f"make-up air:\n  opening: {{into: house, duct: {{size: {inches} in round, made of: galvanized}}, "
        "run: [straight: 15 ft, loss: 3], damper: none}"
    )
    text = text.replace("make-up air: none", opening)
    return text.replace("exponent: 0.65}", "exponent: 0.65, taped at the test: [opening]}")


def solved(house: House | str, states: tuple[OperatingState, ...] | None = None) -> Readout:
    """The named states of a house, or the given ones, solved."""
    if isinstance(house, str):
        house = loads(house, "test.yaml")
    settings = Settings.of(house, named_states(house) if states is None else states)
    model = build(house)
    rows = model.rows(settings)
    solution = solve(model.network, rows)
    require_solved(solution, rows)
    return Readout(model, settings, solution)


def pressures(house: House | str) -> np.ndarray:
    """House pressure of every named state [Pa]."""
    return solved(house).house_pressure()
