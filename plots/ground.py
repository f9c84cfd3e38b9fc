"""The floor, the water and the scale bar of the rig drawing."""

from __future__ import annotations

from math import floor, log10, nan
from typing import TYPE_CHECKING

from plots import style
from plots.labels import Box
from plots.views import View
from sim.results.shown import Asked, marked, unit_shown

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_HATCH_IN = 0.09
_BAR_BELOW_IN = 0.38
_RIPPLE_IN = 0.22


def draw_floor(axes: Axes, view: View, floor_m: float, units: Asked) -> Box:
    """The floor as a heavy line over the whole width, hatched below as ground is; gives the box it takes, inches."""
    unit = unit_shown("m", units)
    left, right, level = unit.number(view.frame.left), unit.number(view.frame.right), unit.number(floor_m)
    axes.plot([left, right], [level, level], color=style.INK, linewidth=1.4, zorder=2, label="floor")
    step = unit.number(_HATCH_IN / view.in_per_m)
    x: list[float] = []
    y: list[float] = []
    for i in range(1, int((right - left) / step) + 1):
        x += [left + i * step, left + (i - 1) * step, nan]
        y += [level, level - step, nan]
    axes.plot(x, y, color=style.SOFT, linewidth=0.5, zorder=2, label="_ground")
    height_in = view.paper_in((0.0, floor_m))[1]
    return Box(0.0, height_in - _HATCH_IN, view.width_in, _HATCH_IN + 0.02)


def draw_water(axes: Axes, view: View, water_m: float, units: Asked) -> Box:
    """The surface of the water as ripples over the whole width, named; gives the box it takes, inches."""
    unit = unit_shown("m", units)
    left, right, level = unit.number(view.frame.left), unit.number(view.frame.right), unit.number(water_m)
    ripple, count = unit.number(_RIPPLE_IN / view.in_per_m), int(view.width_in / _RIPPLE_IN) + 1
    x = [min(left + 0.5 * i * ripple, right) for i in range(2 * count + 1)]
    y = [level - 0.25 * ripple * (i % 2) for i in range(2 * count + 1)]
    axes.plot(x, y, color=style.INK, linewidth=0.8, zorder=2, label="water")
    axes.text(right, level, "water ", ha="right", va="bottom", fontsize=style.SMALL_PT)
    height_in = view.paper_in((0.0, water_m))[1]
    return Box(0.0, height_in - 0.25 * _RIPPLE_IN, view.width_in, 0.25 * _RIPPLE_IN + 0.02)


def draw_scale_bar(axes: Axes, view: View, units: Asked) -> None:
    """A bar of a round length below the view's left end, named."""
    unit = unit_shown("m", units)
    length = round_length(unit.number(view.frame.width) / 5)
    end = length / unit.number(1.0) * view.in_per_m / view.width_in
    y = -_BAR_BELOW_IN / view.height_in
    named = f"{marked(f'{length:g}', units)} {unit.sign}"
    axes.plot(
        [0.0, end], [y, y], transform=axes.transAxes, color=style.INK, linewidth=1.2, marker="|", markersize=6,
        clip_on=False, label="_scale bar",
    )  # fmt: skip
    axes.text(
        end + 0.08 / view.width_in, y, named, transform=axes.transAxes, va="center",
        fontsize=style.SMALL_PT,
    )  # fmt: skip


def round_length(longest: float) -> float:
    """The greatest of 1, 2 or 5 times a power of ten that is not longer.

    >>> round_length(3.4), round_length(0.99), round_length(70.0)
    (2.0, 0.5, 50.0)
    """
    power = 10.0 ** floor(log10(longest))
    return next(k * power for k in (5.0, 2.0, 1.0) if k * power <= longest * (1 + 1e-9))
