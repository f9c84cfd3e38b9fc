"""The size of a sheet as people write it: a paper, a width, or both ways."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from sim.command.status import Refused

if TYPE_CHECKING:
    from plots.page import Size

_INCHES = {"mm": 1 / 25.4, "cm": 1 / 2.54, "in": 1.0}
_PAPER_MM = {"a3": (297.0, 420.0), "a4": (210.0, 297.0), "a5": (148.0, 210.0), "letter": (215.9, 279.4)}
_LENGTH = re.compile(r"(\d+(?:\.\d+)?)\s*(mm|cm|in)?")
_LEAST_IN, _MOST_IN = 2.0, 100.0


def parse_size(text: str | None) -> Size | None:
    """A sheet: 'A4', 'A4 landscape', 'letter', '160 mm' (as high as needed) or '160 x 100 mm'. Raises Refused.

    >>> parse_size("6 in").width_in
    6.0
    """
    if text is None:
        return None
    from plots.page import Size

    name, _, turned = text.strip().lower().partition(" ")
    if name in _PAPER_MM and turned in ("", "landscape", "portrait"):
        width, height = (mm * _INCHES["mm"] for mm in _PAPER_MM[name])
        return Size(height, width) if turned == "landscape" else Size(width, height)
    matches = [_LENGTH.fullmatch(part.strip()) for part in text.lower().replace("×", "x").split("x")]
    if 1 <= len(matches) <= 2 and all(matches) and matches[-1] is not None and matches[-1][2]:
        unit = matches[-1][2]
        inches = [float(m[1]) * _INCHES[m[2] or unit] for m in matches if m is not None]
        if all(_LEAST_IN <= each <= _MOST_IN for each in inches):
            return Size(*inches)
        raise Refused(f"--size '{text}': expected 50 mm to 2.5 m each way.")
    raise Refused(f"--size '{text}': expected such as A4, 'A4 landscape', letter, '160 mm' or '160 x 100 mm'.")
