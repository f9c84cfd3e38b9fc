"""The loop: steps, events, restarts, samples, peaks and the energy audit of one run.

Every known discontinuity is a step boundary. Every other one is located by root-finding on the step's interpolant, and
the step is then integrated again up to it. Peaks come from the interpolant.
"""

from __future__ import annotations

import math

from sim.dynamics.accepting import accept, copy, happen, restart_at
from sim.dynamics.boundary import SAME_TIME_S, cross_boundary
from sim.dynamics.jit import entry, merged, part
from sim.dynamics.locate import candidate, locate, watch_dips
from sim.dynamics.modes import EV_GUARD, hold_guard, note
from sim.dynamics.orders import (
    AT_REST,
    END_OF_TIME,
    EVALS,
    LINE_RAN_OUT,
    LOGGED,
    NO_PROGRESS,
    NOW_BLOCK_END,
    NOW_ERR,
    NOW_FASTEST,
    NOW_GUARD_COUNT,
    NOW_GUARD_START,
    NOW_H,
    NOW_HOPELESS,
    NOW_QUIET,
    NOW_T,
    NOW_TURNED,
    NOW_WORST,
    REJECTED,
    STATUS,
    STEP_TOO_SMALL,
    STEPS,
    TOO_MANY_STEPS,
)
from sim.dynamics.stepper import error_norm, prepare_dense, step
from sim.dynamics.tables import POWERS

LONGEST_STEP_S = 0.05
SHORTEST_STEP_S = 1e-12
FIRST_STEP_S = 1e-4
IN_PLACE_S = 1e-9  # an event this close to the step's start counts towards the guard
GUARD_WINDOW_S = 1e-3
GUARD_COUNT = 20
HOPELESS_COUNT = 2000
REST_BLOCK_S = 0.5
REST_BLOCKS = 2
STEP_REJECTED, STEP_STANDS, STEP_EVENT, STEP_HELD, STEP_FAILED = range(5)


@part
def _length(t, wish, limit):
    """Length of the next step and whether it ends on the boundary at `limit`; no sliver is left before one."""
    h = min(wish, LONGEST_STEP_S)
    if t + h * 1.0001 >= limit - SAME_TIME_S:
        return limit - t, True
    if t + 2.0 * h > limit:
        return 0.5 * (limit - t), False
    return h, False


@part
def _guard(event, x, record, m, w):
    """Count events without progress. Returns STEP_EVENT to go on, STEP_HELD if friction was held, or STEP_FAILED."""
    x.now[NOW_HOPELESS] += 1.0
    if x.now[NOW_T] - x.now[NOW_GUARD_START] > GUARD_WINDOW_S:
        x.now[NOW_GUARD_START], x.now[NOW_GUARD_COUNT] = x.now[NOW_T], 0.0
    x.now[NOW_GUARD_COUNT] += 1.0
    if x.now[NOW_HOPELESS] > HOPELESS_COUNT:
        return STEP_FAILED
    if x.now[NOW_GUARD_COUNT] > GUARD_COUNT and hold_guard(event, m, w):
        record.counts[LOGGED] = note(x.now[NOW_T], EV_GUARD, event, 0.0, record.log, record.counts[LOGGED])
        x.now[NOW_GUARD_COUNT] = 0.0
        return STEP_HELD
    return STEP_EVENT


@merged
def _try_step(h, y, scale, record, x, m, w):
    """One step, cut at its first event. Returns (what it is, its length, event function, its error)."""
    t, counts = x.now[NOW_T], record.counts
    what, event, err = STEP_STANDS, -1, 0.0
    for attempt in range(2):
        ok = step(t, h, y, x.k, x.tmp, x.step_work, x.first_power, x.first, m, w)
        counts[EVALS] += 6
        if attempt == 1:  # the step again, up to its event
            return (what if ok else STEP_REJECTED), h, event, (err if ok else math.inf)
        err = error_norm(h, x.k, scale) if ok else math.inf
        if err > 1.0:
            counts[REJECTED] += 1
            return STEP_REJECTED, h, -1, err
        watch_dips(h, x, w)
        if not candidate(x):
            return STEP_STANDS, h, -1, err
        prepare_dense(x.k, x.dense)
        theta, event, evals = locate(t, h, y, x, m, w)
        counts[EVALS] += evals
        if event >= 0:
            what = _guard(event, x, record, m, w) if theta * h < IN_PLACE_S else STEP_EVENT
            if what != STEP_EVENT:
                return what, h, event, err
            h *= theta
    return what, h, event, err


