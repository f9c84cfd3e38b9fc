"""What differs between two results at a glance: inputs that changed, and the figures furthest apart on one axis."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from plots import page, style
from plots.margin import cut
from sim.results.difference import ALIKE, FIRST, SECOND, Difference, Kind
from sim.results.difference_words import change_words, count_words, value_words, verdict_of_differences
from sim.results.shown import Units
from sim.results.two_results import Compared, Side

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_IN = 11.0
MOST_FIGURES, MOST_CURVES, MOST_WORDS = 30, 10, 15
_ROW_IN = 0.19
_HEAD_IN = 0.34
_AXIS_IN = 0.55
_WHERE_IN = 4.1
_CHANGE_IN = 3.2
_TICKS = {1e-15: "1e-15", 1e-12: "1e-12", 1e-9: "1e-9", 1e-6: "1e-6", 1e-4: "0.01 %", 1e-2: "1 %", 1.0: "100 %"}
_LEAST, _MOST = 1e-17, 1.0


def differences_figure(compared: Compared, units: Units | str = Units.SI) -> Figure:
    """Inputs and outcomes that changed in words; figures and curves by how far they are apart, worst first.

    Args:
        compared: two results beside each other.
        units: 'si' or 'us', of what is written beside each point.

    Raises:
        ValueError: for unknown units.
    """
    units = Units(units)
    told = compared.differences.of(Kind.INPUT, Kind.OUTCOME)[:MOST_WORDS]
    drawn = _drawn(compared)
    heights_in = [_block_in(told), _block_in(drawn) + (_AXIS_IN if drawn else 0.0)]
    with page.styled():
        sheet = page.sheet(_words(compared, len(told), len(drawn)), WIDTH_IN, max(sum(heights_in), 0.1) + 0.1)
        top_in = sheet.top_in - 0.1
        if told:
            _write_words(sheet, told, top_in, compared, units)
        if drawn:
            _draw(sheet, drawn, top_in - heights_in[0], compared, units)
        return sheet.figure


def _drawn(compared: Compared) -> list[Difference]:
    """Figures, then curves, that both results have, the furthest apart of each."""
    chosen: list[Difference] = []
    for kind, most in ((Kind.FIGURE, MOST_FIGURES), (Kind.CURVE, MOST_CURVES)):
        chosen += [e for e in compared.differences.of(kind) if e.relative is not None and not e.only][:most]
    return chosen


def _block_in(rows: Sequence[Difference]) -> float:
    return _HEAD_IN + _ROW_IN * len(rows) + 0.1 if rows else 0.0


def _words(compared: Compared, told: int, drawn: int) -> page.Words:
    first, second, found = compared.first, compared.second, compared.differences
    remarks = [f"{_told(side)}" for side in (first, second)]
    for side, which in ((first, FIRST), (second, SECOND)):
        alone = [e for e in found.of(Kind.FIGURE, Kind.CURVE) if e.only == which]
        remarks += [f"Only in {side.name}: {count_words(alone)}."] if alone else []
    more = len(found.of(Kind.INPUT, Kind.OUTCOME)) - told
    remarks += [f"{more} more inputs and outcomes differ; the table has them."] if more > 0 else []
    rest = sum(1 for e in found.of(Kind.FIGURE, Kind.CURVE) if e.relative is not None and not e.only) - drawn
    remarks += [f"{rest} more figures and curves differ, none of a kind further apart than shown."] if rest > 0 else []
    warnings = [note for note in compared.notes if "altered or missing" in note]
    return page.Words(
        f"{first.name} against {second.name}", verdict_of_differences(compared), tuple(warnings), tuple(remarks),
        page.source_line({"version": second.version}),
    )  # fmt: skip


def _told(side: Side) -> str:
    """What one of the two is: title, maker, and by which input."""
    source = page.source_line({"version": side.version, "files": side.files})
    return f"{side.name}: {side.title}{f', revision {side.revision}' if side.revision else ''}  ·  {source}"


def _write_words(
    sheet: page.Sheet, rows: Sequence[Difference], top_in: float, compared: Compared, units: Units
) -> None:
    """What changed, in three columns of text."""
    columns_in = (page.MARGIN_IN, page.MARGIN_IN + _WHERE_IN, page.MARGIN_IN + _WHERE_IN + 2.4)
    rooms_in = (_WHERE_IN, 2.4, WIDTH_IN - page.MARGIN_IN - columns_in[2])
    heads = ("Inputs and outcomes that differ", compared.first.name, compared.second.name)
    for left_in, room_in, head in zip(columns_in, rooms_in, heads, strict=True):
        sheet.write(left_in, top_in - _HEAD_IN + 0.12, cut(head, room_in), fontsize=style.SMALL_PT, weight="bold")
    for number, each in enumerate(rows):
        middle_in = top_in - _HEAD_IN - _ROW_IN * (number + 0.5)
        change = "" if each.only else change_words(each, units)
        values = [value_words(each.first, each.unit, units), value_words(each.second, each.unit, units)]
        cells = (each.words, values[0], values[1] + (f" ({change})" if change else ""))
        for left_in, room_in, cell in zip(columns_in, rooms_in, cells, strict=True):
            sheet.write(left_in, middle_in, cut(cell, room_in), va="center", fontsize=style.SMALL_PT)


def _draw(sheet: page.Sheet, rows: Sequence[Difference], top_in: float, compared: Compared, units: Units) -> None:
    """One row a number: how far apart on a common axis, up or down, what was claimed, and both values."""
    left_in = page.MARGIN_IN + _WHERE_IN
    width_in = WIDTH_IN - page.MARGIN_IN - _CHANGE_IN - left_in
    bottom_in = top_in - _HEAD_IN - _ROW_IN * len(rows)
    axes = sheet.axes(left_in, bottom_in, width_in, _ROW_IN * len(rows))
    _prepare(axes, rows)
    for number, each in enumerate(rows):
        _draw_row(axes, number + 0.5, each)
        middle_in = bottom_in + _ROW_IN * (len(rows) - number - 0.5)
        when = f", {each.at_s:.4g} s" if each.at_s is not None else ""
        sheet.write(
            page.MARGIN_IN, middle_in, cut(each.words + when, _WHERE_IN), va="center", fontsize=style.SMALL_PT
        )  # fmt: skip
        values = [value_words(value, each.unit, units) for value in (each.first, each.second)]
        said = f"{values[0]} → {values[1]} ({change_words(each, units)})"
        at_in = WIDTH_IN - page.MARGIN_IN - _CHANGE_IN + 0.15
        sheet.write(at_in, middle_in, cut(said, _CHANGE_IN - 0.1), va="center", fontsize=style.SMALL_PT)
    head_in = top_in - _HEAD_IN + 0.12
    heads = (
        (page.MARGIN_IN, "Figures, then curves, furthest apart first"),
        (left_in, "apart, as a share of the larger"),
        (WIDTH_IN - page.MARGIN_IN - _CHANGE_IN + 0.15, f"{compared.first.name} → {compared.second.name}"),
    )
    for at_in, head in heads:
        sheet.write(at_in, head_in, cut(head, 4.0), fontsize=style.SMALL_PT, weight="bold")
    key = "▲ more in the second   ▼ less   | claimed by the runs   dotted: alike"
    sheet.write(left_in, bottom_in - 0.45, key, fontsize=style.SMALL_PT)


def _prepare(axes: Axes, rows: Sequence[Difference]) -> None:
    known = [_place(each.relative or _LEAST) for each in rows] + [e.claimed for e in rows if e.claimed] + [ALIKE]
    axes.set_xscale("log")
    axes.set_xlim(10.0 ** (math.floor(math.log10(max(min(known), _LEAST))) - 0.3), 2.0 * _MOST)
    axes.set_ylim(len(rows), 0)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.minorticks_off()
    axes.set_xticks([each for each in _TICKS if each >= axes.get_xlim()[0]])
    axes.set_xticklabels([_TICKS[each] for each in _TICKS if each >= axes.get_xlim()[0]])
    axes.axvline(ALIKE, color=style.INK, linewidth=1.0, linestyle=(0, (1, 1.5)), zorder=2, label="alike")


def _draw_row(axes: Axes, y: float, each: Difference) -> None:
    axes.axhline(y, color=style.GRID, linewidth=0.6, zorder=1)
    if each.claimed:
        axes.plot([each.claimed], [y], linestyle="none", marker="|", markersize=7.0, color=style.SOFT, zorder=3)
    axes.plot(
        [_place(each.relative or _LEAST)], [y], linestyle="none", marker="^" if (each.absolute or 0.0) > 0 else "v",
        markersize=4.5, color=style.INK, markerfacecolor=style.PAPER, markeredgewidth=1.1, zorder=5, label=each.words,
    )  # fmt: skip


def _place(relative: float) -> float:
    """Where a difference stands on the axis; what is no number on one side stands at its end."""
    return min(max(relative, _LEAST), _MOST)
