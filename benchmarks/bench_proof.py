"""The worst state proved: how many combinations houses have, how many were solved, and how long it took after start."""

from __future__ import annotations

import time

from airledger.io.house_file import loads
from airledger.runs.work import HouseWork
from airledger.search.states import whole_listing
from benchmarks.measure import TURNS, Contest

GOAL = 2.0
HEAD = """house: bench
site: {{elevation: 0 ft, summer: {{outdoors: 93 F, dew point: 76 F, indoors: 75 F, humidity: 50 %}},
  winter: {{outdoors: 40 F, dew point: 30 F, indoors: 70 F, humidity: 40 %}}}}
envelope: {{tightness: 0.6 to 1.8 ach50 (likely 1.1)}}
rooms:
  hall: {{size: 60 ft x 20 ft, corner: [0 ft, 0 ft], ceiling: 9 ft}}
{rooms}  attic: {{kind: attic, area: 3000 ft2, vents: 12 ft2}}
openings:
  entry door: {{between: [hall, outdoors], leaf: 36 in x 80 in, swings: out}}
{doors}{ventilator}exhausts:
  range hood: {{room: hall, speeds: {{low: 200 cfm, high: 600 cfm}}}}
  dryer: {{room: room {last}, speeds: {{on: 150 cfm}}}}
make-up air: none
"""
VENTILATOR = """ventilator:
  kind: erv
  speeds: {low: 80 cfm, boost: 160 cfm}
  supplies: {room 1: 30 %, room 2: 30 %, hall: 40 %}
  takes from: {room 3: 40 %, room 4: 30 %, room 5: 30 %}
"""


def contests() -> list[Contest]:
    """No contest: there is nobody to race; see `facts`."""
    return []


def facts() -> list[str]:
    """A line a house: combinations, solved, proof, seconds after start, least of several."""
    told = []
    for doors, ventilator in ((6, True), (13, False), (13, True)):
        text = house_file(doors, ventilator)
        best, found = float("inf"), None
        for _ in range(TURNS):
            house = loads(text, "bench.yaml")
            begin = time.perf_counter()
            found = HouseWork(house, {}).survey()
            best = min(best, time.perf_counter() - begin)
        listing = whole_listing(house)
        if found is None or listing is None:
            raise RuntimeError("nothing was surveyed")
        goal = f", goal under {GOAL:.0f} s, {'met' if best < GOAL else 'MISSED'}" if doors == 13 and ventilator else ""
        with_it = "with one ERV" if ventilator else "without ventilator"
        told.append(
            f"worst state of {doors + 1} rooms, {doors} doors, attic, {with_it}: {listing.size:,} combinations, "
            f"{found.solved:,} solved, {found.proof}, {best:.2f} s{goal}"
        )
    return told


def house_file(doors: int, ventilator: bool) -> str:
    """An invented house: a hall with a door to each of its rooms under one attic."""
    names = [f"room {number}" for number in range(1, doors + 1)]
    corners = [f"[{8 * (place % 7)} ft, {20 if place < 7 else -12} ft]" for place in range(doors)]
    rooms = "".join(
        f"  {name}: {{size: 8 ft x 12 ft, corner: {corner}, ceiling: 9 ft}}\n"
        for name, corner in zip(names, corners, strict=True)
    )
    leaves = "".join(
        f"  {name} door: {{between: [hall, {name}], leaf: 30 in x 80 in, undercut: 1/2 in}}\n" for name in names
    )
    return HEAD.format(rooms=rooms, doors=leaves, ventilator=VENTILATOR if ventilator else "", last=doors)
