"""Tables, CSV and JSON: the same values in every form, units in the headings, nothing that is no number."""

import csv
import io
import json
from dataclasses import replace

import numpy as np
import pytest

from airledger.errors import CannotCompute
from airledger.report.account_text import account_text
from airledger.report.columns import cell_text, column
from airledger.report.csv_files import states_csv, table_csv, tables
from airledger.report.json_text import json_text
from airledger.studies.protocol import Result
from airledger.units import BTU, CFM, INCH, INCH_OF_WATER, PINT, POUND_FORCE
from tests.unit.report.sample import HOUSE, outcome


@pytest.mark.parametrize(
    ("key", "value", "ip", "unit"),
    [
        ("hood_m3s", 610 * CFM, "610", "cfm"),
        ("hood_loss_pa", 0.9 * INCH_OF_WATER, "0.90", "in w.c."),
        ("fault_pressure_pa", -88.4, "−88.4", "Pa"),
        ("door_force_n", 13 * POUND_FORCE, "13.0", "lbf"),
        ("heat_w", 20000 * BTU / 3600, "20,000", "Btu/h"),
        ("water_kgs", 24 * 0.998 * PINT * 1000 / 3600, "24.0", "pints/h"),
        ("heat_per_flow_ws_m3", 12 * BTU / 3600 / CFM, "1,200", "Btu/h per 100 cfm"),
        ("water_per_flow_kg_m3", 0.998 * PINT * 1000 / 3600 / (20 * CFM), "5.0", "pints/h per 100 cfm"),
        ("hours_s", 182 * 3600.0, "182", "h/yr"),
        ("diameter_m", 10 * INCH, "10.0", "in"),
        ("price_usd", 1140.0, "$1,140", "$"),
        ("make_up_share_ratio", 0.601, "60", "%"),
        ("ach50", 1.1, "1.10", "ACH50"),
        ("rank", 3, "3", ""),
        ("price_usd", None, "–", "$"),
    ],
)
def test_a_key_tells_its_quantity_by_its_ending(key: str, value: float | None, ip: str, unit: str) -> None:
    assert cell_text(value, key, "ip") == ip
    assert column(key, "ip").unit == unit


@pytest.mark.parametrize(("system", "factor", "unit"), [("ip", CFM, "cfm"), ("si", 1e-3, "L/s")])
def test_a_csv_holds_the_values_of_the_table_in_the_chosen_units(system: str, factor: float, unit: str) -> None:
    rows = outcome().results["depressurization"].tables["fans"]
    read = list(csv.DictReader(io.StringIO(table_csv(rows, system))))
    assert [float(line[f"real [{unit}]"]) for line in read] == pytest.approx(
        [float(row["real_m3s"]) / factor for row in rows],
        rel=1e-5,  # type: ignore[arg-type]
    )


def test_every_table_that_has_rows_becomes_a_file() -> None:
    found = {
        f"{study}-{name}.csv".replace("_", "-")
        for study, r in outcome().results.items()
        for name, t in r.tables.items()
        if t
    }
    assert set(tables(outcome(), "ip")) == found


def test_states_csv_has_a_row_a_state_with_every_room_and_door() -> None:
    read = list(csv.DictReader(io.StringIO(states_csv(outcome(), "ip"))))
    states = [*outcome().states, *outcome().deepest]
    assert [line["state"] for line in read] == [state.name for state in states]
    for line, state in zip(read, states, strict=True):
        for room, pascals in state.rooms:
            assert float(line[f"{room} [Pa]"]) == pytest.approx(pascals, rel=1e-5, abs=1e-9)
        for door in state.door_forces:
            assert float(line[f"{door.opening} [lbf]"]) == pytest.approx(door.force / POUND_FORCE, rel=1e-5)


def test_json_has_the_promised_keys_and_no_others() -> None:
    whole = json.loads(json_text(outcome()))
    assert set(whole) == {"schema", "house", "assumed", "states", "search", "studies", "not_run", "findings"}
    assert set(whole["states"][0]) == {
        "name", "kind", "why", "season", "wind", "ach50", "house_pressure_pa", "reference_room", "rooms", "flows",
        "door_forces", "residual_relative",
    }  # fmt: skip
    assert set(whole["states"][0]["flows"][0]) == {"through", "kind", "from", "to", "mass_flow_kgs", "flow_m3s"}
    assert set(whole["assumed"][0]) == {"path", "value", "unit", "why", "source", "confirmed"}
    assert set(whole["search"]) == {"combinations", "solved", "proof", "worst_residual_relative", "why", "open"}
    assert set(whole["findings"][0]) == {
        "study", "code", "severity", "basis", "where", "state", "value", "low", "high", "limit", "unit", "message",
        "action", "source", "confirmed",
    }  # fmt: skip
    assert whole["schema"] == 1
    assert whole["not_run"] == [{"study": "combustion_safety", "needs": "appliances"}]


def test_json_ends_in_a_newline_and_is_the_same_text_twice() -> None:
    assert json_text(outcome()).endswith("}\n")
    assert json_text(outcome()) == json_text(outcome())


def test_numbers_of_a_library_become_plain_ones() -> None:
    result = Result(tables={"t": ({"a": np.float64(0.5), "b": np.int64(3), "c": np.bool_(True), "d": -0.0},)})
    row = json.loads(json_text(replace(outcome(), results={"x": result})))["studies"]["x"]["tables"]["t"][0]
    assert row == {"a": 0.5, "b": 3, "c": True, "d": 0.0}
    assert "-0.0" not in json_text(replace(outcome(), results={"x": result}))


@pytest.mark.parametrize("value", [float("nan"), float("inf"), np.float64("nan")])
def test_what_is_no_number_is_refused_with_its_place(value: float) -> None:
    spoilt = replace(outcome(), results={"x": Result(tables={"t": ({"house_pressure_pa": value},)})})
    with pytest.raises(CannotCompute, match="studies / x / tables / t / 0 / house_pressure_pa"):
        json_text(spoilt)


def test_the_account_as_text_has_equal_weights_on_both_sides() -> None:
    lines = [line for line in account_text(outcome(), "ip").splitlines() if "by weight" in line]
    assert len(lines) == 4
    for line in lines:
        left, right = line.split("|")
        assert left.split()[-1] == right.split()[-1]


def test_the_house_of_the_fixture_is_drawn_except_for_one_room() -> None:
    assert [room.name for room in HOUSE.conditioned if not room.outline] == ["laundry"]
