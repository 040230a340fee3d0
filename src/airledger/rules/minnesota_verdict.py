"""What Minnesota's tables say of a house: how much make-up air, through which duct, or that their text was not seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airledger import quantities
from airledger.rules import minnesota
from airledger.rules.appliances_inside import SOLID_FUELS, burning_inside, fans, most_it_can_move, open_fires
from airledger.rules.case import Answer, Case
from airledger.rules.house_shape import Burning, Exhausting, HouseLike

MATCHED_WITHIN = 0.10
"""How far a make-up fan may miss the exhaust that it is matched to [-]: common practice, no source."""


@dataclass(frozen=True)
class Counted:
    """What the table counts in a house.

    area [m2]; ratings [m3/s], without the dryer; matched: machines left out; unsure: appliances whose vent nobody told;
    columns: where those are sealed, and where they draw by their own warmth; because: what sets the latter.
    """

    area: float
    ratings: tuple[float, ...]
    matched: tuple[str, ...]
    unsure: tuple[str, ...]
    columns: tuple[str, str]
    because: str


def by_minnesotas_table(case: Case) -> Answer:
    """Whether Minnesota asks for make-up air, how much, and the duct for it.

    Parameters
    ----------
    case : Case
        the rule as it meets the house [-]

    Reference: Minnesota Rules 1346.0501, tables 501.4.1 and 501.4.2, PUBLISHED.
    """
    built = case.house.site.built
    if built is not None and not minnesota.era(built).seen:
        return _by_a_table_not_seen(case, built)
    counted = _counted(case.house)
    if not counted.area:
        return Answer("ask the official", "it counts the floor area, and the file tells none", "")
    low, high = (minnesota.make_up_quantity(name, counted.area, counted.ratings) for name in counted.columns)
    when = "a new house" if built is None else f"built {built}, once {minnesota.era(built).when}"
    formula = _formula(case, counted, high)
    if high <= 0.0:
        return Answer("no", f"what leaks in covers it ({when})", formula, 0.0)
    duct = _duct(counted.columns[1], high)
    if low == high:
        return Answer("yes", f"make-up air of {case.show(high)} ({when}): {duct}", formula, high)
    either = f"{case.show(low) if low > 0.0 else 'none'} or {case.show(high)}"
    words = f"make-up air: {either}, by how {', '.join(counted.unsure)} is vented ({when}); {duct}"
    return Answer("yes" if low > 0.0 else "ask the official", words, formula, high)


def _by_a_table_not_seen(case: Case, built: int) -> Answer:
    """A house from before 2000: another table holds, and only once something big is put in."""
    era = minnesota.era(built)
    big = [
        f"{fan.name} ({case.show(most_it_can_move(fan))})"
        for fan in fans(case.house)
        if most_it_can_move(fan) > case.over
    ]
    big += [a.name for a in burning_inside(case.house) if a.burns in SOLID_FUELS] + list(open_fires(case.house))
    words = f"built {built}: table {era.section} holds once {era.when}"
    if not big:
        return Answer("no", words, f"no exhaust over {case.show(case.over)}, no solid fuel", 0.0)
    return Answer("ask the official", f"{words}; that table was not seen", ", ".join(big))


def _counted(house: HouseLike) -> Counted:
    burning = [a for a in burning_inside(house) if a.burns not in SOLID_FUELS]
    solid = len(burning_inside(house)) - len(burning) + len(open_fires(house))
    unsure = tuple(a.name for a in burning if not a.vents)
    drawing = [a.name for a in burning if a.vents in ("natural draft", "")]
    drawing += [a.name for a in burning_inside(house) if a.burns in SOLID_FUELS] + list(open_fires(house))
    drawing = drawing or [a.name for a in burning if a.vents == "fan-assisted"]
    columns = (_column(burning, solid, 0), _column(burning, solid, len(unsure)))
    matched = _matched(house)
    dryers = sorted((most_it_can_move(fan) for fan in fans(house) if fan.kind == "dryer"), reverse=True)
    ratings = [most_it_can_move(fan) for fan in fans(house) if fan.kind != "dryer" and fan.name not in matched]
    area = sum(room.area for room in house.rooms if room.kind == "room")
    # the table counts one dryer; a second is an exhaust like another (our reading)
    because = ", ".join(drawing) or "sealed vents, or none"
    return Counted(area, tuple(ratings + dryers[1:]), matched, unsure, columns, because)


def _column(burning: Sequence[Burning], solid: int, more_atmospheric: int) -> str:
    vents = [appliance.vents for appliance in burning]
    return minnesota.column(vents.count("natural draft") + more_atmospheric, solid, vents.count("fan-assisted"))


def _matched(house: HouseLike) -> tuple[str, ...]:
    """The machines whose make-up fan comes on with them at any speed and moves about as much."""
    return tuple(
        fan.name
        for fan in fans(house)
        for way in house.make_up_air or ()
        if way.fan is not None
        and (fan.name, "any speed") in way.starts_with
        and _about(max((flow for _, flow in way.fan.speeds), default=0.0), fan)
    )


def _about(flow: float, fan: Exhausting) -> bool:
    most = most_it_can_move(fan)
    return abs(flow - most) <= MATCHED_WITHIN * most * (1.0 + 1e-9)


def _formula(case: Case, counted: Counted, quantity: float) -> str:
    column = counted.columns[1]
    two = " + ".join(case.show(flow) for flow in minnesota.counted_ratings(column, counted.ratings)) or case.show(0.0)
    dryer, share = minnesota.dryer_and_share()
    leaked = case.show(minnesota.infiltration(column, counted.area))
    told = f"{case.show(dryer)} for a dryer + {share:g} x ({two}) − {leaked} leaking in; column {column} "
    told += f"({counted.because}), {quantities.within_words(counted.area, 'area')}"
    left_out = f"; {', '.join(counted.matched)} left out, its make-up fan comes on with it" if counted.matched else ""
    return f"{case.show(quantity) if quantity > 0.0 else 'below 0'} = {told}{left_out}"


def _duct(column: str, flow: float) -> str:
    found = minnesota.opening(column, flow)
    if found.diameter is None or found.flex_diameter is None:
        return "by a fan, on with the largest exhaust"
    smooth, flex = (quantities.within_words(size, "small length", 0) for size in (found.diameter, found.flex_diameter))
    whole = minnesota.straight_length(0)
    straight, elbow = (
        quantities.within_words(size, "length", 0) for size in (whole, whole - minnesota.straight_length(1))
    )
    told = f"{smooth} round and smooth, or {flex} flexible, {straight} long less {elbow} an elbow"
    return f"{told}, {'motorized damper' if found.kind != 'passive' else 'passive'}"
