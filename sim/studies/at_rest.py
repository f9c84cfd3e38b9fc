"""Where a rig's lines run before anything moves: every span's ends, length and tension, from the state of rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.dynamics import tables as tb
from sim.dynamics.rhs import rhs
from sim.dynamics.run import Ready, begin
from sim.rig.point import Vector


@dataclass(frozen=True)
class Span:
    """One span at rest. ends_m: of the straight way. length_m: unstretched. tension_N: at its middle."""

    name: str
    ends_m: tuple[Vector, Vector]
    length_m: float
    tension_N: float


@lru_cache(maxsize=16)
def spans_at_rest(of: Ready) -> Mapping[str, tuple[Span, ...]]:
    """The spans of every line of the rig but harness straps, by the line's name, from its first end to its last."""
    m = of.start.model._replace(motions=tb.still_motion())
    y, w = begin(of.rig, of.start, m)
    rhs(0.0, y, np.zeros(len(y)), m, w)
    out = {}
    for line in of.rig.lines:
        if line.strap:
            continue
        spans = []
        for k, i in enumerate(of.start.layout.line_spans[line.name]):
            row = m.spans[i]
            parts = range(int(row["first"]), int(row["first"] + row["count"]))
            ends = (_place(w, row, "a"), _place(w, row, "b"))
            length = sum(float(y[m.elements[e]["state"]]) for e in parts)
            tension = sum(float(w.elements[e]["tension"]) for e in parts) / len(parts)
            spans.append(Span(line.span_name(k), ends, length, tension))
        out[line.name] = tuple(spans)
    return out


def _place(w: tb.Work, row: np.void, end: str) -> Vector:
    point = w.points[int(row[end])]
    return (
        float(point["x"] + row[f"{end}x"]),
        float(point["y"] + row[f"{end}y"]),
        float(point["z"] + row[f"{end}z"]),
    )
