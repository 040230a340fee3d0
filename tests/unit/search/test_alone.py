"""Machines one by one and all at once: which are looked at, and each against its states solved by themselves."""

from dataclasses import replace

import numpy as np
import pytest

from airledger.house.air_movers import Exhaust, FanCurve
from airledger.house.operating_state import ACH50, SEASON, Settings, interlocked
from airledger.runs.work import HouseWork
from airledger.search.alone import machines_alone, pulled
from airledger.search.limits import limits
from airledger.units import CFM
from tests.unit.search.houses import BARE, GAS, house

CASE = (
    GAS.replace("1.0 ach50", "0.8 to 1.6 ach50 (likely 1.1)")
    .replace("lies: flat, clear: 3 ft x 8 ft", "clear: 3 ft x 6 ft 8 in, door: basement door, stands: shut")
    .replace(
        "site: {elevation: 700 ft, ",
        "site: {elevation: 700 ft, summer: {outdoors: 95 F, dew point: 70 F, indoors: 75 F, humidity: 50 %}, ",
    )
    .replace("openings:", "openings:\n  side door: {between: [basement, outdoors], leaf: 36 in x 80 in, swings: out}")
)


def machine(name, kind, *cfm, **more):
    return Exhaust(name, kind, "room", tuple((f"speed {i}", flow * CFM) for i, flow in enumerate(cfm)), **more)


def looked_at(*machines):
    """(words, cfm, shares of full flow) of what is looked at."""
    found = machines_alone(replace(house(BARE), exhausts=machines))
    return [(words, round(flow / CFM, 6), {n: round(s, 6) for n, s in shares.items()}) for words, flow, shares in found]


def test_machines_of_a_kind_together_others_alone_hoods_in_usual_sizes_and_all_at_once():
    assert looked_at(
        machine("big hood", "hood", 300, 1000),
        machine("second hood", "hood", 700),
        machine("shop fan", "exhaust", 400),
        machine("fire", "open fireplace", 250),
        machine("second fire", "open fireplace", 150),
        machine("bath fan", "bath fan", 50, 80),
        machine("guest bath", "bath fan", 60),
        machine("vacuum", "vacuum", 120),
        machine("dryer", "dryer", 125),
        machine("guest dryer", "dryer", 125),
        machine("new dryer", "dryer", vented="heat pump"),
    ) == [
        ("2 dryers", 250, {"dryer": 1, "guest dryer": 1}),
        ("vacuum", 120, {"vacuum": 1}),
        ("2 bath fans", 140, {"bath fan": 1, "guest bath": 1}),
        ("2 fires", 400, {"fire": 1, "second fire": 1}),
        ("shop fan", 400, {"shop fan": 1}),
        ("big hood", 400, {"big hood": 0.4}),
        ("big hood", 600, {"big hood": 0.6}),
        ("big hood", 900, {"big hood": 0.9}),
        ("big hood", 1000, {"big hood": 1}),
        ("second hood", 700, {"second hood": 1}),
        (
            "everything at once",
            250 + 120 + 140 + 400 + 400 + 1000 + 700,
            {
                **{"big hood": 1, "second hood": 1, "shop fan": 1, "fire": 1, "second fire": 1, "bath fan": 1},
                **{"guest bath": 1, "vacuum": 1, "dryer": 1, "guest dryer": 1},
            },
        ),
    ]  # fmt: skip


def test_one_machine_is_not_everything_and_a_usual_size_is_told_once():
    assert looked_at() == []
    assert looked_at(machine("hood", "hood", 600)) == [
        ("hood", 400, {"hood": round(2 / 3, 6)}),
        ("hood", 600, {"hood": 1}),
    ]
    two = [words for words, _, _ in looked_at(machine("dryer", "dryer", 125), machine("vacuum", "vacuum", 120))]
    assert two == ["dryer", "vacuum", "everything at once"]
    plural = {kind: looked_at(machine("a", kind, 90), machine("b", kind, 90))[0][0] for kind in ("vacuum", "dryer")}
    assert plural == {"vacuum": "2 vacuums", "dryer": "2 dryers"}


