"""A smooth path through given positions, by its own length.

The curve is a cubic spline through the points over the lengths of the chords between them, without bend at both ends
(a natural spline; C. de Boor, A Practical Guide to Splines). It passes through every place, its direction and its
curvature never jump, two places make it straight, and places in line a straight way. No corner is left in it: that
would ask for a standstill or for an acceleration without bound.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from profiles.motion import Floats
from profiles.point_to_point import ImpossibleMove

# Two points closer than this are the same place.
SAME_PLACE_M = 1e-3
# Where the curve runs slower than this share of the chord, it turns back on itself.
TURNING_SHARE = 0.1
# Cells per leg in which length is integrated, and points of Gauss and Legendre's rule in each.
CELLS = 128
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(5)


@dataclass(frozen=True, eq=False)
class Path:
    """The curve through places (m), in order, two or more. Raises ImpossibleMove, naming the place that is at fault."""

    places: tuple[tuple[float, float, float], ...]
    _knots: Floats = field(init=False, repr=False)
    _pieces: NDArray[np.float64] = field(init=False, repr=False)
    _cells: Floats = field(init=False, repr=False)
    _way_m: Floats = field(init=False, repr=False)

    def __post_init__(self) -> None:
        points = np.array(self.places, dtype=float)
        chords = np.linalg.norm(np.diff(points, axis=0), axis=1)
        if len(points) < 2:
            raise ImpossibleMove("a path needs two places at least")
        for i in np.flatnonzero(chords < SAME_PLACE_M):
            raise ImpossibleMove(f"{self.place_name(int(i) + 1)} is the same place as the one before it")
        knots = np.concatenate([[0.0], np.cumsum(chords)])
        pieces = CubicSpline(knots, points, bc_type="natural").c
        set_ = object.__setattr__
        set_(self, "_knots", knots)
        set_(self, "_pieces", np.ascontiguousarray(pieces))
        cells = np.concatenate([np.linspace(a, b, CELLS, endpoint=False) for a, b in pairwise(knots)])
        set_(self, "_cells", np.append(cells, knots[-1]))
        slow = np.linalg.norm(self._derivative(self._cells, 1), axis=1) < TURNING_SHARE
        for i in np.flatnonzero(slow):
            nearest = int(np.argmin(np.abs(knots - self._cells[i])))
            raise ImpossibleMove(
                f"the path turns back on itself at {self.place_name(nearest)}, where it would have to stand still; "
                "fly there, and back in a move of its own, or lead it round through a point beside"
            )
        set_(self, "_way_m", np.concatenate([[0.0], np.cumsum(self._gauss(self._cells[:-1], self._cells[1:]))]))

    @property
    def length_m(self) -> float:
        """From the first point to the last along the curve."""
        return float(self._way_m[-1])

    @property
    def place_at_m(self) -> Floats:
        """How far along the curve each place lies (m)."""
        return self._way_m[::CELLS]

    def place_name(self, i: int) -> str:
        """A point in words: the start, a way point by its number, with its place."""
        where = ", ".join(f"{x:.4g} m" for x in self.places[i])
        return f"{'the start' if i == 0 else f'place {i}'} [{where}]"

    @property
    def curvature_1_m(self) -> float:
        """The greatest curvature found at many places (1/m)."""
        return float(np.linalg.norm(self.derivatives(self.ways_m)[1], axis=1).max())

    @property
    def ways_m(self) -> Floats:
        """Ways along the curve to look at: closest together in its bends, and on both sides of every place."""
        return np.union1d(self._way_m, (self.place_at_m - 1e-9).clip(0.0))

    def position_m(self, way_m: float | Floats) -> Floats:
        """(n, 3) where the curve is after each way along it; (3,) after a single one."""
        at = self._derivative(self._at(np.atleast_1d(way_m)), 0)
        return at if np.ndim(way_m) else at[0]

    def derivatives(self, way_m: Floats) -> tuple[Floats, Floats, Floats]:
        """(n, 3) direction, curvature (1/m) and its rate (1/m²): the first three derivatives by way."""
        u = self._at(way_m)
        d1, d2, d3 = (self._derivative(u, k) for k in (1, 2, 3))
        q = np.linalg.norm(d1, axis=1)[:, None]
        t = d1 / q
        dq = _dot(t, d2)
        bend = (d2 - t * dq) / q**2
        dt = bend * q
        rate = (d3 - dt * dq - t * (_dot(dt, d2) + _dot(t, d3))) / q**2 - 2.0 * dq / q * bend
        return t, bend, rate / q

    def _at(self, way_m: Floats) -> Floats:
        """The spline's own coordinate for each way: the cell's cubic, then Newton's rule with the integral itself."""
        way = np.clip(np.asarray(way_m, dtype=float), 0.0, self.length_m)
        cell = np.clip(np.searchsorted(self._way_m, way, side="right") - 1, 0, len(self._cells) - 2)
        first, last = self._cells[cell], self._cells[cell + 1]
        share = (way - self._way_m[cell]) / (self._way_m[cell + 1] - self._way_m[cell])
        u = first + share * (last - first)
        for _ in range(3):
            slope = np.linalg.norm(self._derivative(u, 1), axis=1)
            u = np.clip(u - (self._way_m[cell] + self._gauss(first, u) - way) / slope, first, last)
        return u

    def _gauss(self, low: Floats, high: Floats) -> Floats:
        """Length of the curve between two of its coordinates in one cell."""
        half = 0.5 * (high - low)
        at = 0.5 * (high + low)[:, None] + half[:, None] * _NODES
        speed = np.linalg.norm(self._derivative(at.ravel(), 1), axis=1).reshape(at.shape)
        return half * (speed @ _WEIGHTS)

    def _derivative(self, u: Floats, order: int) -> Floats:
        piece = np.clip(np.searchsorted(self._knots, u, side="right") - 1, 0, len(self._knots) - 2)
        x = (u - self._knots[piece])[:, None]
        c = self._pieces[:, piece]
        out = np.zeros((len(u), 3))
        for power in range(3, order - 1, -1):
            out = out * x + math.perm(power, order) * c[3 - power]
        return out


def _dot(a: Floats, b: Floats) -> Floats:
    return np.sum(a * b, axis=1, keepdims=True)
