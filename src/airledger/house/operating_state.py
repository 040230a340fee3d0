"""What is running: what is on, open and shut at one moment; words outside, numbers 0 to 1 inside.

A state is a set of settings that differ from how things stand. `Settings` is a batch of states as columns, one array
a setting.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airledger import units
from airledger.errors import InputError, QuantityError
from airledger.house.envelope import ach50, exponent
from airledger.house.house import OUTDOORS, Exhaust, House, MakeUpAir, Opening
from airledger.house.outdoors import DIRECTIONS, seasons

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
        rest = standing(house)
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

    Doors to outdoors and windows stand shut, unless the file says `stands:`; make-up dampers are shut.

    Parameters
    ----------
    house : House
        the house [-]
    """
    rest: dict[Key, float] = {
        ACH50: ach50(house).likely, EXPONENT: exponent(house)[0].likely, SEASON: 0.0,
        WIND_SPEED: house.site.wind.low if house.site.wind else 0.0,
        WIND_FROM: (house.site.wind.direction or 0.0) if house.site.wind else 0.0,
    }  # fmt: skip
    rest.update({("speed", exhaust.name): 0.0 for exhaust in house.exhausts})
    if house.ventilator is not None:
        rest.update(ventilator_settings(house, house.ventilator.speeds[0].name))
    rest.update({("open", opening.name): standing_position(opening) for opening in house.openings if can_move(opening)})
    for arrangement in house.make_up_air or ():
        rest[("open", arrangement.name)] = 1.0 if arrangement.damper.kind == "none" else 0.0
        rest[("speed", arrangement.name)] = 0.0
    return rest


def can_move(opening: Opening) -> bool:
    """Whether an opening can be shut: doors, windows, and clear openings that a door closes.

    Parameters
    ----------
    opening : Opening
        the opening [-]
    """
    return opening.kind in ("door", "window") or bool(opening.door)


def standing_position(opening: Opening) -> float:
    """How far an opening stands open, 0 shut to 1 fully open (a window: its stop) [-].

    Parameters
    ----------
    opening : Opening
        the opening [-]
    """
    if opening.stands_open is not None:
        return min(1.0, opening.stands_open / stop(opening))
    if opening.stands in ("open", "shut"):
        return float(opening.stands == "open")
    return float(OUTDOORS not in opening.between)


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


def read_setting(house: House, what: str, how: str) -> tuple[tuple[Key, float], ...]:
    """One line of a state, `what: how`, as settings.

    Parameters
    ----------
    house : House
        the house that is spoken of [-]
    what : str
        a machine, opening, arrangement, filter, or season, wind, ventilator [-]
    how : str
        a speed's name, off, open, shut, 6 in, stuck shut, dirty, a season's name ... [-]

    Raises
    ------
    InputError
        no such thing, or it cannot be that way; the message says what is allowed.
    """
    how = str(how).strip()
    if what in ("season", "wind", "wind from", "tightness"):
        return _surroundings(house, what, how)
    if what == "ventilator":
        return _ventilator(house, how)
    for found in (_part(house, what, how), _machine_or_opening(house, what, how)):
        if found:
            return found
    raise InputError(f"nothing in this house is called {what!r}; there are: {', '.join(things(house))}")


def _part(house: House, what: str, how: str) -> tuple[tuple[Key, float], ...]:
    """A stream of the ventilator blocked or clear, a filter dirty or clean; nothing if it is neither."""
    if what in VENTILATOR_STREAMS and house.ventilator is not None:
        return ((("blocked", what), _choice(what, how, {"blocked": 1.0, "clear": 0.0})),)
    filters = [name for name in filter_names(house) if what in (name, "filters")]
    return tuple((("dirty", name), _choice(what, how, {"dirty": 1.0, "clean": 0.0})) for name in filters)


def _machine_or_opening(house: House, what: str, how: str) -> tuple[tuple[Key, float], ...]:
    """An exhaust, a door or window, a make-up arrangement; nothing if there is none of that name."""
    for exhaust in house.exhausts:
        if exhaust.name == what:
            return ((("speed", what), _speed(exhaust, how)),)
    for opening in house.openings:
        if what in (opening.name, opening.door) and can_move(opening):
            return ((("open", opening.name), _position(opening, how)),)
    for arrangement in house.make_up_air or ():
        if arrangement.name == what:
            return _arrangement(arrangement, how)
    return ()


def things(house: House) -> tuple[str, ...]:
    """Everything a state may speak of, by name.

    Parameters
    ----------
    house : House
        the house [-]
    """
    names = ["season", "wind", "tightness"]
    if house.ventilator is not None:
        names += ["ventilator", *VENTILATOR_STREAMS]
    names += [exhaust.name for exhaust in house.exhausts]
    names += [opening.door or opening.name for opening in house.openings if can_move(opening)]
    names += [arrangement.name for arrangement in house.make_up_air or ()]
    return (*names, *filter_names(house))


