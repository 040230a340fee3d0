"""The proof of the worst state at the edges of what a house may be: one room, no doors, rings, shared dampers.

The oracle is the lister, which solves every combination. All houses are invented.
"""

import pytest

from airledger.house.assemble import build
from airledger.house.readout import Readout
from airledger.io.house_file import loads
from airledger.physics.solver import solve
from airledger.search import proof as proof_module
from airledger.search import reach
from airledger.search.limits import limits
from airledger.search.proof import prove
from airledger.search.proving import CLOSE
from airledger.search.states import whole_listing
from airledger.search.worst import survey, worst_of

SITE = """
house: Invented
site:
  elevation: 0 ft
  winter: {outdoors: 0 F, dew point: -30 F, indoors: 70 F, humidity: 20 %}
  summer: {outdoors: 95 F, dew point: 76 F, indoors: 75 F, humidity: 50 %}
"""

TALL = """
envelope:
  tightness: {tightness} ach50
  leaks: {{low: {{share: {low} %, height: 0.5 ft}}, high: {{share: {high} %, height: 20 ft}}}}
rooms: {{house: {{area: 1600 ft2, ceiling: 22 ft}}}}
openings:
  entry door: {{between: [house, outdoors], leaf: 36 in x 80 in, swings: out, stands: shut, undercut: 0 in}}
exhausts:
  range hood: {{room: house, speeds: {{low: 20 cfm, high: {flow} cfm}}}}
make-up air: none
"""

RING = """
envelope: {tightness: 0.8 ach50, exponent: 0.65, taped at the test: [opening, second]}
rooms:
  kitchen: {area: 600 ft2, ceiling: 9 ft}
  den: {area: 200 ft2, ceiling: 9 ft}
  bath: {area: 60 ft2, ceiling: 9 ft}
  closet: {area: 40 ft2, ceiling: 9 ft}
openings:
  den door: {between: [kitchen, den], leaf: 30 in x 80 in, undercut: 3/4 in}
  bath door: {between: [den, bath], leaf: 30 in x 80 in, undercut: 1/2 in}
  third door: {between: [kitchen, bath], leaf: 28 in x 80 in, undercut: 1/4 in}
  closet door: {between: [bath, closet], leaf: 28 in x 80 in, undercut: 1/4 in}
  other closet door: {between: [bath, closet], leaf: 24 in x 80 in, undercut: 3/4 in}
exhausts:
  big hood: {room: kitchen, speeds: {low: 100 cfm, middle: 300 cfm, high: 600 cfm}}
  small hood: {room: den, speeds: {low: 60 cfm, high: 300 cfm}}
  closet fan: {room: closet, speeds: {on: 50 cfm}}
make-up air:
  opening:
    into: kitchen
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, filter: {clean: 0.08 inwc at 400 cfm, dirty: 0.3 inwc at 400 cfm}, straight: 15 ft]
    damper: {kind: motorized, leaks shut: 5 cfm at 25 Pa}
    starts with: {big hood: high, small hood: low}
  second:
    into: den
    duct: {size: 8 in round, made of: galvanized}
    run: [wall cap: {loss: 1.0}, straight: 15 ft]
    damper: {gravity: {opens at: 12 Pa, leaks shut: 5 cfm at 25 Pa}}
    fan: {speeds: {on: 150 cfm}, mismatch: +-10 %}
    starts with: {big hood: middle}
"""

SUPPLIED = """
envelope: {tightness: 0.6 ach50, exponent: 0.65, taped at the test: [ventilator]}
rooms:
  kitchen: {area: 300 ft2, ceiling: 9 ft}
  east: {area: 160 ft2, ceiling: 9 ft}
  west: {area: 160 ft2, ceiling: 9 ft}
openings:
  east door: {between: [kitchen, east], leaf: 30 in x 80 in, undercut: 1/8 in}
  west door: {between: [kitchen, west], leaf: 30 in x 80 in, undercut: 1/4 in}
ventilator:
  kind: erv
  speeds: {low: 60 cfm, boost: {supply: 200 cfm, exhaust: 230 cfm}}
  supplies: {kitchen: 20 %, east: 40 %, west: 40 %}
  takes from: {kitchen: 100 %}
exhausts:
  hood: {room: kitchen, speeds: {low: 60 cfm, high: 160 cfm}}
  dryer: {room: east, speeds: {on: 80 cfm}}
make-up air: none
"""

BARE = "envelope: {tightness: 1.0 ach50}\nrooms: {room: {area: 900 ft2, ceiling: 8 ft}}\nmake-up air: none\n"


def assert_none_is_worse(text):
    """Solve all of a house's combinations; none is worse than the proof's. Gives the names left open."""
    house = loads(SITE + text, "x.yaml")
    listing, model, judged = whole_listing(house), build(house), limits(house)

    def solved(settings):
        return Readout(model, settings, solve(model.network, model.rows(settings)))

    every, proof = survey(listing, solved, judged), prove(listing, model, solve)
    truth = {(one.target, one.kind): one.value for one in worst_of(every, judged)}
    found = {
        (one.target, one.kind): one.value for one in worst_of(survey(listing, solved, judged, proof.numbers), judged)
    }
    left = {name for name, _ in proof.open}
    for (target, kind), value in truth.items():
        if target in left or kind not in {"house", "room", "door"}:
            continue
        if kind == "door":
            assert abs(found[target, kind]) >= abs(value) * (1 - 1e-3) - 1e-3, target
        else:
            assert found[target, kind] <= value + CLOSE, target
    return left


@pytest.fixture(params=[(3_000, 12_000), (0, 0)], ids=["listed first", "bounds first"])
def _either_way(request, monkeypatch):
    monkeypatch.setattr(proof_module, "FEW", request.param[0])
    monkeypatch.setattr(proof_module, "FEW_IN_ALL", request.param[1])


@pytest.mark.parametrize("low", range(4, 100, 8))
@pytest.mark.parametrize("tightness", ["0.5", "0.3 to 1.2"])
def test_a_front_door_of_a_tall_house_is_judged_with_the_air_of_the_right_season(low, tightness):
    for flow in (30, 90, 270, 810):
        assert not assert_none_is_worse(TALL.format(tightness=tightness, low=low, high=100 - low, flow=flow))


@pytest.mark.usefixtures("_either_way")
@pytest.mark.parametrize("text", [RING, SUPPLIED, BARE], ids=["ring", "supplied", "bare"])
def test_no_combination_is_worse_than_the_proof_says(text):
    assert not assert_none_is_worse(text)


@pytest.mark.usefixtures("_either_way")
def test_machines_with_a_damper_in_common_may_be_too_many_to_weigh_at_once(monkeypatch):
    monkeypatch.setattr(reach, "MOST_TOGETHER", 4)
    house = loads(SITE + RING, "x.yaml")
    listing, model = whole_listing(house), build(house)
    assert max(len(group.steps) for group in reach.groups_of(listing, model, None, frozenset())) <= 4
    assert not assert_none_is_worse(RING)
