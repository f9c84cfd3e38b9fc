"""The history of one case: heights, speeds, g, tensions and forces over one time axis, with events and limits."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from plots import page, style
from plots.chosen import chosen_of_trace
from plots.events import ruled_and_ticked, warnings_of
from plots.legs import whole_load_note
from plots.panels import Curve, Level, Mark, Panel
from plots.parts import in_parts
from plots.stack import stack
from plots.sweep import floor_level
from sim.results.model import CaseResult, Peak, PerformerResult, Result, Trace
from sim.results.shown import Asked, Units, asked, marked, shown, unit_shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]

_Note: TypeAlias = tuple[str, tuple[Mark, ...]]
"""What stands beside a curve's name, and the marks on it."""

_PERFORMERS_PER_PANEL = 4
"""Half of what a panel bears, as each performer may have two curves of g."""


def history_figure(
    result: Result,
    case_name: str,
    units: Asked | str = Units.SI,
    things: Collection[str] = (),
    size: page.Size | None = None,
) -> Figure:
    """One case of a result against time; peaks, lowest heights and limits are marked with the result's own figures.

    Args:
        result: where the case, its trace, the limits and the stamp are.
        case_name: a name among `result.traces`.
        units: 'si' (m, m/s, kN) or 'us' (ft, ft/s, lbf).
        things: the elements and performers that are shown; all, where none is named.
        size: of the sheet, where one is asked for.

    Raises:
        KeyError: where the result has no such case or no trace of it.
        ValueError: for unknown units, a trace without any column this figure shows, or a sheet that is too small.
    """
    units = asked(units)
    case, trace = result.cases[case_name], chosen_of_trace(result.traces[case_name], things)
    panels = [
        *_height_panels(result, case, trace, units),
        *_speed_panels(case, trace, units),
        *_g_panels(result, case, trace, units),
        *_tension_panels(case, trace, units),
        *_force_panels(result, case, trace, units),
    ]
    if not panels:
        raise ValueError(f"the trace of {case_name!r} has none of the columns a history shows")
    rules, rows = ruled_and_ticked(case)
    with page.styled():
        return stack(_words(result, case), panels, rules, rows, "Time (s)", size, units)


def _words(result: Result, case: CaseResult) -> page.Words:
    subtitle = f"{case.name} ({case.kind})"
    return page.Words(result.title, subtitle, tuple(warnings_of(case)), case.remarks, page.source_line(result.stamp))


def _columns(trace: Trace, quantity: str) -> dict[str, Floats]:
    """The trace's columns of one quantity by what stands after the colon."""
    start = f"{quantity}:"
    return {name.removeprefix(start): c for name, c in trace.columns.items() if name.startswith(start)}


def _axis(quantity: str, unit: str, units: Asked) -> str:
    return f"{quantity} ({unit_shown(unit, units).sign})"


# --- performers -----------------------------------------------------------------------------------------------------


def _height_panels(result: Result, case: CaseResult, trace: Trace, units: Asked) -> list[Panel]:
    unit, columns = unit_shown("m", units), _columns(trace, "height_m")
    panels = []
    for names in in_parts(list(columns), _PERFORMERS_PER_PANEL):
        curves = []
        for i, name in enumerate(names):
            seen, note, marks = case.performers.get(name), "", ()
            if seen is not None:
                note = f"lowest {shown(seen.lowest_height_m, 'm', units)}"
                marks = (Mark(seen.lowest_height_time_s, unit.number(seen.lowest_height_m), note),)
                if seen.clearance_m is not None:
                    note += f", clearance {shown(seen.clearance_m, 'm', units)}"
            values = unit.number(1.0) * columns[name]
            curves.append(Curve(name, trace.time_s, values, style.curve_style(i), note, marks))
        levels = _height_levels(result, {n: case.performers[n] for n in names if n in case.performers}, units)
        performers_only = all(name in case.performers for name in names)
        axis = _axis("Height of suspension point" if performers_only else "Height of point", "m", units)
        panels.append(Panel(_two_lines(axis), tuple(curves), tuple(levels), lowest=True))
    return panels


def _height_levels(result: Result, seen: Mapping[str, PerformerResult], units: Asked) -> list[Level]:
    """Floor and water, and the clearance limit carried up to suspension-point height, where performers differ in it.

    The limit lies as far below a performer's lowest point as there was clearance to spare in the result.
    """
    unit, limit_m = unit_shown("m", units), result.limits.get("clearance_m")
    levels = [*floor_level(result.drawing, units)]
    heights: dict[float, list[str]] = {}
    for name, performer in seen.items():
        if performer.clearance_m is not None and limit_m is not None:
            height_m = performer.lowest_height_m - (performer.clearance_m - limit_m)
            heights.setdefault(round(height_m, 2), []).append(name)
    for height_m, names in heights.items():
        text = f"limit: clearance {shown(limit_m, 'm', units)}"
        whose = f" for {', '.join(names)}" if len(heights) > 1 else ""
        levels.append(Level(unit.number(height_m), text + whose))
    return levels


