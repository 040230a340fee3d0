"""What may not change an answer: units, names, order, a leak split in two; and what must: more hood."""

from __future__ import annotations

from dataclasses import replace
from importlib import resources

import numpy as np
import pytest

from airledger.house.house import House
from airledger.io.house_file import loads
from tests.houses import CHECK_HOUSE, solved

TERN = resources.files("airledger").joinpath("examples/tern-street-14.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def tern() -> House:
    return loads(TERN, "tern.yaml")


def rooms_by_name(house: House | str) -> dict[str, np.ndarray]:
    readout = solved(house)
    return {room.name: readout.room_pressure(room.name) for room in readout.house.rooms}


def check_same(one: dict[str, np.ndarray], other: dict[str, np.ndarray]) -> None:
    assert one.keys() == other.keys()
    for name, pressure in one.items():
        assert other[name] == pytest.approx(pressure, rel=1e-9, abs=1e-9), name


def test_si_or_ip_input() -> None:
    metric = (
        CHECK_HOUSE.replace("2500 ft2", "232.2576 m2")
        .replace("10 ft", "3.048 m")
        .replace("600 cfm", "283.16846592 L/s")
    )
    check_same(rooms_by_name(CHECK_HOUSE), rooms_by_name(metric))


def test_order_of_rooms_openings_and_machines(tern: House) -> None:
    turned = replace(tern, rooms=tern.rooms[::-1], openings=tern.openings[::-1], exhausts=tern.exhausts[::-1])
    check_same(rooms_by_name(tern), rooms_by_name(turned))


def test_names_of_rooms(tern: House) -> None:
    renamed = loads(TERN.replace("bedroom 2", "sewing room").replace("laundry", "wash kitchen"), "tern.yaml")
    back = {"sewing room": "bedroom 2", "wash kitchen": "laundry"}
    check_same(
        rooms_by_name(tern), {back.get(name, name): pressure for name, pressure in rooms_by_name(renamed).items()}
    )


def test_a_leak_split_in_two(tern: House) -> None:
    first, *others = tern.envelope.leaks
    halves = (
        replace(first, name="one half", share=0.4 * first.share),
        replace(first, name="other half", share=0.6 * first.share),
    )
    split = replace(tern, envelope=replace(tern.envelope, leaks=(*halves, *others)))
    check_same(rooms_by_name(tern), rooms_by_name(split))


@pytest.mark.parametrize("more", ["650 cfm", "900 cfm", "2000 cfm"])
def test_more_hood_raises_no_pressure(more: str) -> None:
    before, after = solved(CHECK_HOUSE).house_pressure(), solved(CHECK_HOUSE.replace("600 cfm", more)).house_pressure()
    assert (after[1:] < before[1:]).all()


def test_more_hood_raises_no_room_of_tern(tern: House) -> None:
    hood, *others = tern.exhausts
    assert hood.fan_curve is not None
    points = tuple((1.2 * flow, pressure) for flow, pressure in hood.fan_curve.points)
    more = replace(hood, fan_curve=replace(hood.fan_curve, points=points))
    before, after = rooms_by_name(tern), rooms_by_name(replace(tern, exhausts=(more, *others)))
    for name, pressure in before.items():
        assert (after[name][2:] <= pressure[2:] + 1e-9).all()


def test_one_state_alone_equals_the_same_state_among_all(tern: House) -> None:
    together = solved(tern)
    for row, state in enumerate(tern.states):
        alone = solved(replace(tern, states=(state,)))
        assert np.array_equal(alone.solution.pressure[:, 0], together.solution.pressure[:, row])
        assert np.array_equal(alone.solution.flow[:, 0], together.solution.flow[:, row])


def test_every_account_of_tern_closes(tern: House) -> None:
    readout = solved(tern)
    assert readout.solution.residual_relative.max() < 1e-12