def test_a_machine_whose_curve_is_that_of_its_low_speed_is_looked_at_at_its_top():
    curve = FanCurve("speed 0", ((0.0, 250.0), (100 * CFM, 25.0)))
    for kind in ("hood", "exhaust", "bath fan"):
        (only,) = looked_at(machine("it", kind, 100, 300, fan_curve=curve))
        assert only == ("it", 300, {"it": 3})
    both = looked_at(machine("it", "hood", 100, 300, fan_curve=curve), machine("vacuum", "vacuum", 100))
    assert both[-1] == ("everything at once", 400, {"it": 3, "vacuum": 1})


def by_itself(case, solve, shares, tightness, season):
    columns = {ACH50: np.array([tightness]), SEASON: np.array([float(season)])}
    for name, share in shares.items():
        columns["speed", name], columns["flow", name] = np.ones(1), np.array([share])
    return solve(Settings(interlocked(case, columns, 1), 1))


@pytest.mark.parametrize(
    "text",
    [
        CASE,
        CASE.replace("leaf: 36 in x 80 in, swings: out", "leaf: 60 in x 120 in, swings: out"),
        CASE.replace("starts with:", "fan: {speeds: {on: 450 cfm}}\n    starts with:"),
    ],
    ids=["an opening", "a gate below", "a make-up fan"],
)
def test_each_pull_is_that_of_its_states_solved_by_themselves(text):
    """What is drawn follows the hood; the basement door stands shut; two seasons, three tightnesses."""
    case = house(text)
    solve, judged = HouseWork(case, {}).solver(case), limits(case)
    found = pulled(case, solve, judged)
    assert [one.what for one in found] == ["bath fan", "range hood", "range hood", "everything at once"]
    for one, (_, flow, shares) in zip(found, machines_alone(case), strict=True):
        seen = {
            (tight, season): (by_itself(case, solve, shares, tight, season), by_itself(case, solve, {}, tight, season))
            for tight in (0.8, 1.1, 1.6)
            for season in (0, 1)
        }
        pressures = {key: float(running.house_pressure()[0]) for key, (running, _) in seen.items()}
        assert one.flow == pytest.approx(flow)
        assert one.pressure == pytest.approx(pressures[1.1, 0], rel=1e-9)
        assert one.low == pytest.approx(min(pressures.values()), rel=1e-9)
        assert one.high == pytest.approx(max(pressures.values()), rel=1e-9)
        doors = {name: seen[1.1, 0][0].door(name) for name in ("side door", "entry door")}
        worst = max(doors, key=lambda name: doors[name][0][0])
        assert one.door == worst
        assert one.force == pytest.approx(float(doors[worst][0][0]), rel=1e-9)
        assert one.direction == doors[worst][1][0]
        change = [
            float((running.room_pressure("basement") - still.room_pressure("basement"))[0])
            for running, still in seen.values()
        ]
        assert one.appliances == (pytest.approx(min(change), rel=1e-9),)


def test_an_appliance_whose_room_nobody_told_is_watched_by_the_pressure_of_the_house():
    case = house(CASE)
    judged = limits(case)
    anywhere = replace(judged, appliances=(replace(judged.appliances[0], room=""),))
    solve = HouseWork(case, {}).solver(case)
    hood = pulled(case, solve, anywhere)[2]
    change = [
        float(
            (
                by_itself(case, solve, {"range hood": 1.0}, tight, season).house_pressure()
                - by_itself(case, solve, {}, tight, season).house_pressure()
            )[0]
        )
        for tight in (0.8, 1.1, 1.6)
        for season in (0, 1)
    ]
    assert hood.appliances == (pytest.approx(min(change), rel=1e-9),)


def test_a_house_without_a_door_to_outdoors_has_none_to_tell():
    case = replace(house(BARE), exhausts=(machine("hood", "hood", 300),))
    (only,) = pulled(case, HouseWork(case, {}).solver(case), limits(case))
    assert (only.door, only.force, only.direction, only.appliances) == ("", 0.0, "", ())
    assert only.low <= only.pressure <= only.high < 0
