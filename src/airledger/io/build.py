"""From the forms of a house file to the frozen House; what the forms and the checks hold is not checked again."""

from __future__ import annotations

import math
import re
from dataclasses import replace

from airledger.house.house import (
    Appliance,
    Damper,
    Duct,
    Envelope,
    Exhaust,
    FanCurve,
    FilterDrop,
    Flap,
    House,
    Leak,
    Level,
    Limit,
    Limits,
    MakeUpAir,
    MakeUpFan,
    NamedState,
    Opening,
    Recovery,
    Room,
    Ruling,
    RunItem,
    Season,
    Site,
    Stage,
    Ventilator,
    VentilatorSpeed,
    Wind,
)
from airledger.io import air_forms as air
from airledger.io import forms
from airledger.io.outlines import area
from airledger.uncertain import Uncertain

KIND_WORDS = (
    ("hood", "hood"),
    ("dryer", "dryer"),
    ("vacuum", "vacuum"),
    ("fireplace", "open fireplace"),
    ("bath", "bath fan"),
    ("shower", "bath fan"),
    ("toilet", "bath fan"),
)
"""A word in an exhaust's name and the kind that is then taken, where the file says no `kind:`."""


def exhaust_kind(name: str, said: str | None) -> str:
    """The kind of an exhaust: as said, else guessed from its name, else just an exhaust.

    Parameters
    ----------
    name : str
        the exhaust's name [-]
    said : str
        the kind that the file says, or None [-]
    """
    if said is not None:
        return said
    words = re.split(r"[^a-z]+", name.lower())
    return next((kind for word, kind in KIND_WORDS if any(w.startswith(word) for w in words)), "exhaust")


def house(form: forms.HouseForm) -> House:
    """The house that a checked form says.

    Parameters
    ----------
    form : HouseForm
        the file's content [-]
    """
    return House(
        name=form.house,
        site=_site(form.site),
        envelope=_envelope(form.envelope),
        rooms=tuple(_room(name, room) for name, room in form.rooms.items()),
        levels=tuple(Level(name, level.floor, level.below_grade) for name, level in form.levels.items()),
        limits=_limits(form.limits),
        rulings=tuple(Ruling(subject, r.says, r.on, r.by) for subject, r in form.rules.rulings.items()),
        bedrooms=form.people.bedrooms,
        sleeping=form.people.sleeping,
        openings=tuple(_opening(name, opening) for name, opening in form.openings.items()),
        ventilator=None if form.ventilator is None else _ventilator(form.ventilator),
        exhausts=tuple(_exhaust(name, exhaust) for name, exhaust in form.exhausts.items()),
        make_up_air=_make_up_air(form),
        appliances=tuple(_appliance(name, appliance) for name, appliance in form.appliances.items()),
        states=tuple(NamedState(name, tuple(settings.items())) for name, settings in form.states.items()),
        stages=tuple(Stage(name, stage.by, tuple(stage.decides)) for name, stage in form.stages.items()),
        prices=form.prices,
        local_rules=form.rules.folder,
        balance=form.rules.balance or "",
        start_up=form.start_up,
    )


def _site(form: forms.SiteForm) -> Site:
    seasons = tuple(
        Season(name, season.outdoors, season.dew_point, season.indoors, season.humidity)
        for name, season in (("summer", form.summer), ("winter", form.winter), ("mild", form.mild))
        if season is not None
    )
    wind = None if form.wind is None else Wind(*form.wind.speed, form.wind.from_)
    return Site(form.place, form.elevation or 0.0, form.surroundings, seasons, wind, form.north, form.built)


def _limits(form: forms.LimitsForm) -> Limits:
    pressure, pull = form.house_pressure, form.door_pull
    return Limits(
        None if pressure is None else Limit(pressure.wanted, pressure.tolerated),
        None if pull is None else Limit(pull.wanted, pull.tolerated),
    )


BEFORE_ANY_TEST = Uncertain(0.3, 2.0, 10.0)
"""ACH50 of a house of which nothing but a test's file is told, until that is read [1/h]: common practice, no source."""


def _envelope(form: forms.EnvelopeForm) -> Envelope:
    value, unit = form.tightness or (BEFORE_ANY_TEST, "ach50")
    leaks = tuple(Leak(name, leak.share, leak.height, leak.to, tuple(leak.rooms)) for name, leak in form.leaks.items())
    tested = tuple((role, tuple(files)) for role, files in form.tested.items())
    return Envelope(value, unit, form.exponent, tuple(form.taped_at_the_test), leaks, form.volume, tested)


