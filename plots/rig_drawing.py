"""The rig to scale: elevation, and plan where it has depth; every element named, with the forces found on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from plots import page
from plots.callouts import Callouts
from plots.key import KEY_IN, draw_key
from plots.legs import judged_force
from plots.rig_view import draw_view
from plots.views import View, views_of
from sim.results.drawn import Drawing
from sim.results.model import Result
from sim.results.shown import Asked, Units, asked

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SIZE = page.Size(10.5)
_LEAST_VIEWS_IN = 2.0
_AXIS_IN = 0.6
_BEFORE_KEY_IN = 0.2
_VIEW_HEIGHT_IN = 7.0
_ABOVE_IN = 0.35
_BETWEEN_IN = 0.75
_LEAST_MIDDLE_IN = 4.0
_BESIDE_VIEWS_IN = 2 * page.MARGIN_IN + _AXIS_IN + KEY_IN + _BEFORE_KEY_IN


def rig_figure(
    drawing: Drawing,
    result: Result | None = None,
    title: str = "",
    units: Asked | str = Units.SI,
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
    units, size = asked(units), size or SIZE
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
            draw_view(sheet, drawing, view, (left_in, bottom_in), (callouts, forces, units))
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
