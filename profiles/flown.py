"""A flown path: how far along it a performer is, and what line each drive then has to pay out.

Along the path the performer is moved as any drive is (`point_to_point`), at one even speed: it speeds up, flies and
slows down. The limits are of the performer's whole motion in space, so a bend counts. With t the direction, k the
curvature and s the way,

    acceleration   s'' t + s'² k                     jerk   s''' t + 3 s' s'' k + s'³ dk/ds

(kinematics of a curve, any textbook of mechanics). The even speed is the largest that no bend makes too fast by
itself; where speeding up and a bend then come together above a limit, the whole flight is made slower in time, by one
factor f: speeds fall by f, accelerations by f², jerks by f³. One even speed, and not a slower one at each bend, because
that is how a flight is called and seen; one to be quicker between bends is given gentler bends or several moves.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np
from scipy.interpolate import CubicSpline

from profiles.motion import Floats, Motion
from profiles.path import Path
from profiles.point_to_point import ImpossibleMove, point_to_point
from profiles.stop import SLIVER_S, pieces_before

# A drive's motion is within this of the line length that the path asks for, and of its speed.
POSITION_M = 1e-5
SPEED_M_S = 1e-4
# Between two corners there are so many pieces at first; the rough ones are halved, unless as short as this.
FIRST_PIECES = 4
SHORTEST_S = 2e-4
# Instants looked at between two corners, and again around the worst of them.
LOOKS = 100
# A performer this near to the place its line comes from runs into it.
NEAREST_M = 0.1
# What is looked at in places may be more between them; bent paths are flown this much below their limits.
KEPT_BELOW = 1e-3
# A bend of less than this, times the path's length, is rounding.
STRAIGHT = 1e-9
# A planned motion is fitted this much better than asked, so that a stop that goes on from it can be as good as asked.
FIRST_TRY = 0.5
# A way point this close to a corner of the way, as a share of the flight, is passed on it.
SAME_TIME_SHARE = 1e-4

Place = tuple[float, float, float]
Lengths = Callable[[Floats], tuple[Floats, Floats]]
"""Line length (m) after each way along a path, and its derivative by way."""


@dataclass(frozen=True)
class Limits:
    """Of a performer's motion in space: m/s, m/s², m/s³; jerk None: unlimited."""

    speed_m_s: float
    acceleration_m_s2: float
    jerk_m_s3: float | None = None


def progress_along(path: Path, limits: Limits, start_s: float = 0.0) -> Motion:
    """Way along the path (m) against time, within the limits as told above. Raises ValueError for one not positive."""
    way = point_to_point(path.length_m, even_speed(path, limits), limits.acceleration_m_s2, jerk_m_s3=limits.jerk_m_s3)
    f = 1.0
    if not is_straight(path):
        _, acceleration, jerk = greatest(path, way)
        f = min(f, ((1.0 - KEPT_BELOW) * limits.acceleration_m_s2 / acceleration) ** 0.5)
        if limits.jerk_m_s3 is not None:
            f = min(f, ((1.0 - KEPT_BELOW) * limits.jerk_m_s3 / jerk) ** (1 / 3))
    return Motion(start_s + way.time_s / f, way.coefficients * f ** np.arange(4), way.corner, way.label)


def is_straight(path: Path) -> bool:
    """Whether the path has no bend at all."""
    return path.curvature_1_m * path.length_m < STRAIGHT


def even_speed(path: Path, limits: Limits) -> float:
    """The largest speed within the limits at which all of the path can be flown (m/s)."""
    sharpest, quickest = (
        _largest(lambda way_m, k=k: np.linalg.norm(path.derivatives(way_m)[k], axis=1), path.ways_m) for k in (1, 2)
    )
    speed = limits.speed_m_s
    if sharpest > 0.0:
        speed = min(speed, (limits.acceleration_m_s2 / sharpest) ** 0.5)
    if limits.jerk_m_s3 is not None and quickest > 0.0:
        speed = min(speed, (limits.jerk_m_s3 / quickest) ** (1 / 3))
    return speed


def greatest(path: Path, way: Motion) -> tuple[float, float, float]:
    """Greatest speed, acceleration and jerk (m/s, m/s², m/s³) of the performer in space; jumps are not in the jerk."""

    def magnitude(time_s: Floats, order: int) -> Floats:
        t, bend, rate = path.derivatives(way.position_m(time_s))
        v, acc, jerk = (x(time_s)[:, None] for x in (way.speed_m_s, way.acceleration_m_s2, way.jerk_m_s3))
        each = (v * t, acc * t + v**2 * bend, jerk * t + 3 * v * acc * bend + v**3 * rate)[order]
        return np.linalg.norm(each, axis=1)

    found = [0.0, 0.0, 0.0]
    for a, b in pairwise(map(float, way.time_s)):
        # the end as it is inside the piece; and where the bends are looked at
        times = np.union1d(np.linspace(a, b - 1e-9 * (b - a), LOOKS), _instants_of(way, path.ways_m, a, b))
        found = [max(old, _largest(partial(magnitude, order=k), times)) for k, old in enumerate(found)]
    return found[0], found[1], found[2]


def _largest(of: Callable[[Floats], Floats], at: Floats) -> float:
    """The largest value at these places, and closer around the largest of them."""
    values = of(at)
    top = int(np.argmax(values))
    closer = np.linspace(at[max(0, top - 1)], at[min(len(at) - 1, top + 1)], LOOKS)
    return float(max(values[top], of(closer).max()))


