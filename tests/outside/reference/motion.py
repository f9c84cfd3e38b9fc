"""Line paid out at a drive, written for the outside models only: constant-acceleration pieces from a list of corners.

Kinematics of constant acceleration, any mechanics textbook. Metres and seconds; paying out is positive.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class PaidOut:
    """Paid-out length as pieces of constant acceleration between corners; at rest before and after.

    corner_s: times of the corners; speed_m_s: speed at each corner (a jump is two corners at the same time).
    """

    corner_s: tuple[float, ...]
    speed_m_s: tuple[float, ...]

    def position_m(self, time_s: float) -> float:
        """Line paid out by a time, m."""
        travelled = 0.0
        for t0, t1, v0, v1 in self._pieces():
            if time_s <= t0:
                break
            end = min(time_s, t1)
            if t1 > t0:
                share = end - t0
                travelled += v0 * share + 0.5 * (v1 - v0) / (t1 - t0) * share**2
        return travelled

    def speed(self, time_s: float) -> float:
        """Speed at a time, m/s; at a jump the value after it."""
        for t0, t1, v0, v1 in self._pieces():
            if t0 <= time_s < t1:
                return v0 + (v1 - v0) * (time_s - t0) / (t1 - t0)
        return 0.0

    def _pieces(self) -> list[tuple[float, float, float, float]]:
        times, speeds = self.corner_s, self.speed_m_s
        return [(times[i], times[i + 1], speeds[i], speeds[i + 1]) for i in range(len(times) - 1)]

    def stopped(self, at_s: float, deceleration_m_s2: float | None = None) -> PaidOut:
        """The same motion brought to rest from a time on: at once, or at a constant deceleration."""
        kept = [(t, v) for t, v in zip(self.corner_s, self.speed_m_s, strict=True) if t < at_s]
        speed = self.speed(at_s)
        duration = 0.0 if deceleration_m_s2 is None else abs(speed) / deceleration_m_s2
        kept += [(at_s, speed), (at_s + duration, 0.0)]
        return PaidOut(tuple(t for t, _ in kept), tuple(v for _, v in kept))


def trapezoid(
    start_s: float, distance_m: float, speed_m_s: float, acceleration_m_s2: float, deceleration_m_s2: float
) -> PaidOut:
    """Up to speed, along, and down to rest; distance signed (paying out positive), the rest as magnitudes.

    Raises ValueError when the distance is too short to reach the speed.
    """
    sign, distance = float(np.sign(distance_m)), abs(distance_m)
    up, down = speed_m_s / acceleration_m_s2, speed_m_s / deceleration_m_s2
    along = (distance - 0.5 * speed_m_s * (up + down)) / speed_m_s
    if along < 0.0:
        raise ValueError(f"{distance} m is too short for {speed_m_s} m/s")
    corners = (start_s, start_s + up, start_s + up + along, start_s + up + along + down)
    return PaidOut(corners, (0.0, sign * speed_m_s, sign * speed_m_s, 0.0))


STANDING = PaidOut((0.0, 0.0), (0.0, 0.0))
"""A drive that never moves."""
