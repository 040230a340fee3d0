"""Blocks of the house file for what moves air: ducts and runs, ventilator, exhausts, make-up air, air handler."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, model_validator

from airledger.io.fields import (
    Angle,
    AtLeast,
    Compression,
    CrossSection,
    Flow,
    FlowAtPressure,
    Form,
    FreeShare,
    Humidity,
    Loss,
    Mismatch,
    Name,
    PositiveFlow,
    PositivePressure,
    Power,
    PressureAtFlow,
    Share,
    Short,
    Straight,
    Text,
    Time,
    UpTo,
    Use,
    fault,
    short,
    word,
)

RUN_WORDS = "straight, elbow, transition, tee, wall cap, roof cap, entry, exit, filter, grille, damper, loss, fitting"


class DuctForm(Form):
    """`duct: {size: 10 in round, made of: galvanized, insulated: R-8}`."""

    size: CrossSection
    made_of: Text = "galvanized"
    compressed: Compression | None = None
    insulated: Text = ""


class FilterForm(Form):
    """`filter: {grade: merv 8, clean: 0.08 inwc at 500 cfm, dirty: 0.25 inwc at 500 cfm}` or `filter: merv 8`."""

    grade: Text = ""
    clean: PressureAtFlow | None = None
    dirty: PressureAtFlow | None = None


class CapForm(Form):
    """`wall cap: {loss: 1.5, flap opens at: 5 Pa, leaks shut: 4 cfm at 25 Pa}` or a word such as `louvered`."""

    loss: Loss | None = None
    word: Text = ""
    flap_opens_at: PositivePressure | None = None
    leaks_shut: FlowAtPressure | None = None


class ElbowForm(Form):
    """`elbow: 90 deg` or `elbow: {angle: 90 deg, radius: 1.5, loss: 0.3}`.

    The radius is a ratio: that of the bend's middle line over the duct's diameter.
    """

    angle: Angle
    radius: Loss | None = None
    loss: Loss | None = None
    word: Text = ""


class FittingForm(Form):
    """`tee: branch`, `transition: {word: gradual, loss: 0.2}`, `entry: bell`, `fitting: {word: silencer, loss: 2}`."""

    word: Text = ""
    loss: Loss | None = None


class RunDamperForm(Form):
    """A damper within a run: `damper: as balanced` or `damper: {word: backdraft, loss: 0.4, opens at: 5 Pa}`."""

    word: Text = ""
    loss: Loss | None = None
    opens_at: PositivePressure | None = None
    leaks_shut: FlowAtPressure | None = None


class GrilleForm(Form):
    """`grille: {size: 20 in x 14 in, free: 65 %, loss: 2}` or `grille: 20 in x 14 in`."""

    size: CrossSection
    free: FreeShare | None = None
    loss: Loss | None = None


class RunPart(Form):
    """One part of a run: exactly one key."""

    straight: Straight | None = None
    elbow: Annotated[ElbowForm, short("angle")] | None = None
    transition: Annotated[FittingForm, short("word")] | None = None
    tee: Annotated[FittingForm, short("word")] | None = None
    wall_cap: Annotated[CapForm, short("word")] | None = None
    roof_cap: Annotated[CapForm, short("word")] | None = None
    entry: Annotated[FittingForm, short("word")] | None = None
    exit: Annotated[FittingForm, short("word")] | None = None
    filter: Annotated[FilterForm, short("grade")] | None = None
    grille: Annotated[GrilleForm, short("size")] | None = None
    damper: Annotated[RunDamperForm, short("word")] | None = None
    loss: Loss | None = None
    fitting: Annotated[FittingForm, short("word")] | None = None

    @model_validator(mode="before")
    @classmethod
    def _one_part(cls, value: Any) -> Any:
        if isinstance(value, dict) and len(value) != 1:
            raise fault("one part of a run has one key; begin the next part with a dash of its own", RUN_WORDS)
        if isinstance(value, str):
            raise fault(
                f"{value[:60]!r} is no part of a run",
                f"key: value with one of {RUN_WORDS}; for example  straight: 9 ft",
            )
        return value


Run = Annotated[list[RunPart], Field(max_length=200)]


class FanCurveForm(Form):
    """`fan curve: {at: high, points: [[0 cfm, 1.60 inwc], [900 cfm, 0.20 inwc]]}`."""

    at: Name
    points: Annotated[list[tuple[Flow, PositivePressure]], Field(min_length=2, max_length=60)]

    @model_validator(mode="after")
    def _falls(self) -> FanCurveForm:
        for (flow, pressure), (more, less) in zip(self.points, self.points[1:], strict=False):
            if more <= flow:
                raise fault("the flows of a fan curve rise from point to point", "points in rising flow")
            if less >= pressure:
                raise fault("a fan curve gives less pressure at more flow", "points whose pressure falls")
        if self.points[-1][0] <= 0 or self.points[0][1] <= 0:
            raise fault("a fan curve begins with some pressure and ends with some flow", "points above 0")
        return self


class EachWayForm(Form):
    """A ventilator speed: `160 cfm` each way, or `{supply: 74 cfm, exhaust: 70 cfm}`."""

    supply: PositiveFlow
    exhaust: PositiveFlow


def _each_way(value: Any) -> Any:
    return {"supply": value, "exhaust": value} if isinstance(value, str) else value


class RecoveryForm(Form):
    """`recovery: {sensible: 72 %, latent: 48 %, at: 100 cfm}`."""

    sensible: Humidity
    latent: Humidity = 0.0
    at: PositiveFlow | None = None


class OffForm(Form):
    """`off: {core leaks: 5 cfm at 25 Pa}`: what passes through the unit while it stands."""

    core_leaks: FlowAtPressure | None = None


class StreamFiltersForm(Form):
    """`filter: {outdoor side: {clean: 0.05 inwc at 160 cfm}, house side: merv 8}`."""

    outdoor_side: Annotated[FilterForm, short("grade")] | None = None
    house_side: Annotated[FilterForm, short("grade")] | None = None


class BranchForm(Form):
    """One piece of a ventilator's duct tree; from: the piece it branches from."""

    from_: Name | None = None
    duct: DuctForm
    run: Run = []


