"""A house file as its lines to edit: each value as it was typed, with the keys that lead to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from airledger.io.document import Document
from airledger.io.marks import Node, Path


@dataclass(frozen=True)
class TypedLine:
    """One value of a house file. path: its keys; text: as typed, a block without its brackets; line: from 1."""

    path: Path
    text: str
    line: int

    @property
    def block(self) -> str:
        """The block of the file that it belongs to."""
        return str(self.path[0])

    @property
    def name(self) -> str:
        """What it says something of, within its block."""
        return " / ".join(str(step) for step in self.path[1:]) or self.block


def typed_lines(document: Document) -> tuple[TypedLine, ...]:
    """Every value of a house file, in the order of the file; what stands within brackets is one value.

    Parameters
    ----------
    document : Document
        the file [-]
    """
    return tuple(_lines(document, document.root, ()))


def _lines(document: Document, node: Node, path: Path) -> Iterator[TypedLine]:
    if node.kind == "mapping" and not node.flow:
        for key, child in node.children.items():
            yield from _lines(document, child, (*path, key))
        return
    text = document.text[node.start : node.end]
    if node.kind == "scalar" and node.text is not None and "\n" not in node.text:
        text = node.text
    if node.kind == "mapping" and text.startswith("{") and text.endswith("}"):
        text = text[1:-1].strip()
    if path and "\n" not in text and isinstance(path[-1], str):
        yield TypedLine(path, text, node.line)


def as_written(document: Document, path: Path, words: str) -> str:
    """What somebody typed for a line, as `Document.set` takes it: a block on one line gets its brackets back.

    Parameters
    ----------
    document : Document
        the file [-]
    path : tuple
        keys of the line [-]
    words : str
        as typed, with or without the brackets [-]
    """
    node, plain = document.root.at(path), words.strip()
    is_block = node is not None and node.kind == "mapping" and node.flow
    return f"{{{plain}}}" if is_block and not plain.startswith("{") else words
