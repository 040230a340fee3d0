"""Elements as the assembly writes them down, and how a batch of settings turns them into laws.

A `Spec` says what an element is in the trade's terms; `laws` gives the numbers for all rows at once. Heights are
above the site's datum; the
pressure of a node is inside minus undisturbed outdoors at the node's own height, so that the offset of an element
between heights is

    b = buoyancy(tail, z_tail) - buoyancy(head, z_head) + (rho_out - rho_column) g (z_head - z_tail) + wind at the ends,
    buoyancy(node, z) = (rho_out - rho_node) g (z - z_node).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from airledger.house.operating_state import EXPONENT, Settings
from airledger.physics import GRAVITY
from airledger.physics.fan import FanCurve
from airledger.physics.laws import FanLaw, FixedFlow, GravityLaw, Law, OrificeLaw, PowerLaw, RunLaw
from airledger.physics.leakage import air_correction
from airledger.physics.moist_air import REFERENCE_DENSITY

Array = NDArray[np.float64]
Factor = Callable[[Settings], Array]
"""A factor [-] on an element, one value a state."""

PLAIN_EXPONENT = 0.65
"""Exponent of a shut damper, flap or core [-]: that of cracks, common practice."""

LEAST = 1e-12
"""What is left of an opening that is shut, as a share of its open coefficient [-].

The envelope's leakage holds the rest.
"""


@dataclass(frozen=True)
class Spec:
    """What all elements have.

    Through and kind in words, names of the nodes at tail and head, their heights [m], and a factor.
    """

    through: str
    kind: str
    tail: str
    head: str
    z_tail: float = 0.0
    z_head: float = 0.0
    column: str = ""
    faces: float | None = None
    factor: Factor | None = None


@dataclass(frozen=True)
class EnvelopeLeak(Spec):
    """A share [-] of the envelope's leakage."""

    share: float = 0.0


@dataclass(frozen=True)
class Orifice(Spec):
    """An opening of an area [m2] with a discharge coefficient [-]; a flow coefficient of a loss K is area / sqrt(K)."""

    area: float = 0.0
    discharge: float = 1.0


@dataclass(frozen=True)
class PlainLeak(Spec):
    """The leakage of something shut: a flow [m3/s] at a pressure difference [Pa]."""

    flow: float = 0.0
    pressure: float = 25.0


@dataclass(frozen=True)
class Machine(Spec):
    """A machine taken as holding its flow [m3/s], at the density of the air it takes in."""

    flow: float = 0.0


@dataclass(frozen=True)
class Fan(Spec):
    """A fan by its curve; speed [-] and size [-] by state."""

    curve: FanCurve = field(default_factory=lambda: FanCurve((), ()))
    speed: Factor | None = None


@dataclass(frozen=True)
class Run(Spec):
    """A duct run.

    length [m] with compression counted; diameter [m] hydraulic; roughness, area [m, m2]; local: sum of K [-] on the
    duct's own
    velocity; fixed [1/m4]: sum of K/(2 A^2) of parts with their own face; filter clean, dirty [Pa] at a flow [m3/s]
    with an exponent [-];
    size: diameter [m] by state where it is looked for; dirty [-] by state.
    """

    length: float = 0.0
    diameter: float = 0.1
    roughness: float = 9e-5
    area: float = 0.01
    local: float = 0.0
    fixed: float = 0.0
    clean: float = 0.0
    dirtied: float = 0.0
    filter_flow: float = 1.0
    filter_exponent: float = 1.0
    size: Factor | None = None
    dirty: Factor | None = None


@dataclass(frozen=True)
class GravityWay(Spec):
    """The open way of a gravity damper or flap: area [m2], loss coefficient [-], opening pressure [Pa]."""

    area: float = 0.0
    loss: float = 1.5
    opens_at: float = 5.0


@dataclass(frozen=True)
class NodeAir:
    """Air at every node for a batch, outdoors last.

    density, dry-air density [kg/m3], viscosity [Pa s], all (nodes + 1, rows or 1).

    Height [m].
    """

    density: Array
    dry: Array
    viscosity: Array
    height: Array


Laws = tuple[tuple[NDArray[np.intp], Law], ...]


