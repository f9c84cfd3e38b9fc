"""Motions seen through scipy's own piecewise polynomials, so that no test measures with what it tests."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PPoly

from profiles import Motion

Floats = NDArray[np.float64]


def polynomial(motion: Motion) -> PPoly:
    return PPoly(motion.coefficients[:, ::-1].T.copy(), motion.time_s)


def instants(motion: Motion, per_piece: int = 40) -> Floats:
    """Times all through the motion, many in each piece however short, breakpoints left out."""
    share = (np.arange(per_piece) + 0.5) / per_piece
    return (motion.time_s[:-1, None] + np.diff(motion.time_s)[:, None] * share).ravel()


def extreme(motion: Motion, derivative: int) -> tuple[float, float]:
    """Least and largest value of a derivative, from both sides of every breakpoint and inside."""
    curve = polynomial(motion).derivative(derivative) if derivative else polynomial(motion)
    values = np.concatenate([curve(instants(motion)), curve.c[-1], _piece_ends(curve)])
    return float(values.min()), float(values.max())


def jumps(motion: Motion, derivative: int) -> Floats:
    """Jump of a derivative at each inner breakpoint."""
    curve = polynomial(motion).derivative(derivative) if derivative else polynomial(motion)
    return curve.c[-1][1:] - _piece_ends(curve)[:-1]


def slow_down_m(motion: Motion) -> float:
    """Distance of the slow-down."""
    began = motion.time_s[motion.label.index("slow-down starts")]
    return abs(motion.end_position_m - motion.position_m(float(began)))


def _piece_ends(curve: PPoly) -> Floats:
    tau = np.diff(curve.x)
    ends = np.zeros_like(tau)
    for c in curve.c:  # highest power first
        ends = ends * tau + c
    return ends
