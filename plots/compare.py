"""Variants over one another: what a stop at each instant would give in every one of them, on common axes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from plots import page, style
from plots.panels import Curve, Level, Panel, Row
from plots.parts import in_parts
from plots.stack import stack
from plots.sweep import (
    CLEAR,
    DISTANCE,
    LOWEST,
    PEAK_G,
    TENSION,
    Shows,
    causes_of,
    drives_of,
    finished,
    floor_level,
    instant_axis,
    limit_levels,
    line_columns,
    performers_of,
    speed_panels,
    worst_mark,
)
from sim.results.comparison import Comparison
from sim.results.model import SweepTable, Trace
from sim.results.shown import Units, unit_shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

PER_PANEL = 12
"""Variants on one axis: they are what is compared, so more are kept together than elsewhere; all look different."""


@dataclass(frozen=True)
class _Tables:
    """The tables of one stop by variant, and each variant's look, the same in every panel."""

    tables: Mapping[str, SweepTable]
    looks: Mapping[str, style.CurveStyle]
    units: Units


def compared_sweeps(comparison: Comparison) -> list[str]:
    """The stops that were tried at every instant in at least one variant."""
    return list(dict.fromkeys(name for curves in comparison.curves.values() for name in curves.sweeps))


def compare_figure(comparison: Comparison, stop: str, units: Units | str = Units.SI) -> Figure:
    """One stop at every instant, all variants over one another: speed, g, tension, lowest height, stopping distance.

    Args:
        comparison: with the curves of its variants.
        stop: one of `compared_sweeps`.
        units: 'si' (m, m/s, kN) or 'us' (ft, ft/s, lbf).

    Raises:
        KeyError: where no variant has such a sweep.
        ValueError: for unknown units.
    """
    units = Units(units)
    whole = {name: curves.sweeps[stop] for name, curves in comparison.curves.items() if stop in curves.sweeps}
    if not whole:
        raise KeyError(stop)
    end_s = _common_end(whole)
    tables = {name: _until(table, end_s) for name, table in whole.items()}
    looks = {variant.name: style.curve_style(i) for i, variant in enumerate(comparison.variants)}
    told = _Tables(tables, looks, units)
    limits, drawing = comparison.limits, comparison.drawing
    performers = _all(tables, performers_of)
    panels = [*_speed_panels(comparison, told)]
    for performer in performers:
        whose = _whose(performer, performers)
        panels += _panels(told, f"peak_g:{performer}", PEAK_G, whose, limit_levels(limits, "g_load", units))
    lines = _all(tables, line_columns)
    for line in lines:
        panels += _panels(told, f"force_N:{line}", TENSION, _whose(line, lines))
    for performer in performers:
        whose = _whose(performer, performers)
        panels += _panels(told, f"lowest_height_m:{performer}", LOWEST, whose, floor_level(drawing, units))
        panels += _panels(told, f"clearance_m:{performer}", CLEAR, whose, limit_levels(limits, "clearance_m", units))
    drives = _all(tables, drives_of)
    for drive in drives:
        panels += _panels(told, f"stopping_distance_m:{drive}", DISTANCE, _whose(drive, drives))
    with page.styled():
        axis = instant_axis(next(iter(tables.values())))
        return stack(_words(comparison, stop, whole, end_s), panels, [], _rows(tables), axis)


def _common_end(tables: Mapping[str, SweepTable]) -> float:
    """Until when all have instants, or the last of anybody's worst instants: what comes later is rest and no worse."""
    worst = [min(float(table.stop_time_s[-1]) for table in tables.values())]
    for table in tables.values():
        for name in table.columns:
            values = finished(table, name)
            if np.isfinite(values).any():
                low = name.startswith(("lowest_height_m:", "clearance_m:"))
                worst.append(float(table.stop_time_s[np.nanargmin(values) if low else np.nanargmax(values)]))
    return max(worst)


