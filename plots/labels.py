"""Where labels go so that none covers another: along a margin, above a panel, or around points of a drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import cos, hypot, pi, sin

_DIRECTIONS = tuple((cos(2 * pi * step / 24), sin(2 * pi * step / 24)) for step in range(24))


@dataclass(frozen=True)
class Box:
    """An upright rectangle: lower left corner, width and height, in one length unit throughout."""

    left: float
    bottom: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge."""
        return self.left + self.width

    @property
    def top(self) -> float:
        """Upper edge."""
        return self.bottom + self.height

    def overlap(self, other: Box) -> float:
        """Area shared with another box."""
        across = min(self.right, other.right) - max(self.left, other.left)
        up = min(self.top, other.top) - max(self.bottom, other.bottom)
        return across * up if across > 0 and up > 0 else 0.0

    def inside(self, other: Box) -> bool:
        """Whether no part lies outside the other."""
        return (
            self.left >= other.left and self.right <= other.right
            and self.bottom >= other.bottom and self.top <= other.top
        )  # fmt: skip

    def nearest(self, x: float, y: float) -> tuple[float, float]:
        """The point of the box nearest to a place."""
        return min(max(x, self.left), self.right), min(max(y, self.bottom), self.top)

    def length_within(self, a: tuple[float, float], b: tuple[float, float]) -> float:
        """Length of the part of the straight line from a to b inside the box (Liang-Barsky clipping)."""
        enter, leave = 0.0, 1.0
        for start, move, low, high in (
            (a[0], b[0] - a[0], self.left, self.right),
            (a[1], b[1] - a[1], self.bottom, self.top),
        ):
            if move == 0:
                if not low <= start <= high:
                    return 0.0
                continue
            first, second = sorted(((low - start) / move, (high - start) / move))
            enter, leave = max(enter, first), min(leave, second)
        return max(0.0, leave - enter) * hypot(b[0] - a[0], b[1] - a[1])


def spread(wanted: Sequence[float], heights: Sequence[float], low: float, high: float) -> list[float]:
    """Centres of blocks stacked between low and high without overlap, near the wanted centres and in their order.

    Where the blocks together are taller than the room they fill it from the top and run below `low`.
    """
    order = sorted(range(len(wanted)), key=lambda i: -wanted[i])
    centres = [0.0] * len(wanted)
    ceiling = high
    for i in order:
        centres[i] = min(wanted[i], ceiling - heights[i] / 2)
        ceiling = centres[i] - heights[i] / 2
    ground = low
    for i in reversed(order):
        centres[i] = max(centres[i], ground + heights[i] / 2)
        ground = centres[i] + heights[i] / 2
    if ground > high:
        centres = [c - (ground - high) for c in centres]
    return centres


def staircase(starts: Sequence[float], widths: Sequence[float]) -> list[int]:
    """The level (from 0 up) each label stands on, text running right from its start, as low as can be.

    Each label has a stem at its start from below level 0 up to its level. Levels are dealt from the right, so that no
    text covers another and no stem crosses a text.
    """
    free_until: list[float] = []
    found = [0] * len(starts)
    for i in sorted(range(len(starts)), key=lambda i: -starts[i]):
        level = next((k for k, free in enumerate(free_until) if starts[i] + widths[i] <= free), len(free_until))
        found[i] = level
        free_until[: level + 1] = [starts[i]] * (level + 1)
    return found


@dataclass
class Placer:
    """Places labels one after another, greedily: each where it disturbs least what stands already.

    frame: nothing may reach outside. solids: what no label may cover. strokes: lines a label should rather not cross.
    """

    frame: Box
    solids: list[Box] = field(default_factory=list)
    strokes: list[tuple[tuple[float, float], tuple[float, float]]] = field(default_factory=list)

    def place(self, anchors: Sequence[tuple[float, float]], width: float, height: float, gap: float) -> Box | None:
        """A free box of this size near one of the anchors (the first is preferred), or None where none is free.

        The box found counts as a solid, and the stem to it as a stroke, for those that follow.
        """
        best: tuple[float, Box, tuple[float, float]] | None = None
        for rank, anchor in enumerate(anchors):
            for distance, box in _around(anchor, width, height, gap):
                # What is crossed costs nothing at best: most candidates are too far off to need a look at that.
                if best is not None and distance + 0.5 * gap * rank >= best[0]:
                    continue
                if not box.inside(self.frame) or any(box.overlap(s) for s in self.solids):
                    continue
                cost = self._cost(box, anchor) + distance + 0.5 * gap * rank
                if best is None or cost < best[0]:
                    best = (cost, box, anchor)
        if best is None:
            return None
        _, box, anchor = best
        self.solids.append(box)
        self.strokes.append((anchor, box.nearest(*anchor)))
        return box

    def _cost(self, box: Box, anchor: tuple[float, float]) -> float:
        """What is crossed: lines by the label (by length) and by its stem (each), other labels by its stem."""
        stem = box.nearest(*anchor)
        crossed = sum(box.length_within(*stroke) for stroke in self.strokes)
        under = sum(s.length_within(anchor, stem) for s in self.solids)
        return 8 * crossed + 8 * under


def _around(anchor: tuple[float, float], width: float, height: float, gap: float) -> Iterator[tuple[float, Box]]:
    """Candidate boxes around a point, nearest first, each with its distance: right and left before above and below."""
    for ring in (1.0, 1.5, 2.2, 3.0, 4.0, 5.5, 7.5, 10.0, 13.0):
        for reach_x, reach_y in _DIRECTIONS:
            centre_x = anchor[0] + reach_x * (ring * gap + width / 2)
            centre_y = anchor[1] + reach_y * (ring * gap + height / 2)
            box = Box(centre_x - width / 2, centre_y - height / 2, width, height)
            near = box.nearest(*anchor)
            yield hypot(near[0] - anchor[0], near[1] - anchor[1]) + 0.2 * gap * abs(reach_y), box
