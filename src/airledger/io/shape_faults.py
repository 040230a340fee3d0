"""Faults of a house file's shape: the forms are tried, what fails is told and set aside, the rest is tried again.

Setting faulty parts aside lets one pass report all faults, those of meaning included, instead of the first kind only.
"""

from __future__ import annotations

import copy
import re
import types
import typing
from dataclasses import dataclass, field
from typing import Any

from pydantic import BaseModel, ValidationError

from airledger.errors import Fault, HouseFileError
from airledger.io.fields import Typed, nearest
from airledger.io.forms import HouseForm
from airledger.io.marks import Node, Path, Plain, path_text, source_line

MOST_FAULTS = 300
"""How many faults are told at once [-]."""

COMMA = "a comma inside a quantity? Within {} and [] a comma begins the next entry"
STAND_INS: dict[str, Plain] = {
    "house": "house",
    "site": {"elevation": "0 ft"},
    "envelope": {"tightness": "1 ach50"},
    "rooms": {"room": {"area": "1 m2"}},
}
"""Taken for a needed block that is missing or faulty, only so that the other blocks can be checked in the same pass."""


def locate(root: Node, path: Path) -> tuple[Node, Node]:
    """The node at a path, or the deepest one on the way to it, and its key's node (in a list: its own).

    Parameters
    ----------
    root : Node
        the whole file [-]
    path : tuple
        keys and places [-]
    """
    node = key = root
    for step in path:
        if node.kind == "list" and isinstance(step, str):
            child = next((child for child in node.children.values() if child.text == step), None)
        else:
            child = node.children.get(step)
        if child is None:
            continue
        key = node.keys.get(str(step), child)
        node = child
    return node, key


@dataclass
class Faults:
    """The faults found so far in one text."""

    text: str
    root: Node
    name: str = "house file"
    found: list[Fault] = field(default_factory=list)
    paths: list[Path] = field(default_factory=list)

    def add(self, path: Path, problem: str, allowed: str = "", near: str = "", at_key: bool = False) -> None:
        """One more fault, at a path; told once where it would stand twice.

        Parameters
        ----------
        path : tuple
            where [-]
        problem, allowed, near : str
            what is wrong, what may stand there, the nearest valid word [-]
        at_key : bool
            whether the key, not the value, is at fault [-]

        Raises
        ------
        HouseFileError
            so many faults were found that more would not help.
        """
        self.paths.append(path)
        if len(self.found) >= MOST_FAULTS:
            raise HouseFileError(self.name, self.found)
        node, key = locate(self.root, path)
        place = key if at_key or node.kind != "scalar" else node
        steps = [step for index, step in enumerate(path) if index == 0 or step != path[index - 1]]
        name = path_text(tuple(steps)) or "file"
        if any((f.line, f.column, f.problem) == (place.line, place.column, problem) for f in self.found):
            return
        where = source_line(self.text, place.line)
        self.found.append(Fault(place.line, place.column, name, problem, allowed, near, where))

    def beneath(self, path: Path) -> bool:
        """Whether a fault stands at a path or below it.

        Parameters
        ----------
        path : tuple
            where [-]
        """
        return any(faulty[: len(path)] == path for faulty in self.paths)


def form_of(faults: Faults) -> HouseForm:
    """The house file's form; every fault of shape goes to `faults` and what is faulty is left out of the form.

    Parameters
    ----------
    faults : Faults
        the text, its tree, and where faults are gathered [-]
    """
    plain = faults.root.plain()
    assert isinstance(plain, dict)
    _empty_values(faults, plain)
    while True:
        try:
            return HouseForm.model_validate(plain)
        except ValidationError as problem:
            told = list(faults.paths)
            paths = [_tell(faults, error, told) for error in problem.errors(include_url=False)]
        # each round takes out one entry at least, so that the rounds come to an end
        progress = [_set_aside(plain, path) for path in paths]
        if not any(progress):
            _set_aside(plain, paths[-1], with_owner=True)


def _empty_values(faults: Faults, plain: dict[str, Plain]) -> None:
    """Tells of every key behind which nothing stands, and takes it out."""
    for path, node in faults.root.walk():
        if node.kind != "scalar" or node.text is not None or not path:
            continue
        parent, _ = locate(faults.root, path[:-1])
        if parent.flow:
            problem = f"nothing stands behind {path[-1]!r}: {COMMA}"
            faults.add(path, problem, "quantities without commas, or in quotes", at_key=True)
        else:
            faults.add(path, "nothing stands here", "a value, or leave the line out", at_key=True)
        _set_aside(plain, path)


def _set_aside(plain: dict[str, Plain], path: Path, with_owner: bool = False) -> bool:
    """Takes the entry at a path out of the file's content and says whether it was there.

    A list goes as a whole, a needed block is replaced; `with_owner` takes out the block around a missing entry.
    """
    ends = next((index for index, step in enumerate(path) if isinstance(step, int)), len(path))
    parents: list[tuple[dict[str, Plain], str]] = []
    block: Plain = plain
    for step in path[:ends]:
        if not isinstance(block, dict):
            break
        if step not in block:
            if not with_owner:
                return _stand_ins(plain, path)
            break
        parents.append((block, str(step)))
        block = block[str(step)]
    if not parents:
        plain.clear()
        return _stand_ins(plain, ())
    owner, key = parents[-1]
    del owner[key]
    _stand_ins(plain, (key,))
    return True


