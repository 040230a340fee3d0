"""The one way from a house file to a House: text, tree with marks, forms, checks, frozen values.

    loaded = read("tern-street-14.yaml")     House, cautions and the text's document
    house = load("tern-street-14.yaml")      the House alone

All faults are reported at once, each with its line and column; what is only foolish is a caution and loads.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path as FilePath

from airledger.errors import HouseFileError, InputError
from airledger.house.house import House
from airledger.io import build
from airledger.io.cautions import Caution, cautions_of
from airledger.io.checks import check
from airledger.io.document import Document
from airledger.io.forms import HouseForm
from airledger.io.marks import LARGEST_FILE, Node, decode, tree
from airledger.io.part_words import check_part_words
from airledger.io.shape_faults import Faults, form_of
from airledger.io.states import check_states

KEPT = 8
"""How many texts read last stay read: a page that changes one line asks for the same text several times."""
SINGLE = "make-up air"
"""Name of a make-up arrangement that the file writes without a name."""


@dataclass(frozen=True)
class Loaded:
    """A house file that was read: the house, what is foolish in it or not used yet, its form and its text."""

    house: House
    cautions: tuple[Caution, ...]
    form: HouseForm
    document: Document


def load(path: str | FilePath) -> House:
    """The house of a file.

    Parameters
    ----------
    path : str or Path
        the file [-]
    """
    return read(path).house


def loads(text: str, name: str = "house file") -> House:
    """The house that a text says.

    Parameters
    ----------
    text : str
        a house file's content [-]
    name : str
        what to call it in messages [-]
    """
    return read_text(text, name).house


def read(path: str | FilePath) -> Loaded:
    """A house file with its cautions and its document.

    Parameters
    ----------
    path : str or Path
        the file [-]
    """
    name = str(path)
    return read_text(decode(file_bytes(path), name), name)


def file_bytes(path: str | FilePath, most: int = LARGEST_FILE) -> bytes:
    """The bytes of a file that has to be there; no more than one past what is allowed.

    Parameters
    ----------
    path : str or Path
        the file [-]
    most : int
        largest size [bytes]

    Raises
    ------
    InputError
        no such file, a folder, or one that may not be read.
    """
    try:
        with FilePath(path).open("rb") as file:
            return file.read(most + 1)
    except FileNotFoundError:
        raise InputError(f"{path}: no such file") from None
    except IsADirectoryError:
        raise InputError(f"{path}: a folder, not a file") from None
    except (OSError, ValueError) as problem:
        raise InputError(f"{path}: cannot be read ({getattr(problem, 'strerror', None) or problem})") from None


@lru_cache(maxsize=KEPT)
def read_text(text: str, name: str = "house file") -> Loaded:
    """A house file's text with its cautions and its document.

    Parameters
    ----------
    text : str
        a house file's content [-]
    name : str
        what to call it in messages [-]

    Raises
    ------
    HouseFileError
        the text cannot be used as a house; carries all its faults.
    """
    text = decode(text.encode("utf-8", "surrogatepass"), name)
    root = _named_make_up_air(tree(text, name))
    faults = Faults(text, root, name)
    form = form_of(faults)
    check(form, faults)
    check_part_words(form, faults)
    check_states(form, faults)
    if faults.found:
        raise HouseFileError(name, faults.found)
    return Loaded(build.house(form), cautions_of(form, root, text), form, Document(text, name))


def _named_make_up_air(root: Node) -> Node:
    """The tree with a make-up arrangement that stands without a name put under one."""
    block = root.children.get(SINGLE)
    if block is not None and block.kind == "mapping" and {"duct", "run", "damper", "into"} & set(block.keys):
        key = root.keys[SINGLE]
        named = Node(
            "mapping", block.start, block.end, key.line, key.column, keys={SINGLE: key}, children={SINGLE: block}
        )
        return replace(root, children={**root.children, SINGLE: named})
    return root
