"""The rig drawing moving with time: one SVG, and the data by which `moving.js` moves it; for a page or a report.

    drawn = moving_drawing(result, "planned move")
    page = drawn.svg + drawn.json() ...      # plots/moving_page.py is such a page

The SVG alone shows the start of the case. Its colours are the page's own (`--ink`, `--soft`, `--faint`, `--grid` and
`--paper`, where it sets them), so that it goes with light and dark.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from plots import page
from plots.callouts import Callouts, Written
from plots.frames import Frames, frames, trace_of_path
from plots.markup import Told, markup
from plots.rig_view import DrawnView, draw_view
from plots.views import View, views_of
from sim.results.drawn import Drawing
from sim.results.model import Result
from sim.results.shown import Asked, Units, asked, shown, unit_shown

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.figure import Figure

_WIDTH_IN, _VIEWS_HIGH_IN, _LEAST_ROOM_IN = 7.2, 6.2, 3.0
_LEFT_IN, _RIGHT_IN, _ABOVE_IN, _BETWEEN_IN = 0.55, 0.1, 0.3, 0.62
_POINTS = 72.0


@dataclass(frozen=True)
class MovingDrawing:
    """svg: an SVG element to put into a page, showing the start. data: what moves in it, for `movingDrawing` of the
    script. words: the same told in words. numbered: names that found no room, by the number that stands for them.
    """

    svg: str
    data: Mapping[str, Any]
    words: str
    numbered: Mapping[int, str]

    def json(self) -> str:
        """The data as text that may stand in a page's script element, whatever the names in it are."""
        text = json.dumps(self.data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


@dataclass(frozen=True)
class MovingViews:
    """The views of a rig as drawn at the start of a case, to be moved, and how far their places go."""

    figure: Figure
    views: tuple[DrawnView, ...]
    drawing: Drawing
    frames: Frames
    callouts: Callouts


@dataclass(frozen=True)
class Follower:
    """Something drawn that moves: in which view, how, and with which places. does: 'shift' with a place, or with a part
    of the way between two; 'body' from the first to the second; 'line' through all.
    """

    drawn: tuple[Artist, ...]
    view: int
    does: Literal["shift", "body", "line"]
    of: tuple[str, ...]
    part: float = 0.0
    line: str = ""


@lru_cache(maxsize=1)
def script() -> str:
    """What moves the drawing: `movingDrawing(svg, data).show(seconds)`, and `movingPlayer` with its controls."""
    return (Path(__file__).parent / "moving.js").read_text(encoding="utf-8")


def moving_drawing(
    result: Result, case_name: str, units: Asked | str = Units.SI, prefix: str = "moving"
) -> MovingDrawing:
    """A case of a result as a drawing that moves.

    Args:
        result: where the drawing and the case's trace are.
        case_name: a name among `result.traces`.
        units: 'si' (m, kN) or 'us' (ft, lbf).
        prefix: begins every id of the SVG, so that several can stand in one page.

    Raises:
        KeyError: where the result has no such case or no trace of it.
        ValueError: for unknown units, or a trace that does not say where everybody is.
    """
    units = asked(units)
    of = frames(result, case_name)
    made = draw_at_start(result, case_name, of, units)
    things = _name_all(followers(made), prefix)
    words = words_of(result, case_name, units)
    told = Told(f"{case_name}: the rig, moving", words, kind="moving")
    svg = markup(made.figure, prefix, told, page_colours=True).svg
    data = {
        "time_s": _short(of.time_s, 4),
        "places": {name: _axes(values) for name, values in all_places(made).items()},
        "taut": {name: [_short(spans.astype(float), 0) for spans in taut.T] for name, taut in of.taut.items()},
        "views": [_mapping(made, drawn, units) for drawn in made.views],
        "things": things,
        "readings": [_reading(r.name, r.unit, r.values, units) for r in of.readings],
    }
    numbered = {number: name for number, (name, _) in made.callouts.numbered.items()}
    return MovingDrawing(svg, data, words, numbered)


def words_of(result: Result, case_name: str, units: Asked) -> str:
    """What a moving drawing shows, in words, by the case's own figures."""
    case = result.cases[case_name]
    said = [f"The rig to scale, moving through the case {case_name}, {shown(case.duration_s, 's', units)} long."]
    for name, seen in case.performers.items():
        lowest = f"{shown(seen.lowest_height_m, 'm', units)} at {shown(seen.lowest_height_time_s, 's', units)}"
        peak = f"{shown(seen.peak_g, 'g', units)} at {shown(seen.peak_g_time_s, 's', units)}"
        said.append(f"{name} is lowest at {lowest} and feels {peak} at most.")
    return " ".join(said)


def draw_at_start(result: Result, case_name: str, of: Frames, units: Asked) -> MovingViews:
    """The views at the start of the case on a bare sheet, with room for all that moves, and the performers' paths."""
    drawing = starting(result, case_name, of)
    views = views_of(drawing, _WIDTH_IN - _LEFT_IN - _RIGHT_IN, _VIEWS_HIGH_IN, also=reached(of))
    room_in = max(_LEAST_ROOM_IN, *(view.width_in for view in views))
    height_in = sum(_ABOVE_IN + v.height_in + _BETWEEN_IN for v in views)
    with page.styled():
        sheet = page.bare(_LEFT_IN + room_in + _RIGHT_IN, height_in)
        return draw_moving(sheet, drawing, views, of, (_LEFT_IN, height_in, room_in), units)


def draw_moving(
    sheet: page.Sheet,
    drawing: Drawing,
    views: Sequence[View],
    of: Frames,
    place_in: tuple[float, float, float],
    units: Asked,
) -> MovingViews:
    """The views one below the other on a sheet. place_in: left and top, and how wide they may be, inches."""
    left_in, bottom_in, room_in = place_in
    callouts, drawn = Callouts(), []
    for view in views:
        bottom_in -= _ABOVE_IN + view.height_in
        corner_in = (left_in + (room_in - view.width_in) / 2, bottom_in)
        drawn.append(draw_view(sheet, drawing, view, corner_in, (callouts, {}, units)))
        bottom_in -= _BETWEEN_IN
    return MovingViews(sheet.figure, tuple(drawn), drawing, of, callouts)


def starting(result: Result, case_name: str, of: Frames) -> Drawing:
    """The drawing as it is at the first frame, with the paths of this case."""
    first = {name: tuple(map(float, values[0])) for name, values in of.places.items()}
    first |= {name: tuple(map(float, foot[0])) for name, (_, foot) in of.feet.items()}
    drawing, trace = result.drawing, result.traces[case_name]
    sizes = {name: float(of.places[who][0, 2] - foot[0, 2]) for name, (who, foot) in of.feet.items()}
    points = tuple(
        replace(p, position_m=first.get(p.name, p.position_m), size_m=sizes.get(p.name, p.size_m))
        for p in drawing.points
    )
    lines = tuple(
        replace(x, path_m=tuple(first.get(n, place) for n, place in zip(x.through, x.path_m, strict=True)))
        for x in drawing.lines
    )
    performers = [p.name for p in drawing.points if p.kind == "performer"]
    paths = {name: tuple(trace_of_path(trace, name)) for name in performers}
    return replace(drawing, points=points, lines=lines, paths_m=paths)


def reached(of: Frames) -> list[tuple[float, float, float]]:
    """The corners of the room each moving place keeps to."""
    every = [*of.places.values(), *(foot for _, foot in of.feet.values())]
    return [tuple(map(float, corner(values, axis=0))) for values in every for corner in (np.min, np.max)]  # pyright: ignore[reportReturnType]


# --- what moves, by its id ------------------------------------------------------------------------------------------


def followers(made: MovingViews) -> list[Follower]:
    """Each drawn thing that moves, and which places it follows."""
    of, found = made.frames, list[Follower]()
    for v, drawn in enumerate(made.views):
        found += [Follower(tuple(a), v, "shift", (n,)) for n, a in drawn.points.items() if n in of.places]
        for name, artists in drawn.bodies.items():
            if name in of.feet:
                found.append(Follower(tuple(artists), v, "body", (of.feet[name][0], f"{name}, lowest part")))
        for line in made.drawing.lines:
            if any(name in of.places for name in line.through) or not of.taut[line.name].all():
                found.append(Follower((drawn.lines[line.name],), v, "line", line.through, line=line.name))
        for written in drawn.callouts:
            if along := _follows(made.drawing, written, of):
                found.append(Follower(written.drawn, v, "shift", *along))
    return found


def _name_all(moving: Sequence[Follower], prefix: str) -> list[dict[str, Any]]:
    """Give an id to everything drawn that moves; gives what each of them follows."""
    things = []
    for number, each in enumerate(moving):
        ids = [f"{prefix}-{number}-{i}" for i in range(len(each.drawn))]
        for artist, name in zip(each.drawn, ids, strict=True):
            artist.set_gid(name)
        thing = {"ids": ids, "view": each.view, "does": each.does, "of": list(each.of)}
        more = {"part": each.part if len(each.of) == 2 and each.does == "shift" else None, "line": each.line or None}
        things.append(thing | {key: value for key, value in more.items() if value is not None})
    return things


def _follows(drawing: Drawing, written: Written, of: Frames) -> tuple[tuple[str, ...], float] | None:
    """Which place a callout goes with, or which part of which span; None where that stands still."""
    callout = written.callout
    if not callout.along:
        return ((callout.name,), 0.0) if callout.name in of.places else None
    through = next(line.through for line in drawing.lines if line.name == callout.name)
    span, part = callout.along[written.spot]
    ends = (through[span], through[span + 1])
    return (ends, part) if any(name in of.places for name in ends) else None


def all_places(made: MovingViews) -> dict[str, Any]:
    """Every place that something that moves follows: over the frames, or (3,) where it stands still."""
    still = {p.name: p.position_m for p in made.drawing.points}
    still |= {n: place for line in made.drawing.lines for n, place in zip(line.through, line.path_m, strict=True)}
    feet = {f"{name}, lowest part": foot for name, (_, foot) in made.frames.feet.items()}
    return {name: np.array(place) for name, place in still.items()} | dict(made.frames.places) | feet


def _mapping(made: MovingViews, drawn: DrawnView, units: Asked) -> dict[str, Any]:
    """How metres become points of the SVG: x = left + across * scale, y = top + up * rise."""
    factor, figure = unit_shown("m", units).number(1.0), made.figure
    (x0, y0), (x1, y1) = (
        drawn.axes.transData.transform((factor * k, factor * k)) / figure.dpi * _POINTS for k in (0, 1)
    )
    high = figure.get_size_inches()[1] * _POINTS
    view = drawn.view
    return {
        "across": view.across, "up": view.up, "left": round(float(x0), 4), "scale": round(float(x1 - x0), 6),
        "top": round(float(high - y0), 4), "rise": round(float(y1 - y0), 6),
    }  # fmt: skip


# --- numbers --------------------------------------------------------------------------------------------------------


def _short(values: Any, decimals: int) -> list[float | int]:
    """Numbers with as many decimals as can be seen."""
    rounded = np.round(np.asarray(values, dtype=float), decimals) + 0.0
    return [int(v) if v == int(v) else v for v in rounded.tolist()]


def _axes(values: Any) -> list[Any]:
    """x, y and z to the millimetre: one number each where the place does not move along it."""
    if values.ndim == 1:
        return _short(values, 3)
    axes = [_short(values[:, k], 3) for k in range(3)]
    return [axis[0] if min(axis) == max(axis) else axis for axis in axes]


def _reading(name: str, unit: str, values: Any, units: Asked) -> dict[str, Any]:
    how = unit_shown(unit, units)
    return {
        "name": name,
        "unit": how.sign,
        "decimals": how.decimals,
        "values": _short(how.number(values), how.decimals),
    }
