"""Any rule by its name: what it asks, by which section, how sure we are of it, its formula without numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from airledger.rules.jurisdictions import Jurisdiction
from airledger.sources import Source, table


@dataclass(frozen=True)
class Entry:
    """One rule of a table. subject: what it is about; says: what it asks, in the rule's own units; source, tag."""

    key: str
    subject: str
    title: str
    cited: str
    says: str
    source: Source


def entries() -> tuple[Entry, ...]:
    """Every rule of every table.

    Reference
    ---------
    rules/tables/*.toml, each entry with its source and tag.
    """
    return tuple(entry for made in _MADE for entry in made())


def named(name: str) -> tuple[Entry, ...]:
    """The rules whose key, title or section holds a name; those of exactly that key first.

    Parameters
    ----------
    name : str
        as typed [-]
    """
    wanted = " ".join(name.lower().split())
    exact = tuple(entry for entry in entries() if entry.key.lower() == wanted)
    if exact:
        return exact
    return tuple(
        entry for entry in entries() if wanted in f"{entry.key} {entry.title} {entry.cited} {entry.subject}".lower()
    )


def holding(place: Jurisdiction) -> tuple[Entry, ...]:
    """The rules that hold in a place, as far as it was looked up.

    Parameters
    ----------
    place : Jurisdiction
        the place [-]
    """
    by_subject = {WHOLE: place.rates, LOCAL: place.local, MAKE_UP: place.rules}
    return tuple(
        entry
        for entry in entries()
        if entry.key in by_subject.get(entry.subject, ()) or entry.key.partition(",")[0] in place.tables
    )


WHOLE, LOCAL, MAKE_UP = "outdoor air all day", "local exhaust", "make-up air"
BY_ROOM, DUCT, BURNERS, FAN_TEST, METER = "air by the room", "exhaust duct", "air for burners", "fan test", "instrument"


def _source(entry: Mapping[str, Any]) -> Source:
    return Source(str(entry["source"]), str(entry["tag"]))


def _rates() -> Iterator[Entry]:
    whole = table("rules/tables/whole_house_rates")
    for entry in whole["rate"]:
        cited = f"{entry['code']} {entry['section']}, edition {entry['edition']}"
        says = "; ".join(words for words in (_FORMULAS[entry["kind"]](entry), entry["beside"]) if words)
        yield Entry(entry["key"], WHOLE, entry["title"], cited, says, _source(entry))
    for entry in whole["band"]:
        cited = f"{entry['code']} {entry['section']}, edition {entry['edition']}"
        edges = ", ".join(f"{edge:,}" for edge in entry["areas"])
        says = f"a table by bedrooms and floor area, bands up to {edges} ft2 and beyond, in {entry['unit']}"
        yield Entry(entry["key"], WHOLE, entry["title"], cited, says, _source(entry))


def _area(entry: Mapping[str, Any]) -> str:
    return "ft2" if entry["unit"] == "cfm" else "m2"


def _linear(entry: Mapping[str, Any]) -> str:
    told = f"{entry['per_area']:g} x floor area [{_area(entry)}]"
    if entry["per_person"]:
        told += f" + {entry['per_person']:g} x (bedrooms + {entry['more']})"
    told += f", in {entry['unit']}"
    if "least" in entry:
        told += f", {entry['least']:g} {entry['unit']} at least"
    return told + (f", {entry['most']:g} {entry['unit']} at most" if "most" in entry else "")


def _steps(entry: Mapping[str, Any]) -> str:
    steps = "/".join(f"{step:g}" for step in entry["steps"])
    told = (
        f"{steps} {entry['unit']} for 1 to {len(entry['steps'])} bedrooms, {entry['further']:g} more for each further"
    )
    return f"{told}; {entry['per_area']:g} {entry['unit']} for each {_area(entry)} at least"


def _per_person(entry: Mapping[str, Any]) -> str:
    base = f"{entry['base']:g} + " if entry["base"] else ""
    by_area = f"{entry['per_area']:g} x floor area [{_area(entry)}]"
    return f"{base}{entry['per_person']:g} x people, or {by_area}, the larger, in {entry['unit']}"


def _ranges(entry: Mapping[str, Any]) -> str:
    told = ", ".join(f"{low:g} to {high:g}" for low, high in entry["ranges"])
    return f"{told} {entry['unit']} for 1 to {len(entry['ranges'])} bedrooms"


