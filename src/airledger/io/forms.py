"""The house file's top and the blocks that say what the house is: site, limits, envelope, rooms, openings, states."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from airledger.house.outdoors import DIRECTIONS
from airledger.io.air_forms import AirHandlerForm, ArrangementForm, ExhaustForm, VentilatorForm
from airledger.io.fields import (
    Area,
    Bearing,
    CrossSection,
    Direction,
    Elevation,
    Exponent,
    Force,
    Form,
    FreeArea,
    FreeShare,
    Height,
    Humidity,
    Knob,
    Length,
    Name,
    PositiveLength,
    Power,
    Pressure,
    Share,
    Short,
    Size,
    Stands,
    Temperature,
    Text,
    Tightness,
    Undercut,
    Volume,
    Whole,
    WindSpeed,
    Year,
    fault,
    short,
    word,
)

SURROUNDINGS = ("open fields", "houses and trees", "tall buildings", "shore")


class SeasonForm(Form):
    """`summer: {outdoors: 91 F, dew point: 78 F, indoors: 75 F, humidity: 50 %}`."""

    outdoors: Temperature
    dew_point: Temperature
    indoors: Temperature
    humidity: Humidity

    @model_validator(mode="after")
    def _dew_point_below(self) -> SeasonForm:
        if self.dew_point > self.outdoors + 1e-9:
            raise fault(
                "the dew point is above the outdoor temperature", "a dew point at or below the air's temperature"
            )
        return self


class WindForm(Form):
    """`wind: {speed: 0 to 15 mph, from: any}`."""

    speed: WindSpeed
    from_: Direction = None


class SiteForm(Form):
    """Where the house stands; a place or an elevation is needed."""

    place: Text = ""
    elevation: Elevation | None = None
    surroundings: Annotated[str, word(*SURROUNDINGS)] = "houses and trees"
    summer: SeasonForm | None = None
    winter: SeasonForm | None = None
    mild: SeasonForm | None = None
    wind: WindForm | None = None
    north: Bearing = 0.0
    built: Year | None = None

    @model_validator(mode="after")
    def _somewhere(self) -> SiteForm:
        if not self.place and self.elevation is None:
            raise fault("neither place nor elevation is said", "place: Homestead, Florida  or  elevation: 6 ft")
        return self


def _once(value: Any) -> Any:
    return {"wanted": value, "tolerated": value} if isinstance(value, str) else value


class PressureLimitForm(Form):
    """`house pressure: {wanted: -10 Pa, tolerated: -20 Pa}` or one value for both; a pull is negative."""

    wanted: Pressure
    tolerated: Pressure

    @model_validator(mode="after")
    def _pull(self) -> PressureLimitForm:
        if self.wanted >= 0 or self.tolerated >= 0:
            raise fault("how far the house may be pulled down is below 0", "for example -10 Pa")
        if self.tolerated > self.wanted:
            raise fault("what is tolerated is stricter than what is wanted", "wanted: -10 Pa, tolerated: -20 Pa")
        return self


class ForceLimitForm(Form):
    """`door pull: 5 lbf` or `{wanted: 5 lbf, tolerated: 8 lbf}`."""

    wanted: Force
    tolerated: Force

    @model_validator(mode="after")
    def _pull(self) -> ForceLimitForm:
        if self.wanted <= 0 or self.tolerated < self.wanted:
            raise fault("a pull above 0, and tolerated no stricter than wanted", "wanted: 5 lbf, tolerated: 8 lbf")
        return self


class LimitsForm(Form):
    """The user's own limits."""

    house_pressure: Annotated[PressureLimitForm, Short(_once, "-10 Pa: wanted and tolerated")] | None = None
    door_pull: Annotated[ForceLimitForm, Short(_once, "5 lbf: wanted and tolerated")] | None = None


class RulingForm(Form):
    """What the official decided: `{says: enough, on: 2026-10-02}` or just the words."""

    says: Text
    on: Text = ""
    by: Text = ""


