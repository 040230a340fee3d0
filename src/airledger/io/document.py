"""A house file's text as something to change: one value is spliced in at its marks, everything else stays as it was typed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Document:
    """The text of a house file."""

    text: str
    name: str = "house file"