_FORMULAS = {"linear": _linear, "steps": _steps, "per person": _per_person, "ranges": _ranges}


def _exhausts() -> Iterator[Entry]:
    for entry in table("rules/tables/local_exhaust")["exhaust"]:
        unit = "air changes an hour" if entry["unit"] == "ach" else entry["unit"]
        asks = [f"{entry[key]:g} {unit} {how}" for key, how in (("on_demand", "on demand"), ("continuous", "all day"))
                if key in entry]  # fmt: skip
        cited = f"{entry['code']} {entry['section']}"
        yield Entry(
            entry["key"], LOCAL, f"{entry['room']}, by {entry['code']}", cited, " or ".join(asks), _source(entry)
        )


def _rooms() -> Iterator[Entry]:
    printed = table("rules/tables/room_rates")
    for entry in printed["rate"]:
        area = "ft2" if entry["unit"] == "cfm" else "m2"
        parts = [f"{entry['each']:g} {entry['unit']}"] if "each" in entry else []
        parts += [f"{entry['per_area']:g} {entry['unit']} for each {area}"] if "per_area" in entry else []
        parts += [f"{entry['per_person']:g} {entry['unit']} for each person"] if "per_person" in entry else []
        parts += [f"{entry['ach']:g} air changes an hour"] if "ach" in entry else []
        says = " or ".join(parts) + (", the larger" if len(parts) > 1 else "")
        says += f"; {entry['beside']}" if entry["beside"] else ""
        cited = f"{entry['code']} {entry['section']}".strip()
        yield Entry(entry["key"], BY_ROOM, entry["title"], cited, says, _source(entry))
    for entry in printed["extract"]:
        says = "; ".join(
            f"{room} {'/'.join(f'{flow:g}' for flow in flows)}"
            for room, flows in zip(entry["rooms"], entry["flows"], strict=True)
        )
        by = f", by category {'/'.join(entry['categories'])}" if len(entry["categories"]) > 1 else ""
        cited = f"{entry['code']} {entry['section']}".strip()
        says = f"{says} {entry['unit']}{by}"
        yield Entry(entry["key"], BY_ROOM, "what is taken from wet rooms", cited, says, _source(entry))
    hood = printed["hood"]
    says = (
        f"{hood['wall_per_ft']} cfm a foot of width at a wall, {hood['island_per_ft']} over an island (others "
        f"{hood['other_range_per_ft'][0]} to {hood['other_range_per_ft'][1]}), or 1 cfm for each "
        f"{hood['per_burner_btuh']} Btu/h of the burners, or {hood['ach']} air changes an hour of the kitchen; for its "
        f"duct {hood['duct_per_ft']} cfm a foot, {hood['elbow']} an elbow, {hood['roof_cap']} a roof cap more; hung "
        f"{hood['mounting_in'][0]} to {hood['mounting_in'][1]} in above the cooktop, {hood['overlap_in']} in wider on "
        "each side: none of it says what the house stands"
    )
    yield Entry("hood by rule of thumb", BY_ROOM, "choosing a hood", "no code", says, _source(hood))


def _make_up() -> Iterator[Entry]:
    for entry in table("rules/tables/make_up_air")["rule"]:
        cited = f"{entry['code']} {entry['section']}, edition {entry['edition']}"
        over = "" if entry["over"].startswith("0 ") else f"over {entry['over']}: "
        says = f"{entry.get('holds', over)}{entry['asks']}"
        yield Entry(entry["key"], MAKE_UP, entry["title"], cited, says, _source(entry))


