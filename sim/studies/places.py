"""Where everything that moves is over time, and which line is taut, for drawing: columns beside the figures'."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from sim.dynamics import modes as md
from sim.dynamics import orders as od
from sim.dynamics import tables as tb
from sim.dynamics.run import Raw, Ready, orders_for
from sim.dynamics.watch import Watched, table
from sim.results.drawn import Carried
from sim.results.model import Floats
from sim.rig.rig import Rig

_AXES = (("x_m", tb.OBS_X), ("y_m", tb.OBS_Y), ("z_m", tb.OBS_Z))


@lru_cache(maxsize=16)
def watched_everywhere(of: Ready) -> Ready:
    """The same rig with the place of each moving point watched too, after all else: no other figure changes."""
    rig, there = of.rig, {c.column for c in of.columns}
    more = [
        Watched(f"{axis}:{name}", kind, rig.index(point))
        for name, point in named_points(rig)
        if rig.point(point).start != "fixed"
        for axis, kind in _AXES
        if f"{axis}:{name}" not in there and not (axis == "z_m" and f"height_m:{name}" in there)
    ]
    columns = (*of.columns, *more)
    model = of.start.model._replace(observables=table(columns))
    return replace(of, columns=columns, start=replace(of.start, model=model))


def named_points(rig: Rig) -> Iterator[tuple[str, str]]:
    """Each point that is drawn, under the name its columns have: its own, or that of what alone sits on it."""
    drawn = {each.name for each in rig.drawn}
    sits = {s.point: s.name for s in rig.sheaves} | {point: name for name, point in rig.anchors.items()}
    for point in rig.points:
        if point.name in drawn:
            yield point.name, point.name
        elif point.name in sits:
            yield sits[point.name], point.name


def carried(rig: Rig) -> dict[str, Carried]:
    """What every drawn place that moves goes with, and how far from it: bodies do not rotate, so that never changes."""
    names = {point: name for name, point in named_points(rig) if rig.point(point).start != "fixed"}
    found = {name: Carried(name) for name in names.values()}
    on = {s.name: s.point for s in rig.sheaves} | dict(rig.anchors)
    found |= {name: Carried(names[point]) for name, point in on.items() if point in names and name not in found}
    for line in rig.lines:
        for place in line.route:
            if not line.strap and place.point in names and (place.name not in found or any(place.offset_m)):
                found[place.name] = Carried(names[place.point], place.offset_m)
    return found


def taut_spans(raw: Raw) -> dict[str, Floats]:
    """For each sample and span of line: 1 where all of it is taut, 0 where it is slack or parted (n,).

    A span's tension does not tell: slack line still bears its own weight.
    """
    rig, of = raw.ready.rig, raw.ready
    changes = _changes(raw)
    out = {}
    for line in rig.lines:
        for k, span in enumerate(() if line.strap else of.start.layout.line_spans[line.name]):
            first, count = (int(of.start.layout.model.spans[span][each]) for each in ("first", "count"))
            loose = np.zeros(len(raw.time_s))
            for e in range(first, first + count):
                loose += _slack(raw.time_s, of.start.mode_e[e] == tb.SLACK, changes.get(e, []))
            out[f"taut:{line.name}:{line.span_name(k)}"] = (loose == 0.0).astype(float)
    return out


def _changes(raw: Raw) -> dict[int, list[tuple[float, bool]]]:
    """When each element of line goes slack (True) or comes taut, in order; one that parts never bears again."""
    out: dict[int, list[tuple[float, bool]]] = {}
    for t, word, index, _ in raw.log[np.isin(raw.log[:, 1], (md.EV_SLACK, md.EV_TAUT))]:
        out.setdefault(int(index), []).append((float(t), word == md.EV_SLACK))
    orders = orders_for(raw.ready, raw.case, None, max(raw.end_s, 1e-6))
    for t, what, index in zip(orders.boundary_s, orders.boundary_what, orders.boundary_index, strict=True):
        if what == od.BOUNDARY_PART:
            out[int(index)] = [*(each for each in out.get(int(index), []) if each[0] < t), (float(t), True)]
    return out


def _slack(time_s: Floats, at_first: bool, changes: list[tuple[float, bool]]) -> Floats:
    """1 where an element is slack, 0 where it is not."""
    states = np.array([at_first, *(slack for _, slack in changes)], dtype=float)
    return states[np.searchsorted([t for t, _ in changes], time_s, side="right")]


def place_at_first(columns: Mapping[str, Floats], name: str) -> tuple[float, float, float] | None:
    """Where a point is at the start of a run; None where it does not move."""
    height = columns.get(f"height_m:{name}", columns.get(f"z_m:{name}"))
    x, y = columns.get(f"x_m:{name}"), columns.get(f"y_m:{name}")
    return None if x is None or y is None or height is None else (float(x[0]), float(y[0]), float(height[0]))
