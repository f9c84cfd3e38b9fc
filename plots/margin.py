"""The strip right of stacked panels, where every curve and level line is named at its own end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from plots import labels, page, style, text
from plots.panels import Curve, Level, Panel, Row

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_FROM_PANEL_IN = 0.17
_KEY_IN = 0.3
_NAME_LIMIT_EM = 26.0
_BLOCK_GAP_IN = 0.05


def curve_looks(curve: Curve) -> page.Looks:
    """How a curve and its sample are drawn."""
    look = curve.look
    return {
        "color": look.colour, "linestyle": look.linestyle, "linewidth": curve.width_pt, "marker": look.marker or None,
        "markersize": 3.6, "markerfacecolor": style.PAPER, "markeredgewidth": 0.8,
    }  # fmt: skip


def level_looks(level: Level) -> page.Looks:
    """A limit as a dotted line, the floor and the water as heavy full ones."""
    if level.floor:
        return {"color": style.SOFT, "linewidth": 2.2, "linestyle": "-"}
    return {"color": style.INK, "linewidth": 1.2, "linestyle": (0, (1, 1.5))}


@dataclass(frozen=True)
class Name:
    """Lines of text beside the end of a curve or a level, the value it ends at and how its sample looks."""

    lines: tuple[str, ...]
    end: float
    looks: page.Looks

    @property
    def height_in(self) -> float:
        """Height with the gap to the next one, inches."""
        return text.height_in("\n".join(self.lines), style.SMALL_PT) + _BLOCK_GAP_IN


def names_of(panel: Panel) -> list[Name]:
    """What stands beside a panel: each curve's name and note, each level's words."""
    names = []
    for curve in panel.curves:
        lines = [line for part in (curve.name, curve.note) if part for line in text.wrap(part, _NAME_LIMIT_EM)]
        finite = curve.values[np.isfinite(curve.values)]
        end = float(finite[-1]) if len(finite) else 0.0
        names.append(Name(tuple(lines), end, {**curve_looks(curve), "markevery": [1]}))
    names += [Name(tuple(text.wrap(v.text, _NAME_LIMIT_EM)), v.value, level_looks(v)) for v in panel.levels]
    return names


def margin_in(panels: Sequence[Panel], rows: Sequence[Row]) -> float:
    """Width of the strip, inches: as wide as its longest line, which wraps beyond a limit."""
    lines = [line for p in panels for name in names_of(p) for line in name.lines]
    lines += [line for row in rows for line in text.wrap(row.text, _NAME_LIMIT_EM)[:1]]
    widest = max(text.width_in(line, style.SMALL_PT) for line in [*lines, ""])
    return _FROM_PANEL_IN + _KEY_IN + widest + 0.12


def name_ends(sheet: page.Sheet, axes: Axes, panel: Panel, place_in: tuple[float, float, float]) -> None:
    """The name and a sample of each curve and level beside its end, moved apart where ends lie close.

    Args:
        sheet: what to write on.
        axes: the panel, its vertical range set.
        panel: what it shows.
        place_in: its right edge, its bottom and its height, inches.
    """
    right_in, bottom_in, height_in = place_in
    low, high = axes.get_ylim()
    names = names_of(panel)
    ends = [bottom_in + height_in * (name.end - low) / (high - low) for name in names]
    centres = labels.spread(ends, [name.height_in for name in names], bottom_in, bottom_in + height_in)
    for name, end, centre in zip(names, ends, centres, strict=True):
        key_in = right_in + _FROM_PANEL_IN
        sheet.stroke([(right_in + 0.02, end), (key_in - 0.02, centre)], color=style.FAINT, linewidth=0.5)
        sheet.stroke([(key_in + part * _KEY_IN, centre) for part in (0, 0.5, 1)], **name.looks)
        words = "\n".join(name.lines)
        sheet.write(key_in + _KEY_IN + 0.06, centre, words, va="center", fontsize=style.SMALL_PT)


def name_row(sheet: page.Sheet, right_in: float, middle_in: float, words: str) -> None:
    """The name of a row of ticks."""
    words = cut(words, sheet.width_in - page.MARGIN_IN - right_in - _FROM_PANEL_IN)
    sheet.write(right_in + _FROM_PANEL_IN, middle_in, words, va="center", fontsize=style.SMALL_PT)


def cut(words: str, room_in: float) -> str:
    """Words on one line of small text, ended by … where the rest has no room."""
    lines = text.wrap_in(words, room_in - 0.1, style.SMALL_PT)
    return lines[0] + ("…" if len(lines) > 1 else "")
