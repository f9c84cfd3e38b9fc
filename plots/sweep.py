"""A stop or failure at every instant: what each would give, below the speed the move has at that instant."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from itertools import chain, repeat
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from plots import page, style
from plots.chosen import chosen_of_sweep
from plots.legs import whole_load_note
from plots.panels import Curve, Level, Mark, Panel, Row, Rule
from plots.parts import in_parts
from plots.stack import stack
from sim.results.drawn import Drawing
from sim.results.model import STOP, Result, SweepTable, Trace
from sim.results.shown import Asked, Units, asked, marked, shown, unit_shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]


def sweep_figure(
    result: Result,
    sweep_name: str,
    units: Asked | str = Units.SI,
    things: Collection[str] = (),
    size: page.Size | None = None,
) -> Figure:
    """Peak g, forces, lowest heights and clearances against the instant of the stop or failure, the worst ones marked.

    A line is drawn by its most loaded span; every span has its column in the sweep's table.

    Args:
        result: where the sweep, the planned move's trace, the limits and the stamp are.
        sweep_name: a name among `result.sweeps`.
        units: 'si' (m, m/s, kN) or 'us' (ft, ft/s, lbf).
        things: the elements, performers and drives that are shown; all, where none is named.
        size: of the sheet, where one is asked for.

    Raises:
        KeyError: where the result has no such sweep.
        ValueError: for unknown units, a sweep without any column this figure shows, or a sheet that is too small.
    """
    units = asked(units)
    table = chosen_of_sweep(result.sweeps[sweep_name], things)
    lines, others = line_columns(table), _other_elements(table)
    spans = {name: _worst_span(table, name) for name in lines}
    legs = {name: whole_load_note(result, name) for name in others}
    panels = [
        *speed_panels(result.traces.get(planned_case(result)), table, units),
        *_panels(table, "peak_g", performers_of(table), units, PEAK_G, limit_levels(result.limits, "g_load", units)),
        *_panels(table, "force_N", lines, units, TENSION, more=spans),
        *_panels(table, "force_N", others, units, FORCE, more=legs),
        *_panels(table, "lowest_height_m", performers_of(table), units, LOWEST, floor_level(result.drawing, units)),
        *_panels(
            table, "clearance_m", performers_of(table), units, CLEAR, limit_levels(result.limits, "clearance_m", units)
        ),
        *_panels(table, "stopping_distance_m", drives_of(table), units, DISTANCE),
    ]
    if not any(panel.from_zero or panel.lowest for panel in panels):
        raise ValueError(f"the sweep {sweep_name!r} has none of the columns this figure shows")
    with page.styled():
        return stack(
            _words(result, table), panels, worst_rules(result, sweep_name), _rows(table), instant_axis(table), size,
            units,
        )  # fmt: skip


# Axis, SI unit, and whether the least is the worst.
Shows = tuple[str, str, bool]
PEAK_G: Shows = ("Peak g load\n(force over weight)", "", False)
TENSION: Shows = ("Peak tension,\nmost loaded span", "N", False)
FORCE: Shows = ("Peak force", "N", False)
LOWEST: Shows = ("Lowest height of\nsuspension point", "m", True)
CLEAR: Shows = ("Least clearance", "m", True)
DISTANCE: Shows = ("Stopping distance\nof drive", "m", False)


def instant_axis(table: SweepTable) -> str:
    """The name of the axis of instants: of a stop, or of what fails then."""
    return "Stop instant (s)" if table.happens == STOP else f"Instant of the failure: {table.happens} (s)"


def planned_case(result: Result) -> str:
    """The name of the case without a stop that has a trace, the planned move; '' where there is none."""
    names = [name for name, case in result.cases.items() if case.stop_time_s is None and case.kind == "working"]
    return next((name for name in names if name in result.traces), "")


def worst_rules(result: Result, sweep_name: str) -> list[Rule]:
    """A rule at the stop instant of each case the result reports of this sweep, named by what it is the worst of."""
    moments: dict[float, list[str]] = {}
    for name, case in result.cases.items():
        if case.stop_time_s is not None and name.startswith(f"{sweep_name}, worst "):
            moments.setdefault(case.stop_time_s, []).append(name.removeprefix(f"{sweep_name}, "))
    return [Rule(time_s, ", ".join(words)) for time_s, words in sorted(moments.items())]


def causes_of(table: SweepTable) -> list[str]:
    """Why each row did not finish, '' for one that did; a table that gives fewer causes than rows says no more."""
    return [cause for cause, _ in zip(chain(table.causes, repeat("")), table.stop_time_s, strict=False)]


def finished(table: SweepTable, column: str) -> Floats:
    """A column with gaps for rows that did not finish: what a run reached until then would mislead."""
    return np.where([bool(cause) for cause in causes_of(table)], np.nan, table.columns[column])


def performers_of(table: SweepTable) -> list[str]:
    """The performers of a sweep, in its order."""
    return _after(table, "peak_g")


def drives_of(table: SweepTable) -> list[str]:
    """The drives that stop in a sweep, in its order."""
    return _after(table, "stopping_distance_m")


def line_columns(table: SweepTable) -> list[str]:
    """The lines of a sweep: the elements whose spans have columns too."""
    names = _after(table, "force_N")
    return [name for name in names if any(other.startswith(f"{name}:") for other in names)]


def limit_levels(limits: Mapping[str, float], key: str, units: Asked) -> tuple[Level, ...]:
    """The limit of that key as a level, where there is one."""
    value = limits.get(key)
    if value is None:
        return ()
    if key == "g_load":
        return (Level(value, f"limit: g load {marked(f'{value:.4g}', units)}"),)
    return (Level(unit_shown("m", units).number(value), f"limit: clearance {shown(value, 'm', units)}"),)


def floor_level(drawing: Drawing | None, units: Asked) -> tuple[Level, ...]:
    """The floor and the water as levels, where the rig has them."""
    levels = {} if drawing is None else {"floor": drawing.floor_m, "water": drawing.water_m}
    number = unit_shown("m", units).number
    return tuple(Level(number(height), what, floor=True) for what, height in levels.items() if height is not None)


def speed_panels(planned: Trace | None, table: SweepTable, units: Asked) -> list[Panel]:
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


def _after(table: SweepTable, quantity: str) -> list[str]:
    """What stands after the colon in the columns of one quantity."""
    return [name.partition(":")[2] for name in table.columns if name.startswith(f"{quantity}:")]


def _other_elements(table: SweepTable) -> list[str]:
    lines = line_columns(table)
    return [n for n in _after(table, "force_N") if n not in lines and not any(n.startswith(f"{x}:") for x in lines)]


def _worst_span(table: SweepTable, line: str) -> str:
    """The span in which a line bears its peak, as words; '' where no run finished."""
    spans = {name: finished(table, name) for name in table.columns if name.startswith(f"force_N:{line}:")}
    peaks = {name: np.nanmax(values) for name, values in spans.items() if np.isfinite(values).any()}
    if not peaks:
        return ""
    return max(peaks, key=lambda name: peaks[name]).removeprefix(f"force_N:{line}:").replace(" -> ", " → ")


def _words(result: Result, table: SweepTable) -> page.Words:
    subtitle = f"{table.name}, at every instant: {len(table.stop_time_s)} instants"
    failed = sum(1 for cause in causes_of(table) if cause)
    warnings = (f"{failed} of them did not finish; they are ticked below",) if failed else ()
    # How a sweep was made stands in the result as one of its sentences.
    how = tuple(each for each in result.assumptions if each.startswith(f"{table.name}, every instant:"))
    return page.Words(result.title, subtitle, warnings, how, page.source_line(result.stamp))


def _rows(table: SweepTable) -> list[Row]:
    times = tuple(float(t) for t, cause in zip(table.stop_time_s, causes_of(table), strict=True) if cause)
    return [Row(f"not finished ({len(times)})", times)] if times else []


def _panels(
    table: SweepTable,
    quantity: str,
    names: list[str],
    units: Asked,
    shows: Shows,
    levels: tuple[Level, ...] = (),
    more: Mapping[str, str] | None = None,
) -> list[Panel]:
    """Panels of one quantity, each curve's worst instant marked with its value as the table has it, `more` beside."""
    axis, unit, lowest = shows
    scale = unit_shown(unit, units)
    panels = []
    for part in in_parts([n for n in names if f"{quantity}:{n}" in table.columns], style.CURVES_PER_PANEL):
        curves = []
        for i, name in enumerate(part):
            values = finished(table, f"{quantity}:{name}")
            note, marks = worst_mark(table, values, unit, units, lowest)
            note = f"{note}, {more[name]}" if more and more.get(name) else note
            label = name.replace(":", ": ", 1).replace(" -> ", " → ")
            curves.append(
                Curve(label, table.stop_time_s, scale.number(1.0) * values, style.curve_style(i), note, marks)
            )
        words = f"{axis} ({scale.sign})" if scale.sign else axis
        panels.append(Panel(words, tuple(curves), levels, from_zero=not lowest, lowest=lowest))
    return panels


def worst_mark(
    table: SweepTable, values: Floats, unit: str, units: Asked, lowest: bool
) -> tuple[str, tuple[Mark, ...]]:
    """The words for the worst of a column (SI, gaps allowed) and the mark on it."""
    if not np.isfinite(values).any():
        return "did not finish", ()
    pick: Callable[[Floats], np.intp] = np.nanargmin if lowest else np.nanargmax
    worst = int(pick(values))
    figure, time_s = shown(float(values[worst]), unit, units), float(table.stop_time_s[worst])
    mark = Mark(time_s, unit_shown(unit, units).number(float(values[worst])), figure)
    return f"{'lowest' if lowest else 'peak'} {figure} at {shown(time_s, 's', units)}", (mark,)
