"""Air for burners that take it from the rooms: volumes and openings that fuel-gas codes ask for.

    standard      V = 50 ft3 I / (1,000 Btu/h)                    where nobody knows how fast air leaks in
    known rate    V = (21 I_other + 15 I_fan) ft3 / (1,000 Btu/h) / ach,   ach at most 0.60
    outdoors      A = 1 in2 I / (4,000, 2,000 or 3,000 Btu/h)     for each opening

The standard volume is not allowed where air is known to leak in slower than 0.40 times an hour: in every tight house.
None of this says that a flue draws. The gas official and a licensed installer decide.
"""

from __future__ import annotations

from typing import Any

from airledger import units
from airledger.errors import OutOfRange
from airledger.sources import Source, table

BTU_PER_HOUR = units.BTU / 3600
WAYS = ("two openings, direct", "two openings, level ducts", "one opening")
"""Ways in which outdoor air may be brought to burners, as keys of the table."""


def rule(key: str) -> dict[str, Any]:
    """A row of the table as it is printed.

    Parameters
    ----------
    key : str
        its key [-]
    """
    return next(entry for entry in table("rules/tables/combustion_air")["rule"] if entry["key"] == key)


def source_of(key: str) -> Source:
    """Where a row of the table comes from.

    Parameters
    ----------
    key : str
        its key [-]
    """
    return Source(str(rule(key)["source"]), str(rule(key)["tag"]))


def _volume_per_input(key: str) -> float:
    return float(rule(key)["volume_ft3"]) * units.FOOT**3 / (float(rule(key)["input_btuh"]) * BTU_PER_HOUR)


def ordinary_air_changes(air_changes_at_test: float) -> float:
    """How fast air leaks in over the year [1/h], from the blower-door test.

    Parameters
    ----------
    air_changes_at_test : float
        air changes at 50 Pa [1/h]

    Reference: a twentieth of the air changes at 50 Pa, common practice, no source.
    """
    return float(rule("leakage over the year")["share"]) * air_changes_at_test


def standard_is_allowed(air_changes: float) -> bool:
    """Whether the standard volume may be used: not where air is known to leak in slower than the code's limit.

    Parameters
    ----------
    air_changes : float
        air changes in ordinary weather [1/h]

    Reference: NFPA 54 9.3.2 and NREL Standard Work Specifications 5.0502.1a, published (restated).
    """
    return air_changes >= float(rule("standard volume")["least_air_changes"])


def standard_volume(heat_input: float) -> float:
    """Room volume [m3] that the standard method asks for.

    Parameters
    ----------
    heat_input : float
        all burners together [W]

    Reference: NFPA 54 9.3.2.1, published (restated).
    """
    return _volume_per_input("standard volume") * heat_input


def known_rate_volume(other_input: float, fan_assisted_input: float, air_changes: float) -> float:
    """Room volume [m3] that the code asks for where the leakage is known; a rate above the cap counts as the cap.

    Parameters
    ----------
    other_input : float
        burners without a fan [W]
    fan_assisted_input : float
        burners with a fan [W]
    air_changes : float
        air changes in ordinary weather [1/h]

    Raises
    ------
    OutOfRange
        air leaks in slower than the slowest rate for which a volume is printed: the air must come from outdoors.

    Reference: NFPA 54 9.3.2.2, published (restated).
    """
    least = float(rule("least known rate")["least_air_changes"])
    if air_changes < least:
        raise OutOfRange("air changes in ordinary weather", air_changes, least, float("inf"), "1/h")
    asked = _volume_per_input("known rate, natural draft") * other_input
    asked += _volume_per_input("known rate, fan-assisted") * fan_assisted_input
    return asked / min(air_changes, float(rule("known rate, natural draft")["most_air_changes"]))


def opening_area(way: str, heat_input: float) -> float:
    """Free area [m2] of each opening to outdoors.

    Parameters
    ----------
    way : str
        one of `WAYS` [-]
    heat_input : float
        all burners together [W]

    Reference: NFPA 54 9.3.3, published (restated).
    """
    row = rule(way)
    return float(row["area_in2"]) * units.INCH**2 * heat_input / (float(row["input_btuh"]) * BTU_PER_HOUR)


def burner_air(heat_input: float) -> float:
    """Air that burners use [m3/s].

    Parameters
    ----------
    heat_input : float
        all burners together [W]

    Reference: 1,250 ft3/h for 100,000 Btu/h, common practice, no source.
    """
    return _volume_per_input("burner need") * heat_input / 3600
