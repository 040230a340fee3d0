"""A solved batch read in the trade's words: arrays with one value a state, and any state of it as a value."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from math import fsum

import numpy as np
from numpy.typing import NDArray

from airledger.house.assemble import Model
from airledger.house.elements import NodeAir
from airledger.house.envelope import ach50
from airledger.house.house import OUTDOORS, House, Opening
from airledger.house.ledger import DoorForce, Flow, StateResult
from airledger.house.operating_state import ACH50, SEASON, WIND_FROM, WIND_SPEED, Settings, can_move, full_flow
from airledger.house.operating_state import standing_position as standing_at
from airledger.house.outdoors import DIRECTIONS, seasons
from airledger.house.ways import knob_of, opening_floor, swing_of
from airledger.physics import GRAVITY
from airledger.physics.door_force import door_direction, door_force
from airledger.physics.solver import Solution

Array = NDArray[np.float64]

OPEN_ENOUGH = 0.5
"""A door that stands open by this share joins two rooms into one group [-]."""

SHUT_ENOUGH = 1e-6
"""A door open by less than this share is shut [-]."""

LEAST_FLOW = 1e-17
"""Flows below this share of the largest are rounding; an account tells a still node to 1e-15 of the largest [-]."""


class Readout:
    """A solved batch, read in the trade's words: arrays with one value a state."""

    def __init__(self, model: Model, settings: Settings, solution: Solution) -> None:
        self.model, self.settings, self.solution = model, settings, solution
        self.house, self.size = model.house, settings.size
        self._place = {name: index for index, name in enumerate(model.nodes)}

    @cached_property
    def _air(self) -> NodeAir:
        """Air at every node in every state."""
        return self.model.air(self.settings)

    def room_pressure(self, room: str) -> Array:
        """Pressure of a room [Pa], inside minus undisturbed outdoors at its floor.

        Parameters
        ----------
        room : str
            a room's name [-]
        """
        pressure: Array = self.solution.pressure[self._place[room]]
        return pressure

    def position(self, opening: Opening) -> Array:
        """How far an opening stands open [-]; what cannot move is open.

        Parameters
        ----------
        opening : Opening
            the opening [-]
        """
        if not can_move(opening):
            return np.ones(self.size)
        return self.settings.column(("open", opening.name), standing_at(self.house, opening))

    @cached_property
    def _reference(self) -> NDArray[np.intp]:
        """Index of the reference room in every state.

        The largest room of the largest group of rooms joined by open doors; of equal ones the nearest to the ground.
        """
        rooms = self.house.conditioned
        joins = [o for o in self.house.openings if OUTDOORS not in o.between and o.kind != "grille"]
        joins = [o for o in joins if all(self.house.room(name).kind == "room" for name in o.between)]
        stands = np.array([self.position(opening) >= OPEN_ENOUGH for opening in joins], dtype=bool).reshape(
            len(joins), self.size
        )
        patterns, which = np.unique(stands, axis=1, return_inverse=True)
        index = {room.name: number for number, room in enumerate(rooms)}
        chosen = []
        for pattern in patterns.T:
            group = list(range(len(rooms)))
            for opening, is_open in zip(joins, pattern, strict=True):
                if is_open:
                    one, other = (group[index[name]] for name in opening.between)
                    group = [one if entry == other else entry for entry in group]
            chosen.append(_largest_of_largest(self.house, group))
        return np.array(chosen, dtype=np.intp)[which.reshape(-1)]

    def reference_room(self) -> list[str]:
        """The room whose pressure is the house pressure, in every state."""
        return [self.house.conditioned[number].name for number in self._reference]

    def house_pressure(self) -> Array:
        """Pressure of the house [Pa]: that of the reference room."""
        places = np.array([self._place[room.name] for room in self.house.conditioned])
        pressure: Array = self.solution.pressure[places[self._reference], np.arange(self.size)]
        return pressure

    def doors(self) -> tuple[Opening, ...]:
        """The doors with a leaf."""
        return tuple(opening for opening in self.house.openings if opening.kind == "door")

    def door_difference(self, opening: Opening) -> Array:
        """Pressure across a door at its mid-height [Pa]: inside (or its first room) minus the other side.

        Parameters
        ----------
        opening : Opening
            a door [-]
        """
        z = opening_floor(self.house, opening) + opening.sill + opening.height / 2
        sides = sorted(opening.between, key=lambda name: name == OUTDOORS)
        inside, other = (self._pressure_at(name, z) for name in sides)
        difference: Array = inside - other
        return difference

    def _pressure_at(self, name: str, z: float) -> Array:
        if name == OUTDOORS:
            return np.zeros(self.size)
        air, place = self._air, self._place[name]
        column = GRAVITY * (air.density[-1] - air.density[place]) * (z - air.height[place])
        return np.asarray(self.solution.pressure[place] + column)

    def door_force(self, opening: Opening) -> tuple[Array, Array]:
        """Force at the knob that opens a door against the pressure [N], and the difference across it [Pa].

        A door that stands open takes no force.

        Parameters
        ----------
        opening : Opening
            a door [-]
        """
        difference = self.door_difference(opening)
        force = door_force(
            difference, opening.width, opening.width * opening.height, knob_of(opening), opening.closer or 0.0
        )
        return np.where(self.position(opening) <= SHUT_ENOUGH, force, 0.0), difference

    def door(self, name: str) -> tuple[Array, list[str]]:
        """Force [N] and direction words of a door in every state.

        Parameters
        ----------
        name : str
            a door's name [-]
        """
        opening = next(entry for entry in self.doors() if entry.name == name)
        force, difference = self.door_force(opening)
        words: list[str] = [
            door_direction(float(d), swing_of(opening)) if f > 0 else "none"
            for f, d in zip(force, difference, strict=True)
        ]
        return force, words

    def elements(self, kinds: tuple[str, ...], through: str = "", tail: str = "", head: str = "") -> NDArray[np.intp]:
        """Indices of elements by kind, and by what they go through or join where that is given.

        Parameters
        ----------
        kinds : tuple[str, ...]
            kinds in words [-]
        through : str
            exact name, or none [-]
        tail : str
            node at the tail, or none [-]
        head : str
            node at the head, or none [-]
        """
        specs = self.model.specs
        return np.array(
            [
                place
                for place, spec in enumerate(specs)
                if spec.kind in kinds
                and through in ("", spec.through)
                and tail in ("", spec.tail)
                and head in ("", spec.head)
            ],
            dtype=np.intp,
        )  # fmt: skip

    def _dry_density(self, node: str) -> Array:
        density: Array = self._air.dry[len(self.model.nodes) if node == OUTDOORS else self._place[node]]
        return density

    def machine_flow(self, exhaust: str) -> Array:
        """What an exhaust really moves [m3/s], at the density of the room's air.

        Parameters
        ----------
        exhaust : str
            its name [-]
        """
        machine = next(entry for entry in self.house.exhausts if entry.name == exhaust)
        places = self.elements(("exhaust",), through=exhaust)
        return np.asarray(_summed(self.solution.flow, places) / self._dry_density(machine.room))

    def rated_flow(self, exhaust: str) -> Array:
        """What an exhaust is rated for at its speed [m3/s].

        Parameters
        ----------
        exhaust : str
            its name [-]
        """
        machine = next(entry for entry in self.house.exhausts if entry.name == exhaust)
        speed, size = self.settings.column(("speed", exhaust), 0.0), self.settings.column(("flow", exhaust), 1.0)
        return full_flow(machine) * speed * size

    def ventilator_mass_flow(self) -> tuple[Array, Array]:
        """Dry air [kg/s] that the ventilator supplies to the rooms, and that it takes from them."""
        supply = self.elements(("ventilator",), tail="ventilator/supply")
        exhaust = self.elements(("ventilator",), head="ventilator/exhaust")
        return _summed(self.solution.flow, supply), _summed(self.solution.flow, exhaust)

    def ventilator_flow(self) -> tuple[Array, Array]:
        """Air [m3/s] that the ventilator supplies to the rooms and takes from them, each at its own density."""
        supply, exhaust = self.ventilator_mass_flow()
        return supply / self._dry_density("ventilator/supply"), exhaust / self._dry_density("ventilator/exhaust")

    def make_up_mass_flow(self, arrangement: str) -> Array:
        """Dry air [kg/s] that a make-up arrangement brings in, its fan included.

        Parameters
        ----------
        arrangement : str
            its name [-]
        """
        places = [
            place
            for place, spec in enumerate(self.model.specs)
            if spec.tail == OUTDOORS and spec.through in (f"{arrangement} duct", f"{arrangement} fan")
        ]
        return _summed(self.solution.flow, np.array(places, dtype=np.intp))

    def make_up_flow(self, arrangement: str) -> Array:
        """Outdoor air [m3/s] that a make-up arrangement brings in, at outdoor density.

        Parameters
        ----------
        arrangement : str
            its name [-]
        """
        return np.asarray(self.make_up_mass_flow(arrangement) / self._dry_density(OUTDOORS))

    def envelope_inflow(self) -> Array:
        """Air that comes in through the envelope's leaks [m3/s], inflow only, at the density of the air that enters."""
        total = np.zeros(self.size)
        for place in self.elements(("leak",)):
            total = total + np.maximum(self.solution.flow[place], 0.0) / self._dry_density(self.model.specs[place].tail)
        return total

    def outdoor_air_mass(self) -> Array:
        """All dry air that comes into the rooms from outdoors and from buffer spaces [kg/s]."""
        buffers = {room.name for room in self.house.rooms if room.kind != "room"} | {OUTDOORS}
        total = np.zeros(self.size)
        for place, spec in enumerate(self.model.specs):
            flow = self.solution.flow[place]
            if spec.tail in buffers and spec.head not in buffers:
                total = total + np.maximum(flow, 0.0)
            elif spec.head in buffers and spec.tail not in buffers:
                total = total + np.maximum(-flow, 0.0)
        return total

    def state(self, row: int, name: str, kind: str = "normal", why: str = "", with_flows: bool = True) -> StateResult:
        """One state as a value.

        Parameters
        ----------
        row : int
            which state of the batch [-]
        name : str
            what to call it [-]
        kind : str
            normal or fault [-]
        why : str
            why it is looked at [-]
        with_flows : bool
            whether every flow is listed [-]
        """
        one = self.settings.of_rows(np.array([row], dtype=np.intp))
        alone = Readout(self.model, one, _row(self.solution, row))
        season = seasons(self.house)[int(one.column(SEASON, 0.0)[0])].name
        forces = []
        for opening in self.doors():
            force, words = alone.door(opening.name)
            forces.append(DoorForce(opening.name, float(force[0]), words[0]))
        return StateResult(
            name, kind, why, season, wind_words(one), float(one.column(ACH50, ach50(self.house).likely)[0]),
            float(alone.house_pressure()[0]), alone.reference_room()[0],
            tuple((room.name, float(alone.room_pressure(room.name)[0])) for room in self.house.rooms),
            tuple(alone.flows()) if with_flows else (), tuple(forces), float(self.solution.residual_relative[row]),
            one.state(0, name, kind, why).settings,
        )  # fmt: skip

    def flows(self) -> Iterator[Flow]:
        """Every flow of the batch's first state.

        Elements with one name between the same ends, flowing the same way, are added up.
        """
        sums: dict[tuple[str, str, str, str], float] = {}
        for place, spec in enumerate(self.model.specs):
            mass = float(self.solution.flow[place, 0])
            ends = (spec.tail, spec.head) if mass >= 0 else (spec.head, spec.tail)
            key = (spec.through, spec.kind, *ends)
            sums[key] = sums.get(key, 0.0) + abs(mass)
        least = LEAST_FLOW * max(sums.values(), default=0.0)
        for (through, kind, start, end), mass in sums.items():
            if mass > least:
                yield Flow(through, kind, start, end, mass, mass / float(self._dry_density(start)[0]))


