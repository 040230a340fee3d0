"""Machines that move air, as elements.

Exhausts with their ducts and flaps, the two streams of an ERV or HRV, make-up openings and fans.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from airledger import parts, units
from airledger.errors import InputError
from airledger.house import duct_terms
from airledger.house.elements import Fan, GravityWay, Machine, Orifice, PlainLeak, Spec
from airledger.house.house import OUTDOORS, Exhaust, House, MakeUpAir, Ventilator, VentilatorSpeed
from airledger.house.operating_state import VENTILATOR_STREAMS, Settings, full_flow, speeds_of
from airledger.house.ways import setting
from airledger.physics.fan import FanCurve, fan_curve, fan_flow, rated_fan_curve
from airledger.physics.moist_air import REFERENCE_DENSITY
from airledger.sources import Assumption, Source

Array = NDArray[np.float64]
Made = tuple[list[Spec], list[Assumption]]
Points = tuple[tuple[float, float], ...]

LEAST_STATIC = 1.0
"""Static pressure that a unit's fan must have left for its ducts [Pa]."""

BRANCH_SHARE = 0.5
"""Share of a stream's duct resistance that lies in its branches [-], where no ducts are drawn.

Common practice, no source.
"""

BLOCKED = 1e-3
"""What a blocked stream still passes, as a share of its ducts' open area [-]."""

CORE_LEAKS = (0.00235973721, 25.0)
"""Leakage through each stream of a unit that is off: 5 cfm at 25 Pa [m3/s, Pa], where the file gives none."""

RATING_PRESSURE = 0.4 * 249.0889
"""Static pressure at which a ventilator's flow is rated where no curve is given [Pa]: 0.4 in w.c.

(CSA C439 practice).
"""


def middle(house: House, room: str) -> float:
    """Height [m] of the middle of a room: where openings are taken to be whose height nobody gave.

    Parameters
    ----------
    house : House
        rooms and levels [-]
    room : str
        a room's name [-]
    """
    return house.floor(room) + house.room(room).ceiling / 2


def off(name: str) -> duct_terms.Factor:
    """1 where a machine stands still, else 0.

    Parameters
    ----------
    name : str
        the machine [-]
    """
    return lambda settings: (settings.column(("speed", name), 0.0) <= 0.0).astype(float)


def on(name: str) -> duct_terms.Factor:
    """1 where a machine runs, else 0.

    Parameters
    ----------
    name : str
        the machine [-]
    """
    return lambda settings: (settings.column(("speed", name), 0.0) > 0.0).astype(float)


def exhaust_specs(house: House, exhaust: Exhaust) -> Made:
    """An exhaust: its fan, its duct, its flap.

    With a curve and a run: room, fan, duct, flap, outdoors, with a junction between each two. Taken as holding its
    flow: one element, and
    the flap's shut leakage while it stands still.

    Parameters
    ----------
    house : House
        the house [-]
    exhaust : Exhaust
        the machine [-]

    Raises
    ------
    InputError
        the curve belongs to a speed that is not listed.
    """
    if not speeds_of(exhaust):
        return [], []
    name, room = exhaust.name, exhaust.room
    z = middle(house, room)
    terms = duct_terms.of_exhaust(exhaust) if exhaust.run else None
    assumed = list(terms.assumed) if terms else []
    flap = terms.flap if terms else None
    if exhaust.fan_curve is None:
        why = "no fan curve: taken as holding its flow whatever the house does, the worst case for pressure"
        assumed.append(
            Assumption(f"exhausts / {name} / fan curve", "holds its flow", "", why, Source("stiff fan", "practice"))
        )
        specs: list[Spec] = [
            Machine(name, "exhaust", room, OUTDOORS, z, z, flow=full_flow(exhaust), factor=_speed_and_flow(name))
        ]
        if flap:
            specs.append(
                PlainLeak(
                    f"{name} flap",
                    "exhaust",
                    room,
                    OUTDOORS,
                    z,
                    z,
                    factor=off(name),
                    flow=flap.leak[0],
                    pressure=flap.leak[1],
                )
            )
        return specs, assumed
    if exhaust.fan_curve.at not in dict(speeds_of(exhaust)):
        raise InputError(f"{name}: its curve belongs to {exhaust.fan_curve.at!r}, which is none of its speeds")
    points, guessed = from_no_flow(exhaust.fan_curve.points, f"exhausts / {name} / fan curve")
    assumed += guessed
    curve, speed, size = (
        fan_curve(points),
        setting(("speed", name), 0.0),
        setting(("flow", name), 1.0),
    )
    if terms is None:
        running = on(name)
        return [
            Fan(name, "exhaust", room, OUTDOORS, z, z, curve=curve, speed=speed, factor=lambda s: running(s) * size(s))
        ], assumed
    top = z + terms.rise
    duct, cap = f"{name}/duct", f"{name}/cap"
    specs = [Fan(name, "exhaust", room, duct, z, z, curve=curve, speed=speed, factor=size)]
    if flap is None:
        return [*specs, terms.element(f"{name} duct", "exhaust", (duct, OUTDOORS), (z, top), sought=None)], assumed
    specs.append(terms.element(f"{name} duct", "exhaust", (duct, cap), (z, top), sought=None))
    specs.append(
        GravityWay(
            f"{name} flap", "exhaust", cap, OUTDOORS, top, top, area=terms.area, loss=flap.loss, opens_at=flap.opens_at
        )
    )
    specs.append(
        PlainLeak(f"{name} flap", "exhaust", cap, OUTDOORS, top, top, flow=flap.leak[0], pressure=flap.leak[1])
    )
    return specs, assumed


