"""A house file's text as a tree whose every key and value knows where it stands.

The text is read as YAML 1.2 events; every scalar stays text, so that `on`, `1.0` and `2026-10-02` mean what they say.
What a house file has no use for (anchors, aliases, tags, merge keys, several documents) is refused with its place.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)
from ruamel.yaml.reader import ReaderError

from airledger.errors import Fault, HouseFileError

KEPT = 8
"""How many trees stay: a line that is changed is looked at several times."""
LARGEST_FILE = 1_000_000
"""Size past which a file is refused [bytes]."""

DEEPEST = 20
"""Levels of blocks within blocks past which a file is refused [-]."""

Path = tuple[str | int, ...]
Plain = None | str | list["Plain"] | dict[str, "Plain"]


@dataclass
class Node:
    """A value in the text. kind: scalar | mapping | list; start, end: offsets in the text; line, column from 1.

    text: of a scalar, None where nothing stands; flow: written within {} or [].
    keys: of a mapping, the key's own node by name; children: values by key or by place in the list.
    """

    kind: str
    start: int
    end: int
    line: int
    column: int
    text: str | None = None
    style: str = ""
    flow: bool = False
    keys: dict[str, Node] = field(default_factory=dict)
    children: dict[str | int, Node] = field(default_factory=dict)

    def at(self, path: Path) -> Node | None:
        """The node at a path of keys and places below this one; None where nothing is.

        Parameters
        ----------
        path : tuple
            keys, and places in lists from 0 [-]
        """
        node: Node | None = self
        for step in path:
            node = None if node is None else node.children.get(step)
        return node

    def plain(self) -> Plain:
        """The value without its marks: text, list, dict or None."""
        if self.kind == "scalar":
            return self.text
        if self.kind == "list":
            return [child.plain() for child in self.children.values()]
        return {str(key): child.plain() for key, child in self.children.items()}

    def walk(self, path: Path = ()) -> Iterator[tuple[Path, Node]]:
        """The node and all below it, each with its path.

        Parameters
        ----------
        path : tuple
            path of this node [-]
        """
        yield path, self
        for key, child in self.children.items():
            yield from child.walk((*path, key))


def path_text(path: Path) -> str:
    """A path as printed: keys joined by slashes, places in a list counted from 1.

    Parameters
    ----------
    path : tuple
        keys and places [-]
    """
    return " / ".join(str(step + 1) if isinstance(step, int) else step for step in path)


def source_line(text: str, line: int) -> str:
    """A line of the text as printed under a fault; empty where it is too long to read.

    Parameters
    ----------
    text : str
        the whole file [-]
    line : int
        from 1 [-]
    """
    lines = text.split("\n", line)
    found = lines[line - 1].rstrip("\r") if len(lines) >= line else ""
    return found.replace("\t", " ") if len(found) <= 300 else ""


def decode(data: bytes, name: str) -> str:
    """The text of a file's bytes; refuses what cannot be a house file before anything reads it as one.

    Parameters
    ----------
    data : bytes
        the file [-]
    name : str
        the file's name, for the message [-]

    Raises
    ------
    HouseFileError
        too large, not UTF-8, or with characters that no text has.
    """
    if len(data) > LARGEST_FILE:
        raise HouseFileError(
            name, [Fault(1, 1, "file", "longer than any file that people write", f"up to {LARGEST_FILE:,} bytes")]
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
        column = problem.start - data.rfind(b"\n", 0, problem.start)
        raise HouseFileError(name, [Fault(line, column, "file", "is not text in UTF-8", "plain text, UTF-8")]) from None
    _refuse_control_characters(text, name)
    return text


def _refuse_control_characters(text: str, name: str) -> None:
    for place, character in enumerate(text):
        if (character < " " and character not in "\n\r\t") or ("\x7f" <= character < "\xa0" and character != "\x85"):
            line, column = text.count("\n", 0, place) + 1, place - text.rfind("\n", 0, place)
            problem = f"a character that no text has (code {ord(character)}): is this a binary file?"
            raise HouseFileError(name, [Fault(line, column, "file", problem, "plain text, UTF-8")])


@lru_cache(maxsize=KEPT)
def tree(text: str, name: str) -> Node:
    """The text as a tree with marks; nobody changes it, since whoever asks for the same text gets the same tree.

    Parameters
    ----------
    text : str
        a house file [-]
    name : str
        the file's name, for messages [-]

    Raises
    ------
    HouseFileError
        a fault of YAML, a doubled key (each alone), or something a house file has no use for.
    """
    return _Reading(text, name).root()


class _Reading:
    """One pass over the events of a text."""

    def __init__(self, text: str, name: str) -> None:
        self.text, self.name = text, name
        self.events = YAML(typ="safe", pure=True).parse(text)

    def refuse(self, line: int, column: int, key: str, problem: str, allowed: str = "") -> HouseFileError:
        where = source_line(self.text, line)
        return HouseFileError(self.name, [Fault(line, column, key, problem, allowed, source_line=where)])

    def next(self) -> Event:
        try:
            event: Event = next(self.events)
        except MarkedYAMLError as problem:
            mark = problem.problem_mark or problem.context_mark
            words = ", ".join(str(part) for part in (problem.context, problem.problem) if part)
            raise self.refuse(mark.line + 1, mark.column + 1, "file", f"cannot be read as YAML: {words}") from None
        except ReaderError as problem:
            place = int(problem.position)
            line, column = self.text.count("\n", 0, place) + 1, place - self.text.rfind("\n", 0, place)
            raise self.refuse(line, column, "file", "a character that no text has", "plain text, UTF-8") from None
        except (
            YAMLError,
            ValueError,
            OverflowError,
            IndexError,
            NotImplementedError,
            AttributeError,
            AssertionError,
        ) as problem:
            # the YAML library's own slips on strange text: a fault of the file all the same
            raise self.refuse(1, 1, "file", f"cannot be read as YAML: {problem}") from None
        self._refuse_useless(event)
        return event

    def _refuse_useless(self, event: Event) -> None:
        line, column = event.start_mark.line + 1, event.start_mark.column + 1
        if isinstance(event, AliasEvent) or getattr(event, "anchor", None) is not None:
            raise self.refuse(
                line,
                column,
                "file",
                "anchors (&) and aliases (*) are not used in a house file",
                "say it again, or put the text in quotes",
            )
        tag = getattr(event, "tag", None)
        if tag is not None and isinstance(event, ScalarEvent | MappingStartEvent | SequenceStartEvent):
            raise self.refuse(line, column, "file", "tags (!) are not used in a house file", "put the text in quotes")

    def root(self) -> Node:
        node: Node | None = None
        documents = 0
        while True:
            event = self.next()
            kind = type(event).__name__
            if isinstance(event, DocumentStartEvent):
                documents += 1
                if documents > 1:
                    mark = event.start_mark
                    raise self.refuse(
                        mark.line + 1,
                        mark.column + 1,
                        "file",
                        "a second document begins here",
                        "one house a file, without a line ---",
                    )
                node = self.value(self.next(), 1)
            elif kind == "StreamEndEvent":
                break
        if node is None or (node.kind == "scalar" and node.text is None):
            raise self.refuse(1, 1, "file", "is empty", "keys and values")
        if node.kind != "mapping":
            raise self.refuse(
                node.line,
                node.column,
                "file",
                f"begins with a {node.kind if node.kind == 'list' else 'text'}",
                "keys and values, for example  house: Tern Street 14",
            )
        return node

    def value(self, event: Event, depth: int) -> Node:
        start, end = event.start_mark, event.end_mark
        node = Node("scalar", start.index, end.index, start.line + 1, start.column + 1)
        if isinstance(event, ScalarEvent):
            node.style = event.style or ""
            empty = not node.style and event.value in ("", "~", "null", "Null", "NULL")
            node.text = None if empty else event.value
            return node
        if depth > DEEPEST:
            raise self.refuse(
                node.line, node.column, "file", f"more than {DEEPEST} levels deep", "a house file needs 7"
            )
        node.flow = bool(getattr(event, "flow_style", False))
        if isinstance(event, SequenceStartEvent):
            self._list(node, depth)
        else:
            self._mapping(node, depth)
        if node.children and not self._closes(node):
            node.end = max(child.end for child in node.children.values())
        return node

    def _closes(self, node: Node) -> bool:
        return node.flow and self.text[node.end - 1 : node.end] in ("}", "]")

    def _list(self, node: Node, depth: int) -> None:
        node.kind = "list"
        while not isinstance(event := self.next(), SequenceEndEvent):
            node.children[len(node.children)] = self.value(event, depth + 1)
        node.end = event.end_mark.index

    def _mapping(self, node: Node, depth: int) -> None:
        node.kind = "mapping"
        while not isinstance(event := self.next(), MappingEndEvent):
            line, column = event.start_mark.line + 1, event.start_mark.column + 1
            if not isinstance(event, ScalarEvent):
                raise self.refuse(line, column, "file", "a key is a block here", "a key is plain words before a colon")
            key = str(event.value)
            if not key.strip():
                raise self.refuse(line, column, "file", "a key is missing before the colon", "words before each colon")
            if key == "<<":
                raise self.refuse(line, column, "<<", "merge keys are not used in a house file", "say it again")
            if key in node.keys:
                first = node.keys[key].line
                raise self.refuse(
                    line, column, key, f"stands twice in this block, first in line {first}", "each key once"
                )
            node.keys[key] = Node(
                "scalar", event.start_mark.index, event.end_mark.index, line, column, key, event.style or ""
            )
            child = node.children[key] = self.value(self.next(), depth + 1)
            if child.kind == "scalar" and child.start == child.end:  # nothing stands there: the place is behind the key
                child.start = child.end = event.end_mark.index
                child.line, child.column = line, column
        node.end = event.end_mark.index
