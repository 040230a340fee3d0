"""Closed forms of stack, one-zone houses and ducts, against the network solver.

COMPUTED values of the check file network.md, sections 4, 5, 6: closed forms, scipy 1.16.3 and Colebrook by fluids
1.3.1,
rho 1.204 kg/m3, nu 1/66400 m2/s, unless a comment says otherwise.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from airledger.physics.moist_air import dry_air_density
from tests.published.networks import CFM, Sketch, room_pressure

INCH, FOOT = 0.0254, 0.3048
ENVELOPE = 416.667 / 50**0.65 * CFM  # reference house: 25,000 ft3, 1.0 ACH50, n 0.65
AIR = {"density": 1.204, "viscosity": 1.204 / 66400}


@pytest.mark.parametrize(
    ("exhaust", "neutral", "low", "high", "pressure"),
    [
        (0.0, 3.000, 22.01266, -22.01266, -4.039892),
        (10.0, 3.865055, 26.702775, -16.702775, None),
        (20.0, 4.673998, 30.716410, -10.716410, None),
        (40.0, 5.716803, 35.507852, 4.492148, -7.698422),
    ],
)
def test_stack_with_two_leaks(exhaust: float, neutral: float, low: float, high: float, pressure: float | None) -> None:
    """Section 5: leaks C 10 L/s at 0.5 and 5.5 m, 20 C inside, -10 C outside, g 9.81, R 287.055."""
    gradient = 9.81 * 101325 / 287.055 * (1 / 263.15 - 1 / 293.15)
    assert gradient == pytest.approx(1.346631, abs=5e-7)
    sketch = Sketch(["house"])
    for height in (0.5, 5.5):
        sketch.power("outdoors", "house", 10.0, 0.65, -gradient * height)  # outdoors minus inside falls with height
    sketch.machine("house", exhaust)
    solution = sketch.solved()
    found = room_pressure(solution, "house")
    assert -found / gradient == pytest.approx(neutral, abs=5e-7 if neutral != 3.0 else 5e-4)
    assert solution.flow[0, 0] == pytest.approx(low, abs=5e-6)
    assert solution.flow[1, 0] == pytest.approx(high, abs=5e-6)
    if pressure is not None:
        assert found == pytest.approx(pressure, abs=5e-7)


@pytest.mark.parametrize(
    ("outside", "gradient"), [(-30, 2.4290), (-20, 1.8664), (-10, 1.3466), (0, 0.8649), (10, 0.4172)]
)
def test_stack_gradient(outside: float, gradient: float) -> None:
    """Section 5, gradients with 20 C inside; g 9.81."""
    found = 9.81 * (float(dry_air_density(outside)) - float(dry_air_density(20.0)))
    assert found == pytest.approx(gradient * 287.055 / 287.042, abs=5e-5)  # R 287.042 here, 287.055 there


@pytest.mark.parametrize(
    ("flow", "pulled"),
    [(50, 1.92), (100, 5.56), (150, 10.38), (300, 30.16), (400, 46.96), (600, 87.62), (900, 163.50), (1200, 254.52)],
)
def test_house_without_make_up_opening(flow: float, pulled: float) -> None:
    """Section 6: P = 50 (Q/cfm50)^(1/n)."""
    sketch = Sketch(["house"])
    sketch.power("outdoors", "house", ENVELOPE, 0.65)
    sketch.machine("house", flow * CFM)
    assert -room_pressure(sketch.solved(), "house") == pytest.approx(pulled, abs=0.0051)


@pytest.mark.parametrize(
    ("pressure", "flow"), [(2, 51.42), (3, 66.92), (5, 93.28), (7, 116.08), (10, 146.37), (25, 265.53)]
)
def test_exhaust_that_keeps_a_pressure(pressure: float, flow: float) -> None:
    """Section 6, second table."""
    sketch = Sketch(["house"])
    sketch.power("outdoors", "house", ENVELOPE, 0.65)
    sketch.machine("house", flow * CFM)
    assert -room_pressure(sketch.solved(), "house") == pytest.approx(pressure, abs=0.0005 * pressure)


DUCTS = [
    (0.09e-3, 3, 6, 1.0, (56.63, 80.76, 128.90)),
    (0.09e-3, 3, 8, 1.0, (104.36, 148.48, 236.34)),
    (0.09e-3, 3, 10, 1.0, (166.53, 236.59, 375.99)),
    (0.09e-3, 3, 12, 1.0, (243.09, 345.04, 547.79)),
    (0.09e-3, 3, 14, 1.0, (334.03, 473.81, 751.69)),
    (0.09e-3, 5, 6, 1.0, (45.81, 65.17, 103.74)),
    (0.09e-3, 5, 10, 1.0, (132.23, 187.59, 297.66)),
    (0.9e-3, 3, 6, 5.085, (37.29, 53.55, 85.98)),
    (0.9e-3, 3, 10, 3.468, (138.41, 197.20, 314.07)),
]


@pytest.mark.parametrize(("roughness", "loss", "inches", "factor", "flows"), DUCTS)
def test_make_up_duct_with_friction(
    roughness: float, loss: float, inches: float, factor: float, flows: tuple[float, ...]
) -> None:
    """Section 6: 15 ft of duct, rigid or flex with 15 % compression, at 5, 10 and 25 Pa."""
    for pressure, flow in zip((5, 10, 25), flows, strict=True):
        sketch = Sketch(["house"])
        sketch.run(
            "outdoors",
            "house",
            length=15 * FOOT * factor,
            diameter=inches * INCH,
            roughness=roughness,
            loss=loss,
            **AIR,
        )
        sketch.power("outdoors", "house", 1e6, 1.0, -pressure)  # holds the room at that pressure
        assert sketch.solved().flow[1, 0] / CFM == pytest.approx(flow, abs=0.02 if factor > 1 else 0.006)


LOSS_ONLY = {
    6: (49.82, 64.31, 90.95, 143.81, 203.37),
    8: (88.56, 114.33, 161.69, 255.66, 361.55),
    10: (138.38, 178.64, 252.64, 399.46, 564.92),
    12: (199.26, 257.25, 363.80, 575.22, 813.49),
    14: (271.22, 350.14, 495.18, 782.94, 1107.25),
}


@pytest.mark.parametrize("inches", LOSS_ONLY)
def test_make_up_duct_as_loss_alone(inches: int) -> None:
    """Section 6: K 3, no friction, at 3, 5, 10, 25, 50 Pa (closed form)."""
    for pressure, flow in zip((3, 5, 10, 25, 50), LOSS_ONLY[inches], strict=True):
        sketch = Sketch(["house"])
        sketch.run("outdoors", "house", length=0.0, diameter=inches * INCH, roughness=0.09e-3, loss=3, **AIR)
        sketch.power("outdoors", "house", 1e6, 1.0, -pressure)
        assert sketch.solved().flow[1, 0] / CFM == pytest.approx(flow, abs=0.0051)


HOUSE_AND_DUCT = [
    (400, 6, 25.586, 130.43),
    (400, 10, 10.806, 246.06),
    (400, 12, 6.866, 285.36),
    (600, 6, 49.994, 183.37),
    (600, 8, 33.958, 275.98),
    (600, 10, 22.206, 354.15),
    (600, 12, 14.388, 414.58),
    (1200, 6, 156.133, 326.57),
    (1200, 8, 110.712, 501.47),
    (1200, 10, 75.360, 656.00),
]


@pytest.mark.parametrize(("hood", "inches", "pulled", "make_up"), HOUSE_AND_DUCT)
def test_house_with_make_up_duct(hood: float, inches: float, pulled: float, make_up: float) -> None:
    """Section 6: reference house, rigid duct of 15 ft with K 3, fixed hood flow."""
    sketch = Sketch(["house"])
    sketch.power("outdoors", "house", ENVELOPE, 0.65)
    sketch.machine("house", hood * CFM)
    sketch.run("outdoors", "house", length=15 * FOOT, diameter=inches * INCH, roughness=0.09e-3, loss=3, **AIR)
    solution = sketch.solved()
    assert -room_pressure(solution, "house") == pytest.approx(pulled, abs=0.00051)
    assert solution.flow[2, 0] / CFM == pytest.approx(make_up, abs=0.0051)


def parabola(shut_off: float, free: float, count: int = 400) -> tuple[tuple[float, float], ...]:
    """Points of P = P0 (1 - (Q/Q0)^2)."""
    return tuple((free * k / count, shut_off * (1 - (k / count) ** 2)) for k in range(count + 1))


def test_hood_curve_duct_and_house() -> None:
    """Section 6.

    Hood P = 400 (1-(Q/900)^2), duct 30 Pa at 600 cfm, no make-up: 705.796 cfm, house -112.489 Pa, fan 154.00 Pa.
    """
    sketch = Sketch(["house", "duct"])
    sketch.power("outdoors", "house", ENVELOPE, 0.65)
    sketch.power("duct", "outdoors", 600 * CFM / math.sqrt(30), 0.5)
    sketch.fan("house", "duct", parabola(400.0, 900 * CFM))
    solution = sketch.solved()
    assert solution.flow[0, 0] / CFM == pytest.approx(705.796, abs=0.002)
    assert room_pressure(solution, "house") == pytest.approx(-112.489, abs=0.001)
    assert room_pressure(solution, "duct") - room_pressure(solution, "house") == pytest.approx(154.00, abs=0.005)


def test_fan_against_a_square_law() -> None:
    """Section 6: fan 100 (1 - Q/160) Pa against 25 Pa at 100 L/s: 110.8495 L/s, 30.7190 Pa."""
    sketch = Sketch(["box"])
    sketch.power("outdoors", "box", 100 / math.sqrt(25), 0.5)
    sketch.fan("box", "outdoors", ((0.0, 100.0), (160.0, 0.0)))
    solution = sketch.solved()
    assert solution.flow[0, 0] == pytest.approx(110.8495, abs=5e-5)
    assert -room_pressure(solution, "box") == pytest.approx(30.7190, abs=5e-5)


@pytest.mark.parametrize(
    ("first", "second", "pressure", "flow", "share"),
    [
        ((0.01 * math.sqrt(2 / 1.2) * 1000, 0.5), (0.02 * math.sqrt(2 / 1.2) * 1000, 0.5), 10.0, 36.5148, 8.000),
        ((10.0, 0.65), (20.0, 0.65), 10.0, 36.8542, 7.43908),
        ((10.0, 0.5), (20.0, 0.65), 10.0, 28.7300, 8.25414),
    ],
)
def test_openings_in_series(
    first: tuple[float, float], second: tuple[float, float], pressure: float, flow: float, share: float
) -> None:
    """Section 1, element checks: two openings one behind the other."""
    sketch = Sketch(["between"])
    sketch.power("outdoors", "between", *first, offset=pressure)
    sketch.power("between", "outdoors", *second)
    solution = sketch.solved()
    assert solution.flow[0, 0] == pytest.approx(flow, abs=5e-5)
    assert pressure - room_pressure(solution, "between") == pytest.approx(share, abs=5e-4 if share == 8.0 else 5e-6)


@pytest.mark.parametrize("exponent", [0.5, 0.65, 0.75])
def test_plain_newton_cycles_where_this_one_does_not(exponent: float) -> None:
    """Section 4: with one leak a plain step maps x to x (1 - 1/n): 8, -8, 8 ... at n 0.5; factor -0.5385 at 0.65."""
    pressure, wanted, path = 8.0, 0.0, []
    for _ in range(3):
        flow, slope = math.copysign(abs(pressure) ** exponent, pressure), exponent * abs(pressure) ** (exponent - 1)
        pressure -= (flow - wanted) / slope
        path.append(pressure)
    assert path[1] / path[0] == pytest.approx(1 - 1 / exponent, rel=1e-12)
    sketch = Sketch(["house"])
    sketch.power("outdoors", "house", 10.0, exponent, 8.0)
    assert room_pressure(sketch.solved(), "house") == pytest.approx(8.0, abs=1e-9)


def test_residual_and_not_the_success_flag() -> None:
    """Section 4, trap: a general root finder stopped 0.0077 L/s out of balance with its flag up.

    Here every sum closes to rounding.
    """
    gradient = 1.346631
    sketch = Sketch(["house", *(f"dead end {k}" for k in range(3))])
    for height in (0.5, 5.5):
        sketch.power("outdoors", "house", 10.0, 0.65, -gradient * height)
    for k in range(3):
        sketch.power("house", f"dead end {k}", 1000 * 0.6 * 1.5 * math.sqrt(2 / 1.2), 0.5)
    sketch.machine("house", 40.0)
    solution = sketch.solved()
    assert room_pressure(solution, "house") == pytest.approx(-7.698422, abs=5e-6)
    assert np.abs(solution.flow[2:5, 0]).max() < 1e-9