def _speed_and_flow(name: str) -> duct_terms.Factor:
    speed, flow = setting(("speed", name), 0.0), setting(("flow", name), 1.0)
    return lambda settings: speed(settings) * flow(settings)


def ventilator_specs(house: House, unit: Ventilator) -> Made:
    """The two streams of an ERV or HRV.

    Supply: outdoors, ducts, fan, branches, rooms. Exhaust: rooms, branches, fan, ducts, outdoors.

    Without ducts drawn, the resistance is what makes each stream's fan give its flow with the house at 0 Pa; shares
    set the branches.

    Parameters
    ----------
    house : House
        the house [-]
    unit : Ventilator
        the unit [-]

    Raises
    ------
    InputError
        the fan curve gives no pressure at the flow that is set.
    """
    at, curve, assumed = _ventilator_curve(unit)
    z = (
        middle(house, unit.room)
        if unit.room
        else min(middle(house, room) for room, _ in (*unit.supplies, *unit.takes_from))
    )
    leak = unit.core_leaks or CORE_LEAKS
    if unit.core_leaks is None:
        why = "nothing said about the unit when off: each stream passes a usual shut leakage at 25 Pa"
        assumed.append(
            Assumption(
                "ventilator / off / core leaks",
                CORE_LEAKS[0],
                "m3/s",
                why,
                Source("shut-off leakage of units", "memory"),
            )
        )
    specs: list[Spec] = []
    for stream, shares, rated in (
        (VENTILATOR_STREAMS[0], unit.supplies, at.supply),
        (VENTILATOR_STREAMS[1], unit.takes_from, at.exhaust),
    ):
        supply = stream == VENTILATOR_STREAMS[0]
        outer, inner = (
            ("ventilator/intake", "ventilator/supply") if supply else ("ventilator/outlet", "ventilator/exhaust")
        )
        static = _pressure(curve, rated)
        if static <= LEAST_STATIC:
            raise InputError(
                f"{stream}: its fan curve gives no pressure at {rated / units.CFM:.0f} cfm ({rated * 1000:.0f} L/s): "
                "no duct could be built"
            )
        resistance = static / (REFERENCE_DENSITY * rated**2)
        trunk, branch = (1 - BRANCH_SHARE) * resistance, BRANCH_SHARE * resistance
        ducts = Orifice(
            f"{stream} duct", "ventilator", OUTDOORS if supply else outer, outer if supply else OUTDOORS, z, z,
            factor=_ducts_factor(unit, supply, trunk), area=1 / np.sqrt(2 * trunk),
        )  # fmt: skip
        ends = (outer, inner) if supply else (inner, outer)
        running = on(stream)
        specs += [
            ducts,
            Fan(stream, "ventilator", *ends, z, z, curve=curve, speed=setting(("speed", stream), 0.0), factor=running),
            PlainLeak(f"{stream}, off", "ventilator", *ends, z, z, factor=off(stream), flow=leak[0], pressure=leak[1]),
        ]
        for room, share in shares:
            tail, head = (inner, room) if supply else (room, inner)
            through = f"{stream} to {room}" if supply else f"{stream} from {room}"
            specs.append(Orifice(through, "ventilator", tail, head, z, z, area=share / np.sqrt(2 * branch)))
    why = "no ducts drawn: each stream's ducts take what its fan gives at the set flow, half of it in the branches"
    assumed.append(
        Assumption("ventilator / ducts", BRANCH_SHARE, "-", why, Source("share of duct loss in branches", "practice"))
    )
    return specs, assumed


