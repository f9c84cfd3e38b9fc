"""The rig to scale: elevation, and plan where it has depth; every element named, with the forces found on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from plots import page, style, symbols, text
from plots.callouts import Callout, Callouts
from plots.ground import draw_floor, draw_scale_bar, draw_water
from plots.key import KEY_IN, draw_key
from plots.labels import Box
from plots.legs import judged_force
from plots.views import View, first_passage, views_of
from sim.results.model import Drawing, DrawnPoint, Result
from sim.results.shown import Units, unit_shown

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SIZE = page.Size(10.5)
_LEAST_VIEWS_IN = 2.0
_AXIS_IN = 0.6
_BEFORE_KEY_IN = 0.2
_VIEW_HEIGHT_IN = 7.0
_PATH_PIECES = 24
"""Into how many pieces a path is cut for keeping labels off it; it is drawn in full."""
_ABOVE_IN = 0.35
_BETWEEN_IN = 0.75
_LEAST_MIDDLE_IN = 4.0
_BESIDE_VIEWS_IN = 2 * page.MARGIN_IN + _AXIS_IN + KEY_IN + _BEFORE_KEY_IN
Stroke: TypeAlias = tuple[tuple[float, float], tuple[float, float]]
_AXES_OF_SPACE = ("x", "y", "z")


def rig_figure(
    drawing: Drawing,
    result: Result | None = None,
    title: str = "",
    units: Units | str = Units.SI,
    size: page.Size | None = None,
) -> Figure:
    """The rig at the start, with the planned paths of the performers.

    Args:
        drawing: what to draw; positions are to scale, symbols have a smallest size.
        result: where given, the largest force found on each element stands with its name, and its title, source and
            unjudged audits on the sheet.
        title: heading where no result is given.
        units: 'si' (m, kN) or 'us' (ft, lbf).
        size: of the sheet, where one is asked for.

    Raises:
        ValueError: for unknown units, or a sheet that is too small.
    """
    units, size = Units(units), size or SIZE
    words = _words(result, title)
    views, middle_in = _fitted(drawing, words, size)
    room_in = size.width_in - _BESIDE_VIEWS_IN
    forces = {name: judged_force(result, name, units) for name in result.elements} if result else {}
    with page.styled():
        sheet = page.sheet(words, size.width_in, middle_in)
        callouts = Callouts()
        bottom_in = sheet.top_in - _ABOVE_IN
        for view in views:
            bottom_in -= view.height_in
            left_in = page.MARGIN_IN + _AXIS_IN + (room_in - view.width_in) / 2
            _draw_view(sheet, drawing, view, (left_in, bottom_in), (callouts, forces, units))
            bottom_in -= _BETWEEN_IN
        drawn = {p.name for p in drawing.points} | {line.name for line in drawing.lines}
        elsewhere = {name: force for name, force in forces.items() if name not in drawn}
        kinds = list(dict.fromkeys(p.kind for p in drawing.points))
        place_in = (size.width_in - page.MARGIN_IN - KEY_IN, sheet.top_in - _ABOVE_IN)
        draw_key(sheet, place_in, (kinds, bool(drawing.paths_m), result is not None), callouts.numbered, elsewhere)
        return sheet.figure


def _fitted(drawing: Drawing, words: page.Words, size: page.Size) -> tuple[list[View], float]:
    """The views at the largest scale the sheet has room for, and the height they take with what is around them."""
    room_in = size.room_for(_BESIDE_VIEWS_IN + _LEAST_VIEWS_IN, "the rig drawing") - _BESIDE_VIEWS_IN
    around_in = _ABOVE_IN + _BETWEEN_IN * len(views_of(drawing, room_in, _VIEW_HEIGHT_IN))
    middle_in = size.middle_in(words, around_in + _VIEW_HEIGHT_IN, _LEAST_MIDDLE_IN, "the rig drawing")
    views = views_of(drawing, room_in, middle_in - around_in)
    taken_in = around_in + sum(v.height_in for v in views)
    return views, max(taken_in, _LEAST_MIDDLE_IN) if size.height_in is None else middle_in


def _words(result: Result | None, title: str) -> page.Words:
    if result is None:
        return page.Words(title or "Rig", "Rig at the start, to scale; nothing simulated")
    failed = [name for name, case in result.cases.items() if case.audit is not None and not case.audit.passed]
    warnings = (f"Audit not passed: {'; '.join(failed)}",) if failed else ()
    subtitle = "Rig at the start, to scale, with the largest force found on each element in any case"
    return page.Words(result.title, subtitle, warnings, (), page.source_line(result.stamp))


# --- one view -------------------------------------------------------------------------------------------------------


def _draw_view(
    sheet: page.Sheet,
    drawing: Drawing,
    view: View,
    corner_in: tuple[float, float],
    told: tuple[Callouts, Mapping[str, str], Units],
) -> None:
    callouts, forces, units = told
    axes = sheet.axes(*corner_in, view.width_in, view.height_in)
    unit = unit_shown("m", units)
    _set_up(axes, view, units)
    elevation = view.up == 2
    solids: list[Box] = []
    if elevation and drawing.floor_m is not None:
        solids.append(draw_floor(axes, view, drawing.floor_m, units))
    if elevation and drawing.water_m is not None:
        solids.append(draw_water(axes, view, drawing.water_m, units))
    strokes = _draw_paths(axes, view, drawing, unit.number(1.0))
    strokes += _draw_lines(axes, view, drawing, unit.number(1.0))
    if elevation:
        solids += _draw_bodies(axes, view, drawing.points, unit.number(1.0))
    solids += [_draw_point(axes, view, p, unit.number(1.0)) for p in drawing.points if p.kind != "body"]
    draw_scale_bar(axes, view, units)
    named = _point_callouts(view, drawing.points, forces if elevation else {})
    named += _line_callouts(view, drawing, forces if elevation else {})
    callouts.place(axes, Box(0.0, 0.0, view.width_in, view.height_in), named, solids, strokes)


def _set_up(axes: Axes, view: View, units: Units) -> None:
    """Equal scales, the axes' names and units, and room as the view has it."""
    unit, frame = unit_shown("m", units), view.frame
    low, high = view.up_sign * frame.bottom, view.up_sign * frame.top
    axes.set_xlim(unit.number(frame.left), unit.number(frame.right))
    axes.set_ylim(unit.number(low), unit.number(high))
    axes.set_aspect("equal", adjustable="box")
    axes.set_autoscale_on(False)
    axes.set_xlabel(f"{_AXES_OF_SPACE[view.across]} ({unit.sign})", labelpad=1.5)
    axes.set_ylabel(f"{_AXES_OF_SPACE[view.up]} ({unit.sign})", labelpad=1.5)
    axes.grid(color=style.GRID, linewidth=0.5)
    axes.set_axisbelow(True)
    axes.set_title("Elevation" if view.up == 2 else "Plan", loc="left", fontsize=style.TEXT_PT, weight="bold", pad=3)


