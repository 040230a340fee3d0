"""The house: frozen values in the trade's words. Nothing here is computed and nothing here reads a file.

Units are SI throughout (Pa, m, m3/s, degC, degrees); a value not known yet is an `Uncertain`. Every value keeps what
the file says; what it leaves out is None (or empty) and is filled, and listed as assumed, where it is used.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from airledger.house.air_movers import (
    Damper,
    Duct,
    Exhaust,
    FanCurve,
    FilterDrop,
    Flap,
    MakeUpAir,
    MakeUpFan,
    Recovery,
    RunItem,
    Ventilator,
    VentilatorSpeed,
)
from airledger.uncertain import Uncertain

__all__ = [
    "OUTDOORS",
    "Appliance",
    "Damper",
    "Duct",
    "Envelope",
    "Exhaust",
    "FanCurve",
    "FilterDrop",
    "Flap",
    "House",
    "Leak",
    "Level",
    "Limit",
    "Limits",
    "MakeUpAir",
    "MakeUpFan",
    "NamedState",
    "Opening",
    "Price",
    "Recovery",
    "Room",
    "Ruling",
    "RunItem",
    "Season",
    "Site",
    "Stage",
    "Ventilator",
    "VentilatorSpeed",
    "Wind",
]

OUTDOORS = "outdoors"


@dataclass(frozen=True)
class Season:
    """Air outdoors and indoors in one season. temperatures, dew point [degC], humidity [-] relative."""

    name: str
    outdoor_temperature: float
    outdoor_dew_point: float
    indoor_temperature: float
    indoor_humidity: float


@dataclass(frozen=True)
class Wind:
    """Wind to reckon with.

    Low, high [m/s] at the weather station; direction it comes from [degrees, 0 = north], None = any.
    """

    low: float
    high: float
    direction: float | None = None


@dataclass(frozen=True)
class Site:
    """Where the house stands, and since when.

    Elevation [m]; north [degrees]: where the plan's up (y) axis points, clockwise from true north. built: the year,
    None for a house that is being built.
    """

    place: str = ""
    elevation: float = 0.0
    surroundings: str = "houses and trees"
    seasons: tuple[Season, ...] = ()
    wind: Wind | None = None
    north: float = 0.0
    built: int | None = None


@dataclass(frozen=True)
class Limit:
    """A limit the user set: wanted and tolerated [SI unit of the quantity].

    A pressure is negative when the house is pulled down.
    """

    wanted: float
    tolerated: float


@dataclass(frozen=True)
class Limits:
    """The user's limits; None where the file is silent. house_pressure [Pa], door_pull [N]."""

    house_pressure: Limit | None = None
    door_pull: Limit | None = None


@dataclass(frozen=True)
class Ruling:
    """What an official decided: subject, verdict in words, date and name."""

    subject: str
    says: str
    on: str = ""
    by: str = ""


@dataclass(frozen=True)
class Leak:
    """One place where the envelope leaks.

    Share [-] of the tested leakage; height [m] above the room's floor; to: outdoors or a space.
    """

    name: str
    share: float
    height: float
    to: str = OUTDOORS
    rooms: tuple[str, ...] = ()


@dataclass(frozen=True)
class Envelope:
    """Tightness as lived in. `tightness` in `tightness_unit`: "ach50" [1/h] or "flow50" [m3/s at 50 Pa, reference air].

    taped: names of things sealed during the test. volume [m3]. tested: (what the test stands for, files of readings);
    measured_by: the standard, once the tightness is the test's.
    """

    tightness: Uncertain
    tightness_unit: str = "ach50"
    exponent: Uncertain | None = None
    taped: tuple[str, ...] = ()
    leaks: tuple[Leak, ...] = ()
    volume: float | None = None
    tested: tuple[tuple[str, tuple[str, ...]], ...] = ()
    measured_by: str = ""


@dataclass(frozen=True)
class Level:
    """A storey. floor [m] above the site's ground datum; below_grade [m] of its walls."""

    name: str
    floor: float = 0.0
    below_grade: float = 0.0