def _minnesota() -> Iterator[Entry]:
    printed = table("rules/tables/minnesota")
    quantity, opening = printed["quantity"], printed["opening"]
    code = "Minnesota Rules 1346.0501"
    by_column = "; ".join(
        f"{name} ({words}): {factor:g} cfm/ft2"
        for name, words, factor in zip(quantity["columns"], quantity["meant"], quantity["per_area"], strict=True)
    )
    says = (
        f"{quantity['dryer']} cfm for a dryer, what an exhaust-only system moves all day, and {quantity['share']:g} x "
        "the largest exhaust, in every column but A of the next largest too, less an infiltration by the floor area "
        f"with the basement: {by_column}"
    )
    yield Entry("minnesota make-up quantity", MAKE_UP, "Minnesota, how much make-up air", f"{code} "
                f"{quantity['section']}", says, _source(quantity))  # fmt: skip
    most = ", ".join(f"{name} {opening[name][-1]} cfm" for name in quantity["columns"])
    says = (
        f"a table of round ducts from {opening['sizes'][0]} to {opening['sizes'][-1]} in by make-up air and column, "
        f"with a motorized damper from {opening['motorized_from']} in on; past {most} a fan, interlocked with the "
        f"largest exhaust; for {opening['length_ft']} ft of smooth metal, of which the hood outdoors takes "
        f"{opening['hood_ft']} and each elbow {opening['elbow_ft']}; flexible duct {opening['flex_in']} in larger"
    )
    yield Entry("minnesota opening", MAKE_UP, "Minnesota, the opening for make-up air", f"{code} {opening['section']}",
                says, _source(opening))  # fmt: skip


def _ducts() -> Iterator[Entry]:
    printed = table("rules/tables/exhaust_ducts")
    fan = printed["exhaust"]
    ratings = "/".join(str(rating) for rating in fan["ratings"])
    for size in fan["size"]:
        flex, smooth = ("/".join(str(cell) for cell in size[made_of]) for made_of in ("flex", "smooth"))
        says = (
            f"{size['inches']} in round, longest in ft for {ratings} cfm at 0.25 inwc: flex {flex}; smooth {smooth} "
            f"(X not allowed, NL no limit); each elbow takes {fan['elbow_ft']} ft; {fan['unless']}"
        )
        key = f"{fan['key']}, {size['inches']} in"
        cited = f"{fan['code']} {fan['section']}"
        yield Entry(key, DUCT, "how long the duct of a fan may be", cited, says, _source(size))
    dryer = printed["dryer"]
    bends = "; ".join(f"{b['kind']} {b['degrees']} deg {b['takes_ft']:g}" for b in dryer["bend"])
    says = (
        f"{dryer['length_ft']} ft ({dryer['older_ft']} ft in older editions), less in ft for each bend: {bends}; "
        f"{dryer['build']}"
    )
    yield Entry(dryer["key"], DUCT, "how long the duct of a dryer may be", f"{dryer['code']} {dryer['section']}", says,
                _source(dryer))  # fmt: skip


def _burners() -> Iterator[Entry]:
    for entry in table("rules/tables/combustion_air")["rule"]:
        told = []
        if "volume_ft3" in entry:
            told.append(f"{entry['volume_ft3']} ft3 for each {entry['input_btuh']:,} Btu/h")
        if "area_in2" in entry:
            told.append(f"{entry['area_in2']} in2 for each {entry['input_btuh']:,} Btu/h")
        if "share" in entry:
            told.append(f"{entry['share']:g} of the air changes at 50 Pa")
        told += [
            f"{words} {entry[key]:.2f} air changes an hour"
            for key, words in (("least_air_changes", "only from"), ("most_air_changes", "counted up to"))
            if key in entry
        ]
        cited = f"NFPA 54 {entry['section']}" if entry["section"] else "no code"
        yield Entry(entry["key"], BURNERS, entry["title"], cited, ", ".join(told), _source(entry))


def _fan_tests() -> Iterator[Entry]:
    limits = ("least", "most", "low", "high", "baselines", "both", "reduced")
    for entry in table("rules/tables/airtightness")["rule"]:
        told = ", ".join(f"{key} {entry[key]}" for key in limits if key in entry) or "as it says"
        says = f"{told} (SI), by {', '.join(entry['standard'])}"
        yield Entry(f"{entry['standard'][0]} {entry['key']}", FAN_TEST, entry["title"], entry["section"], says,
                    Source(entry["section"], entry["tag"]))  # fmt: skip


def _instruments() -> Iterator[Entry]:
    for entry in table("rules/tables/instruments")["instrument"]:
        kind = "holds 95 readings in 100" if entry["means"] == "limits" else "one standard deviation"
        says = f"{100 * entry['share']:.0f} % of what is read ({kind}); used on: {', '.join(entry['may'])}"
        yield Entry(entry["key"], METER, entry["key"], entry["measures"], says, _source(entry))


_MADE = (_rates, _exhausts, _rooms, _make_up, _minnesota, _ducts, _burners, _fan_tests, _instruments)
