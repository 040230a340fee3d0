"""The other way round: the biggest hood of each duct."""

from dataclasses import replace
from importlib import resources

import numpy as np
import pytest

from airledger import runs
from airledger.quantities import in_units, text
from airledger.runs.work import HouseWork
from airledger.search.freedoms import top_flow
from airledger.search.options import changed
from airledger.search.slots import slots
from airledger.search.worst import survey
from airledger.studies.biggest_hood import Bracket, _ducts, _without_curve
from airledger.units import CFM
from tests.unit.search.houses import GAS, ONE_ROOM, TWO_ROOMS, house
from tests.unit.studies.outcomes import findings, outcome, table, tern

ALDER = resources.files("airledger").joinpath("examples/alder-court-9.yaml").read_text(encoding="utf-8")


# network.md 6 (computed, closed form): the reference house is kept at 10 Pa by an exhaust of 146.37 cfm
def test_without_an_opening_it_is_what_the_envelope_lets_in_at_the_limit():
    row = table(outcome(ONE_ROOM), "biggest_hood", "ducts")[0]
    assert row["opening"] == "no opening"
    assert row["hood_m3s"] / CFM == pytest.approx(146.37, abs=0.2)
    assert row["hood_m3s"] / CFM <= 146.38
    assert row["bound_by"] == "house pressure"


def test_a_wider_duct_takes_a_bigger_hood():
    for found in (outcome(ONE_ROOM), outcome(TWO_ROOMS), tern()):
        rows = table(found, "biggest_hood", "ducts")
        for column in ("hood_m3s", "hood_with_dryer_m3s"):
            single = [row[column] for row in rows if row["count"] < 2]
            assert single == sorted(single)


def test_a_dryer_takes_its_share():
    for row in table(tern(), "biggest_hood", "ducts"):
        assert row["hood_with_dryer_m3s"] < row["hood_m3s"]
    ten = next(row for row in table(tern(), "biggest_hood", "ducts") if row["opening"] == "one 10 in")
    assert (ten["hood_m3s"] - ten["hood_with_dryer_m3s"]) / CFM == pytest.approx(125, abs=1)


def test_a_curve_is_followed_where_one_is_given():
    assert all(row["hood_by_its_curve_m3s"] is None for row in table(outcome(ONE_ROOM), "biggest_hood", "ducts"))
    sixteen = next(row for row in table(tern(), "biggest_hood", "ducts") if row["opening"] == "one 16 in")
    assert sixteen["hood_by_its_curve_m3s"] > sixteen["hood_m3s"]  # it moves less than its rating


def test_a_bracket_closes_in_from_both_ends():
    def used(size):
        return np.array([2.0, 0.7]) * size - np.array([1.0, 2.1])  # zero at 0.5 and at 3

    low, high = np.array([0.0, 0.0]), np.array([5.0, 5.0])
    bracket = Bracket(low, high, used(low) - 3 * used(low) ** 2, used(high))
    for _ in range(12):
        tried = bracket.next()
        assert np.all((bracket.low <= tried) & (tried <= bracket.high))
        bracket = bracket.narrowed(tried, used(tried))
    assert bracket.low == pytest.approx([0.5, 3.0], abs=1e-6) or bracket.high == pytest.approx([0.5, 3.0], abs=1e-6)


def test_a_little_more_would_pass_the_limit():
    rows = {row["opening"]: row for row in table(outcome(ONE_ROOM), "biggest_hood", "ducts")}
    flow = rows["no opening"]["hood_m3s"] / CFM
    for factor, severity in ((1.0, {"ok", "caution"}), (1.01, {"fail"})):
        found = runs.study(house(ONE_ROOM.replace("600 cfm", f"{factor * flow:.3f} cfm")), ("depressurization",))
        assert {f.severity for f in findings(found, "worst_pull")} <= severity


@pytest.mark.parametrize("text", [TWO_ROOMS, GAS, ALDER], ids=["two rooms", "gas", "alder"])
def test_the_hood_found_holds_in_every_combination_that_can_run(text):
    found, given = outcome(text), house(text)
    place = _without_curve(slots(given))
    work = HouseWork(given, {})
    listing = replace(work.survey().listing, house=place.house)
    top = top_flow(place.machine)
    numbers = np.arange(listing.size, dtype=np.intp)
    for position, freedom in enumerate(listing.freedoms):
        if freedom.kind == "machine":
            wanted = len(freedom.choices) - 1 if freedom.name == place.machine.name else 0
            numbers = numbers[listing.digits(numbers, position) == wanted]
    rows = table(found, "biggest_hood", "ducts")
    for option, row in zip(_ducts(place), rows, strict=True):
        if row["hood_m3s"] <= 0:
            continue

        def with_hood(columns, option=option, factor=row["hood_m3s"] / top):
            size = len(next(iter(columns.values())))
            flow = {("flow", place.machine.name): np.full(size, factor)}
            return changed(option, place, columns | flow)

        seen = survey(listing, work.solver(place.house), work.limits(), numbers, with_hood)
        assert seen.house.min() >= work.limits().house_pressure.tolerated, row["opening"]
        for appliance, change in zip(work.limits().appliances, seen.depressurization, strict=True):
            assert change.min() >= appliance.pressure, (row["opening"], appliance.name)


def test_where_no_opening_carries_a_hood_worth_having_that_is_said_with_the_limit_that_binds():
    found = outcome(ALDER)
    (told,) = findings(found, "biggest_hood")
    most = max(row["hood_m3s"] for row in table(found, "biggest_hood", "ducts"))
    assert most < 200 * CFM
    assert f"worth having: at most {text(most, 'air flow', 'ip')}." in in_units(told.message, "ip")
    assert "the water heater, which can take 2.0 Pa" in in_units(told.message, "ip")
    assert "unconfirmed" in told.message
    assert (told.limit, told.unit, told.basis, told.state) == (-2.0, "Pa", "standard", "worst for water heater")
    assert "let the client pick" not in told.action
    assert {row["limit_pa"] for row in table(found, "biggest_hood", "ducts")} == {-2.0}


def test_where_the_house_binds_its_own_limit_is_quoted():
    (told,) = findings(outcome(ONE_ROOM), "biggest_hood")
    assert (told.limit, told.basis, told.confirmed) == (-10.0, "user", True)
    assert "unconfirmed" not in told.message
    assert told.action == "let the client pick within it"
