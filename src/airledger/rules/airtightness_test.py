"""A fan test of a house's airtightness, as read on site: values only, baseline still in."""

from __future__ import annotations

from dataclasses import dataclass

DEPRESSURIZATION, PRESSURIZATION = "depressurization", "pressurization"
DIRECTIONS = (DEPRESSURIZATION, PRESSURIZATION)
DENSITIES = ("fan", "indoor", "outdoor", "standard")
"""At which density a flow may be told: of the air in the fan, indoors, outdoors, or of the standard's reference air."""


@dataclass(frozen=True)
class AirtightnessTest:
    """One series of readings in one direction.

    pressures [Pa] inside minus outdoors, as read; flows [m3/s] at the density that flow_density names; temperatures
    [degC]; humidities [-]; elevation [m]; barometer [Pa] at the place; volume [m3]; areas [m2]; height [m];
    baselines_before, baselines_after [Pa], each sample; wind [m/s]; accuracy [-] of the flows; rings: free words, one
    a reading; lines: of the file; odd: what is odd in the file, in words.
    """

    name: str
    direction: str
    pressures: tuple[float, ...]
    flows: tuple[float, ...]
    flow_density: str = "fan"
    indoor_temperature: float | None = None
    outdoor_temperature: float | None = None
    indoor_humidity: float | None = None
    outdoor_humidity: float | None = None
    elevation: float = 0.0
    barometer: float | None = None
    volume: float | None = None
    floor_area: float | None = None
    envelope_area: float | None = None
    height: float | None = None
    baselines_before: tuple[float, ...] = ()
    baselines_after: tuple[float, ...] = ()
    wind: float | None = None
    instrument: str = ""
    accuracy: float | None = None
    taped: tuple[str, ...] = ()
    date: str = ""
    address: str = ""
    rings: tuple[str, ...] = ()
    lines: tuple[int, ...] = ()
    odd: tuple[str, ...] = ()

    @property
    def before(self) -> float:
        """Mean baseline before [Pa]; that after where none was read before, 0 where none was read at all."""
        return mean(self.baselines_before or self.baselines_after)

    @property
    def after(self) -> float:
        """Mean baseline after [Pa]; that before where none was read after."""
        return mean(self.baselines_after or self.baselines_before)

    def line(self, place: int) -> int:
        """The file's line of a reading; 0 where it is not known.

        Parameters
        ----------
        place : int
            number of the reading, from 0 [-]
        """
        return self.lines[place] if place < len(self.lines) else 0


def mean(values: tuple[float, ...]) -> float:
    """Mean of some samples, 0 of none [unit of the samples].

    Parameters
    ----------
    values : tuple of float
        samples [any]

    Reference: definition (closed form).
    """
    return sum(values) / len(values) if values else 0.0
