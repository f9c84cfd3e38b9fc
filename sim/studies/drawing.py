"""The rig to scale at the start, for drawing. Needs no solver, so a file can be checked at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import dist

import numpy as np

from sim.results.drawn import Drawing, DrawnLine
from sim.results.model import Run
from sim.rig.point import Vector
from sim.rig.rig import Rig
from sim.studies.carried import carried, named_points, place_at_first

PLACES_DRAWN = 200
_TO_BE_SEEN_M = 1e-3


def drawing(rig: Rig, runs: Mapping[str, Run] | None = None) -> Drawing:
    """The rig to scale at the start, and where the performers go in the planned move: as run, else as asked."""
    moved = _moved(rig, runs)
    where = {p.name: _plus(p.position_m, moved.get(p.name)) for p in rig.points}
    lines = []
    for line in rig.lines:
        if not line.strap:
            path = [tuple(a + b for a, b in zip(where[p.point], p.offset_m, strict=True)) for p in line.route]
            lines.append(DrawnLine(line.name, tuple(p.name for p in line.route), tuple(path)))  # pyright: ignore[reportArgumentType]
    paths: dict[str, tuple[Vector, ...]] = {}
    if runs:
        trace = next(iter(runs.values())).trace
        for p in rig.performers:
            n = max(1, len(trace.time_s) // 400)
            columns = [trace.columns[f"{c}:{p.name}"][::n] for c in ("x_m", "y_m", "height_m")]
            paths[p.name] = tuple(zip(*(map(float, c) for c in columns), strict=True))
    else:
        paths = _asked(rig)
    whose = (
        {f"{p.name} body": p.suspension for p in rig.performers}
        | {s.name: s.point for s in rig.sheaves}
        | dict(rig.anchors)
    )
    points = tuple(replace(p, position_m=_plus(p.position_m, moved.get(whose.get(p.name, p.name)))) for p in rig.drawn)
    return Drawing(points, tuple(lines), rig.floor_m, paths_m=paths, water_m=rig.water_m, carried=carried(rig))


def _moved(rig: Rig, runs: Mapping[str, Run] | None) -> dict[str, Vector]:
    """How far from where the scenario has them points are at rest, as run: a junction may be a first guess there."""
    if not runs:
        return {}
    columns, found = next(iter(runs.values())).trace.columns, {}
    for name, point in named_points(rig):
        at, asked = place_at_first(columns, name), rig.point(point).position_m
        if at is not None and dist(at, asked) > _TO_BE_SEEN_M:
            found[point] = (at[0] - asked[0], at[1] - asked[1], at[2] - asked[2])
    return found


def _plus(place: Vector, moved: Vector | None) -> Vector:
    return place if moved is None else (place[0] + moved[0], place[1] + moved[1], place[2] + moved[2])


def _asked(rig: Rig) -> dict[str, tuple[Vector, ...]]:
    """The flown paths of every performer, one after the other."""
    paths: dict[str, tuple[Vector, ...]] = {}
    for flight in rig.flights:
        way_m = np.linspace(0.0, flight.path.length_m, PLACES_DRAWN)
        places = tuple((float(x), float(y), float(z)) for x, y, z in flight.path.position_m(way_m))
        paths[flight.performer] = (*paths.get(flight.performer, ()), *places)
    return paths
