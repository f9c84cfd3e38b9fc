"""One case of every variant over time: heights, g and tensions over one another on common axes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from plots import page, style
from plots.compare import PER_PANEL
from plots.panels import Curve, Level, Mark, Panel
from plots.parts import in_parts
from plots.stack import stack
from plots.sweep import floor_level, limit_levels
from sim.results.comparison import Comparison, History
from sim.results.model import Peak
from sim.results.shown import Units, shown, unit_shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Peaked = tuple[float, float, str]
"""A case's own figure for a curve: value (SI), time (s) and what it is called."""


def compared_cases(comparison: Comparison) -> list[str]:
    """The cases of no sweep that at least two variants have."""
    names = [name for curves in comparison.curves.values() for name in curves.histories]
    return [name for name in dict.fromkeys(names) if names.count(name) > 1]


def compare_history_figure(comparison: Comparison, case: str, units: Units | str = Units.SI) -> Figure:
    """One case of all variants over one another: height, g and the tension of each line's most loaded span.

    Args:
        comparison: with the curves of its variants.
        case: one of `compared_cases`.
        units: 'si' (m, kN) or 'us' (ft, lbf).

    Raises:
        KeyError: where no variant has such a case.
        ValueError: for unknown units, or histories without any column this figure shows.
    """
    units = Units(units)
    found = {name: curves.histories[case] for name, curves in comparison.curves.items() if case in curves.histories}
    if not found:
        raise KeyError(case)
    looks = {variant.name: style.curve_style(i) for i, variant in enumerate(comparison.variants)}
    performers = list(dict.fromkeys(name for history in found.values() for name in history.case.performers))
    lines = list(dict.fromkeys(name for history in found.values() for name in _lines(history)))
    floor, limit = floor_level(comparison.drawing, units), limit_levels(comparison.limits, "g_load", units)
    panels = []
    for who in performers:
        whose = f"\n{who}" if len(performers) > 1 else ""
        panels += over_one_another(
            found, looks, units, ("Height of\nsuspension point", "m", whose), heights(found, who), floor
        )
        panels += over_one_another(
            found, looks, units, ("g load\n(force over weight)", "", whose), g_loads(found, who), limit
        )
    for line in lines:
        whose = f"\n{line}" if len(lines) > 1 else ""
        axis = ("Tension,\nmost loaded span", "N", whose)
        panels += over_one_another(found, looks, units, axis, tensions(found, line))
    if not panels:
        raise ValueError(f"the histories of {case!r} have none of the columns this figure shows")
    subtitle = f"{case}, over {comparison.over}"
    missing = [variant.name for variant in comparison.variants if variant.name not in found]
    warnings = (f"Without this case: {', '.join(missing)}",) if missing else ()
    words = page.Words(comparison.title, subtitle, warnings, (), page.source_line(comparison.stamp))
    with page.styled():
        return stack(words, panels, [], [], "Time (s)")


Columns = Mapping[str, tuple[str, Peaked]]
"""By variant: the trace's column that is drawn, and the case's own figure marked on it."""


def heights(found: Mapping[str, History], who: str) -> Columns:
    """A performer's height, marked where it is lowest."""
    seen = {name: history.case.performers[who] for name, history in found.items() if who in history.case.performers}
    return {n: (f"height_m:{who}", (s.lowest_height_m, s.lowest_height_time_s, "lowest")) for n, s in seen.items()}


def g_loads(found: Mapping[str, History], who: str) -> Columns:
    """A performer's g load, marked where it is greatest."""
    seen = {name: history.case.performers[who] for name, history in found.items() if who in history.case.performers}
    return {n: (f"g:{who}", (s.peak_g, s.peak_g_time_s, "peak")) for n, s in seen.items()}


def tensions(found: Mapping[str, History], line: str) -> Columns:
    """A line's tension in the span that bears its peak."""
    return {n: (f"tension_N:{line}:{p.place}", (p.force_N, p.time_s, "peak")) for n, p in _peaks(found, line).items()}


def forces(found: Mapping[str, History], element: str) -> Columns:
    """The force on an element that is no line."""
    return {n: (f"force_N:{element}", (p.force_N, p.time_s, "peak")) for n, p in _peaks(found, element).items()}


def _peaks(found: Mapping[str, History], element: str) -> dict[str, Peak]:
    return {name: history.case.peaks[element] for name, history in found.items() if element in history.case.peaks}


def _lines(history: History) -> list[str]:
    """The lines of a history: what has spans."""
    spans = [name.removeprefix("tension_N:") for name in history.trace.columns if name.startswith("tension_N:")]
    return [name for name in history.case.peaks if any(span.startswith(f"{name}:") for span in spans)]


def over_one_another(
    found: Mapping[str, History],
    looks: Mapping[str, style.CurveStyle],
    units: Units,
    axis: tuple[str, str, str],
    columns: Columns,
    levels: tuple[Level, ...] = (),
) -> list[Panel]:
    """One quantity, a curve per variant, each with the case's own figure marked and said."""
    what, unit, whose = axis
    scale, lowest = unit_shown(unit, units), unit == "m"
    curves = []
    for name, (column, (value, time_s, word)) in columns.items():
        trace = found[name].trace
        if column in trace.columns:
            figure = shown(value, unit, units)
            note = f"{word} {figure} at {shown(time_s, 's', units)}"
            marks = (Mark(time_s, scale.number(value), figure),)
            values = scale.number(1.0) * trace.columns[column]
            curves.append(Curve(name, trace.time_s, values, looks[name], note, marks))
    words = f"{what} ({scale.sign}){whose}" if scale.sign else f"{what}{whose}"
    return [
        Panel(words, tuple(part), levels, from_zero=not lowest, lowest=lowest) for part in in_parts(curves, PER_PANEL)
    ]
