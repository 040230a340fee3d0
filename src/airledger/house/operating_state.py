"""What is running: what is on, open and shut at one moment; words outside, numbers 0 to 1 inside.

A state is a set of settings that differ from how things stand. `Settings` is a batch of states as columns, one array
a setting.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger.house.envelope import ach50, exponent
from airledger.house.house import OUTDOORS, Exhaust, House, Opening

Array = NDArray[np.float64]
Key = tuple[str, str]
"""A setting: (kind, name). Kinds: speed, open, dirty, blocked, flow, size, gravity, there, mismatch, house."""

VENTILATOR_STREAMS = ("ventilator supply", "ventilator exhaust")
ACH50: Key = ("house", "ach50")
EXPONENT: Key = ("house", "exponent")
SEASON: Key = ("house", "season")
WIND_SPEED: Key = ("house", "wind speed")
WIND_FROM: Key = ("house", "wind from")


@dataclass(frozen=True)
class OperatingState:
    """One state.

    Kind: normal | fault; why: words, for a fault or a state that was found; settings that differ from how things stand.
    """

    name: str
    kind: str = "normal"
    why: str = ""
    settings: tuple[tuple[Key, float], ...] = ()


@dataclass(frozen=True)
class Settings:
    """A batch of states as columns: key -> array of `size` values.

    What no column names stands as `standing(house)` says.
    """

    columns: Mapping[Key, Array]
    size: int
    names: tuple[str, ...] = ()

    @classmethod
    def of(cls, house: House, states: Iterable[OperatingState]) -> Settings:
        """The states as one batch.

        Parameters
        ----------
        house : House
            gives what stands where a state says nothing [-]
        states : Iterable[OperatingState]
            any number of states [-]
        """
        listed = tuple(states)
        given = [dict(state.settings) for state in listed]
        rest = standing(house) | as_built(house)
        keys = dict.fromkeys(key for entry in given for key in entry)
        follows = {(kind, made.name) for made in house.make_up_air or () for kind in ("open", "speed")}
        unsaid = {
            key: np.nan if key in follows else rest.get(key, 0.0) for key in keys
        }  # an interlock fills what is not a number
        columns = {key: np.array([entry.get(key, unsaid[key]) for entry in given]) for key in keys}
        return cls(interlocked(house, columns, len(listed)), len(listed), tuple(state.name for state in listed))

    def with_(self, columns: Mapping[Key, Array | float]) -> Settings:
        """The same states with some columns replaced.

        Parameters
        ----------
        columns : Mapping[Key, Array | float]
            the new columns; one number serves all states [-]
        """
        widened = {key: np.broadcast_to(np.asarray(value, dtype=float), (self.size,)) for key, value in columns.items()}
        return Settings({**self.columns, **widened}, self.size, self.names)

    def of_rows(self, rows: NDArray[np.intp]) -> Settings:
        """Some of the states.

        Parameters
        ----------
        rows : NDArray[np.intp]
            which states [-]
        """
        names = tuple(self.names[row] for row in rows) if self.names else ()
        return Settings({key: value[rows] for key, value in self.columns.items()}, len(rows), names)

    def column(self, key: Key, default: float) -> Array:
        """One setting of every state.

        Parameters
        ----------
        key : Key
            which setting [-]
        default : float
            the value where no column names it [same as the setting]
        """
        value = self.columns.get(key)
        return np.full(self.size, default) if value is None else np.asarray(value, dtype=float)

    def state(self, row: int, name: str, kind: str = "normal", why: str = "") -> OperatingState:
        """One state of the batch as a value.

        Parameters
        ----------
        row : int
            which state [-]
        name : str
            what to call it [-]
        kind : str
            normal or fault [-]
        why : str
            why it is looked at [-]
        """
        return OperatingState(name, kind, why, tuple((key, float(value[row])) for key, value in self.columns.items()))


def speeds_of(exhaust: Exhaust) -> tuple[tuple[str, float], ...]:
    """The speeds of an exhaust by name with their rated flow [m3/s]; a machine not picked yet is taken at its largest.

    Parameters
    ----------
    exhaust : Exhaust
        the machine [-]
    """
    if exhaust.vented == "heat pump":
        return ()
    if exhaust.speeds:
        return exhaust.speeds
    if exhaust.not_picked is not None:
        return (("high", exhaust.not_picked),)
    return (("on", exhaust.rated[0]),) if exhaust.rated else ()


def full_flow(exhaust: Exhaust) -> float:
    """Rated flow [m3/s] at speed 1: that of the curve's own speed, else of the top speed.

    Parameters
    ----------
    exhaust : Exhaust
        the machine [-]
    """
    speeds = dict(speeds_of(exhaust))
    if exhaust.fan_curve is not None and exhaust.fan_curve.at in speeds:
        return speeds[exhaust.fan_curve.at]
    return max(speeds.values(), default=0.0)


def standing(house: House) -> dict[Key, float]:
    """How things stand when nothing is said: the ventilator at its first speed, other machines off, inner doors open.

    Doors to outdoors and windows stand shut, unless the file says `stands:`; make-up dampers are shut; the air is calm.

    Parameters
    ----------
    house : House
        the house [-]
    """
    rest: dict[Key, float] = {
        ACH50: ach50(house).likely, EXPONENT: exponent(house)[0].likely, SEASON: 0.0,
        WIND_SPEED: 0.0, WIND_FROM: (house.site.wind.direction or 0.0) if house.site.wind else 0.0,
    }  # fmt: skip
    rest.update({("speed", exhaust.name): 0.0 for exhaust in house.exhausts})
    if house.ventilator is not None:
        rest.update(ventilator_settings(house, house.ventilator.speeds[0].name))
    rest.update(
        {("open", opening.name): standing_position(house, opening) for opening in house.openings if can_move(opening)}
    )
    for arrangement in house.make_up_air or ():
        rest[("open", arrangement.name)] = 1.0 if arrangement.damper.kind == "none" else 0.0
        rest[("speed", arrangement.name)] = 0.0
    return rest


def as_built(house: House) -> dict[Key, float]:
    """What the file builds and only a search changes, where a state says nothing of it.

    A make-up opening is there, as wide as its duct, its flap free if it has one; fans move what they should.

    Parameters
    ----------
    house : House
        the house [-]
    """
    built: dict[Key, float] = {("flow", exhaust.name): 1.0 for exhaust in house.exhausts}
    for made in house.make_up_air or ():
        duct = made.duct
        sides = (duct.width or 0.0, duct.height or 0.0)
        round_as = 2 * sides[0] * sides[1] / sum(sides) if all(sides) else 0.0  # hydraulic: 4 A / perimeter
        built["size", made.name] = duct.diameter if duct.diameter is not None else round_as
        built["there", made.name] = built["mismatch", made.name] = 1.0
        built["gravity", made.name] = float(made.damper.kind == "gravity")
    return built


def can_move(opening: Opening) -> bool:
    """Whether an opening can be shut: doors, windows, and clear openings that a door closes.

    Parameters
    ----------
    opening : Opening
        the opening [-]
    """
    return opening.kind in ("door", "window") or bool(opening.door)


def standing_position(house: House, opening: Opening) -> float:
    """How far an opening stands open, 0 shut to 1 fully open (a window: its stop) [-].

    Where the file is silent, openings between rooms stand open; those to outdoors, garage, attic or crawl space shut.

    Parameters
    ----------
    house : House
        tells rooms from buffer spaces [-]
    opening : Opening
        the opening [-]
    """
    if opening.stands_open is not None:
        return min(1.0, opening.stands_open / stop(opening))
    if opening.stands in ("open", "shut"):
        return float(opening.stands == "open")
    return float(all(name != OUTDOORS and house.room(name).kind == "room" for name in opening.between))


def stop(opening: Opening) -> float:
    """How far a window opens at most, or the width of a door [m].

    Parameters
    ----------
    opening : Opening
        the opening [-]
    """
    if opening.kind == "window":
        return opening.opens_up_to if opening.opens_up_to is not None else opening.height / 2
    return opening.width


def ventilator_settings(house: House, speed: str) -> dict[Key, float]:
    """Speeds of the two streams at a named speed of the ventilator, as shares of the flow at the curve's own speed [-].

    Parameters
    ----------
    house : House
        a house with a ventilator [-]
    speed : str
        the name of a speed, or off [-]
    """
    unit = house.ventilator
    if unit is None or speed == "off":
        return dict.fromkeys((("speed", stream) for stream in VENTILATOR_STREAMS), 0.0)
    named = {entry.name: entry for entry in unit.speeds}
    at = unit.fan_curve.at if unit.fan_curve and unit.fan_curve.at in named else unit.speeds[-1].name
    return {
        ("speed", VENTILATOR_STREAMS[0]): named[speed].supply / named[at].supply,
        ("speed", VENTILATOR_STREAMS[1]): named[speed].exhaust / named[at].exhaust,
    }


def interlocked(house: House, columns: Mapping[Key, Array], size: int) -> dict[Key, Array]:
    """The columns with what the machines switch: make-up dampers and fans follow the exhausts they start with.

    A damper or fan that a state already names stays as named: that is how a fault is said.

    Parameters
    ----------
    house : House
        its make-up arrangements and their `starts with` [-]
    columns : Mapping[Key, Array]
        columns of a batch; a state that says nothing of a damper has not-a-number there [-]
    size : int
        number of states in the batch [-]
    """
    filled = dict(columns)
    exhausts = {exhaust.name: exhaust for exhaust in house.exhausts}
    for arrangement in house.make_up_air or ():
        runs = np.zeros(size)
        for name, from_speed in arrangement.starts_with:
            speed = np.broadcast_to(columns.get(("speed", name), np.zeros(size)), (size,))
            runs = np.maximum(runs, (speed >= _threshold(exhausts[name], from_speed) - 1e-9).astype(float))
        follows = {
            "open": runs if arrangement.damper.kind == "motorized" else None,
            "speed": runs if arrangement.fan else None,
        }
        for kind, following in follows.items():
            said = filled.get((kind, arrangement.name))
            rest = float(kind == "open" and arrangement.damper.kind == "none") if following is None else following
            if said is not None or following is not None:
                given = np.full(size, np.nan) if said is None else np.asarray(said, dtype=float)
                filled[kind, arrangement.name] = np.where(np.isnan(given), rest, given)
    return filled


def _threshold(exhaust: Exhaust, from_speed: str) -> float:
    speeds = dict(speeds_of(exhaust))
    first = from_speed.removesuffix(" and up")
    if first in speeds:
        return speeds[first] / full_flow(exhaust)
    return max(min(speeds.values(), default=1.0) / max(full_flow(exhaust), 1e-12) * 1e-6, 1e-8)  # any speed: on at all
