"""What the worst is sought of, whose pressure is the house's, and what each thing that may differ acts on."""

import numpy as np
import pytest

from airledger.house.assemble import build
from airledger.io.house_file import loads
from airledger.physics.held import hold
from airledger.search.bounds import buffers, layout
from airledger.search.reach import groups_of, sides, touched
from airledger.search.sought import HOUSE, fixed_reference, sought_of
from airledger.search.states import whole_listing
from tests.unit.search.test_proof_edges import RING, SITE, SUPPLIED
from tests.unit.search.test_proof_values import GARAGE

PLAN = """
envelope: {{tightness: 1.0 ach50, exponent: 0.65}}
rooms:
  hall: {{area: {hall} ft2, ceiling: 9 ft}}
  den: {{area: 200 ft2, ceiling: 9 ft}}
  bath: {{area: 60 ft2, ceiling: 9 ft}}
  garage: {{kind: garage, area: 500 ft2, vents: 0.1 ft2}}
openings:
  den way: {{between: [hall, den], {den}}}
  bath way: {{between: [{bath}, bath], {leaf}}}
  garage door: {{between: [garage, hall], leaf: 32 in x 80 in, stands: shut}}
  open garage door: {{between: [garage, den], leaf: 32 in x 80 in, stands: open}}
  entry: {{between: [outdoors, hall], leaf: 36 in x 80 in}}
  back door: {{between: [hall, outdoors], leaf: 36 in x 80 in, stands: open}}
  window: {{between: [den, outdoors], sash: 36 in x 48 in, sill: 3 ft, opens up to: 20 in}}
exhausts: {{hood: {{room: hall, speeds: {{high: 100 cfm}}}}}}
make-up air: none
"""
DOOR, ARCH, GRILLE = "leaf: 30 in x 80 in", "clear: 48 in x 84 in", "grille: 14 in x 8 in, free: 65 %, height: 7 ft"


def plan(hall=400, den=DOOR, bath="hall", leaf=DOOR):
    return loads(SITE + PLAN.format(hall=hall, den=den, bath=bath, leaf=leaf), "x.yaml")


def test_every_room_inside_and_every_door_that_is_ever_shut_is_asked():
    house = plan(leaf=ARCH)
    listing, model = whole_listing(house), build(house)
    place = {name: index for index, name in enumerate(model.nodes)}
    found = {one.name: one for one in sought_of(listing, model)}
    assert list(found) == ["house", "hall", "den", "bath", "den way", "garage door", "entry"]  # no arch, no open door
    assert (found["house"].a, found["house"].b, found["house"].opening) == (HOUSE, -1, None)
    assert (found["bath"].a, found["bath"].b, found["bath"].door) == (place["bath"], -1, -1)
    way = found["den way"]
    assert (way.a, way.b, way.opening.name) == (place["hall"], place["den"], "den way")
    freedom = listing.freedoms[way.door]
    assert (freedom.name, freedom.choices[way.shut].words) == ("den way", "den way shut")
    assert (found["garage door"].door, found["entry"].door) == (-1, -1)
    assert (found["entry"].a, found["entry"].b) == (place["hall"], -1)  # outdoors last, however the file has it


def test_a_stair_with_a_door_at_its_head_is_no_leaf_to_pull_at():
    house = plan(den="lies: flat, clear: 3 ft x 8 ft, door: stair door")
    listing = whole_listing(house)
    assert "stair door" in [one.name for one in listing.freedoms]
    names = [one.name for one in sought_of(listing, build(house))]
    assert names == ["house", "hall", "den", "bath", "bath way", "garage door", "entry"]


@pytest.mark.parametrize(
    ("change", "room"),
    [
        ({}, "hall"),  # 400 ft2 against 260 that two doors may join
        ({"hall": 250}, "hall"),  # den and bath meet in the hall alone: 200 ft2 is the most without it
        ({"hall": 250, "bath": "den"}, None),  # its door shut, den and bath may be the larger group: 260 ft2
        ({"hall": 260, "bath": "den"}, None),  # alike
        ({"hall": 261, "bath": "den"}, "hall"),
        ({"hall": 250, "bath": "den", "den": ARCH}, "hall"),  # an arch joins the den to the hall for good
        ({"hall": 250, "bath": "den", "den": GRILLE}, None),  # a grille joins nothing
        ({"hall": 200}, None),  # as large as the den
        ({"hall": 200, "den": ARCH}, None),
        ({"hall": 150, "den": ARCH, "bath": "den"}, "den"),
        ({"hall": 250, "bath": "den", "leaf": GRILLE}, "hall"),  # 250 ft2 against 200
    ],
)
def test_whose_pressure_is_the_houses_whatever_is_open(change, room):
    assert fixed_reference(plan(**change)) == room


def acted_on(text, kept=frozenset()):
    """Freedoms by group, with what each group acts on."""
    house = loads(SITE + text, "x.yaml")
    listing, model = whole_listing(house), build(house)
    elements = model.network.elements
    return {
        tuple(listing.freedoms[place].name for place in group.freedoms): {elements[i].through for i in group.elements}
        for group in groups_of(listing, model, None, kept)
    }


def test_a_damper_belongs_to_the_machines_that_open_it():
    found = acted_on(RING)
    # the opening starts with either hood, the second, into another room, with the big hood: so nothing of them is alone
    assert ("big hood",) not in found
    assert found[("closet fan",)] == {"closet fan"}
    assert found[("closet door",)] == {"closet door"}


