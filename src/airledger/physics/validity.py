"""The range of a method: which value, if any, lies outside it."""

from __future__ import annotations

import numpy as np

from airledger.physics import Values


def outlier(value: Values, low: float, high: float) -> float | None:
    """First value outside low to high (a value that is no number counts as outside), None if all lie within.

    Parameters
    ----------
    value : Values
        the value or values to look at, in the unit of the limits [any].
    low : float
        least value that the method allows [any].
    high : float
        greatest value that the method allows [any].

    Reference: definition (closed interval).
    """
    if isinstance(value, float | int):
        return None if low <= value <= high else float(value)
    values = np.asarray(value, dtype=float)
    inside = (values >= low) & (values <= high)
    if inside.all():
        return None
    return float(values[~inside].flat[0])
