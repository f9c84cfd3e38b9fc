"""How far a span hangs at rest: the catenary of its length, with the line's own stretch."""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import root_scalar

from sim.dynamics import tables as tb
from sim.dynamics.curve import curve_of
from sim.dynamics.hanging import catenary
from sim.rig.curve import strain_at

# Ends nearer to plumb than this hang as if they were this far from it: their sag then pulls with next to nothing.
LEAST_COSINE = 1e-9
_CLOSE = 1e-15


def hanging_sag(m: tb.Model, e: int, s: float, level: float, height: float) -> float:
    """Sag (m) of an element of unstretched length s that hangs between ends that stay, so far apart level and in height
    (m). Newton's method alone does not find it on stiff line, whose tension begins within a nanometre of sag."""
    x, c = curve_of(m.curves, int(m.elements[e]["curve"]))
    return _sag(x, c, float(m.elements[e]["rho"]) * m.gravity * s, s, (level, height), None)


def _too_long(log_sag: float, x: NDArray, c: NDArray, weight: float, s: float, way: tuple[float, float]) -> float:
    """The line's length at the tension a sag gives it, over that of the catenary of that sag (m)."""
    line, _, _, _, line_d, _, _, sink_d = catenary(float(np.exp(log_sag)), way[0] ** 2, way[1])
    return float((1.0 + strain_at(x, c, 2.0 / 3.0 * weight * sink_d / line_d)) * s - line)


def _sag(x: NDArray, c: NDArray, weight: float, s: float, way: tuple[float, float], near: float | None) -> float:
    """The sag (m); near: one that it may lie close to."""
    miss = partial(_too_long, x=x, c=c, weight=weight, s=s, way=way)
    low = high = np.log(0.1 * s)
    wider = 2.0
    if near is not None and near > 0.0:
        low = high = np.log(near)
        wider = 0.05
    while miss(high) > 0:
        high, wider = high + wider, 2.0 * wider
    while miss(low) < 0:
        low, wider = low - wider, 2.0 * wider
    found = low if low == high else root_scalar(miss, bracket=(low, high), xtol=_CLOSE, rtol=_CLOSE).root
    return float(np.exp(found))


class Sags:
    """The sags of a rig's spans at rest, whatever lengths and ways they are given; the last are kept."""

    def __init__(self, m: tb.Model, spans: list[int]) -> None:
        self.m, self.spans = m, spans
        self._first = [int(m.spans[i]["first"]) for i in spans]
        self._states = [int(m.elements[e]["state"]) for e in self._first]
        self._sags = [int(m.spans[i]["sag"]) for i in spans]
        self._curves = [curve_of(m.curves, int(m.elements[e]["curve"])) for e in self._first]
        self._weights = [float(m.elements[e]["rho"]) * m.gravity for e in self._first]
        self._known: list[tuple[tuple[float, float, float], float] | None] = [None] * len(spans)

    def settle(self, y: NDArray, w: tb.Work) -> bool:
        """Put every sag of the state y where it hangs between the ends w has of y; False where no line is left."""
        for k, i in enumerate(self.spans):
            s = float(y[self._states[k]])
            if not s > 0.0:
                return False
            span = w.spans[i]
            level = float(np.hypot(span["ux"], span["uy"]) * span["length"])
            asked = (s, max(level, LEAST_COSINE * s), float(span["uz"] * span["length"]))
            known = self._known[k]
            if known is None or known[0] != asked:
                near = None if known is None else known[1]
                sag = _sag(*self._curves[k], self._weights[k] * s, s, asked[1:], near)
                self._known[k] = known = (asked, sag)
            y[self._sags[k]] = known[1]
        return True
