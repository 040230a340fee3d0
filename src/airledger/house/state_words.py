"""States in words: what a house file may say is running, and what is refused with what is allowed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from airledger import units
from airledger.errors import InputError, QuantityError
from airledger.house.house import Exhaust, House, MakeUpAir, Opening
from airledger.house.operating_state import (
    ACH50,
    SEASON,
    VENTILATOR_STREAMS,
    WIND_FROM,
    WIND_SPEED,
    Key,
    OperatingState,
    can_move,
    full_flow,
    speeds_of,
    standing_position,
    stop,
    ventilator_settings,
)
from airledger.house.outdoors import DIRECTIONS, seasons

AS_WIRED = "as wired"
"""A make-up opening that comes on with its machine, as the house file says."""


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
    words = _arrangement_words(arrangement)
    if how not in words:
        allowed = ", ".join(words) or "nothing: it has no damper and no fan"
        raise InputError(f"{arrangement.name} is one of: {allowed}; not {how!r}")
    return words[how]


def _arrangement_words(arrangement: MakeUpAir) -> dict[str, tuple[tuple[Key, float], ...]]:
    """What may be said of an arrangement, with what it sets."""
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
    return words


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


@dataclass(frozen=True)
class Switch:
    """A thing that can be one way or another: its name, what it may be, and how it stands when nobody says."""

    name: str
    kind: str
    ways: tuple[str, ...]
    stands: str


def switches(house: House) -> tuple[Switch, ...]:
    """Everything of a house that can be switched, opened or be dirty, machines first; each way is a word of `states:`.

    kind: machine | ventilator | make-up air | door or window | filter | season. A make-up opening that starts with a
    machine stands "as wired".

    Parameters
    ----------
    house : House
        the house [-]
    """
    found = [Switch(e.name, "machine", ("off", *(name for name, _ in speeds_of(e))), "off") for e in house.exhausts]
    if house.ventilator is not None:
        names = tuple(speed.name for speed in house.ventilator.speeds)
        found.append(Switch("ventilator", "ventilator", ("off", *names), names[0]))
    for made in house.make_up_air or ():
        ways = tuple(_arrangement_words(made))
        if ways:
            found.append(Switch(made.name, "make-up air", (AS_WIRED, *ways), AS_WIRED))
    for opening in (opening for opening in house.openings if can_move(opening)):
        at = standing_position(house, opening)
        stands = "open" if at == 1 else "shut" if at == 0 else f"{at * stop(opening) / units.INCH:.3g} in"
        ways = tuple(dict.fromkeys((stands, "shut", "open")))
        found.append(Switch(opening.door or opening.name, "door or window", ways, stands))
    found += [Switch(name, "filter", ("clean", "dirty"), "clean") for name in filter_names(house)]
    names = tuple(season.name for season in seasons(house))
    if len(names) > 1:
        found.append(Switch("season", "season", names, names[0]))
    return tuple(found)