def laws(specs: Sequence[Spec], ends: NDArray[np.intp], air: NodeAir, settings: Settings, coefficient: Array) -> Laws:
    """The laws of all elements for a batch.

    Parameters
    ----------
    specs : Sequence[Spec]
        the elements in order [-]
    ends : NDArray[np.intp]
        indices of tail and head of each element, (elements, 2) [-]
    air : NodeAir
        air at the nodes [-]
    settings : Settings
        the states, the envelope's exponent among their columns [-]
    coefficient : Array
        reference flow coefficient of the envelope by state [m3/s/Pa^n]

    Reference: design of the network, docs/theory/network.md.
    """
    made: list[tuple[NDArray[np.intp], Law]] = []
    leaks = _places(specs, EnvelopeLeak, PlainLeak)
    if len(leaks):
        made.append((leaks, _leak(specs, leaks, ends, air, settings, coefficient)))
    for kind, maker in ((Orifice, _orifice), (Machine, _fixed), (Run, _run), (GravityWay, _gravity)):
        places = _places(specs, kind)
        if len(places):
            made.append((places, maker(specs, places, ends, air, settings)))
    fans = _places(specs, Fan)
    curves: dict[FanCurve, list[int]] = {}
    for place in fans:
        curves.setdefault(specs[place].curve, []).append(int(place))
    for curve, listed in curves.items():
        made.append((np.array(listed), _fan(specs, np.array(listed), ends, air, settings, curve)))
    return tuple(made)


def narrow(column: Array) -> Array:
    """A column of one value where all states agree, so that what depends on it is computed once.

    Parameters
    ----------
    column : Array
        one value a state [-]
    """
    return column[:1] if len(column) and np.all(column == column[0]) else column


def _places(specs: Sequence[Spec], *kinds: type[Spec]) -> NDArray[np.intp]:
    return np.array([place for place, spec in enumerate(specs) if isinstance(spec, kinds)], dtype=np.intp)


def _stacked(rows: Sequence[Array]) -> Array:
    """Rows of one or of many values as one array (elements, 1 or rows)."""
    width = max(len(row) for row in rows)
    return np.array([np.broadcast_to(row, (width,)) for row in rows])


def _factor(spec: Spec, settings: Settings) -> Array:
    return np.ones(1) if spec.factor is None else narrow(spec.factor(settings))


def _entering(places: NDArray[np.intp], ends: NDArray[np.intp], values: Array) -> tuple[Array, Array]:
    """A property of the air that enters forward (at the tail) and in reverse (at the head)."""
    return values[ends[places, 0]], values[ends[places, 1]]


def _leak(
    specs: Sequence[Spec],
    places: NDArray[np.intp],
    ends: NDArray[np.intp],
    air: NodeAir,
    settings: Settings,
    coefficient: Array,
) -> PowerLaw:
    envelope_exponent = narrow(settings.columns[EXPONENT])  # no default: it belongs to the coefficient
    base, exponent = [], []
    for spec in (specs[place] for place in places):
        if isinstance(spec, EnvelopeLeak):
            base.append(spec.share * coefficient * _factor(spec, settings))
            exponent.append(envelope_exponent)
        elif isinstance(spec, PlainLeak):
            base.append(spec.flow / spec.pressure**PLAIN_EXPONENT * _factor(spec, settings))
            exponent.append(np.array([PLAIN_EXPONENT]))
    coefficients, exponents = _stacked(base), _stacked(exponent)
    sides = [
        dry * coefficients * air_correction(exponents, density, viscosity)
        for density, dry, viscosity in zip(
            _entering(places, ends, air.density),
            _entering(places, ends, air.dry),
            _entering(places, ends, air.viscosity),
            strict=True,
        )
    ]
    return PowerLaw(sides[0], sides[1], exponents)


def _orifice(
    specs: Sequence[Spec], places: NDArray[np.intp], ends: NDArray[np.intp], air: NodeAir, settings: Settings
) -> OrificeLaw:
    openings = [spec for spec in (specs[place] for place in places) if isinstance(spec, Orifice)]
    areas = _stacked([spec.area * spec.discharge * np.maximum(_factor(spec, settings), LEAST) for spec in openings])
    (density, reverse_density), (dry, reverse_dry) = (
        _entering(places, ends, values) for values in (air.density, air.dry)
    )
    return OrificeLaw(dry * areas * np.sqrt(2.0 / density), reverse_dry * areas * np.sqrt(2.0 / reverse_density))


def _fixed(
    specs: Sequence[Spec], places: NDArray[np.intp], ends: NDArray[np.intp], air: NodeAir, settings: Settings
) -> FixedFlow:
    forward, _ = _entering(places, ends, air.dry)
    flows = _stacked([specs[place].flow * _factor(specs[place], settings) for place in places])
    return FixedFlow(forward * flows)


