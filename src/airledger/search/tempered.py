"""What tempering make-up air takes: the heater in the coldest season, and what outdoor air brings in by season.

The heater lifts the air's temperature and leaves its water where it is: humid air stays humid. There is no weather of
the hours behind it: the year is bounded by the design day held for all the hours of use.
"""

from __future__ import annotations

import math

from airledger.house.house import House
from airledger.house.outdoors import weather
from airledger.physics.air_loads import condensed_water, dry_air_mass_flow, latent_heat, sensible_heat
from airledger.quantities import within_words
from airledger.search.hours import use_share
from airledger.search.options import Option
from airledger.search.prices import TEMPERED_TO, heater_kilowatts, powered_flow, tempering_heat
from airledger.search.slots import Slots

VOLTS = 240.0
YEAR_HOURS = 8760.0


def tempered_rows(option: Option, place: Slots, house: House) -> list[dict[str, float | int | str | None]]:
    """The loads of an option's make-up fan at its full flow, a line a season.

    heater_w lifts the air to the supply temperature; sensible_w and latent_w are what has to be taken out of it to
    bring it to the air of the house, positive where it is too warm or too wet.

    Parameters
    ----------
    option : Option
        an option with a make-up fan [-]
    place : Slots
        the house with every candidate [-]
    house : House
        its seasons [-]
    """
    flow = powered_flow(option, place)
    listed: list[dict[str, float | int | str | None]] = []
    for air in weather(house):
        mass = dry_air_mass_flow(flow, air.outdoor)
        listed.append(
            {
                "season": air.name,
                "make_up_m3s": flow,
                "heater_w": tempering_heat(flow, air),
                "sensible_w": float(sensible_heat(mass, air.outdoor, air.indoor)),
                "latent_w": float(latent_heat(mass, air.outdoor, air.indoor)),
                "water_kgs": float(condensed_water(mass, air.outdoor, air.indoor)),
            }
        )
    return listed


def tempered_sentence(option: Option, place: Slots, house: House) -> str:
    """The heater and its circuit, its year at most, and what summer air brings, in words.

    Parameters
    ----------
    option : Option
        an option with a make-up fan [-]
    place : Slots
        the house with every candidate [-]
    house : House
        its seasons [-]
    """
    rows = tempered_rows(option, place, house)
    cold = max(rows, key=lambda row: float(row["heater_w"] or 0.0))
    need = float(cold["heater_w"] or 0.0)
    rest = -float(cold["sensible_w"] or 0.0) - need
    wet = max(rows, key=lambda row: float(row["water_kgs"] or 0.0))
    kilowatts = heater_kilowatts(powered_flow(option, place), house)
    longest = max((use_share(exhaust) for exhaust in place.starting if exhaust.name in option.starts_with), default=0.0)
    hours = longest * YEAR_HOURS
    flow = within_words(powered_flow(option, place), "air flow")
    warm = within_words(TEMPERED_TO, "temperature")
    further = f"; {within_words(rest, 'heat flow')} more falls to the house's own heating" if rest > 0 else ""
    heater = f"Tempering {flow} of make-up air takes no heater on the coldest design day"
    if need > 0:
        heater = (
            f"Tempering {flow} of make-up air takes {within_words(need, 'heat flow')} on the coldest design day, which "
            f"brings it to {warm} and no further{further}. That is a heater of {kilowatts:.0f} kW, "
            f"{math.ceil(1000 * kilowatts / VOLTS)} A at {VOLTS:.0f} V, at most {need / 1000 * hours:,.0f} kWh a year "
            f"(that day held for {hours:,.0f} h of use)"
        )
    summer = (
        f"In {wet['season']} it brings {within_words(float(wet['sensible_w'] or 0.0), 'heat flow')} of heat and "
        f"{within_words(float(wet['water_kgs'] or 0.0), 'water flow')} of water; a heater takes none of that out."
    )
    return f"{heater}. {summer}"
