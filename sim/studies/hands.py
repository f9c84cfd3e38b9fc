"""What people do with their hands when a stop is called: their motion from then on, and what they hold with."""

from __future__ import annotations

from profiles import Motion, stopped
from sim.rig.case import PowerOff
from sim.rig.hands import MADE_FAST_N, TIES_OFF_IN_S, Order, holding
from sim.rig.pull_team import STOPS_AT_M_S2
from sim.rig.winch import Winch


def called(drive: Winch, order: Order, motion: Motion, time_s: float) -> tuple[Motion, PowerOff | None]:
    """Motion and hold of a drive of people from a call at time_s on; until their reaction is over they go on.

    A team that holds first stops as people do and stands by its own strength; a lowering hand has only to close. Who is
    to lock off holds, and has made the tail fast a little later. Hands that let go hold nothing.
    """
    assert drive.hands is not None
    at_s = time_s + drive.hands.reaction_s
    if not drive.hands.below_device and order != "let go":
        motion = stopped(motion, at_s, STOPS_AT_M_S2)
        if order == "hold":
            return motion, None
        at_s = max(motion.end_s, at_s)
        return motion, PowerOff(at_s + TIES_OFF_IN_S, ((at_s + TIES_OFF_IN_S, MADE_FAST_N, 0.0),))
    return motion, PowerOff(at_s, holding(order, drive.hands.grip_N, at_s))