class DuctTreesForm(Form):
    """`ducts:` of a ventilator: the pieces outdoors and the trees to and from the rooms."""

    from_outdoors: BranchForm | None = None
    to_outdoors: BranchForm | None = None
    to_rooms: dict[Name, BranchForm] = {}
    from_rooms: dict[Name, BranchForm] = {}


class VentilatorForm(Form):
    """The ERV or HRV."""

    kind: Annotated[str, word("erv", "hrv")]
    speeds: Annotated[dict[Name, Annotated[EachWayForm, Short(_each_way, "160 cfm: each way")]], Field(min_length=1)]
    supplies: Annotated[dict[Name, Share], Field(min_length=1)]
    takes_from: Annotated[dict[Name, Share], Field(min_length=1)]
    room: Name = ""
    boost_lasts: Time | None = None
    fan_curve: FanCurveForm | None = None
    recovery: RecoveryForm | None = None
    off: OffForm | None = None
    filter: StreamFiltersForm | None = None
    ducts: DuctTreesForm | None = None


class ExhaustForm(Form):
    """A machine that blows air out of the house."""

    room: Name
    kind: Annotated[str, word("hood", "dryer", "bath fan", "vacuum", "open fireplace", "exhaust")] | None = None
    speeds: Annotated[dict[Name, PositiveFlow], Field(min_length=1)] | None = None
    fan_curve: FanCurveForm | None = None
    rated: FlowAtPressure | None = None
    duct: DuctForm | None = None
    run: Run = []
    not_picked: UpTo | None = None
    wanted: AtLeast | None = None
    use: Use | None = None
    vented: Annotated[str, word("to outdoors", "heat pump")] | None = None

    @model_validator(mode="after")
    def _one_flow(self) -> ExhaustForm:
        if self.not_picked is not None and (self.speeds or self.rated or self.fan_curve):
            raise fault(
                "not picked, yet with a flow of its own", "either  not picked: up to 1200 cfm  or  speeds / rated"
            )
        if self.vented == "heat pump" and (self.speeds or self.rated or self.not_picked is not None):
            raise fault("a heat pump blows no air out, yet it has a flow", "either  vented: heat pump  or  speeds")
        if self.fan_curve and self.rated:
            raise fault("a fan curve and a rated point at once", "either  fan curve  or  rated")
        if self.fan_curve and not self.speeds:
            raise fault("a fan curve needs the speed that it belongs to", "speeds: {high: 600 cfm}")
        if not (self.speeds or self.rated or self.not_picked is not None or self.vented == "heat pump"):
            raise fault(
                "how much air it moves is not said",
                "speeds: {high: 600 cfm}, rated: 900 cfm at 0.1 inwc, or not picked: up to 1200 cfm",
            )
        if self.rated and self.rated[0] <= 0:
            raise fault("a rated flow is above 0", "rated: 900 cfm at 0.1 inwc")
        return self


