"""Several moves of one drive, one after the other."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from profiles.motion import Motion

# Two moves this close in time touch: nobody writes a start to a nanosecond, but sums of durations round.
TOUCHING_S = 1e-9


class MotionsOverlap(ValueError):
    """Two moves of one drive want it at the same time."""


def joined(*motions: Motion, names: Sequence[str] | None = None) -> Motion:
    """Moves of one drive in sequence, at rest between; each goes on from where the one before ended.

    The first motion's start position counts, those of the others do not. names (else 'move 1', ...)
    are for the error. Raises MotionsOverlap when one starts before the one before it has ended.
    """
    if not motions:
        raise ValueError("nothing to join")
    names = names or [f"move {i + 1}" for i in range(len(motions))]
    whole, whole_name = motions[0], names[0]
    for motion, name in zip(motions[1:], names[1:], strict=True):
        if not motion.moves:
            continue
        if not whole.moves:
            whole = motion.shifted(0.0, whole.start_position_m - motion.start_position_m)
        elif motion.start_s < whole.end_s - TOUCHING_S:
            raise MotionsOverlap(
                f"{name} starts at {motion.start_s:.6g} s, before {whole_name} ends at {whole.end_s:.6g} s"
            )
        else:
            whole = _appended(whole, motion)
        whole_name = name
    return whole


def _appended(first: Motion, second: Motion) -> Motion:
    gap_s = second.start_s - first.end_s
    touching = gap_s <= TOUCHING_S
    second = second.shifted(-gap_s if touching else 0.0, first.end_position_m - second.start_position_m)
    if touching:
        shared = "; ".join(text for text in (first.label[-1], second.label[0]) if text)
        return Motion(
            np.concatenate([first.time_s, second.time_s[1:]]),
            np.concatenate([first.coefficients, second.coefficients]),
            np.concatenate([first.corner[:-1], [first.corner[-1] or second.corner[0]], second.corner[1:]]),
            (*first.label[:-1], shared, *second.label[1:]),
        )
    rest = np.array([[first.end_position_m, 0.0, 0.0, 0.0]])
    return Motion(
        np.concatenate([first.time_s, second.time_s]),
        np.concatenate([first.coefficients, rest, second.coefficients]),
        np.concatenate([first.corner, second.corner]),
        (*first.label, *second.label),
    )
