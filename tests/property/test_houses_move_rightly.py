"""Houses grown by Hypothesis: a room, a leak, a door, a fan more, and every pressure moves the way theory demands.

Why each direction is certain, and no matter of luck. The air is calm and as warm inside as out, so that no flow is
driven by wind or buoyancy: the flow of every opening is a rising function of the difference across it alone, zero at
zero. Write F(p) for what leaves each room at pressures p. Each row of F rises in its own pressure and falls in every
other, and every room has a way to outdoors; such an F is an M-function (Rheinboldt 1970, from memory), whose inverse
rises: more air pushed into any room lowers no pressure, more air drawn from any room raises none.

* A hole to outdoors in a house under exhaust alone lets air in (no pressure is above outdoors), which is air pushed in.
* A room behind a door that leaks nowhere else is a dead end: no air passes, so it has its neighbour's pressure.
* Two solutions p, p' with flows q, q' of one set of rising laws have sum((d' - d) (q' - q)) >= 0 over the openings.
  Take the door between a and b as air carried from b to a: if more is carried, the sum says that p_b - p_a cannot
  have grown. So a wider door can neither widen the difference nor turn it round.

All houses are invented.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from airledger.io.house_file import loads
from tests.houses import solved

SLACK = 1e-7
"""Pressures closer than this are the same [Pa]: laws are rounded off over so much at zero."""


@dataclass(frozen=True)
class Draft:
    """An invented house in calm air of one temperature, as text on demand; rooms are numbered.

    parents: the room that the door of each room but the first leads to; fans, supplies: (room, flow [cfm]);
    holes: (room, side of a square grille to outdoors [in]); leaks: (share [%], leaky rooms); closet: a room behind
    another without a leak.
    """

    leakage: float
    areas: tuple[float, ...]
    parents: tuple[int, ...]
    undercuts: tuple[float, ...]
    fans: tuple[tuple[int, float], ...]
    leaks: tuple[tuple[float, tuple[int, ...]], ...]
    supplies: tuple[tuple[int, float], ...] = ()
    holes: tuple[tuple[int, float], ...] = ()
    closet: int | None = None
    open_doors: frozenset[int] = frozenset()

    def text(self) -> str:
        """The house file."""
        rooms = [f"  room {i}: {{area: {area:.3f} ft2, ceiling: 8 ft}}\n" for i, area in enumerate(self.areas)]
        doors = [self._door(f"door {i}", parent, f"room {i}", self.undercuts[i - 1])
                 for i, parent in enumerate(self.parents, 1)]  # fmt: skip
        if self.closet is not None:
            rooms.append("  closet: {area: 12 ft2, ceiling: 8 ft}\n")
            doors.append(self._door("closet door", self.closet, "closet", 0.5))
        grilles = [f"  hole {i}: {{between: [room {room}, outdoors], grille: {side:.3f} in x {side:.3f} in, "
                   "free: 60 %}\n" for i, (room, side) in enumerate(self.holes)]  # fmt: skip
        leaks = [f"    leak {i}: {{share: {share!r} %, height: 4 ft, "
                 f"rooms: [{', '.join(f'room {r}' for r in where)}]}}\n"
                 for i, (share, where) in enumerate(self.leaks)]  # fmt: skip
        fans = [f"  fan {i}: {{room: room {room}, speeds: {{on: {flow:.3f} cfm}}}}\n"
                for i, (room, flow) in enumerate(self.fans)]  # fmt: skip
        supplies = [f"  supply {i}: {{into: room {room}, duct: {{size: 8 in round, made of: galvanized}}, "
                    "run: [loss: 2], damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}, "
                    f"starts with: {{fan 0: any speed}}, fan: {{speeds: {{on: {flow:.3f} cfm}}}}}}\n"
                    for i, (room, flow) in enumerate(self.supplies)]  # fmt: skip
        taped = [f"hole {i}" for i in range(len(self.holes))] + [f"supply {i}" for i in range(len(self.supplies))]
        said = [f"fan {i}: on" for i in range(len(self.fans))] + [f"door {i}: open" for i in sorted(self.open_doors)]
        return "".join([
            "house: grown\nsite: {elevation: 0 ft}\n",
            f"envelope:\n  tightness: {self.leakage:.3f} cfm50\n  exponent: 0.65\n",
            f"  taped at the test: [{', '.join(taped)}]\n" if taped else "", "  leaks:\n", *leaks, "rooms:\n", *rooms,
            *(["openings:\n", *doors, *grilles] if doors or grilles else []), "exhausts:\n", *fans,
            *(["make-up air:\n", *supplies] if supplies else ["make-up air: none\n"]),
            f"states:\n  all on: {{{', '.join(said)}}}\n",
        ])  # fmt: skip

    def _door(self, name: str, one: int, other: str, undercut: float) -> str:
        leaf = f"leaf: 30 in x 80 in, undercut: {undercut:.3f} in, stands: shut"
        return f"  {name}: {{between: [room {one}, {other}], {leaf}}}\n"


@st.composite
def drafts(draw: st.DrawFn, rooms: st.SearchStrategy[int] = st.integers(1, 6)) -> Draft:  # noqa: B008 - a strategy
    """A tree of one to six rooms under one to three fans; some rooms have no leak of their own."""
    count = draw(rooms)
    room = st.integers(0, count - 1)
    share = draw(st.floats(5.0, 95.0))
    leaky = st.lists(room, min_size=1, max_size=count, unique=True).map(tuple)
    return Draft(
        leakage=draw(st.floats(150.0, 3000.0)),
        areas=tuple(draw(st.lists(st.floats(40.0, 900.0), min_size=count, max_size=count))),
        parents=tuple(draw(st.integers(0, i - 1)) for i in range(1, count)),
        undercuts=tuple(draw(st.floats(0.5, 1.5)) for _ in range(1, count)),
        fans=tuple(draw(st.lists(st.tuples(room, st.floats(5.0, 40.0)), min_size=1, max_size=3))),
        leaks=((share, draw(leaky)), (100.0 - share, draw(leaky))),
    )


def by_room(draft: Draft) -> dict[str, float]:
    """Pressure of every room [Pa], all fans on."""
    readout = solved(draft.text())
    return {room.name: float(readout.room_pressure(room.name)[0]) for room in readout.house.rooms}


def near(one: float, other: float) -> bool:
    return bool(np.isclose(one, other, rtol=1e-9, atol=SLACK))


def any_room(data: st.DataObject, draft: Draft) -> int:
    return data.draw(st.integers(0, len(draft.areas) - 1))


@given(drafts())
def test_under_exhaust_alone_no_room_is_above_outdoors(draft: Draft) -> None:
    """The highest room can take in from outdoors alone, so it is not above it; some room is below."""
    pressure = by_room(draft)
    assert max(pressure.values()) <= SLACK
    assert min(pressure.values()) < -1e-4


@given(drafts(), st.data())
def test_a_leak_more_deepens_no_room_under_exhaust(draft: Draft, data: st.DataObject) -> None:
    """Every room comes nearer to outdoors or stays; the room with the new hole, if it was below, comes nearer."""
    room, side = any_room(data, draft), data.draw(st.floats(1.0, 20.0))
    before, after = by_room(draft), by_room(replace(draft, holes=((room, side),)))
    for name, pressure in before.items():
        assert abs(after[name]) <= abs(pressure) + SLACK, name
    if before[f"room {room}"] < -0.1:
        assert after[f"room {room}"] > before[f"room {room}"] + SLACK


@given(drafts(), st.data())
def test_a_fan_more_lowers_every_room(draft: Draft, data: st.DataObject) -> None:
    """Every room has a way to every other, so the fall is felt in all: strictly, where the laws are not flat."""
    fan = (any_room(data, draft), data.draw(st.floats(5.0, 40.0)))
    before, after = by_room(draft), by_room(replace(draft, fans=(*draft.fans, fan)))
    for name, pressure in before.items():
        assert after[name] <= pressure + SLACK, name
    assert after[f"room {fan[0]}"] < before[f"room {fan[0]}"] - 1e-5


@given(drafts(), st.data())
def test_a_supply_raises_every_room(draft: Draft, data: st.DataObject) -> None:
    """A fan in a duct blows in: nothing falls, and its own room rises."""
    supply = (any_room(data, draft), data.draw(st.floats(10.0, 40.0)))
    grown = solved(replace(draft, supplies=(supply,)).text())
    assert grown.make_up_flow("supply 0")[0] > 0
    before = by_room(draft)
    after = {name: float(grown.room_pressure(name)[0]) for name in before}
    for name, pressure in before.items():
        assert after[name] >= pressure - SLACK, name
    assert after[f"room {supply[0]}"] > before[f"room {supply[0]}"] + 1e-5


@given(drafts(), st.data())
def test_a_closet_without_a_leak_has_its_neighbour_s_pressure_and_changes_nothing(
    draft: Draft, data: st.DataObject
) -> None:
    room = any_room(data, draft)
    before, after = by_room(draft), by_room(replace(draft, closet=room))
    assert near(after.pop("closet"), after[f"room {room}"])
    assert after.keys() == before.keys()
    for name, pressure in before.items():
        assert near(after[name], pressure), name


@given(drafts(), st.data())
def test_a_leaky_room_behind_a_door_deepens_no_room_and_lies_between(draft: Draft, data: st.DataObject) -> None:
    """A room with a hole behind a door is a hole and a gap in a row: air from outdoors, through a room on its way."""
    other, count, side = any_room(data, draft), len(draft.areas), data.draw(st.floats(1.0, 12.0))
    grown = replace(
        draft, areas=(*draft.areas, 100.0), parents=(*draft.parents, other), undercuts=(*draft.undercuts, 0.75),
        holes=((count, side),),
    )  # fmt: skip
    before, after = by_room(draft), by_room(grown)
    for name, pressure in before.items():
        assert pressure - SLACK <= after[name] <= SLACK, name
    assert after[f"room {other}"] - SLACK <= after[f"room {count}"] <= SLACK


@given(drafts(st.integers(2, 6)), st.data())
def test_opening_a_door_brings_its_two_rooms_together(draft: Draft, data: st.DataObject) -> None:
    """Never farther apart, never turned round; and far nearer, through an opening fifty times the undercut and more."""
    number = data.draw(st.integers(1, len(draft.areas) - 1))
    ends = (f"room {draft.parents[number - 1]}", f"room {number}")
    before, after = by_room(draft), by_room(replace(draft, open_doors=frozenset({number})))
    shut, stands_open = before[ends[0]] - before[ends[1]], after[ends[0]] - after[ends[1]]
    assert abs(stands_open) <= abs(shut) + SLACK
    assume(abs(shut) > 1e-3)
    assert stands_open * shut >= -SLACK
    assert abs(stands_open) < 0.5 * abs(shut) + SLACK


@given(drafts(), st.floats(0.05, 0.95))
def test_a_leak_told_in_two_parts_changes_nothing(draft: Draft, part: float) -> None:
    (share, where), other = draft.leaks
    split = replace(draft, leaks=((share * part, where), (share - share * part, where), other))
    before, after = by_room(draft), by_room(split)
    assert all(near(after[name], pressure) for name, pressure in before.items())


@given(drafts(), st.randoms(use_true_random=False))
def test_the_order_of_the_lists_changes_nothing(draft: Draft, chance: object) -> None:
    house = loads(draft.text(), "grown.yaml")

    def mixed(entries: tuple) -> tuple:  # type: ignore[type-arg]  # whatever the house holds
        return tuple(chance.sample(entries, len(entries)))  # type: ignore[attr-defined]  # Hypothesis's own Random

    other = replace(
        house, rooms=mixed(house.rooms), openings=mixed(house.openings), exhausts=mixed(house.exhausts),
        envelope=replace(house.envelope, leaks=mixed(house.envelope.leaks)),
    )  # fmt: skip
    one, two = solved(house), solved(other)
    for room in house.rooms:
        assert near(one.room_pressure(room.name)[0], two.room_pressure(room.name)[0]), room.name


@given(drafts(), st.floats(1.1, 4.0))
def test_a_tighter_house_is_deeper_under_the_same_fans(draft: Draft, times: float) -> None:
    """Every leak smaller by one share: less comes in at any pressure, which is air drawn out: no room rises."""
    before, after = by_room(draft), by_room(replace(draft, leakage=draft.leakage / times))
    assert all(after[name] <= pressure + SLACK for name, pressure in before.items())
    assert max(after.values()) <= SLACK
