"""Hours a year of a combination: shares of use multiplied."""

from dataclasses import replace

import pytest

from airledger.house.house import Exhaust
from airledger.search.hours import HOUR, YEAR, assumed_use, boost_share, speed_share, use_share, yearly_hours
from tests.unit.search.houses import TWO_ROOMS, house


def test_use_as_given_is_taken():
    fan = Exhaust("fan", "exhaust", "living", (("on", 0.1),), use=876 * HOUR)
    assert use_share(fan) == pytest.approx(0.1)
    assert not [a for a in assumed_use(replace(house(TWO_ROOMS), exhausts=(fan,))) if "fan" in a.path]


# field-faults.md, last paragraph: LBNL, 16 apartments: cooking 4.6 %, bath fan 3.9 % of minutes; published (abstract)
@pytest.mark.parametrize(("kind", "share"), [("hood", 0.046), ("bath fan", 0.039)])
def test_use_not_given_is_that_of_the_apartments(kind, share):
    assert use_share(Exhaust("machine", kind, "living")) == share


def test_speeds_share_the_use():
    hood = Exhaust("hood", "hood", "living", (("low", 0.1), ("high", 0.2)))
    assert speed_share(hood) == pytest.approx(0.023)


def test_boost_is_one_shower_a_person_a_day():
    lived_in = replace(house(TWO_ROOMS), sleeping=3)
    assert boost_share(lived_in) == pytest.approx(3 * 20 / (24 * 60))
    assert boost_share(replace(lived_in, ventilator=None)) == 0.0


def test_shares_multiply():
    assert yearly_hours((0.5, 0.1)) == pytest.approx(0.05 * YEAR)
    assert yearly_hours(()) == YEAR


def test_every_default_is_listed():
    paths = [assumption.path for assumption in assumed_use(house(TWO_ROOMS))]
    assert "exhausts / range hood / use" in paths
    assert "openings / inner doors / shut" in paths
    assert "ventilator / boost / use" in paths


def test_what_is_assumed_is_told_in_the_hours_that_are_counted():
    lived_in = house(TWO_ROOMS)
    assumed = {assumption.path: assumption.value for assumption in assumed_use(lived_in)}
    assert assumed["exhausts / range hood / use"] == pytest.approx(0.046 * 8760 * 3600)
    assert assumed["exhausts / dryer / use"] == pytest.approx(5 / 168 * 8760 * 3600)
    assert assumed["openings / inner doors / shut"] == pytest.approx(1 / 3)
    assert assumed["ventilator / boost / use"] == pytest.approx(boost_share(lived_in) * 8760 * 3600)