@dataclass(frozen=True)
class Room:
    """A room or a buffer space. kind: room | attic | crawl space | garage.

    area [m2], ceiling [m], volume [m3] or None = area x ceiling; outline [m] as (x, y) corners or () when not drawn;
    vents [m2] free area to outdoors of a buffer space; air_as: "house" | "outdoors"; air [degC] by season name where
    it differs.
    """

    name: str
    kind: str = "room"
    level: str = ""
    area: float = 0.0
    ceiling: float = 2.4384
    volume: float | None = None
    outline: tuple[tuple[float, float], ...] = ()
    vents: float | None = None
    air_as: str = "house"
    air: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Opening:
    """A way between two spaces. kind: door (a leaf) | window (a sash) | clear (always open) | grille.

    between: two room names or "outdoors". width, height [m] of leaf, sash, clear opening or grille face. sill [m]:
    lower edge above the floor
    of the first room. swings: in | out | "" (a door to outdoors swings in or out of the house; else towards the first
    room = "in").
    undercut [m]; carpet: the undercut is blocked by carpet; stands: shut | open | a position "6 in" read as metres in
    `stands_open` [m];
    opens_up_to [m]; knob [m] from the knob to the edge; closer [N] at the knob; faces: compass word; lies_flat: a
    stair or hatch in a floor;
    free [-] free-area ratio of a grille; door: name of a door that closes this clear opening.
    """

    name: str
    kind: str
    between: tuple[str, str]
    width: float
    height: float
    sill: float = 0.0
    swings: str = ""
    undercut: float | None = None
    carpet: bool = False
    stands: str | None = None
    stands_open: float | None = None
    opens_up_to: float | None = None
    knob: float | None = None
    closer: float | None = None
    faces: str = ""
    lies_flat: bool = False
    free: float = 1.0
    door: str = ""


@dataclass(frozen=True)
class Appliance:
    """Something that burns, or a heat pump.

    burns: "" | gas | oil | wood | propane; vents: natural draft | fan-assisted | power vent | direct vent |
    sealed | none; flue_diameter, flue_height [m]; shared_with: names; input [W].
    """

    name: str
    kind: str = ""
    burns: str = ""
    vents: str = ""
    room: str = ""
    input: float | None = None
    flue_diameter: float | None = None
    flue_height: float | None = None
    shared_with: tuple[str, ...] = ()


@dataclass(frozen=True)
class NamedState:
    """A state that the file names: (what, how) pairs that differ from how things stand."""

    name: str
    settings: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Stage:
    """A stage of the build: by when what has to be decided."""

    name: str
    by: str = ""
    decides: tuple[str, ...] = ()


@dataclass(frozen=True)
class Price:
    """One line of a price list: item, size words, price each [USD], trade."""

    item: str
    size: str
    each: float
    trade: str = ""


@dataclass(frozen=True)
class House:
    """Everything the file says.

    Make_up_air: None = undecided, () = none. prices, start_up, local_rules: files or
    folders beside the house's own. balance: the meaning of balanced that the user chose.
    """

    name: str
    site: Site
    envelope: Envelope
    rooms: tuple[Room, ...]
    levels: tuple[Level, ...] = ()
    limits: Limits = field(default_factory=Limits)
    rulings: tuple[Ruling, ...] = ()
    bedrooms: int | None = None
    sleeping: int | None = None
    openings: tuple[Opening, ...] = ()
    ventilator: Ventilator | None = None
    exhausts: tuple[Exhaust, ...] = ()
    make_up_air: tuple[MakeUpAir, ...] | None = ()
    appliances: tuple[Appliance, ...] = ()
    states: tuple[NamedState, ...] = ()
    stages: tuple[Stage, ...] = ()
    prices: str = ""
    start_up: str = ""
    local_rules: str = ""
    balance: str = ""

    def room(self, name: str) -> Room:
        """The room of a name.

        Parameters
        ----------
        name : str
            a room's name [-]

        Raises
        ------
        KeyError
            no room has that name.
        """
        for room in self.rooms:
            if room.name == name:
                return room
        raise KeyError(name)

    def floor(self, name: str) -> float:
        """Height of a room's floor [m] above the site's datum; 0 for outdoors and for houses without levels.

        Parameters
        ----------
        name : str
            a room's name or outdoors [-]
        """
        if name == OUTDOORS:
            return 0.0
        level = self.room(name).level
        return next((entry.floor for entry in self.levels if entry.name == level), 0.0)

    @property
    def conditioned(self) -> tuple[Room, ...]:
        """The rooms inside the envelope: not attic, crawl space or garage."""
        return tuple(room for room in self.rooms if room.kind == "room")

    @property
    def volume(self) -> float:
        """Air volume inside the envelope [m3]: as given, else the rooms' volumes added up."""
        if self.envelope.volume is not None:
            return self.envelope.volume
        return sum(room.volume if room.volume is not None else room.area * room.ceiling for room in self.conditioned)