def floor_outline(form: forms.RoomForm) -> tuple[tuple[float, float], ...]:
    """The corners of a room that is drawn on the plan [m], none where only its size or area is known.

    Parameters
    ----------
    form : RoomForm
        the room [-]
    """
    if form.outline is not None:
        return tuple(form.outline)
    if form.size is None or form.corner is None:
        return ()
    (x, y), (width, depth) = form.corner, form.size
    return ((x, y), (x + width, y), (x + width, y + depth), (x, y + depth))


def floor_area(form: forms.RoomForm) -> float:
    """A room's floor area [m2].

    Parameters
    ----------
    form : RoomForm
        the room [-]
    """
    if form.area is not None:
        return form.area
    if form.size is not None:
        return form.size[0] * form.size[1]
    return area(tuple(form.outline or ()))


def _room(name: str, form: forms.RoomForm) -> Room:
    air = form.air
    temperatures = (
        ()
        if air is None
        else tuple(
            (season, value)
            for season, value in (("summer", air.summer), ("winter", air.winter), ("mild", air.mild))
            if value is not None
        )
    )
    room = Room(
        name,
        kind=form.kind,
        level=form.level,
        area=floor_area(form),
        volume=form.volume,
        outline=floor_outline(form),
        vents=form.vents,
        air_as="outdoors" if air is not None and air.as_outdoors is not None else "house",
        air=temperatures,
    )
    return room if form.ceiling is None else replace(room, ceiling=form.ceiling)


def _opening(name: str, form: forms.OpeningForm) -> Opening:
    kind, face = next(
        (kind, face)
        for kind, face in (("door", form.leaf), ("window", form.sash), ("clear", form.clear), ("grille", form.grille))
        if face is not None
    )
    width, height = _face(face)
    position, position_length = form.stands or (None, None)
    gap, carpet = (None, False) if form.undercut is None else form.undercut
    return Opening(
        name,
        kind,
        form.between,
        width,
        height,
        sill=form.sill or form.height or 0.0,
        swings=form.swings or "",
        undercut=gap,
        carpet=carpet,
        stands=position,
        stands_open=position_length,
        opens_up_to=form.opens_up_to,
        knob=form.knob,
        closer=form.closer,
        faces=form.faces,
        lies_flat=form.lies is not None,
        free=1.0 if form.free is None else form.free,
        door=form.door,
    )


def _face(face: tuple[float | None, ...]) -> tuple[float, float]:
    """Width and height of an opening; a round grille counts as the square of its area."""
    if len(face) == 2:
        return face[0] or 0.0, face[1] or 0.0
    diameter, width, height = face
    if diameter is not None:
        side = diameter * math.sqrt(math.pi / 4)
        return side, side
    return width or 0.0, height or 0.0


def _duct(form: air.DuctForm) -> Duct:
    return Duct(*form.size, made_of=form.made_of, compressed=form.compressed, insulated=form.insulated)


def _filter(form: air.FilterForm) -> FilterDrop:
    return FilterDrop(form.grade, form.clean, form.dirty)


def _run_item(part: air.RunPart) -> RunItem:
    kind = next(iter(part.model_fields_set))
    value, name = getattr(part, kind), kind.replace("_", " ")
    item = RunItem(name, loss=getattr(value, "loss", None), word=getattr(value, "word", ""))
    match value:
        case air.ElbowForm():
            item = replace(item, angle=value.angle, radius_ratio=value.radius)
        case air.CapForm():
            item = replace(item, flap=_flap(value.flap_opens_at, value.leaks_shut))
        case air.RunDamperForm():
            item = replace(item, flap=_flap(value.opens_at, value.leaks_shut))
        case air.FilterForm():
            item = replace(item, filter=_filter(value), word=value.grade)
        case air.GrilleForm():
            diameter, width, height = value.size
            item = replace(item, diameter=diameter, width=width, height=height, free=value.free)
        case (length, rise):
            item = replace(item, length=length, rise=rise)
        case float():
            item = replace(item, loss=value)
    return item


