"""Sizing by equal friction: the diameter that loses so many pascals a metre.

The loss falls with about the fifth power of the diameter, so D (loss/target)^(1/5) is five times nearer than D in the
worst regime; the fixed number of steps reaches machine precision.
"""

from __future__ import annotations

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.duct_friction import GREATEST_RELATIVE_ROUGHNESS, friction_loss
from airledger.physics.validity import outlier


def diameter_for_friction(
    flow: Values, friction_rate: Values, roughness: Values, density: Values, viscosity: Values
) -> Values:
    """Diameter [m] of the round duct that loses the given pressure a metre.

    Parameters
    ----------
    flow : Values
        volume flow, above 0 [m3/s].
    friction_rate : Values
        pressure lost by friction for each metre, above 0 [Pa/m].
    roughness : Values
        absolute roughness [m].
    density : Values
        density of the air [kg/m3].
    viscosity : Values
        dynamic viscosity of the air [Pa s].

    Raises
    ------
    OutOfRange
        flow or friction not above 0, or a wall rougher than 0.05 of the diameter.

    Reference: ASHRAE Fundamentals 2021 ch. 21 eq. 18-21, PUBLISHED, solved for D.
    """
    if (odd := outlier(flow, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("flow", odd, 0.0, np.inf, "m3/s")
    if (odd := outlier(friction_rate, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("friction for each metre", odd, 0.0, np.inf, "Pa/m")
    # start: friction factor 0.02, and never so narrow that the wall is too rough for the method
    narrowest = roughness / GREATEST_RELATIVE_ROUGHNESS * (1.0 + 1e-12)
    diameter = np.power(0.02 * 8.0 * density * np.square(flow / np.pi) / friction_rate, 0.2)
    for _ in range(40):
        diameter = np.maximum(diameter, narrowest)
        loss = friction_loss(flow, 1.0, diameter, roughness, density, viscosity)
        diameter = diameter * np.power(loss / friction_rate, 0.2)
    rough = roughness / diameter
    if (odd := outlier(rough, 0.0, GREATEST_RELATIVE_ROUGHNESS)) is not None:
        raise OutOfRange("relative roughness", odd, 0.0, GREATEST_RELATIVE_ROUGHNESS, "-")
    return diameter
