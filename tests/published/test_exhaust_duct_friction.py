"""The printed lengths of exhaust ducts against our friction law: two independent roads to one table.

IRC table M1504.2 [published; rows of 7 and 8 in restated] is met by a fan that spends its 0.25 in w.c. on the duct and
32 ft of fixed terminal length: smooth within 2.4 ft, flexible with 1.7 times the friction within 5 ft but for two,
which are 12 ft off [computed: Darcy and Colebrook, roughness 0.09 mm, 1.2 kg/m3, 1.5e-5 m2/s].
Nothing of ours is fitted here.
"""

import math

import pytest

from airledger.physics.duct_friction import friction_loss
from airledger.rules.exhaust_ducts import FLEX, SMOOTH, exhaust_duct
from airledger.sources import table
from airledger.units import CFM, FOOT, INCH

AIR = {"density": 1.2, "viscosity": 1.2 * 1.5e-5}
BUDGET, TERMINALS_FT = 0.25 * 249.0889, 32.0
PRINTED = table("rules/tables/exhaust_ducts")["exhaust"]
CELLS = [
    (made_of, size["inches"], rating)
    for size in PRINTED["size"]
    for made_of in (SMOOTH, FLEX)
    for rating, cell in zip(PRINTED["ratings"], size[made_of], strict=True)
    if not isinstance(cell, str)
]
FAR_OFF = {(FLEX, 6, 100), (FLEX, 7, 150)}


def length_by_friction(made_of, inches, rating):
    """Feet of duct that use up what the terminals leave of the fan's pressure."""
    loss_of_a_foot = friction_loss(rating * CFM, FOOT, inches * INCH, 9e-5, **AIR)
    return BUDGET / (loss_of_a_foot * (1.7 if made_of == FLEX else 1.0)) - TERMINALS_FT


@pytest.mark.parametrize(("made_of", "inches", "rating"), CELLS)
def test_the_printed_length_is_what_friction_leaves(made_of, inches, rating):
    printed = exhaust_duct(rating * CFM, inches * INCH, made_of).length / FOOT
    allowed = 12.5 if (made_of, inches, rating) in FAR_OFF else 5.05 if made_of == FLEX else 2.45
    if inches == 8:  # "8 and above": no one size stands behind it
        allowed = 0.1 * printed
    assert length_by_friction(made_of, inches, rating) == pytest.approx(printed, abs=allowed)


def test_every_number_of_the_table_was_looked_at():
    assert len(CELLS) == 37
    assert math.isinf(exhaust_duct(50 * CFM, 5 * INCH, SMOOTH).length)
