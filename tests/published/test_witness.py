"""Houses through the front door, `study --json`, against a second derivation that shares no solver and no assembly."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from airledger.cli.main import main
from airledger.house.house import House
from airledger.io.house_file import load
from tests.published.witness import Witness
from tests.published.witness_balance import OUT

FOLDER = Path(__file__).parent / "witness_houses"
HOUSES = sorted(path.stem for path in FOLDER.glob("*.yaml"))  # each an invented house that stresses one thing
FOOT = 0.3048
WALLS = {  # by hand [m]: the plan's up looks east (north: 90 deg); its right is south, its left north, its foot west
    "wind": {
        "west room": {"east": 20 * FOOT, "west": 20 * FOOT, "north": 30 * FOOT},
        "east room": {"east": 24 * FOOT, "west": 24 * FOOT, "south": 30 * FOOT},
    }
}
RELATIVE = 1e-6
AT_REST = 1e-10  # kg/s: where next to nothing drives air, each side rounds off its laws in its own way
COEFFICIENT = 1e-7  # of the leaks: what the openings passed at the test is itself solved twice, by each side
Result = dict[str, Any]


@pytest.fixture(scope="module", params=HOUSES)
def studied(request: pytest.FixtureRequest) -> tuple[str, House, Result]:
    path = FOLDER / f"{request.param}.yaml"
    shown = CliRunner().invoke(
        main, ["study", str(path), "--json", "--only", "air_balance", "--only", "depressurization"]
    )
    return request.param, load(path), json.loads(shown.stdout)


def states(studied: tuple[str, House, Result]) -> Iterator[tuple[Result, Witness]]:
    """The named states of the JSON, each with its witness."""
    name, house, result = studied
    told = result["states"][: len(house.states)]
    assert [state["name"] for state in told] == [state.name for state in house.states]
    for state in told:
        yield state, Witness(house, state["name"], WALLS.get(name))


def flows_of(state: Result) -> dict[tuple[str, str, str], float]:
    return {(flow["through"], flow["from"], flow["to"]): flow["mass_flow_kgs"] for flow in state["flows"]}


def test_pressures_and_flows_equal_the_witness(studied: tuple[str, House, Result]) -> None:
    for state, witness in states(studied):
        gauge = witness.solved()
        for room in state["rooms"]:
            expected = gauge[room["name"]]
            assert room["pressure_pa"] == pytest.approx(expected, rel=RELATIVE, abs=1e-7), (state["name"], room)
        assert state["house_pressure_pa"] == pytest.approx(gauge[state["reference_room"]], rel=RELATIVE, abs=1e-7)
        expected_flows, told = witness.flows(gauge), flows_of(state)
        for key in {*expected_flows, *told}:
            flow = expected_flows.get(key, 0.0)
            assert told.get(key, 0.0) == pytest.approx(flow, rel=RELATIVE, abs=AT_REST), (state["name"], key)


def test_leaks_follow_their_law_at_the_reported_pressures(studied: tuple[str, House, Result]) -> None:
    """From the JSON alone and the law: within 1e-9 of the larger of 1 Pa and the pressures at its ends."""
    for state, witness in states(studied):
        gauge = {OUT: 0.0} | {room["name"]: room["pressure_pa"] for room in state["rooms"]}
        told = flows_of(state)
        leaks = [way for way in witness.ways if way.through in {leak.name for leak in witness.house.envelope.leaks}]
        assert leaks
        least: dict[tuple[str, str, str], float] = defaultdict(float)
        most: dict[tuple[str, str, str], float] = defaultdict(float)
        for way in leaks:
            difference = witness.difference(way, gauge)
            slack = 1e-9 * max(1.0, abs(gauge[way.tail]), abs(gauge[way.head]))
            ends = (way.tail, way.head) if difference >= 0 else (way.head, way.tail)
            sizes = sorted(abs(way.law(difference + turn * slack)) for turn in (-1, 1))
            least[way.through, *ends] += sizes[0] * (1 - COEFFICIENT)
            most[way.through, *ends] += sizes[1] * (1 + COEFFICIENT)
        for key, low in least.items():
            assert low - AT_REST <= told.get(key, 0.0) <= most[key] + AT_REST, (state["name"], key)


def test_every_account_closes_and_the_residual_is_the_one_told(studied: tuple[str, House, Result]) -> None:
    """Added up from the JSON by the definition: |sum| over max(half the sum of sizes, 1e-6 of the largest)."""
    for state in studied[2]["states"]:
        total: dict[str, float] = defaultdict(float)
        size: dict[str, float] = defaultdict(float)
        for flow in state["flows"]:
            for end, sign in (("from", -1), ("to", 1)):
                total[flow[end]] += sign * flow["mass_flow_kgs"]
                size[flow[end]] += 0.5 * flow["mass_flow_kgs"]
        largest = max((flow["mass_flow_kgs"] for flow in state["flows"]), default=1.0)
        worst = max((abs(total[n]) / max(size[n], 1e-6 * largest) for n in total if n != OUT), default=0.0)
        assert worst <= 1e-9
        assert state["residual_relative"] <= 1e-9


def test_door_forces_by_hand(studied: tuple[str, House, Result]) -> None:
    """F = closer + W A dP / (2 (W - d)), SFPE Handbook, 5th edition, ch. 50 eq. 50.14."""
    for state, witness in states(studied):
        gauge = {OUT: 0.0} | {room["name"]: room["pressure_pa"] for room in state["rooms"]}
        told = {door["opening"]: door for door in state["door_forces"]}
        for door in (opening for opening in witness.house.openings if opening.kind == "door"):
            one, other = sorted(door.between, key=lambda name: name == OUT)
            z = witness.house.floor(one) + door.sill + door.height / 2
            difference = witness.absolute(one, z, gauge) - witness.absolute(other, z, gauge)
            inner = all(name in witness.inside for name in door.between)
            is_open = witness.says.get(door.name, door.stands or ("open" if inner else "shut")) != "shut"
            knob = 2.75 * 0.0254 if door.knob is None else door.knob
            force = (door.closer or 0.0) + door.width**2 * door.height * abs(difference) / (2 * (door.width - knob))
            assert told[door.name]["force_n"] == pytest.approx(0.0 if is_open else force, rel=RELATIVE, abs=1e-6)
            opens_out = (door.swings or ("in" if OUT in door.between else "out")) == "out"
            if is_open or abs(difference) < 0.1:
                assert told[door.name]["direction"] == "none"
            else:
                word = "thrown open" if (difference > 0) == opens_out else "held shut"
                assert told[door.name]["direction"] == word
