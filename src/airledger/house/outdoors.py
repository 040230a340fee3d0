"""Air outdoors and indoors: one value object for a season, and what is taken where the file is silent."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from airledger.house.house import House, Room, Season
from airledger.physics.moist_air import (
    AirState,
    humidity_ratio_from_dew_point,
    humidity_ratio_from_relative_humidity,
    standard_pressure,
)
from airledger.physics.stack_and_wind import wind_speed_at_height

REFERENCE_SEASON = Season("reference day", 20.0, -100.0, 20.0, 0.0)
"""Dry air at 20 C inside and out: taken, and listed as assumed, where the file gives no season."""

TERRAIN = {"open fields": "open", "houses and trees": "suburb", "tall buildings": "city", "shore": "water"}
"""Surroundings in words -> terrain class of `stack_and_wind`."""

DIRECTIONS = {
    "north": 0.0, "north-east": 45.0, "east": 90.0, "south-east": 135.0,
    "south": 180.0, "south-west": 225.0, "west": 270.0, "north-west": 315.0,
}  # fmt: skip
"""Compass words -> degrees clockwise from north."""


@dataclass(frozen=True)
class Outdoors:
    """The weather of a season, an hour or a test day: name, air outdoors, air of the house, barometer [Pa]."""

    name: str
    outdoor: AirState
    indoor: AirState
    barometer: float

    def air_of(self, room: Room) -> AirState:
        """The air of a room in this weather.

        Parameters
        ----------
        room : Room
            its `air_as` and its own temperatures are used [-]
        """
        temperature = dict(room.air).get(self.name)
        base = self.outdoor if room.air_as == "outdoors" else self.indoor
        if temperature is None:
            return base
        return AirState(temperature, base.humidity_ratio, self.barometer)


def seasons(house: House) -> tuple[Season, ...]:
    """The seasons of the file, or the reference day.

    Parameters
    ----------
    house : House
        its site is read [-]
    """
    return house.site.seasons or (REFERENCE_SEASON,)


@cache
def outdoors(season: Season, elevation: float) -> Outdoors:
    """The weather of a season at an elevation.

    Parameters
    ----------
    season : Season
        temperatures and humidities [-]
    elevation : float
        height above sea level [m]

    Reference: ASHRAE Fundamentals 2021 ch. 1 (moist air), by `physics.moist_air`.
    """
    barometer = float(standard_pressure(elevation))
    return Outdoors(
        season.name,
        AirState(season.outdoor_temperature, _outdoor_humidity(season, barometer), barometer),
        AirState(season.indoor_temperature, _indoor_humidity(season, barometer), barometer),
        barometer,
    )


def _outdoor_humidity(season: Season, barometer: float) -> float:
    if season is REFERENCE_SEASON:
        return 0.0
    return float(humidity_ratio_from_dew_point(min(season.outdoor_dew_point, season.outdoor_temperature), barometer))


def _indoor_humidity(season: Season, barometer: float) -> float:
    if season.indoor_humidity == 0:
        return 0.0
    return float(humidity_ratio_from_relative_humidity(season.indoor_temperature, season.indoor_humidity, barometer))


def weather(house: House) -> tuple[Outdoors, ...]:
    """The weather of every season of a house, in order.

    Parameters
    ----------
    house : House
        site and seasons [-]
    """
    return tuple(outdoors(season, house.site.elevation) for season in seasons(house))


def is_humid_climate(house: House) -> bool:
    """Whether the house stands where outdoor air brings water in: a summer dew point of 18 C (65 F) or more.

    Parameters
    ----------
    house : House
        its seasons are read [-]
    """
    return any(season.outdoor_dew_point >= 18.0 for season in house.site.seasons)


def eaves_height(house: House) -> float:
    """Height [m] of the highest ceiling above the lowest ground, at which wind is reckoned.

    Parameters
    ----------
    house : House
        levels and ceilings [-]
    """
    return max((house.floor(room.name) + room.ceiling for room in house.conditioned), default=3.0)


def wind_at_eaves(house: House, station_speed: float) -> float:
    """Wind speed at the eaves [m/s] from the speed at a weather station.

    Parameters
    ----------
    house : House
        surroundings and height [-]
    station_speed : float
        wind at 10 m over open country [m/s]

    Reference: ASHRAE Fundamentals 2021 ch. 24 eq. 4, table 1, by `physics.stack_and_wind`.
    """
    return float(wind_speed_at_height(station_speed, max(eaves_height(house), 1.0), TERRAIN[house.site.surroundings]))