def _until(table: SweepTable, end_s: float) -> SweepTable:
    """The rows of a table up to an instant."""
    kept = table.stop_time_s <= end_s + 1e-9
    causes = tuple(cause for cause, keep in zip(causes_of(table), kept, strict=True) if keep)
    columns = {name: column[kept] for name, column in table.columns.items()}
    return replace(table, stop_time_s=table.stop_time_s[kept], columns=columns, causes=causes)


def _all(tables: Mapping[str, SweepTable], names: Callable[[SweepTable], list[str]]) -> list[str]:
    """What any of the tables has of a kind, in order."""
    return list(dict.fromkeys(name for table in tables.values() for name in names(table)))


def _whose(name: str, among: Sequence[str]) -> str:
    """Whose a panel is, where there are several."""
    return f"\n{name}" if len(among) > 1 else ""


def _speed_panels(comparison: Comparison, told: _Tables) -> list[Panel]:
    """The move's speed above: once where all variants make the same move, else each variant's own."""
    planned = {name: comparison.curves[name].planned for name in told.tables}
    first_name, first = next(iter(planned.items()))
    if all(_same_move(first, other) for other in planned.values()):
        return speed_panels(first, told.tables[first_name], told.units)
    panels = []
    for name, table in told.tables.items():
        panels += [
            replace(
                panel, curves=tuple(replace(c, name=f"{name}: {c.name}", look=told.looks[name]) for c in panel.curves)
            )
            for panel in speed_panels(planned[name], table, told.units)
        ]
    together = tuple(curve for panel in panels for curve in panel.curves)
    return [Panel(panels[0].axis, tuple(part)) for part in in_parts(together, PER_PANEL)] if panels else []


def _same_move(a: Trace | None, b: Trace | None) -> bool:
    """Whether two planned moves ask the same of every drive, as long as both are known."""
    if a is None or b is None:
        return a is b
    speeds = [{n: c for n, c in trace.columns.items() if n.startswith("line_speed_m_s:")} for trace in (a, b)]
    if speeds[0].keys() != speeds[1].keys():
        return False
    n = min(len(a.time_s), len(b.time_s))
    return all(np.allclose(speeds[0][name][:n], speeds[1][name][:n], rtol=0.0, atol=1e-6) for name in speeds[0])


def _panels(told: _Tables, column: str, shows: Shows, whose: str, levels: tuple[Level, ...] = ()) -> list[Panel]:
    """One quantity of one thing, a curve per variant, each with its worst marked and said."""
    axis, unit, lowest = shows
    scale = unit_shown(unit, told.units)
    curves = []
    for name, table in told.tables.items():
        if column in table.columns:
            values = finished(table, column)
            note, marks = worst_mark(table, values, unit, told.units, lowest)
            values = scale.number(1.0) * values
            curves.append(Curve(name, table.stop_time_s, values, told.looks[name], note, marks))
    words = f"{axis} ({scale.sign}){whose}" if scale.sign else f"{axis}{whose}"
    return [
        Panel(words, tuple(part), levels, from_zero=not lowest, lowest=lowest) for part in in_parts(curves, PER_PANEL)
    ]


def _words(comparison: Comparison, stop: str, tables: Mapping[str, SweepTable], end_s: float) -> page.Words:
    missing = [variant.name for variant in comparison.variants if variant.name not in tables]
    warnings = (f"Without such stops: {', '.join(missing)}",) if missing else ()
    subtitle = f"{stop}, at every instant, over {comparison.over}"
    longer = [name for name, table in tables.items() if table.stop_time_s[-1] > end_s + 1e-9]
    remarks = (f"Shown until {end_s:.2f} s; nothing later is worse in any variant.",) if longer else ()
    return page.Words(comparison.title, subtitle, warnings, remarks, page.source_line(comparison.stamp))


def _rows(tables: Mapping[str, SweepTable]) -> list[Row]:
    rows = []
    for name, table in tables.items():
        times = tuple(float(t) for t, cause in zip(table.stop_time_s, causes_of(table), strict=True) if cause)
        rows += [Row(f"not finished: {name} ({len(times)})", times)] if times else []
    return rows
