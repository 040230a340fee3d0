"""Random whole houses, from the text of a file on: all solve, all accounts close, and what must not matter does not."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

import numpy as np
import pytest

from airledger.errors import StiffFan
from airledger.house.assemble import build
from airledger.house.house import OUTDOORS, House, NamedState
from airledger.house.operating_state import Settings
from airledger.house.readout import Readout
from airledger.house.state_words import named_states
from airledger.io.house_file import loads
from airledger.physics.solver import require_solved, solve
from tests.property.house_files import house_file

EVERYDAY, ALL = 60, 300
SEEDS = [pytest.param(seed, marks=pytest.mark.soak) if seed >= EVERYDAY else seed for seed in range(ALL)]


def read(house: House, settings: Settings, refuse: bool = True) -> Readout:
    model = build(house)
    rows = model.rows(settings)
    solution = solve(model.network, rows)
    assert solution.converged.all()
    if refuse:
        require_solved(solution, rows)
    return Readout(model, settings, solution)


def is_answered(house: House, state: NamedState) -> bool:
    """Whether a state has an answer; the one refusal there may be is a stiff fan that names its room."""
    one = replace(house, states=(state,))
    try:
        read(one, Settings.of(one, named_states(one)))
    except StiffFan as refusal:
        assert any(room.name in str(refusal) for room in house.rooms)  # noqa: PT017 -- the refusal itself is checked
        return False
    return True


def by_room(readout: Readout) -> dict[str, np.ndarray]:
    return {room.name: readout.room_pressure(room.name) for room in readout.house.rooms}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_random_house_solves_closes_and_keeps_its_invariants(seed: int) -> None:
    house = loads(house_file(seed), f"random-{seed}.yaml")
    house = replace(house, states=tuple(state for state in house.states if is_answered(house, state)))
    settings = Settings.of(house, named_states(house))
    readout = read(house, settings)
    check_accounts(readout)
    check_more_hood(house, settings, readout)
    check_order(house, readout, np.random.default_rng(seed))


def check_accounts(readout: Readout) -> None:
    """Every node of every state closes, added up from the flows as they are told."""
    for row in range(readout.size):
        state = readout.state(row, str(row))
        total: dict[str, float] = defaultdict(float)
        size: dict[str, float] = defaultdict(float)
        for flow in state.flows:
            for end, sign in ((flow.from_, -1), (flow.to, 1)):
                total[end] += sign * flow.mass_flow
                size[end] += 0.5 * flow.mass_flow
        largest = max((flow.mass_flow for flow in state.flows), default=1.0)
        for node, left in total.items():
            if node != OUTDOORS:
                assert abs(left) <= 1e-9 * max(size[node], 1e-6 * largest), (state.name, node)
        assert state.residual_relative <= 1e-9


def check_more_hood(house: House, settings: Settings, before: Readout) -> None:
    """A hood a third bigger, all else held, raises no room, wherever the hood blows out (past 1,000 Pa too)."""
    after = by_room(read(house, settings.with_({("flow", "hood"): 4 / 3}), refuse=False))
    forward = (settings.column(("speed", "hood"), 0.0) > 0) & (before.machine_flow("hood") >= 0)
    for name, pressure in by_room(before).items():
        rise = (after[name] - pressure)[forward]
        slack = 1e-9 * np.maximum(1.0, np.abs(pressure[forward]))
        assert (rise <= slack).all(), (name, rise.max())


def check_order(house: House, before: Readout, random: np.random.Generator) -> None:
    """Rooms, openings, machines and leaks in another order: the same pressures."""

    def mixed(entries: tuple) -> tuple:  # type: ignore[type-arg]  # whatever the house holds
        return tuple(entries[place] for place in random.permutation(len(entries)))

    other = replace(
        house, rooms=mixed(house.rooms), openings=mixed(house.openings), exhausts=mixed(house.exhausts),
        make_up_air=mixed(house.make_up_air or ()), envelope=replace(house.envelope, leaks=mixed(house.envelope.leaks)),
    )  # fmt: skip
    after = by_room(read(other, Settings.of(other, named_states(other))))
    for name, pressure in by_room(before).items():
        assert after[name] == pytest.approx(pressure, rel=1e-9, abs=1e-9), name


def test_the_random_houses_hold_every_kind_of_part() -> None:
    text = "".join(house_file(seed) for seed in range(EVERYDAY))
    parts = ("kind: attic", "kind: garage", "kind: crawl space", "level: upper", "ventilator:", "fan curve", "gravity:",
             "motorized", "fan: {speeds", "flex", "12 in x 8 in", "grille", "lies: flat", "wind:", "blocked", "dirty",
             "stuck shut", "fan dead", "flap opens at", "sash")  # fmt: skip
    assert [part for part in parts if part not in text] == []
