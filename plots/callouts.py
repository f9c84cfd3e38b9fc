"""Names and forces written beside what they belong to; what finds no free place is numbered and listed in the key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from plots import style, text
from plots.labels import Box, Placer

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes

Spot = tuple[float, float]

_LIMIT_EM = 16.0
_GAP_IN = 0.1


@dataclass(frozen=True)
class Callout:
    """A name, a force ('' for none) and the spots it may stand beside, inches from the view's lower left corner.

    along: of a line, the span each spot is in and what part of it lies before the spot.
    """

    name: str
    force: str
    spots: tuple[Spot, ...]
    line: bool = False
    along: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True)
class Written:
    """A callout as it was written: what was drawn, and beside which of its spots."""

    callout: Callout
    drawn: tuple[Artist, ...]
    spot: int


@dataclass
class Callouts:
    """Writes the callouts of all views of a sheet, and keeps the numbers given on it."""

    numbered: dict[int, tuple[str, str]] = field(default_factory=dict)
    """Name and force by number, for the key."""

    def place(
        self, axes: Axes, frame: Box, callouts: Sequence[Callout], solids: Sequence[Box], strokes: Sequence
    ) -> list[Written]:
        """Write each callout where it covers nothing; gives those that found a place.

        Args:
            axes: the view.
            frame: what the view shows, inches.
            callouts: in order of importance.
            solids: what may not be covered, inches.
            strokes: lines better not crossed, inches.
        """
        placer, written = Placer(frame, list(solids), list(strokes)), []
        for callout in callouts:
            lines = text.wrap(callout.name, _LIMIT_EM)
            words = "\n".join([*lines, callout.force] if callout.force else lines)
            box = self._try(placer, callout, words)
            if box is None:
                words = f"({self._number(callout)})"
                box = self._try(placer, callout, words)
            if box is not None:
                anchor = placer.strokes[-1][0]
                drawn = _write(axes, frame, callout, (words, box, anchor))
                written.append(Written(callout, tuple(drawn), callout.spots.index(anchor)))
        return written

    def _try(self, placer: Placer, callout: Callout, words: str) -> Box | None:
        width, height = text.width_in(words, style.SMALL_PT) + 0.1, text.height_in(words, style.SMALL_PT) + 0.02
        return placer.place(callout.spots, width, height, _GAP_IN)

    def _number(self, callout: Callout) -> int:
        """The number this name has, the next free one where it has none."""
        for number, (name, force) in self.numbered.items():
            if name == callout.name:
                self.numbered[number] = (name, force or callout.force)
                return number
        number = len(self.numbered) + 1
        self.numbered[number] = (callout.name, callout.force)
        return number


def _write(axes: Axes, frame: Box, callout: Callout, placed: tuple[str, Box, Spot]) -> list[Artist]:
    """The words in their box, and a thin stem to the spot where the box stands off."""
    words, box, anchor = placed
    drawn: list[Artist] = []
    near = box.nearest(*anchor)
    apart = ((near[0] - anchor[0]) ** 2 + (near[1] - anchor[1]) ** 2) ** 0.5
    if apart > 1.5 * _GAP_IN or callout.line:
        x, y = [p / frame.width for p in (anchor[0], near[0])], [p / frame.height for p in (anchor[1], near[1])]
        drawn += axes.plot(x, y, transform=axes.transAxes, color=style.SOFT, linewidth=0.5, zorder=3, label="_stem")
    left = anchor[0] > box.right - 1e-9
    x, ha = (box.right - 0.05, "right") if left else (box.left + 0.05, "left")
    if box.left < anchor[0] < box.right:
        x, ha = box.left + box.width / 2, "center"
    written = axes.text(
        x / frame.width, (box.bottom + box.height / 2) / frame.height, words, transform=axes.transAxes, ha=ha,
        va="center", fontsize=style.SMALL_PT, linespacing=1.15, zorder=7, bbox=style.PATCH,
        style="italic" if callout.line else "normal",
    )  # fmt: skip
    return [*drawn, written]
