"""What papers are made of: sections that open with a sentence, and the blocks below it."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from airledger.report.columns import cell_text, column
from airledger.report.svg import Drawing
from airledger.studies.protocol import Row

Block = dict[str, Any]


@dataclass
class Section:
    """A subject of a paper: opening sentence, blocks, whether it begins a page, whether it stays on one.

    pictures: file name -> drawing.
    """

    sentence: str
    blocks: list[Block] = field(default_factory=list)
    own_page: bool = True
    whole: bool = False
    pictures: dict[str, Drawing] = field(default_factory=dict)

    def picture(self, file: str, drawing: Drawing) -> None:
        """A drawing, kept as a file of its own and set into the section."""
        self.pictures[file] = drawing
        self.blocks.append(picture(file, drawing))

    def heading(self, words: str) -> None:
        """A heading within the section."""
        self.blocks.append({"kind": "heading", "words": words})

    def words(self, words: str, small: bool = False) -> None:
        """A paragraph; small for what is said beside the matter."""
        if words:
            self.blocks.append({"kind": "words", "words": together(words), "small": small})


def picture(file: str, drawing: Drawing) -> Block:
    """A drawing as a block.

    Parameters
    ----------
    file : str
        its file name
    drawing : Drawing
        the finished drawing
    """
    return {"kind": "picture", "file": file, "alt": drawing.title, "width": min(drawing.width, 672.0)}


def table(
    rows: Sequence[Row], keys: Sequence[str], system: str, share: Mapping[str, float] | None = None, size: float = 8.4
) -> Block:
    """Some columns of a study's table; a column of words takes the space that figures leave.

    Parameters
    ----------
    rows : sequence of dict
        the rows
    keys : sequence of str
        the columns, in order
    system : str
        ``ip`` or ``si``
    share : dict
        key -> share of the space for columns of words; 0 sets words as figures are set, on the right
    size : float
        font size in points
    """
    columns = [column(key, system) for key in keys]
    share = share or {}
    words = [share.get(key) != 0 and any(isinstance(row.get(key), str) for row in rows) for key in keys]
    return {
        "kind": "table",
        "whole": False,
        "title": "",
        "size": size,
        "share": {str(place): share.get(key, 1) for place, key in enumerate(keys)},
        "columns": [
            {"heading": _broken(c.heading), "unit": c.unit, "words": wide}
            for c, wide in zip(columns, words, strict=True)
        ],
        "rows": [
            {
                "cells": [cell_text(row.get(key), key, system) for key in keys],
                "strong": bool(row.get("strong")),
                "below": str(row.get("below") or ""),
            }
            for row in rows
        ],
    }


def _broken(heading: str) -> str:
    """A heading in lines so short that its column of figures stays narrow."""
    return "\n".join(textwrap.wrap(heading, 12, break_long_words=False, break_on_hyphens=False))


UNIT_AFTER_FIGURE = re.compile(r"(?<=\d) (?=(?:Pa|cfm|L/s|in|ft|lbf|N|ACH50|Btu/h|W|%)\b)")


def together(words: str) -> str:
    """Words with every figure tied to its unit, so that no line ends between them.

    Parameters
    ----------
    words : str
        any words
    """
    return UNIT_AFTER_FIGURE.sub("\u00a0", words)


def item(word: str, words: str, small: str = "", danger: bool = False) -> dict[str, Any]:
    """One line of a list: a word in front, what there is to say, and what is said beside it.

    Parameters
    ----------
    word : str
        what kind of line it is
    words : str
        the line
    small : str
        source and the like
    danger : bool
        whether somebody is in danger
    """
    return {"word": word, "words": together(words), "small": small, "danger": danger}


def shortened(words: str, most: int = 96) -> str:
    """Words cut at a blank so that they fit a line.

    Parameters
    ----------
    words : str
        any words
    most : int
        letters of a line
    """
    return words if len(words) <= most else words[:most].rsplit(" ", 1)[0].rstrip(",;:") + " …"


def sentence(words: str) -> str:
    """Words as a sentence of their own: a capital first, a full stop last; nothing stays nothing.

    Parameters
    ----------
    words : str
        any words
    """
    shown = capital(words.strip())
    return shown if not shown or shown[-1] in ".!?…" else f"{shown}."


def capital(words: str) -> str:
    """Words as they begin a sentence.

    Parameters
    ----------
    words : str
        any words
    """
    return words[:1].upper() + words[1:]
