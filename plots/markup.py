"""A figure as SVG markup to stand inside a page, with where its axes lie, so that a page can draw over them."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from plots import page

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_PATH = re.compile(r' d="([^"]*)"')
_LONG_NUMBER = re.compile(r"-?\d+\.\d{2,}")
_SAME_STEP = re.compile(r"(?<=[\d.]) L (?=-?[\d.])")
_PLACE = re.compile(r' (x|y|x1|y1|x2|y2|width|height|cx|cy|r)="(-?\d+\.\d{3,})"')
_OWN_IDS = re.compile(r'(\bid="|url\(#|href="#)')


@dataclass(frozen=True)
class AxesPlace:
    """Where one pair of axes lies in its figure, as fractions from the left and the top, and its horizontal span."""

    left: float
    top: float
    width: float
    height: float
    from_x: float
    to_x: float


@dataclass(frozen=True)
class Markup:
    """One figure: an `<svg>` element with ids of its own and no size of its own, its size on paper, and its axes."""

    svg: str
    width_in: float
    height_in: float
    axes: tuple[AxesPlace, ...]


def markup(figure: Figure, prefix: str) -> Markup:
    """The figure as markup; `prefix` sets its ids apart from those of other figures in the page.

    Places of curves keep one decimal of a point: half of that is a twentieth of the width of a curve.
    """
    with page.styled():
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
    svg = out.getvalue()
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"<metadata>.*?</metadata>", "", svg, count=1, flags=re.DOTALL)
    svg = re.sub(r'(<svg[^>]*?) width="[^"]*"', r"\1", svg, count=1)
    svg = re.sub(r'(<svg[^>]*?) height="[^"]*"', r"\1", svg, count=1)
    svg = _PATH.sub(_short_path, svg)
    svg = _PLACE.sub(lambda m: f' {m[1]}="{float(m[2]):.2f}"', svg)
    svg = _OWN_IDS.sub(rf"\g<1>{prefix}-", svg)
    width_in, height_in = figure.get_size_inches()
    return Markup(svg, float(width_in), float(height_in), tuple(_axes(figure)))


def _short_path(path: re.Match[str]) -> str:
    """The path with short numbers, and without saying again at each point that a straight line leads there."""
    words = " ".join(_LONG_NUMBER.sub(_shorter, path[1]).split())
    if set("CcQqAaSsTtHhVv") & set(words):
        return f' d="{words}"'  # after a curve, two numbers alone would be a curve too
    first, step, rest = words.partition(" L ")
    return f' d="{first}{step}{_SAME_STEP.sub(" ", rest)}"'


def _shorter(number: re.Match[str]) -> str:
    return f"{float(number[0]):.1f}".removesuffix(".0")


def _axes(figure: Figure) -> list[AxesPlace]:
    places = []
    for axes in figure.axes:
        left, bottom, width, height = axes.get_position().bounds
        low, high = axes.get_xlim()
        places.append(AxesPlace(left, 1.0 - bottom - height, width, height, float(low), float(high)))
    return places
