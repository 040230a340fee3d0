"""A hand-made house and what four states do to it: invented figures, for tests of pictures and papers only."""

from __future__ import annotations

from airledger.house.house import (
    Envelope,
    Exhaust,
    House,
    Leak,
    Opening,
    Room,
    Season,
    Site,
    Ventilator,
    VentilatorSpeed,
)
from airledger.house.ledger import DoorForce, Flow, StateResult
from airledger.studies.protocol import Row
from airledger.uncertain import Uncertain
from airledger.units import CFM, FOOT, INCH

WARM, COOL = 1.165, 1.184  # kg/m3 of dry air, invented


def feet(*corners: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    return tuple((x * FOOT, y * FOOT) for x, y in corners)


def rectangle(x: float, y: float, wide: float, deep: float) -> tuple[tuple[float, float], ...]:
    return feet((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))


def door(name: str, one: str, other: str, wide: float = 32, **more: object) -> Opening:
    return Opening(name, "door", (one, other), wide * INCH, 80 * INCH, **more)  # type: ignore[arg-type]


HOUSE = House(
    name="Heron Lane 3",
    site=Site("Homestead, Florida", 1.8, seasons=(Season("summer", 32.8, 25.6, 23.9, 0.5),), north=20.0),
    envelope=Envelope(Uncertain(0.6, 1.1, 1.8), leaks=(Leak("window sills", 0.5, 0.9), Leak("bottom plate", 0.5, 0.0))),
    rooms=(
        Room("great room", area=62.4, ceiling=3.05, outline=rectangle(0, 0, 28, 24)),
        Room("hall", area=19.0, outline=feet((28, 0), (53, 0), (53, 4), (32, 4), (32, 30), (28, 30))),
        Room("main bedroom", area=22.3, outline=rectangle(32, 14, 15, 16)),
        Room("main bath", area=10.2, outline=rectangle(47, 14, 10, 11)),
        Room("bedroom 2", area=13.9, outline=rectangle(32, 4, 15, 10)),
        Room("hall bath", area=5.6, outline=rectangle(47, 4, 6, 10)),
        Room("laundry", area=6.5),
        Room("attic", kind="attic", area=154.0),
    ),
    openings=(
        door("entry door", "great room", "outdoors", 36, swings="out", stands="shut"),
        door("back door", "great room", "outdoors", swings="out", stands="shut", faces="south"),
        Opening("cased opening", "clear", ("great room", "hall"), 48 * INCH, 84 * INCH),
        door("main bedroom door", "hall", "main bedroom"),
        door("main bath door", "main bedroom", "main bath", 30),
        door("bedroom 2 door", "hall", "bedroom 2", 30),
        door("hall bath door", "hall", "hall bath", 28),
        door("laundry door", "hall", "laundry", 30),
    ),
    ventilator=Ventilator(
        "erv", (VentilatorSpeed("low", 70 * CFM, 70 * CFM),), (("main bedroom", 1.0),), (("main bath", 1.0),)
    ),
    exhausts=(
        Exhaust("range hood", "hood", "great room", (("high", 900 * CFM),)),
        Exhaust("dryer", "dryer", "laundry", (("on", 125 * CFM),)),
    ),
    make_up_air=None,
)
ROOMS = ("great room", "hall", "main bedroom", "main bath", "bedroom 2", "hall bath", "laundry")


def flow(through: str, kind: str, ends: tuple[str, str], cfm: float, mass: float | None = None) -> Flow:
    """A flow of so many cfm; its mass in cfm of warm outdoor air."""
    return Flow(through, kind, *ends, (cfm if mass is None else mass) * CFM * WARM, cfm * CFM)


def cooking_flows() -> tuple[Flow, ...]:
    out = "outdoors"
    inside = COOL / WARM
    leaks = {
        "great room": 210.0,
        "hall": 70.0,
        "main bedroom": 90.0,
        "main bath": 45.0,
        "bedroom 2": 76.0,
        "hall bath": 33.0,
        "laundry": 6.0,
    }
    flows = [flow("window sills", "leak", (out, room), cfm * 0.6) for room, cfm in leaks.items()]
    flows += [flow("bottom plate", "leak", (out, room), cfm * 0.4) for room, cfm in leaks.items()]
    flows += [
        flow("ERV", "ventilator", (out, "ventilator/supply"), 96),
        flow("main bedroom supply", "ventilator", ("ventilator/supply", "main bedroom"), 96),
        flow("hall bath pick-up", "ventilator", ("hall bath", "ventilator/exhaust"), 16),
        flow("ERV", "ventilator", ("ventilator/exhaust", out), 16 / inside, 16),
        flow("range hood", "exhaust", ("great room", out), 610 / inside, 610),
        flow("cased opening", "door", ("hall", "great room"), 400),
        flow("main bedroom door", "door", ("main bedroom", "hall"), 231),
        flow("main bath door", "door", ("main bath", "main bedroom"), 45),
        flow("bedroom 2 door", "door", ("bedroom 2", "hall"), 76),
        flow("hall bath door", "door", ("hall bath", "hall"), 17),
        flow("laundry door", "door", ("laundry", "hall"), 6),
    ]
    return tuple(flows)


def state(name: str, pressure: float, force: float, kind: str = "normal", **more: str) -> StateResult:
    flows = (
        cooking_flows()
        if pressure < -20
        else (
            flow("window sills", "leak", ("outdoors", "great room"), 2.0),
            flow("ERV", "ventilator", ("outdoors", "ventilator/supply"), 70.0),
            flow("ERV", "ventilator", ("ventilator/exhaust", "outdoors"), 72.0),
        )
    )
    direction = "held shut" if force > 0.5 else "none"
    return StateResult(
        name,
        kind,
        more.get("why", ""),
        "summer",
        "calm",
        1.1,
        pressure,
        "great room",
        tuple((room, pressure + 0.3 * place) for place, room in enumerate(ROOMS)),
        flows,
        (DoorForce("entry door", force, direction), DoorForce("back door", 0.85 * force, direction)),
        3e-13,
        ((("speed", "range hood"), 1.0),) if pressure < -20 else (),
    )


def account(one: StateResult) -> list[Row]:
    """The account of a state as the study gives it: every flow between outdoors and the rest."""
    rows: list[Row] = []
    for side, end, place in (("in", "from_", "to"), ("out", "to", "from_")):
        found = [f for f in one.flows if getattr(f, end) == "outdoors"]
        total = sum(f.mass_flow for f in found)
        for f in sorted(found, key=lambda f: (-f.mass_flow, f.through)):
            rows.append(
                {
                    "state": one.name,
                    "side": side,
                    "through": f.through,
                    "kind": f.kind,
                    "place": getattr(f, place),
                    "flow_m3s": f.volume_flow,
                    "mass_flow_kgs": f.mass_flow,
                    "share_ratio": f.mass_flow / total,
                }
            )
    return rows