def _flap(opens_at: float | None, leaks_shut: tuple[float, float] | None) -> Flap | None:
    return None if opens_at is None and leaks_shut is None else Flap(opens_at, leaks_shut)


def _run(parts: list[air.RunPart]) -> tuple[RunItem, ...]:
    return tuple(_run_item(part) for part in parts)


def _fan_curve(form: air.FanCurveForm | None) -> FanCurve | None:
    return None if form is None else FanCurve(form.at, tuple(form.points))


def _ventilator(form: air.VentilatorForm) -> Ventilator:
    recovery, filters = form.recovery, form.filter
    sides = () if filters is None else (("outdoor side", filters.outdoor_side), ("house side", filters.house_side))
    return Ventilator(
        kind=form.kind,
        speeds=tuple(VentilatorSpeed(name, speed.supply, speed.exhaust) for name, speed in form.speeds.items()),
        supplies=tuple(form.supplies.items()),
        takes_from=tuple(form.takes_from.items()),
        room=form.room,
        boost_lasts=form.boost_lasts,
        fan_curve=_fan_curve(form.fan_curve),
        recovery=None if recovery is None else Recovery(recovery.sensible, recovery.latent, recovery.at),
        core_leaks=None if form.off is None else form.off.core_leaks,
        filters=tuple((side, _filter(drop)) for side, drop in sides if drop is not None),
    )


def _exhaust(name: str, form: air.ExhaustForm) -> Exhaust:
    speeds = sorted((form.speeds or {}).items(), key=lambda speed: speed[1])
    if not speeds and form.rated is not None:
        speeds = [("on", form.rated[0])]
    return Exhaust(
        name=name,
        kind=exhaust_kind(name, form.kind),
        room=form.room,
        speeds=tuple(speeds),
        fan_curve=_fan_curve(form.fan_curve),
        rated=form.rated,
        duct=None if form.duct is None else _duct(form.duct),
        run=_run(form.run),
        not_picked=form.not_picked,
        wanted=form.wanted,
        use=form.use,
        vented=form.vented or "",
    )


def _make_up_air(form: forms.HouseForm) -> tuple[MakeUpAir, ...] | None:
    if form.make_up_air is None:
        return None
    hoods = {name for name, exhaust in form.exhausts.items() if exhaust_kind(name, exhaust.kind) == "hood"}
    lone = only_room(form) or ""
    return tuple(_arrangement(name, arrangement, hoods, lone) for name, arrangement in form.make_up_air.items())


def only_room(form: forms.HouseForm) -> str | None:
    """The room of a house that has but one inside its envelope: air goes there without a word."""
    inside = [name for name, room in form.rooms.items() if room.kind == "room"]
    return inside[0] if len(inside) == 1 else None


def _arrangement(name: str, form: air.ArrangementForm, hoods: set[str], lone: str) -> MakeUpAir:
    run, fan = _run(form.run), form.fan
    if form.filter is not None:
        run += (RunItem("filter", filter=_filter(form.filter), word=form.filter.grade),)
    waits = list(form.waits_for_it)
    if form.hood_waits is not None:
        waits += [machine for machine in form.starts_with if machine in hoods and machine not in waits]
    damper = form.damper
    return MakeUpAir(
        name=name,
        into=form.into or form.room or lone,
        duct=_duct(form.duct),
        run=run,
        damper=Damper(damper.kind, damper.opens_in, damper.opens_at, damper.leaks_shut, damper.without_power),
        starts_with=tuple(form.starts_with.items()),
        waits=tuple(waits),
        fan=None
        if fan is None
        else MakeUpFan(tuple(sorted(fan.speeds.items(), key=lambda s: s[1])), fan.mismatch, fan.heats),
    )


def _appliance(name: str, form: forms.ApplianceForm) -> Appliance:
    flue = form.flue
    diameter = None
    if flue is not None:
        round_, width, height = flue.size
        # an oblong flue counts as the round one of its hydraulic diameter, 2 a b / (a + b)
        diameter = round_ if round_ is not None else 2 * (width or 0) * (height or 0) / ((width or 0) + (height or 0))
    return Appliance(
        name,
        form.kind,
        form.burns or "",
        form.vents or "",
        form.room,
        form.input,
        flue_diameter=diameter,
        flue_height=None if flue is None else flue.height,
        shared_with=() if flue is None else tuple(flue.shared_with),
    )
