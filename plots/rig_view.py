"""One view of the rig: floor, paths, lines, bodies and points to scale, each named; and what was drawn of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from plots import page, scale, style, symbols, text
from plots.callouts import Callout, Callouts, Written
from plots.ground import draw_floor, draw_scale_bar, draw_water
from plots.labels import Box
from plots.views import View, first_passage
from sim.results.drawn import Drawing, DrawnPoint
from sim.results.shown import Asked, unit_shown

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D

_PATH_PIECES = 24
"""Into how many pieces a path is cut for keeping labels off it; it is drawn in full."""
Stroke: TypeAlias = tuple[tuple[float, float], tuple[float, float]]
_AXES_OF_SPACE = ("x", "y", "z")


@dataclass
class DrawnView:
    """A view and what was drawn in it, by name, so that it can be moved."""

    axes: Axes
    view: View
    points: dict[str, list[Artist]] = field(default_factory=dict)
    bodies: dict[str, list[Artist]] = field(default_factory=dict)
    lines: dict[str, Line2D] = field(default_factory=dict)
    callouts: list[Written] = field(default_factory=list)


def draw_view(
    sheet: page.Sheet,
    drawing: Drawing,
    view: View,
    corner_in: tuple[float, float],
    told: tuple[Callouts, Mapping[str, str], Asked],
) -> DrawnView:
    """Draw a view with its lower left corner there, inches. told: where names go, forces to tell with them, units."""
    callouts, forces, units = told
    axes = sheet.axes(*corner_in, view.width_in, view.height_in)
    made, factor = DrawnView(axes, view), unit_shown("m", units).number(1.0)
    _set_up(axes, view, units)
    elevation = view.up == 2
    solids: list[Box] = []
    if elevation and drawing.floor_m is not None:
        solids.append(draw_floor(axes, view, drawing.floor_m, units))
    if elevation and drawing.water_m is not None:
        solids.append(draw_water(axes, view, drawing.water_m, units))
    strokes = _draw_paths(axes, view, drawing, factor)
    strokes += _draw_lines(made, drawing, factor)
    if elevation:
        solids += _draw_bodies(made, drawing.points, factor)
    solids += [_draw_point(made, p, factor) for p in drawing.points if p.kind != "body"]
    draw_scale_bar(axes, view, units)
    named = _point_callouts(view, drawing.points, forces if elevation else {})
    named += _line_callouts(view, drawing, forces if elevation else {})
    made.callouts = callouts.place(axes, Box(0.0, 0.0, view.width_in, view.height_in), named, solids, strokes)
    return made


def _set_up(axes: Axes, view: View, units: Asked) -> None:
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
    scale.write_marked(axes, units)
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


def _draw_lines(made: DrawnView, drawing: Drawing, factor: float) -> list[Stroke]:
    """Each line in its own style; gives their segments in inches on paper."""
    view, strokes = made.view, list[Stroke]()
    for i, line in enumerate(drawing.lines):
        look = style.curve_style(i)
        spots = [view.spot(p) for p in line.path_m]
        x, y = [factor * s[0] for s in spots], [factor * s[1] for s in spots]
        (made.lines[line.name],) = made.axes.plot(
            x, y, color=look.colour, linestyle=look.linestyle, linewidth=1.3, zorder=4, label=line.name,
            marker=look.marker or None, markevery=slice(1, -1), markersize=3.0,
        )  # fmt: skip
        strokes += pairwise(view.paper_in(s) for s in spots)
    return strokes


def _draw_bodies(made: DrawnView, points: Sequence[DrawnPoint], factor: float) -> list[Box]:
    """A body reaches from its lowest part up by its size, to the suspension point it hangs from."""
    view, solids = made.view, []
    for point in points:
        if point.kind == "body" and point.size_m > 0:
            x, low = view.spot(point.position_m)
            top = (factor * x, factor * (low + point.size_m))
            half_width, drawn = symbols.draw_body(made.axes, top, (factor * x, factor * low), point.name)
            made.bodies[point.name] = drawn
            left, bottom = view.paper_in((x - half_width / factor, low))
            solids.append(Box(left, bottom, 2 * half_width / factor * view.in_per_m, point.size_m * view.in_per_m))
    return solids


def _draw_point(made: DrawnView, point: DrawnPoint, factor: float) -> Box:
    """One point's symbol; gives the box it takes, inches on paper."""
    view = made.view
    spot = view.spot(point.position_m)
    shown_at = (factor * spot[0], factor * spot[1])
    across_pt = point.size_m * view.in_per_m * text.POINTS_PER_INCH
    if point.kind == "sheave" and view.up == 2 and across_pt > symbols.SYMBOL_PT:
        made.points[point.name] = symbols.draw_sheave(made.axes, shown_at, factor * point.size_m, point.name)
    else:
        made.points[point.name] = symbols.draw_symbol(made.axes, point.kind, shown_at, point.name)
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
        pieces = sorted(enumerate(pairwise(paper)), key=lambda piece: -_length(*piece[1]))[:2]
        along = [(k, f) for k, _ in pieces for f in (0.5, 0.35, 0.65, 0.2, 0.8)]
        spots = [_between(paper[k], paper[k + 1], f) for k, f in along]
        if spots:
            callout = Callout(line.name, forces.get(line.name, ""), tuple(spots), line=True, along=tuple(along))
            found.append(callout)
    return found


def _between(a: tuple[float, float], b: tuple[float, float], part: float) -> tuple[float, float]:
    return a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])


def _length(a: tuple[float, float], b: tuple[float, float]) -> float:
    return ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5
