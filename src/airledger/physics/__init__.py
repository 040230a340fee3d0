"""Air physics as pure functions: SI in, SI out, no house, no file.

One module is one subject. Every function takes floats or numpy arrays (element by element, so that a value never depends
on its neighbours in a batch) and gives the same shape back. Outside the range of a method it raises `OutOfRange`.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Values: TypeAlias = float | NDArray[np.float64]
"""One number or an array of them."""

GRAVITY = 9.80665
"""Standard acceleration of gravity [m/s2]."""

KELVIN = 273.15
"""Temperature of 0 degrees Celsius [K]."""

__all__ = ["GRAVITY", "KELVIN", "Values"]