def _ducts_factor(unit: Ventilator, supply: bool, trunk: float) -> duct_terms.Factor:
    """How much less a stream's ducts pass with a dirty filter, or blocked, than with a clean one [-]."""
    clean, dirty, flow = duct_terms.ventilator_filter(unit, supply)
    more = max(dirty - clean, 0.0) / (REFERENCE_DENSITY * flow**2) / trunk
    dirt = setting(("dirty", "outdoor filter" if supply else "house filter"), 0.0)
    blocked = setting(("blocked", VENTILATOR_STREAMS[0] if supply else VENTILATOR_STREAMS[1]), 0.0)
    return lambda settings: np.where(blocked(settings) > 0, BLOCKED, 1.0) / np.sqrt(1.0 + more * dirt(settings))


def _ventilator_curve(unit: Ventilator) -> tuple[VentilatorSpeed, FanCurve, list[Assumption]]:
    named = {speed.name: speed for speed in unit.speeds}
    if unit.fan_curve is not None and unit.fan_curve.at in named:
        points, guessed = from_no_flow(unit.fan_curve.points, "ventilator / fan curve")
        return named[unit.fan_curve.at], fan_curve(points), guessed
    top = unit.speeds[-1]
    why = "no curve: its top speed is taken at 100 Pa on a curve of the usual shape"
    note = Assumption("ventilator / fan curve", "usual shape", "", why, Source("rated at 100 Pa", "practice"))
    return top, rated_fan_curve(max(top.supply, top.exhaust), RATING_PRESSURE), [note]


def from_no_flow(points: Points, path: str) -> tuple[Points, list[Assumption]]:
    """A fan's points from no flow on: a curve that begins at some flow is led back along a parabola.

    Parameters
    ----------
    points : Points
        flow and pressure rise in rising flow [m3/s, Pa]
    path : str
        where the curve stands in the house file [-]
    """
    (flow, pressure), (more, less) = points[:2]
    if flow == 0:
        return points, []
    shut_off = pressure + (pressure - less) * flow**2 / (more**2 - flow**2)
    why = "the curve begins at some flow: led back to no flow along the parabola through its first two points"
    note = Assumption(f"{path} / shut-off pressure", shut_off, "Pa", why, Source("parabola of a fan", "memory"))
    return ((0.0, shut_off), *points), [note]


def _pressure(curve: FanCurve, flow: float) -> float:
    """Pressure rise [Pa] at which a curve gives a flow, by halving."""
    low, high = curve.knots[0], curve.knots[-1]
    for _ in range(200):
        middle_pressure = 0.5 * (low + high)
        if float(fan_flow(middle_pressure, curve)[0]) > flow:
            low = middle_pressure
        else:
            high = middle_pressure
    return 0.5 * (low + high)


