"""Chosen elements and performers in several cases of one result, the cases over one another on common axes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING

from plots import page, style
from plots.compare_history import Columns, forces, g_loads, heights, over_one_another, tensions
from plots.legs import whole_load_note
from plots.panels import Panel
from plots.stack import stack
from plots.sweep import floor_level, limit_levels
from sim.results.comparison import History
from sim.results.model import Result
from sim.results.shown import Units

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def cases_figure(
    result: Result,
    things: Sequence[str],
    case_names: Sequence[str] = (),
    units: Units | str = Units.SI,
    size: page.Size | None = None,
) -> Figure:
    """Each element's force, and each performer's height and g load, a curve per case with the case's own figure on it.

    Args:
        result: where the cases and their traces are.
        things: elements and performers, in the order of the panels.
        case_names: the cases; all that have a trace, where none is named.
        units: 'si' (m, kN) or 'us' (ft, lbf).
        size: of the sheet, where one is asked for.

    Raises:
        KeyError: where the result has no such case or no trace of it.
        ValueError: for unknown units, things none of the cases has a history of, or a sheet that is too small.
    """
    units = Units(units)
    found = {name: History(result.cases[name], result.traces[name]) for name in case_names or result.traces}
    panels: list[Panel] = []
    for thing in dict.fromkeys(things):
        panels += _panels(result, found, thing, units)
    if not panels:
        raise ValueError(f"none of the cases has a history of {', '.join(things)}")
    unfit = [name for name, h in found.items() if h.case.audit is not None and not h.case.audit.passed]
    warnings = (f"Audit not passed: {'; '.join(unfit)}",) if unfit else ()
    notes = [f"{t}: {note}" for t in things if (note := whole_load_note(result, t))]
    subtitle = f"{', '.join(dict.fromkeys(things))} in {_so_many(found)}"
    words = page.Words(result.title, subtitle, warnings, tuple(notes), page.source_line(result.stamp))
    with page.styled():
        return stack(words, panels, [], [], "Time (s)", size)


def _so_many(found: Collection[str]) -> str:
    return "one case" if len(found) == 1 else f"{len(found)} cases"


def _panels(result: Result, found: Mapping[str, History], thing: str, units: Units) -> list[Panel]:
    looks = {name: style.curve_style(i) for i, name in enumerate(found)}
    floor, limit = floor_level(result.drawing, units), limit_levels(result.limits, "g_load", units)
    whose = f"\n{thing}"
    line, other = tensions(found, thing), forces(found, thing)
    asked: list[tuple[tuple[str, str, str], Columns, tuple]] = [
        (("Height of\nsuspension point", "m", whose), heights(found, thing), floor),
        (("g load\n(force over weight)", "", whose), g_loads(found, thing), limit),
        (("Tension,\nmost loaded span", "N", whose), line, ()),
        (("Force", "N", whose), other, ()),
    ]
    return [
        panel
        for axis, columns, levels in asked
        for panel in over_one_another(found, looks, units, axis, columns, levels)
    ]
