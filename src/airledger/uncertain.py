"""A value that is not known yet: low, likely and high, as a person would say it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Uncertain:
    """A value with its range: 10th percentile, mode, 90th percentile.

    A measured or exact value has low = likely = high.
    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise ValueError(f"a range runs from low to high: {self.low} <= {self.likely} <= {self.high} does not hold")

    @classmethod
    def exactly(cls, value: float) -> Uncertain:
        """A value that is known.

        Parameters
        ----------
        value : float
            the value [same as the quantity]
        """
        return cls(value, value, value)

    @property
    def is_exact(self) -> bool:
        """Whether nothing is left open."""
        return self.low == self.high

    @property
    def ends(self) -> tuple[float, ...]:
        """The two ends; one value where nothing is left open."""
        return (self.likely,) if self.is_exact else (self.low, self.high)

    def scaled(self, factor: float) -> Uncertain:
        """The same range times a positive factor.

        Parameters
        ----------
        factor : float
            what to multiply by [-]
        """
        return Uncertain(self.low * factor, self.likely * factor, self.high * factor)