def make_up_specs(house: House, arrangement: MakeUpAir) -> Made:
    """A make-up opening: outdoors, duct run, damper, room; and its fan where it has one.

    Parameters
    ----------
    house : House
        the house [-]
    arrangement : MakeUpAir
        the arrangement [-]

    Raises
    ------
    InputError
        it leads to the air handler, whose ducts come with the duct layout.
    """
    name, room = arrangement.name, arrangement.into
    if room == "air handler return":
        raise InputError(
            f"{name}: make-up air into the air handler's return needs its ducts, which are not reckoned yet"
        )
    z = middle(house, room)
    terms = duct_terms.of_make_up(arrangement)
    there, size = setting(("there", name), 1.0), setting(("size", name), terms.diameter)
    dirty = setting(("dirty", f"{name} filter"), 0.0)
    if arrangement.damper.kind == "none" and arrangement.fan is None:
        run = terms.element(f"{name} duct", "make-up", (OUTDOORS, room), (z, z), sought=size)
        return [replace(run, dirty=dirty, factor=lambda s: 1.0 + 1e9 * (1.0 - there(s)))], list(terms.assumed)
    box = f"{name}/damper"
    run = terms.element(f"{name} duct", "make-up", (OUTDOORS, box), (z, z), sought=size)

    def scale(settings: Settings) -> Array:
        """The damper's open area grows with the duct it sits in."""
        ratio: Array = there(settings) * (size(settings) / terms.diameter) ** 2
        return ratio

    dampers, assumed = _dampers(arrangement, terms.area, (box, room, z), scale)
    specs: list[Spec] = [replace(run, dirty=dirty), *dampers]
    if arrangement.fan is not None:
        flow = max(value for _, value in arrangement.fan.speeds)
        mismatch, blows = setting(("mismatch", name), 1.0), setting(("speed", name), 0.0)
        moved = Machine(f"{name} fan", "make-up", OUTDOORS, room, z, z, flow=flow)
        specs.append(replace(moved, factor=lambda s: there(s) * blows(s) * mismatch(s)))
    return specs, [*terms.assumed, *assumed]


def _dampers(arrangement: MakeUpAir, area: float, place: tuple[str, str, float], scale: duct_terms.Factor) -> Made:
    """The three ways through a make-up damper: its shut leakage, its motorized blade, its gravity blade.

    While its fan blows, the fan takes the place of the open ways.
    """
    name, (box, room, z) = arrangement.name, place
    (leak, opens_at), assumed = _damper_facts(arrangement)
    gravity = setting(("gravity", name), float(arrangement.damper.kind == "gravity"))
    position = setting(("open", name), 1.0 if arrangement.damper.kind == "none" else 0.0)
    blows = setting(("speed", name), 0.0)

    def opened(settings: Settings) -> Array:
        """How far a motorized damper, or a gravity damper stuck open, lets air through."""
        free: Array = np.clip(position(settings), 0.0, 1.0) * scale(settings) * (blows(settings) <= 0.0)
        return free

    def swings(settings: Settings) -> Array:
        """A gravity damper that is free to swing."""
        free: Array = gravity(settings) * (position(settings) == 0.0) * scale(settings) * (blows(settings) <= 0.0)
        return free

    def leaks(settings: Settings) -> Array:
        """Shut leakage; next to nothing where the opening is not built."""
        return np.maximum(scale(settings), 1e-9)

    through, motor, flap = f"{name} damper", parts.damper("motorized").loss, parts.damper("gravity").loss
    return [
        PlainLeak(through, "make-up", box, room, z, z, factor=leaks, flow=leak[0], pressure=leak[1]),
        Orifice(through, "make-up", box, room, z, z, factor=opened, area=area / motor.value**0.5),
        GravityWay(through, "make-up", box, room, z, z, factor=swings, area=area, loss=flap.value, opens_at=opens_at),
    ], assumed


def _damper_facts(arrangement: MakeUpAir) -> tuple[tuple[tuple[float, float], float], list[Assumption]]:
    """Shut leakage (flow [m3/s], pressure [Pa]) and opening pressure [Pa] of a damper, from the file or the parts."""
    damper, path = arrangement.damper, f"make-up air / {arrangement.name} / damper"
    part = parts.damper("gravity" if damper.kind == "gravity" else "motorized")
    flap = parts.damper("gravity")
    leak, opens_at = damper.leaks_shut, damper.opens_at
    assumed = [Assumption(f"{path} / loss", part.loss.value, "-", "loss when open not given", part.loss.source)]
    if leak is None and part.leaks_shut is not None:
        leak = (part.leaks_shut.flow, part.leaks_shut.pressure)
        why = f"not given: at {leak[1]:g} Pa"
        assumed.append(Assumption(f"{path} / leaks shut", leak[0], "m3/s", why, part.leaks_shut.source))
    if opens_at is None and flap.opens_at is not None:
        opens_at = flap.opens_at.value
        if damper.kind == "gravity":
            assumed.append(Assumption(f"{path} / opens at", opens_at, "Pa", "not given", flap.opens_at.source))
    return (leak or (0.0, 25.0), opens_at or 0.0), assumed
