"""Plain symbols of the rig drawing, one shape for each kind of point, told apart without colour."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

from plots import page, style
from plots.views import Spot

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes

SYMBOL_PT = 8.0
"""Smallest size on paper of any symbol, points."""

_OPEN: page.Looks = {"color": style.INK, "markerfacecolor": style.PAPER, "markeredgewidth": 1.0, "linestyle": "none"}
_FULL: page.Looks = {"color": style.INK, "markerfacecolor": style.INK, "markeredgewidth": 0.0, "linestyle": "none"}
_WEIGHT = [(-0.6, -1.0), (0.6, -1.0), (0.6, 1.0), (-0.6, 1.0), (-0.6, -1.0)]

_MARKS: dict[str, tuple[tuple[object, float, page.Looks], ...]] = {
    "performer": (("o", 7.0, _OPEN), ("o", 2.6, _FULL)),
    "body": (),
    "sheave": (("o", SYMBOL_PT, _OPEN), ("o", 2.0, _FULL)),
    "bar": (("o", 5.0, _FULL),),
    "anchor": (("^", SYMBOL_PT, _FULL),),
    "mount": (("s", 9.0, _OPEN), ("x", 6.0, {**_OPEN, "markeredgewidth": 0.8})),
    "drive": (("s", 11.0, _OPEN), ("o", 5.5, _FULL)),
    "junction": (("D", 5.5, _OPEN),),
    "counterweight": ((_WEIGHT, 12.0, {**_OPEN, "markerfacecolor": style.FAINT}),),
}
_UNKNOWN = (("P", 7.0, _OPEN),)

WORDS = {
    "performer": "suspension point", "body": "body", "sheave": "sheave", "bar": "bar, does not turn",
    "anchor": "anchor", "mount": "mount", "drive": "drive", "junction": "junction", "counterweight": "counterweight",
}  # fmt: skip
"""What each kind is called in the key."""


def draw_symbol(axes: Axes, kind: str, spot: Spot, name: str) -> list[Artist]:
    """The symbol of a kind at a spot in the axes' own units; its first mark carries the name as label."""
    drawn: list[Artist] = []
    for i, (marker, size_pt, looks) in enumerate(_MARKS.get(kind, _UNKNOWN)):
        drawn += axes.plot(
            [spot[0]], [spot[1]], marker=marker, markersize=size_pt, zorder=6, clip_on=False,
            label=name if i == 0 else "_part", **looks,
        )  # fmt: skip
    return drawn


def draw_sheave(axes: Axes, spot: Spot, tread: float, name: str) -> list[Artist]:
    """A sheave as the circle of its tread, in the axes' own units; for one large enough on paper to show its size."""
    turns = [2 * pi * k / 72 for k in range(73)]
    x, y = [spot[0] + tread / 2 * cos(a) for a in turns], [spot[1] + tread / 2 * sin(a) for a in turns]
    tread_drawn = axes.fill(x, y, facecolor=style.PAPER, edgecolor=style.INK, linewidth=1.0, zorder=5.5, label="_tread")
    return [*tread_drawn, *axes.plot([spot[0]], [spot[1]], marker="o", markersize=2.0, zorder=6, label=name, **_FULL)]


def draw_body(axes: Axes, top: Spot, bottom: Spot, name: str) -> tuple[float, list[Artist]]:
    """A performer's body hanging from the suspension point, as one plain shape down to its lowest part.

    Gives half its width, in the axes' own units, and what was drawn.
    """
    x, y = _outline(top[1] - bottom[1])
    drawn = axes.fill(
        [top[0] + a for a in x], [bottom[1] + b for b in y], facecolor=style.GRID, edgecolor=style.SOFT,
        linewidth=0.6, zorder=2.5, label=name,
    )  # fmt: skip
    return max(x), [*drawn]


def _outline(height: float) -> tuple[list[float], list[float]]:
    """A slim rounded shape of a height, its foot at the origin."""
    half = 0.13 * height
    angles = [pi * k / 12 for k in range(13)]
    x = [half * cos(a) for a in angles] + [-half * cos(a) for a in angles]
    y = [height - half + half * sin(a) for a in angles] + [half - half * sin(a) for a in angles]
    return x, y
