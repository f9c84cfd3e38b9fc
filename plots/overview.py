"""The figures of all variants beside one another: a row a variant, worst first, a column a figure, limits dotted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from plots import page, style
from plots.margin import cut
from sim.results.comparison import Comparison, Figures, Variant, worst_first
from sim.results.shown import Units, shown, unit_shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDTH_IN = 10.5
_NAMES_IN = 2.3
_ROW_IN = 0.3
_BETWEEN_IN = 0.35
_HEAD_IN = 0.6
_AXIS_IN = 0.3


@dataclass(frozen=True)
class _Column:
    """One kind of figure: heading, SI unit, where it stands, and the key of its limit ('' for none)."""

    heading: str
    unit: str
    of: Callable[[Figures], float | None]
    limit: str = ""


_COLUMNS = (
    _Column("Peak g load", "", lambda f: f.peak_g.value if f.peak_g else None, "g_load"),
    _Column("Peak tension", "N", lambda f: f.peak_tension_N.value if f.peak_tension_N else None),
    _Column("Least clearance", "m", lambda f: f.clearance_m.value if f.clearance_m else None, "clearance_m"),
    _Column("Stopping distance", "m", lambda f: f.stopping_distance_m.value if f.stopping_distance_m else None),
    _Column(
        "Least margin\nto any limit",
        "",
        lambda f: f.least_margin.margin if f.least_margin else None,
        "margin",
    ),
)
_MARGIN_NEEDED = 0.0


def overview_figure(comparison: Comparison, units: Units | str = Units.SI) -> Figure:
    """Every variant's worst figures as points on common axes, with the limits; a variant without a result says so.

    Args:
        comparison: what to draw.
        units: 'si' (m, kN) or 'us' (ft, lbf).

    Raises:
        ValueError: for unknown units, or a comparison without variants.
    """
    units = Units(units)
    variants = worst_first(comparison.variants)
    if not variants:
        raise ValueError("there is no variant to draw")
    columns = [c for c in _COLUMNS if any(c.of(v.figures) is not None for v in variants)]
    rows_in = _ROW_IN * len(variants)
    with page.styled():
        words = page.Words(
            comparison.title,
            f"The worst of each variant, over {comparison.over}; worst variant first",
            (),
            (),
            page.source_line(comparison.stamp),
        )
        sheet = page.sheet(words, WIDTH_IN, _HEAD_IN + rows_in + _AXIS_IN + 0.3)
        bottom_in = sheet.top_in - 0.15 - _HEAD_IN - rows_in
        _write_names(sheet, variants, bottom_in)
        left_in = page.MARGIN_IN + _NAMES_IN
        width_in = (WIDTH_IN - page.MARGIN_IN - left_in - _BETWEEN_IN * len(columns)) / max(len(columns), 1)
        for column in columns:
            place_in = (left_in, bottom_in, width_in, rows_in)
            _draw_column(sheet, place_in, column, variants, comparison, units)
            left_in += width_in + _BETWEEN_IN
        return sheet.figure


def _write_names(sheet: page.Sheet, variants: Sequence[Variant], bottom_in: float) -> None:
    for i, variant in enumerate(variants):
        middle_in = bottom_in + _ROW_IN * (len(variants) - i - 0.5)
        said = variant.name if not variant.cause else f"{variant.name}: no result"
        sheet.write(
            page.MARGIN_IN, middle_in, cut(said, _NAMES_IN), va="center", fontsize=style.SMALL_PT,
            weight="bold" if variant.status else "normal",
        )  # fmt: skip


def _draw_column(
    sheet: page.Sheet,
    place_in: tuple[float, float, float, float],
    column: _Column,
    variants: Sequence[Variant],
    comparison: Comparison,
    units: Units,
) -> None:
    scale = unit_shown(column.unit, units)
    values = [column.of(v.figures) for v in variants]
    limit = _MARGIN_NEEDED if column.limit == "margin" else comparison.limits.get(column.limit)
    known = [scale.number(value) for value in (*values, limit, 0.0) if value is not None]
    low, high = min(known), max(known)
    room = (high - low) or 1.0
    axes = sheet.axes(*place_in)
    axes.set_xlim(low - 0.06 * room, high + 0.55 * room)
    axes.set_ylim(len(variants), 0)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.locator_params(axis="x", nbins=3)
    for i in range(len(variants)):
        axes.axhline(i + 0.5, color=style.GRID, linewidth=0.6, zorder=1)
    if limit is not None:
        axes.axvline(
            scale.number(limit), color=style.INK, linewidth=1.2, linestyle=(0, (1, 1.5)), zorder=2, label="limit"
        )  # fmt: skip
    for i, value in enumerate(values):
        if value is not None:
            axes.plot(
                [scale.number(value)], [i + 0.5], linestyle="none", marker="o", markersize=5.0, color=style.INK,
                markerfacecolor=style.PAPER, markeredgewidth=1.1, zorder=5, label=variants[i].name,
            )  # fmt: skip
            axes.annotate(
                shown(value, column.unit, units), (scale.number(value), i + 0.5), xytext=(5, 0), va="center",
                textcoords="offset points", fontsize=style.SMALL_PT, zorder=6, bbox=style.PATCH,
            )  # fmt: skip
    _write_heading(sheet, place_in, column, limit, scale.sign, units)


def _write_heading(
    sheet: page.Sheet,
    place_in: tuple[float, float, float, float],
    column: _Column,
    limit: float | None,
    sign: str,
    units: Units,
) -> None:
    left_in, bottom_in, _, height_in = place_in
    lines = [f"{column.heading} ({sign})" if sign else column.heading]
    if limit is not None:
        lines.append(f"dotted: {'needed' if column.limit == 'margin' else 'limit'} {shown(limit, column.unit, units)}")
    words = "\n".join(lines)
    base_in = bottom_in + height_in + 0.06
    sheet.write(left_in, base_in, words, fontsize=style.SMALL_PT, va="bottom")