def test_what_acts_on_two_ways_is_listed_and_what_is_kept_too():
    found = acted_on(SUPPLIED)
    assert set(found) == {("east door",), ("west door",), ("hood",), ("dryer",)}  # not the ventilator, not the season
    assert set(acted_on(SUPPLIED, frozenset({"hood"}))) == {("east door",), ("west door",), ("dryer",)}


def test_the_steps_of_a_group_are_its_choices():
    house = loads(SITE + GARAGE, "x.yaml")
    listing, model = whole_listing(house), build(house)
    for group in groups_of(listing, model, None, frozenset()):
        (place,) = group.freedoms
        stride = listing.strides[place]
        assert group.steps == tuple(stride * choice for choice in range(len(listing.freedoms[place].choices)))


def test_attic_and_garage_are_held_and_what_joins_rooms_otherwise_too():
    garage, supplied = build(loads(SITE + GARAGE, "x.yaml")), build(loads(SITE + SUPPLIED, "x.yaml"))
    assert [garage.nodes[node] for node in buffers(garage)] == ["garage"]
    assert [garage.nodes[node] for node in layout(garage).joints] == ["garage"]
    assert [garage.nodes[node] for node in layout(garage).rooms] == ["kitchen", "mud room", "bedroom", "bath"]
    assert not len(buffers(supplied))
    assert [supplied.nodes[node] for node in layout(supplied).joints] == [
        "ventilator/supply"
    ]  # the other box joins one room to outdoors


def test_a_door_parts_the_house_where_no_other_way_leads_past_it():
    house = loads(SITE + GARAGE, "x.yaml")
    listing, model = whole_listing(house), build(house)
    ways = {}
    for held in (hold(model.network, buffers(model)), hold(model.network, buffers(model)[:0])):
        for group in groups_of(listing, model, None, frozenset()):
            name = listing.freedoms[group.freedoms[0]].name
            ways.setdefault(name, []).append(sides(held, group.elements))
    mud_held, mud_free = ways["mud door"]
    assert mud_held.parts
    assert not mud_free.parts  # round by the garage
    assert not any(one.parts for one in ways["bath door"])
    assert {mud_held.of_first.sum(), mud_held.of_second.sum()} == {1, 3}
    hood, _ = ways["hood"]
    assert hood.parts
    assert -1 in hood.nodes
    assert ways["garage fan"][0] is None  # what acts on a held space alone
    assert ways["garage fan"][1] is not None


def test_a_thing_acts_on_what_it_changes_in_any_combination():
    house = loads(SITE + RING, "x.yaml")
    listing, model = whole_listing(house), build(house)
    marks = dict(zip((one.name for one in listing.freedoms), touched(listing, model, None), strict=True))
    through = [element.through for element in model.network.elements]
    assert {through[i] for i in marks["small hood"].nonzero()[0]} == {"small hood", "opening damper"}
    assert {through[i] for i in marks["big hood"].nonzero()[0]} == {
        "big hood",
        "opening damper",
        "second damper",
        "second fan",
    }
    assert {through[i] for i in marks["closet fan"].nonzero()[0]} == {"closet fan"}


def slow_hood(columns):
    return (columns["speed", "big hood"] > 0) & (columns["speed", "big hood"] < 0.4)


def three_together(columns):
    return np.all([columns["speed", name] > 0 for name in ("closet fan", "small hood", "big hood")], axis=0)


@pytest.mark.parametrize(
    ("opens", "names"),
    [
        (slow_hood, {"big hood"}),
        (three_together, {"closet fan", "small hood", "big hood"}),
    ],
)
def test_what_a_thing_acts_on_under_an_option_is_found_in_whichever_state_it_does(opens, names):
    house = loads(SITE + RING, "x.yaml")
    listing, model = whole_listing(house), build(house)

    def change(columns):
        return columns | {("open", "opening"): opens(columns).astype(float)}

    marks = dict(zip((one.name for one in listing.freedoms), touched(listing, model, change), strict=True))
    damper = np.array([element.through == "opening damper" for element in model.network.elements])
    assert {name for name, acted in marks.items() if acted[damper].any()} - {"season"} == names


def test_machines_that_open_a_duct_act_on_two_ways_and_are_listed():
    duct = "into: house, duct: {size: 8 in round, made of: galvanized}, run: [straight: 15 ft]"
    damper = "damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}"
    text = f"""
envelope: {{tightness: 1.0 ach50, exponent: 0.65, taped at the test: [one, other]}}
rooms: {{house: {{area: 2500 ft2, ceiling: 10 ft}}}}
exhausts:
  hood: {{room: house, speeds: {{high: 300 cfm}}}}
  dryer: {{room: house, speeds: {{on: 120 cfm}}}}
  fan: {{room: house, speeds: {{on: 60 cfm}}}}
  lone fan: {{room: house, speeds: {{on: 50 cfm}}}}
make-up air:
  one: {{{duct}, {damper}, starts with: {{hood: high, fan: on}}}}
  other: {{{duct}, {damper}, starts with: {{fan: on, dryer: on}}}}
"""
    assert set(acted_on(text, frozenset({"season"}))) == {("lone fan",)}
