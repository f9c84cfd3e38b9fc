"""The motion of every drive, from the moves of a scenario."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from profiles import ImpossibleMove, Motion, MotionsOverlap, TraceFaults, follow_trace, held_at, joined, point_to_point
from sim.rig.flight import Flight
from sim.scenario.model import FlyMove, FollowMove, LineMove, Move, PullTeam, Scenario, Winch


def drive_moves(scenario: Scenario, drive: str) -> list[tuple[str, Move]]:
    """The moves of one drive with a name for messages, in order of the file."""
    return [
        (f"move {number + 1} of {drive}", move)
        for number, move in enumerate(scenario.moves)
        if drive in move.drive_names
    ]


def drive_motion(scenario: Scenario, drive: str, flown: Sequence[Flight], sentences: list[str]) -> Motion:
    """All moves of a drive one after the other. What cannot be done is added to sentences."""
    motions, names = [Motion.at_rest()], ["the start"]
    for name, move in drive_moves(scenario, drive):
        try:
            motion = motion_at(scenario, drive, move, flown)
            if motion is None:
                continue
            if motion.start_s < 0.0:
                sentences.append(
                    f"{name}: smoothed, it begins {-motion.start_s:.2f} s before the run does; start it later."
                )
            motions.append(motion)
            names.append(name)
        except ImpossibleMove as wrong:
            sentences.append(f"{name}: {wrong}")
        except TraceFaults as wrong:
            sentences += [f"{name}: {wrong.name}: {fault}" for fault in wrong.faults]
    try:
        return joined(*motions[1:], names=names[1:]) if len(motions) > 1 else motions[0]
    except MotionsOverlap as wrong:
        sentences.append(f"{drive}: {wrong}")
        return motions[0]


def motion_at(scenario: Scenario, drive: str, move: Move, flown: Sequence[Flight]) -> Motion | None:
    """One move as one drive is asked to do it: never above its top speed. None for a path that could not be flown.

    Raises ImpossibleMove or TraceFaults.
    """
    spec = scenario.drives[drive]
    if isinstance(move, FlyMove):
        mine = [f for f in flown if f.performer == move.fly and f.progress.start_s == move.start.s]
        if not mine:
            return None
        motion = mine[0].motion(drive)
    else:
        motion = single_motion(scenario, move)
    if isinstance(spec, Winch | PullTeam) and spec.top_speed is not None:
        return held_at(motion, spec.top_speed.m_s)
    return motion


def single_motion(scenario: Scenario, move: LineMove | FollowMove) -> Motion:
    """One move by itself. Raises ImpossibleMove or TraceFaults."""
    if isinstance(move, FollowMove):
        folder = scenario.path.parent if scenario.path is not None else Path()
        smooth = None if isinstance(move.follow.smooth, str) else move.follow.smooth.Hz
        return follow_trace(folder / move.follow.file, smooth, move.start.s)
    distance = move.pay_out.m if move.pay_out is not None else -move.take_in.m if move.take_in is not None else 0.0
    return point_to_point(
        distance,
        move.speed.m_s,
        move.acceleration.m_s2,
        move.deceleration.m_s2 if move.deceleration is not None else None,
        move.jerk.m_s3 if move.jerk is not None else None,
        slow_down_in_m=move.slow_down_in.m if move.slow_down_in is not None else None,
        start_s=move.start.s,
    )
