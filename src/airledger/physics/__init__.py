"""Air physics as pure functions: SI in, SI out, no house, no file.

One module is one subject. Floats or numpy arrays in, the same shape out, element by element:
a value never depends on its neighbours in a batch. Outside the range of a method a function raises `OutOfRange`.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Values: TypeAlias = float | NDArray[np.float64]
"""One number or an array of them."""

Truths: TypeAlias = bool | NDArray[np.bool_]
"""One truth or an array of them."""

GRAVITY = 9.80665
"""Standard acceleration of gravity [m/s2]."""

KELVIN = 273.15
"""Temperature of 0 degrees Celsius [K]."""

__all__ = ["GRAVITY", "KELVIN", "Truths", "Values"]
