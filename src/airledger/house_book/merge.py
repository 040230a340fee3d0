"""Two changes of one house file, brought together field by field.

What only one of both changed is kept from either. First line by line, so that remarks, order and spacing stay the
author's; where neighbouring lines changed, value by value. Either way the outcome is read again and has to say, field
by field, what both wanted: else it is a clash, and nothing is written.
"""

from __future__ import annotations

from merge3 import Merge3

from airledger.errors import AirledgerError
from airledger.house_book.entries import Clash
from airledger.io.document import Document
from airledger.io.marks import Node, Path, path_text, tree

Fields = dict[Path, str]


def merged(was: str, theirs: str, mine: str, file: str) -> tuple[str, tuple[Clash, ...]]:
    """My change put into their text; else their text, and the places where both changed the same thing differently.

    Parameters
    ----------
    was : str
        the text that both began with [-]
    theirs : str
        the text that stands there now [-]
    mine : str
        the text that I would save [-]
    file : str
        its name [-]
    """
    whole = (Clash(file, "", was, theirs, mine),)
    try:
        base, there, here = (_fields(tree(text, file)) for text in (was, theirs, mine))
    except AirledgerError:
        return theirs, whole
    clashes = _clashes(base, there, here, file)
    if clashes:
        return theirs, clashes
    wanted = _wanted(base, there, here)
    for attempt in (_by_lines, _by_values):
        text = attempt(was, theirs, mine, file)
        if text is not None and _says(text, wanted, file):
            return text, ()
    return theirs, whole


def _clashes(base: Fields, there: Fields, here: Fields, file: str) -> tuple[Clash, ...]:
    """Fields that both changed, to different values; None stands for a field that is not there."""
    found = []
    for path in sorted(set(base) | set(there) | set(here), key=_order):
        old, now, new = base.get(path), there.get(path), here.get(path)
        if old not in (now, new) and now != new:
            found.append(Clash(file, path_text(path), _words(old), _words(now), _words(new)))
    return tuple(found)


def _wanted(base: Fields, there: Fields, here: Fields) -> Fields:
    """Their fields with my changes in them."""
    wanted = dict(there)
    for path in set(base) | set(here):
        if base.get(path) == here.get(path):
            continue
        if path in here:
            wanted[path] = here[path]
        else:
            wanted.pop(path, None)
    return wanted


def _by_lines(was: str, theirs: str, mine: str, _file: str) -> str | None:
    """The three texts merged by lines; None where neighbouring lines changed."""
    base, there, here = (text.splitlines(keepends=True) for text in (was, theirs, mine))
    merge = Merge3(base, there, here)
    parts: list[str] = []
    for kind, *lines in merge.merge_groups():
        if kind == "conflict":
            return None
        parts += lines[0]
    return "".join(parts)


def _by_values(was: str, theirs: str, mine: str, file: str) -> str | None:
    """My changed and new values set in their text, one by one; None where one cannot be set so."""
    base, here = tree(was, file), tree(mine, file)
    document = Document(theirs, file)
    try:
        for path, node in _changed(base, here):
            document = document.set(path, _said(node))
    except AirledgerError:
        return None
    return document.text


def _changed(base: Node, here: Node, path: Path = ()) -> list[tuple[Path, Node]]:
    """What is new or different in mine with its path, a new block as a whole."""
    found: list[tuple[Path, Node]] = []
    for key, child in here.children.items():
        old = base.children.get(key)
        if old is None or old.kind != child.kind or child.kind == "list":
            if old is None or old.plain() != child.plain():
                found.append(((*path, key), child))
        elif child.kind == "mapping":
            found += _changed(old, child, (*path, key))
        elif old.text != child.text:
            found.append(((*path, key), child))
    return found


def _says(text: str, wanted: Fields, file: str) -> bool:
    try:
        return _fields(tree(text, file)) == wanted
    except AirledgerError:
        return False


def _fields(node: Node, path: Path = ()) -> Fields:
    """Every single value by its path; a list counts as one value, and an empty block as one."""
    if node.kind != "mapping" or not node.children:
        return {path: _said(node)}
    found: Fields = {}
    for key, child in node.children.items():
        found |= _fields(child, (*path, key))
    return found


def _said(node: Node) -> str:
    """A value as it may be typed on one line, lists and blocks within brackets."""
    if node.kind == "scalar":
        return node.text or ""
    if node.kind == "mapping":
        return "{" + ", ".join(f"{_quoted(str(key))}: {_inner(child)}" for key, child in node.children.items()) + "}"
    return "[" + ", ".join(_inner(child) for child in node.children.values()) + "]"


def _inner(node: Node) -> str:
    return _quoted(node.text or "") if node.kind == "scalar" else _said(node)


def _quoted(text: str) -> str:
    """A word as it has to stand within brackets."""
    plain = text and not set(text) & set(",[]{}:#&*!|>'\"%@`") and text == text.strip() and text[0] not in "-?"
    return text if plain else '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _order(path: Path) -> tuple[str, ...]:
    return tuple(str(step) for step in path)


def _words(text: str | None) -> str:
    return "not there" if text is None else text
