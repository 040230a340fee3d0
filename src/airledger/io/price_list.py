"""A price list: `item: {size: 10 in, each: 210, trade: HVAC}`, one line or a list of them behind each item.

    wall cap: {size: 10 in, each: 85, trade: HVAC}
    duct per foot:
      - {size: 6 in, each: 9, trade: HVAC}
      - {size: 8 in, each: 12, trade: HVAC}

Prices are in US dollars. The list that ships with the tool is invented; a builder keeps a list of his own.
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path as FilePath
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError

from airledger.errors import Fault, HouseFileError
from airledger.house.house import Price
from airledger.io.fields import Form, Money, Name, Text, nearest
from airledger.io.house_file import file_bytes
from airledger.io.marks import Node, Path, decode, path_text, source_line, tree
from airledger.io.shape_faults import locate

SHIPPED = "prices.yaml"
"""The invented list, beside the example houses."""


class PriceForm(Form):
    """One line: `{size: 10 in, each: 210, trade: HVAC}`; the size is left out where the item has none."""

    size: Text = ""
    each: Money
    trade: Text = ""


def _lines(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


_LIST: TypeAdapter[dict[str, list[PriceForm]]] = TypeAdapter(
    Annotated[dict[Name, Annotated[list[PriceForm], Field(min_length=1)]], Field(min_length=1)]
)


def load(path: str | FilePath | None = None) -> tuple[Price, ...]:
    """The lines of a price list.

    Parameters
    ----------
    path : str or Path or None
        the file; None is the invented list that ships with the tool [-]
    """
    if path is None:
        shipped = resources.files("airledger.examples").joinpath(SHIPPED)
        return loads(shipped.read_text(encoding="utf-8"), SHIPPED)
    return loads(decode(file_bytes(path), str(path)), str(path))


def loads(text: str, name: str = SHIPPED) -> tuple[Price, ...]:
    """The lines of a price list's text.

    Parameters
    ----------
    text : str
        the list [-]
    name : str
        what to call it in messages [-]

    Raises
    ------
    HouseFileError
        the list cannot be read; carries all its faults.
    """
    root = tree(text, name)
    plain = root.plain()
    assert isinstance(plain, dict)
    try:
        forms = _LIST.validate_python({item: _lines(value) for item, value in plain.items()})
    except ValidationError as problem:
        faults = [_fault(root, text, error) for error in problem.errors(include_url=False)]
        raise HouseFileError(name, faults) from None
    return tuple(Price(item, line.size, line.each, line.trade) for item, lines in forms.items() for line in lines)


def _fault(root: Node, text: str, error: Any) -> Fault:
    path: Path = tuple(step for step in error["loc"] if step != "[key]")
    node, key = locate(root, path)
    context, kind = error.get("ctx", {}), error["type"]
    allowed, near = "size, each, trade", ""
    if kind == "house_file":
        problem, allowed, near = context["problem"], context["allowed"], context["nearest"]
    elif kind == "missing":
        problem, node = f"{path[-1]} is missing", key
    elif kind == "extra_forbidden":
        problem, near, node = f"no such key: {path[-1]!r}", nearest(str(path[-1]), ["size", "each", "trade"]), key
    else:
        problem, allowed = "a line of prices is wanted here", "{size: 10 in, each: 210, trade: HVAC}"
    return Fault(node.line, node.column, path_text(path), problem, allowed, near, source_line(text, node.line))
