"""A hand-made outcome with invented figures, in the shape that runs give: for tests of pictures and papers only."""

from __future__ import annotations

from airledger.findings import Finding
from airledger.house.house import Envelope, Exhaust, House, Room, Site
from airledger.house.ledger import StateResult
from airledger.report.outcome import Outcome, Search
from airledger.sources import Assumption, Source
from airledger.studies.protocol import Result
from airledger.uncertain import Uncertain
from airledger.units import CFM, INCH, POUND_FORCE
from tests.unit.report.sample_house import HOUSE, ROOMS, account, flow, rectangle, state

__all__ = ["HOUSE", "ROOMS", "findings", "one_room", "outcome", "rectangle", "results", "state"]


def results(states: tuple[StateResult, ...]) -> dict[str, Result]:
    hood, dryer = 900 * CFM, 125 * CFM
    named = [
        {
            "state": s.name,
            "house_pressure_pa": s.house_pressure,
            "low_pa": 1.62 * s.house_pressure,
            "high_pa": 0.58 * s.house_pressure,
            "reference_room": "great room",
            "worst_room": "laundry",
            "worst_room_pressure_pa": s.house_pressure - 0.4,
            "wanted_pa": -10.0,
            "tolerated_pa": -20.0,
            "verdict": "past the tolerated limit" if s.house_pressure < -20 else "within every limit",
        }
        for s in states[:4]
    ]
    worst = [
        {
            "target": target,
            "target_kind": kind,
            "state": "hood high, dryer on, doors open",
            "kind": "normal",
            "why": "",
            "ach50": 0.6,
            "season": "winter",
            "pressure_pa": pressure,
            "force_n": force,
            "hours_s": 41.0 * 3600,
        }
        for target, kind, pressure, force in (
            ("the house", "house", -88.4, None),
            ("laundry", "room", -93.2, None),
            ("entry door", "door", -88.0, 20.4 * POUND_FORCE),
        )
    ]
    options = [
        {
            "rank": rank,
            "option": option,
            "family": family,
            "parts": parts,
            "holds": holds,
            "house_pressure_pa": pressure,
            "low_pa": pressure * 1.5,
            "high_pa": pressure * 0.6,
            "worst_state": "hood high, dryer on, doors open",
            "fault_pressure_pa": -88.4,
            "fault_state": "damper stuck shut",
            "hood_rated_m3s": hood,
            "hood_m3s": moved * CFM,
            "hood_share_ratio": moved / 900,
            "hood_loss_pa": 210.0,
            "make_up_m3s": make_up * CFM,
            "make_up_share_ratio": make_up / 900,
            "door_force_n": -pressure / 4 * POUND_FORCE,
            "door": "entry door",
            "heat_w": 6200.0,
            "water_kgs": 0.0031,
            "heat_per_flow_ws_m3": 18000.0,
            "water_per_flow_kg_m3": 0.006,
            "grille_speed_ms": 2.4,
            "wall_space": "16 in x 16 in",
            "cavity": "2x6",
            "trades": "HVAC, electrician",
            "power": "120 V",
            "price_usd": price,
            "diameter_m": diameter * INCH if diameter else None,
            "count": count,
            "note": "",
        }
        for rank, option, family, parts, holds, pressure, moved, make_up, price, diameter, count in (
            (1, "two 10 in openings, motorized dampers", "two passive", 2, "holds", -13.1, 795, 541, 1140.0, 10, 2),
            (2, "powered fan of 700 cfm", "powered", 3, "holds", -9.2, 830, 690, 2900.0, None, 1),
            (
                3,
                "one 12 in opening, motorized damper",
                "passive",
                1,
                "holds, not as wanted",
                -18.6,
                760,
                480,
                690.0,
                12,
                1,
            ),
            (4, "one 10 in opening, motorized damper", "passive", 1, "does not hold", -24.6, 725, 410, 560.0, 10, 1),
            (5, "none", "none", 0, "does not hold", -58.3, 610, 0, 0.0, None, 0),
        )
    ]
    sizes = (0, 4, 6, 8, 10, 12, 14, 16)
    curve = {
        name: tuple((size * INCH, -pull / (1 + (size / 8) ** 2.4)) for size in sizes)
        for name, pull in (("likely", 58.3), ("tight", 94.4), ("loose", 27.0))
    }
    return {
        "air_balance": Result(
            tables={
                "account": tuple(row for s in states[:4] for row in account(s)),
                "sources": tuple(
                    {"state": "cooking", "source": n, "flow_m3s": f * CFM, "share_ratio": f / 626}
                    for n, f in (("leaks", 530), ("ERV", 96))
                ),
                "ventilator": (
                    {
                        "state": "everyday",
                        "supply_m3s": 70 * CFM,
                        "exhaust_m3s": 72 * CFM,
                        "balance_ratio": -0.03,
                        "goal_low_ratio": 0.0,
                        "goal_high_ratio": 0.1,
                        "verdict": "below the goal",
                    },
                ),
                "yearly_air": (
                    {"cause": "range hood", "hours_s": 182 * 3600.0, "air_m3": 150000.0},
                    {"cause": "ERV out of balance", "hours_s": 8760 * 3600.0, "air_m3": 30000.0},
                ),
            }
        ),
        "depressurization": Result(
            tables={
                "named": tuple(named),
                "worst": tuple(worst),
                "fans": (
                    {
                        "state": "cooking",
                        "machine": "range hood",
                        "rated_m3s": hood,
                        "real_m3s": 610 * CFM,
                        "share_ratio": 610 / 900,
                    },
                    {"state": "drying", "machine": "dryer", "rated_m3s": dryer, "real_m3s": dryer, "share_ratio": 1.0},
                ),
            }
        ),
        "door_force": Result(
            tables={
                "doors": tuple(
                    {
                        "opening": "entry door",
                        "state": s.name,
                        "ach50": 1.1,
                        "difference_pa": s.house_pressure,
                        "force_n": s.door_forces[0].force,
                        "low_n": 0.6 * s.door_forces[0].force,
                        "high_n": 1.6 * s.door_forces[0].force,
                        "direction": s.door_forces[0].direction,
                        "wanted_n": 5 * POUND_FORCE,
                        "tolerated_n": 5 * POUND_FORCE,
                        "verdict": "past the limit" if s.door_forces[0].force > 23 else "within the limit",
                    }
                    for s in states[:4]
                ),
                "cure": ({"opening": "entry door", "state": "cooking", "cure": "back door open", "force_n": 0.3},),
            }
        ),
        "make_up_air": Result(
            tables={
                "options": tuple(options),
                "recommendation": (
                    {
                        "verdict": "holds",
                        "option": options[0]["option"],
                        "sentence": "Two 10 in openings with motorized dampers hold the house at 13 Pa.",
                        "house_pressure_pa": -13.1,
                        "price_usd": 1140.0,
                        "wait": "the dampers can wait for the rough-in blower-door test",
                    },
                ),
                "misses": (
                    {
                        "option": "one 10 in opening, motorized damper",
                        "by_pa": 4.6,
                        "why": "pulled to 24.6 Pa with the dryer on",
                    },
                ),
                "actions": (
                    {
                        "order": 1,
                        "action": "Frame two 10 in openings with motorized dampers in the north wall.",
                        "detail": "13 Pa with everything on, $1,140, HVAC and electrician",
                    },
                    {
                        "order": 2,
                        "action": "Or let the client pick a hood of up to 520 cfm: one 12 in opening then does.",
                        "detail": "19 Pa, $690",
                    },
                    {
                        "order": 3,
                        "action": "Order the dampers after the rough-in blower-door test.",
                        "detail": "nothing is lost by waiting",
                    },
                ),
            },
            figures={"pressure_by_size": curve},
        ),
        "biggest_hood": Result(
            tables={
                "ducts": tuple(
                    {
                        "opening": f"one {size} in",
                        "diameter_m": size * INCH,
                        "count": 1,
                        "hood_m3s": 6.1 * size**1.9 * CFM,
                        "hood_with_dryer_m3s": (6.1 * size**1.9 - 120) * CFM,
                        "limit": "house pressure",
                        "bound_by": "a tight house",
                    }
                    for size in (6, 8, 10, 12)
                )
            }
        ),
    }


