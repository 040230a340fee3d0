"""The other way round: the biggest hood of each duct."""

import pytest

from airledger.units import CFM
from tests.unit.search.houses import ONE_ROOM, TWO_ROOMS
from tests.unit.studies.outcomes import outcome, table, tern


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
        single = [row["hood_m3s"] for row in rows if row["count"] < 2]
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