def _stand_ins(plain: dict[str, Plain], path: Path) -> bool:
    """Puts the stand-in of a needed block where it is missing, and says whether one was put."""
    missing = [key for key in STAND_INS if key not in plain]
    if len(path) <= 1:
        plain.update({key: copy.deepcopy(STAND_INS[key]) for key in missing})
    return bool(missing) and len(path) <= 1


def _tell(faults: Faults, error: Any, told: list[Path]) -> Path:
    """Adds the fault that an error of the forms stands for; the path of what has to be set aside."""
    path: Path = tuple(error["loc"])
    at_key = bool(path) and path[-1] == "[key]"
    path = path[:-1] if at_key else path
    kind = error["type"]
    if kind == "missing":
        block = path[:-1]
        if not any(faulty[: len(path)] == path for faulty in told):
            _missing(faults, path)
        return block if block else path
    if kind == "extra_forbidden":
        _unknown_key(faults, path)
        return path
    if any(faulty[: len(path)] == path for faulty in told):
        return path
    problem, allowed, near = _words(error)
    faults.add(path, problem, allowed, near, at_key=at_key)
    return path


def _missing(faults: Faults, path: Path) -> None:
    key, block = path[-1], path[:-1]
    if isinstance(key, int):
        faults.add(block, "a value is missing in this list", "two values within []", at_key=True)
        return
    allowed = keys_allowed(block)
    typed = (str(entry) for entry in locate(faults.root, block)[0].keys if entry not in allowed)
    if any(nearest(entry, allowed) == key for entry in typed):
        faults.paths.append(path)  # told as an unknown key, with this one as the nearest
        return
    faults.add(block, f"{key} is missing", f"{key}: {_example(path)}", at_key=True)


def _example(path: Path) -> str:
    """What may stand behind a key, from its field."""
    form = _form_at(path[:-1])
    fields = form.model_fields.values() if isinstance(form, type) and issubclass(form, BaseModel) else ()
    for found in (entry for entry in fields if entry.alias == path[-1]):
        typed = next((part for part in found.metadata if isinstance(part, Typed)), None)
        if typed is not None:
            return typed.example or typed.form
    return "..."


def _unknown_key(faults: Faults, path: Path) -> None:
    key = str(path[-1])
    allowed = keys_allowed(path[:-1])
    problem = f"no such key: {key!r}"
    if re.match(r"\d", key):
        problem += f"; {COMMA}"
    faults.add(path, problem, ", ".join(allowed), nearest(key, allowed), at_key=True)


def _words(error: Any) -> tuple[str, str, str]:
    """An error of the forms in plain words: problem, what is allowed, the nearest word."""
    kind, context = error["type"], error.get("ctx", {})
    if kind == "house_file":
        return context["problem"], context["allowed"], context["nearest"]
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return "a block of keys and values is wanted here", "key: value lines, or {key: value}", ""
    if kind in ("list_type", "tuple_type"):
        return "a list is wanted here", "[one, another]", ""
    if kind in ("too_long", "too_short"):
        bound = context.get("max_length", context.get("min_length", 0))
        found = context.get("actual_length")
        hint = f"; {COMMA}" if kind == "too_long" and bound < 5 else ""
        counted = f"more than {bound}" if found is None else found  # of a block only that it is too long is known
        return f"{counted} entries stand here{hint}", f"{'up to' if kind == 'too_long' else 'at least'} {bound}", ""
    return f"cannot be read ({error['msg']})", "", ""


def keys_allowed(path: Path) -> list[str]:
    """The keys that the block at a path may have, in the order of the form.

    Parameters
    ----------
    path : tuple
        keys and places from the top of the file [-]
    """
    form = _form_at(path)
    if isinstance(form, type) and issubclass(form, BaseModel):
        return [str(found.alias) for found in form.model_fields.values()]
    return []


def _form_at(path: Path) -> Any:
    """The form of the block at a path."""
    model: Any = HouseForm
    for step in path:
        if isinstance(model, type) and issubclass(model, BaseModel):
            found = next((f.annotation for f in model.model_fields.values() if f.alias == step), None)
        else:
            found = _inner(model)
        model = _form_within(found)
    return model


def _form_within(annotation: Any) -> Any:
    """An annotation without Annotated and Optional around it."""
    while True:
        origin = typing.get_origin(annotation)
        if origin is typing.Annotated:
            annotation = typing.get_args(annotation)[0]
        elif origin in (typing.Union, types.UnionType):
            annotation = next(part for part in typing.get_args(annotation) if part is not type(None))
        else:
            return annotation


def _inner(annotation: Any) -> Any:
    """What the values of a dict or the entries of a list are."""
    arguments = typing.get_args(annotation)
    return arguments[-1] if arguments else None