@part
def _next_length(h, err, at_limit, rejected, x):
    """The step to wish for after one that stood: a PI controller (Hairer, Norsett and Wanner, Solving ODEs I, II.4)."""
    grow = 0.9 * max(err, 1e-8) ** -0.14 * max(x.now[NOW_ERR], 1e-4) ** 0.08
    wish = h * min(1.0 if rejected else 2.0, max(0.2, grow))
    x.now[NOW_H] = max(wish, x.now[NOW_H]) if at_limit else wish
    x.now[NOW_ERR] = max(err, 1e-4)


@part
def _at_rest(orders, x):
    """Whether nothing has moved for the last blocks of half a second."""
    if x.now[NOW_T] < x.now[NOW_BLOCK_END]:
        return False
    quiet = x.now[NOW_FASTEST] < orders.rest_speed_m_s
    x.now[NOW_QUIET] = x.now[NOW_QUIET] + 1.0 if quiet else 0.0
    x.now[NOW_BLOCK_END], x.now[NOW_FASTEST] = x.now[NOW_T] + REST_BLOCK_S, 0.0
    return x.now[NOW_QUIET] >= REST_BLOCKS


@part
def _after_rejection(h, err, x):
    """Shorten the step. Returns False where it has become too short to go on."""
    x.now[NOW_H] = h * (max(0.2, 0.9 * err**-0.2) if math.isfinite(err) else 0.2)
    return x.now[NOW_H] > SHORTEST_STEP_S * 10


@part
def _begin(goes_on, orders, x):
    """Set the clock; where a run goes on it stands already. Returns how many boundaries are behind it."""
    b = 0
    if goes_on:
        while b < len(orders.boundary_s) and orders.boundary_s[b] <= x.now[NOW_T] + SAME_TIME_S:
            b += 1
    else:
        x.now[NOW_T], x.now[NOW_H], x.now[NOW_ERR] = orders.start_s, FIRST_STEP_S, 1.0
        x.now[NOW_BLOCK_END] = orders.rest_from_s + REST_BLOCK_S
        x.now[NOW_GUARD_START] = orders.start_s
    return b


@part
def _cross_due(b, y, orders, x, m, w):
    """Carry out every boundary that is due; returns the number of the next one."""
    while b < len(orders.boundary_s) and orders.boundary_s[b] <= x.now[NOW_T] + SAME_TIME_S:
        cross_boundary(b, y, orders, x, m, w)
        b += 1
    return b


@part
def _finish(status, y, record, x):
    """Write down how the run ended and its audit."""
    record.counts[STATUS] = status
    record.audit[0], record.audit[1], record.audit[2] = x.now[NOW_WORST], x.now[NOW_TURNED], x.now[NOW_T]
    for q in range(POWERS):
        record.audit[3 + q] = x.work[q]
    copy(y, record.final)


@entry
def integrate(y, scale, allowed, orders, record, x, m, w):
    """Run from y at orders.start_s; y is left at the end state.

    scale (n,): 1 / allowed error of each state; allowed (events,): rounding of each event function (N).
    A run left with TOO_MANY_STEPS goes on, with more of them, as if it had not been left: same record, scratch and y.
    """
    counts = record.counts
    goes_on = counts[STATUS] == TOO_MANY_STEPS
    b, restart, rejected, status = _begin(goes_on, orders, x), not goes_on, False, END_OF_TIME
    while True:
        passed = _cross_due(b, y, orders, x, m, w)
        if passed > b:
            b, restart = passed, True
        if restart:
            failed = restart_at(y, allowed, orders, record, x, m, w)
            restart = False
            if failed >= 0:
                status = failed
                break
        t = x.now[NOW_T]
        if t >= orders.end_s - SAME_TIME_S:
            break
        if counts[STEPS] >= orders.most_steps:
            status = TOO_MANY_STEPS
            break
        limit = min(orders.boundary_s[b] if b < len(orders.boundary_s) else orders.end_s, orders.end_s)
        asked, at_limit = _length(t, x.now[NOW_H], limit)
        what, h, event, err = _try_step(asked, y, scale, record, x, m, w)
        if what == STEP_REJECTED:
            rejected = True
            if not _after_rejection(h, err, x):
                status = STEP_TOO_SMALL if math.isfinite(err) else LINE_RAN_OUT
                break
            continue
        if what == STEP_FAILED:
            status = NO_PROGRESS
            break
        if what == STEP_HELD:
            x.now[NOW_H], restart = max(0.2 * h, 1e-6), True
            continue
        at_limit = at_limit and h == asked
        accept(h, limit if at_limit else t + h, y, orders, record, x, m, w)
        if what == STEP_EVENT:
            happen(event, y, record, x, m, w)
            restart = True
        else:
            _next_length(h, err, at_limit, rejected, x)
        rejected = False
        if x.now[NOW_T] - x.now[NOW_GUARD_START] > 10 * GUARD_WINDOW_S:
            x.now[NOW_HOPELESS] = 0.0
        if _at_rest(orders, x):
            status = AT_REST
            break
    _finish(status, y, record, x)
