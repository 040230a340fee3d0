"""A house with room for every make-up option: all candidate openings in place, none built until an option says so.

One topology serves all options: which opening is there, how wide it is, whether its damper is open and how fast its fan
turns are numbers of a row. The run of a candidate is a usual one, listed as assumed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airledger.house.house import (
    OUTDOORS,
    Damper,
    Duct,
    Exhaust,
    FilterDrop,
    House,
    MakeUpAir,
    MakeUpFan,
    Opening,
    RunItem,
)
from airledger.house.operating_state import Key
from airledger.quantities import within_words
from airledger.search.freedoms import top_flow
from airledger.sources import Assumption, Source
from airledger.units import CFM, FOOT, INCH, INCH_OF_WATER

Array = NDArray[np.float64]

# A name in a house file has no slash, so that no arrangement of a file is ever taken for one of these.
OPENING, SECOND, POWERED = "candidate/opening", "candidate/second opening", "candidate/fan"
SLOTS = (OPENING, SECOND, POWERED)

STRAIGHT = 15 * FOOT
CAP_LOSS, ELBOW_LOSS = 1.0, 0.25
GRILLE_TO_DUCT, GRILLE_FREE = 3.0, 0.65
MISMATCH = 0.10
NO_FILTER = 1e-6
BATHS_COUNT = 100 * CFM
STARTS = ("hood", "dryer", "vacuum", "open fireplace", "exhaust")
USUAL_RUN = Source(
    "a usual run: cap without flap, a short smooth duct, one elbow, a grille of three duct areas", "practice"
)
USUAL_FILTER = Source("a large filter box of MERV 8 media", "practice")
USUAL_MISMATCH = Source("make-up fan against the hood, as set", "practice")


@dataclass(frozen=True)
class Slots:
    """A house with every candidate in place.

    machine: the biggest machine, a hood if there is one; starting: what make-up air starts with; dryers: vented ones;
    window: a window to outdoors that may be opened, with its stop [m]; drawn: arrangements of the file itself.
    """

    house: House
    machine: Exhaust | None
    starting: tuple[Exhaust, ...]
    dryers: tuple[str, ...]
    window: Opening | None
    drawn: tuple[str, ...]
    assumed: tuple[Assumption, ...]

    @property
    def powered_flow(self) -> float:
        """Flow that a powered make-up fan needs to match all that starts it [m3/s]."""
        return sum(top_flow(exhaust) for exhaust in self.starting)


def slots(house: House) -> Slots:
    """A house with every candidate opening in place.

    Parameters
    ----------
    house : House
        what the file says [-]
    """
    vented = tuple(exhaust for exhaust in house.exhausts if exhaust.vented != "heat pump" and top_flow(exhaust) > 0)
    starting = tuple(exhaust for exhaust in vented if exhaust.kind in STARTS or _counts(exhaust, vented))
    hoods = tuple(exhaust for exhaust in vented if exhaust.kind == "hood")
    machine = max(hoods or starting or vented, key=top_flow, default=None)
    into = machine.room if machine is not None else max(house.conditioned, key=lambda room: room.area).name
    drawn = house.make_up_air or ()
    made = tuple(_slot(name, into, sum(top_flow(e) for e in starting)) for name in SLOTS)
    untested = replace(house.envelope, taped=(*house.envelope.taped, *SLOTS))  # not there when the house was tested
    return Slots(
        house=replace(house, envelope=untested, make_up_air=(*drawn, *made)),
        machine=machine,
        starting=starting,
        dryers=tuple(exhaust.name for exhaust in vented if exhaust.kind == "dryer"),
        window=_window(house, into),
        drawn=tuple(arrangement.name for arrangement in drawn),
        assumed=_assumed(),
    )


def _counts(exhaust: Exhaust, vented: tuple[Exhaust, ...]) -> bool:
    """Whether a bath fan starts make-up air too: where all of them together pull like a dryer."""
    baths = sum(top_flow(fan) for fan in vented if fan.kind == "bath fan")
    return exhaust.kind == "bath fan" and baths >= BATHS_COUNT


def _slot(name: str, into: str, flow: float) -> MakeUpAir:
    grille_loss = (1 / (0.6 * GRILLE_FREE) / GRILLE_TO_DUCT) ** 2
    run = [RunItem("wall cap", loss=CAP_LOSS), RunItem("straight", length=STRAIGHT), RunItem("loss", loss=ELBOW_LOSS)]
    if name != POWERED:  # dirty 0: no filter in the box; dirty 1: a filter at the end of its life
        drop = FilterDrop("merv 8", (NO_FILTER, 1000 * CFM), (0.25 * INCH_OF_WATER, 1000 * CFM))
        run.insert(1, RunItem("filter", filter=drop))
    run.append(RunItem("loss", loss=grille_loss))
    return MakeUpAir(
        name=name,
        into=into,
        duct=Duct(diameter=10 * INCH),
        run=tuple(run),
        damper=Damper(kind="motorized", leaks_shut=(5 * CFM, 25.0)),
        fan=MakeUpFan(speeds=(("on", max(flow, CFM)),), mismatch=MISMATCH) if name == POWERED else None,
    )


def _window(house: House, room: str) -> Opening | None:
    windows = [opening for opening in house.openings if opening.kind == "window" and OUTDOORS in opening.between]
    windows.sort(key=lambda opening: room not in opening.between)
    return windows[0] if windows else None


def _assumed() -> tuple[Assumption, ...]:
    return (
        Assumption(
            "make-up air / candidates / run",
            f"cap, {within_words(STRAIGHT, 'length', 0)} of duct, one elbow, grille",
            "",
            "not drawn yet",
            USUAL_RUN,
        ),
        Assumption(
            "make-up air / candidates / filter",
            0.25 * INCH_OF_WATER,
            "Pa",
            f"dirty, at {within_words(1000 * CFM, 'air flow')}",
            USUAL_FILTER,
        ),
        Assumption("make-up air / candidates / fan / mismatch", MISMATCH, "-", "either way", USUAL_MISMATCH),
    )


def emptied(columns: Mapping[Key, Array], place: Slots, keep_drawn: bool) -> dict[Key, Array]:
    """Settings with no candidate built, and the arrangements of the file built or not.

    Parameters
    ----------
    columns : Mapping
        settings as columns [-]
    place : Slots
        the house with every candidate [-]
    keep_drawn : bool
        whether the arrangements of the file are there [-]
    """
    size = len(next(iter(columns.values())))
    off, on = np.zeros(size), np.ones(size)
    changed = dict(columns)
    for name in SLOTS:
        for kind in ("there", "open", "gravity"):
            changed[kind, name] = off
    changed["speed", POWERED] = off
    for name in place.drawn:
        changed["there", name] = on if keep_drawn else off
        if not keep_drawn:
            changed["open", name] = off
    return changed


def grille_area(diameter: float) -> float:
    """Face of the grille that goes with a duct [m2].

    Parameters
    ----------
    diameter : float
        duct diameter [m]
    """
    return GRILLE_TO_DUCT * np.pi / 4 * diameter**2
