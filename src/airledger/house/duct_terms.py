"""A `run:` as numbers: friction length, loss coefficients, filter, flap; every default that was used is listed.

Nothing is added to a run: entries and exits are items of it (a cap's loss includes its exit).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from airledger import parts, units
from airledger.errors import InputError
from airledger.house.elements import Run
from airledger.house.house import Duct, Exhaust, FilterDrop, Flap, MakeUpAir, RunItem, Ventilator
from airledger.house.operating_state import Settings, full_flow
from airledger.physics.duct_friction import flex_compression_factor, hydraulic_diameter
from airledger.physics.fitting_loss import grille_loss, sudden_contraction
from airledger.sources import Assumption, Source

Factor = Callable[[Settings], NDArray[np.float64]]

USUAL_DIAMETERS = {"dryer": 4 * units.INCH, "bath fan": 4 * units.INCH, "vacuum": 2 * units.INCH}
"""Ducts of machines whose file gives none [m]: common practice, no source. A hood: by its flow, at 5 m/s."""


FILTER_SPEED = 5.0
"""Air speed in the duct at which a filter of a grade alone is taken to be sized [m/s]: common practice, no source."""


@dataclass(frozen=True)
class FlapTerms:
    """A flap at the end of a run.

    Loss [-] on the duct's velocity, opening pressure [Pa], shut leakage (flow [m3/s], pressure [Pa]).
    """

    loss: float
    opens_at: float
    leak: tuple[float, float]


@dataclass(frozen=True)
class Terms:
    """A run as numbers.

    length [m] with compression counted, diameter [m] hydraulic, roughness [m], area [m2], local [-] on the duct's
    velocity,
    fixed [1/m4] of parts with a face of their own, rise [m], filter (clean, dirty [Pa], flow [m3/s], exponent [-]),
    flap, what was assumed.
    """

    length: float
    diameter: float
    roughness: float
    area: float
    local: float = 0.0
    fixed: float = 0.0
    rise: float = 0.0
    filter: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    flap: FlapTerms | None = None
    assumed: tuple[Assumption, ...] = field(default=())

    def element(
        self, through: str, kind: str, ends: tuple[str, str], heights: tuple[float, float], sought: Factor | None
    ) -> Run:
        """The run as an element between two nodes.

        Parameters
        ----------
        through : str
            what the air goes through [-]
        kind : str
            its kind in words [-]
        ends : tuple[str, str]
            nodes at tail and head [-]
        heights : tuple[float, float]
            heights of both ends [m]
        sought : Factor | None
            diameter by state, where it is looked for [m]
        """
        clean, dirty, flow, exponent = self.filter
        return Run(
            through, kind, *ends, *heights, column=ends[0], length=self.length, diameter=self.diameter,
            roughness=self.roughness, area=self.area, local=self.local, fixed=self.fixed, clean=clean, dirtied=dirty,
            filter_flow=flow, filter_exponent=exponent, size=sought,
        )  # fmt: skip


def of_exhaust(exhaust: Exhaust) -> Terms:
    """The run of an exhaust.

    Parameters
    ----------
    exhaust : Exhaust
        a machine with a run [-]
    """
    path = f"exhausts / {exhaust.name}"
    duct, assumed = exhaust.duct, []
    if duct is None:
        wanted = USUAL_DIAMETERS.get(exhaust.kind, 2 * math.sqrt(full_flow(exhaust) / (math.pi * 5.0)))
        sizes = [size for size in parts.round_sizes() if size >= wanted - 1e-9] or [wanted]
        duct = Duct(diameter=sizes[0])
        why = "no duct size given: the usual one for this machine"
        assumed.append(
            Assumption(f"{path} / duct / size", sizes[0], "m", why, Source("usual exhaust duct", "practice"))
        )
    return _terms(path, duct, exhaust.run, full_flow(exhaust), assumed)


def of_make_up(arrangement: MakeUpAir) -> Terms:
    """The run of a make-up opening.

    Parameters
    ----------
    arrangement : MakeUpAir
        the arrangement [-]
    """
    return _terms(f"make-up air / {arrangement.name}", arrangement.duct, arrangement.run, 0.0, [])


def ventilator_filter(unit: Ventilator, supply: bool) -> tuple[float, float, float]:
    """Clean and dirty loss [Pa] of a stream's filter and the flow [m3/s] they belong to; none: no loss.

    Parameters
    ----------
    unit : Ventilator
        the unit [-]
    supply : bool
        the outdoor side, else the house side [-]
    """
    top = unit.speeds[-1]
    drop = dict(unit.filters).get("outdoor side" if supply else "house side")
    flow = top.supply if supply else top.exhaust
    if drop is None:
        return 0.0, 0.0, flow
    clean, dirty, given, _ = _filter("ventilator", drop, flow, [])
    return clean, dirty, given


def _terms(path: str, duct: Duct, run: tuple[RunItem, ...], flow: float, assumed: list[Assumption]) -> Terms:
    diameter, area = section(path, duct)
    rough = parts.roughness(duct.made_of)
    terms = Terms(0.0, diameter, rough.value, area)
    factor = 1.0
    if parts.is_flexible(duct.made_of):
        compression = duct.compressed
        if compression is None:
            usual = parts.usual_compression()
            compression = usual.value
            assumed.append(
                Assumption(
                    f"{path} / duct / compressed", usual.value, "-", "flexible duct as usually hung", usual.source
                )
            )
        factor = float(flex_compression_factor(diameter, compression))
    for number, item in enumerate(run, 1):
        terms = _with(f"{path} / run / {number} {item.kind}", terms, item, (factor, flow), assumed)
    return replace(terms, assumed=tuple(assumed))


def section(path: str, duct: Duct) -> tuple[float, float]:
    """Hydraulic diameter [m] and area [m2] of a duct.

    Parameters
    ----------
    path : str
        where the duct stands in the house file, for the message [-]
    duct : Duct
        round or rectangular [m]

    Raises
    ------
    InputError
        the duct has neither a diameter nor two sides.
    """
    if duct.diameter is not None:
        return duct.diameter, math.pi / 4 * duct.diameter**2
    if duct.width is None or duct.height is None:
        raise InputError(f"{path}: a duct needs a size such as  10 in round  or  14 in x 8 in")
    area = duct.width * duct.height
    return float(hydraulic_diameter(area, 2 * (duct.width + duct.height))), area


def _with(path: str, terms: Terms, item: RunItem, straight: tuple[float, float], assumed: list[Assumption]) -> Terms:
    """The terms with one more item of the run."""
    factor, flow = straight
    if item.kind == "straight":
        return replace(terms, length=terms.length + item.length * factor, rise=terms.rise + item.rise)
    if item.kind == "filter":
        return replace(
            terms,
            filter=_filter(path, item.filter or FilterDrop(item.word), max(flow, FILTER_SPEED * terms.area), assumed),
        )
    if item.kind == "grille" and (item.width or item.diameter):
        return replace(terms, fixed=terms.fixed + _grille(path, item, assumed))
    loss = item.loss if item.loss is not None else _default_loss(path, item, assumed)
    flap = _flap(path, item, loss, assumed)
    if flap is not None:
        return replace(terms, flap=flap)
    return replace(terms, local=terms.local + loss)


def _flap(path: str, item: RunItem, loss: float, assumed: list[Assumption]) -> FlapTerms | None:
    """The flap of a cap or damper; a cap or damper without one gives None."""
    named = item.flap is not None and (item.flap.opens_at is not None or item.flap.leaks_shut is not None)
    if not named and "flap" not in item.word and not (item.kind == "damper" and "backdraft" in item.word):
        return None
    given = item.flap or Flap()
    cap = parts.cap("wall cap with flap")
    opens_at, leak = given.opens_at, given.leaks_shut
    if opens_at is None and cap.opens_at is not None:
        opens_at = cap.opens_at.value
        assumed.append(Assumption(f"{path} / flap opens at", opens_at, "Pa", "not given", cap.opens_at.source))
    if leak is None and cap.leaks_shut is not None:
        leak = (cap.leaks_shut.flow, cap.leaks_shut.pressure)
        assumed.append(
            Assumption(f"{path} / leaks shut", leak[0], "m3/s", f"not given: at {leak[1]:g} Pa", cap.leaks_shut.source)
        )
    return FlapTerms(loss, opens_at or 0.0, leak or (0.0, 25.0))


def _default_loss(path: str, item: RunItem, assumed: list[Assumption]) -> float:
    """The loss coefficient [-] of an item that gives none, from the parts tables."""
    if item.kind == "elbow":
        part = parts.elbow_loss(math.radians(item.angle), item.word, item.radius_ratio)
    elif item.kind in ("wall cap", "roof cap"):
        part = parts.cap(item.kind if item.kind == "roof cap" else "wall cap").loss
    elif item.kind == "damper":
        part = replace(parts.damper("motorized").loss, word="balancing damper, wide open")
    elif item.kind == "exit":
        part = parts.fitting_loss("exit")
    elif item.kind == "entry":
        part = parts.fitting_loss(f"{item.word} entry" if item.word else "flush entry")
    elif item.kind == "tee":
        part = parts.fitting_loss(item.word if item.word in parts.fitting_words() else "plain tee")
    elif item.kind == "transition":
        loss = float(sudden_contraction(0.8))
        part = parts.PartValue(
            "transition by a fifth",
            loss,
            0.0,
            loss,
            "-",
            Source("sudden contraction to 0.8 of the diameter", "practice"),
        )
    else:
        part = parts.fitting_loss(item.word)
    assumed.append(Assumption(f"{path} / loss", part.value, "-", f"not given: {part.word}", part.source))
    return part.value


def _grille(path: str, item: RunItem, assumed: list[Assumption]) -> float:
    """K/(2 A^2) [1/m4] of a grille on its own face."""
    face = item.width * item.height if item.width and item.height else math.pi / 4 * (item.diameter or 0.0) ** 2
    free = item.free
    if free is None:
        usual = parts.grille("make-up").free
        free = usual.value
        assumed.append(Assumption(f"{path} / free", free, "-", "free part of the face not given", usual.source))
    loss = item.loss if item.loss is not None else float(grille_loss(free))
    return loss / (2 * face * face)


def _filter(path: str, drop: FilterDrop, flow: float, assumed: list[Assumption]) -> tuple[float, float, float, float]:
    """Clean and dirty loss [Pa] at one flow [m3/s], and the exponent of the loss."""
    grade = parts.filter_grade(drop.grade or "merv 8")
    exponent = grade.exponent.value
    reference = drop.clean or drop.dirty
    at = reference[1] if reference else flow
    values = []
    for given, usual, word in ((drop.clean, grade.clean, "clean"), (drop.dirty, grade.dirty, "dirty")):
        if given is None:
            values.append(usual.value)
            assumed.append(
                Assumption(
                    f"{path} / {word}",
                    usual.value,
                    "Pa",
                    f"not given: {grade.word} at {at / units.CFM:.0f} cfm",
                    usual.source,
                )
            )
        else:
            values.append(given[0] * (at / given[1]) ** exponent)
    return values[0], max(values), at, exponent
