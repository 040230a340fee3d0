"""How wide a text is in the fonts that ship with the papers, so that labels can be laid out without overlap."""

from __future__ import annotations

import struct
from functools import cache
from importlib import resources

REGULAR, STRONG = "IBMPlexSans-Regular.ttf", "IBMPlexSans-SemiBold.ttf"


def width(text: str, size: float, strong: bool = False) -> float:
    """The width of one line of text, in the unit of its size.

    Parameters
    ----------
    text : str
        one line
    size : float
        font size
    strong : bool
        whether it is set in the heavier cut
    """
    advances, missing = _advances(STRONG if strong else REGULAR)
    return size * sum(advances.get(ord(letter), missing) for letter in text)


def settable(text: str) -> str:
    """A text with every sign that the fonts lack shown as a question mark; line ends stay.

    Parameters
    ----------
    text : str
        any text
    """
    known = _advances(REGULAR)[0]
    return "".join(sign if sign == "\n" or ord(sign) in known else "?" for sign in text)


@cache
def _advances(font: str) -> tuple[dict[int, float], float]:
    """The advance of each character as a share of the font size, and that of an unknown one.

    Reference: OpenType specification, tables head, hhea, hmtx and cmap (format 4).
    """
    data = resources.files("airledger").joinpath("report", "fonts", font).read_bytes()
    tables = {}
    for entry in range(struct.unpack_from(">H", data, 4)[0]):
        tag, _, offset, _ = struct.unpack_from(">4sLLL", data, 12 + 16 * entry)
        tables[tag] = offset
    em: int = struct.unpack_from(">H", data, tables[b"head"] + 18)[0]
    count: int = struct.unpack_from(">H", data, tables[b"hhea"] + 34)[0]
    widths = [struct.unpack_from(">H", data, tables[b"hmtx"] + 4 * glyph)[0] for glyph in range(count)]
    advances = {
        letter: widths[min(glyph, count - 1)] / em for letter, glyph in _glyphs(data, tables[b"cmap"]).items() if glyph
    }
    return advances, max(advances[ord("m")], widths[0] / em)


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """Character -> glyph, from the first subtable of format 4."""
    for entry in range(struct.unpack_from(">H", data, cmap + 2)[0]):
        start = cmap + struct.unpack_from(">L", data, cmap + 4 + 8 * entry + 4)[0]
        if struct.unpack_from(">H", data, start)[0] == 4:
            return _format_4(data, start)
    raise ValueError("the font has no character table of format 4")


def _format_4(data: bytes, start: int) -> dict[int, int]:
    double = struct.unpack_from(">H", data, start + 6)[0]
    glyphs: dict[int, int] = {}
    for segment in range(double // 2):
        at = start + 14 + 2 * segment
        last = struct.unpack_from(">H", data, at)[0]
        first = struct.unpack_from(">H", data, at + double + 2)[0]
        delta = struct.unpack_from(">H", data, at + 2 * double + 2)[0]
        shift_at = at + 3 * double + 2
        shift = struct.unpack_from(">H", data, shift_at)[0]
        for letter in range(first, min(last, 0xFFFE) + 1):
            if shift == 0:
                glyphs[letter] = (letter + delta) & 0xFFFF
            else:
                glyph = struct.unpack_from(">H", data, shift_at + shift + 2 * (letter - first))[0]
                glyphs[letter] = (glyph + delta) & 0xFFFF if glyph else 0
    return glyphs
