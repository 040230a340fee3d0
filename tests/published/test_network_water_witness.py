"""The network solver against EPANET 2.3 (owa-epanet), by the mappings of the check file network.md, 8 and 9."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.published.networks import CFM, Sketch, room_pressure
from tests.published.test_network_closed_forms import AIR, ENVELOPE, FOOT, INCH, parabola
from tests.published.water_network import WaterSketch, solved

ROOMS = ["K", "H", "B", "T"]
LEAKS = [("K", 8, 3), ("K", 5, -2), ("H", 3, -1.5), ("B", 6, 3), ("B", 4, -1.5), ("T", 3, -2)]
ORIFICES = [
    ("outdoors", "K", 0.01, -1.5),
    ("outdoors", "B", 0.002, 3),
    ("K", "H", 0.48, 0),
    ("H", "B", 0.0087, 0),
    ("H", "T", 0.012, 0),
]
FANS = {"K": 150.0, "T": 25.0, "B": -20.0}

PRINTED = {  # section 8: pressures [Pa] (scipy, residual 1e-11 L/s), flows [L/s] in the order of leaks and orifices
    "fans on": (
        (-11.925999, -11.921889, -0.966367, -12.445872),
        (46.36104, 22.22661, 13.76532, 14.69287, -2.65930, 13.78591, 41.68533, 5.14222, -39.72702, -37.17579, 11.21409),
    ),
    "fans off": (
        (-0.406912, -0.406896, 0.331072, -0.471969),
        (17.74699, -6.76746, -3.17871, 11.35717, -5.92678, -3.95191, -13.49746, 4.21816, -2.51793, -9.64855, 3.95191),
    ),
}


def four_rooms(on: bool) -> Sketch:
    sketch = Sketch(ROOMS)
    for room, coefficient, outside in LEAKS:
        sketch.power("outdoors", room, coefficient, 0.65, outside)
    for tail, head, area, outside in ORIFICES:
        sketch.power(tail, head, 1000 * area * math.sqrt(2 / 1.2), 0.5, outside)
    if on:
        for room, flow in FANS.items():
            sketch.machine(room, flow)
    return sketch


@pytest.mark.parametrize("case", PRINTED)
def test_four_rooms_as_printed(case: str) -> None:
    solution = four_rooms(case == "fans on").solved()
    pressures, flows = PRINTED[case]
    assert solution.pressure[:, 0] == pytest.approx(pressures, abs=6e-7)
    assert solution.flow[: len(flows), 0] == pytest.approx(flows, abs=1e-5)


@pytest.mark.parametrize("case", PRINTED)
def test_four_rooms_as_a_water_network(case: str) -> None:
    water = WaterSketch(ROOMS, FANS if case == "fans on" else {})
    for room, coefficient, outside in LEAKS:
        water.leak(room, coefficient, outside)
    for tail, head, area, outside in ORIFICES:
        water.orifice(tail, head, area, outside if tail == "outdoors" else None)
    heads, flows = solved(water.text(), ROOMS, water.links)
    solution = four_rooms(case == "fans on").solved()
    assert [heads[room] for room in ROOMS] == pytest.approx(solution.pressure[:, 0], abs=3e-6)
    signs = [-1] * len(LEAKS) + [1] * len(ORIFICES)  # a water leak flows outward
    assert [s * flows[n] for s, n in zip(signs, water.links, strict=True)] == pytest.approx(
        solution.flow[: len(signs), 0], abs=2e-5
    )


@pytest.mark.parametrize(("exhaust", "neutral"), [(0.0, 3.0), (10.0, 3.865055), (20.0, 4.673998), (40.0, 5.716803)])
def test_stack_as_a_water_network(exhaust: float, neutral: float) -> None:
    """Section 5 by mapping A: neutral levels to 1e-5 m."""
    gradient = 1.346631
    water = WaterSketch(["house"], {"house": exhaust})
    for height in (0.5, 5.5):
        water.leak("house", 10.0, -gradient * height)
    heads, _ = solved(water.text(), ["house"], [])
    assert -heads["house"] / gradient == pytest.approx(neutral, abs=2e-5)


@pytest.mark.parametrize("seed", range(24))
def test_random_networks_by_mapping_a(seed: int) -> None:
    """Random networks of 3 to 20 rooms: leaks of exponent 0.65, orifices, machines, stack and wind."""
    random = np.random.default_rng(seed)
    rooms = [f"R{i}" for i in range(int(random.integers(3, 21)))]
    demands = {room: float(random.uniform(-40, 120)) for room in rooms if random.random() < 0.4}
    water, sketch = WaterSketch(rooms, demands), Sketch(rooms)
    for room in rooms:
        for _ in range(int(random.integers(1, 4))):
            coefficient, outside = float(10 ** random.uniform(-0.5, 1.3)), float(round(random.normal(0, 3), 3))
            water.leak(room, coefficient, outside)
            sketch.power("outdoors", room, coefficient, 0.65, outside)
    pairs = [(rooms[int(random.integers(0, i))], rooms[i]) for i in range(1, len(rooms))]
    pairs += [tuple(str(n) for n in random.choice(rooms, 2, replace=False)) for _ in range(len(rooms) // 3)]
    for tail, head in pairs:
        area = float(10 ** random.uniform(-2.7, -0.5))
        water.orifice(tail, head, area)
        sketch.power(tail, head, 1000 * area * math.sqrt(2 / 1.2), 0.5)
    outside = float(round(random.normal(0, 3), 3))
    water.orifice("", rooms[0], 0.004, outside)
    sketch.power("outdoors", rooms[0], 1000 * 0.004 * math.sqrt(2 / 1.2), 0.5, outside)
    for room, flow in demands.items():
        sketch.machine(room, flow)
    heads, _ = solved(water.text(), rooms, [])
    solution = sketch.solved()
    scale = max(1.0, float(np.abs(solution.pressure).max()))
    assert [heads[room] for room in rooms] == pytest.approx(solution.pressure[:, 0], abs=2e-5 * scale)


def water_house(hood: float, inches: float) -> str:
    """Mapping B: the reference house with a real duct, head in metres of air at 1.204 kg/m3."""
    gravity = 32.2 * FOOT
    emitter = ENVELOPE * 1000 * (1.204 * gravity) ** 0.65
    return "\n".join(
        [
            "[JUNCTIONS]", f"house 0 {hood * CFM * 1000:.12g}", "leak 0 0", "[RESERVOIRS]", "OUT 0", "[PIPES]",
            "PL house leak 0.001 1000 0.09 0 Open", f"DUCT OUT house {15 * FOOT:.12g} {inches * 25.4:.12g} 0.09 3 Open",
            "[EMITTERS]", f"leak {emitter:.12g}", "[TIMES]", "Duration 0", "[OPTIONS]", "Units LPS", "Headloss D-W",
            "Viscosity 14.7370",
            "Emitter Exponent 0.65", "Trials 500", "Accuracy 1e-8", "[END]", "",
        ]
    )  # fmt: skip


@pytest.mark.parametrize(("inches", "pulled", "make_up"), [(10, 22.2062, 354.1518), (6, 50.0006, 183.3301)])
def test_house_and_duct_by_mapping_b(inches: float, pulled: float, make_up: float) -> None:
    """Section 9: EPANET uses Swamee-Jain friction, 0.02 % from Colebrook."""
    heads, flows = solved(water_house(600, inches), ["house"], ["DUCT"])
    pascal = 1.204 * 32.2 * FOOT
    assert -heads["house"] * pascal == pytest.approx(pulled, abs=5e-3)
    sketch = Sketch(["house"])
    sketch.power("outdoors", "house", ENVELOPE, 0.65)
    sketch.machine("house", 600 * CFM)
    sketch.run("outdoors", "house", length=15 * FOOT, diameter=inches * INCH, roughness=0.09e-3, loss=3, **AIR)
    solution = sketch.solved()
    assert -room_pressure(solution, "house") == pytest.approx(-heads["house"] * pascal, rel=3e-4)
    assert solution.flow[2, 0] == pytest.approx(flows["DUCT"] / 1000, rel=3e-4)
    assert solution.flow[2, 0] / CFM == pytest.approx(make_up, rel=3e-4)


def test_fan_curve_by_mapping_b() -> None:
    """Section 9: hood as a pump with three points; printed 112.48874 Pa and 705.79590 cfm."""
    gravity = 32.2 * FOOT
    pascal = 1.204 * gravity
    free = 900 * CFM * 1000
    duct = 30 / pascal / (600 * CFM * 1000) ** 2  # head loss over flow squared, as a short pipe's minor loss
    loss = duct / FOOT * 28.317**2 * (300 / 1000 / FOOT) ** 4 / 0.02517
    emitter = ENVELOPE * 1000 * pascal**0.65
    text = "\n".join(
        [
            "[JUNCTIONS]", "house 0 0", "leak 0 0", "duct 0 0", "[RESERVOIRS]", "OUT 0", "[PIPES]",
            "PL house leak 0.001 1000 0.09 0 Open", f"D duct OUT 0.001 300 0.09 {loss:.12g} Open", "[PUMPS]",
            "HOOD house duct HEAD 1", "[CURVES]", f"1 0 {400 / pascal:.12g}", f"1 {free / 2:.12g} {300 / pascal:.12g}",
            f"1 {free * 0.999999:.12g} {400 / pascal * 2e-6:.12g}", "[EMITTERS]",
            f"leak {emitter:.12g}", "[TIMES]", "Duration 0", "[OPTIONS]", "Units LPS", "Headloss D-W",
            "Viscosity 14.7370",
            "Emitter Exponent 0.65", "Trials 500", "Accuracy 1e-8", "[END]", "",
        ]
    )  # fmt: skip
    heads, flows = solved(text, ["house"], ["HOOD"])
    sketch = Sketch(["house", "duct"])
    sketch.power("outdoors", "house", ENVELOPE, 0.65)
    sketch.power("duct", "outdoors", 600 * CFM / math.sqrt(30), 0.5)
    sketch.fan("house", "duct", parabola(400.0, 900 * CFM))
    solution = sketch.solved()
    assert -heads["house"] * pascal == pytest.approx(112.48874, abs=2e-3)
    assert room_pressure(solution, "house") == pytest.approx(heads["house"] * pascal, rel=3e-5)
    assert solution.flow[0, 0] == pytest.approx(flows["HOOD"] / 1000, rel=3e-5)