def _speed_panels(case: CaseResult, trace: Trace, units: Asked) -> list[Panel]:
    unit, columns = unit_shown("m/s", units), _columns(trace, "speed_m_s")
    panels = []
    for names in in_parts(list(columns), _PERFORMERS_PER_PANEL):
        curves = []
        for i, name in enumerate(names):
            seen = case.performers.get(name)
            note = f"top {shown(seen.top_speed_m_s, 'm/s', units)}" if seen else ""
            values = unit.number(1.0) * columns[name]
            curves.append(Curve(name, trace.time_s, values, style.curve_style(i), note))
        panels.append(Panel(_two_lines(_axis("Speed, up positive", "m/s", units)), tuple(curves)))
    return panels


def _g_panels(result: Result, case: CaseResult, trace: Trace, units: Asked) -> list[Panel]:
    """g as it is, and below it filtered; the limit stands in both, as a scenario may ask for either."""
    raw = _columns(trace, "g")
    limit = result.limits.get("g_load")
    levels = () if limit is None else (Level(limit, f"limit: g load {marked(f'{limit:.4g}', units)}"),)
    panels = []
    for names in in_parts(list(raw), _PERFORMERS_PER_PANEL):
        curves = []
        for i, name in enumerate(names):
            seen, note, marks = case.performers.get(name), "", ()
            if seen is not None:
                peak = shown(seen.peak_g, "", units)
                note = f"peak {peak} at {shown(seen.peak_g_time_s, 's', units)}"
                marks = (Mark(seen.peak_g_time_s, seen.peak_g, peak),)
            curves.append(Curve(name, trace.time_s, raw[name], style.curve_style(i), note, marks, width_pt=0.9))
        panels.append(Panel("g load (force over\nweight, 1 at rest)", tuple(curves), levels, from_zero=True))
        filtered = _filtered_curves(case, trace, names, units)
        if filtered:
            panels.append(Panel("g load, filtered\n(SAE J211-1)", filtered, levels, from_zero=True))
    return panels


def _filtered_curves(case: CaseResult, trace: Trace, names: Sequence[str], units: Asked) -> tuple[Curve, ...]:
    """By CFC 60, with how long it stays above each level, and by CFC 180, which leaves more of a short peak."""
    smooth, sharp = _columns(trace, "g_cfc60"), _columns(trace, "g_cfc180")
    curves = []
    for i, name in enumerate(names):
        seen = case.performers.get(name)
        if name in smooth:
            note = "" if seen is None or seen.peak_g_cfc60 is None else f"peak {shown(seen.peak_g_cfc60, '', units)}"
            if seen is not None and seen.body is not None and seen.body.above:
                times = (f"{marked(f'{a.level_g:g}', units)} g: {1e3 * a.longest_s:.0f} ms" for a in seen.body.above)
                note += f"; longest above {', '.join(times)}"
            look = style.curve_style(i)
            curves.append(Curve(f"{name}, CFC 60", trace.time_s, smooth[name], look, note, width_pt=1.4))
        if name in sharp:
            note = f"peak {shown(seen.body.peak_g_cfc180, '', units)}" if seen and seen.body else ""
            look = style.curve_style(_PERFORMERS_PER_PANEL + i, colour_of=i)
            curves.append(Curve(f"{name}, CFC 180", trace.time_s, sharp[name], look, note, width_pt=0.9))
    return tuple(curves)


# --- forces ---------------------------------------------------------------------------------------------------------


def _tension_panels(case: CaseResult, trace: Trace, units: Asked) -> list[Panel]:
    columns = _columns(trace, "tension_N")
    notes = {name: _peak_note(case.peaks[name], units) for name in columns if name in case.peaks}
    for line, peak in case.peaks.items():
        spans = [name for name in columns if name.startswith(f"{line}:")]
        if spans and not notes.keys() & set(spans):
            # Only the line's peak is known: it goes to the span it was found in, or else to the tautest.
            place = f"{line}:{peak.place}"
            span = place if place in columns else max(spans, key=lambda name: float(np.max(columns[name])))
            notes[span] = _peak_note(peak, units)
    return _newton_panels("Tension", columns, notes, trace, units)


def _force_panels(result: Result, case: CaseResult, trace: Trace, units: Asked) -> list[Panel]:
    columns = _columns(trace, "force_N")
    legs = {name: whole_load_note(result, name) for name in columns}
    notes = {name: _peak_note(case.peaks[name], units, legs[name]) for name in columns if name in case.peaks}
    return _newton_panels("Force on element", columns, notes, trace, units)


def _peak_note(peak: Peak, units: Asked, more: str = "") -> _Note:
    figure = shown(peak.force_N, "N", units)
    mark = Mark(peak.time_s, unit_shown("N", units).number(peak.force_N), figure)
    note = f"peak {figure} at {shown(peak.time_s, 's', units)}"
    return f"{note}, {more}" if more else note, (mark,)


def _newton_panels(
    quantity: str, columns: dict[str, Floats], notes: dict[str, _Note], trace: Trace, units: Asked
) -> list[Panel]:
    factor = unit_shown("N", units).number(1.0)
    panels = []
    for names in in_parts(list(columns), style.CURVES_PER_PANEL):
        curves = []
        for i, name in enumerate(names):
            note, marks = notes.get(name, ("", ()))
            label = name.replace(":", ": ", 1).replace(" -> ", " → ")
            curves.append(Curve(label, trace.time_s, factor * columns[name], style.curve_style(i), note, marks))
        panels.append(Panel(_axis(quantity, "N", units), tuple(curves), from_zero=True))
    return panels


def _two_lines(axis: str) -> str:
    """A long axis label broken before its unit."""
    return axis.replace(" (", "\n(")
