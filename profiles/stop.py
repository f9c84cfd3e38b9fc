"""A controlled stop from any state of a motion: what the drive is told when stop is called.

Kinematics of constant jerk, as for a move. With v the speed and a the acceleration along the
direction of motion at the stop, d the deceleration and j the jerk of the stop:

    without jerk limit   the acceleration jumps to -d; v/d seconds, v²/2d metres
    jerk j               the acceleration falls at -j to -p, is held, and rises at j to zero, with
                         p = √(jv + a²/2), at most d
    already slowing down harder than d      it first eases to d at the rate j
    too hard for j to end it in time, v < a²/2j     the least jerk that does, a²/2v

so the speed never passes through zero. While the acceleration is being taken off (a > 0) the speed
still rises, by a²/2j.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from profiles.motion import Floats, Motion
from profiles.phases import ROUNDING, Phase, motion_of_phases, reversed_sense

# Slower than this share of the motion's top speed, or than what is gone in a nanosecond, is standing.
STANDING_SHARE = 1e-12
STANDING_S = 1e-9
# A stop this soon after a breakpoint falls on it, so that no piece is made of rounding.
SLIVER_S = 1e-12


def stopped(motion: Motion, time_s: float, deceleration_m_s2: float, jerk_m_s3: float | None = None) -> Motion:
    """The motion up to time_s, then a controlled stop; what the motion had planned for later is gone.

    At a corner the stop goes on from the acceleration just before it. Standing, the drive stays where
    it is. The breakpoint at time_s is labelled 'stop', the last one 'stopped' if there was speed to
    take off. A stop may itself be stopped.

    Raises ValueError for a limit that is not positive or a time that is not a number.

    >>> from profiles.point_to_point import point_to_point
    >>> move = point_to_point(10.0, speed_m_s=3.0, acceleration_m_s2=3.0)
    >>> stop = stopped(move, 2.0, deceleration_m_s2=4.5)
    >>> round(stop.end_s, 6), round(stop.end_position_m - float(move.position_m(2.0)), 6)
    (2.666667, 1.0)
    """
    for name, value in (("deceleration (m/s²)", deceleration_m_s2), ("jerk (m/s³)", jerk_m_s3)):
        if value is not None and not (math.isfinite(value) and value > 0):
            raise ValueError(f"the {name} of a stop must be above zero, found {value}")
    if not math.isfinite(time_s):
        raise ValueError(f"a stop needs a time, found {time_s} s")

    past_time_s, past = pieces_before(motion, time_s)
    if not len(past):
        return replace(Motion.at_rest(motion.start_position_m, time_s - 1.0), label=("", "stop"))
    position_m, speed_m_s, acceleration_m_s2 = _state(past[-1], time_s - past_time_s[-1])
    past_corner, past_label = motion.corner[: len(past)], motion.label[: len(past)]

    harshest_m_s2 = max(deceleration_m_s2, abs(acceleration_m_s2))
    if abs(speed_m_s) <= max(STANDING_SHARE * motion.top_speed_m_s, STANDING_S * harshest_m_s2):
        corner = acceleration_m_s2 != 0.0
        return Motion(np.append(past_time_s, time_s), past, np.append(past_corner, corner), (*past_label, "stop"))
    sense = math.copysign(1.0, speed_m_s)
    phases = stopping_phases(abs(speed_m_s), sense * acceleration_m_s2, deceleration_m_s2, jerk_m_s3)
    stop = motion_of_phases(reversed_sense(phases, sense), "stopped", time_s, position_m, speed_m_s)
    return Motion(
        np.concatenate([past_time_s, stop.time_s]),
        np.concatenate([past, stop.coefficients]),
        np.concatenate([past_corner, stop.corner]),
        (*past_label, "stop", *stop.label[1:]),
    )


def stopping_phases(
    speed_m_s: float, acceleration_m_s2: float, deceleration_m_s2: float, jerk_m_s3: float | None
) -> list[Phase]:
    """Phases from speed > 0 (acceleration positive when speeding up) to rest, by the laws above."""
    v, a, d, j = speed_m_s, acceleration_m_s2, deceleration_m_s2, jerk_m_s3
    if j is None:
        return [Phase(v / d, -d, 0.0, "stop")]
    ending_m_s = a * a / (2 * j)  # speed it takes, or still gains, to bring the present acceleration to zero
    if a < 0 and v <= ending_m_s * (1 + ROUNDING):
        return [Phase(-2 * v / a, a, a * a / (2 * v), "stop")]
    if a < -d:
        hold_s = (v - ending_m_s) / d
        return [Phase((-a - d) / j, a, j, "stop"), Phase(hold_s, -d, 0.0), Phase(d / j, -d, j)]
    peak = min(d, math.sqrt(j * v + a * a / 2))
    hold_s = (v + ending_m_s) / peak - peak / j
    return [Phase((a + peak) / j, a, -j, "stop"), Phase(hold_s, -peak, 0.0), Phase(peak / j, -peak, j)]


def pieces_before(motion: Motion, time_s: float) -> tuple[Floats, Floats]:
    """Starts and coefficients of the pieces run through before time_s, the rest after the end being one."""
    resting = [[motion.end_position_m, 0.0, 0.0, 0.0]]
    n = int(np.searchsorted(motion.time_s, time_s - SLIVER_S))
    return motion.time_s[:n], np.concatenate([motion.coefficients, resting])[:n]


def _state(c: Floats, tau: float) -> tuple[float, float, float]:
    """Position, speed and acceleration of a piece at a local time."""
    position = c[0] + tau * (c[1] + tau * (c[2] + tau * c[3]))
    return float(position), float(c[1] + tau * (2 * c[2] + tau * 3 * c[3])), float(2 * c[2] + tau * 6 * c[3])