def _fan(
    specs: Sequence[Spec],
    places: NDArray[np.intp],
    ends: NDArray[np.intp],
    air: NodeAir,
    settings: Settings,
    curve: FanCurve,
) -> FanLaw:
    speeds = _stacked(
        [
            narrow(spec.speed(settings)) if isinstance(spec, Fan) and spec.speed else np.ones(1)
            for spec in (specs[p] for p in places)
        ]
    )
    sizes = _stacked([_factor(specs[place], settings) for place in places])
    forward, reverse = _entering(places, ends, air.dry)
    thickness = _entering(places, ends, air.density)[0] / REFERENCE_DENSITY
    resistance = outside_resistance(curve)
    return FanLaw(curve.knots, curve.coefficients, resistance, speeds, sizes, forward, reverse, thickness)


def outside_resistance(curve: FanCurve) -> float:
    """Resistance k [Pa s2/m6] of a fan beyond free delivery and in backflow.

    It continues the curve's slope at its last point.

    Held between a tenth and ten times shut-off pressure over the square of the largest flow.

    Parameters
    ----------
    curve : FanCurve
        the fan's curve [Pa, m3/s]

    Reference: own continuation, P = -k (Q^2 - Q0^2).
    """
    free, slope = curve.coefficients[3][0], -curve.coefficients[2][0]
    scale = curve.knots[-1] / free**2
    wanted = 1.0 / (2.0 * free * slope) if slope > 0 else scale
    return float(min(max(wanted, 0.1 * scale), 10.0 * scale))


def _run(
    specs: Sequence[Spec], places: NDArray[np.intp], ends: NDArray[np.intp], air: NodeAir, settings: Settings
) -> RunLaw:
    runs = [spec for spec in (specs[place] for place in places) if isinstance(spec, Run)]
    own = _stacked([np.array([run.diameter]) for run in runs])
    wanted = _stacked([np.array([run.diameter]) if run.size is None else narrow(run.size(settings)) for run in runs])
    scale = wanted / own

    def given(name: str) -> Array:
        return np.array([[getattr(run, name)] for run in runs])

    area = given("area") * scale * scale
    resistance = _stacked([_factor(run, settings) for run in runs])
    local = (given("local") / (2 * area * area) + given("fixed") / scale**4) * resistance
    dirt = _stacked([np.zeros(1) if run.dirty is None else narrow(run.dirty(settings)) for run in runs])
    pressure = given("clean") + dirt * (given("dirtied") - given("clean"))
    forward, reverse = _entering(places, ends, air.density)
    dry_forward, dry_reverse = _entering(places, ends, air.dry)
    viscosity = air.viscosity[ends[places, 0]]
    return RunLaw(
        given("length") * np.ones_like(scale), wanted, given("roughness"), area, local, pressure,
        given("filter_flow") * scale * scale, given("filter_exponent"), forward, reverse, dry_forward, dry_reverse,
        viscosity,
    )  # fmt: skip


def _gravity(
    specs: Sequence[Spec], places: NDArray[np.intp], ends: NDArray[np.intp], air: NodeAir, settings: Settings
) -> GravityLaw:
    forward_density, _ = _entering(places, ends, air.density)
    dry, _ = _entering(places, ends, air.dry)
    ways = [spec for spec in (specs[place] for place in places) if isinstance(spec, GravityWay)]
    open_area = _stacked([way.area / np.sqrt(way.loss) * _factor(way, settings) for way in ways])
    return GravityLaw(dry * open_area * np.sqrt(2.0 / forward_density), np.array([[way.opens_at] for way in ways]))


def offsets(
    specs: Sequence[Spec], ends: NDArray[np.intp], columns: NDArray[np.intp], air: NodeAir, wind: Array
) -> Array:
    """Stack, columns of air and wind [Pa] for every element, (elements, 1 or rows).

    Parameters
    ----------
    specs : Sequence[Spec]
        the elements in order [-]
    ends : NDArray[np.intp]
        indices of tail and head of each element, (elements, 2) [-]
    columns : NDArray[np.intp]
        index of the node whose air fills the element between its ends [-]
    air : NodeAir
        air and heights of the nodes, outdoors last [-]
    wind : Array
        wind pressure at the outdoor end of each element, (elements, 1 or rows) [Pa]

    Reference: ASHRAE Fundamentals 2021 ch. 16 eq. 24-25.
    """
    z_tail = np.array([[spec.z_tail] for spec in specs])
    z_head = np.array([[spec.z_head] for spec in specs])
    outside = air.density[-1]
    tail, head = ends[:, 0], ends[:, 1]
    at_tail = (outside - air.density[tail]) * (z_tail - air.height[tail][:, None])
    at_head = (outside - air.density[head]) * (z_head - air.height[head][:, None])
    column = (outside - air.density[columns]) * (z_head - z_tail)
    last = len(air.height) - 1
    sign = (tail == last).astype(float) - (head == last).astype(float)
    offset: Array = GRAVITY * (at_tail - at_head + column) + sign[:, None] * wind
    return offset
