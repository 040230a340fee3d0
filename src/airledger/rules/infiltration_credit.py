"""What a measured leakage may take off the fan's rate, by edition of 62.2.

    NL = 1000 (ELA/Afloor)(H/2.5 m)^0.4,   Qinf[L/s] = NL wsf Afloor[m2]/1.44
    short form: Qinf[cfm] = 0.052 Q50 wsf (H/8.2 ft)^0.4
    2013: Qfan = Qtot - Qinf   2016: - Qinf Aext   2019 and later: - phi Qinf Aext, phi = 1 balanced, else Qinf/Qtot

The weather-and-shielding factor wsf is the user's to give, with its source: no list of them is kept here.
"""

from __future__ import annotations

from dataclasses import dataclass

from airledger.errors import InputError, OutOfRange
from airledger.physics.leakage import normalized_leakage
from airledger.units import CFM, FOOT

EDITIONS = ("2010", "2013", "2016", "2019", "2022")
NO_FAN_BELOW = 15 * CFM
"""Rate below which no fan is asked for [m3/s]: 62.2, MEMORY."""

MOST_OF_NEW = 2.0 / 3.0
"""Most of the total that a new house may credit [-]: 62.2-2013, MEMORY."""

SHORT_FORM = 0.052
"""Annual infiltration over wsf and flow at 50 Pa [-]: NREL Standard Work Specifications, PUBLISHED."""


@dataclass(frozen=True)
class Leaking:
    """A house as the credit sees it.

    total: rate asked for [m3/s]; infiltration: a year's effective [m3/s]; balanced: the system; exterior: share of the
    envelope that faces outdoors [-]; new: a new house.
    """

    total: float
    infiltration: float
    balanced: bool
    exterior: float = 1.0
    new: bool = True


def annual_infiltration(leakage_area: float, floor_area: float, height: float, weather_factor: float) -> float:
    """Effective infiltration of a year [m3/s], by normalized leakage.

    Parameters
    ----------
    leakage_area : float
        effective leakage area at 4 Pa [m2]
    floor_area : float
        of the dwelling [m2]
    height : float
        from the lowest to the highest point of the envelope above grade [m]
    weather_factor : float
        weather and shielding, wsf [-]

    Raises
    ------
    OutOfRange
        a weather factor outside 0 to 2.

    Reference: Uniform Mechanical Code appendix E eq. 605.1.3.2, PUBLISHED (restated).
    """
    _plausible(weather_factor)
    return float(normalized_leakage(leakage_area, floor_area, height)) * weather_factor * floor_area / 1.44 * 1e-3


def annual_infiltration_short(flow_at_50: float, height: float, weather_factor: float) -> float:
    """Effective infiltration of a year [m3/s], from the flow at 50 Pa.

    Parameters
    ----------
    flow_at_50 : float
        leakage at 50 Pa [m3/s]
    height : float
        from the lowest to the highest point of the envelope above grade [m]
    weather_factor : float
        weather and shielding, wsf [-]

    Raises
    ------
    OutOfRange
        a weather factor outside 0 to 2.

    Reference: NREL Standard Work Specifications, infiltration credit, PUBLISHED.
    """
    _plausible(weather_factor)
    return SHORT_FORM * flow_at_50 * weather_factor * height_factor(height / (8.2 * FOOT))


def height_factor(storeys: float) -> float:
    """S of the short form [-]: storeys, or the height over 8.2 ft, to the power of 0.4.

    Parameters
    ----------
    storeys : float
        number, or height over 8.2 ft [-]

    Reference: NREL Standard Work Specifications, PUBLISHED.
    """
    return float(storeys**0.4)


def fan_rate(edition: str, house: Leaking, floor_area: float = 0.0) -> float:
    """What is left for the fan once leakage is credited [m3/s]; never below 0.

    Parameters
    ----------
    edition : str
        of 62.2, one of `EDITIONS` [-]
    house : Leaking
        total, infiltration, whether balanced [-]
    floor_area : float
        of the dwelling, used by the edition of 2010 alone [m2]

    Raises
    ------
    InputError
        no such edition.

    Reference: 62.2-2013: NREL Standard Work Specifications, PUBLISHED (restated); 2016: appendix E eq. 605.1.3.3,
    PUBLISHED (restated); 2010 and 2019: MEMORY.
    """
    if edition not in EDITIONS:
        raise InputError(f"no edition {edition!r} of 62.2 is known; there are: {', '.join(EDITIONS)}")
    if edition == "2010":
        assumed = 0.02 * CFM / FOOT**2 * floor_area
        credit = 0.5 * max(0.0, house.infiltration - assumed)
    else:
        infiltration = min(house.infiltration, MOST_OF_NEW * house.total) if house.new else house.infiltration
        credit = infiltration if edition == "2013" else infiltration * house.exterior
        if edition in ("2019", "2022") and not house.balanced:
            credit *= infiltration / house.total
    return max(0.0, house.total - credit)


def _plausible(weather_factor: float) -> None:
    if not 0.0 < weather_factor <= 2.0:
        raise OutOfRange("weather and shielding factor", weather_factor, 0.0, 2.0, "-")
