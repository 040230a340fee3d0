"""Each quantity's name stands here once: its SI unit, how it is shown to people, and how many digits it deserves.

Names on screens and in JSON come from this table; unit suffixes of JSON keys are the SI ones.
"""

from __future__ import annotations

from dataclasses import dataclass

from airledger import units


@dataclass(frozen=True)
class Shown:
    """How a quantity is shown in one system of units: shown = SI / factor + offset, rounded to digits."""

    unit: str
    factor: float
    digits: int
    offset: float = 0.0


@dataclass(frozen=True)
class Quantity:
    """A quantity: name, SI unit, its suffix in JSON keys, how it is shown in ip and si."""

    name: str
    unit: str
    suffix: str
    ip: Shown
    si: Shown

    def shown(self, system: str) -> Shown:
        """The way it is shown.

        Parameters
        ----------
        system : str
            ``ip`` or ``si`` [-]

        Raises
        ------
        ValueError
            another system of units was asked for.
        """
        if system not in ("ip", "si"):
            raise ValueError(f"units are ip or si, not {system!r}")
        return self.ip if system == "ip" else self.si


def _same(unit: str, digits: int) -> Shown:
    return Shown(unit, 1.0, digits)


QUANTITIES: dict[str, Quantity] = {
    q.name: q
    for q in (
        Quantity("house pressure", "Pa", "pa", _same("Pa", 1), _same("Pa", 1)),
        Quantity("static pressure", "Pa", "pa", Shown("in w.c.", units.INCH_OF_WATER, 2), _same("Pa", 0)),
        Quantity("air flow", "m3/s", "m3s", Shown("cfm", units.CFM, 0), Shown("L/s", 1e-3, 0)),
        Quantity(
            "flow per area",
            "m3/(s m2)",
            "m3s_m2",
            Shown("cfm/ft2", units.CFM / units.FOOT**2, 3),
            Shown("m3/(h m2)", 1 / 3600, 2),
        ),
        Quantity("mass flow", "kg/s", "kgs", Shown("lb/h", units.POUND / 3600, 0), Shown("kg/h", 1 / 3600, 1)),
        Quantity("force", "N", "n", Shown("lbf", units.POUND_FORCE, 1), _same("N", 0)),
        Quantity("length", "m", "m", Shown("ft", units.FOOT, 1), _same("m", 2)),
        Quantity("small length", "m", "m", Shown("in", units.INCH, 1), Shown("mm", 1e-3, 0)),
        Quantity("area", "m2", "m2", Shown("ft2", units.FOOT**2, 0), _same("m2", 1)),
        Quantity("small area", "m2", "m2", Shown("in2", units.INCH**2, 0), Shown("cm2", 1e-4, 0)),
        Quantity("volume", "m3", "m3", Shown("ft3", units.FOOT**3, 0), _same("m3", 0)),
        Quantity("temperature", "degC", "c", Shown("F", 5 / 9, 0, 32.0), _same("C", 1)),
        Quantity("air speed", "m/s", "ms", Shown("fpm", units.FOOT / 60, 0), _same("m/s", 1)),
        Quantity("wind speed", "m/s", "ms", Shown("mph", units.MILE / 3600, 0), _same("m/s", 1)),
        Quantity("heat flow", "W", "w", Shown("Btu/h", units.BTU / 3600, 0), _same("W", 0)),
        Quantity(
            "water flow",
            "kg/s",
            "kgs",
            Shown("pints/h", 0.998 * units.PINT * 1000 / 3600, 1),
            Shown("kg/h", 1 / 3600, 2),
        ),
        Quantity("tightness", "1/h", "per_h", _same("ACH50", 2), _same("1/h at 50 Pa", 2)),
        Quantity("share", "-", "ratio", Shown("%", 0.01, 0), Shown("%", 0.01, 0)),
        Quantity("time", "s", "s", _same("s", 0), _same("s", 0)),
        Quantity("hours a year", "s", "s", Shown("h/yr", 3600.0, 0), Shown("h/yr", 3600.0, 0)),
        Quantity("air a year", "m3", "m3", Shown("million ft3", 1e6 * units.FOOT**3, 2), Shown("thousand m3", 1e3, 1)),
        Quantity("money", "USD", "usd", _same("$", 0), _same("$", 0)),
        Quantity("count", "-", "count", _same("", 0), _same("", 0)),
        Quantity("plain ratio", "-", "ratio", _same("", 2), _same("", 2)),
        Quantity(
            "heat per flow",
            "W s/m3",
            "ws_m3",
            Shown("Btu/h per 100 cfm", units.BTU / 3600 / (100 * units.CFM), 0),
            Shown("W per L/s", 1e3, 1),
        ),
        Quantity(
            "water per flow",
            "kg/m3",
            "kg_m3",
            Shown("pints/h per 100 cfm", 0.998 * units.PINT * 1000 / 3600 / (100 * units.CFM), 1),
            Shown("g/h per L/s", 1e-3 / 3600 / 1e-3, 1),
        ),
    )
}


def number(value: float, name: str, system: str, digits: int | None = None) -> str:
    """A value as printed, without its unit; a true minus sign and thousands separated by commas.

    Parameters
    ----------
    value : float
        the value [SI unit of the quantity]
    name : str
        a key of `QUANTITIES` [-]
    system : str
        ``ip`` or ``si`` [-]
    digits : int
        decimals; None takes the quantity's own [-]
    """
    shown = QUANTITIES[name].shown(system)
    text = f"{value / shown.factor + shown.offset:,.{shown.digits if digits is None else digits}f}"
    if float(text.replace(",", "")) == 0:
        text = text.replace("-", "")
    return text.replace("-", "−")


def text(value: float, name: str, system: str, digits: int | None = None) -> str:
    """A value as printed, with its unit.

    Parameters
    ----------
    value : float
        the value [SI unit of the quantity]
    name : str
        a key of `QUANTITIES` [-]
    system : str
        ``ip`` or ``si`` [-]
    digits : int
        decimals; None takes the quantity's own [-]
    """
    unit = QUANTITIES[name].shown(system).unit
    printed = number(value, name, system, digits)
    if unit == "$":
        return f"${printed}"
    return f"{printed} {unit}".strip()


BEGIN, END = "\ue000", "\ue001"
"""Signs around a value that stands within words and waits for the reader's units."""


def within_words(value: float, name: str, digits: int | None = None) -> str:
    """A value as it stands within a sentence until someone reads it: `in_units` prints it in that reader's units.

    Parameters
    ----------
    value : float
        the value [SI unit of the quantity]
    name : str
        a key of `QUANTITIES` [-]
    digits : int
        decimals in trade units; None takes the quantity's own [-]
    """
    return f"{BEGIN}{float(value)!r}|{name}|{'' if digits is None else digits}{END}"


def in_units(words: str, system: str) -> str:
    """Words with every value in them printed in one system of units.

    Parameters
    ----------
    words : str
        words, with values by `within_words` or without [-]
    system : str
        ``ip`` or ``si`` [-]
    """
    if BEGIN not in words:
        return words
    first, *others = words.split(BEGIN)
    told = [first]
    for part in others:
        value, name, rest = part.split("|", 2)
        digits, _, after = rest.partition(END)
        same = QUANTITIES[name].ip == QUANTITIES[name].si
        places = int(digits) if digits and (system == "ip" or same) else None
        told.append(text(float(value), name, system, places) + after)
    return "".join(told)
