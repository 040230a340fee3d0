"""A house that came from answers as a house file: readable, each assumed line marked, and equal when it is read back.

Quantities are written so that reading them gives the very same number: the shortest decimal that does, in the unit that
people use, else in SI.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable

from airledger.errors import InputError, QuantityError
from airledger.house.house import Exhaust, FanCurve, House, Opening, Site, Ventilator
from airledger.io.house_file import loads
from airledger.sources import Assumption
from airledger.uncertain import Uncertain
from airledger.units import FOOT, INCH, parse

UNITS_TRIED = {
    "length": ("ft", "in", "m"),
    "area": ("ft2", "m2"),
    "flow": ("cfm", "L/s", "m3/s"),
    "pressure": ("inwc", "Pa"),
    "temperature": ("F", "C"),
    "fraction": ("%",),
    "tightness": ("ach50",),
    "flow at 50 Pa": ("cfm50", "l/s50", "m3/h50"),
    "plain number": ("",),
}
PLAIN = re.compile(r"[^\W\d_][\w.'() &-]*(?:, [\w.'() &-]+)*")
WIDTH = 46
WIDEST = 120


def typed(value: float, dimension: str) -> str:
    """A quantity as a person would type it; reading it gives the same number.

    Parameters
    ----------
    value : float
        the value [SI]
    dimension : str
        a key of `units.UNITS` [-]

    Raises
    ------
    InputError
        no text reads back as this number.
    """
    if dimension == "length" and value >= FOOT:
        feet, inches = divmod(round(value / INCH * 8) / 8, 12)
        text = f"{feet:g} ft {inches:g} in" if inches else f"{feet:g} ft"
        if parse(text, "length") == value:
            return text
    for longest in (4, 17):
        for unit in UNITS_TRIED[dimension]:
            found = _shortest(value, unit, dimension, longest)
            if found:
                return found
    raise InputError(f"{value!r} cannot be written as a {dimension}")


def _shortest(value: float, unit: str, dimension: str, longest: int) -> str:
    """The shortest decimal with a unit that reads back as the value; empty if none is as short as wanted."""
    try:
        one, zero = parse(f"1 {unit}".strip(), dimension), parse(f"0 {unit}".strip(), dimension)
    except QuantityError:
        return ""
    for digits in range(longest + 1):
        text = f"{(value - zero) / (one - zero):.{digits}f} {unit}".strip()
        if parse(text, dimension) == value:
            return text
    return ""


def house_text(house: House, assumed: Iterable[Assumption]) -> str:
    """The house file of a house that `house.from_answers` made.

    Parameters
    ----------
    house : House
        the house [-]
    assumed : iterable of Assumption
        what was assumed on the way: marked at its line [-]

    Raises
    ------
    InputError
        the house says more than answers can, so that its file would not read back as the same house.
    """
    text = _Writer(house, tuple(assumed)).text()
    if loads(text, house.name) != house:
        raise InputError(f"{house.name}: this house says more than ten answers can; its file has to be written by hand")
    return text


def _scalar(text: str) -> str:
    """Words as they stand in a file: plain where that is safe, else in quotes."""
    safe = PLAIN.fullmatch(text) and text == text.strip() and text.lower() not in ("null", "true", "false", "yes", "no")
    return text if safe else json.dumps(text, ensure_ascii=False)


def _range(value: Uncertain, dimension: str) -> str:
    if value.is_exact:
        return typed(value.likely, dimension)
    low, high = typed(value.low, dimension), typed(value.high, dimension)
    text = f"{low.split(' ')[0]} to {high}"
    if value.likely != (value.low + value.high) / 2 or dimension == "plain number":
        text += f" (likely {typed(value.likely, dimension).split(' ')[0]})"
    return text


class _Writer:
    """One house on its way to text."""

    def __init__(self, house: House, assumed: tuple[Assumption, ...]) -> None:
        self.house, self.assumed = house, assumed
        self.lines: list[str] = []

    def say(self, line: str, *paths: str) -> None:
        """Adds a line, with what was assumed under one of the paths behind it."""
        why = next((a.why for path in paths for a in self.assumed if a.path == path), "")
        beside = f"{line:<{WIDTH}}  # assumed: {why}"
        if why and len(beside) > WIDEST:
            self.lines += [f"{line[: len(line) - len(line.lstrip())]}# assumed: {why}", line]
        else:
            self.lines.append(beside if why else line)

    def block(self, line: str) -> None:
        """Adds a heading with an empty line before it."""
        self.lines += ["", line]

    def text(self) -> str:
        house = self.house
        self.lines = [
            f"# {house.name}: from ten plain answers, one room. What was not said is marked assumed.",
            "# Write quantities as you say them: 600 cfm, 7 ft 6 in, -5 Pa, 0.25 inwc. A range: 0.6 to 1.8 ach50.",
            f"house: {_scalar(house.name)}",
        ]
        self.site(house.site)
        self.envelope()
        note = "one open space; write the rooms down to find the shut one that is pulled hardest"
        self.block(f"{'rooms:':<{WIDTH}}  # {note}")
        for room in house.rooms:
            line = f"  {room.name}: {{area: {typed(room.area, 'area')}, ceiling: {typed(room.ceiling, 'length')}}}"
            self.say(line, "rooms / house / ceiling")
        if house.bedrooms is not None:
            self.block(f"people: {{bedrooms: {house.bedrooms}}}")
        self.openings(house.openings)
        self.machines()
        self.states()
        return "\n".join(self.lines) + "\n"

    def site(self, site: Site) -> None:
        self.block("site:")
        if site.place:
            self.lines.append(f"  place: {_scalar(site.place)}")
        self.say(f"  elevation: {typed(site.elevation, 'length')}", "site / elevation")
        for season in site.seasons:
            air = (
                f"{{outdoors: {typed(season.outdoor_temperature, 'temperature')}, "
                f"dew point: {typed(season.outdoor_dew_point, 'temperature')}, "
                f"indoors: {typed(season.indoor_temperature, 'temperature')}, "
                f"humidity: {typed(season.indoor_humidity, 'fraction')}}}"
            )
            self.say(f"  {season.name}: {air}", f"site / {season.name} / outdoors")

    def envelope(self) -> None:
        envelope = self.house.envelope
        dimension = "tightness" if envelope.tightness_unit == "ach50" else "flow at 50 Pa"
        self.block("envelope:")
        self.say(f"  tightness: {_range(envelope.tightness, dimension)}", "envelope / tightness")
        if envelope.exponent is not None:
            self.say(f"  exponent: {_range(envelope.exponent, 'plain number')}", "envelope / exponent")
        if envelope.leaks:
            self.say("  leaks:", "envelope / leaks")
        for leak in envelope.leaks:
            height = typed(leak.height, "length")
            self.lines.append(f"    {leak.name}: {{share: {typed(leak.share, 'fraction')}, height: {height}}}")

    def openings(self, openings: tuple[Opening, ...]) -> None:
        if openings:
            self.block("openings:")
        for door in openings:
            leaf = f"{typed(door.width / INCH, 'plain number')} in x {typed(door.height / INCH, 'plain number')} in"
            between = f"[{', '.join(door.between)}]"
            line = f"  {door.name}: {{between: {between}, leaf: {leaf}, swings: {door.swings}, stands: {door.stands}}}"
            self.say(line, f"openings / {door.name} / swings", f"openings / {door.name} / leaf")

    def machines(self) -> None:
        house = self.house
        if house.ventilator is not None:
            self.ventilator(house.ventilator)
        if house.exhausts:
            self.block("exhausts:")
        for exhaust in house.exhausts:
            self.exhaust(exhaust)
        self.block("make-up air: undecided")
        if house.appliances:
            self.block("appliances:")
        for appliance in house.appliances:
            kind = f"kind: {appliance.kind}, " if appliance.kind else ""
            told = f"{kind}burns: {appliance.burns}, vents: {appliance.vents}, room: {appliance.room}"
            self.say(f"  {appliance.name}: {{{told}}}", f"appliances / {appliance.name} / vents")

    def ventilator(self, unit: Ventilator) -> None:
        self.block("ventilator:")
        self.lines.append(f"  kind: {unit.kind}")
        speeds = ", ".join(f"{speed.name}: {typed(speed.supply, 'flow')}" for speed in unit.speeds)
        paths = ("ventilator / low", "ventilator / boost", "ventilator / supply and exhaust")
        self.say(f"  speeds: {{{speeds}}}", *paths)
        if unit.fan_curve is not None:
            self.say(f"  fan curve: {_curve(unit.fan_curve)}", "ventilator / fan curve")
        for key, shares in (("supplies", unit.supplies), ("takes from", unit.takes_from)):
            told = ", ".join(f"{room}: {typed(share, 'fraction')}" for room, share in shares)
            self.lines.append(f"  {key}: {{{told}}}")

    def exhaust(self, exhaust: Exhaust) -> None:
        told = [f"room: {exhaust.room}"]
        if exhaust.kind in ("exhaust", "open fireplace", "bath fan"):
            told.append(f"kind: {exhaust.kind}")
        if exhaust.not_picked is not None:
            told.append(f"not picked: up to {typed(exhaust.not_picked, 'flow')}")
        if exhaust.speeds:
            speeds = ", ".join(f"{name}: {typed(flow, 'flow')}" for name, flow in exhaust.speeds)
            told.append(f"speeds: {{{speeds}}}")
        if exhaust.vented:
            told.append(f"vented: {exhaust.vented}")
        path = f"exhausts / {exhaust.name}"
        line = f"  {exhaust.name}: {{{', '.join(told)}}}"
        self.say(line, f"{path} / not picked", f"{path} / flow", f"{path} / share of its rating")

    def states(self) -> None:
        if self.house.states:
            self.block(f"{'states:':<{WIDTH}}  # each line says only what differs from how things stand")
        for state in self.house.states:
            told = ", ".join(f"{what}: {how}" for what, how in state.settings)
            self.lines.append(f"  {state.name}: {{{told}}}")


def _curve(curve: FanCurve) -> str:
    points = ", ".join(f"[{typed(flow, 'flow')}, {typed(rise, 'pressure')}]" for flow, rise in curve.points)
    return f"{{at: {curve.at}, points: [{points}]}}"