def flown(path: Path, progress: Motion, leads_from: Place) -> Motion:
    """Line paid out (m) at a drive whose line comes straight from a place to one that makes this progress on the path.

    Between the progress's corners it is a cubic spline with the true speed at both ends, of as many pieces as it takes
    to be within POSITION_M and SPEED_M_S of the truth; acceleration goes on across its pieces, so they are no corners.
    Places passed are labelled. Raises ImpossibleMove where the path leads through the place the line comes from.
    """
    return _fitted(path, progress, leads_from, 0.0, None)


def flown_stopped(path: Path, stopped_progress: Motion, leads_from: Place, planned: Motion, time_s: float) -> Motion:
    """The same where the progress is stopped at time_s: up to then the drive's planned motion, to the last digit."""
    past_s, past = pieces_before(planned, time_s)
    rest = int(np.searchsorted(stopped_progress.time_s, time_s - SLIVER_S))
    p = stopped_progress
    later = Motion(p.time_s[rest:], p.coefficients[rest:], p.corner[rest:], p.label[rest:])
    tail = _fitted(path, later, leads_from, float(planned.position_m(time_s)), float(planned.speed_m_s(time_s)))
    return Motion(
        np.concatenate([past_s, tail.time_s]),
        np.concatenate([past, tail.coefficients]),
        np.concatenate([planned.corner[: len(past)], tail.corner]),
        (*planned.label[: len(past)], *tail.label),
    )


def _fitted(path: Path, way: Motion, leads_from: Place, first_m: float, first_m_s: float | None) -> Motion:
    """Line paid out along the way, first_m at its start; first_m_s: the speed there, where it is not the true one."""
    lengths = partial(_lengths, path, np.array(leads_from))
    zero_m = float(lengths(np.array([way.start_position_m]))[0][0]) - first_m
    passing = _points_passed(path, way)
    time_s: list[float] = []
    label: list[str] = []
    corner: list[bool] = []
    pieces = []
    for i, (a, b) in enumerate(pairwise(map(float, way.time_s))):
        inside = [t for t in passing if a < t < b]
        times, c = _piecewise(way, lengths, (a, b), inside, first_m_s if i == 0 else None)
        c[:, 0] -= zero_m
        pieces.append(c)
        time_s += list(map(float, times[:-1]))
        corner += [bool(way.corner[i]), *[False] * (len(times) - 2)]
        label += ["; ".join(x for x in (way.label[i], passing.get(a, "")) if x)]
        label += [passing.get(float(t), "") for t in times[1:-1]]
    return Motion(
        np.array([*time_s, way.end_s]),
        np.concatenate(pieces),
        np.array([*corner, bool(way.corner[-1])]),
        (*label, way.label[-1]),
    )


def _lengths(path: Path, origin: Floats, way_m: Floats) -> tuple[Floats, Floats]:
    line = path.position_m(way_m) - origin
    length = np.linalg.norm(line, axis=1)
    if length.min() < NEAREST_M:
        raise ImpossibleMove("its path leads through the place its line comes from")
    return length, np.sum(line * path.derivatives(way_m)[0], axis=1) / length


def _piecewise(
    way: Motion, lengths: Lengths, between_s: tuple[float, float], passed_s: list[float], first_m_s: float | None
) -> tuple[Floats, Floats]:
    """Breakpoints and coefficients of the spline between two corners."""
    a, b = between_s

    def truth(t: Floats) -> tuple[Floats, Floats]:
        length, slope = lengths(way.position_m(t))
        return length, slope * way.speed_m_s(t)

    allowed = FIRST_TRY if first_m_s is None else 1.0
    times = np.union1d(np.linspace(a, b, FIRST_PIECES + 1), passed_s)
    while True:
        at, speed = truth(times)
        first = speed[0] if first_m_s is None else first_m_s
        spline = CubicSpline(times, at, bc_type=((1, first), (1, speed[-1])))  # pyright: ignore[reportArgumentType]
        looks = times[:-1, None] + np.diff(times)[:, None] * np.array([0.2, 0.5, 0.8])
        true_at, true_speed = (x.reshape(looks.shape) for x in truth(looks.ravel()))
        off_m, off_m_s = np.abs(spline(looks) - true_at), np.abs(spline(looks, 1) - true_speed)
        off = np.maximum(off_m / POSITION_M, off_m_s / SPEED_M_S)
        rough = (off.max(axis=1) > allowed) & (np.diff(times) > SHORTEST_S)
        if not rough.any():
            return times, np.ascontiguousarray(spline.c[::-1].T)
        times = np.union1d(times, looks[rough, 1])


def _points_passed(path: Path, way: Motion) -> dict[float, str]:
    """When each way point is passed, on the corner of the way where one is as good as there."""
    out: dict[float, str] = {}
    low, high = way.start_position_m, way.end_position_m
    inner = path.place_at_m[1:-1]
    names = [f"passes place {i}" for i, at in enumerate(inner, 1) if low < at < high]
    near_s = SAME_TIME_SHARE * (way.end_s - way.start_s)
    for name, at_s in zip(names, _instants_of(way, inner, way.start_s, way.end_s), strict=True):
        nearest = float(way.time_s[np.argmin(np.abs(way.time_s - at_s))])
        at_s = nearest if abs(nearest - at_s) < near_s else float(at_s)
        out[at_s] = "; ".join(x for x in (out.get(at_s, ""), name) if x)
    return out


def _instants_of(way: Motion, ways_m: Floats, a: float, b: float) -> Floats:
    """When each of these ways is reached, for those reached between two times of a way that never runs back."""
    low, high = float(way.position_m(a)), float(way.position_m(b))
    wanted = ways_m[(ways_m > low) & (ways_m < high)]
    first, last = np.full(len(wanted), a), np.full(len(wanted), b)
    for _ in range(50):
        middle = 0.5 * (first + last)
        before = way.position_m(middle) < wanted
        first, last = np.where(before, middle, first), np.where(before, last, middle)
    return 0.5 * (first + last)
