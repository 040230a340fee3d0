"""Hours a year of a combination: shares of use multiplied."""

from dataclasses import replace

import pytest

from airledger.house.house import Exhaust, Opening
from airledger.search.hours import (
    APARTMENTS,
    DEFAULT_USE,
    HABIT,
    HOUR,
    YEAR,
    assumed_use,
    boost_share,
    speed_share,
    use_share,
    yearly_hours,
)
from airledger.sources import Assumption
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


def test_each_assumed_use_tells_value_unit_reason_and_source():
    lived_in = replace(house(TWO_ROOMS), sleeping=3)
    dryer = next(one for one in lived_in.exhausts if one.name == "dryer")
    lived_in = replace(lived_in, exhausts=(*lived_in.exhausts, replace(dryer, name="second dryer", vented="heat pump")))
    assert assumed_use(lived_in) == (
        Assumption("exhausts / range hood / use", 0.046 * YEAR, "s/year", "cooking takes 4.6 % of minutes", APARTMENTS),
        Assumption("exhausts / dryer / use", 5 / 168 * YEAR, "s/year", "five hours a week", HABIT),
        Assumption("openings / inner doors / shut", 1 / 3, "-",
                   "doors between rooms are shut eight hours a day, each on its own", HABIT),
        Assumption("ventilator / boost / use", boost_share(lived_in) * YEAR, "s/year",
                   "one shower a person a day, each a full boost", HABIT),
    )  # fmt: skip


def test_nothing_is_assumed_of_what_is_not_there():
    bare = replace(house(TWO_ROOMS), exhausts=(), ventilator=None, openings=())
    entry = Opening("entry door", "door", ("living", "outdoors"), 0.9, 2.0)
    between = Opening("arch", "clear", ("living", "bedroom"), 0.9, 2.0)
    assert assumed_use(replace(bare, openings=(entry, between))) == ()


def test_a_machine_of_no_known_kind_counts_as_an_exhaust_and_none_runs_more_than_always():
    odd = Exhaust("odd", "something", "living")
    assert use_share(odd) == DEFAULT_USE["exhaust"][0] == speed_share(odd)
    assumed = assumed_use(replace(house(TWO_ROOMS), exhausts=(odd,)))
    assert assumed[0].value == DEFAULT_USE["exhaust"][0] * YEAR
    assert use_share(replace(odd, use=1.5 * YEAR)) == 1.0
    assert speed_share(replace(odd, speeds=(("on", 0.1),))) == use_share(odd)


def test_a_boost_lasts_as_told_for_each_who_sleeps_there_or_one_more_than_bedrooms():
    lived_in = replace(house(TWO_ROOMS), sleeping=None, bedrooms=None)
    timed = replace(lived_in, ventilator=replace(lived_in.ventilator, boost_lasts=600.0))
    assert boost_share(timed) == pytest.approx(3 * 600 / (24 * HOUR))
    assert boost_share(replace(timed, bedrooms=4)) == pytest.approx(5 * 600 / (24 * HOUR))
    endless = replace(timed, ventilator=replace(timed.ventilator, boost_lasts=9 * HOUR))
    assert boost_share(endless) == 0.5
