"""A flown path: the way of one point through given places, and the line each drive pays out for it.

Between two places the way is straight; through more it is the natural cubic spline over the chord lengths (de Boor, A
Practical Guide to Splines, ch. IV), whose direction and curvature never jump. Along the way the point makes an ordinary
move. Where the way bends with radius r, going at v takes v^2/r across it, so the speed of the whole flight is held so
low that this never exceeds the acceleration that was asked for; along and across together it may reach the square root
of two times that, where a flight speeds up in a bend.

Line lengths are those of straight lines that do not stretch, from a place to the point.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicHermiteSpline, CubicSpline
from scipy.optimize import brentq

from profiles.motion import Motion
from profiles.point_to_point import ImpossibleMove, point_to_point

Floats = NDArray[np.float64]
Place = tuple[float, float, float]

# Samples between two places, from which arc length and greatest curvature are taken.
SAMPLES = 400
# The piecewise cubic of a drive's line differs from the exact length and speed by no more.
LENGTH_M, SPEED_M_S = 1e-5, 1e-4
SHORTEST_PIECE_S = 1e-3
# Places closer than this are one.
SAME_PLACE_M = 1e-6
# Where the spline's speed over the chord's falls below this, the way has all but a cusp.
TURNS_BACK = 0.1


@dataclass(frozen=True)
class Path:
    """A way through places (m), in order, at least two of them and no two neighbours the same."""

    places: tuple[Place, ...]

    def __post_init__(self) -> None:
        steps = np.linalg.norm(np.diff(np.array(self.places), axis=0), axis=1)
        if len(self.places) < 2 or not (steps > SAME_PLACE_M).all():
            raise ImpossibleMove("a flown path needs places that differ from one another and from where it starts")

    @cached_property
    def _spline(self) -> CubicSpline | CubicHermiteSpline:
        places = np.array(self.places)
        chords = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(places, axis=0), axis=1))))
        if len(places) == 2:
            return CubicHermiteSpline(chords, places, np.tile((places[1] - places[0]) / chords[1], (2, 1)))
        return CubicSpline(chords, places, bc_type="natural")

    @cached_property
    def _inverse(self) -> CubicHermiteSpline:
        """The spline's parameter at an arc length (m)."""
        knots = self._spline.x
        u = np.unique(np.concatenate([np.linspace(a, b, SAMPLES + 1) for a, b in pairwise(knots)]))
        nodes, weights = np.polynomial.legendre.leggauss(4)
        half = 0.5 * np.diff(u)
        inner = 0.5 * (u[1:] + u[:-1])[:, None] + half[:, None] * nodes
        lengths = (np.linalg.norm(self._spline(inner, 1), axis=2) * weights).sum(axis=1) * half
        s = np.concatenate(([0.0], np.cumsum(lengths)))
        slowest = np.linalg.norm(self._spline(u, 1), axis=1).min()
        if slowest < TURNS_BACK:
            raise ImpossibleMove("its path turns back on itself; end the flight there and fly back in a second one")
        return CubicHermiteSpline(s, u, 1.0 / np.linalg.norm(self._spline(u, 1), axis=1))

    @property
    def length_m(self) -> float:
        """The way from its first place to its last."""
        return float(self._inverse.x[-1])

    @cached_property
    def place_at_m(self) -> tuple[float, ...]:
        """How far along the way each place lies."""
        u, s = self._inverse(self._inverse.x), self._inverse.x
        return tuple(float(np.interp(x, u, s)) for x in self._spline.x)

    @cached_property
    def curvature_1_m(self) -> float:
        """The greatest curvature, one over the tightest radius (1/m)."""
        u = self._inverse(self._inverse.x)
        d1, d2 = self._spline(u, 1), self._spline(u, 2)
        return float((np.linalg.norm(np.cross(d1, d2), axis=1) / np.linalg.norm(d1, axis=1) ** 3).max())

    def position_m(self, along_m: float | Floats) -> Floats:
        """(…, 3) where the way is after so many metres."""
        return np.asarray(self._spline(self._inverse(np.clip(along_m, 0.0, self.length_m))))

    def direction(self, along_m: float | Floats) -> Floats:
        """(…, 3) its unit tangent there."""
        d = np.asarray(self._spline(self._inverse(np.clip(along_m, 0.0, self.length_m)), 1))
        return d / np.linalg.norm(d, axis=-1, keepdims=True)

    def progress(self, speed_m_s: float, acceleration_m_s2: float, jerk_m_s3: float | None, start_s: float) -> Motion:
        """The move along the way (m against s): as fast as asked, and as its tightest bend allows."""
        fastest = math.sqrt(acceleration_m_s2 / self.curvature_1_m) if self.curvature_1_m > 1e-9 else math.inf
        speed = min(speed_m_s, fastest)
        return point_to_point(self.length_m, speed, acceleration_m_s2, None, jerk_m_s3, start_s=start_s)


