"""Equal-friction sizing is the inverse of friction."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import OutOfRange
from airledger.physics.duct_friction import friction_loss
from airledger.physics.duct_sizing import diameter_for_friction

MU = 1.204 / 66400


@given(st.floats(1e-4, 1.0), st.floats(0.05, 20.0), st.sampled_from([0.0, 9e-5, 9e-4, 3e-3]))
def test_the_diameter_loses_what_was_asked(flow, friction, roughness):
    narrowest = roughness / 0.05
    if narrowest and friction_loss(flow, 1.0, narrowest * (1 + 1e-9), roughness, 1.204, MU) < friction:
        # even the narrowest duct that the method allows loses less
        with pytest.raises(OutOfRange, match="relative roughness"):
            diameter_for_friction(flow, friction, roughness, 1.204, MU)
    else:
        diameter = diameter_for_friction(flow, friction, roughness, 1.204, MU)
        assert friction_loss(flow, 1.0, diameter, roughness, 1.204, MU) == pytest.approx(friction, rel=1e-10)


def test_a_wall_too_rough_for_its_diameter_is_refused():
    # 0.05 L/s of air in a liner of 3 mm would want a duct of some 2 cm, where no friction chart holds
    with pytest.raises(OutOfRange, match="relative roughness"):
        diameter_for_friction(5e-5, 20.0, 3e-3, 1.204, MU)


@pytest.mark.parametrize("givens", [(0.0, 1.0), (0.1, 0.0)])
def test_nothing_to_size_is_refused(givens):
    with pytest.raises(OutOfRange):
        diameter_for_friction(*givens, 9e-5, 1.204, MU)