def filter_names(house: House) -> tuple[str, ...]:
    """The filters of a house.

    "outdoor filter" and "house filter" of the ventilator, "<arrangement> filter" of make-up air.

    Parameters
    ----------
    house : House
        the house [-]
    """
    sides = dict(house.ventilator.filters) if house.ventilator else {}
    names = [
        name for side, name in (("outdoor side", "outdoor filter"), ("house side", "house filter")) if side in sides
    ]
    for arrangement in house.make_up_air or ():
        if any(item.kind == "filter" for item in arrangement.run):
            names.append(f"{arrangement.name} filter")
    return tuple(names)


def named_states(house: House) -> tuple[OperatingState, ...]:
    """The states that the file names; where it names none, one for each machine at its top speed.

    Parameters
    ----------
    house : House
        the house [-]

    Raises
    ------
    InputError
        a state speaks of what the house has not.
    """
    if house.states:
        states = []
        for named in house.states:
            try:
                settings = tuple(pair for what, how in named.settings for pair in read_setting(house, what, how))
            except InputError as error:
                raise InputError(f"state {named.name!r}: {error}") from error
            fault = any(word in how for _, how in named.settings for word in ("stuck", "dead", "blocked"))
            states.append(OperatingState(named.name, "fault" if fault else "normal", "as the file says", settings))
        return tuple(states)
    made = [OperatingState("everyday", why="made from how things stand")]
    for exhaust in house.exhausts:
        if speeds_of(exhaust):
            top = max(speeds_of(exhaust), key=lambda speed: speed[1])
            settings = ((("speed", exhaust.name), top[1] / full_flow(exhaust)),)
            made.append(OperatingState(f"{exhaust.name} {top[0]}", why="made from how things stand", settings=settings))
    return tuple(made)


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


def _choice(what: str, how: str, words: Mapping[str, float]) -> float:
    if how not in words:
        raise InputError(f"{what} is one of: {', '.join(words)}; not {how!r}")
    return words[how]


def _speed(exhaust: Exhaust, how: str) -> float:
    speeds = {"off": 0.0, **dict(speeds_of(exhaust))}
    if how in speeds:
        return speeds[how] / max(full_flow(exhaust), 1e-12)
    try:
        flow = units.parse(how, "flow")
    except QuantityError as error:
        raise InputError(
            f"{exhaust.name} is one of: {', '.join(speeds)}, or a flow such as 400 cfm; not {how!r}"
        ) from error
    if not 0 <= flow <= max(speeds.values()) * (1 + 1e-9):
        raise InputError(f"{exhaust.name} moves from 0 to its top speed; {how} is outside")
    return flow / max(full_flow(exhaust), 1e-12)


def _position(opening: Opening, how: str) -> float:
    if how in ("open", "shut"):
        return float(how == "open")
    try:
        distance = units.parse(how, "length")
    except QuantityError as error:
        raise InputError(f"{opening.name} is open, shut, or open by a length such as 6 in; not {how!r}") from error
    if not 0 <= distance <= stop(opening) * (1 + 1e-9):
        raise InputError(f"{opening.name} opens from 0 to {stop(opening) / units.INCH:.3g} in; {how} is outside")
    return distance / stop(opening)


def _arrangement(arrangement: MakeUpAir, how: str) -> tuple[tuple[Key, float], ...]:
    damper, fan = ("open", arrangement.name), ("speed", arrangement.name)
    words: dict[str, tuple[tuple[Key, float], ...]] = {}
    if arrangement.damper.kind == "motorized":
        words = {
            "open": ((damper, 1.0),),
            "shut": ((damper, 0.0),),
            "stuck open": ((damper, 1.0),),
            "stuck shut": ((damper, 0.0), (fan, 0.0)),
        }
    if arrangement.damper.kind == "gravity":
        words = {"stuck shut": ((damper, -1.0),)}
    if arrangement.fan is not None:
        words["fan dead"] = ((fan, 0.0), (damper, 1.0))
    if how not in words:
        allowed = ", ".join(words) or "nothing: it has no damper and no fan"
        raise InputError(f"{arrangement.name} is one of: {allowed}; not {how!r}")
    return words[how]


def _ventilator(house: House, how: str) -> tuple[tuple[Key, float], ...]:
    if house.ventilator is None:
        raise InputError("this house has no ventilator")
    names = ["off", *(speed.name for speed in house.ventilator.speeds)]
    if how not in names:
        raise InputError(f"ventilator is one of: {', '.join(names)}; not {how!r}")
    return tuple(ventilator_settings(house, how).items())


def _surroundings(house: House, what: str, how: str) -> tuple[tuple[Key, float], ...]:
    if what == "season":
        names = [season.name for season in seasons(house)]
        return ((SEASON, _choice(what, how, {name: float(index) for index, name in enumerate(names)})),)
    try:
        if what == "tightness":
            return ((ACH50, units.parse(how, "tightness")),)
        speed, _, origin = how.partition(" from ") if what == "wind" else ("", "", how)
        settings: list[tuple[Key, float]] = [(WIND_SPEED, units.parse(speed, "speed"))] if speed else []
    except QuantityError as error:
        raise InputError(f"{what}: {error}") from error
    if origin:
        settings.append((WIND_FROM, _choice("wind from", origin, DIRECTIONS)))
    return tuple(settings)
