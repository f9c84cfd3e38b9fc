"""Where everything that moves is over time, and which line is taut, for drawing: columns beside the figures'."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from sim.dynamics import modes as md
from sim.dynamics import orders as od
from sim.dynamics import tables as tb
from sim.dynamics.run import Raw, Ready, orders_for
from sim.dynamics.watch import Watched, table
from sim.results.model import Floats
from sim.studies.carried import named_points

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
