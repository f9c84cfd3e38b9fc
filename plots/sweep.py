"""A stop at every instant: what each instant would give, below the speed the move has at that instant."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from plots import page, style
from plots.panels import Curve, Level, Mark, Panel, Row, Rule
from plots.parts import in_parts
from plots.stack import stack
from sim.results.model import Result, SweepTable, Trace
from sim.results.shown import Units, shown, unit_shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]


def sweep_figure(result: Result, sweep_name: str, units: Units | str = Units.SI) -> Figure:
    """Peak g, forces, lowest heights and clearances against the instant of the stop, the worst instants marked.

    Args:
        result: where the sweep, the planned move's trace, the limits and the stamp are.
        sweep_name: a name among `result.sweeps`.
        units: 'si' (m, m/s, kN) or 'us' (ft, ft/s, lbf).

    Raises:
        KeyError: where the result has no such sweep.
        ValueError: for unknown units, or a sweep without any column this figure shows.
    """
    units = Units(units)
    table = result.sweeps[sweep_name]
    g_limit, clearance_m = result.limits.get("g_load"), result.limits.get("clearance_m")
    panels = [
        *_speed_panels(planned_trace(result), table, units),
        *_panels(table, "peak_g", "", "Peak g load\n(force over weight)", units, _limit(g_limit, "", "g load", units)),
        *_panels(table, "lowest_height_m", "m", "Lowest height of\nsuspension point", units, (), lowest=True),
        *_panels(
            table,
            "clearance_m",
            "m",
            "Least clearance",
            units,
            _limit(clearance_m, "m", "clearance", units),
            lowest=True,
        ),
        *_panels(table, "force_N", "N", "Peak force", units, ()),
        *_panels(table, "stopping_distance_m", "m", "Stopping distance\nof drive", units, ()),
    ]
    if not any(panel.from_zero or panel.lowest for panel in panels):
        raise ValueError(f"the sweep {sweep_name!r} has none of the columns this figure shows")
    with page.styled():
        return stack(_words(result, table), panels, worst_rules(result, sweep_name), _rows(table), "Stop instant (s)")


def planned_trace(result: Result) -> Trace | None:
    """The trace of the case without a stop: the planned move."""
    names = [name for name, case in result.cases.items() if case.stop_time_s is None and case.kind == "working"]
    return next((result.traces[name] for name in names if name in result.traces), None)


def worst_rules(result: Result, sweep_name: str) -> list[Rule]:
    """A rule at the stop instant of each case the result reports of this sweep, named by what it is the worst of."""
    moments: dict[float, list[str]] = {}
    for name, case in result.cases.items():
        if case.stop_time_s is not None and name.startswith(f"{sweep_name}, "):
            moments.setdefault(case.stop_time_s, []).append(name.removeprefix(f"{sweep_name}, "))
    return [Rule(time_s, ", ".join(words)) for time_s, words in sorted(moments.items())]


def _words(result: Result, table: SweepTable) -> page.Words:
    subtitle = f"{table.name}, at every instant: {len(table.stop_time_s)} stops"
    failed = sum(1 for cause in table.causes if cause)
    warnings = (f"{failed} of them did not finish; they are ticked below",) if failed else ()
    return page.Words(result.title, subtitle, warnings, (), page.source_line(result.stamp))


def _rows(table: SweepTable) -> list[Row]:
    times = tuple(float(t) for t, cause in zip(table.stop_time_s, table.causes, strict=False) if cause)
    return [Row(f"not finished ({len(times)})", times)] if times else []


def _limit(value: float | None, unit: str, word: str, units: Units) -> tuple[Level, ...]:
    if value is None:
        return ()
    figure = shown(value, unit, units) if unit else f"{value:.4g}"
    return (Level(unit_shown(unit, units).number(value), f"limit: {word} {figure}"),)


def _speed_panels(planned: Trace | None, table: SweepTable, units: Units) -> list[Panel]:
    """Line speed of each drive in the planned move, over the instants of the sweep."""
    if planned is None:
        return []
    within = (planned.time_s >= table.stop_time_s[0]) & (planned.time_s <= table.stop_time_s[-1])
    unit = unit_shown("m/s", units)
    columns = [(name, c) for name, c in planned.columns.items() if name.startswith("line_speed_m_s:")]
    panels = []
    for part in in_parts(columns if within.any() else [], style.CURVES_PER_PANEL):
        curves = [
            Curve(name.partition(":")[2], planned.time_s[within], unit.number(1.0) * c[within], style.curve_style(i))
            for i, (name, c) in enumerate(part)
        ]
        panels.append(Panel(f"Planned line speed,\npaying out positive\n({unit.sign})", tuple(curves)))
    return panels


def _panels(
    table: SweepTable,
    quantity: str,
    unit: str,
    axis: str,
    units: Units,
    levels: tuple[Level, ...],
    lowest: bool = False,
) -> list[Panel]:
    """Panels of one quantity, each curve's worst instant marked with its value as the table has it."""
    scale = unit_shown(unit, units)
    pick: Callable[[Floats], np.intp] = np.nanargmin if lowest else np.nanargmax
    # A run that did not finish has no worst; what it reached until then would mislead.
    unfinished = np.array([bool(cause) for cause in table.causes] or [False] * len(table.stop_time_s))
    columns = [
        (n.partition(":")[2], np.where(unfinished, np.nan, c))
        for n, c in table.columns.items()
        if n.startswith(f"{quantity}:")
    ]
    panels = []
    for part in in_parts(columns, style.CURVES_PER_PANEL):
        curves = []
        for i, (name, values) in enumerate(part):
            note, marks = "did not finish", ()
            if np.isfinite(values).any():
                worst = int(pick(values))
                figure, time_s = shown(float(values[worst]), unit, units), float(table.stop_time_s[worst])
                note = f"{'lowest' if lowest else 'peak'} {figure} at {shown(time_s, 's', units)}"
                marks = (Mark(time_s, scale.number(float(values[worst])), figure),)
            label = name.replace(":", ": ", 1).replace(" -> ", " → ")
            curves.append(
                Curve(label, table.stop_time_s, scale.number(1.0) * values, style.curve_style(i), note, marks)
            )
        words = f"{axis} ({scale.sign})" if scale.sign else axis
        panels.append(Panel(words, tuple(curves), levels, from_zero=not lowest, lowest=lowest))
    return panels
