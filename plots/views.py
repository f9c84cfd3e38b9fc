"""From the rig's three dimensions to views on paper: which planes, how large, and where everything lies in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import nan

import numpy as np

from plots.labels import Box
from sim.results.drawn import Drawing

Place = tuple[float, float, float]
Spot = tuple[float, float]

_FLAT_M = 0.05
"""A rig that reaches less than this out of its plane is drawn in elevation only."""


@dataclass(frozen=True)
class View:
    """One projection at one scale. across and up are the axes of space (0 x, 1 y, 2 z) that run right and up.

    frame: what is shown, in metres along those two axes, up_sign x up being the second. in_per_m: the scale on paper.
    """

    across: int
    up: int
    up_sign: float
    frame: Box
    in_per_m: float

    def spot(self, place: Place) -> Spot:
        """A place's two coordinates in the view, metres; axis values as they are, so down may be positive."""
        return place[self.across], place[self.up]

    def paper_in(self, spot: Spot) -> Spot:
        """A spot in inches from the view's lower left corner."""
        x, y = spot
        return (x - self.frame.left) * self.in_per_m, (self.up_sign * y - self.frame.bottom) * self.in_per_m

    @property
    def width_in(self) -> float:
        """Width on paper."""
        return self.frame.width * self.in_per_m

    @property
    def height_in(self) -> float:
        """Height on paper."""
        return self.frame.height * self.in_per_m


def views_of(drawing: Drawing, width_in: float, height_in: float, also: Sequence[Place] = ()) -> list[View]:
    """The elevation along the rig's greater horizontal extent and, where it has a second, the plan below it.

    Both at one scale, the largest for which both fit the height and each the width; the plan has the same axis running
    right, so that what stands above one another in the views is the same thing. also: places there must be room for.
    """
    places = [*_places(drawing), *also]
    extent = [max(p[k] for p in places) - min(p[k] for p in places) for k in range(3)]
    across = 0 if extent[0] >= extent[1] else 1
    other = 1 - across
    deep = extent[other] > _FLAT_M
    grounds = [level for level in (drawing.floor_m, drawing.water_m) if level is not None]
    heights = [p[2] for p in places] + grounds
    # Seen from above with y to the right, x runs down the page.
    planes = [(across, 2, 1.0, heights)]
    if deep:
        planes.append((across, other, 1.0 if across == 0 else -1.0, [p[other] for p in places]))
    frames = [_frame([p[a] for p in places], [sign * v for v in values]) for a, _, sign, values in planes]
    in_per_m = min(width_in / frames[0].width, height_in / sum(f.height for f in frames))
    return [View(a, up, sign, f, in_per_m) for (a, up, sign, _), f in zip(planes, frames, strict=True)]


def first_passage(path: Sequence[Place], near_m: float) -> list[Place]:
    """A path with a gap wherever it runs back over itself: dashes over dashes would look like a full line.

    Args:
        path: places in order.
        near_m: closer than this to an earlier piece counts as over it (or closer than its own steps are long).
    """
    places = np.array(path, dtype=float)
    steps = np.linalg.norm(np.diff(places, axis=0), axis=1)
    near_m = max(near_m, 0.75 * float(steps.max(initial=0.0)))
    along = np.concatenate(([0.0], np.cumsum(steps)))
    gap = (nan, nan, nan)
    once = [path[0]]
    for i in range(1, len(places)):
        earlier = places[:i][along[i] - along[:i] > 4 * near_m]
        back = len(earlier) and float(np.linalg.norm(earlier - places[i], axis=1).min()) < near_m
        once.append(gap if back else path[i])
    return once


def _places(drawing: Drawing) -> list[Place]:
    places = [p.position_m for p in drawing.points]
    places += [p for line in drawing.lines for p in line.path_m]
    places += [p for path in drawing.paths_m.values() for p in path]
    return places or [(0.0, 0.0, 0.0)]


def _frame(across: Iterable[float], up: Iterable[float]) -> Box:
    """What lies between the least and the greatest with room around for labels; a thin rig gets width to write in."""
    across, up = list(across), list(up)
    left, right, low, high = min(across), max(across), min(up), max(up)
    largest = max(right - left, high - low, 1.0)
    side = max(0.14 * largest, 0.3 * largest - (right - left) / 2)
    above = max(0.1 * largest, 0.15 * largest - (high - low) / 2)
    return Box(left - side, low - above, right - left + 2 * side, high - low + 2 * above)