def findings() -> tuple[Finding, ...]:
    return (
        Finding(
            "combustion_safety",
            "flue-spills",
            "danger",
            "standard",
            "water heater",
            "cooking",
            "The hood pulls the water heater's flue backwards.",
            "Keep the heater off until make-up air is in.",
            "the maker's manual",
            False,
            -58.3,
            -94.4,
            -33.8,
            -5.0,
            "Pa",
        ),
        Finding(
            "depressurization",
            "house-pressure",
            "fail",
            "user",
            "great room",
            "cooking",
            "The house is pulled down 58 Pa, past the 20 Pa that you tolerate.",
            "Give the hood make-up air.",
            "yours",
            True,
            -58.3,
            -94.4,
            -33.8,
            -20.0,
            "Pa",
        ),
        Finding(
            "door_force",
            "door-pull",
            "fail",
            "practice",
            "entry door",
            "cooking",
            "The hood holds the entry door shut with 13 lbf (58 N).",
            "Give the hood make-up air.",
            "common practice",
            False,
            58.0,
            34.8,
            92.8,
            22.2,
            "N",
        ),
        Finding(
            "make_up_air",
            "code-silent",
            "unknown",
            "law",
            "range hood",
            "",
            "The code was not looked up for this place.",
            "Ask the official.",
            "",
            False,
        ),
    )


