"""What moves air in a house: ducts and runs, the ERV or HRV, exhausts, make-up air, as frozen values in SI units."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Duct:
    """Cross-section and make of a duct.

    diameter [m] (round) or width, height [m] (rectangular); made_of: a word of parts/ducts.toml;
    compressed [-] of flex; insulated: words.
    """

    diameter: float | None = None
    width: float | None = None
    height: float | None = None
    made_of: str = "galvanized"
    compressed: float | None = None
    insulated: str = ""


@dataclass(frozen=True)
class FilterDrop:
    """A filter's pressure drop, clean and dirty, each (pressure [Pa], flow [m3/s]); None = default of its grade."""

    grade: str = ""
    clean: tuple[float, float] | None = None
    dirty: tuple[float, float] | None = None


@dataclass(frozen=True)
class Flap:
    """A self-closing flap. opens_at [Pa]; leaks_shut (flow [m3/s], pressure [Pa])."""

    opens_at: float | None = None
    leaks_shut: tuple[float, float] | None = None


@dataclass(frozen=True)
class RunItem:
    """One part of a run, in the order in which the air meets it.

    kind: straight | elbow | transition | tee | wall cap | roof cap | entry | exit | filter | grille | damper | loss |
    fitting.
    length [m] of a straight; rise [m] of a straight that goes up (+) or down (-); angle [degrees] of an elbow; loss
    [-] loss coefficient on
    the duct's own velocity; word: fitting or material word; filter, flap: values; width, height [m], free [-] of a
    grille (diameter if round).
    """

    kind: str
    length: float = 0.0
    rise: float = 0.0
    angle: float = 0.0
    loss: float | None = None
    word: str = ""
    radius_ratio: float | None = None
    filter: FilterDrop | None = None
    flap: Flap | None = None
    width: float | None = None
    height: float | None = None
    diameter: float | None = None
    free: float | None = None


@dataclass(frozen=True)
class FanCurve:
    """A fan's curve as its maker prints it: at: the speed it belongs to.

    Points (flow [m3/s], pressure rise [Pa]) in rising flow.
    """

    at: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Recovery:
    """Rated recovery: sensible, latent effectiveness [-] at a flow [m3/s]."""

    sensible: float
    latent: float = 0.0
    at: float | None = None


@dataclass(frozen=True)
class VentilatorSpeed:
    """One speed of the ERV or HRV as set on balancing day: supply and exhaust flow [m3/s] with the house at 0 Pa."""

    name: str
    supply: float
    exhaust: float


@dataclass(frozen=True)
class Ventilator:
    """An ERV or HRV: two streams with fans.

    Shares [-] by room. core_leaks (flow [m3/s], pressure [Pa]) through the unit when off;
    filters by stream ("outdoor side", "house side"); boost_lasts [s]; room it stands in.
    """

    kind: str
    speeds: tuple[VentilatorSpeed, ...]
    supplies: tuple[tuple[str, float], ...]
    takes_from: tuple[tuple[str, float], ...]
    room: str = ""
    boost_lasts: float | None = None
    fan_curve: FanCurve | None = None
    recovery: Recovery | None = None
    core_leaks: tuple[float, float] | None = None
    filters: tuple[tuple[str, FilterDrop], ...] = ()


@dataclass(frozen=True)
class Exhaust:
    """A machine that blows air out. kind: hood | dryer | bath fan | vacuum | open fireplace | exhaust.

    speeds (name, rated flow [m3/s]) from low to high; fan_curve or rated (flow [m3/s], pressure [Pa]) or neither
    (taken as holding its flow);
    not_picked [m3/s]: largest flow the client may pick; wanted [m3/s]: at least; use [s/year]; vented: "" | "to
    outdoors" | "heat pump".
    """

    name: str
    kind: str
    room: str
    speeds: tuple[tuple[str, float], ...] = ()
    fan_curve: FanCurve | None = None
    rated: tuple[float, float] | None = None
    duct: Duct | None = None
    run: tuple[RunItem, ...] = ()
    not_picked: float | None = None
    wanted: float | None = None
    use: float | None = None
    vented: str = ""


@dataclass(frozen=True)
class Damper:
    """The damper of a make-up opening.

    kind: none | motorized | gravity. opens_in [s]; opens_at [Pa] (gravity);
    leaks_shut (flow [m3/s], pressure [Pa]); without_power: shut | open.
    """

    kind: str = "motorized"
    opens_in: float | None = None
    opens_at: float | None = None
    leaks_shut: tuple[float, float] | None = None
    without_power: str = "shut"


@dataclass(frozen=True)
class MakeUpFan:
    """A powered make-up fan. speeds (name, flow [m3/s]); mismatch [-] half-range; heats [W]."""

    speeds: tuple[tuple[str, float], ...]
    mismatch: float | None = None
    heats: float = 0.0


@dataclass(frozen=True)
class MakeUpAir:
    """One arrangement for make-up air.

    into: a room or "air handler return". starts_with: (exhaust, "any speed" | "medium and up" | a speed).
    waits: exhausts held until the damper's end switch.
    """

    name: str
    into: str
    duct: Duct
    run: tuple[RunItem, ...]
    damper: Damper = field(default_factory=Damper)
    starts_with: tuple[tuple[str, str], ...] = ()
    waits: tuple[str, ...] = ()
    fan: MakeUpFan | None = None
