"""Ink, line styles and measures of every picture and paper: one place, so that they agree.

Ink on white, one accent kept for danger, hatch before hue: every picture reads the same in grey. Air coming in is a
solid line with an open head, air going out a dashed line with a full head.
"""

from __future__ import annotations

INK = "#1a1a1a"
GREY = "#5f5f5f"
RULE = "#b4b4b4"
PAPER = "#ffffff"
DANGER = "#9c1c0c"  # 8:1 on white; in grey as dark as ink, so the word "danger" always stands with it

FONTS = "IBM Plex Sans, Helvetica Neue, Arial, DejaVu Sans Condensed, sans-serif"
WIDTH = 672.0  # a drawing as wide as the text of a letter page: 7 in at 96 to the inch
TITLE, TEXT, SMALL = 14.0, 12.5, 10.5  # 10.5, 9.4 and 7.9 pt on paper
CAPITAL, SMALL_CAPITAL = 11.5, 9.4  # units
HEAVY, LINE, HAIR = 2.0, 1.1, 0.7
DASH = "4 2.6"  # air going out
HATCH_GAP = 4.5