def _draw_paths(axes: Axes, view: View, drawing: Drawing, factor: float) -> list[Stroke]:
    """Where each performer goes in the planned move: dashed, a cross at its end."""
    strokes: list[Stroke] = []
    for name, path in drawing.paths_m.items():
        once = first_passage(path, 0.01 * view.frame.width)
        x, y = [factor * p[view.across] for p in once], [factor * p[view.up] for p in once]
        end = view.spot(path[-1])
        axes.plot(x, y, color=style.SOFT, linewidth=0.9, linestyle=(0, (4, 2.5)), zorder=2.8, label=f"path of {name}")
        axes.plot(
            [factor * end[0]],
            [factor * end[1]],
            marker="x",
            color=style.SOFT,
            markersize=5,
            markeredgewidth=1.1,
            label="_end",
        )
        coarse = [*path[:: max(1, len(path) // _PATH_PIECES)], *path[-1:]]
        strokes += pairwise(view.paper_in(view.spot(p)) for p in coarse)
    return strokes


def _draw_lines(axes: Axes, view: View, drawing: Drawing, factor: float) -> list[Stroke]:
    """Each line in its own style; gives their segments in inches on paper."""
    strokes: list[Stroke] = []
    for i, line in enumerate(drawing.lines):
        look = style.curve_style(i)
        spots = [view.spot(p) for p in line.path_m]
        x, y = [factor * s[0] for s in spots], [factor * s[1] for s in spots]
        axes.plot(
            x, y, color=look.colour, linestyle=look.linestyle, linewidth=1.3, zorder=4, label=line.name,
            marker=look.marker or None, markevery=slice(1, -1), markersize=3.0,
        )  # fmt: skip
        strokes += pairwise(view.paper_in(s) for s in spots)
    return strokes


def _draw_bodies(axes: Axes, view: View, points: Sequence[DrawnPoint], factor: float) -> list[Box]:
    """A body reaches from its lowest part up by its size, to the suspension point it hangs from."""
    solids = []
    for point in points:
        if point.kind == "body" and point.size_m > 0:
            x, low = view.spot(point.position_m)
            top = (factor * x, factor * (low + point.size_m))
            half_width = symbols.draw_body(axes, top, (factor * x, factor * low), point.name)
            left, bottom = view.paper_in((x - half_width / factor, low))
            solids.append(Box(left, bottom, 2 * half_width / factor * view.in_per_m, point.size_m * view.in_per_m))
    return solids


def _draw_point(axes: Axes, view: View, point: DrawnPoint, factor: float) -> Box:
    """One point's symbol; gives the box it takes, inches on paper."""
    spot = view.spot(point.position_m)
    shown_at = (factor * spot[0], factor * spot[1])
    across_pt = point.size_m * view.in_per_m * text.POINTS_PER_INCH
    if point.kind == "sheave" and view.up == 2 and across_pt > symbols.SYMBOL_PT:
        symbols.draw_sheave(axes, shown_at, factor * point.size_m, point.name)
    else:
        symbols.draw_symbol(axes, point.kind, shown_at, point.name)
        across_pt = 1.2 * symbols.SYMBOL_PT
    size_in = across_pt / text.POINTS_PER_INCH
    x, y = view.paper_in(spot)
    return Box(x - size_in / 2, y - size_in / 2, size_in, size_in)


def _point_callouts(view: View, points: Sequence[DrawnPoint], forces: Mapping[str, str]) -> list[Callout]:
    at = [(p.name, view.paper_in(view.spot(p.position_m))) for p in points if p.kind != "body"]
    return [Callout(name, forces.get(name, ""), (spot,)) for name, spot in at]


def _line_callouts(view: View, drawing: Drawing, forces: Mapping[str, str]) -> list[Callout]:
    """A line is named along its longest segments, the middle first."""
    found = []
    for line in drawing.lines:
        paper = [view.paper_in(view.spot(p)) for p in line.path_m]
        pieces = sorted(pairwise(paper), key=lambda ab: -_length(*ab))
        spots = [
            (a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1]))
            for a, b in pieces[:2]
            for f in (0.5, 0.35, 0.65, 0.2, 0.8)
        ]
        if spots:
            found.append(Callout(line.name, forces.get(line.name, ""), tuple(spots), line=True))
    return found


def _length(a: tuple[float, float], b: tuple[float, float]) -> float:
    return ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5
