"""What a house file says that is only foolish, or not used yet by this version: told, never passed over."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from airledger.house.house import Duct, House
from airledger.io import build
from airledger.io.checks import untouched
from airledger.io.forms import HouseForm
from airledger.io.marks import Node, Path
from airledger.io.shape_faults import locate
from airledger.units import CFM, FOOT

FASTEST_AIR = 25.0
"""Air speed in a duct past which a caution is due [m/s]; common practice, no source."""


@dataclass(frozen=True)
class Caution:
    """One caution: the line it stands in and what it says."""

    line: int
    text: str


def cautions_of(form: HouseForm, root: Node, text: str) -> tuple[Caution, ...]:
    """The cautions of a file that loads, in its order.

    Parameters
    ----------
    form : HouseForm
        the file's content [-]
    root : Node
        its tree [-]
    text : str
        its text [-]
    """
    found: list[tuple[Path, str]] = [
        *_not_used(form),
        *_left_out(form),
        *_off_curve(form),
        *_fast_ducts(build.house(form)),
    ]
    placed = [Caution(locate(root, path)[1].line, words) for path, words in found] + _cut_names(root, text)
    return tuple(sorted(placed, key=lambda caution: caution.line))


def _not_used(form: HouseForm) -> list[tuple[Path, str]]:
    found: list[tuple[Path, str]] = []
    if form.air_handler is not None:
        found.append((("air handler",), "not used yet: air handler"))
    if form.ventilator is not None and form.ventilator.ducts is not None:
        words = "not used yet: ventilator ducts; its resistance is taken from speeds and curve"
        found.append((("ventilator", "ducts"), words))
    return found


def _left_out(form: HouseForm) -> list[tuple[Path, str]]:
    found: list[tuple[Path, str]] = []
    if form.site.elevation is None:
        found.append((("site",), "no elevation: sea level is taken"))
    for name, room in form.rooms.items():
        if room.kind == "room" and room.ceiling is None and room.volume is None:
            found.append((("rooms", name), f"{name} has no ceiling height: 8 ft (2.44 m) is taken"))
    found += [
        (("rooms", name), f"{name}: nothing leads to it, so it takes no part") for name in untouched(form, inside=False)
    ]
    for name, exhaust in form.exhausts.items():
        if exhaust.kind is None:
            kind = build.exhaust_kind(name, None)
            if kind == "exhaust":
                words = f"{name}: its name does not say what it is: taken as any exhaust; say kind: hood, dryer ..."
                found.append((("exhausts", name), words))
    return found


def _off_curve(form: HouseForm) -> list[tuple[Path, str]]:
    """Machines that are said to move more than their own curve gives against no pressure at all."""
    found: list[tuple[Path, str]] = []
    for name, exhaust in form.exhausts.items():
        curve = exhaust.fan_curve
        if curve is not None and exhaust.speeds:
            (flow, pressure), (most, left) = curve.points[-2:]
            free = most + left * (most - flow) / (pressure - left)  # the last stretch led on straight
            if exhaust.speeds[curve.at] > free:
                said, given = (
                    f"{flow / CFM:,.0f} cfm ({flow * 1000:,.0f} L/s)" for flow in (exhaust.speeds[curve.at], free)
                )
                words = f"{name}: {curve.at} says {said}, its curve gives no more than {given}; which one is right?"
                found.append((("exhausts", name, "fan curve"), words))
    return found


def _fast_ducts(house: House) -> list[tuple[Path, str]]:
    found: list[tuple[Path, str]] = []
    for exhaust in house.exhausts:
        if exhaust.duct is not None and exhaust.speeds:
            found += _fast(("exhausts", exhaust.name, "duct"), exhaust.duct, exhaust.speeds[-1][1])
    for arrangement in house.make_up_air or ():
        if arrangement.fan is not None:
            path: Path = ("make-up air", arrangement.name, "duct")
            found += _fast(path, arrangement.duct, arrangement.fan.speeds[-1][1])
    return found


def _fast(path: Path, duct: Duct, flow: float) -> list[tuple[Path, str]]:
    round_area = math.pi * (duct.diameter or 0.0) ** 2 / 4
    speed = flow / (round_area or (duct.width or 0.0) * (duct.height or 0.0))
    if speed <= FASTEST_AIR:
        return []
    return [
        (
            path,
            f"{path[1]}: {speed:.0f} m/s ({speed / (FOOT / 60):,.0f} fpm) in this duct; is the size right?",
        )
    ]


def _cut_names(root: Node, text: str) -> list[Caution]:
    """Plain words that a ` #` right behind them cuts off, as in `bath #2`."""
    found = []
    for _, node in root.walk():
        if node.kind == "scalar" and node.text is not None and not node.style:
            match = re.match(r" #(?=\S)[^\n]*", text[node.end : node.end + 80])
            if match:
                words = (
                    f"{node.text[:40]!r} ends before the #, the rest is read as a remark; is it a name? Then use quotes"
                )
                found.append(Caution(node.line, words))
    return found
