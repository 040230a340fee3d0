"""What blows air out and what burns, as people say it: `hood not picked, up to 1200 cfm; dryer vented`, `gas cooktop`.

Each reader takes the text as typed; what it cannot read is a `QuantityError` that says what may stand there.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from airledger.errors import QuantityError
from airledger.house.answers import Pull, SaidVentilator
from airledger.house.house import Appliance
from airledger.io.answer_words import COUNT_WORDS, NOTHING
from airledger.units import UNITS, parse

LARGEST_FLOW = parse("5000 cfm", "flow")

# word in an item -> (kind, name); the first that fits counts
PULL_WORDS = (
    (("fireplace", "fire place"), "open fireplace", "fireplace"),
    (("dryer", "drier"), "dryer", "dryer"),
    (("bath", "shower", "toilet", "powder"), "bath fan", "bath fan"),
    (("vacuum",), "vacuum", "vacuum"),
    (("hood", "cooktop fan", "range fan", "downdraft"), "hood", "range hood"),
    (("fan", "exhaust"), "exhaust", "exhaust fan"),
)
APPLIANCE_WORDS = (
    (("water heater", "water-heater", "hot water"), "water heater"),
    (("furnace",), "furnace"),
    (("boiler",), "boiler"),
    (("fireplace", "fire place", "gas logs", "gas log"), "fireplace"),
    (("wood stove", "woodstove", "pellet stove", "wood burner"), "wood stove"),
    (("cooktop", "range", "oven", "cook top", "hob", "stove", "cooker"), "cooktop"),
    (("dryer",), "gas dryer"),
    (("space heater", "heater"), "space heater"),
)
FUELS = (("propane", "propane"), ("gas", "gas"), ("oil", "oil"), ("wood", "wood"), ("pellet", "wood"), ("coal", "wood"))
ELECTRIC = ("electric", "heat pump", "heat-pump", "induction", "solar")
VENT_WORDS = (
    (("power vent", "power-vent", "powervent"), "power vent"),
    (("direct vent", "direct-vent", "two pipes", "two-pipe"), "direct vent"),
    (("sealed", "fixed glass"), "sealed"),
    (("fan-assisted", "fan assisted", "induced draft", "induced-draft"), "fan-assisted"),
    (("natural draft", "natural-draft", "atmospheric", "chimney", "gravity", "open", "draft hood"), "natural draft"),
    (("unvented", "vent-free", "vent free", "no vent"), "none"),
)
EXHAUSTS_FORM = (
    "one or more of: hood 600 cfm, hood not picked up to 1200 cfm, dryer vented, dryer heat pump, 2 bath fans 80 cfm, "
    "vacuum 200 cfm, open fireplace; or none"
)
APPLIANCES_FORM = (
    "none, all electric; or one or more of: gas cooktop, gas water heater natural draft, propane furnace sealed, "
    "wood stove, gas fireplace sealed, gas fireplace (how it vents not known)"
)
_Value = TypeVar("_Value", Pull, Appliance)


def ventilator(text: str) -> tuple[SaidVentilator | None, tuple[Pull, ...]]:
    """The ERV or HRV, or the bath fans that do its work, or neither.

    Parameters
    ----------
    text : str
        ERV 70 / 150 cfm, HRV, 3 bath fans 80 cfm, or none [-]

    Raises
    ------
    QuantityError
        neither of these.
    """
    word = " ".join(text.lower().split())
    allowed = "ERV 70 / 150 cfm (low / boost), ERV 150 cfm, HRV, 3 bath fans 80 cfm, or none"
    if word in NOTHING:
        return None, ()
    kind = re.search(r"\b(erv|hrv)\b[,:]?\s*", word)
    if kind:
        return SaidVentilator(kind[1], _flows(word[kind.end() :], text, allowed)), ()
    if "bath" in word:
        return None, exhausts(text)
    raise QuantityError(text, allowed)


def exhausts(text: str) -> tuple[Pull, ...]:
    """Everything that blows air out, said on one line.

    Parameters
    ----------
    text : str
        items with ; or , between them [-]

    Raises
    ------
    QuantityError
        an item is none of the known machines, or its flow does not read.
    """
    if " ".join(text.lower().split()) in NOTHING:
        return ()
    found: list[Pull] = []
    for item in _items(text, tuple(words for words, _, _ in PULL_WORDS), EXHAUSTS_FORM):
        _, kind, name = next(entry for entry in PULL_WORDS if any(word in item for word in entry[0]))
        said = pull(name, kind, item)
        count = _count(item) if said else 1
        found += [said] * count if said else []
    return numbered_pulls(found)


def numbered_pulls(found: list[Pull]) -> tuple[Pull, ...]:
    """The same machines, numbered where two bear the same name.

    Parameters
    ----------
    found : list of Pull
        machines as said [-]
    """
    plain = [replace(said, name=re.sub(r" \d+$", "", said.name)) for said in found]
    return _numbered(plain, lambda said, name: replace(said, name=name))


def pull(name: str, kind: str, text: str) -> Pull | None:
    """One machine that blows air out; None where there is none.

    Parameters
    ----------
    name : str
        what it is called [-]
    kind : str
        its kind [-]
    text : str
        how it is said: 600 cfm, not picked up to 1200 cfm, vented, heat pump, none [-]

    Raises
    ------
    QuantityError
        the flow does not read.
    """
    word = " ".join(text.lower().split())
    if re.search(r"\b(none|no)\b", word):
        return None
    if kind == "open fireplace" and re.search(r"glass|gas|propane|sealed|direct", word):
        return Pull(name, "glass fireplace", vented=_vents(word))
    if kind == "dryer" and re.search(r"heat.pump|ventless|condens|unvented", word):
        return Pull(name, kind, vented="heat pump")
    flows = _flows(word, text, EXHAUSTS_FORM)
    vented = "to outdoors" if kind == "dryer" and "vent" in word else ""
    if re.search(r"not (yet )?(picked|chosen|decided)|undecided|up to", word):
        return Pull(name, kind, not_picked=flows[-1] if flows else parse("1200 cfm", "flow"), vented=vented)
    return Pull(name, kind, flows, vented=vented)


def appliances(text: str) -> tuple[Appliance, ...]:
    """What burns inside, said on one line; what is electric is left out.

    Parameters
    ----------
    text : str
        items with ; or , between them [-]

    Raises
    ------
    QuantityError
        an item is none of the known appliances.
    """
    word = " ".join(text.lower().split())
    if word in NOTHING or re.fullmatch(r"(none[,;]? )?(all[- ])?electric( (house|only))?", word):
        return ()
    found = []
    for item in _items(text, tuple(words for words, _ in APPLIANCE_WORDS), APPLIANCES_FORM):
        if re.match(r"(none|no|nothing)\b", item):
            continue
        name = next(name for words, name in APPLIANCE_WORDS if any(word in item for word in words))
        appliance = _appliance(name, item, text)
        found += [appliance] if appliance else []
    return _numbered(found, lambda appliance, name: replace(appliance, name=name))


def _appliance(name: str, item: str, text: str) -> Appliance | None:
    """One appliance; None where it burns nothing."""
    if any(word in item for word in ELECTRIC):
        return None
    fuel = next((fuel for word, fuel in FUELS if re.search(rf"\b{word}", item)), "")
    if not fuel and name == "fireplace":
        fuel = "wood"
    if not fuel:
        raise QuantityError(text, f"what does the {name} burn? {APPLIANCES_FORM}")
    vents = _vents(item)
    if name == "cooktop" and not vents:
        vents = "none"
    if name == "wood stove" and not vents:
        vents = "natural draft"
    return Appliance(name, name, fuel, vents)


def _vents(item: str) -> str:
    return next((vent for words, vent in VENT_WORDS if any(word in item for word in words)), "")


def _items(text: str, known: tuple[tuple[str, ...], ...], allowed: str) -> list[str]:
    """The items of a line; a piece that names nothing itself belongs to the item before it."""
    pieces = [" ".join(p.lower().split()) for p in re.split(r"[;\n]|,(?!\d{3}(?!\d))|\band\b|\bplus\b", text)]
    items: list[str] = []
    for piece in (piece for piece in pieces if piece):
        names = any(word in piece for words in known for word in words)
        if not names and re.search(r"\b(range|cooktop)\b", piece):
            if any(re.search(rf"\b{fuel}", piece) for fuel, _ in FUELS):
                raise QuantityError(text, f"what burns inside is another question; here: {allowed}")
            continue  # "48 inch range, hood not picked": the range itself blows nothing out
        if names or re.match(r"(none|no|nothing)\b", piece):
            items.append(piece)
        elif "microwave" in piece and allowed == EXHAUSTS_FORM:
            raise QuantityError(text, "a microwave that blows outdoors is a hood: hood 300 cfm; else leave it out")
        elif items:
            items[-1] += f" {piece}"
        else:
            raise QuantityError(text, allowed)
    if not items:
        raise QuantityError(text, allowed)
    return [item for item in items if any(word in item for words in known for word in words)]


def _count(item: str) -> int:
    match = re.match(r"(\d{1,2}|one|two|three|four|five|six)\s+(?!cfm|l/s|m3)", item)
    if not match:
        return 2 if item.startswith(("bath fans", "dryers")) else 1
    return min(12, max(1, COUNT_WORDS.get(match[1]) or int(match[1])))


def _flows(word: str, text: str, allowed: str) -> tuple[float, ...]:
    """The flows named in a phrase, from low to high; numbers borrow the unit that is said after them."""
    rest = re.sub(r"^(\d{1,2})\s+(?=(\w+ )?(bath|dryer|drier|hood|vacuum|fan|exhaust|range)s?)", "", word)
    rest = re.sub(r"\d+(\.\d+)?\s*(-\s*)?(inch(es)?|in|ft|feet|\"|')(?!\w)", "", rest)
    units = "|".join(re.escape(unit) for unit in sorted(UNITS["flow"], key=len, reverse=True))
    flows: list[float] = []
    waiting: list[str] = []
    for number, unit in re.findall(rf"((?:(?<=\s)[-−])?\d[\d,]*\.?\d*(?:e[-+]?\d+)?)\s*({units})?(?!\w)", f" {rest}"):
        waiting.append(number.rstrip(","))
        if unit:
            flows += [parse(f"{said} {unit}", "flow") for said in waiting]
            waiting = []
    if waiting:
        raise QuantityError(text, f"a flow with its unit, for example {waiting[0]} cfm; {allowed}")
    if flows and not 0 < min(flows) <= max(flows) <= LARGEST_FLOW:
        raise QuantityError(text, f"a flow above 0 that a house fan moves, for example 600 cfm; {allowed}")
    return tuple(sorted(set(flows)))


def _numbered(found: list[_Value], renamed: Callable[[_Value, str], _Value]) -> tuple[_Value, ...]:
    """The same things with their names made unique by a number where two would be called alike."""
    names = [thing.name for thing in found]
    seen: dict[str, int] = {}
    made = []
    for thing, name in zip(found, names, strict=True):
        seen[name] = seen.get(name, 0) + 1
        made.append(renamed(thing, f"{name} {seen[name]}") if names.count(name) > 1 else thing)
    return tuple(made)
