"""Scales of stacked panels: round numbers, and their ticks drawn for a whole figure at once.

The drawing library makes five things of every tick of every axes, which took most of the time of a figure. Here a
figure's tick marks are one thing, the grid of a panel is another, and a number is its text alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from typing_extensions import override

from plots import page, style, text
from sim.results.shown import Asked, Mark, Units, Writing, marked

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.ticker import MaxNLocator

_MARK_IN = 3.5 / text.POINTS_PER_INCH
_GAP_IN = 3.5 / text.POINTS_PER_INCH
_STEPS = (1, 2, 2.5, 5, 10)
_MOST_DECIMALS = 9


@dataclass(frozen=True)
class Tick:
    """A round value on a scale and its text."""

    value: float
    text: str


def ticks(low: float, high: float, most: int, units: Asked = Units.SI) -> list[Tick]:
    """Round values from low to high, in at most so many steps, all with the decimals the step needs.

    >>> [tick.text for tick in ticks(-0.3, 1.2, 5)]
    ['0.0', '0.5', '1.0']
    """
    values = [float(v) for v in _locator(most).tick_values(low, high) if low <= v <= high]
    apart = min((b - a for a, b in pairwise(values)), default=0.0)
    decimals = next((d for d in range(_MOST_DECIMALS) if abs(round(apart, d) - apart) <= 1e-6 * apart), _MOST_DECIMALS)
    return [Tick(value, marked(_written(value, decimals), units)) for value in values]


@lru_cache(maxsize=8)
def _locator(most: int) -> MaxNLocator:
    from matplotlib.ticker import MaxNLocator

    return MaxNLocator(nbins=most, steps=_STEPS)


def _written(value: float, decimals: int) -> str:
    number = f"{abs(value):.{decimals}f}"
    return f"\N{MINUS SIGN}{number}" if value < 0 and number.strip("0.") else number


def room_in(scale: Sequence[Tick]) -> float:
    """How far the marks and numbers of an upright scale reach left of their panel, inches."""
    widest = max((text.width_in(tick.text, style.TEXT_PT) for tick in scale), default=0.0)
    return _MARK_IN + _GAP_IN + widest


@dataclass(frozen=True)
class Strip:
    """Where a panel lies on its sheet, inches, and the values at its edges."""

    left_in: float
    bottom_in: float
    width_in: float
    height_in: float
    times: tuple[float, float]
    values: tuple[float, float]

    def across(self, time_s: float) -> float:
        """Where a time lies, inches from the sheet's left edge."""
        return self.left_in + self.width_in * (time_s - self.times[0]) / (self.times[1] - self.times[0])

    def up(self, value: float) -> float:
        """Where a value lies, inches from the sheet's lower edge."""
        return self.bottom_in + self.height_in * (value - self.values[0]) / (self.values[1] - self.values[0])


Stroke: TypeAlias = list[tuple[float, float]]


def upright(sheet: page.Sheet, axes: Axes, scale: Sequence[Tick], strip: Strip) -> list[Stroke]:
    """Draw a panel's grid and the numbers left of it; gives its tick marks, inches."""
    from matplotlib.collections import LineCollection

    grid = LineCollection(
        [[(0.0, tick.value), (1.0, tick.value)] for tick in scale],
        colors=style.GRID, linewidths=0.6, zorder=0.5, transform=axes.get_yaxis_transform(), label="_grid",
    )  # fmt: skip
    axes.add_collection(grid, autolim=False)
    marks = []
    for tick in scale:
        up_in = strip.up(tick.value)
        marks.append([(strip.left_in - _MARK_IN, up_in), (strip.left_in, up_in)])
        sheet.write(strip.left_in - _MARK_IN - _GAP_IN, up_in, tick.text, ha="right", va="center_baseline")
    return marks


def level(sheet: page.Sheet, scale: Sequence[Tick], strip: Strip, numbers: bool) -> list[Stroke]:
    """Write the numbers of the common axis below a panel, where it is the lowest; gives its tick marks, inches."""
    marks = []
    for tick in scale:
        across_in, low_in = strip.across(tick.value), strip.bottom_in - _MARK_IN
        marks.append([(across_in, low_in), (across_in, strip.bottom_in)])
        if numbers:
            sheet.write(across_in, low_in - _GAP_IN, tick.text, ha="center", va="top")
    return marks


def draw_marks(sheet: page.Sheet, marks: Sequence[Stroke]) -> None:
    """All tick marks of a figure."""
    from matplotlib.collections import LineCollection

    places = [[(x / sheet.width_in, y / sheet.height_in) for x, y in mark] for mark in marks]
    sheet.figure.add_artist(
        LineCollection(places, colors=style.SOFT, linewidths=0.6, transform=sheet.figure.transFigure, label="_ticks")
    )


def write_marked(axes: Axes, units: Asked) -> None:
    """Let the drawing library write the numbers of axes that it draws itself with the decimal mark asked for."""
    if not isinstance(units, Writing) or units.mark is Mark.POINT:
        return
    from matplotlib.ticker import ScalarFormatter

    class Marked(ScalarFormatter):
        """Its numbers, with that mark."""

        @override
        def __call__(self, x: float, pos: int | None = None) -> str:
            return marked(super().__call__(x, pos), units)

    axes.xaxis.set_major_formatter(Marked())
    axes.yaxis.set_major_formatter(Marked())
