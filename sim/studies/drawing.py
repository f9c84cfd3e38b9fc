"""The rig to scale at the start, for drawing. Needs no solver, so a file can be checked at once."""

from __future__ import annotations

from collections.abc import Mapping

from sim.results.model import Drawing, DrawnLine, Run
from sim.rig.rig import Rig


def drawing(rig: Rig, runs: Mapping[str, Run] | None = None) -> Drawing:
    """The rig to scale at the start, and where the performers go in the planned move."""
    where = {p.name: p.position_m for p in rig.points}
    lines = []
    for line in rig.lines:
        if not line.strap:
            path = [tuple(a + b for a, b in zip(where[p.point], p.offset_m, strict=True)) for p in line.route]
            lines.append(DrawnLine(line.name, tuple(p.name for p in line.route), tuple(path)))  # pyright: ignore[reportArgumentType]
    paths = {}
    if runs:
        trace = next(iter(runs.values())).trace
        for p in rig.performers:
            n = max(1, len(trace.time_s) // 400)
            columns = [trace.columns[f"{c}:{p.name}"][::n] for c in ("x_m", "y_m", "height_m")]
            paths[p.name] = tuple(zip(*(map(float, c) for c in columns), strict=True))
    return Drawing(points=rig.drawn, lines=tuple(lines), floor_m=rig.floor_m, paths_m=paths)
