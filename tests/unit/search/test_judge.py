"""How options are judged: against the same states solved by themselves, and on invented pressures by hand."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.house import Limit
from airledger.house.operating_state import ACH50
from airledger.search import judge
from airledger.search.faults import failed
from airledger.search.judge import FAULTY_ROWS, Judged, Pulls, judged_on, limit_shares, screened, verified, worse_of
from airledger.search.limits import ApplianceLimit, Limits
from airledger.search.options import DRAWN, FAN, GRAVITY, NONE, ONE, Option, changed, mismatches, option_faults
from airledger.search.worst import outer_doors, signed_force
from airledger.sources import Source
from airledger.units import INCH
from tests.unit.search.houses import GAS, UNPICKED
from tests.unit.search.test_options import trial_of

STARTS = ("range hood",)
OPENS = Option(ONE, 10 * INCH, 1, damper="motorized", starts_with=STARTS, waits=True)
FREE = replace(OPENS, waits=False)
BLOWS = Option(FAN, powered=True, damper="motorized", starts_with=STARTS, waits=True)
FLAP = Option(GRAVITY, 10 * INCH, 1, damper="gravity", starts_with=STARTS)
LOOSE = replace(BLOWS, count=1, diameter=8 * INCH, waits=False)
OPTIONS = (Option(NONE), Option(DRAWN), OPENS, FREE, BLOWS, FLAP)

BASEMENT = (
    GAS.replace("clear: 3 ft x 8 ft}", "clear: 3 ft x 8 ft, door: basement door}")
    .replace("1.0 ach50", "0.8 to 1.6 ach50 (likely 1.1)")
    .replace("openings:", "openings:\n  side door: {between: [basement, outdoors], leaf: 30 in x 80 in, swings: out}")
)
PRACTICE = Source("invented", "practice")


@pytest.fixture
def trial():
    """A water heater in a basement with a door of its own that may be shut; two doors to outdoors."""
    return trial_of(BASEMENT)


def by_hand(trial, option, mismatch, numbers, fault=None):
    """House pressure, force at every door and change in the basement by the fans: each batch solved by itself."""
    columns = trial.listing.columns(numbers)
    off = {key: np.zeros(len(numbers)) if key[0] == "speed" else values for key, values in columns.items()}
    running = changed(option, trial.place, columns, mismatch)
    seen = trial.seen(running if fault is None else failed(running, fault))
    still = trial.seen(changed(option, trial.place, off, mismatch))
    forces = [signed_force(seen, door) for door in outer_doors(trial.place.house)]
    return seen.house_pressure(), np.array(forces), seen.room_pressure("basement") - still.room_pressure("basement")


@pytest.mark.parametrize("option", OPTIONS, ids=lambda option: f"{option.family} {option.waits}")
def test_an_option_is_judged_by_the_worst_of_its_states_at_each_end(trial, option):
    (judged,) = screened(trial, [option])
    numbers = np.concatenate([trial.numbers, trial.highest]) if option.powered else trial.numbers
    cases = [(m, *by_hand(trial, option, m, numbers)) for m in mismatches(option)]
    tight = trial.listing.columns(numbers)[ACH50] < 1.0
    mismatch, house, _, _ = min(cases, key=lambda case: case[1].min())
    assert (judged.option, judged.mismatch) == (option, mismatch)
    assert judged.number == numbers[np.argmin(house)]
    assert judged.pressure == pytest.approx(house.min(), rel=1e-9)
    assert judged.tight == pytest.approx(min(case[1][tight].min() for case in cases), rel=1e-9)
    assert judged.loose == pytest.approx(min(case[1][~tight].min() for case in cases), rel=1e-9)
    assert judged.highest == pytest.approx(max(case[1].max() for case in cases), rel=1e-9)
    forces = np.max([np.abs(case[2]).max(axis=1) for case in cases], axis=0)
    assert judged.door == outer_doors(trial.place.house)[np.argmax(forces)]
    assert judged.door_force == pytest.approx(forces.max(), rel=1e-9)
    change = min(case[3].min() for case in cases)
    assert judged.changes == (("water heater", pytest.approx(change, rel=1e-9)),)
    (limit,) = trial.judged.appliances
    ratios = {
        "house pressure": max(0, -house.min()) / -trial.judged.house_pressure.tolerated,
        "door pull": forces.max() / trial.judged.door_pull.tolerated,
        "water heater": max(0, -change) / -limit.pressure,
    }
    assert judged.ratio == pytest.approx(max(ratios.values()), rel=1e-9)
    assert judged.bound_by == max(ratios, key=ratios.get)


@pytest.mark.parametrize("option", [*OPTIONS[2:], LOOSE], ids=lambda option: f"{option.family} {option.waits}")
def test_the_fault_told_is_one_that_pulls_on_the_flue_else_the_deepest(trial, option):
    (judged,) = screened(trial, [option])
    numbers, (limit,) = trial.numbers[:FAULTY_ROWS], trial.judged.appliances
    cases = []
    for fault in option_faults(option):
        house, _, change = by_hand(trial, option, 0.9, numbers, fault)
        cases.append((change.min() < limit.pressure, -house.min(), fault.name))
    passes, pull, name = max(cases)
    assert judged.fault == name
    assert judged.fault_appliance == passes
    assert judged.fault_pressure == pytest.approx(-pull, rel=1e-9)
    assert passes  # 2 Pa are little: the bath fan alone pulls on this flue
    assert (screened(trial, [Option(NONE)])[0].fault, screened(trial, [Option(NONE)])[0].fault_pressure) == ("", None)


def test_a_fault_that_pulls_just_to_the_limit_of_a_flue_does_not_pass_it(trial):
    (fault,) = option_faults(FREE)
    change = by_hand(trial, FREE, 0.9, trial.numbers[:FAULTY_ROWS], fault)[2].min()
    for limit, passes in ((change, False), (0.999 * change, True)):
        (watched,) = trial.judged.appliances
        at_limit = replace(trial.judged, appliances=(replace(watched, pressure=float(limit)),))
        assert screened(replace(trial, judged=at_limit), [FREE])[0].fault_appliance is passes


@pytest.mark.parametrize(
    ("depths", "changes", "told"),
    [
        ((-50.0, -9.0, -30.0), (-1.0, -3.0, -1.0), (-9.0, True)),  # the flue before the depth
        ((-50.0, -9.0, -30.0), (-1.0, -3.0, -4.0), (-30.0, True)),  # of those that pull on it the deepest
        ((-50.0, -9.0, -30.0), (-1.0, 0.5, -1.0), (-50.0, False)),
    ],
)
def test_a_fault_that_pulls_on_a_flue_is_told_before_a_deeper_one(trial, monkeypatch, depths, changes, told):
    """Three faults of invented pressures; the flue stands 2 Pa."""
    assert trial.judged.appliances[0].pressure == -2.0
    real, calls = judge.Trial.pulls, []

    def pulls(self, columns, rest):
        calls.append(columns)
        rows = min(FAULTY_ROWS, len(trial.numbers))
        if len(calls) == 1:
            return real(self, columns, rest)
        return Pulls(np.repeat(depths, rows), np.zeros((2, 3 * rows)), np.repeat(changes, rows)[None, :])

    monkeypatch.setattr(judge.Trial, "pulls", pulls)
    (judged,) = screened(trial, [LOOSE])
    assert (judged.fault_pressure, judged.fault_appliance) == told


def test_many_options_at_once_are_judged_as_each_by_itself_in_batches_of_any_size(trial, monkeypatch):
    alone = [screened(trial, [option])[0] for option in OPTIONS]
    assert screened(trial, OPTIONS) == alone
    monkeypatch.setattr(judge, "CHUNK", 7)
    assert screened(trial, OPTIONS) == alone


def test_an_appliance_whose_room_nobody_told_is_watched_by_the_pressure_of_the_house(trial):
    (watched,) = trial.judged.appliances
    anywhere = replace(trial, judged=replace(trial.judged, appliances=(replace(watched, room=""),)))
    numbers, off = trial.numbers, dict(trial.listing.columns(trial.numbers))
    running = trial.seen(changed(OPENS, trial.place, dict(off))).house_pressure()
    off |= {key: np.zeros(len(numbers)) for key in off if key[0] == "speed"}
    change = running - trial.seen(changed(OPENS, trial.place, off)).house_pressure()
    assert screened(anywhere, [OPENS])[0].changes[0][1] == pytest.approx(change.min(), rel=1e-9)


def invented(names=("water heater", "boiler")):
    watched = tuple(ApplianceLimit(name, "", -5.0, "", PRACTICE) for name in names)
    return Limits(Limit(-10.0, -20.0), PRACTICE, Limit(15.0, 22.0), PRACTICE, watched, ())


@pytest.mark.parametrize(
    ("pressure", "force", "changes", "shares"),
    [
        (-12.0, 11.0, (-2.5, -1.0), [(1.2, 0.6), (11 / 15, 0.5), (0.5, 0.5), (0.2, 0.2)]),
        (0.5, 0.0, (3.0, 0.0), [(0, 0), (0, 0), (0, 0), (0, 0)]),  # pushed up: nothing is used up
        (-0.4, 0.3, (-0.3, -0.2), [(0.04, 0.02), (0.02, 0.3 / 22), (0.06, 0.06), (0.04, 0.04)]),
    ],
)
def test_what_is_used_up_of_each_limit(pressure, force, changes, shares):
    found = limit_shares(invented(), pressure, force, changes)
    assert list(found) == ["house pressure", "door pull", "water heater", "boiler"]
    assert [value for pair in found.values() for value in pair] == pytest.approx([v for pair in shares for v in pair])


def test_where_nothing_is_tolerated_the_least_pull_is_past_it():
    none = replace(invented(("flue",)), house_pressure=Limit(-0.5, -0.5), door_pull=Limit(0.0, 0.0))
    none = replace(none, appliances=(replace(none.appliances[0], pressure=0.0),))
    still = limit_shares(none, -0.25, 0.0, (0.0,))
    assert still == {"house pressure": (0.5, 0.5), "door pull": (0.0, 0.0), "flue": (0.0, 0.0)}
    assert limit_shares(none, 0.0, 0.1, (-0.1,)) == {
        "house pressure": (0.0, 0.0),
        "door pull": (np.inf, np.inf),
        "flue": (np.inf, np.inf),
    }


def test_one_state_of_invented_pressures(trial):
    """Nothing pulled: a pushed-up house, doors that hardly feel it, an appliance whose room gains."""
    doors = outer_doors(trial.place.house)
    pulls = Pulls(np.array([3.0, 4.0]), np.full((len(doors), 2), 0.25), np.array([[2.0, 3.0]]))
    tight = trial.numbers[trial.is_tight(trial.numbers)][:2]
    judged = judged_on(trial, OPENS, 1.1, tight, pulls)
    assert judged.changes == (("water heater", 0.0),)
    assert (judged.pressure, judged.tight, judged.loose, judged.highest) == (3.0, 3.0, 3.0, 4.0)
    assert (judged.door, judged.door_force, judged.mismatch) == (doors[0], 0.25, 1.1)
    assert judged.bound_by == "door pull"


def test_a_house_without_a_door_to_outdoors_is_judged_by_its_pressure():
    trial = trial_of(UNPICKED)
    judged, opened = screened(trial, [Option(NONE), FREE])
    assert opened.fault == "damper stuck shut"
    assert judged.pressure < opened.fault_pressure < opened.pressure < 0  # the shut damper leaks a little
    assert not opened.fault_appliance
    assert (judged.door, judged.door_force, judged.changes) == ("", 0.0, ())
    assert judged.bound_by == "house pressure"
    assert judged.ratio == pytest.approx(judged.pressure / trial.judged.house_pressure.tolerated)


def one(**told):
    whole = {
        "option": BLOWS, "pressure": -5.0, "tight": -5.0, "loose": -4.0, "highest": 2.0, "number": 7, "mismatch": 0.9,
        "door": "front", "door_force": 9.0, "changes": (("flue", -1.0), ("stove", -3.0)), "ratio": 0.5,
        "ratio_wanted": 0.6, "bound_by": "house pressure",
    }  # fmt: skip
    return Judged(**(whole | told))


def test_the_worse_of_every_end_of_a_fan_in_everything():
    """The limit that binds is of one, the depth of another, the door and the highest of a third."""
    bound = one(ratio=0.7, bound_by="stove", ratio_wanted=0.5, changes=(("flue", -2.0), ("stove", -3.5)))
    deep = one(
        pressure=-6.0, tight=-5.5, loose=-6.0, number=9, mismatch=1.1, changes=(("flue", -4.0), ("stove", -1.0)),
        ratio_wanted=0.9,
    )  # fmt: skip
    pushed = one(highest=30.0, door="back", door_force=11.0, ratio=0.1)
    worse = one(
        pressure=-6.0, tight=-5.5, loose=-6.0, highest=30.0, number=9, mismatch=1.1, door="back", door_force=11.0,
        changes=(("flue", -4.0), ("stove", -3.5)), ratio=0.7, ratio_wanted=0.9, bound_by="stove",
    )  # fmt: skip
    several = [bound, deep, pushed]
    assert worse_of(several) == worse_of(several[::-1]) == worse_of([deep, bound, pushed]) == worse
    assert worse_of([deep]) == deep


def test_whether_an_option_holds_and_by_how_much_it_misses():
    assert one(ratio=1.0, ratio_wanted=1.0).keeps_limits
    assert one(ratio=1.0, ratio_wanted=1.0).as_wanted
    past = one(ratio=1.25, ratio_wanted=2.0, pressure=-25.0)
    assert (past.keeps_limits, past.holds, past.as_wanted) == (False, False, False)
    assert past.miss == pytest.approx(5.0)  # 20 Pa are tolerated
    flue = one(ratio=1.5, bound_by="stove")
    assert (flue.bound_pressure, flue.miss) == (-3.0, pytest.approx(1.0))  # 2 Pa are tolerated
    assert (one(short=0.0).holds, one(short=0.01).holds, one(short=0.01).keeps_limits) == (True, False, True)
    assert (one().miss, one(ratio=0.0).miss, one(ratio=1.0).miss) == (0.0, 0.0, 0.0)
    assert one(tight=-5.0, loose=-4.0).shallowest == one(tight=-4.0, loose=-5.0).shallowest == -4.0
    assert one().verified is False


@pytest.mark.parametrize(
    ("option", "at_top"), [(OPENS, True), (Option(NONE), True), (BLOWS, False), (Option(DRAWN), False)]
)
@pytest.mark.parametrize("proofs", [("all", "all"), ("proved", "best found"), ("best found", "proved")])
def test_an_option_is_verified_where_every_part_is_proved(trial, monkeypatch, option, at_top, proofs):
    """A machine below its top pulls less only where make-up air does not follow its speed."""
    asked, told, real = [], list(proofs), judge.worst_under

    def listed(*given, at_top):
        asked.append(at_top)
        return replace(real(*given, at_top=at_top), proof=told.pop(0))

    monkeypatch.setattr(judge, "worst_under", listed)
    screen = replace(screened(trial, [option])[0], short=0.02, fault="kept", fault_pressure=-7.0, fault_appliance=True)
    full = verified(trial, screen)
    assert asked == [at_top] * len(mismatches(option))
    assert full.verified is all(proof != "best found" for proof in proofs[: len(asked)])
    assert (full.short, full.fault, full.fault_pressure, full.fault_appliance) == (0.02, "kept", -7.0, True)
    assert (full.option, full.mismatch in mismatches(option)) == (option, True)
    assert full.pressure <= screen.pressure + 1e-9
