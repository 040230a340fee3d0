"""Plan, walls and levels: drawn to scale, openings in the walls they belong to, every figure that of the state."""

import math
import re
from dataclasses import replace

import pytest

from airledger.house.house import Level, Room
from airledger.quantities import number
from airledger.report import levels, plan, walls
from airledger.report.pages_air import plans
from airledger.units import FOOT
from tests.unit.report.boxes import outside
from tests.unit.report.sample import HOUSE, ROOMS, outcome, rectangle

COOKING = outcome().states[2]
DRAWN = plan.drawn_levels(HOUSE)[0][1]
BY_NAME = {room.name: room for room in DRAWN}


def texts(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


def test_two_rooms_share_exactly_the_wall_between_them() -> None:
    (wall,) = walls.shared(BY_NAME["great room"], BY_NAME["hall"])
    assert wall.length == pytest.approx(24 * FOOT)
    assert [wall.start[0], wall.end[0]] == pytest.approx([28 * FOOT] * 2)


@pytest.mark.parametrize("order", [1, -1])
def test_walls_to_outdoors_are_what_no_neighbour_covers_whichever_way_the_outline_runs(order: int) -> None:
    one = Room("one", outline=rectangle(0, 0, 10, 10)[::order])
    other = Room("other", outline=rectangle(10, 4, 5, 20))
    assert sum(wall.length for wall in walls.outside(one, [one, other])) == pytest.approx((40 - 6) * FOOT)


def test_the_outline_of_the_house_closes() -> None:
    total = sum(wall.length for room in DRAWN for wall in walls.outside(room, DRAWN))
    shared = sum(edge.length for room in DRAWN for edge in walls.edges(room)) - total
    pairs = sum(w.length for a in DRAWN for b in DRAWN if a.name < b.name for w in walls.shared(a, b))
    assert shared == pytest.approx(2 * pairs)


def test_an_opening_sits_on_the_wall_of_both_its_rooms_and_faces_as_it_says() -> None:
    gaps = {gap.opening.name: gap for gap in walls.gaps(HOUSE, DRAWN)}
    assert set(gaps) == {o.name for o in HOUSE.openings} - {"laundry door"}
    assert gaps["back door"].wall.start[1] == gaps["back door"].wall.end[1] == pytest.approx(0)
    door = gaps["main bath door"]
    assert door.wall.length == pytest.approx(door.opening.width)
    assert door.wall.start[0] == pytest.approx(47 * FOOT)


def test_openings_on_one_wall_do_not_cover_each_other() -> None:
    placed = walls.gaps(HOUSE, DRAWN)
    for place, one in enumerate(placed):
        for other in placed[place + 1 :]:
            middles = [gap.wall.at(gap.wall.length / 2) for gap in (one, other)]
            assert math.dist(*middles) > (one.wall.length + other.wall.length) / 2


@pytest.mark.parametrize("system", ["ip", "si"])
def test_every_room_shows_its_pascals_and_every_opening_its_flow(system: str) -> None:
    shown = " ".join(texts(plan.plan(HOUSE, COOKING, DRAWN, system)))
    for name, pascals in COOKING.rooms:
        if name in BY_NAME:
            assert number(pascals, "house pressure", system) in shown
    for flow in COOKING.flows:
        if flow.kind == "door" and flow.through != "laundry door":
            assert number(flow.volume_flow, "air flow", system) in shown
    hood = next(flow for flow in COOKING.flows if flow.kind == "exhaust")
    assert f"range hood {number(hood.volume_flow, 'air flow', system)}" in shown


def test_nothing_written_leaves_the_plan() -> None:
    assert outside(plan.drawing(HOUSE, COOKING, DRAWN, "ip")) == []


def test_the_plan_is_to_scale() -> None:
    picture = plan.drawing(HOUSE, COOKING, DRAWN, "ip")
    bar = re.search(r'<line x1="4" y1="([\d.]+)" x2="([\d.]+)" y2="\1"', "".join(picture.parts))
    assert bar is not None
    xs = [
        float(x) for part in picture.parts if 'stroke-width="6"' in part for x in re.findall(r'x[12]="([\d.]+)"', part)
    ]
    assert (max(xs) - min(xs) - 6) / 57 == pytest.approx((float(bar.group(2)) - 4) / 10, rel=2e-3)


def test_a_deeper_room_hangs_lower_and_shows_what_comes_in_and_goes_out() -> None:
    svg = levels.levels(COOKING, ROOMS, "ip")
    shown = texts(svg)
    assert "−58.3 Pa" in shown
    assert "6 cfm in" in shown
    order = [name for name in shown if name in ROOMS]
    pressures = dict(COOKING.rooms)
    assert order == sorted(order, key=lambda name: -pressures[name])


def test_a_house_that_is_not_drawn_is_told_by_levels_alone() -> None:
    bare = replace(HOUSE, rooms=tuple(replace(room, outline=()) for room in HOUSE.rooms))
    section = plans(replace(outcome(), house=bare), "ip")
    assert section is not None
    assert set(section.pictures) == {"levels.svg"}
    assert set(ROOMS) <= set(texts(section.pictures["levels.svg"].svg()))


def test_more_than_two_rooms_without_a_place_hang_beside_the_plan_as_levels() -> None:
    kept = {"great room", "hall"}
    rooms = tuple(room if room.name in kept else replace(room, outline=()) for room in HOUSE.rooms)
    section = plans(replace(outcome(), house=replace(HOUSE, rooms=rooms)), "ip")
    assert section is not None
    assert "levels.svg" in section.pictures
    assert not any("Not drawn yet: main bedroom" in block.get("words", "") for block in section.blocks)


def test_every_drawn_level_has_a_plan_of_its_own_with_its_own_hatches() -> None:
    up = {"main bedroom", "main bath", "bedroom 2"}
    rooms = tuple(replace(room, level="upper" if room.name in up else "main") for room in HOUSE.rooms)
    two = replace(HOUSE, rooms=rooms, levels=(Level("upper", 2.9), Level("main", 0.0)))
    section = plans(replace(outcome(), house=two), "si")
    assert section is not None
    assert list(section.pictures) == ["plan-main.svg", "plan-upper.svg"]
    assert "Not drawn yet: laundry" in section.blocks[1]["words"]
    upper = texts(section.pictures["plan-upper.svg"].svg())
    assert "main bath" in upper
    assert "great room" not in upper
    ids = [set(re.findall(r' id="([^"]+)"', section.pictures[f"plan-{name}.svg"].svg())) for name in ("main", "upper")]
    assert not ids[0] & ids[1]


def test_a_slanted_room_is_drawn_and_named() -> None:
    slanted = Room("den", area=12.0, outline=((0.0, 0.0), (5.0, 0.0), (3.5, 4.0), (0.5, 3.0)))
    one = replace(outcome().states[0], rooms=(("den", -3.0),), flows=())
    assert "den" in texts(plan.plan(replace(HOUSE, rooms=(slanted,), openings=()), one, [slanted], "ip"))
