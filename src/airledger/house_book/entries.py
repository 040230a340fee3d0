"""What the book hands out: plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from airledger.errors import AirledgerError

NEVER = "9999-12-31"
"""Date of what nothing has to be decided by."""


@dataclass(frozen=True)
class Listed:
    """A house as a list shows it. waits_for: what has to be decided next; decide_by: until when; faults in its file."""

    id: str
    name: str
    place: str
    waits_for: str
    decide_by: str
    faults: int
    head: int
    changed_at: str


@dataclass(frozen=True)
class Revision:
    """One save. files: path to hash; base: the revision it was made on."""

    house_id: str
    number: int
    base: int
    made_at: str
    made_by: str
    why: str
    faults: int
    files: Mapping[str, str]


@dataclass(frozen=True)
class House:
    """A house with the bytes of one revision. file_name: which of the files is the house file."""

    listed: Listed
    file_name: str
    revision: Revision
    files: Mapping[str, bytes]

    @property
    def text(self) -> str:
        """The house file as text."""
        return self.files[self.file_name].decode("utf-8", errors="replace")


@dataclass(frozen=True)
class Change:
    """Files to put into a house; None takes one away. base: the revision the sender saw."""

    files: Mapping[str, bytes | None]
    base: int
    by: str
    why: str
    edit_key: str = ""


@dataclass(frozen=True)
class Saved:
    """What became of a save. merged: somebody else's change was kept beside it."""

    number: int
    merged: bool
    again: bool = False


@dataclass(frozen=True)
class Clash:
    """One place that two people changed differently. path in the file; as it was, theirs, mine."""

    file: str
    path: str
    was: str
    theirs: str
    mine: str


class EditClash(AirledgerError):
    """A save that changes what somebody else changed meanwhile; nothing was written."""

    def __init__(self, clashes: tuple[Clash, ...], head: int) -> None:
        self.clashes, self.head = clashes, head
        told = "; ".join(f"{one.path or one.file}: {one.theirs!r} there, {one.mine!r} here" for one in clashes)
        super().__init__(f"somebody else changed the same: {told}")


@dataclass(frozen=True)
class Reading:
    """A reading or a photo from the site. id: the sender's own; told: its words as JSON; data: a photo, or nothing."""

    id: str
    house_id: str
    taken_at: str
    made_by: str
    kind: str
    told: str
    data: bytes = b""
    received_at: str = ""


@dataclass(frozen=True)
class Entry:
    """An entry of the journal."""

    place: int
    at: str
    by: str
    what: str
    house_id: str
    told: str
    before: str
    hash: str
