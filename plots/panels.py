"""What stacked panels over one time axis show, as plain data; `plots.stack` draws it, for histories and sweeps alike.

Values are in the displayed unit already.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plots import style

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Mark:
    """A value that stands in the result, marked on its curve, and the text for it where it is the panel's greatest."""

    time_s: float
    value: float
    text: str


@dataclass(frozen=True)
class Curve:
    """One history in the displayed unit. name and note (its figures from the result) stand at its right end."""

    name: str
    time_s: Floats
    values: Floats
    look: style.CurveStyle
    note: str = ""
    marks: tuple[Mark, ...] = ()
    width_pt: float = 1.1


@dataclass(frozen=True)
class Level:
    """A level line across a panel: a limit, or (floor) the floor or the water."""

    value: float
    text: str
    floor: bool = False


@dataclass(frozen=True)
class Panel:
    """Curves over one vertical axis and the level lines among them.

    from_zero: the axis must show zero. lowest: the value written out is the least of the marks, not the greatest.
    """

    axis: str
    curves: tuple[Curve, ...]
    levels: tuple[Level, ...] = ()
    from_zero: bool = False
    lowest: bool = False


@dataclass(frozen=True)
class Rule:
    """A moment, ruled thinly through all panels and named above them."""

    time_s: float
    text: str


@dataclass(frozen=True)
class Row:
    """Moments of one kind, ticked in a row below the panels."""

    text: str
    times_s: tuple[float, ...]
