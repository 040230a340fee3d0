"""How fast the air of a house takes up a new pressure: the test of reckoning a start as steady at every moment.

Air that a fan takes out of a closed volume V thins what is left, quickly enough for no heat to reach it:
    (V / (gamma p0)) dp/dt = Q_in(p) - Q_out
Near a steady pressure the leaks answer with the slope dQ/dp, so that p settles as exp(-t/tau) with
    tau = V / (gamma p0 dQ/dp)
Where tau is far shorter than the stroke of a damper, the house is in balance at every moment of the stroke; where it is
not, the steady answer is too deep, and the lag gives the other end.
"""

from __future__ import annotations

import numpy as np

from airledger.errors import OutOfRange
from airledger.physics import Values
from airledger.physics.validity import outlier

HEAT_RATIO = 1.4
"""Ratio of the heats of dry air at constant pressure and constant volume [-]."""


def settling_time(volume: Values, slope: Values, barometer: Values) -> Values:
    """Time in which a disturbed pressure comes within 1/e of its steady value [s].

    Parameters
    ----------
    volume : Values
        air inside [m3].
    slope : Values
        slope of the flow through all ways in and out at the steady pressure [m3/(s Pa)].
    barometer : Values
        absolute pressure of the air [Pa].

    Raises
    ------
    OutOfRange
        slope not above 0.

    Reference: adiabatic volume, dp/dt = gamma p0 dQ / V (closed form).
    """
    if (odd := outlier(slope, np.finfo(float).tiny, np.inf)) is not None:
        raise OutOfRange("slope of the leaks", odd, 0.0, np.inf, "m3/(s Pa)")
    time: Values = volume / (HEAT_RATIO * barometer * slope)
    return time


def followed(times: Values, steady: Values, settling: float) -> Values:
    """Pressure that follows a moving steady pressure with a lag, from rest at its first value [Pa].

    Parameters
    ----------
    times : Values
        moments, rising [s].
    steady : Values
        steady pressure at each moment, straight between them [Pa].
    settling : float
        settling time, held over the whole path [s].

    Reference: first-order lag of a ramp, p = s - m tau + (p0 - s0 + m tau) exp(-t/tau) (closed form).
    """
    target, moments = np.asarray(steady, dtype=np.float64), np.asarray(times, dtype=np.float64)
    found = np.empty_like(target)
    found[0] = target[0]
    for index, step in enumerate(np.diff(moments)):
        behind = settling * (target[index + 1] - target[index]) / step
        left = np.exp(-step / settling)
        found[index + 1] = target[index + 1] - behind + (found[index] - target[index] + behind) * left
    return found
