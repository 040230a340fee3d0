"""What a flue stands and what a hand can pull, through the whole study; habits of use; a usual fan.

Sources and tags beside each check. The limits of flues are recalled (BPI technical standard) and so shown unconfirmed.
"""

from dataclasses import replace

import numpy as np
import pytest

from airledger import runs
from airledger.house.house import Exhaust, Limits
from airledger.io.house_file import loads
from airledger.runs.work import HouseWork
from airledger.search.capture import RATED_AT, SHUT_OFF
from airledger.search.hours import SHUT_AT_NIGHT, boost_share, use_share
from airledger.search.judge import Trial, screened
from airledger.search.limits import limits
from airledger.search.options import NONE, Option, changed
from airledger.search.slots import slots
from airledger.search.worst import candidates
from tests.unit.search.houses import GAS, ONE_ROOM, TWO_ROOMS, house
from tests.unit.studies.outcomes import findings, outcome, table


def test_every_pull_past_what_a_flue_stands_is_danger_normal_or_at_fault():  # BPI technical standard [memory]
    found = findings(outcome(GAS), "appliance_pull")
    assert {finding.state for finding in found} >= {"north opening stuck shut"}
    for finding in found:
        assert finding.limit == -2.0
        assert finding.value < finding.limit
        assert finding.severity == "danger"
        assert not finding.confirmed
        assert "unconfirmed" in finding.message


def test_a_pull_within_what_a_flue_stands_is_no_danger():  # power vent: 50 Pa [memory]
    mild = (
        GAS.replace("natural draft", "power vent").replace("1.0 ach50", "10 ach50").replace("{high: 600", "{high: 300")
    )
    found = findings(
        runs.study(loads(mild.replace("at least 500 cfm", "at least 100 cfm")), ("depressurization",)), "appliance_pull"
    )
    assert found
    assert {finding.severity for finding in found} == {"ok"}
    assert all(finding.value >= finding.limit == -50.0 for finding in found)


def test_a_flue_is_judged_by_the_change_that_the_fans_make_in_its_room():
    """Held to two solutions of the house by itself: fans as they run, and all fans off, same doors, same weather."""
    work = HouseWork(house(GAS), {})
    place = slots(work.house)
    numbers, highest = candidates(work.survey())
    listing = replace(work.listing(), house=place.house)
    trial = Trial(place, listing, numbers, highest, work.solver(place.house), limits(work.house))
    judged = screened(trial, [Option(NONE)])[0]
    running, rest = (changed(Option(NONE), place, listing.columns(numbers)) for _ in range(2))
    rest.update({key: np.zeros(len(numbers)) for key in rest if key[0] == "speed"})
    change = trial.seen(running).room_pressure("basement") - trial.seen(rest).room_pressure("basement")
    assert dict(judged.changes)["water heater"] == pytest.approx(float(change.min()), rel=1e-9)
    assert judged.bound_by == "water heater"
    assert judged.ratio == pytest.approx(float(change.min()) / -2.0, rel=1e-9)


def test_a_blocked_stream_no_longer_brings_air_in():
    """At hundreds of pascals both streams bring air in, the exhaust backwards: one blocked, the pull is deeper."""
    rows = table(outcome(TWO_ROOMS), "depressurization", "worst")
    deepest = {row["state"]: row["pressure_pa"] for row in rows if row["target_kind"] == "house"}
    assert deepest["ERV supply blocked"] < deepest["worst for the house"] - 10.0
    assert deepest["ERV exhaust blocked"] < deepest["worst for the house"] - 10.0


def test_a_door_in_a_house_is_held_to_the_five_pounds_of_an_accessible_one():
    """2010 ADA Standards 404.2.9 [published, restated]: 5 lbf, 22.2 N; that it guides a house is common practice."""
    judged = limits(replace(house(ONE_ROOM), limits=Limits()))
    assert judged.door_pull.tolerated == pytest.approx(22.2, abs=0.05)
    assert (judged.door_source.tag, judged.door_basis) == ("practice", "practice")


@pytest.mark.parametrize(("pounds", "newtons"), [(5, 22.2), (30, 133.0), (15, 67.0)])
def test_the_pulls_of_codes_are_read_from_a_file_as_printed(pounds, newtons):
    """2010 ADA Standards 404.2.9; IBC 1010.1.3 [published, restated]: 5, 30 and 15 lbf beside 22.2, 133 and 67 N."""
    text = ONE_ROOM.replace("limits: {", f"limits: {{door pull: {{wanted: {pounds} lbf, tolerated: {pounds} lbf}}, ")
    judged = limits(loads(text))
    assert judged.door_basis == "user"
    assert judged.door_pull.tolerated == pytest.approx(newtons, abs=0.5 if newtons > 100 else 0.3)


# hours of use in a family house: common practice, no source
@pytest.mark.parametrize(
    ("kind", "hours"),
    [("dryer", 5 * 8760 / 168), ("vacuum", 8760 / 168), ("exhaust", 8760 / 168), ("open fireplace", 60)],
)
def test_use_not_given_is_that_of_habit(kind, hours):
    assert use_share(Exhaust("machine", kind, "living")) * 8760 == pytest.approx(hours)


def test_inner_doors_are_shut_eight_hours_in_twenty_four():  # common practice, no source
    assert pytest.approx(8) == SHUT_AT_NIGHT * 24


def test_one_more_person_than_bedrooms_where_nobody_said_how_many_sleep_there():  # common practice, no source
    assert boost_share(replace(house(TWO_ROOMS), bedrooms=3)) == pytest.approx(4 * 20 / (24 * 60))


def test_the_usual_curve_shuts_off_at_one_inch_and_is_rated_at_a_tenth():  # common practice, no source
    assert pytest.approx(249.0889, rel=5e-3) == SHUT_OFF
    assert pytest.approx(24.90889, rel=5e-3) == RATED_AT
