"""`study --json`: the keys that other programs rely on, and accounts that close when added up from the JSON alone."""

import json
import math
from collections import defaultdict

import pytest
from click.testing import CliRunner

from airledger.cli.main import main
from tests.houses import CHECK_HOUSE, with_opening
from tests.unit.search.houses import GAS, TWO_ROOMS
from tests.unit.studies.outcomes import TERN

HOUSES = {"check": CHECK_HOUSE, "opening": with_opening(10), "two": TWO_ROOMS, "gas": GAS, "tern": TERN}
STATE_KEYS = {
    "name", "kind", "why", "season", "wind", "ach50", "house_pressure_pa", "reference_room", "rooms", "flows",
    "door_forces", "residual_relative",
}  # fmt: skip
FINDING_KEYS = {
    "study", "code", "severity", "basis", "where", "state", "value", "low", "high", "limit", "unit", "message",
    "action", "source", "confirmed",
}  # fmt: skip


@pytest.fixture(scope="module")
def studied(tmp_path_factory):
    folder = tmp_path_factory.mktemp("houses")
    found = {}
    for name, text in HOUSES.items():
        (folder / f"{name}.yaml").write_text(text)
        shown = CliRunner().invoke(main, ["study", str(folder / f"{name}.yaml"), "--json"])
        found[name] = json.loads(shown.stdout, parse_constant=pytest.fail)
    return found


@pytest.fixture(params=HOUSES)
def one(studied, request):
    return studied[request.param]


def test_the_keys_of_the_whole(one):
    keys = {"schema", "house", "assumed", "states", "search", "studies", "not_run", "findings"}
    assert keys <= set(one)
    assert one["schema"] == 1
    assert set(one["search"]) >= {"combinations", "solved", "proof", "worst_residual_relative"}
    search = one["search"]
    assert search["proof"] in ("all", "proved")
    assert search["solved"] == search["combinations"] or (search["proof"] == "proved" and search["why"])
    assert not search["open"]


def test_the_keys_of_states_findings_and_assumptions(one):
    assert one["states"]
    for state in one["states"]:
        assert set(state) >= STATE_KEYS
        assert state["kind"] in ("normal", "fault")
        for flow in state["flows"]:
            assert set(flow) >= {"through", "kind", "from", "to", "mass_flow_kgs", "flow_m3s"}
            assert flow["mass_flow_kgs"] >= 0
            assert flow["flow_m3s"] >= 0
        for door in state["door_forces"]:
            assert door["direction"] in ("held shut", "thrown open", "none")
    for finding in one["findings"]:
        assert set(finding) >= FINDING_KEYS
        if finding["low"] is not None and finding["value"] is not None:
            assert finding["low"] <= finding["value"] <= finding["high"]
    for assumption in one["assumed"]:
        assert set(assumption) >= {"path", "value", "unit", "why", "source", "confirmed"}


def test_danger_stands_first(one):
    order = ["danger", "fail", "caution", "unknown", "ok"]
    places = [order.index(finding["severity"]) for finding in one["findings"]]
    assert places == sorted(places)


def test_every_account_closes_when_added_up_from_the_json(one):
    for state in one["states"]:
        sums, sizes = defaultdict(float), defaultdict(float)
        for flow in state["flows"]:
            for end, sign in (("from", -1), ("to", 1)):
                sums[flow[end]] += sign * flow["mass_flow_kgs"]
                sizes[flow[end]] += flow["mass_flow_kgs"]
        largest = max((flow["mass_flow_kgs"] for flow in state["flows"]), default=0.0)
        for place, total in sums.items():
            if place != "outdoors":
                assert abs(total) <= 1e-9 * max(sizes[place] / 2, 1e-6 * largest), (state["name"], place)
        assert state["residual_relative"] <= 1e-9


# network.md 6 (computed, closed form): Q = C dP^n of the reference house, 600 cfm: 87.62 Pa
def test_the_leaks_of_the_check_house_follow_their_law(studied):
    state = next(state for state in studied["check"]["states"] if state["name"] == "cooking")
    leaking = [
        flow["flow_m3s"] for flow in state["flows"] if flow["from"] == "outdoors" and flow["kind"] in ("leak", "door")
    ]
    tested = 25_000 * 0.3048**3 / 3600
    law = tested * (abs(state["house_pressure_pa"]) / 50) ** 0.65
    assert math.fsum(leaking) == pytest.approx(law, rel=2e-3)  # the doors' own cracks have their own exponent
    assert state["house_pressure_pa"] == pytest.approx(-87.6, abs=0.05)


# network.md 6 (computed, Colebrook): 600 cfm and 15 ft of rigid 10 in duct, total loss 3: 22.206 Pa, make-up 354.15 cfm
def test_the_check_house_with_its_duct(studied):
    state = next(state for state in studied["opening"]["states"] if state["name"] == "cooking")
    assert state["house_pressure_pa"] == pytest.approx(-22.2, abs=0.05)
    duct = next(flow for flow in state["flows"] if flow["kind"] == "make-up")
    assert duct["flow_m3s"] / (0.3048**3 / 60) == pytest.approx(354.15, abs=0.5)


def test_named_states_come_first_then_the_worst(studied):
    names = [state["name"] for state in studied["tern"]["states"]]
    assert names[:4] == ["everyday", "shower", "cooking", "cooking with the back door open"]
    assert names[4] == "worst for the house"
    assert len(names) == len(set(names))


def test_the_worst_is_as_deep_as_its_state(studied):
    for found in studied.values():
        states = {state["name"]: state for state in found["states"]}
        for row in found["studies"]["depressurization"]["tables"]["worst"]:
            if row["kind"] == "normal" and row["target_kind"] == "house":
                assert states[row["state"]]["house_pressure_pa"] == row["pressure_pa"]
            if row["kind"] == "normal" and row["target_kind"] == "room":
                rooms = {room["name"]: room["pressure_pa"] for room in states[row["state"]]["rooms"]}
                assert rooms[row["target"]] == row["pressure_pa"]


def test_what_is_not_run_says_what_it_needs(studied):
    assert studied["tern"]["not_run"] == [
        {"study": "start_up", "needs": "start up"},
        {"study": "airtightness", "needs": "envelope / tested"},
    ]
