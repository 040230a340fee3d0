"""A house file's text as something to change: one value is spliced in, all else stays as it was typed.

    changed = document.set(("rooms", "hall", "ceiling"), "9 ft 6 in")

The file is never written anew from its values: remarks, order and spacing are the author's.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property

from airledger.errors import HouseFileError, InputError
from airledger.io.marks import Node, Path, path_text, tree

INDICATORS = "-?:,[]{}#&*!|>'\"%@`"
"""Characters that begin something other than plain words in YAML."""


@dataclass(frozen=True)
class Document:
    """The text of a house file."""

    text: str
    name: str = "house file"

    @cached_property
    def root(self) -> Node:
        """The text as a tree with marks."""
        return tree(self.text, self.name)

    def value(self, path: Path) -> str | None:
        """The text of the value at a path, None where nothing stands behind the key.

        Parameters
        ----------
        path : tuple
            keys, and places in lists from 0 [-]

        Raises
        ------
        InputError
            nothing is at the path, or a block is.
        """
        node = self.root.at(path)
        if node is None or node.kind != "scalar":
            raise InputError(f"{self.name}: {path_text(path)} is no single value of this file")
        return node.text

    def set(self, path: Path, text: str) -> Document:
        """The document with one value changed, or a new key added as the last of its block.

        Parameters
        ----------
        path : tuple
            keys, and places in lists from 0 [-]
        text : str
            the value as a person would say it; a block may be said within {} or [] [-]

        Raises
        ------
        InputError
            the block that a new key would go into is not there, or the text would change more than this value.
        """
        node = self.root.at(path)
        if node is None:
            return self._with_new_key(path, text)
        if node.kind == "scalar" and node.text == text:
            return self
        if not path:
            raise InputError(f"{self.name}: a house file is no single value")
        said = self._said(text, self._within_flow(path), node)
        if node.flow or (node.kind == "scalar" and node.start < node.end):
            return self._checked(self.text[: node.start] + said + self.text[node.end :], path, text)
        start = self._behind_key(path, node)  # a block, or nothing, becomes a value on the key's own line
        end = max(start, node.end) if node.kind != "scalar" else start
        return self._checked(f"{self.text[:start]} {said}{self.text[end:]}", path, text)

    def _behind_key(self, path: Path, node: Node) -> int:
        """Where the colon of a key ends; of an entry of a list, where the entry begins."""
        owner = self.root.at(path[:-1])
        key = None if owner is None else owner.keys.get(str(path[-1]))
        return node.start if key is None else self.text.find(":", key.end) + 1

    def _with_new_key(self, path: Path, text: str) -> Document:
        owner = self.root.at(path[:-1]) if path else None
        if owner is None or owner.kind != "mapping" or not isinstance(path[-1], str):
            raise InputError(
                f"{self.name}: there is no block {path_text(path[:-1])} to put {path_text(path[-1:])} into"
            )
        key, said = self._said(path[-1], owner.flow, None), self._said(text, owner.flow, None)
        if owner.flow:
            inside = self.text[: owner.end - 1].rstrip()
            joint = ", " if owner.children and not inside.endswith(",") else " " if owner.children else ""
            return self._checked(f"{inside}{joint}{key}: {said}{self.text[len(inside) :]}", path, text)
        last = _last_scalar(owner)
        behind = last.end - 1 if last.style in ("|", ">") else last.end  # a block of text ends with its line
        line_end = self.text.find("\n", behind)
        line_end = len(self.text) if line_end < 0 else line_end
        carriage = "\r" if self.text[line_end - 1 : line_end] == "\r" else ""
        first = min(owner.keys.values(), key=lambda entry: entry.start)
        added = f"\n{' ' * (first.column - 1)}{key}: {said}{carriage}"
        return self._checked(self.text[:line_end] + added + self.text[line_end:], path, text)

    def _within_flow(self, path: Path) -> bool:
        owners = (self.root.at(path[:length]) for length in range(len(path)))
        return any(owner is not None and owner.flow for owner in owners)

    def _said(self, text: str, flow: bool, node: Node | None) -> str:
        """The text as it has to be typed there: plain where that reads back the same, else in quotes."""
        if _is_block(text):
            return text
        if node is not None and node.style in ("'", '"') and "\n" not in text:
            return _quoted(text, node.style)
        return text if _reads_plain(text, flow) else _quoted(text, '"')

    def _checked(self, changed: str, path: Path, text: str) -> Document:
        """The changed document, after a look that nothing but the value at the path is different."""
        wanted: object = text
        try:
            if _is_block(text):
                wanted = tree(f"value: {text}", "value").children["value"].plain()
            after = Document(changed, self.name)
            same = _put(self.root.plain(), path, wanted) == after.root.plain()
        except HouseFileError as problem:
            raise InputError(f"{self.name}: {path_text(path)} cannot be set to {text!r}: {problem}") from None
        if not same:
            raise InputError(f"{self.name}: setting {path_text(path)} to {text!r} would change more than that")
        return after


def _last_scalar(node: Node) -> Node:
    """The scalar, or flow block, with which a block ends."""
    while node.kind != "scalar" and not node.flow and node.children:
        key, child = list(node.children.items())[-1]
        if child.kind == "scalar" and child.text is None and isinstance(key, str):
            return node.keys[key]
        node = child
    return node


def _is_block(text: str) -> bool:
    stripped = text.strip()
    return stripped[:1] + stripped[-1:] in ("{}", "[]") and len(stripped) >= 2


def _reads_plain(text: str, flow: bool) -> bool:
    """Whether a text without quotes reads back as itself."""
    if text != text.strip() or not text or text in ("~", "null", "Null", "NULL"):
        return False
    if text[0] in INDICATORS and not re.match(r"[-?:](?=[^\s,\[\]{}])", text):
        return False
    if re.search(r":(\s|$)|\s#|[\n\r\t]", text) or not text.isprintable():
        return False
    if text.startswith(("---", "...")):
        return False
    return not (flow and re.search(r"[,\[\]{}]|:", text))


def _quoted(text: str, style: str) -> str:
    if style == "'" and text.isprintable():
        return "'" + text.replace("'", "''") + "'"
    escapes = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}
    return '"' + "".join(escapes.get(character) or _escape(character) for character in text) + '"'


def _escape(character: str) -> str:
    code = ord(character)
    return character if character.isprintable() else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _put(block: object, path: Path, value: object) -> object:
    """The plain content with the value at a path replaced or added."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(block, list) and isinstance(step, int):
        return [_put(entry, rest, value) if place == step else entry for place, entry in enumerate(block)]
    if isinstance(block, dict):
        return {**block, step: _put(block.get(str(step)), rest, value)}
    return value
