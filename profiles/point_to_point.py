"""The ordinary move: a distance at a speed, with limits on acceleration, deceleration and jerk.

Trapezoid of speed without a jerk limit, S-curve of up to seven phases with one. The laws are plain
kinematics of constant jerk, found in any textbook of motion control; with v the speed reached and a
the acceleration or deceleration, speeding up or slowing down takes

    without jerk limit            time v/a              distance v²/2a
    jerk j, v >= a²/j             time v/a + a/j        distance (v/2)(v/a + a/j)
    jerk j, v <  a²/j             time 2·√(v/j)         distance v·√(v/j)
"""

from __future__ import annotations

import math
from collections.abc import Callable

from scipy.optimize import root_scalar

from profiles.motion import Motion
from profiles.phases import ROUNDING, Phase, change_of_speed, motion_of_phases, reversed_sense


class ImpossibleMove(ValueError):
    """A move that no choice of the open values can make."""


def point_to_point(
    distance_m: float,
    speed_m_s: float,
    acceleration_m_s2: float,
    deceleration_m_s2: float | None = None,
    jerk_m_s3: float | None = None,
    *,
    slow_down_in_m: float | None = None,
    start_s: float = 0.0,
    start_position_m: float = 0.0,
) -> Motion:
    """Pay out (positive distance) or take in (negative) a distance in the least time within the limits.

    deceleration_m_s2 left out is the acceleration. jerk_m_s3 left out is unlimited. In place of the
    deceleration slow_down_in_m says in what distance the slow-down happens, from the speed reached.
    Where the distance is too short for the speed, the largest speed it allows is reached instead.

    Raises ValueError for a limit that is not positive, ImpossibleMove when the slow-down distance
    cannot be had; the text says the least one that can.

    >>> move = point_to_point(10.0, speed_m_s=3.0, acceleration_m_s2=3.0, jerk_m_s3=15.0)
    >>> round(move.end_s, 5), round(move.total_m, 9), move.top_speed_m_s
    (4.53333, 10.0, 3.0)
    """
    _refuse_nonsense(distance_m, speed_m_s, acceleration_m_s2, deceleration_m_s2, jerk_m_s3, slow_down_in_m)
    distance, jerk = abs(distance_m), jerk_m_s3

    def speed_up_m(v: float) -> float:
        return changing_distance_m(v, acceleration_m_s2, jerk)

    if slow_down_in_m is None:
        deceleration = acceleration_m_s2 if deceleration_m_s2 is None else deceleration_m_s2
        top = _speed_for(distance, speed_m_s, lambda v: speed_up_m(v) + changing_distance_m(v, deceleration, jerk))
    else:
        least_m = _least_slow_down_m(distance, speed_m_s, speed_up_m, jerk)
        if not least_m <= slow_down_in_m * (1 + ROUNDING) or not slow_down_in_m < distance:
            raise ImpossibleMove(_why_not(slow_down_in_m, least_m, distance, jerk))
        top = _speed_for(distance - slow_down_in_m, speed_m_s, speed_up_m)
        deceleration = deceleration_for(top, slow_down_in_m, jerk)

    cruise_m = distance - speed_up_m(top) - changing_distance_m(top, deceleration, jerk)
    phases = [
        *change_of_speed(top, acceleration_m_s2, jerk, "move starts"),
        Phase(cruise_m / top, 0.0, 0.0, "full speed"),
        *reversed_sense(change_of_speed(top, deceleration, jerk, "slow-down starts")),
    ]
    sense = math.copysign(1.0, distance_m)
    return motion_of_phases(reversed_sense(phases, sense), "move ends", start_s, start_position_m)


def changing_distance_m(speed_m_s: float, acceleration_m_s2: float, jerk_m_s3: float | None) -> float:
    """Distance in which the speed rises from rest, or falls to rest, by the laws above."""
    v, a, j = speed_m_s, acceleration_m_s2, jerk_m_s3
    if j is None:
        return v * v / (2 * a)
    if v >= a * a / j:
        return v / 2 * (v / a + a / j)
    return v * math.sqrt(v / j)


def deceleration_for(speed_m_s: float, distance_m: float, jerk_m_s3: float | None) -> float:
    """Deceleration that takes exactly distance_m from the speed to rest: the smaller root of
    a²/j - (2·distance/v)·a + v = 0. The distance must be at least v·√(v/j).
    """
    mean = distance_m / speed_m_s
    if jerk_m_s3 is None:
        return speed_m_s / (2 * mean)
    return speed_m_s / (mean + math.sqrt(max(0.0, mean * mean - speed_m_s / jerk_m_s3)))


def _speed_for(distance_m: float, limit_m_s: float, needed_m: Callable[[float], float]) -> float:
    """Largest speed up to the limit whose changes of speed fit into the distance; needed_m rises with speed."""
    if needed_m(limit_m_s) <= distance_m:
        return limit_m_s
    found = root_scalar(lambda v: needed_m(v) - distance_m, bracket=(0.0, limit_m_s), xtol=1e-300, rtol=1e-15)
    return float(found.root)


def _least_slow_down_m(
    distance_m: float, limit_m_s: float, speed_up_m: Callable[[float], float], jerk_m_s3: float | None
) -> float:
    """Least distance of a slow-down whose jerk is limited and whose deceleration is not."""
    if jerk_m_s3 is None:
        return 0.0
    top = _speed_for(distance_m, limit_m_s, lambda v: speed_up_m(v) + v * math.sqrt(v / jerk_m_s3))
    return top * math.sqrt(top / jerk_m_s3)


def _why_not(wanted_m: float, least_m: float, distance_m: float, jerk_m_s3: float | None) -> str:
    if wanted_m >= distance_m:
        return f"the slow-down in {wanted_m:.6g} m leaves nothing of the {distance_m:.6g} m to speed up in"
    jerk = f"a jerk of {jerk_m_s3:.6g} m/s³"
    return f"a slow-down in {wanted_m:.6g} m is not possible with {jerk}: the least is {least_m:.6g} m"


def _refuse_nonsense(
    distance_m: float,
    speed_m_s: float,
    acceleration_m_s2: float,
    deceleration_m_s2: float | None,
    jerk_m_s3: float | None,
    slow_down_in_m: float | None,
) -> None:
    if deceleration_m_s2 is not None and slow_down_in_m is not None:
        raise ValueError("a move has a deceleration or a slow-down distance, not both")
    if not (math.isfinite(distance_m) and distance_m != 0):
        raise ValueError(f"a move needs a distance, found {distance_m} m")
    limits = {
        "speed (m/s)": speed_m_s,
        "acceleration (m/s²)": acceleration_m_s2,
        "deceleration (m/s²)": deceleration_m_s2,
        "jerk (m/s³)": jerk_m_s3,
        "slow-down distance (m)": slow_down_in_m,
    }
    for name, value in limits.items():
        if value is not None and not (math.isfinite(value) and value > 0):
            raise ValueError(f"the {name} of a move must be above zero, found {value}")
