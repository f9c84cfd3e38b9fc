"""The rig to scale at the start, for drawing. Needs no solver, so a file can be checked at once."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from sim.results.model import Drawing, DrawnLine, Run
from sim.rig.point import Vector
from sim.rig.rig import Rig

PLACES_DRAWN = 200


def drawing(rig: Rig, runs: Mapping[str, Run] | None = None) -> Drawing:
    """The rig to scale at the start, and where the performers go in the planned move: as run, else as asked."""
    where = {p.name: p.position_m for p in rig.points}
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
    return Drawing(points=rig.drawn, lines=tuple(lines), floor_m=rig.floor_m, paths_m=paths, water_m=rig.water_m)


def _asked(rig: Rig) -> dict[str, tuple[Vector, ...]]:
    """The flown paths of every performer, one after the other."""
    paths: dict[str, tuple[Vector, ...]] = {}
    for flight in rig.flights:
        way_m = np.linspace(0.0, flight.path.length_m, PLACES_DRAWN)
        places = tuple((float(x), float(y), float(z)) for x, y, z in flight.path.position_m(way_m))
        paths[flight.performer] = (*paths.get(flight.performer, ()), *places)
    return paths
