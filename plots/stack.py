"""Draws stacked panels over one time axis: rules through all of them, names at the curves' ends, ticks below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from plots import labels, page, scale, style, text
from plots.decimate import keep_extremes
from plots.margin import curve_looks, cut, level_looks, margin_in, name_ends, name_row, names_of
from plots.panels import Panel, Row, Rule
from sim.results.shown import Asked, Units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SIZE = page.Size(9.0)
_LEAST_AXES_IN = 1.8
_LEAST_PANEL_IN = 0.6
_LEAST_AXIS_PT = 6.0
_AXIS_IN = 0.75
_PANEL_IN = 1.35
_BETWEEN_IN = 0.16
_TIME_AXIS_IN = 0.45
_ROW_IN = 0.17
_STEP_IN = 0.155
_VALUE_STEPS = 5
_TIME_STEPS = 9
_BEFORE_LABEL_IN = 4.0 / text.POINTS_PER_INCH
_TIME_LABEL_IN = 0.27
_POINTS_PER_FIGURE = 30_000
"""About 20 bytes a point in SVG: with this many the file stays well below 1 MB whatever the number of curves."""


def stack(
    words: page.Words,
    panels: Sequence[Panel],
    rules: Sequence[Rule],
    rows: Sequence[Row],
    axis: str,
    size: page.Size | None = None,
    units: Asked = Units.SI,
) -> Figure:
    """The whole figure: heading, named rules, panels with curves named at their ends, rows of ticks, foot.

    Args:
        words: heading and source.
        panels: from the top down, at least one with a curve.
        rules: moments to rule and name.
        rows: moments to tick below.
        axis: label of the common axis.
        size: of the sheet, where one is asked for; a given height is shared out among the panels.
        units: how numbers along the scales are written; values are in the displayed unit already.

    Raises:
        page.TooSmall: where curves and their names have no room on it.
    """
    size = size or SIZE
    names_in, left_in = margin_in(panels, rows), page.MARGIN_IN + _AXIS_IN
    width_in = size.room_for(left_in + _LEAST_AXES_IN + names_in + page.MARGIN_IN, "this figure")
    right_in = width_in - page.MARGIN_IN - names_in
    span = _span(panels)
    named = _name_rules(rules, span, (left_in, right_in, width_in))
    levels_in = _STEP_IN * (1 + max((level for _, _, level in named), default=-1))
    rows_in = _ROW_IN * len(rows) + (_BETWEEN_IN if rows else 0.0)
    beside_in = 0.2 + levels_in + _BETWEEN_IN * (len(panels) - 1) + rows_in + _TIME_AXIS_IN
    heights = _heights(panels, beside_in, words, size)
    sheet = page.sheet(words, width_in, beside_in + sum(heights))
    top_in = sheet.top_in - 0.1 - levels_in
    buckets = max(60, min(1000, _POINTS_PER_FIGURE // (2 * sum(len(p.curves) for p in panels))))
    ranges = [_value_range(panel) for panel in panels]
    scales = [scale.ticks(*values, _VALUE_STEPS, units) for values in ranges]
    label_in = max(map(scale.room_in, scales)) + _BEFORE_LABEL_IN
    marks, strips = list[scale.Stroke](), list[scale.Strip]()
    bottom_in = top_in + _BETWEEN_IN
    for panel, height_in, values, numbers in zip(panels, heights, ranges, scales, strict=True):
        bottom_in -= height_in + _BETWEEN_IN
        strip = scale.Strip(left_in, bottom_in, right_in - left_in, height_in, span, values)
        axes = _axes(sheet, strip)
        marks += scale.upright(sheet, axes, numbers, strip)
        _draw_panel(axes, panel, buckets)
        _draw_rules(axes, rules)
        axes.set_ylabel(panel.axis, fontsize=_axis_pt(panel, height_in))
        axes.yaxis.set_label_coords(-label_in / strip.width_in, 0.5)
        name_ends(sheet, axes, panel, (right_in, bottom_in, height_in))
        strips.append(strip)
    for rule, x_in, level in named:
        _write_rule(sheet, rule, x_in, top_in, level)
    if rows:
        strips.append(_draw_rows(sheet, rows, strips[-1], bottom_in - rows_in))
    times = scale.ticks(*span, _TIME_STEPS, units)
    for strip in strips:
        marks += scale.level(sheet, times, strip, numbers=strip is strips[-1])
    scale.draw_marks(sheet, marks)
    lowest = sheet.figure.axes[-1]
    lowest.set_xlabel(axis)
    lowest.xaxis.set_label_coords(0.5, -_TIME_LABEL_IN / strips[-1].height_in)
    return sheet.figure


def _axes(sheet: page.Sheet, strip: scale.Strip) -> Axes:
    """Axes without ticks of their own."""
    axes = sheet.axes(strip.left_in, strip.bottom_in, strip.width_in, strip.height_in)
    axes.set_autoscale_on(False)
    axes.set_xlim(*strip.times)
    axes.set_ylim(*strip.values)
    axes.set_xticks([])
    axes.set_yticks([])
    return axes


def _heights(panels: Sequence[Panel], beside_in: float, words: page.Words, size: page.Size) -> list[float]:
    """Each panel's height: as wanted, or stretched or pressed into the sheet, never below what its names need."""
    names = [sum(name.height_in for name in names_of(p)) for p in panels]
    axes = [_LEAST_AXIS_PT / style.TEXT_PT * text.width_in(p.axis, style.TEXT_PT) for p in panels]
    wanted = [max(_PANEL_IN, each) for each in names]
    least = [min(a, max(_LEAST_PANEL_IN, *b)) for a, *b in zip(wanted, names, axes, strict=True)]
    middle_in = size.middle_in(words, beside_in + sum(wanted), beside_in + sum(least), "this figure")
    over_in = middle_in - beside_in - sum(least)
    spare = [a - b for a, b in zip(wanted, least, strict=True)]
    if over_in <= sum(spare):
        share = over_in / sum(spare) if sum(spare) > 0 else 0.0
        return [b + share * s for b, s in zip(least, spare, strict=True)]
    return [a * (middle_in - beside_in) / sum(wanted) for a in wanted]


