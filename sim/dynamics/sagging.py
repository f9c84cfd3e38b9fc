"""How far a span hangs at rest: the parabola of its length, with the line's own stretch."""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import root_scalar

from sim.dynamics import tables as tb
from sim.dynamics.curve import curve_of
from sim.rig.curve import strain_at

# A chord nearer to upright than this hangs as if it were this far from it: its sag then pulls with next to nothing.
LEAST_COSINE = 1e-9
_CLOSE = 1e-15


def hanging_sag(m: tb.Model, e: int, s: float, chord: float, cosine: float) -> float:
    """Sag (m) of an element of unstretched length s that hangs between ends that stay: the parabola's, with the line's
    stretch. Newton's method alone does not find it on stiff line, whose tension begins within a nanometre of sag."""
    x, c = curve_of(m.curves, int(m.elements[e]["curve"]))
    return _sag(x, c, float(m.elements[e]["rho"]) * m.gravity * s * cosine, s, chord, None)


def _too_long(log_tension: float, x: NDArray, c: NDArray, weight: float, s: float, chord: float) -> float:
    """The line's length at a tension over that of the parabola the tension lets it hang in (m)."""
    tension = np.exp(log_tension)
    sag = weight * chord / (8.0 * tension)
    return float((1.0 + strain_at(x, c, tension)) * s - chord - 8.0 * sag**2 / (3.0 * chord))


def _sag(x: NDArray, c: NDArray, weight: float, s: float, chord: float, near: float | None) -> float:
    """The sag (m); near: one that it may lie close to."""
    miss = partial(_too_long, x=x, c=c, weight=weight, s=s, chord=chord)
    low, high, wider = np.log(1e-3 * weight), np.log(weight), 2.0
    if near is not None and near > 0.0:
        low = high = np.log(weight * chord / (8.0 * near))
        wider = 0.05
    while miss(low) > 0:
        low, wider = low - wider, 2.0 * wider
    while miss(high) < 0:
        high, wider = high + wider, 2.0 * wider
    found = low if low == high else root_scalar(miss, bracket=(low, high), xtol=_CLOSE, rtol=_CLOSE).root
    return float(weight * chord / (8.0 * np.exp(found)))


class Sags:
    """The sags of a rig's spans at rest, whatever lengths and chords they are given; the last are kept."""

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
            asked = (s, float(w.spans[i]["length"]), max(float(w.spans[i]["cosine"]), LEAST_COSINE))
            known = self._known[k]
            if known is None or known[0] != asked:
                near = None if known is None else known[1]
                sag = _sag(*self._curves[k], self._weights[k] * s * asked[2], s, asked[1], near)
                self._known[k] = known = (asked, sag)
            y[self._sags[k]] = known[1]
        return True
