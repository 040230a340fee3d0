"""Picking rows and elements out of a law whose parameters are arrays (elements, 1) or (elements, rows)."""

from __future__ import annotations

from dataclasses import fields
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

Index = NDArray[np.intp]


class Batched:
    """Picking rows out of a law whose parameters are arrays (elements, 1) or (elements, rows)."""

    def of_rows(self, rows: Index) -> Self:
        """The same law for some of the rows.

        Parameters
        ----------
        rows : Index
            which rows [-]
        """
        picked: dict[str, Any] = {}
        for entry in fields(self):  # type: ignore[arg-type]  # every subclass is a dataclass
            value = getattr(self, entry.name)
            wide = isinstance(value, np.ndarray) and value.ndim == 2 and value.shape[1] > 1
            picked[entry.name] = np.ascontiguousarray(value[:, rows]) if wide else value
        return type(self)(**picked)

    def of_elements(self, places: Index) -> Self:
        """The same law for some of its elements.

        Parameters
        ----------
        places : Index
            which of its elements [-]
        """
        picked: dict[str, Any] = {}
        for entry in fields(self):  # type: ignore[arg-type]  # every subclass is a dataclass
            value = getattr(self, entry.name)
            tall = isinstance(value, np.ndarray) and value.ndim == 2 and value.shape[0] > 1
            picked[entry.name] = np.ascontiguousarray(value[places]) if tall else value
        return type(self)(**picked)
