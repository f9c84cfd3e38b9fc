"""The motion of every drive, from the moves of a scenario."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from profiles import ImpossibleMove, Motion, MotionsOverlap, TraceFaults, follow_trace, held_at, joined, point_to_point
from sim.rig.flight import Flight
from sim.scenario.model import FlyMove, FollowMove, LineMove, PullTeam, Scenario, Winch


def drive_moves(scenario: Scenario, drive: str) -> list[tuple[int, str]]:
    """The moves of one drive, each by its place among all, with a name for messages, in order of the file."""
    return [
        (number, f"move {number + 1} of {drive}")
        for number, move in enumerate(scenario.moves)
        if drive in move.drive_names
    ]


def drive_motion(scenario: Scenario, drive: str, flown: Sequence[Flight], sentences: list[str]) -> Motion:
    """All moves of a drive one after the other. What cannot be done is added to sentences."""
    motions, names = [Motion.at_rest()], ["the start"]
    for number, name in drive_moves(scenario, drive):
        try:
            motion = motion_at(scenario, drive, number, flown)
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


def paid_out_before(scenario: Scenario, drive: str, number: int, flown: Sequence[Flight]) -> float:
    """Line paid out at a drive by its moves before one (m). One that cannot be made, said elsewhere, counts nothing."""
    total_m = 0.0
    for earlier, _ in drive_moves(scenario, drive):
        try:
            motion = motion_at(scenario, drive, earlier, flown) if earlier < number else None
        except (ImpossibleMove, TraceFaults):
            continue
        total_m += motion.total_m if motion is not None else 0.0
    return total_m


def motion_at(scenario: Scenario, drive: str, number: int, flown: Sequence[Flight]) -> Motion | None:
    """One move, by its place among all, as one drive is asked to do it. None for a path that could not be flown.

    A drive is never above its top speed: of a move of its own it loses what is above; a path that asks for more is
    refused, as it would no longer be flown. Raises ImpossibleMove or TraceFaults.
    """
    move, spec = scenario.moves[number], scenario.drives[drive]
    top = spec.top_speed.m_s if isinstance(spec, Winch | PullTeam) and spec.top_speed is not None else None
    if not isinstance(move, FlyMove):
        motion = single_motion(scenario, move)
        return motion if top is None else held_at(motion, top)
    flight = next((f for f in flown if f.move == number), None)
    if flight is None:
        return None
    motion = flight.motion(drive)
    if top is not None and held_at(motion, top) is not motion:
        raise ImpossibleMove(
            f"the path asks for a line speed of {motion.top_speed_m_s:.3g} m/s, and its top speed is {top:.3g} m/s; "
            "fly slower, or another way"
        )
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
