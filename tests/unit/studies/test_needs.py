"""A study reads nothing of the house but what it says it needs or reads; what it lacks, it says."""

from dataclasses import dataclass, fields
from importlib import import_module

import pytest

from airledger import runs
from airledger.errors import InputError
from airledger.house.house import House
from airledger.io import price_list
from airledger.io.start_up_file import read_start_up_text
from airledger.runs.engine import STUDIES
from airledger.runs.work import HouseWork
from tests.unit.io.test_start_up_file import GOOD as START_UP
from tests.unit.rules.fan_tests import REFERENCE
from tests.unit.search.houses import BARE, GAS, ONE_ROOM, TWO_ROOMS, house

KEYS = {
    "name": "house",
    "bedrooms": "people",
    "sleeping": "people",
    "make_up_air": "make-up air",
    "start_up": "start up",
    "local_rules": "rules",
    "balance": "rules",
}
SEEN = set()


@dataclass(frozen=True)
class Recorded(House):
    """A house that notes which of its keys are read."""

    def __getattribute__(self, name):
        if name in {field.name for field in fields(House)}:
            SEEN.add(KEYS.get(name, name))
        return super().__getattribute__(name)


class Lending(HouseWork):
    """The run solves the real house; only what the study itself reads is noted."""

    recorded = None

    def solver(self, house):
        return super().solver(self.house if house is self.recorded else house)


@pytest.mark.parametrize("text", [ONE_ROOM, TWO_ROOMS, GAS])
@pytest.mark.parametrize("name", STUDIES)
def test_a_study_reads_nothing_but_what_it_says(name, text):
    real = house(text)
    lent = {
        "prices": price_list.load(), "tested": (("as lived in", (REFERENCE,)),), "decisions": (None, None),
        "start up": read_start_up_text(START_UP), "local rules": {},
    }  # fmt: skip
    work = Lending(real, lent)
    work.recorded = Recorded(**{field.name: getattr(real, field.name) for field in fields(House)})
    study = import_module(f"airledger.studies.{name}")
    SEEN.clear()
    study.run(work.recorded, None, work)
    assert set() < SEEN <= {*study.needs, *study.reads}, SEEN - {*study.needs, *study.reads}


def test_a_study_without_data_is_not_run_and_says_what_it_needs():
    bare = house(BARE)
    found = runs.study(bare)
    assert dict(found.not_run) == {
        "door_force": "openings", "make_up_air": "exhausts", "biggest_hood": "exhausts",
        "start_up": "start up", "airtightness": "envelope / tested",
    }  # fmt: skip
    assert set(found.results) == {
        "air_balance", "depressurization", "combustion_safety", "ventilation_rate", "local_exhaust",
    }  # fmt: skip


def test_asking_only_for_what_lacks_data_is_an_error():
    bare = house(BARE)
    with pytest.raises(InputError, match="door_force needs openings"):
        runs.study(bare, ("door_force",))


def test_a_name_that_is_no_study_is_an_error():
    with pytest.raises(InputError, match="no study is called 'doors'"):
        runs.study(house(ONE_ROOM), ("doors",))


def test_a_run_that_is_called_off_stops():
    from airledger.runs.work import Cancelled

    with pytest.raises(Cancelled):
        runs.study(house(ONE_ROOM), cancel=lambda: True)


def test_progress_is_told():
    told = []
    runs.study(house(ONE_ROOM), ("depressurization",), progress=told.append)
    assert told == ["depressurization", "looking for the worst states"]


def test_one_study_alone_finds_what_it_finds_among_all():
    alone = runs.study(house(TWO_ROOMS), ("make_up_air",))
    together = runs.study(house(TWO_ROOMS))
    assert alone.results["make_up_air"] == together.results["make_up_air"]


def test_the_deepest_are_listed_when_asked_for():
    found = runs.study(house(TWO_ROOMS), ("depressurization",), deepest=10)
    pressures = [state.house_pressure for state in found.deepest]
    assert len(pressures) == 10
    assert pressures == sorted(pressures)
    assert runs.study(house(TWO_ROOMS), ("depressurization",)).deepest == ()