def _axis_pt(panel: Panel, height_in: float) -> float:
    """Size of a panel's axis label, points: smaller where the panel is pressed."""
    if height_in >= _PANEL_IN:
        return style.TEXT_PT
    fits = style.TEXT_PT * height_in / text.width_in(panel.axis, style.TEXT_PT)
    return min(style.TEXT_PT, max(_LEAST_AXIS_PT, fits))


def _span(panels: Sequence[Panel]) -> tuple[float, float]:
    curves = [c for p in panels for c in p.curves]
    low, high = min(c.time_s[0] for c in curves), max(c.time_s[-1] for c in curves)
    return float(low), float(high if high > low else low + 1.0)


def _fraction(time_s: float, span: tuple[float, float]) -> float:
    return (time_s - span[0]) / (span[1] - span[0])


# --- one panel ------------------------------------------------------------------------------------------------------


def _draw_panel(axes: Axes, panel: Panel, buckets: int) -> None:
    for place, curve in enumerate(panel.curves):
        time_s, values = keep_extremes(curve.time_s, curve.values, buckets)
        every = max(1, len(time_s) // 9)
        sparse = (place * every // style.CURVES_PER_PANEL, every)
        axes.plot(time_s, values, label=curve.name, markevery=sparse, zorder=3 + 0.01 * place, **curve_looks(curve))
        for mark in curve.marks:
            axes.plot(
                [mark.time_s], [mark.value], linestyle="none", marker="o", markersize=4.2, color=curve.look.colour,
                markerfacecolor=style.PAPER, markeredgewidth=1.0, zorder=5, label="_mark",
            )  # fmt: skip
    for level in panel.levels:
        axes.axhline(level.value, zorder=2, label=level.text, **level_looks(level))
    _write_outermost(axes, panel)


def _value_range(panel: Panel) -> tuple[float, float]:
    """What the vertical axis must cover: curves, marked values, limits, with room for a value's text."""
    parts = [c.values[np.isfinite(c.values)] for c in panel.curves]
    singles = [m.value for c in panel.curves for m in c.marks] + [level.value for level in panel.levels]
    everything = np.concatenate([*parts, np.array(singles, dtype=float), np.zeros(1 if panel.from_zero else 0)])
    low, high = (float(everything.min()), float(everything.max())) if len(everything) else (0.0, 1.0)
    room = (high - low) or abs(high) or 1.0
    below = 0.0 if panel.from_zero and low >= 0 else 0.06
    return low - (0.16 if panel.lowest else below) * room, high + (0.06 if panel.lowest else 0.16) * room


def _write_outermost(axes: Axes, panel: Panel) -> None:
    """The value of the outermost mark, beside it; the others have theirs at the curve's end."""
    marks = [m for c in panel.curves for m in c.marks]
    if not marks:
        return
    mark = min(marks, key=lambda m: m.value) if panel.lowest else max(marks, key=lambda m: m.value)
    right = _fraction(mark.time_s, axes.get_xlim()) > 0.8
    axes.annotate(
        mark.text, (mark.time_s, mark.value), xytext=(-5 if right else 5, -4 if panel.lowest else 3),
        textcoords="offset points", ha="right" if right else "left", va="top" if panel.lowest else "bottom",
        fontsize=style.SMALL_PT, weight="bold", zorder=7, bbox=style.PATCH,
    )  # fmt: skip


# --- moments --------------------------------------------------------------------------------------------------------


def _name_rules(
    rules: Sequence[Rule], span: tuple[float, float], across_in: tuple[float, float, float]
) -> list[tuple[Rule, float, int]]:
    """Each rule, its name cut where it would leave the sheet, with its place and its level above the panels.

    across_in: left and right of the panels and width of the sheet, inches.
    """
    left_in, right_in, width_in = across_in
    places = [left_in + (right_in - left_in) * _fraction(r.time_s, span) for r in rules]
    room = width_in - page.MARGIN_IN
    named = [Rule(r.time_s, cut(r.text, room - x_in)) for r, x_in in zip(rules, places, strict=True)]
    levels = labels.staircase(places, [text.width_in(r.text, style.SMALL_PT) + 0.08 for r in named])
    return list(zip(named, places, levels, strict=True))


def _write_rule(sheet: page.Sheet, rule: Rule, x_in: float, top_in: float, level: int) -> None:
    base_in = top_in + _STEP_IN * level
    sheet.stroke([(x_in, top_in), (x_in, base_in + 0.12)], color=style.SOFT, linewidth=0.5)
    sheet.write(x_in + 0.04, base_in + 0.03, rule.text, fontsize=style.SMALL_PT)


def _draw_rules(axes: Axes, rules: Sequence[Rule]) -> None:
    from matplotlib.lines import Line2D

    full = axes.get_xaxis_transform()
    for rule in rules:
        looks: page.Looks = {"color": style.SOFT, "linewidth": 0.5, "zorder": 1.2, "label": "_rule", "transform": full}
        axes.add_artist(Line2D([rule.time_s, rule.time_s], [0.0, 1.0], **looks))


def _draw_rows(sheet: page.Sheet, rows: Sequence[Row], above: scale.Strip, bottom_in: float) -> scale.Strip:
    """Ticks of each kind of moment in a row of its own below the panels, its name in the right margin."""
    strip = replace(above, bottom_in=bottom_in, height_in=_ROW_IN * len(rows), values=(len(rows), 0.0))
    axes = _axes(sheet, strip)
    axes.set_ylabel("Events", rotation=0, ha="right", va="center")
    axes.spines["left"].set_visible(False)
    for i, row in enumerate(rows):
        axes.vlines(list(row.times_s), i + 0.15, i + 0.85, color=style.INK, linewidth=0.6, label=row.text)
        name_row(sheet, strip.left_in + strip.width_in, strip.up(i + 0.5), row.text)
    return strip
