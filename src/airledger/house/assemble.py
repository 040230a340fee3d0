"""From a house to network rows: topology once, numbers for any batch of states.

Every candidate opening is in place; a shut one keeps a shut leakage. Temperatures are data of the row, never of the
flow. What the blower-door
test already held counts once: the model is run as the test was (fans off, rooms at -50 Pa, taped things shut), and
what its openings pass
then is taken off the tested leakage before that is spread over the leaks.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from airledger.errors import InputError
from airledger.house import machines, ways
from airledger.house.elements import LEAST, EnvelopeLeak, NodeAir, Orifice, Spec, laws, narrow, offsets
from airledger.house.envelope import ach50, exponent, leaks
from airledger.house.house import OUTDOORS, House
from airledger.house.operating_state import (
    ACH50,
    EXPONENT,
    SEASON,
    WIND_FROM,
    WIND_SPEED,
    Key,
    Settings,
    can_move,
    standing,
)
from airledger.house.outdoors import REFERENCE_SEASON, Outdoors, outdoors, seasons, weather, wind_at_eaves
from airledger.physics.leakage import TEST_PRESSURE, flow_from_air_changes
from airledger.physics.moist_air import REFERENCE_DENSITY, AirState
from airledger.physics.network import OUTSIDE, Element, Network, Rows
from airledger.physics.solver import solve
from airledger.physics.stack_and_wind import facade_pressure_coefficient, wind_pressure
from airledger.sources import Assumption, Source
from airledger.units import CFM

Array = NDArray[np.float64]

LEAST_LEFT = 0.4
"""Share of the tested leakage left for the envelope once the openings are taken off; less is a caution [-]."""

PARTS = ("duct", "damper", "fan", "flap", "undercut")
"""What the elements of a machine, a make-up opening or a door are called after its name."""

CLAMP = 1e4
"""Conductance with which rooms are held at the test pressure, as an orifice [m2]: large against any opening."""


@dataclass(frozen=True)
class Model:
    """A house as a network: specs of its elements, their order, what was assumed."""

    house: House
    specs: tuple[Spec, ...]
    assumed: tuple[Assumption, ...]
    reference_air: bool = False

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """Rooms first, then duct junctions, in the order in which they are met."""
        names = dict.fromkeys(room.name for room in self.house.rooms)
        for spec in self.specs:
            names.update(dict.fromkeys(name for name in (spec.tail, spec.head) if name != OUTDOORS))
        return tuple(names)

    @cached_property
    def network(self) -> Network:
        """The topology."""
        place = {name: index for index, name in enumerate(self.nodes)} | {OUTDOORS: OUTSIDE}
        return Network(self.nodes, tuple(Element(s.through, s.kind, place[s.tail], place[s.head]) for s in self.specs))

    @cached_property
    def ends(self) -> NDArray[np.intp]:
        """Node of tail and head of each element; outdoors is the last place."""
        last = len(self.nodes)
        both = np.stack([self.network.tail, self.network.head], axis=1)
        return np.where(both == OUTSIDE, last, both)

    @cached_property
    def columns(self) -> NDArray[np.intp]:
        """Node whose air fills each element between its ends."""
        place = {name: index for index, name in enumerate(self.nodes)} | {OUTDOORS: len(self.nodes)}
        return np.array([place[spec.column or spec.tail] for spec in self.specs], dtype=np.intp)

    @cached_property
    def heights(self) -> Array:
        """Height of every node [m] above the site's datum: a room's floor, a junction's own height; outdoors last."""
        found = {room.name: self.house.floor(room.name) for room in self.house.rooms}
        for spec in self.specs:
            for name, z in ((spec.tail, spec.z_tail), (spec.head, spec.z_head)):
                found.setdefault(name, z)
        return np.array([*(found[name] for name in self.nodes), 0.0])

    @cached_property
    def _air_by_season(self) -> NodeAir:
        """Air at every node, one column a season."""
        kinds = (outdoors(REFERENCE_SEASON, 0.0),) if self.reference_air else weather(self.house)
        table = np.array([[_air_of(self.house, name, season) for season in kinds] for name in (*self.nodes, OUTDOORS)])
        return NodeAir(table[..., 0], table[..., 1], table[..., 2], self.heights)

    def air(self, settings: Settings) -> NodeAir:
        """Air at every node in every state.

        Parameters
        ----------
        settings : Settings
            the states [-]
        """
        which = narrow(settings.column(SEASON, 0.0)).astype(np.intp)
        seasonal = self._air_by_season
        return NodeAir(
            seasonal.density[:, which], seasonal.dry[:, which], seasonal.viscosity[:, which], seasonal.height
        )

    def rows(self, settings: Settings) -> Rows:
        """The numbers of a batch of states.

        Parameters
        ----------
        settings : Settings
            the states [-]

        Raises
        ------
        InputError
            the openings of the file pass more air at 50 Pa than the whole house was tested to leak.
        """
        settings = self._completed(settings)
        air = self.air(settings)
        coefficient = self.envelope_coefficient(settings)
        made = laws(self.specs, self.ends, air, settings, coefficient)
        offset = offsets(self.specs, self.ends, self.columns, air, self._wind(settings, air))
        return Rows(made, offset, settings.size, settings.names)

    @cached_property
    def _standing(self) -> dict[Key, float]:
        """How the house stands when nothing is said."""
        return standing(self.house)

    def _completed(self, settings: Settings) -> Settings:
        """The states with a column for all that can be set: what none of them names stands as it stands."""
        return settings.with_({key: value for key, value in self._standing.items() if key not in settings.columns})

    def envelope_coefficient(self, settings: Settings) -> Array:
        """Flow coefficient of all envelope leaks [m3/s/Pa^n] at reference air, one value a state or one for all.

        Parameters
        ----------
        settings : Settings
            their tightness and exponent are read [-]

        Raises
        ------
        InputError
            the openings of the file pass more air at 50 Pa than the whole house was tested to leak.

        Reference: Q50 = ACH50 V / 3600, C = Q50 / 50^n (closed form).
        """
        if self.reference_air:
            return np.array([LEAST])
        tested = flow_from_air_changes(narrow(settings.column(ACH50, ach50(self.house).likely)), self.house.volume)
        power = narrow(settings.column(EXPONENT, exponent(self.house)[0].likely))
        left = tested - self.held_at_test
        if np.any(left <= 0):
            raise InputError(
                f"the openings in the file pass {_both(self.held_at_test)} at 50 Pa, more than the house leaks in all, "
                f"{_both(float(np.min(tested)))}; "
                "if they were sealed during the blower-door test, list them under  envelope: taped at the test"
            )
        coefficient: Array = np.asarray(left / TEST_PRESSURE**power)
        return coefficient

    @cached_property
    def held_at_test(self) -> float:
        """Flow that the modelled openings pass during the test [m3/s, reference air].

        Fans off, every room at -50 Pa, taped things left out.
        """
        taped = set(self.house.envelope.taped)
        specs = [spec for spec in self.specs if not isinstance(spec, EnvelopeLeak) and not _is_taped(spec, taped)]
        inside = {room.name for room in self.house.conditioned}
        clamps = [Orifice("test fan", "test", OUTDOORS, room, area=CLAMP) for room in sorted(inside)]
        still = replace(self, specs=(*specs, *clamps), reference_air=True)
        settings = _as_tested(self.house)
        rows = still.rows(settings)
        offset = np.zeros_like(rows.offset)
        offset[len(specs) :] = -TEST_PRESSURE
        solution = solve(still.network, Rows(rows.laws, offset, 1, ("blower-door test",)))
        return max(0.0, -float(solution.flow[len(specs) :, 0].sum()) / REFERENCE_DENSITY)

    @property
    def left_for_envelope(self) -> float:
        """Share of the likely tested leakage that is left for the envelope [-]."""
        return 1.0 - self.held_at_test / float(flow_from_air_changes(ach50(self.house).likely, self.house.volume))

    def _wind(self, settings: Settings, air: NodeAir) -> Array:
        """Wind pressure at the outdoor end of every element [Pa]."""
        speed = narrow(settings.column(WIND_SPEED, 0.0))
        pressure = np.zeros((len(self.specs), 1))
        if not np.any(speed):
            return pressure
        at_eaves = speed * wind_at_eaves(self.house, 1.0)
        direction = narrow(settings.column(WIND_FROM, 0.0))
        whole = np.zeros((len(self.specs), max(len(speed), len(direction), air.density.shape[1])))
        for place, spec in enumerate(self.specs):
            if spec.faces is not None:
                angle = np.radians(direction - (spec.faces + self.house.site.north))
                whole[place] = wind_pressure(facade_pressure_coefficient(angle), at_eaves, air.density[-1])
        return whole


