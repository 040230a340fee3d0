"""A change put on top of a house's files, or on top of what somebody else changed meanwhile."""

from __future__ import annotations

from collections.abc import Mapping

from airledger.house_book.entries import Clash, EditClash
from airledger.house_book.merge import merged


def with_changes(held: Mapping[str, bytes], files: Mapping[str, bytes | None]) -> dict[str, bytes]:
    """Files with a change in them; None takes one away.

    Parameters
    ----------
    held : Mapping
        the files there are, by path [-]
    files : Mapping
        what is changed [-]
    """
    new = {**held, **{path: data for path, data in files.items() if data is not None}}
    return {path: data for path, data in new.items() if files.get(path, data) is not None}


def brought_together(
    base: Mapping[str, bytes],
    held: Mapping[str, bytes],
    files: Mapping[str, bytes | None],
    file_name: str,
    head: int,
) -> dict[str, bytes]:
    """My files put on top of theirs; the house file field by field.

    Parameters
    ----------
    base : Mapping
        the files that both began with [-]
    held : Mapping
        the files as they stand now [-]
    files : Mapping
        my change; None takes a file away [-]
    file_name : str
        which of them is the house file [-]
    head : int
        revision that stands now [-]

    Raises
    ------
    EditClash
        both changed the same thing differently.
    """
    new, clashes = dict(held), list[Clash]()
    for path, data in files.items():
        was, theirs = base.get(path), held.get(path)
        if data in (was, theirs):
            continue
        if theirs == was:
            new = with_changes(new, {path: data})
        elif path == file_name and was is not None and theirs is not None and data is not None:
            text, found = merged(_text(was), _text(theirs), _text(data), path)
            clashes += found
            new[path] = text.encode()
        else:
            clashes.append(Clash(path, "", _about(was), _about(theirs), _about(data)))
    if clashes:
        raise EditClash(tuple(clashes), head)
    return new


def _text(data: bytes) -> str:
    return data.decode("utf-8", errors="replace")


def _about(data: bytes | None) -> str:
    return "not there" if data is None else f"{len(data):,} bytes"
