"""A run with every value that stands within its words printed in one system of units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar, cast

from airledger import quantities

T = TypeVar("T")


def in_units(thing: T, system: str) -> T:
    """The same thing, words and all it holds, in one system of units.

    Parameters
    ----------
    thing : T
        words, a run, a result, a row, or a tuple, list or mapping of such
    system : str
        ``ip`` or ``si``
    """
    told: Any = thing
    if isinstance(thing, str):
        told = quantities.in_units(thing, system)
    elif isinstance(thing, Mapping):
        told = {in_units(key, system): in_units(value, system) for key, value in thing.items()}
    elif isinstance(thing, tuple | list):
        told = type(thing)(in_units(entry, system) for entry in thing)
    elif is_dataclass(thing) and not isinstance(thing, type):
        changed = {
            entry.name: new
            for entry in fields(thing)
            if (new := in_units(old := getattr(thing, entry.name), system)) is not old and new != old
        }
        told = replace(thing, **changed) if changed else thing
    return cast(T, told)