def wind_words(settings: Settings) -> str:
    """Wind of the batch's first state in words: calm, or 6.7 m/s from west.

    Parameters
    ----------
    settings : Settings
        the states [-]
    """
    speed = float(settings.column(WIND_SPEED, 0.0)[0])
    if speed == 0:
        return "calm"
    origin = float(settings.column(WIND_FROM, 0.0)[0])
    near = min(DIRECTIONS, key=lambda word: abs((DIRECTIONS[word] - origin + 180.0) % 360.0 - 180.0))
    return f"{speed:.1f} m/s from {near}"


def _largest_of_largest(house: House, group: Sequence[int]) -> int:
    """Index of the largest room of the group with the most floor.

    Of equal ones the floor nearest the ground outside counts, then the name; the order of the file never does.
    """
    rooms = house.conditioned
    members: dict[int, list[int]] = {}
    for number, entry in enumerate(group):
        members.setdefault(entry, []).append(number)

    def larger(number: int) -> tuple[float, float, str]:
        room = rooms[number]
        return -room.area, abs(house.floor(room.name)), room.name

    firsts = {min(numbers, key=larger): fsum(rooms[n].area for n in numbers) for numbers in members.values()}
    return min(firsts, key=lambda number: (-firsts[number], *larger(number)))


def _summed(flow: Array, places: NDArray[np.intp]) -> Array:
    total = np.zeros(flow.shape[1])
    for place in places:
        total = total + flow[place]
    return total


def _row(solution: Solution, row: int) -> Solution:
    at = slice(row, row + 1)
    return Solution(
        solution.network, solution.pressure[:, at], solution.flow[:, at], solution.converged[at],
        solution.residual_relative[at], solution.iterations[at],
    )  # fmt: skip
