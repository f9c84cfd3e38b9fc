"""A motion that is never faster than a drive's top speed: what it asks above that is lost, way and all."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from profiles.motion import Motion

# Faster than the top speed by less than this share of it is rounding.
ROUNDING = 1e-9


def held_at(motion: Motion, top_speed_m_s: float) -> Motion:
    """The motion with its speed cut off at a top speed, either way; it ends when it did, and short of where it did.

    Where it meets that speed there is a corner labelled 'top speed reached'. Raises ValueError for no such speed.

    >>> from profiles.point_to_point import point_to_point
    >>> slow = held_at(point_to_point(10.0, speed_m_s=4.0, acceleration_m_s2=4.0), 3.0)
    >>> slow.top_speed_m_s, round(slow.end_s, 6), round(slow.total_m, 6)
    (3.0, 3.5, 8.25)
    """
    if not (math.isfinite(top_speed_m_s) and top_speed_m_s > 0):
        raise ValueError(f"a top speed must be above zero, found {top_speed_m_s}")
    if motion.top_speed_m_s <= top_speed_m_s * (1 + ROUNDING):
        return motion
    time_s, pieces, corner, label = [], [], [], []
    position, fast_before = motion.start_position_m, False
    for i, (c, length) in enumerate(zip(motion.coefficients, motion.duration_s, strict=True)):
        cuts = [0.0, *_crossings(c, float(length), top_speed_m_s), float(length)]
        for n, (a, b) in enumerate(pairwise(cuts)):
            shifted = _from(c, a)
            middle = _speed(shifted, 0.5 * (b - a))
            fast = abs(middle) > top_speed_m_s * (1 + ROUNDING)
            shifted[0] = position
            if fast:
                shifted[1:] = math.copysign(top_speed_m_s, middle), 0.0, 0.0
            own = motion.label[i] if n == 0 else ""
            time_s.append(float(motion.time_s[i]) + a)
            pieces.append(shifted)
            corner.append(fast != fast_before or (n == 0 and bool(motion.corner[i])))
            label.append("top speed reached" if fast and not fast_before else own)
            position, fast_before = float(np.polyval(shifted[::-1], b - a)), fast
    return Motion(
        np.array([*time_s, motion.end_s]),
        np.array(pieces),
        np.array([*corner, bool(motion.corner[-1]) or fast_before]),
        (*label, motion.label[-1]),
    )


def _crossings(c, length_s: float, top_speed_m_s: float) -> list[float]:
    """Local times strictly inside a piece at which it meets the top speed, either way."""
    times = []
    for speed in (top_speed_m_s, -top_speed_m_s):
        roots = np.roots(np.trim_zeros([3 * c[3], 2 * c[2], c[1] - speed], "f"))
        times += [float(r.real) for r in roots if abs(r.imag) < ROUNDING and 0.0 < r.real < length_s]
    return sorted(x for x in set(times) if ROUNDING * length_s < x < (1 - ROUNDING) * length_s)


def _speed(c, tau: float) -> float:
    return float(c[1] + tau * (2 * c[2] + tau * 3 * c[3]))


def _from(c, tau: float):
    """Coefficients of the same cubic about a later local time."""
    return np.array(
        [
            c[0] + tau * (c[1] + tau * (c[2] + tau * c[3])),
            c[1] + tau * (2 * c[2] + tau * 3 * c[3]),
            c[2] + 3 * tau * c[3],
            c[3],
        ]
    )