def build(house: House) -> Model:
    """The topology of a house.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    specs = ways.leak_specs(house)
    vents, assumed = ways.vent_specs(house)
    openings, more = ways.opening_specs(house)
    specs, assumed = [*specs, *vents, *openings], [*_general(house), *assumed, *more]
    for exhaust in house.exhausts:
        made, more = machines.exhaust_specs(house, exhaust)
        specs, assumed = [*specs, *made], [*assumed, *more]
    if house.ventilator is not None:
        made, more = machines.ventilator_specs(house, house.ventilator)
        specs, assumed = [*specs, *made], [*assumed, *more]
    for arrangement in house.make_up_air or ():
        made, more = machines.make_up_specs(house, arrangement)
        specs, assumed = [*specs, *made], [*assumed, *more]
    return Model(house, tuple(specs), tuple(assumed))


def _air_of(house: House, name: str, season: Outdoors) -> tuple[float, float, float]:
    """Density, dry-air density [kg/m3] and viscosity [Pa s] of the air at a node."""
    air = node_air(house, name, season)
    return float(air.density), float(air.dry_air_density), float(air.viscosity)


def node_air(house: House, name: str, season: Outdoors) -> AirState:
    """The air at a node in a season.

    A room's own, outdoors, that of the end a duct is meant to draw from, or what leaves the core.

    Parameters
    ----------
    house : House
        rooms and machines [-]
    name : str
        a room, outdoors, or a junction such as ventilator/supply [-]
    season : Outdoors
        the weather [-]
    """
    if name in (OUTDOORS, "ventilator/intake"):
        return season.outdoor
    owner, _, part = name.partition("/")
    if part and owner == "ventilator":
        return _behind_core(house, season) if part == "supply" else _behind_core(house, season, out=part == "outlet")
    for exhaust in house.exhausts:
        if part and exhaust.name == owner:
            return season.air_of(house.room(exhaust.room))
    return season.outdoor if part else season.air_of(house.room(name))


def _behind_core(house: House, season: Outdoors, out: bool | None = None) -> AirState:
    """Air behind the core: supply (out None), house air before it (out False), exhaust behind it (out True)."""
    if out is False:
        return season.indoor
    recovery = house.ventilator.recovery if house.ventilator else None
    warm, wet = (recovery.sensible, recovery.latent) if recovery else (0.0, 0.0)
    if out:
        warm, wet = 1.0 - warm, 1.0 - wet
    outdoor, indoor = season.outdoor, season.indoor
    temperature = float(outdoor.temperature) + warm * (float(indoor.temperature) - float(outdoor.temperature))
    humidity = float(outdoor.humidity_ratio) + wet * (float(indoor.humidity_ratio) - float(outdoor.humidity_ratio))
    return AirState(temperature, humidity, season.barometer)


def _as_tested(house: House) -> Settings:
    """How a house stands during a blower-door test.

    Every fan off, doors between rooms open, everything to outdoors shut.
    """
    state: dict[Key, float] = {}
    for (kind, name), value in standing(house).items():
        state[kind, name] = 0.0 if kind == "speed" else value
    for opening in house.openings:
        if OUTDOORS in opening.between and can_move(opening):
            state["open", opening.name] = 0.0
    return Settings({key: np.array([value]) for key, value in state.items()}, 1)


def _is_taped(spec: Spec, taped: set[str]) -> bool:
    """Whether an element belongs to something that was sealed during the test."""
    ventilator = spec.kind == "ventilator" and bool(taped & {"ventilator", "erv", "hrv"})
    return ventilator or any(spec.through in (name, *(f"{name} {part}" for part in PARTS)) for name in taped)


def _both(flow: float) -> str:
    """A test flow in both systems of units: an error is read before anyone has said which."""
    return f"{flow / CFM:,.0f} cfm ({flow * 3600:,.0f} m3/h)"


def _general(house: House) -> list[Assumption]:
    """What is taken for the whole house where the file is silent."""
    assumed = [*leaks(house)[1], *exponent(house)[1]]
    if seasons(house) == (REFERENCE_SEASON,):
        why = "no season given: dry air at 20 C inside and out, calm"
        assumed.append(Assumption("site / summer", 20.0, "degC", why, Source("reference air", "practice")))
    if house.site.wind is None:
        assumed.append(Assumption("site / wind", 0.0, "m/s", "no wind given: calm", Source("calm", "practice")))
    if house.exhausts or house.ventilator or house.make_up_air:
        why = "heights of caps and grilles not given: the middle of the room they belong to"
        assumed.append(
            Assumption("heights of caps and grilles", "mid-room", "", why, Source("neutral choice", "practice"))
        )
    return assumed
