"""The columns of the studies' tables: which quantity a key holds, what heads it, how a cell is printed."""

from __future__ import annotations

from dataclasses import dataclass

from airledger.quantities import QUANTITIES, number
from airledger.studies.protocol import Cell

# ending of a key -> quantity; the longest ending that fits is taken
ENDINGS = {
    "_heat_per_flow_ws_m3": "heat per flow",
    "heat_per_flow_ws_m3": "heat per flow",
    "water_per_flow_kg_m3": "water per flow",
    "_m3s_m2": "flow per area",
    "mass_flow_kgs": "mass flow",
    "water_kgs": "water flow",
    "_kgs": "mass flow",
    "flow_m3s": "air flow",
    "_m3s": "air flow",
    "loss_pa": "static pressure",
    "_pa": "house pressure",
    "_n": "force",
    "diameter_m": "small length",
    "_m": "length",
    "free_m2": "small area",
    "_m2": "area",
    "air_m3": "air a year",
    "_m3": "volume",
    "hours_s": "hours a year",
    "_s": "time",
    "_w": "heat flow",
    "wind_speed_ms": "wind speed",
    "_ms": "air speed",
    "_usd": "money",
    "_ratio": "share",
    "_c": "temperature",
}
UNITLESS = {"ach50": ("tightness", "ACH50")}
HEADINGS = {
    "m3s": "flow", "from_": "from", "low_pa": "house pressure, tight", "high_pa": "house pressure, loose",
    "why": "because",    "hood_m3s": "hood moves", "hood_rated_m3s": "hood rated", "hood_share_ratio": "hood share",
    "make_up_m3s": "make-up air",
    "make_up_share_ratio": "make-up share of rated", "balance_ratio": "supply over exhaust",
    "low_m3s": "on a usual curve",
    "what_where": "what was read", "read_pa": "read", "predicted_pa": "predicted", "shut_pa": "with make-up air shut",
    "lowest_pa": "lowest", "lagging_pa": "with the air's lag", "wind_adds": "wind adds",
    "odd": "why it does not belong",
    "95_in_100_between": "95 in 100 between", "known_by": "known by",
    "goal_low_ratio": "goal, from", "goal_high_ratio": "goal, to",
}  # fmt: skip


@dataclass(frozen=True)
class Column:
    """A column: its heading, the quantity it holds ("" for words and plain numbers) and its unit as printed."""

    key: str
    heading: str
    quantity: str
    unit: str

    @property
    def title(self) -> str:
        """Heading with its unit in brackets."""
        return f"{self.heading} [{self.unit}]" if self.unit else self.heading


def column(key: str, system: str) -> Column:
    """The column of a key.

    Parameters
    ----------
    key : str
        a key of a study's table
    system : str
        ``ip`` or ``si``
    """
    if key in UNITLESS:
        quantity, words = UNITLESS[key]
        return Column(key, "tightness", quantity, QUANTITIES[quantity].shown(system).unit or words)
    ending = max((ending for ending in ENDINGS if key.endswith(ending)), key=len, default="")
    if not ending:
        return Column(key, HEADINGS.get(key, key.replace("_", " ").strip()), "", "")
    quantity = ENDINGS[ending]
    suffix = QUANTITIES[quantity].suffix
    heading = HEADINGS.get(key) or key.removesuffix(suffix).replace("_", " ").strip()
    return Column(key, heading or quantity, quantity, QUANTITIES[quantity].shown(system).unit)


def shown_value(value: float, quantity: str, system: str) -> float:
    """A value in the unit in which it is shown, not rounded.

    Parameters
    ----------
    value : float
        in SI
    quantity : str
        a key of `QUANTITIES`, or "" for a plain number
    system : str
        ``ip`` or ``si``
    """
    if not quantity:
        return value
    shown = QUANTITIES[quantity].shown(system)
    return value / shown.factor + shown.offset


def cell_text(value: Cell, key: str, system: str, digits: int | None = None) -> str:
    """A cell as printed on paper, without its unit; an en dash where it cannot be told.

    Parameters
    ----------
    value : float, int, str or None
        in SI
    key : str
        the column's key
    system : str
        ``ip`` or ``si``
    digits : int
        decimals; None takes the quantity's own
    """
    if value is None:
        return "–"
    if isinstance(value, str):
        return value
    quantity = column(key, system).quantity
    if quantity == "hours a year" and 0 < value < 1800:
        return "< 1"
    if quantity:
        printed = number(float(value), quantity, system, digits)
        return f"${printed}" if quantity == "money" else printed
    return f"{value:g}"