class DamperForm(Form):
    """`damper: {kind: motorized, opens in: 30 s, without power: shut}`, `none`, or `gravity: {opens at: 12 Pa}`."""

    kind: Annotated[str, word("motorized", "gravity", "none")] = "motorized"
    opens_in: Time | None = None
    opens_at: PositivePressure | None = None
    leaks_shut: FlowAtPressure | None = None
    without_power: Annotated[str, word("shut", "open")] = "shut"

    @model_validator(mode="after")
    def _belongs(self) -> DamperForm:
        given = self.model_fields_set
        if self.kind == "none" and given - {"kind"}:
            raise fault("no damper has nothing else to say", "damper: none")
        if self.kind == "gravity" and given & {"opens_in", "without_power"}:
            raise fault("a gravity damper has no motor", "gravity: {opens at: 12 Pa, leaks shut: 5 cfm at 25 Pa}")
        if self.kind == "motorized" and "opens_at" in given:
            raise fault("a motorized damper does not open by pressure", "opens in: 30 s")
        return self


class MakeUpFanForm(Form):
    """`fan: {speeds: {on: 800 cfm}, mismatch: +-10 %, heats: 5 kW}`."""

    speeds: Annotated[dict[Name, PositiveFlow], Field(min_length=1)]
    mismatch: Mismatch | None = None
    heats: Power = 0.0


def _damper(value: Any) -> Any:
    if isinstance(value, str):
        return {"kind": value}
    if isinstance(value, dict) and len(value) == 1:
        ((kind, more),) = value.items()
        if kind in ("motorized", "gravity") and isinstance(more, dict):
            return {"kind": kind, **more}
    return value


DAMPER = Short(_damper, "none, motorized or gravity", keyed=("motorized", "gravity"))


def _starts(value: Any) -> Any:
    return (
        dict.fromkeys(value, "any speed")
        if isinstance(value, list) and all(isinstance(v, str) for v in value)
        else value
    )


class ArrangementForm(Form):
    """One arrangement for make-up air; `room` is another word for `into`."""

    into: Name | None = None
    room: Name | None = None
    duct: DuctForm
    run: Run = []
    damper: Annotated[DamperForm, DAMPER] = DamperForm()
    filter: Annotated[FilterForm, short("grade")] | None = None
    starts_with: Annotated[dict[Name, Text], Short(_starts, "[range hood, dryer]: at any speed", "array")] = {}
    waits_for_it: list[Name] = []
    hood_waits: Annotated[str, word("for the damper's end switch")] | None = None
    fan: MakeUpFanForm | None = None

    @model_validator(mode="after")
    def _one_room(self) -> ArrangementForm:
        if self.into is not None and self.room is not None:
            raise fault("where its air goes is said twice", "into: great room")
        return self


class HandlerLeaksForm(Form):
    """`leaks: {supply: 6 % to attic, return: 3 % from attic}` of an air handler's ducts."""

    supply: Text = ""
    return_: Text = ""


class AirHandlerForm(Form):
    """The heating and cooling air handler; read and kept, not computed yet."""

    room: Name
    speeds: Annotated[dict[Name, PositiveFlow], Field(min_length=1)]
    supplies: dict[Name, Share] = {}
    returns: dict[Name, Share] = {}
    leaks: HandlerLeaksForm | None = None