def flown(path: Path, progress: Motion, leads_from: Place) -> Motion:
    """Line paid out (m, positive out) from a place for a point that makes this progress along the path.

    progress: metres along the path, as `Path.progress` or a stop of it. Raises ImpossibleMove where the path leads
    through the place the line comes from.
    """
    origin = np.array(leads_from)

    def exact(t: Floats) -> tuple[Floats, Floats]:
        along, speed = np.asarray(progress.position_m(t)), np.asarray(progress.speed_m_s(np.minimum(t, _before_end)))
        way = path.position_m(along) - origin
        length = np.linalg.norm(way, axis=-1)
        return length, (way * path.direction(along)).sum(axis=-1) / length * speed

    _before_end = np.nextafter(progress.end_s, -np.inf)
    samples = path.position_m(np.linspace(0.0, path.length_m, SAMPLES * len(path.places)))
    if np.linalg.norm(samples - origin, axis=1).min() < 1e-2:
        raise ImpossibleMove("its path leads through the place its line comes from")
    passes = _passes(path, progress)
    fixed = np.array(sorted({*progress.time_s.tolist(), *passes}))
    knots = [float(fixed[0])]
    for a, b in pairwise(fixed):
        knots += _split(exact, float(a), float(b))
    times = np.array(knots)
    length, speed = exact(times)
    h = np.diff(times)
    slope, v0, v1 = np.diff(length) / h, speed[:-1], speed[1:]
    pieces = np.column_stack([length[:-1], v0, (3 * slope - 2 * v0 - v1) / h, (v0 + v1 - 2 * slope) / h**2])
    pieces[:, 0] -= length[0]
    own = zip(progress.time_s.tolist(), progress.corner.tolist(), progress.label, strict=True)
    corners = {t: (corner, text) for t, corner, text in own}
    rows = [corners.get(t, (False, passes.get(t, ""))) for t in knots]
    return Motion(times, pieces, np.array([c for c, _ in rows]), tuple(text for _, text in rows))


def _passes(path: Path, progress: Motion) -> dict[float, str]:
    """When each inner place is passed, with the words for the event list."""
    found: dict[float, str] = {}
    for number, along in enumerate(path.place_at_m[1:-1], 1):
        if progress.start_position_m < along < progress.end_position_m - SAME_PLACE_M:
            when: Any = brentq(lambda t, s=along: progress.position_m(t) - s, progress.start_s, progress.end_s)
            found[float(when)] = f"passes place {number}"
    return found


def _split(exact, a: float, b: float) -> Sequence[float]:
    """Breakpoints after a up to b, close enough for cubics between them to follow the exact length and speed."""
    ends, speeds = exact(np.array([a, b]))
    h = b - a
    inner = a + h * np.array([0.25, 0.5, 0.75])
    spline = CubicHermiteSpline([a, b], ends, speeds)
    length, speed = exact(inner)
    close = np.abs(spline(inner) - length).max() < LENGTH_M and np.abs(spline(inner, 1) - speed).max() < SPEED_M_S
    if close or h < SHORTEST_PIECE_S:
        return [b]
    middle = 0.5 * (a + b)
    return [*_split(exact, a, middle), *_split(exact, middle, b)]
