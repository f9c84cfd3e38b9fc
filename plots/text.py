"""How much room text takes, and how to break it, without asking any font.

Text stays text in the files, so the reader's own fonts decide its exact width; and names may be in scripts the drawing
font lacks. A generous estimate by kind of character serves every reader and gives the same layout on every machine.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache

POINTS_PER_INCH = 72.0
LINE_HEIGHT_EM = 1.25

_NARROW = set("iljtfrI.,;:!|'()[]/ -\u202f")
_WORD = re.compile(r"[^ \t\r\n]+")  # a narrow space stands within a number
_BROAD = set("mwMWQO@%&→—")


def width_em(text: str) -> float:
    """Estimated width in units of the font size."""
    return sum(_character_em(c) for c in text)


def width_in(text: str, size_pt: float) -> float:
    """Estimated width in inches of the longest line at a font size."""
    return max((width_em(line) for line in text.split("\n")), default=0.0) * size_pt / POINTS_PER_INCH


def height_in(text: str, size_pt: float) -> float:
    """Height in inches of all lines at a font size."""
    return (text.count("\n") + 1) * LINE_HEIGHT_EM * size_pt / POINTS_PER_INCH


def wrap(text: str, limit_em: float) -> list[str]:
    """Lines no wider than the limit, broken at spaces, or inside a word that is too long for a line of its own."""
    lines: list[str] = []
    line = ""
    for word in _WORD.findall(text):
        for piece in _pieces(word, limit_em):
            longer = f"{line} {piece}" if line else piece
            if width_em(longer) <= limit_em:
                line = longer
            else:
                lines.append(line)
                line = piece
    return [*lines, line] if line or not lines else lines


def wrap_in(text: str, limit_in: float, size_pt: float) -> list[str]:
    """As `wrap`, for a width in inches at a font size."""
    return wrap(text, limit_in * POINTS_PER_INCH / size_pt)


@cache
def _character_em(c: str) -> float:
    if unicodedata.category(c) in ("Mn", "Me", "Cf"):
        return 0.0
    if unicodedata.east_asian_width(c) in ("W", "F"):
        return 1.0
    if c in _NARROW:
        return 0.4
    if c in _BROAD:
        return 0.98
    return 0.76 if c.isupper() else 0.63


def _pieces(word: str, limit_em: float) -> list[str]:
    """A word cut so that each piece fits the limit; combining marks stay with their letter."""
    pieces = [""]
    for c in word:
        if pieces[-1] and _character_em(c) > 0 and width_em(pieces[-1] + c) > limit_em:
            pieces.append("")
        pieces[-1] += c
    return pieces
