"""A motion that runs too fast: its time passes more quickly, so that it does the same way at a higher speed.

With k the speed over the one asked, the drive does x(u(t)): u' rises evenly from 1 to k while the motion's own
greatest acceleration takes the drive from its speed to k times that, and stays k. The way and its end are the same;
accelerations and decelerations after the rise are k squared times as hard, as of a control that follows its move k
times as fast.
"""

from __future__ import annotations

import math

import numpy as np

from profiles.motion import Motion
from profiles.stop import SLIVER_S, STANDING_SHARE

# Pieces of the rise. Each is the cubic with the right position and speed at both ends.
RISE_PIECES = 24


def hurried(motion: Motion, from_s: float, times: float) -> Motion:
    """The motion run `times` as fast from from_s on; 'runs too fast' is the label there.

    Raises ValueError unless `times` is finite and above one.

    >>> from profiles.point_to_point import point_to_point
    >>> move = point_to_point(10.0, speed_m_s=2.0, acceleration_m_s2=4.0)
    >>> fast = hurried(move, 0.0, 1.5)
    >>> fast.top_speed_m_s, round(fast.total_m, 9), round(move.end_s / fast.end_s, 9)
    (3.0, 10.0, 1.5)
    """
    if not (math.isfinite(times) and times > 1.0):
        raise ValueError(f"too fast means more than once as fast, found {times}")
    start_s = max(from_s, motion.start_s)
    if start_s >= motion.end_s - SLIVER_S:
        return motion
    speed, hardest = abs(motion.speed_m_s(start_s)), motion.top_acceleration_m_s2
    standing = speed <= STANDING_SHARE * motion.top_speed_m_s or hardest <= 0.0
    rise_s = 0.0 if standing else min((times - 1.0) * speed / hardest, (motion.end_s - start_s) * 2.0 / (1.0 + times))
    over_s = start_s + 0.5 * (1.0 + times) * rise_s  # of the motion's own time, when the rise is over

    def own_time(t: np.ndarray) -> np.ndarray:
        in_rise = np.minimum(t - start_s, rise_s)
        risen = in_rise + (0.5 * (times - 1.0) * in_rise**2 / rise_s if rise_s > 0.0 else 0.0)
        return start_s + risen + times * np.maximum(t - start_s - rise_s, 0.0)

    def pace(t: np.ndarray) -> np.ndarray:
        share = np.clip((t - start_s) / rise_s, 0.0, 1.0) if rise_s > 0.0 else np.ones_like(t)
        return 1.0 + (times - 1.0) * share

    before = motion.time_s < start_s - SLIVER_S
    n = int(before.sum())
    after = motion.time_s > over_s + SLIVER_S
    later_s = start_s + rise_s + (motion.time_s[after] - over_s) / times
    rise = np.linspace(start_s, start_s + rise_s, RISE_PIECES + 1)[:-1] if rise_s > 0.0 else np.empty(0)
    knots = np.concatenate([rise, [start_s + rise_s], later_s])
    x, v = motion.position_m(own_time(knots)), motion.speed_m_s(own_time(knots)) * pace(knots)
    v = np.asarray(v)
    v[-1] = 0.0 if abs(v[-1]) < SLIVER_S else v[-1]
    ends_v = np.asarray(motion.speed_m_s(np.nextafter(own_time(knots), -np.inf))) * pace(knots)
    pieces = [_hermite(x[i], v[i], x[i + 1], ends_v[i + 1], knots[i + 1] - knots[i]) for i in range(len(knots) - 1)]
    corners = [True] + [False] * (len(rise) - 1 if len(rise) else 0) + ([True] if len(rise) else [])
    labels = ["runs too fast"] + [""] * (len(corners) - 1)
    return Motion(
        np.concatenate([motion.time_s[:n], knots]),
        np.concatenate([motion.coefficients[:n], np.array(pieces)]),
        np.concatenate([motion.corner[:n], corners, motion.corner[after]]),
        (*motion.label[:n], *labels, *(lab for lab, late in zip(motion.label, after, strict=True) if late)),
    )


def _hermite(x0: float, v0: float, x1: float, v1: float, h: float) -> list[float]:
    """The cubic from x0 at speed v0 to x1 at speed v1 in h seconds."""
    slope = (x1 - x0) / h
    return [x0, v0, (3.0 * slope - 2.0 * v0 - v1) / h, (v0 + v1 - 2.0 * slope) / h**2]
