"""Make-up openings against a witness that shares no code with the solver: one room, one root, friction by `fluids`."""

from math import pi, sqrt

import pytest
from fluids.friction import friction_factor
from scipy.optimize import brentq

from airledger import runs
from airledger.units import CFM, FOOT, INCH
from tests.unit.search.houses import house

HOUSE = """
house: Witness
site: {elevation: 0 ft}
envelope: {tightness: 1.0 ach50, exponent: 0.65}
rooms: {house: {area: 2500 ft2, ceiling: 10 ft}}
exhausts:
  range hood: {room: house, speeds: {high: 600 cfm}}
make-up air: none
limits: {house pressure: {wanted: -5 Pa, tolerated: -10 Pa}}
"""

# dry air at 20 C and 101,325 Pa
DENSITY, VISCOSITY = 1.2041, 1.8134e-5
LEAK_AT_50 = 25_000 * FOOT**3 / 3600
# the usual run: cap without flap, 15 ft of galvanized duct, elbow, open damper, grille of three duct areas, 65 % free
CAP, ELBOW, DAMPER = 1.0, 0.25, 0.2
GRILLE = (1 / (0.6 * 0.65) / 3) ** 2
LENGTH, ROUGHNESS = 15 * FOOT, 0.09e-3


def duct_flow(pressure, inches):
    """Flow at which friction and fittings of the run take a pressure, by a bracketing root finder."""
    diameter = inches * INCH
    area = pi / 4 * diameter**2

    def left(flow):
        speed = flow / area
        friction = friction_factor(Re=speed * diameter * DENSITY / VISCOSITY, eD=ROUGHNESS / diameter)
        loss = (friction * LENGTH / diameter + CAP + ELBOW + DAMPER + GRILLE) * DENSITY * speed**2 / 2
        return pressure - loss

    return brentq(left, 1e-6, area * sqrt(2 * pressure / DENSITY) * 2, xtol=1e-14)


def house_pressure(hood, inches, count):
    def missing(pressure):
        return LEAK_AT_50 * (pressure / 50) ** 0.65 + count * duct_flow(pressure, inches) - hood

    return -brentq(missing, 1e-3, 500, xtol=1e-10)


@pytest.fixture(scope="module")
def rows():
    found = runs.study(house(HOUSE), ("make_up_air", "biggest_hood"))
    return {name: {r[key]: r for r in found.results[name].tables[table]} for name, table, key in (
        ("make_up_air", "options", "option"), ("biggest_hood", "ducts", "opening"))}  # fmt: skip


@pytest.mark.parametrize("inches", [4, 6, 8, 10, 12, 16])
def test_one_opening(rows, inches):
    row = rows["make_up_air"][f"one {inches} in opening with motorized damper"]
    assert row["low_pa"] == pytest.approx(house_pressure(600 * CFM, inches, 1), rel=2e-3)
    assert row["make_up_m3s"] == pytest.approx(duct_flow(-row["low_pa"], inches), rel=2e-3)


@pytest.mark.parametrize("inches", [8, 10])
def test_two_openings(rows, inches):
    row = rows["make_up_air"][f"two {inches} in openings with motorized dampers"]
    assert row["low_pa"] == pytest.approx(house_pressure(600 * CFM, inches, 2), rel=2e-3)


@pytest.mark.parametrize("inches", [6, 10, 14])
def test_the_biggest_hood_is_what_comes_in_at_the_limit(rows, inches):
    enters = LEAK_AT_50 * (10 / 50) ** 0.65 + duct_flow(10.0, inches)
    assert rows["biggest_hood"][f"one {inches} in"]["hood_m3s"] == pytest.approx(enters, rel=3e-3)