def outcome(danger: bool = False) -> Outcome:
    """Four named states and the worst one."""
    states = (
        state("everyday", -0.3, 0.1),
        state("shower", -0.9, 0.2),
        state("cooking", -58.3, 58.0),
        state("cooking with the back door open", -0.4, 0.3),
    )
    worst = state("worst for the house", -88.4, 90.7, why="hood high, dryer on, a tight house, winter")
    return Outcome(
        house=HOUSE,
        assumed=(
            Assumption(
                "limits / house pressure / wanted",
                -10.0,
                "Pa",
                "the file is silent",
                Source("a standard for sealed houses", "memory"),
            ),
            Assumption(
                "exhausts / dryer / duct", "holds its flow", "", "no fan curve is given", Source("", "practice")
            ),
        ),
        states=(*states, worst),
        search=Search(3456, 3456, "all", 4e-12),
        results=results(states),
        not_run=(("combustion_safety", "appliances"),),
        findings=findings() if danger else findings()[1:],
        deepest=(worst, states[2]),
        headline="With the hood on high and the dryer on, the house is pulled down 88 Pa; "
        "two 10 in openings with motorized dampers hold it at 13 Pa.",
    )


def one_room() -> Outcome:
    """A house of one room with one hood and no options to weigh."""
    room = Room("house", area=232.3, ceiling=3.048)
    house = House(
        "Check house",
        Site("", 0.0),
        Envelope(Uncertain.exactly(1.0)),
        (room,),
        exhausts=(Exhaust("range hood", "hood", "house", (("high", 600 * CFM),)),),
    )
    flows = (
        flow("envelope", "leak", ("outdoors", "house"), 600.0),
        flow("range hood", "exhaust", ("house", "outdoors"), 600),
    )
    hard = StateResult(
        "hood on high", "normal", "", "mild", "calm", 1.0, -87.6, "house", (("house", -87.6),), flows, (), 1e-13
    )
    named = {
        "state": hard.name,
        "house_pressure_pa": -87.6,
        "low_pa": -87.6,
        "high_pa": -87.6,
        "reference_room": "house",
        "worst_room": "house",
        "worst_room_pressure_pa": -87.6,
        "wanted_pa": -10.0,
        "tolerated_pa": -20.0,
        "verdict": "past the tolerated limit",
    }
    return Outcome(
        house,
        assumed=outcome().assumed * 9,
        states=(hard,),
        results={
            "air_balance": Result(tables={"account": tuple(account(hard))}),
            "depressurization": Result(tables={"named": (named,)}),
        },
        findings=findings()[1:] * 5,
        headline="With the hood on high the house is pulled down 88 Pa.",
    )
