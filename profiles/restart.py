"""A drive that is started again after a stop, and goes on to where its moves would have ended."""

from __future__ import annotations

from profiles.motion import POSITION_JUMP_M, Motion
from profiles.point_to_point import point_to_point
from profiles.sequence import joined


def restarted(slowed: Motion, planned: Motion, after_s: float) -> Motion:
    """The stopped motion, and so long after it stands one move to the planned end.

    That move has the greatest speed, acceleration, deceleration and jerk of what was planned; where acceleration could
    jump then it can now.

    >>> from profiles.stop import stopped
    >>> move = point_to_point(10.0, speed_m_s=3.0, acceleration_m_s2=3.0)
    >>> again = restarted(stopped(move, 2.0, 4.5), move, after_s=1.0)
    >>> round(again.end_position_m, 9), again.speed_m_s(3.0), again.top_speed_m_s
    (10.0, 0.0, 3.0)
    """
    left_m = planned.end_position_m - slowed.end_position_m
    if abs(left_m) < POSITION_JUMP_M or not planned.moves:
        return slowed
    rest = point_to_point(
        left_m,
        planned.top_speed_m_s,
        planned.top_acceleration_m_s2,
        planned.top_deceleration_m_s2,
        planned.top_jerk_m_s3 or None,
        start_s=slowed.end_s + after_s,
    )
    return joined(slowed, rest)
