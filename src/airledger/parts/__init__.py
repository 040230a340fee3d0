"""Parts as the trade knows them: losses, leakage and defaults by plain names, each with its source.

The numbers stand in the TOML files beside this one. A name that is not there is answered with the nearest that is.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import degrees
from typing import Any

from airledger.errors import OutOfRange, QuantityError
from airledger.sources import Source, table


@dataclass(frozen=True)
class PartValue:
    """A number of a part with where it comes from.

    word: plain name · value, low, high: likely value and range, SI · unit: its SI unit · source: where it comes from.
    """

    word: str
    value: float
    low: float
    high: float
    unit: str
    source: Source


@dataclass(frozen=True)
class ShutLeakage:
    """What a shut flap or damper passes.

    flow: volume flow [m3/s] · pressure: at this pressure difference [Pa] · source: where both come from.
    """

    flow: float
    pressure: float
    source: Source


@dataclass(frozen=True)
class Cap:
    """A cap where a duct meets the outdoors.

    loss: on the duct's velocity, exit included [-] · opens_at: of its flap [Pa] · leaks_shut: shut flap. None: no flap.
    """

    word: str
    loss: PartValue
    opens_at: PartValue | None
    leaks_shut: ShutLeakage | None


@dataclass(frozen=True)
class DamperPart:
    """A damper.

    loss: when open, on the duct's velocity [-] · opens_at: of a gravity damper [Pa] · leaks_shut: None without damper.
    """

    word: str
    loss: PartValue
    opens_at: PartValue | None
    leaks_shut: ShutLeakage | None


@dataclass(frozen=True)
class FilterPart:
    """A filter by its grade: clean and dirty loss [Pa] at the flow it is sized for, exponent of the loss [-]."""

    word: str
    clean: PartValue
    dirty: PartValue
    exponent: PartValue


@dataclass(frozen=True)
class GrillePart:
    """A grille: free area over face area [-], greatest face speed [m/s]."""

    word: str
    free: PartValue
    face_speed: PartValue


def nearest_word(word: str, words: Iterable[str], thing: str) -> str:
    """The word of a list that a typed word means, capitals and spaces aside.

    Parameters
    ----------
    word : str
        word as typed [-]
    words : Iterable[str]
        words that there are [-]
    thing : str
        what the words name, for the message [-]

    Raises
    ------
    QuantityError
        no such word; the message says which there are and which is nearest.
    """
    known = {_plain(known): known for known in words}
    if _plain(word) in known:
        return known[_plain(word)]
    near = difflib.get_close_matches(_plain(word), known, 1, 0.5)
    hint = f"; did you mean {known[near[0]]!r}?" if near else ""
    raise QuantityError(word, f"{thing} is one of {', '.join(sorted(known.values()))}{hint}")


def duct_materials() -> tuple[str, ...]:
    """The duct materials by their first names [-]."""
    return tuple(name for name, entry in table("parts/ducts")["material"].items() if isinstance(entry, dict))


def roughness(material: str) -> PartValue:
    """Absolute roughness of a duct material [m].

    Parameters
    ----------
    material : str
        plain name, for example galvanized, spiral, flex [-]

    Reference: ASHRAE Fundamentals 2021 ch. 21 table 1, PUBLISHED.
    """
    name, entry = _material(material)
    source = Source(table("parts/ducts")["material"]["source"], table("parts/ducts")["material"]["tag"])
    return PartValue(name, entry["value"], entry["low"], entry["high"], "m", source)


def is_flexible(material: str) -> bool:
    """Whether a duct material is flexible, so that lengthwise compression counts [-].

    Parameters
    ----------
    material : str
        plain name [-]
    """
    return "flexible" in _material(material)[1]


def usual_compression() -> PartValue:
    """Lengthwise compression of flexible duct where nothing is said [-]."""
    return _value("compression", table("parts/ducts")["compression"], "-")


def round_sizes() -> tuple[float, ...]:
    """Diameters of round duct that can be bought [m]."""
    return tuple(table("parts/ducts")["round_sizes"]["values"])


def fitting_words() -> tuple[str, ...]:
    """Names of the fittings with one loss coefficient [-]."""
    return tuple(table("parts/fittings")["fixed"])


def fitting_loss(word: str) -> PartValue:
    """Loss coefficient of a fitting that has one, on the velocity in the duct it names [-].

    Parameters
    ----------
    word : str
        plain name, for example flush entry, exit, plain tee [-]
    """
    entries = table("parts/fittings")["fixed"]
    name = nearest_word(word, entries, "a fitting")
    return _value(name, entries[name], "-")


def elbow_words() -> tuple[str, ...]:
    """Names of the elbows [-]."""
    return (*table("parts/fittings")["elbow"], "mitred")


def elbow_loss(turn_angle: float, word: str = "", radius_ratio: float | None = None) -> PartValue:
    """Loss coefficient of an elbow [-].

    Parameters
    ----------
    turn_angle : float
        angle through which the air turns [rad]
    word : str
        kind of elbow; left out, the adjustable elbow of four gores [-]
    radius_ratio : float | None
        radius of the centre line over the diameter; left out, that of the usual elbow, else of its table [-]

    Raises
    ------
    OutOfRange
        a turn past 90 degrees, or a radius that the table does not hold.
    """
    tables = table("parts/fittings")
    name = nearest_word(word or tables["default_elbow"]["word"], elbow_words(), "an elbow")
    turn = degrees(turn_angle)
    if not 0.0 <= turn <= 90.0:
        raise OutOfRange("turn of an elbow", turn, 0.0, 90.0, "degrees")
    if name == "mitred":
        return _tabled("mitred elbow", turn, tables["mitred_elbow"], "turn")
    entry, factor = tables["elbow"][name], tables["turn_factor"]
    usual = tables["default_elbow"]["radius_ratio"]
    known = entry["radius_ratio"]
    ratio = radius_ratio if radius_ratio is not None else min(max(usual, known[0]), known[-1])
    right = _between(ratio, known, entry["values"], "radius of an elbow over its diameter")
    loss = right * _between(turn, factor["turn"], factor["values"], "turn of an elbow")
    source = Source(entry["source"], entry["tag"])
    if turn < 89.9:
        source = Source(f"{entry['source']}; {factor['source']}", factor["tag"])
    return PartValue(f"{name} elbow", loss, loss, loss, "-", source)


def butterfly_loss(closed_angle: float, word: str = "duct") -> PartValue:
    """Loss coefficient of a butterfly damper part-way closed [-].

    Parameters
    ----------
    closed_angle : float
        0 wide open, to 60 degrees closed (in a pipe 5 to 70) [rad]
    word : str
        duct (thin plate) or pipe (valve) [-]
    """
    names = {"duct": "butterfly", "pipe": "pipe_butterfly"}
    entry = table("parts/fittings")[names[nearest_word(word, names, "the place of a butterfly damper")]]
    return _tabled("butterfly damper", degrees(closed_angle), entry, "closed")


def bell_entry_loss(radius_ratio: float) -> PartValue:
    """Loss coefficient of a bellmouth entry [-].

    Parameters
    ----------
    radius_ratio : float
        radius of the bell over the diameter of the duct [-]
    """
    return _tabled("bell entry", radius_ratio, table("parts/fittings")["bell_entry"], "radius_ratio")


def fan_inlet_elbow_loss(straight_ratio: float) -> PartValue:
    """Loss coefficient of a gored elbow close before a fan's inlet [-].

    Parameters
    ----------
    straight_ratio : float
        straight length between elbow and fan over the diameter [-]
    """
    return _tabled("elbow before a fan", straight_ratio, table("parts/fittings")["fan_inlet_elbow"], "straight_ratio")


def screen_loss(free_area_ratio: float, word: str = "wire") -> PartValue:
    """Loss coefficient of a screen in a duct, on the duct's velocity [-].

    Parameters
    ----------
    free_area_ratio : float
        free area over the whole area [-]
    word : str
        wire, square-edged or round-edged [-]
    """
    entries = table("parts/fittings")["screen"]
    name = nearest_word(word, entries, "a screen")
    return _tabled(f"{name} screen", free_area_ratio, entries[name], "free")


def cap(word: str) -> Cap:
    """A cap by its plain name: wall cap, wall cap with flap, roof cap, gooseneck.

    Parameters
    ----------
    word : str
        plain name [-]
    """
    name, entry = _entry("parts/caps", word, "a cap")
    return Cap(name, _value(name, entry["loss"], "-"), _opens_at(name, entry), _leaks_shut(entry))


def damper(word: str) -> DamperPart:
    """A damper by its plain name: motorized, gravity, none.

    Parameters
    ----------
    word : str
        plain name [-]
    """
    name, entry = _entry("parts/dampers", word, "a damper")
    return DamperPart(name, _value(name, entry["loss"], "-"), _opens_at(name, entry), _leaks_shut(entry))


def opening_time(word: str = "motor") -> PartValue:
    """Time that a damper's motor takes from shut to open [s].

    Parameters
    ----------
    word : str
        motor or spring return [-]
    """
    name, entry = _entry("parts/actuators", word, "a damper's motor")
    return _value(name, entry["opening_time"], "s")


def filter_grade(word: str) -> FilterPart:
    """A filter by its grade: merv 6, 8, 11, 13.

    Parameters
    ----------
    word : str
        grade [-]
    """
    name, entry = _entry("parts/filters", word, "a filter's grade")
    exponent = _value("loss of a filter", table("parts/filters")["law"]["exponent"], "-")
    return FilterPart(name, _value(name, entry["clean"], "Pa"), _value(name, entry["dirty"], "Pa"), exponent)


def grille(word: str) -> GrillePart:
    """A grille by its use: supply, pick-up, transfer, make-up, intake.

    Parameters
    ----------
    word : str
        use [-]
    """
    name, entry = _entry("parts/grilles", word, "a grille")
    return GrillePart(name, _value(name, entry["free"], "-"), _value(name, entry["face_speed"], "m/s"))


def _plain(word: str) -> str:
    return " ".join(word.lower().replace("-", " ").replace("_", " ").split())


def _value(word: str, entry: Mapping[str, Any], unit: str) -> PartValue:
    value = entry["value"]
    source = Source(entry["source"], entry["tag"])
    return PartValue(word, value, entry.get("low", value), entry.get("high", value), unit, source)


def _tabled(word: str, place: float, entry: Mapping[str, Any], column: str) -> PartValue:
    value = _between(place, entry[column], entry["values"], f"{column.replace('_', ' ')} of {word}")
    return PartValue(word, value, value, value, "-", Source(entry["source"], entry["tag"]))


def _entry(name: str, word: str, thing: str) -> tuple[str, dict[str, Any]]:
    entries = {entry["word"]: entry for entry in table(name).values() if "word" in entry}
    found = nearest_word(word, entries, thing)
    return found, entries[found]


def _material(material: str) -> tuple[str, dict[str, Any]]:
    entries = {name: entry for name, entry in table("parts/ducts")["material"].items() if isinstance(entry, dict)}
    first_names = {also: name for name, entry in entries.items() for also in (name, *entry["also"])}
    name = first_names[nearest_word(material, first_names, "a duct material")]
    return name, entries[name]


def _opens_at(name: str, entry: Mapping[str, Any]) -> PartValue | None:
    return _value(name, entry["opens_at"], "Pa") if "opens_at" in entry else None


def _leaks_shut(entry: Mapping[str, Any]) -> ShutLeakage | None:
    if "leaks_shut" not in entry:
        return None
    leak = entry["leaks_shut"]
    return ShutLeakage(leak["flow"], leak["pressure"], Source(leak["source"], leak["tag"]))


def _between(place: float, places: Sequence[float], values: Sequence[float], quantity: str) -> float:
    """Value on the straight lines through a table's columns."""
    if not places[0] <= place <= places[-1]:
        raise OutOfRange(quantity, place, places[0], places[-1], "")
    for left, right, low, high in zip(places, places[1:], values, values[1:], strict=False):
        if place <= right:
            share = (place - left) / (right - left) if right > left else 1.0
            return low * (1.0 - share) + high * share
    return values[-1]
