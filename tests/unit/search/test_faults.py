"""What may fail, word for word and setting for setting, for every kind of make-up damper. All houses are invented."""

import numpy as np
import pytest

from airledger.search.faults import Fault, failed, faults_of, shut_damper
from tests.unit.search.houses import GAS, TWO_ROOMS, house
from tests.unit.search.test_proof_edges import RING, SITE

GRAVITY_SHUT = (("open", "second"), -1.0)


def test_both_streams_of_a_ventilator_may_be_blocked():
    assert faults_of(house(TWO_ROOMS)) == (
        Fault(
            "ERV supply blocked", "no air passes the ERV's supply stream", ((("blocked", "ventilator supply"), 1.0),)
        ),
        Fault(
            "ERV exhaust blocked", "no air passes the ERV's exhaust stream", ((("blocked", "ventilator exhaust"), 1.0),)
        ),
    )


def test_a_motorized_damper_sticks_shut_or_open_or_comes_late():
    name = "north opening"
    assert faults_of(house(GAS)) == (
        Fault(f"{name} stuck shut", f"the damper of {name} does not open", ((("open", name), 0.0),)),
        Fault(f"{name} stuck open", f"the damper of {name} does not shut", ((("open", name), 1.0),)),
        Fault(
            f"{name} still opening",
            f"range hood pulls at once while the damper of {name} still opens, for 30 s",
            ((("open", name), 0.0), (("speed", name), 0.0)),
        ),
    )


def test_a_gravity_damper_sticks_shut_with_its_fan_and_the_fan_may_die_alone():
    found = {fault.name: fault for fault in faults_of(house(SITE + RING))}
    assert list(found) == [
        "opening stuck shut",
        "opening stuck open",
        "opening still opening",
        "second stuck shut",
        "second fan dead",
    ]
    assert found["second stuck shut"] == Fault(
        "second stuck shut", "the damper of second does not open", (GRAVITY_SHUT, (("speed", "second"), 0.0))
    )
    assert found["second fan dead"] == Fault(
        "second fan dead", "the fan of second does not run", ((("speed", "second"), 0.0),)
    )
    assert found["opening still opening"].why == (
        "big hood and small hood pulls at once while the damper of opening still opens, for 15 to 90 s"
    )


@pytest.mark.parametrize("gravity", [False, True])
@pytest.mark.parametrize("fan", [False, True])
def test_a_shut_damper_takes_its_fan_with_it(gravity, fan):
    told = dict(shut_damper("second", gravity, fan))
    assert told.pop(("open", "second")) == (-1.0 if gravity else 0.0)
    assert told == ({("speed", "second"): 0.0} if fan else {})


def test_a_machine_that_waits_is_kept_off_by_the_fault():
    running = {("open", "a"): np.ones(2), ("speed", "hood"): np.ones(2), ("speed", "dryer"): np.ones(2)}
    changed = failed(running, Fault("a", "b", ((("open", "a"), -1.0),), held=("hood",)))
    assert {key: values.tolist() for key, values in changed.items()} == {
        ("open", "a"): [-1.0, -1.0],
        ("speed", "hood"): [0.0, 0.0],
        ("speed", "dryer"): [1.0, 1.0],
    }
    assert running["speed", "hood"].tolist() == [1.0, 1.0]
