"""What one run is asked, what it leaves behind, and the room it works in."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.dynamics.tables import POWERS

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# How a run ended.
END_OF_TIME, AT_REST, LINE_RAN_OUT, STEP_TOO_SMALL, NO_PROGRESS, TOO_MANY_STEPS = range(6)

# What happens at a known time.
BOUNDARY_MOTION, BOUNDARY_BRAKE, BOUNDARY_LIVE, BOUNDARY_RELEASE, BOUNDARY_LOCK, BOUNDARY_PART = range(6)

# Places in Record.counts.
EVALS, STEPS, REJECTED, RESTARTS, EVENTS, SAMPLES, STATUS, LOGGED = range(8)

# Places in Scratch.now: the clock, the step wished for, the last error; the books; the last half second; the guard.
(
    NOW_T,
    NOW_H,
    NOW_ERR,
    NOW_ENERGY,
    NOW_POTENTIAL,
    NOW_TURNED,
    NOW_WORST,
    NOW_BLOCK_END,
    NOW_FASTEST,
    NOW_QUIET,
    NOW_GUARD_START,
    NOW_GUARD_COUNT,
    NOW_HOPELESS,
    NOW_H_BEFORE,
) = range(14)
NOW_LENGTH = 14


class Orders(NamedTuple):
    """What one run is asked: times (s), tolerance, and the known discontinuities in order of time."""

    start_s: float
    end_s: float
    sample_step_s: float  # 0: no samples
    rest_from_s: float  # from here on the run may end once nothing moves
    rest_speed_m_s: float
    most_steps: int
    boundary_s: Floats
    boundary_what: Ints
    boundary_index: Ints


class Record(NamedTuple):
    """What one run leaves behind; filled in place."""

    samples: Floats  # (samples, observables)
    peak: Floats
    peak_s: Floats
    slack_s: Floats  # per performer: how long no line has borne it
    log: Floats  # (events, 4): time, word, index, value
    counts: Ints
    audit: Floats  # largest energy error, energy turned over, end time, work of each power
    final: Floats


class Scratch(NamedTuple):
    """Room for one run's steps: the compiled loop allocates nothing."""

    k: Floats  # (7, states) stages
    dense: Floats  # (4, states) interpolant
    tmp: Floats
    dtmp: Floats
    end: Floats  # the state at the step's end
    first: Floats  # where in the step every event function was first seen below zero, 2 if nowhere
    g_start: Floats
    fall_start: Floats  # w.fall at the step's start
    dip: Floats  # where in the step an event function may have its lowest place, 2 if nowhere
    g_low: Floats
    g_high: Floats
    g_mid: Floats
    seen: Floats  # observables at the step's end, ...
    start: Floats  # ... at its start, ...
    before: Floats  # ... and at the start of the one before
    inner: Floats
    pull: Floats  # on every performer over the least that bears, at the step's start, ...
    pull_end: Floats  # ... and at its end
    first_power: Floats
    work: Floats
    step_work: Floats
    now: Floats


def new_scratch(states: int, events: int, observables: int, performers: int) -> Scratch:
    """Room for a run of that many states, event functions, observables and performers."""
    z = np.zeros
    n, q, o = states, events, observables
    return Scratch(
        k=z((7, n)),
        dense=z((4, n)),
        tmp=z(n),
        dtmp=z(n),
        end=z(n),
        first=z(q),
        g_start=z(q),
        fall_start=z(q),
        dip=np.full(q, 2.0),
        g_low=z(q),
        g_high=z(q),
        g_mid=z(q),
        seen=z(o),
        start=z(o),
        before=z(o),
        inner=z((4, o)),
        pull=z(performers),
        pull_end=z(performers),
        first_power=z(POWERS),
        work=z(POWERS),
        step_work=z(POWERS),
        now=z(NOW_LENGTH),
    )
