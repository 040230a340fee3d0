"""A second derivation of a house: plain numbers and scipy, no `airledger.physics`, no `airledger.house.assemble`.

    Witness(house, "cooking", walls).solved()       pressures of one state of the file

What it shares with the package is the published law of each element and the reading of the file. It works with
absolute pressures where the package works with heads above undisturbed outdoors (witness_balance.py).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import psychrolib
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from airledger.house.house import House, Opening
from tests.published.witness_balance import OUT, Balance, Way
from tests.published.witness_laws import (
    CRACK,
    SHARP,
    STANDARD,
    STANDARD_DENSITY,
    Air,
    Law,
    blade_law,
    fan_law,
    hole_law,
    leak_law,
    run_law,
)

INCH, MPH = 0.0254, 0.44704
MOTOR_BLADE, GRAVITY_BLADE = 0.20, 2.0  # losses of open dampers, parts/dampers.toml
COMPASS = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}
PROFILE = {  # ASHRAE Fundamentals 2021 ch. 24 table 1: exponent, thickness
    "open fields": (0.14, 270.0), "houses and trees": (0.22, 370.0), "tall buildings": (0.33, 460.0),
    "shore": (0.10, 210.0),
}  # fmt: skip
Walls = Mapping[str, Mapping[str, float]]


class Witness(Balance):
    """One state of a house file; with `test` the house as it stood during the blower-door test, at -50 Pa."""

    def __init__(self, house: House, state: str, walls: Walls | None = None, test: bool = False) -> None:
        self.house, self.walls, self.test = house, walls or {}, test
        self.says = {} if test else dict(next(s.settings for s in house.states if s.name == state))
        self.rooms = [room.name for room in house.rooms]
        self.inside = [room.name for room in house.rooms if room.kind == "room"]
        self.airs = self._airs()
        self.heights = {OUT: 0.0} | {name: house.floor(name) for name in self.rooms}
        self.wind_speed, self.wind_from = self._wind()
        self.ways: list[Way] = [] if test else self._leaks()
        self._vents()
        for opening in house.openings:
            self._opening(opening)
        self._exhausts()
        self._ventilator()
        self._make_up()
        for way in self.ways:
            for name, z in ((way.tail, way.z_tail), (way.head, way.z_head)):
                self.heights.setdefault(name, z)

    # -- what surrounds and fills the house ------------------------------------------------------------------------

    def _airs(self) -> dict[str, Air]:
        house = self.house
        if self.test or not house.site.seasons:
            still = STANDARD if self.test else Air.at(20.0, 0.0, self._barometer())
            return dict.fromkeys([OUT, *self.rooms, "house air", "core in", "core out"], still)
        seasons = {season.name: season for season in house.site.seasons}
        season = seasons[self.says.get("season", house.site.seasons[0].name)]
        barometer = self._barometer()
        wet_out = psychrolib.GetHumRatioFromTDewPoint(season.outdoor_dew_point, barometer)
        wet_in = psychrolib.GetHumRatioFromRelHum(season.indoor_temperature, season.indoor_humidity, barometer)
        airs = {OUT: Air.at(season.outdoor_temperature, wet_out, barometer)}
        indoor = Air.at(season.indoor_temperature, wet_in, barometer)
        for room in house.rooms:
            own = dict(room.air).get(season.name)
            wet = wet_out if room.air_as == "outdoors" else wet_in
            usual = airs[OUT] if room.air_as == "outdoors" else indoor
            airs[room.name] = usual if own is None else Air.at(own, wet, barometer)
        airs["house air"] = indoor
        unit = house.ventilator
        if unit is not None:
            warm, damp = (unit.recovery.sensible, unit.recovery.latent) if unit.recovery else (0.0, 0.0)
            for name, share, wet_share in (("core in", warm, damp), ("core out", 1 - warm, 1 - damp)):
                celsius = season.outdoor_temperature + share * (season.indoor_temperature - season.outdoor_temperature)
                airs[name] = Air.at(celsius, wet_out + wet_share * (wet_in - wet_out), barometer)
        return airs

    def _barometer(self) -> float:
        return float(psychrolib.GetStandardAtmPressure(self.house.site.elevation))

    def air(self, node: str) -> Air:
        owner, _, part = node.partition("/")
        if self.test:
            return STANDARD
        if not part:
            return self.airs[node]
        if owner == "ventilator":
            names = {"intake": OUT, "supply": "core in", "exhaust": "house air", "outlet": "core out"}
            return self.airs[names[part]]
        rooms = {exhaust.name: exhaust.room for exhaust in self.house.exhausts}
        return self.airs[rooms.get(owner, OUT)]

    def _wind(self) -> tuple[float, float]:
        words = self.says.get("wind", "")
        if not words or self.test:
            return 0.0, 0.0
        speed, origin = words.split(" mph from ")
        top = max(self.house.floor(n) + self.house.room(n).ceiling for n in self.inside)
        power, thickness = PROFILE[self.house.site.surroundings]
        station = (270.0 / 10.0) ** 0.14
        return float(speed) * MPH * station * (top / thickness) ** power, COMPASS[origin]

    def wind_on(self, facing: float) -> float:
        """Wind pressure on a wall that faces a compass direction: Walker and Wilson 1994."""
        angle = math.radians(self.wind_from - facing)
        c, s = math.cos(angle), math.sin(angle)
        c = 0.0 if abs(c) < 1e-15 else c
        front, back, side = 0.6, -0.3, -0.65
        cp = (front + back) * (c * c) ** 0.25 + (front - back) * math.copysign(abs(c) ** 0.75, c) + 2 * side * s**4
        return 0.5 * cp * 0.5 * self.airs[OUT].density * self.wind_speed**2

    # -- laws ------------------------------------------------------------------------------------------------------

    def ends(self, tail: str, head: str) -> tuple[Air, Air]:
        return self.air(tail), self.air(head)

    def shut(self, leak: tuple[float, float], tail: str, head: str) -> Law:
        return leak_law(leak[0] / leak[1] ** CRACK, CRACK, self.ends(tail, head))

    def hole(self, area: float, tail: str, head: str, discharge: float = SHARP) -> Law:
        return hole_law(area * discharge, self.ends(tail, head))

    def add(self, through: str, tail: str, head: str, z: float, law: Law, **more: object) -> None:
        z_head = more.pop("z_head", z)
        self.ways.append(Way(through, tail, head, z, z_head, law, **more))  # type: ignore[arg-type]

    def middle(self, room: str) -> float:
        return self.house.floor(room) + self.house.room(room).ceiling / 2

    def taped(self, name: str) -> bool:
        return self.test and name in self.house.envelope.taped

    # -- the parts of the house ------------------------------------------------------------------------------------

    def _leaks(self) -> list[Way]:
        envelope, house = self.house.envelope, self.house
        volume = envelope.volume or sum(
            house.room(n).volume or house.room(n).area * house.room(n).ceiling for n in self.inside
        )
        said = self.says.get("tightness")
        tested = envelope.tightness.likely if said is None else float(said.split()[0])
        tested = tested * volume / 3600 if envelope.tightness_unit == "ach50" or said else tested
        power = envelope.exponent.likely
        size = (tested - Witness(house, "", self.walls, test=True).held()) / 50**power
        made = []
        for leak in envelope.leaks:
            names = leak.rooms or tuple(self.inside)
            sides = {n: self.walls.get(n) or {"": 4 * math.sqrt(house.room(n).area)} for n in names}
            whole = sum(sum(side.values()) for side in sides.values())
            for name, side in sides.items():
                for facing, length in side.items():
                    z = house.floor(name) + leak.height
                    law = leak_law(size * leak.share * length / whole, power, self.ends(leak.to, name))
                    blown = self.wind_on(COMPASS[facing]) if facing and leak.to == OUT else 0.0
                    made.append(Way(leak.name, leak.to, name, z, z, law, wind=blown))
        return made

    def _vents(self) -> None:
        for room in self.house.rooms:
            if room.kind != "room":
                law = self.hole(room.vents, OUT, room.name)
                self.add(f"{room.name} vents", OUT, room.name, self.middle(room.name), law)

    def _opening(self, opening: Opening) -> None:
        one, other = opening.between
        name = opening.door or opening.name
        floors = [self.house.floor(n) for n in (one, other) if n != OUT]
        floor = max(floors) if opening.lies_flat else floors[0]
        tall = opening.height
        if opening.kind == "window":
            tall = opening.opens_up_to if opening.opens_up_to is not None else opening.height / 2
        outer = OUT in (one, other)
        inner_door = all(n in self.inside for n in (one, other))
        movable = opening.kind in ("door", "window") or bool(opening.door)
        said = self.says.get(name, opening.stands or ("open" if inner_door else "shut")) if movable else "open"
        if self.test and outer:
            said = "shut"
        if said.endswith(" in"):
            position = float(said[:-3]) * INCH / (tall if opening.kind == "window" else opening.width)
        else:
            position = 1.0 if said == "open" else 0.0
        blown = self.wind_on(COMPASS[opening.faces]) if outer and opening.faces else 0.0
        area = position * opening.width * tall * (opening.free if opening.kind == "grille" else 1.0)
        thirds = [0.5] if opening.kind == "grille" else [1 / 6, 0.5, 5 / 6]
        if area > 0 and not self.taped(name):
            for part in thirds:
                z = floor + (0.0 if opening.lies_flat else opening.sill + part * tall)
                self.add(opening.name, one, other, z, self.hole(area / len(thirds), one, other), wind=blown)
        if movable and opening.kind != "window" and not outer and (inner_door or opening.undercut is not None):
            law = self.hole(opening.width * (opening.undercut or 0.75 * INCH), one, other)
            self.add(f"{name} undercut", one, other, floor, law)

    def _exhausts(self) -> None:
        for exhaust in self.house.exhausts:
            speeds = {"off": 0.0, **dict(exhaust.speeds)}
            flow = speeds["off" if self.test else self.says.get(exhaust.name, "off")]
            name, room, z = exhaust.name, exhaust.room, self.middle(exhaust.room)
            if self.taped(name):
                continue
            if exhaust.fan_curve is None:
                self.add(name, room, OUT, z, lambda _, f=flow, n=room: f * self.air(n).dry)
                continue
            share = flow / speeds[exhaust.fan_curve.at]
            duct, cap = f"{name}/duct", f"{name}/cap"
            self.add(name, room, duct, z, fan_law(exhaust.fan_curve.points, share, self.ends(room, duct)))
            top = z + sum(item.rise for item in exhaust.run)
            flaps = [item for item in exhaust.run if item.flap is not None]
            end = cap if flaps else OUT
            law = run_law(exhaust.duct, exhaust.run, False, self.ends(duct, end))
            self.add(f"{name} duct", duct, end, z, law, z_head=top, filled=duct)
            for item in flaps:
                area = math.pi / 4 * exhaust.duct.diameter**2
                blade = blade_law(area, item.loss, item.flap.opens_at, self.air(cap))
                shut = self.shut(item.flap.leaks_shut, cap, OUT)
                self.add(f"{name} flap", cap, OUT, top, lambda x, b=blade, s=shut: b(x) + s(x))

    def _ventilator(self) -> None:
        unit = self.house.ventilator
        if unit is None or self.taped("ventilator"):
            return
        speeds = {speed.name: speed for speed in unit.speeds}
        at, said = speeds[unit.fan_curve.at], "off" if self.test else self.says.get("ventilator", unit.speeds[0].name)
        points = unit.fan_curve.points
        curve = PchipInterpolator([p for _, p in reversed(points)], [q for q, _ in reversed(points)])
        z = min(self.middle(n) for n, _ in (*unit.supplies, *unit.takes_from))
        z = self.middle(unit.room) if unit.room else z
        for side, shares in (("supply", unit.supplies), ("exhaust", unit.takes_from)):
            supply, stream = side == "supply", f"ventilator {side}"
            outer, inner = f"ventilator/{'intake' if supply else 'outlet'}", f"ventilator/{side}"
            rated = getattr(at, side)
            static = brentq(lambda p, q=rated: float(curve(p)) - q, points[-1][1], points[0][1], xtol=1e-13)
            half = (
                0.5 * static / (STANDARD_DENSITY * rated**2)
            )  # P/rho per Q^2: half in the trunk, half in the branches
            drop = dict(unit.filters).get("outdoor side" if supply else "house side")
            trunk = half
            if drop is not None and self.says.get("outdoor filter" if supply else "house filter") == "dirty":
                assert drop.dirty[1] == drop.clean[1], "the witness reads both drops at one flow"
                trunk += (drop.dirty[0] - drop.clean[0]) / (STANDARD_DENSITY * drop.clean[1] ** 2)
            passes = 1e-3 if self.says.get(stream) == "blocked" else 1.0
            ends = (OUT, outer) if supply else (outer, OUT)
            self.add(f"{stream} duct", *ends, z, self.hole(passes / math.sqrt(2 * trunk), *ends, 1.0))
            through = (outer, inner) if supply else (inner, outer)
            if said == "off":
                self.add(f"{stream}, off", *through, z, self.shut(unit.core_leaks, *through))
            else:
                share = getattr(speeds[said], side) / rated
                self.add(stream, *through, z, fan_law(points, share, self.ends(*through)))
            for room, part in shares:
                ends = (inner, room) if supply else (room, inner)
                word = f"{stream} {'to' if supply else 'from'} {room}"
                self.add(word, *ends, z, self.hole(part / math.sqrt(2 * half), *ends, 1.0))

    def _make_up(self) -> None:
        running = {e.name: "off" if self.test else self.says.get(e.name, "off") for e in self.house.exhausts}
        for made in self.house.make_up_air or ():
            if self.taped(made.name):
                continue
            name, z, box = made.name, self.middle(made.into), f"{made.name}/damper"
            said = self.says.get(name, "")
            starts = any(_starts(self.house, running, exhaust, words) for exhaust, words in made.starts_with)
            fan_on = made.fan is not None and starts and said not in ("stuck shut", "fan dead")
            dirty = self.says.get(f"{name} filter") == "dirty"
            if made.damper.kind == "none" and made.fan is None:
                self.add(
                    f"{name} duct", OUT, made.into, z, run_law(made.duct, made.run, dirty, self.ends(OUT, made.into))
                )
                continue
            self.add(f"{name} duct", OUT, box, z, run_law(made.duct, made.run, dirty, self.ends(OUT, box)))
            area = math.pi / 4 * made.duct.diameter**2 if made.duct.diameter else made.duct.width * made.duct.height
            laws = [self.shut(made.damper.leaks_shut, box, made.into)]
            is_open = said in ("open", "stuck open", "fan dead") or (starts and said not in ("stuck shut", "shut"))
            if made.damper.kind == "motorized" and is_open and not fan_on:
                laws.append(self.hole(area / math.sqrt(MOTOR_BLADE), box, made.into, 1.0))
            if made.damper.kind == "gravity" and said != "stuck shut" and not fan_on:
                laws.append(blade_law(area, GRAVITY_BLADE, made.damper.opens_at, self.air(box)))
            self.add(f"{name} damper", box, made.into, z, lambda x, laws=tuple(laws): sum(law(x) for law in laws))
            if fan_on:
                flow = max(value for _, value in made.fan.speeds) * self.air(OUT).dry
                self.add(f"{name} fan", OUT, made.into, z, lambda _, f=flow: f)

    def held(self) -> float:
        """What the openings pass while every room stands at -50 Pa, in standard air [m3/s]."""
        gauge = self.solved()
        flows = self.flows(gauge)
        return sum(
            flow / STANDARD_DENSITY * ((end in self.inside) - (start in self.inside))
            for (_, start, end), flow in flows.items()
        )


def _starts(house: House, running: Mapping[str, str], exhaust: str, words: str) -> bool:
    """Whether a make-up arrangement starts: its exhaust runs at the speed that is named, or above."""
    if running[exhaust] == "off":
        return False
    speeds = dict(next(e.speeds for e in house.exhausts if e.name == exhaust))
    least = speeds.get(words.removesuffix(" and up"), 0.0)
    return speeds[running[exhaust]] >= least
