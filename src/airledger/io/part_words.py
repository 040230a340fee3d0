"""Words of duct parts against the tables that ship with the tool: materials, fittings, elbows, caps, filter grades."""

from __future__ import annotations

import math
from collections.abc import Iterator

from airledger import parts
from airledger.errors import AirledgerError, QuantityError
from airledger.house import duct_terms
from airledger.io import air_forms as air
from airledger.io import build
from airledger.io.fields import nearest
from airledger.io.forms import HouseForm
from airledger.io.marks import Path
from airledger.io.shape_faults import Faults

WORDS = {
    "wall cap": ("with flap", "without flap"),
    "roof cap": ("with flap", "without flap"),
    "transition": ("usual",),
    "damper": ("as balanced", "wide open", "backdraft"),
    "exit": ("plain",),
    "entry": ("flush", "projecting", "bell"),
}
"""Words that a part of a run may have where it gives no loss of its own."""


def check_part_words(form: HouseForm, faults: Faults) -> None:
    """Adds a fault for each material, fitting, elbow, cap or grade that the tables do not know.

    Parameters
    ----------
    form : HouseForm
        the file's content, faulty parts left out [-]
    faults : Faults
        the text and its tree [-]
    """
    for path, duct in _ducts(form):
        _known(faults, (*path, "made of"), duct.made_of, parts.roughness)
    for path, drop in _filters(form):
        if drop.grade:
            _known(faults, path, drop.grade, parts.filter_grade)
    for path, run in _runs(form):
        for place, part in enumerate(run):
            _part(faults, (*path, "run", place), part)
    _whole_runs(form, faults)


def _ducts(form: HouseForm) -> Iterator[tuple[Path, air.DuctForm]]:
    for name, exhaust in form.exhausts.items():
        if exhaust.duct is not None:
            yield ("exhausts", name, "duct"), exhaust.duct
    for name, arrangement in (form.make_up_air or {}).items():
        yield ("make-up air", name, "duct"), arrangement.duct
    yield from (((*path, "duct"), branch.duct) for path, branch in _branches(form))


def _branches(form: HouseForm) -> Iterator[tuple[Path, air.BranchForm]]:
    trees = None if form.ventilator is None else form.ventilator.ducts
    if trees is None:
        return
    for key, branch in (("from outdoors", trees.from_outdoors), ("to outdoors", trees.to_outdoors)):
        if branch is not None:
            yield ("ventilator", "ducts", key), branch
    for key, branches in (("to rooms", trees.to_rooms), ("from rooms", trees.from_rooms)):
        for name, branch in branches.items():
            yield ("ventilator", "ducts", key, name), branch


def _runs(form: HouseForm) -> Iterator[tuple[Path, list[air.RunPart]]]:
    yield from ((("exhausts", name), exhaust.run) for name, exhaust in form.exhausts.items())
    yield from ((("make-up air", name), entry.run) for name, entry in (form.make_up_air or {}).items())
    yield from ((path, branch.run) for path, branch in _branches(form))


def _filters(form: HouseForm) -> Iterator[tuple[Path, air.FilterForm]]:
    for path, run in _runs(form):
        for place, part in enumerate(run):
            if part.filter is not None:
                yield (*path, "run", place, "filter"), part.filter
    for name, arrangement in (form.make_up_air or {}).items():
        if arrangement.filter is not None:
            yield ("make-up air", name, "filter"), arrangement.filter
    sides = None if form.ventilator is None else form.ventilator.filter
    if sides is not None:
        for key, side in (("outdoor side", sides.outdoor_side), ("house side", sides.house_side)):
            if side is not None:
                yield ("ventilator", "filter", key), side


def _known(faults: Faults, path: Path, word: str, lookup: object) -> None:
    """A fault where a look-up of the parts does not know a word."""
    assert callable(lookup)
    try:
        lookup(word)
    except QuantityError as problem:
        allowed = problem.expected.partition("; did you mean")[0].rpartition(" is one of ")[2]
        near = nearest(word, allowed.split(", "))
        faults.add(path, f"{word!r} is not known here", allowed, near)


def _part(faults: Faults, path: Path, part: air.RunPart) -> None:
    """A part that gives no loss has to be one that the tables know."""
    kind = next(iter(part.model_fields_set)).replace("_", " ")
    value = getattr(part, kind.replace(" ", "_"))
    word, path = getattr(value, "word", ""), (*path, kind)
    if isinstance(value, air.ElbowForm) and value.loss is None:
        _elbow(faults, path, value)
    elif getattr(value, "loss", None) is not None:
        return
    elif kind == "fitting" or (kind == "tee" and word):
        _known(faults, path, word, parts.fitting_loss)
    elif kind in WORDS and word and word not in WORDS[kind]:
        allowed = f"{', '.join(WORDS[kind])}, or a loss: {kind}: {{loss: 1.5}}"
        faults.add(path, f"{word!r} is not known here", allowed, nearest(word, WORDS[kind]))


def _elbow(faults: Faults, path: Path, elbow: air.ElbowForm) -> None:
    try:
        parts.elbow_loss(math.radians(elbow.angle), elbow.word, elbow.radius)
    except QuantityError as problem:
        faults.add(path, f"{elbow.word!r} is not known here", problem.expected)
    except AirledgerError as problem:
        faults.add(path, str(problem), "an elbow of the table, or a loss of its own: elbow: {angle: 90 deg, loss: 0.3}")


def _whole_runs(form: HouseForm, faults: Faults) -> None:
    """Each run is tried as the calculation will read it, so that what loads can be computed."""
    if faults.found:
        return
    house = build.house(form)
    for exhaust in house.exhausts:
        if exhaust.vented != "heat pump" and (exhaust.duct is not None or exhaust.run):
            try:
                duct_terms.of_exhaust(exhaust)
            except AirledgerError as problem:
                faults.add(("exhausts", exhaust.name, "duct"), str(problem), at_key=True)
    for arrangement in house.make_up_air or ():
        try:
            duct_terms.of_make_up(arrangement)
        except AirledgerError as problem:
            faults.add(("make-up air", arrangement.name, "duct"), str(problem), at_key=True)