class RulesForm(Form):
    """`rules:` of the house: what the official decided, a folder of local rules, which meaning of balanced is used."""

    rulings: dict[Name, Annotated[RulingForm, short("says")]] = {}
    folder: Text = ""
    balance: Literal["10 % of exhaust", "10 % or 5 cfm", "10 % of their mean"] | None = None


class PeopleForm(Form):
    """`people: {bedrooms: 3, sleeping: 4}`."""

    bedrooms: Whole | None = None
    sleeping: Whole | None = None


class LeakForm(Form):
    """`top plate: {share: 25 %, height: 9 ft, to: attic}`."""

    share: Share
    height: Height
    to: Name = "outdoors"
    rooms: list[Name] = []


TestRole = Literal["rough-in", "for the code", "as lived in"]


def _tests(value: Any) -> Any:
    """One file of readings, several (both directions), or files by the stage of the test."""
    if isinstance(value, str | list):
        value = {"as lived in": value}
    if not isinstance(value, dict):
        raise fault("a file of readings is wanted here", "readings/tern-14.csv, or {rough-in: ..., as lived in: ...}")
    return {role: [files] if isinstance(files, str) else files for role, files in value.items()}


class EnvelopeForm(Form):
    """The envelope's tightness as lived in and where it leaks."""

    tightness: Tightness | None = None
    tested: Annotated[dict[TestRole, list[Text]], BeforeValidator(_tests)] = {}
    taped_at_the_test: list[Name] = []
    exponent: Exponent | None = None
    leaks: dict[Name, LeakForm] = {}
    volume: Volume | None = None


class LevelForm(Form):
    """`basement: {floor: -8 ft, below grade: 6 ft}`."""

    floor: Height
    below_grade: Length = 0.0


def _air(value: Any) -> Any:
    if isinstance(value, str):
        if " ".join(value.lower().split()) != "as outdoors":
            raise fault(f"cannot read {value[:60]!r}", "as outdoors, or {winter: 62 F}")
        return {"as outdoors": "as outdoors"}
    return value


class RoomAirForm(Form):
    """A room's air where it differs from the house's: `as outdoors`, or temperatures by season."""

    as_outdoors: Text | None = None
    summer: Temperature | None = None
    winter: Temperature | None = None
    mild: Temperature | None = None


class RoomForm(Form):
    """A room, or a space beside the house: attic, crawl space, garage."""

    kind: Annotated[str, word("room", "attic", "crawl space", "garage")] = "room"
    level: Name = ""
    size: Size | None = None
    corner: tuple[Height, Height] | None = None
    outline: Annotated[list[tuple[Height, Height]], Field(min_length=3, max_length=200)] | None = None
    area: Area | None = None
    ceiling: PositiveLength | None = None
    volume: Volume | None = None
    vents: FreeArea | None = None
    air: Annotated[RoomAirForm, Short(_air, "as outdoors")] | None = None

    @model_validator(mode="after")
    def _one_shape(self) -> RoomForm:
        if sum(shape is not None for shape in (self.size, self.outline, self.area)) != 1:
            raise fault(
                "its floor is said once", "size: 15 ft x 16 ft, or outline: [[0 ft, 0 ft], ...], or area: 70 ft2"
            )
        if self.corner is not None and self.size is None:
            raise fault("a corner goes with a size", "size: 15 ft x 16 ft, corner: [0 ft, 0 ft]")
        if self.vents is not None and self.kind == "room":
            raise fault(
                "vents to outdoors belong to an attic, a crawl space or a garage",
                "kind: attic, or an opening to outdoors",
            )
        return self


