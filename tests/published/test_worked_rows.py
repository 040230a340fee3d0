"""Published rows that take a root: two laws in one line, solved with scipy's bracketing root finder over our laws.

[computed] values: scipy 1.16.3 by another route (closed forms or its own equations); the laws and their sources stand
in the docstrings of `airledger.physics`.
"""

import math

import pytest
from scipy.optimize import brentq

from airledger.physics.duct_friction import DuctSection, flow_at_loss
from airledger.physics.fan import parabola_pressure
from airledger.physics.infiltration import Shelter, basic_coefficients
from airledger.physics.leakage import leakage_flow, leakage_pressure

CFM = 0.3048**3 / 60
ENVELOPE = 416.667 * CFM / 50**0.65  # 25,000 ft3 at 1.0 ACH50, exponent 0.65
RHO, MU = 1.204, 1.204 / 66400


def test_an_orifice_and_a_crack_in_series():
    # n 0.5, C 10 before n 0.65, C 20 at 10 Pa: 28.7300 and 8.25414 Pa at the first [computed]
    flow = brentq(lambda q: leakage_pressure(q, 10, 0.5) + leakage_pressure(q, 20, 0.65) - 10, 1, 100, xtol=1e-12)
    assert flow == pytest.approx(28.7300, abs=5e-5)
    assert leakage_pressure(flow, 10, 0.5) == pytest.approx(8.25414, abs=5e-6)


def test_a_straight_fan_line_against_a_square_duct():
    # fan 100 (1 - Q/160) Pa against 25 Pa at 100 L/s: 110.8495 L/s, 30.7190 Pa [computed]
    flow = brentq(lambda q: 100 * (1 - q / 160) - 25 * (q / 100) ** 2, 1, 160, xtol=1e-12)
    # closed form of the same: 25 x^2 + 62.5 x - 100 = 0, x = Q/100
    assert flow == pytest.approx(100 * (-62.5 + math.sqrt(62.5**2 + 10_000)) / 50)
    assert flow == pytest.approx(110.8495, abs=5e-5)
    assert 25 * (flow / 100) ** 2 == pytest.approx(30.7190, abs=5e-5)


def test_a_hood_with_its_curve_in_a_tight_house():
    # P = 400 (1 - (Q/900)^2), duct 30 Pa at 600 cfm, no make-up [computed]:
    # 705.796 cfm, house -112.489 Pa, fan 154.00 Pa
    def short(cfm):
        house = leakage_pressure(cfm * CFM, ENVELOPE, 0.65)
        return parabola_pressure(cfm, 400, 900) - 30 * (cfm / 600) ** 2 - house

    cfm = brentq(short, 100, 900, xtol=1e-11)
    assert cfm == pytest.approx(705.796, abs=5e-4)
    assert leakage_pressure(cfm * CFM, ENVELOPE, 0.65) == pytest.approx(112.489, abs=5e-4)
    assert parabola_pressure(cfm, 400, 900) == pytest.approx(154.00, abs=5e-3)


@pytest.mark.parametrize(
    ("hood", "inches", "house", "make_up"),
    [
        (400, 6, 25.586, 130.43), (400, 10, 10.806, 246.06), (400, 12, 6.866, 285.36), (600, 6, 49.994, 183.37),
        (600, 8, 33.958, 275.98), (600, 10, 22.206, 354.15), (600, 12, 14.388, 414.58), (1200, 6, 156.133, 326.57),
        (1200, 8, 110.712, 501.47), (1200, 10, 75.360, 656.00),
    ],
)  # fmt: skip
def test_a_passive_make_up_duct_beside_the_leaks(hood, inches, house, make_up):
    # 15 ft of rigid duct, 0.09 mm, K 3 [computed, fluids 1.3.1]; the network solver has its own test of these
    duct = DuctSection(15 * 0.3048, inches * 0.0254, 9e-5, 3.0)

    def short(pressure):
        return leakage_flow(ENVELOPE, pressure, 0.65) + flow_at_loss(pressure, duct, RHO, MU) - hood * CFM

    pressure = brentq(short, 0.1, 500, xtol=1e-11)
    assert pressure == pytest.approx(house, abs=1e-3)
    assert flow_at_loss(pressure, duct, RHO, MU) / CFM == pytest.approx(make_up, abs=6e-3)


def test_a_passive_opening_cannot_hold_a_big_hood_at_ten_pascals():
    # even 14 in of duct: that finding must stand
    duct = DuctSection(15 * 0.3048, 14 * 0.0254, 9e-5, 3.0)
    passes = leakage_flow(ENVELOPE, 10.0, 0.65) + flow_at_loss(10.0, duct, RHO, MU)
    assert passes < 900 * CFM


# Sherman and Grimsrud's fs and fw [formulas from memory, inferred constants; computed]; the tables themselves are
# ASHRAE Fundamentals 2021 ch. 16 tables 4 and 6 [published]
@pytest.mark.parametrize("storeys", [1, 2, 3])
@pytest.mark.parametrize(("shelter_class", "shielding"), [(1, 0.324), (2, 0.285), (3, 0.240), (4, 0.185), (5, 0.102)])
def test_the_coefficients_of_the_basic_model_follow_from_their_origin(storeys, shelter_class, shielding):
    stack, wind = basic_coefficients(Shelter(storeys, shelter_class))
    height, low_and_high = 2.5 * storeys, 0.5  # half of the leaks lie in floor and ceiling, shared evenly
    by_stack = (1 + low_and_high / 2) / 3 * math.sqrt(9.80665 * height / 295)
    at_house, at_station = 0.85 * (height / 10) ** 0.20, 1.00 * (6.1 / 10) ** 0.15
    by_wind = shielding * (1 - low_and_high) ** (1 / 3) * at_house / at_station
    # m3/s for each m2 -> L/s for each cm2 is a tenth; the stack column is off by 2 in the last digit at most
    assert (0.1 * by_stack) ** 2 == pytest.approx(stack, abs=2.5e-6)
    assert (0.1 * by_wind) ** 2 == pytest.approx(wind, abs=1.5e-6)
