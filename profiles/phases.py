"""A motion from phases of constant jerk: how moves and stops are put together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from profiles.motion import Motion

# A phase shorter than this share of the whole is rounding and is left out.
ROUNDING = 1e-13


@dataclass(frozen=True)
class Phase:
    """A stretch of constant jerk.

    duration_s: its length; a phase of no length is left out with its label.
    acceleration_m_s2: at its start. Said anew for every phase, so that a limit is held to the last
        digit instead of being summed up from jerks.
    jerk_m_s3: throughout.
    label: event at its start, '' for none.
    """

    duration_s: float
    acceleration_m_s2: float
    jerk_m_s3: float
    label: str = ""


def motion_of_phases(
    phases: Iterable[Phase],
    end_label: str,
    start_s: float = 0.0,
    start_position_m: float = 0.0,
    start_speed_m_s: float = 0.0,
) -> Motion:
    """The motion that runs through the phases; position and speed go on across them.

    Every breakpoint is a corner. The phases have to end at rest: beyond them the drive stands.
    Raises ValueError when no phase has a length.
    """
    time_s, labels, coefficients = [start_s], [""], []
    position_m, speed_m_s = start_position_m, start_speed_m_s
    phases = list(phases)
    shortest_s = ROUNDING * sum(phase.duration_s for phase in phases)
    for phase in phases:
        end_s = time_s[-1] + phase.duration_s
        if phase.duration_s <= shortest_s or end_s <= time_s[-1]:
            continue
        labels[-1] = phase.label
        tau, a, jerk = phase.duration_s, phase.acceleration_m_s2, phase.jerk_m_s3
        coefficients.append((position_m, speed_m_s, a / 2, jerk / 6))
        position_m += tau * (speed_m_s + tau * (a / 2 + tau * jerk / 6))
        speed_m_s += tau * (a + tau * jerk / 2)
        time_s.append(end_s)
        labels.append("")
    labels[-1] = end_label
    return Motion(np.array(time_s), np.array(coefficients).reshape(-1, 4), np.ones(len(time_s), bool), tuple(labels))


def change_of_speed(
    change_m_s: float, acceleration_m_s2: float, jerk_m_s3: float | None, label: str = ""
) -> list[Phase]:
    """Phases that change the speed by change_m_s >= 0 from no acceleration to none, in the least time.

    Without a jerk limit one phase at the full acceleration. With one, the acceleration is raised,
    held and lowered again; when the change is below a²/j it turns back before it is full, at √(j·change).
    """
    if jerk_m_s3 is None:
        return [Phase(change_m_s / acceleration_m_s2, acceleration_m_s2, 0.0, label)]
    peak = min(acceleration_m_s2, (jerk_m_s3 * change_m_s) ** 0.5)
    ramp_s = peak / jerk_m_s3
    hold_s = change_m_s / peak - ramp_s
    return [
        Phase(ramp_s, 0.0, jerk_m_s3, label),
        Phase(hold_s, peak, 0.0),
        Phase(ramp_s, peak, -jerk_m_s3),
    ]


def reversed_sense(phases: Iterable[Phase], sense: float = -1.0) -> list[Phase]:
    """The same phases with acceleration and jerk times sense (1 or -1)."""
    return [Phase(p.duration_s, sense * p.acceleration_m_s2, sense * p.jerk_m_s3, p.label) for p in phases]