class OpeningForm(Form):
    """A door, window, clear opening or grille between two rooms, or a room and outdoors."""

    between: tuple[Name, Name]
    leaf: Size | None = None
    sash: Size | None = None
    clear: Size | None = None
    grille: CrossSection | None = None
    sill: Length | None = None
    height: Length | None = None
    swings: Annotated[str, word("in", "out")] | None = None
    undercut: Undercut | None = None
    stands: Stands | None = None
    opens_up_to: PositiveLength | None = None
    knob: Knob | None = None
    closer: Force | None = None
    faces: Annotated[str, word(*DIRECTIONS)] = ""
    lies: Annotated[str, word("flat")] | None = None
    free: FreeShare | None = None
    door: Name = ""

    @model_validator(mode="after")
    def _one_kind(self) -> OpeningForm:
        given = [kind for kind in ("leaf", "sash", "clear", "grille") if getattr(self, kind) is not None]
        if len(given) != 1:
            raise fault("what kind of opening it is is said once", "leaf (a door), sash (a window), clear, or grille")
        allowed = {
            "leaf": {"swings", "undercut", "stands", "knob", "closer", "faces", "lies", "sill"},
            "sash": {"sill", "opens_up_to", "stands", "faces", "swings"},
            "clear": {"sill", "lies", "door", "stands", "faces"},
            "grille": {"free", "height", "sill", "lies"},
        }[given[0]]
        beside = sorted(self.model_fields_set - allowed - {"between", given[0]})
        if beside:
            names = ", ".join(key.replace("_", " ") for key in beside)
            raise fault(
                f"{names} does not go with {given[0]}", ", ".join(sorted(key.replace("_", " ") for key in allowed))
            )
        if self.leaf is not None and self.knob is not None and self.knob >= self.leaf[0]:
            raise fault("the knob stands off the leaf", "a distance from the edge below the leaf's width")
        position, stop = (self.stands or ("", None))[1], self.opens_up_to or (self.leaf or self.sash or (None,))[0]
        if position is not None and stop is not None and position > stop:
            raise fault("it stands open further than it opens", "a position up to its stop")
        if self.between[0] == self.between[1]:
            raise fault("an opening joins two different spaces", "between: [hall, main bedroom]")
        return self


class FlueForm(Form):
    """`flue: {size: 4 in round, height: 24 ft, shared with: [furnace]}`."""

    size: CrossSection
    height: PositiveLength | None = None
    shared_with: list[Name] = []


class ApplianceForm(Form):
    """Something that burns, or a heat pump."""

    kind: Text = ""
    burns: Annotated[str, word("gas", "propane", "oil", "wood")] | None = None
    vents: (
        Annotated[str, word("natural draft", "fan-assisted", "power vent", "direct vent", "sealed", "none")] | None
    ) = None
    room: Name = ""
    input: Power | None = None
    flue: FlueForm | None = None


class StageForm(Form):
    """`rough-in: {by: 2027-03-02, decides: [make-up air, hood duct]}`."""

    by: Text = ""
    decides: list[Text] = []


def _make_up_air(value: Any) -> Any:
    if isinstance(value, str):
        kind = " ".join(value.lower().split())
        if kind not in ("undecided", "none"):
            raise fault(f"{value[:60]!r} is not known here", "undecided, none, or named arrangements")
        return None if kind == "undecided" else {}
    if value is None:
        raise fault("nothing stands here", "undecided, none, or named arrangements")
    return value


class HouseForm(Form):
    """The whole file."""

    house: Text
    shape: Annotated[str, word("1")] = "1"
    site: SiteForm
    rules: RulesForm = RulesForm()
    limits: LimitsForm = LimitsForm()
    people: PeopleForm = PeopleForm()
    envelope: EnvelopeForm
    levels: dict[Name, LevelForm] = {}
    rooms: Annotated[dict[Name, RoomForm], Field(min_length=1, max_length=100)]
    openings: Annotated[dict[Name, OpeningForm], Field(max_length=300)] = {}
    ventilator: VentilatorForm | None = None
    exhausts: Annotated[dict[Name, ExhaustForm], Field(max_length=40)] = {}
    make_up_air: Annotated[
        Annotated[dict[Name, ArrangementForm], Field(max_length=20)] | None, Short(_make_up_air, "undecided, or none")
    ] = Field(default=None, alias="make-up air")
    air_handler: AirHandlerForm | None = None
    appliances: dict[Name, ApplianceForm] = {}
    stages: dict[Name, StageForm] = {}
    prices: Text = ""
    start_up: Text = ""
    states: dict[Name, dict[Name, Text]] = {}
