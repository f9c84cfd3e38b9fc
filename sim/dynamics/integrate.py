"""The loop: steps, events, restarts, samples, peaks and the energy audit of one run, in one compiled function.

Every known discontinuity is a step boundary. Every other one is located by root-finding on the step's interpolant, and
the step is then integrated again up to it. Peaks come from the interpolant.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.dynamics.forces import drive_motion
from sim.dynamics.jit import compiled, part
from sim.dynamics.modes import EV_GUARD, event_value, hold_guard, note, settle, switch
from sim.dynamics.observe import observe
from sim.dynamics.rhs import energy, rhs
from sim.dynamics.stepper import dense_state, error_norm, prepare_dense, step
from sim.dynamics.tables import HELD, LIVE, MOVING, P_DRIVE, POWERS, SLIDE_MINUS, SLIDE_PLUS, STUCK

# How a run ended.
END_OF_TIME, AT_REST, LINE_RAN_OUT, STEP_TOO_SMALL, NO_PROGRESS, TOO_MANY_STEPS = range(6)

LONGEST_STEP_S = 0.05
SHORTEST_STEP_S = 1e-12
EVENT_TIME_S = 1e-10  # events are located this closely
IN_PLACE_S = 1e-9  # an event this close to the step's start counts towards the guard
GUARD_WINDOW_S = 1e-3
GUARD_COUNT = 20
HOPELESS_COUNT = 2000
REST_BLOCK_S = 0.5


class Orders(NamedTuple):
    """What one run is asked: times (s), tolerance, and the known discontinuities in order of time."""

    start_s: float
    end_s: float
    tolerance: float
    sample_step_s: float  # 0: no samples
    rest_from_s: float  # from here on the run may end once nothing moves
    rest_speed_m_s: float
    most_steps: int
    boundary_s: NDArray[np.float64]
    boundary_what: NDArray[np.int64]  # see BOUNDARY_*
    boundary_index: NDArray[np.int64]


BOUNDARY_PLAIN, BOUNDARY_MOTION, BOUNDARY_BRAKE, BOUNDARY_LIVE, BOUNDARY_RELEASE = range(5)


class Record(NamedTuple):
    """What one run leaves behind; filled in place."""

    samples: NDArray[np.float64]  # (samples, observables)
    peak: NDArray[np.float64]
    peak_s: NDArray[np.float64]
    log: NDArray[np.float64]  # (events, 4): time, word, index, value
    counts: NDArray[np.int64]  # evaluations, steps, rejected, restarts, events, samples, status, -
    audit: NDArray[np.float64]  # largest energy error, energy turned over, end time, work of each power
    final: NDArray[np.float64]


class Scratch(NamedTuple):
    """Room for one run's steps: the compiled loop allocates nothing."""

    k: NDArray[np.float64]
    dense: NDArray[np.float64]
    tmp: NDArray[np.float64]
    dtmp: NDArray[np.float64]
    kept: NDArray[np.float64]
    gmin: NDArray[np.float64]
    first: NDArray[np.float64]
    g_start: NDArray[np.float64]
    g_low: NDArray[np.float64]
    g_high: NDArray[np.float64]
    g_mid: NDArray[np.float64]
    seen: NDArray[np.float64]
    start: NDArray[np.float64]
    before: NDArray[np.float64]
    inner: NDArray[np.float64]
    first_power: NDArray[np.float64]
    work: NDArray[np.float64]
    step_work: NDArray[np.float64]


def new_scratch(states: int, events: int, observables: int) -> Scratch:
    """Room for a run of that many states, event functions and observables."""
    z = np.zeros
    n, q, o = states, events, observables
    return Scratch(
        z((7, n)), z((n, 4)), z(n), z(n), z(n), z(q), z(q), z(q), z(q), z(q), z(q), z(o), z(o), z(o), z((3, o)),
        z(POWERS), z(POWERS), z(POWERS),
    )  # fmt: skip


EVALS, STEPS, REJECTED, RESTARTS, EVENTS, SAMPLES, STATUS = range(7)


@part
def _keep_peaks(t, seen, record, m):
    for o in range(len(seen)):
        want = m.observables[o].peak
        if want != 0 and want * seen[o] > want * record.peak[o]:
            record.peak[o], record.peak_s[o] = seen[o], t


@part
def _may_peak(before, start, end, record, m):
    """Whether any peak could lie inside the step: the record is within reach of the step's own change."""
    for o in range(len(end)):
        want = m.observables[o].peak
        if want != 0:
            reach = 1.5 * max(abs(end[o] - start[o]), abs(start[o] - before[o])) + 1e-4 * abs(record.peak[o])
            if max(want * start[o], want * end[o]) + reach >= want * record.peak[o]:
                return True
    return False


@part
def _top_of_parabola(x, left, mid, right):
    """Extreme value and place of the parabola through three values a unit apart around x."""
    curve = left - 2.0 * mid + right
    if curve == 0.0:
        return mid, x
    shift = 0.5 * (left - right) / curve
    if abs(shift) > 1.0:
        return mid, x
    return mid - 0.25 * (left - right) * shift, x + shift


@part
def _inner_peaks(t, h, y, dense, tmp, dtmp, start, end, inner, record, m, w):
    """Peaks inside a step from the interpolant at its quarters and the parabolas through them."""
    for i in range(3):
        theta = 0.25 * (i + 1)
        dense_state(theta, h, y, dense, tmp)
        rhs(t + theta * h, tmp, dtmp, m, w)
        observe(t + theta * h, tmp, dtmp, inner[i], m, w)
    for o in range(len(end)):
        want = m.observables[o].peak
        if want == 0:
            continue
        for i in range(3):
            left = start[o] if i == 0 else inner[i - 1, o]
            right = end[o] if i == 2 else inner[i + 1, o]
            mid = inner[i, o]
            if want * mid >= want * left and want * mid >= want * right:
                top, place = _top_of_parabola(i + 1.0, left, mid, right)
                if want * top > want * record.peak[o]:
                    record.peak[o], record.peak_s[o] = top, t + 0.25 * place * h
            elif want * mid > want * record.peak[o]:
                record.peak[o], record.peak_s[o] = mid, t + 0.25 * (i + 1) * h


@part
def _candidate(gmin):
    for q in range(len(gmin)):
        if gmin[q] < 0.0:
            return True
    return False


@compiled
def _negative(t, h, theta, y, dense, tmp, dtmp, gmin, at, m, w):
    """Evaluate the event functions on the interpolant; True if one that may have fallen is below zero there."""
    dense_state(theta, h, y, dense, tmp)
    if not rhs(t + theta * h, tmp, dtmp, m, w):
        return False
    found = False
    for q in range(len(gmin)):
        at[q] = w.g[q]
        if gmin[q] < 0.0 and w.g[q] < 0.0:
            found = True
    return found


@compiled
def locate(t, h, y, dense, tmp, dtmp, gmin, first_negative, g_start, g_low, g_high, g_mid, m, w):
    """First fall below zero of any event function in the step.

    Returns (fraction of the step just after it, which function, evaluations); fraction 2 if the stages had seen a dip
    that the interpolant does not have.
    """
    evals = 0
    high = 2.0
    for s in range(4):
        theta = 1.0 if s == 3 else (0.2 if s == 0 else (0.5 if s == 1 else 0.8))
        seen = False
        for q in range(len(gmin)):
            if gmin[q] < 0.0 and first_negative[q] <= theta:
                seen = True
        if seen:
            evals += 1
            if _negative(t, h, theta, y, dense, tmp, dtmp, gmin, g_high, m, w):
                high = theta
                break
    if high > 1.5:
        return high, -1, evals
    low = 0.0
    for q in range(len(gmin)):
        g_low[q] = g_start[q]
    for turn in range(100):
        if (high - low) * h < EVENT_TIME_S:
            break
        theta = high
        for q in range(len(gmin)):
            if gmin[q] < 0.0 and g_high[q] < 0.0:
                above = max(g_low[q], 0.0)
                theta = min(theta, low + (high - low) * above / (above - g_high[q]))
        width = high - low
        if turn % 3 == 2:
            theta = 0.5 * (low + high)
        theta = min(max(theta, low + 0.25 * EVENT_TIME_S / h), high - 0.25 * EVENT_TIME_S / h)
        if turn % 3 == 1 and width * h > 4 * EVENT_TIME_S:
            theta = min(theta + 0.5 * EVENT_TIME_S / h, high)
        evals += 1
        if _negative(t, h, theta, y, dense, tmp, dtmp, gmin, g_mid, m, w):
            high = theta
            for q in range(len(gmin)):
                g_high[q] = g_mid[q]
        else:
            low = theta
            for q in range(len(gmin)):
                g_low[q] = g_mid[q]
    which = -1
    for q in range(len(gmin)):
        if gmin[q] < 0.0 and g_high[q] < 0.0 and (which < 0 or g_low[q] < g_low[which]):
            which = q
    return high, which, evals


@part
def _cross_boundary(b, y, orders, m, w):
    """Carry out what happens at a known time. Returns energy that comes to the books from outside (J)."""
    what, i = orders.boundary_what[b], orders.boundary_index[b]
    if what == BOUNDARY_MOTION:
        _next_motion_piece(i, orders.boundary_s[b], m, w)
    elif what == BOUNDARY_BRAKE:
        w.piece[i, 2] = _brake_piece(i, orders.boundary_s[b], m)
    elif what == BOUNDARY_RELEASE:
        if w.mode_p[i] == HELD:
            w.mode_p[i] = MOVING
    elif what == BOUNDARY_LIVE:
        return _turn_live(i, orders.boundary_s[b], y, m, w)
    return 0.0


@part
def _next_motion_piece(d, t, m, w):
    """Set the run of pieces that starts at time t: up to the next boundary the integrator steps on."""
    k = m.drives[d].motion_first
    last = m.drives[d].motion_last - 1
    while k < last and m.motion_t[k + 1] <= t + 1e-12:
        k += 1
    w.piece[d, 0] = k
    k += 1
    while k <= last and m.motion_corner[k] == 0:
        k += 1
    w.piece[d, 1] = k


@part
def _brake_piece(d, t, m):
    k = m.drives[d].brake_first
    while k + 1 < m.drives[d].brake_last and m.brake_t[k + 1] <= t + 1e-12:
        k += 1
    return k


@part
def _turn_live(d, t, y, m, w):
    """Power off: from here the drive's moving mass runs under line pull and brake, starting with the motion's speed."""
    place, speed = drive_motion(t, d, m, w)
    state = m.drives[d].state
    y[state], y[state + 1] = place, speed
    w.mode_d[d] = LIVE
    w.piece[d, 2] = _brake_piece(d, t, m)
    if abs(speed) < 1e-9:
        y[state + 1] = 0.0
        w.mode_b[d] = STUCK
        return 0.0
    w.mode_b[d] = SLIDE_PLUS if speed > 0.0 else SLIDE_MINUS
    return 0.5 * m.drives[d].mass * speed * speed


@part
def _fastest(m, w):
    most = 0.0
    for i in range(len(m.points)):
        if m.points[i].state >= 0:
            most = max(most, w.vel[i, 0] ** 2 + w.vel[i, 1] ** 2 + w.vel[i, 2] ** 2)
    return math.sqrt(most)


@compiled
def integrate(y, scale, allowed, orders, record, x, m, w):
    """Run from y at orders.start_s; y is left at the end state.

    scale (n,): 1 / allowed error of each state; allowed (events,): rounding of each event function.
    """
    n, n_o, n_q = len(y), len(m.observables), len(w.g)
    k, dense, tmp, dtmp, dy = x.k, x.dense, x.tmp, x.dtmp, x.kept
    gmin, first_negative, g_start, g_low, g_high, g_mid = x.gmin, x.first, x.g_start, x.g_low, x.g_high, x.g_mid
    seen, start, before, inner = x.seen, x.start, x.before, x.inner
    first_power, work, step_work = x.first_power, x.work, x.step_work
    counts, log = record.counts, record.log
    t, h, h_wish, e_old = orders.start_s, 1e-4, 1e-4, 1.0
    logged, b, b_last = 0, 0, len(orders.boundary_s)
    next_sample, status = 0, END_OF_TIME
    block_end, block_fastest, quiet_blocks = orders.rest_from_s + REST_BLOCK_S, 0.0, 0
    guard_start, guard_count, hopeless = t, 0, 0
    restart, first, rejected = True, True, False
    e_start, e_potential, turned, worst = 0.0, 0.0, 0.0, 0.0
    while b < b_last and orders.boundary_s[b] <= t + 1e-12:
        work[P_DRIVE] += _cross_boundary(b, y, orders, m, w)
        b += 1
    while True:
        if restart:
            ok, logged = settle(t, y, k[0], allowed, log, logged, m, w)
            counts[EVALS] += 1
            counts[RESTARTS] += 1
            if not ok:
                status = LINE_RAN_OUT if not rhs(t, y, k[0], m, w) else NO_PROGRESS
                break
            for q in range(POWERS):
                first_power[q] = w.power[q]
            for q in range(n_q):
                g_start[q] = w.g[q]
            observe(t, y, k[0], start, m, w)
            _keep_peaks(t, start, record, m)
            for o in range(n_o):
                before[o] = start[o]
            if first:
                kin, e_potential = energy(y, m, w)
                e_start = kin + e_potential
                first = False
                if orders.sample_step_s > 0.0:
                    for o in range(n_o):
                        record.samples[0, o] = start[o]
                    next_sample = 1
            restart = False
        if t >= orders.end_s - 1e-12:
            break
        if counts[STEPS] >= orders.most_steps:
            status = TOO_MANY_STEPS
            break
        limit = orders.boundary_s[b] if b < b_last else orders.end_s
        limit = min(limit, orders.end_s)
        h = min(h_wish, LONGEST_STEP_S)
        at_limit = t + h * 1.0001 >= limit - 1e-12
        if at_limit:
            h = limit - t
        elif t + 2.0 * h > limit:
            h = 0.5 * (limit - t)
        if h < SHORTEST_STEP_S:
            status = STEP_TOO_SMALL
            break
        ok = step(t, h, y, k, tmp, step_work, first_power, gmin, first_negative, m, w)
        counts[EVALS] += 6
        err = error_norm(h, k, scale) if ok else math.inf
        if err > 1.0:
            counts[REJECTED] += 1
            h_wish = h * (0.2 if not math.isfinite(err) else max(0.2, 0.9 * err**-0.2))
            rejected = True
            if h_wish < SHORTEST_STEP_S * 10:
                status = LINE_RAN_OUT if not ok else STEP_TOO_SMALL
                break
            continue
        event, theta = -1, 1.0
        if _candidate(gmin):
            prepare_dense(k, dense)
            theta, event, evals = locate(
                t, h, y, dense, tmp, dtmp, gmin, first_negative, g_start, g_low, g_high, g_mid, m, w
            )
            counts[EVALS] += evals
            if event >= 0 and theta * h < IN_PLACE_S:
                guard_count += 1
                hopeless += 1
                if t - guard_start > GUARD_WINDOW_S:
                    guard_start, guard_count = t, 1
                if hopeless > HOPELESS_COUNT:
                    status = NO_PROGRESS
                    break
                if guard_count > GUARD_COUNT and hold_guard(event, m, w):
                    logged = note(t, EV_GUARD, event // 2, 0.0, log, logged)
                    guard_count = 0
                    h_wish = max(0.2 * h, 1e-6)
                    restart = True
                    continue
            if event >= 0:
                h *= theta
                at_limit = False
            ok = step(t, h, y, k, tmp, step_work, first_power, gmin, first_negative, m, w)
            counts[EVALS] += 6
            if not ok:
                h_wish = 0.2 * h
                continue
        # The step stands: books, peaks and samples while the scratch still belongs to its end.
        t_new = limit if at_limit else t + h
        for q in range(n_q):
            g_start[q] = w.g[q]
        for q in range(POWERS):
            first_power[q] = w.power[q]
            work[q] += step_work[q]
        kin, pot = energy(tmp, m, w)
        turned += abs(step_work[P_DRIVE]) + abs(pot - e_potential)
        e_potential = pot
        balance = kin + pot - e_start
        for q in range(POWERS):
            balance -= work[q]
        worst = max(worst, abs(balance))
        block_fastest = max(block_fastest, _fastest(m, w))
        observe(t_new, tmp, k[6], seen, m, w)
        for i in range(n):
            dy[i] = tmp[i]
        need_peaks = _may_peak(before, start, seen, record, m)
        samples_due = orders.sample_step_s > 0.0 and next_sample * orders.sample_step_s <= t_new
        if need_peaks or samples_due:
            prepare_dense(k, dense)
        if need_peaks:
            _inner_peaks(t, h, y, dense, tmp, dtmp, start, seen, inner, record, m, w)
            counts[EVALS] += 3
        _keep_peaks(t_new, seen, record, m)
        while orders.sample_step_s > 0.0 and next_sample * orders.sample_step_s <= t_new:
            ts = next_sample * orders.sample_step_s
            dense_state((ts - t) / h, h, y, dense, tmp)
            rhs(ts, tmp, dtmp, m, w)
            observe(ts, tmp, dtmp, record.samples[next_sample], m, w)
            counts[SAMPLES] += 1
            next_sample += 1
        for i in range(n):
            y[i] = dy[i]
            k[0, i] = k[6, i]
        for o in range(n_o):
            before[o], start[o] = start[o], seen[o]
        t = t_new
        counts[STEPS] += 1
        if event >= 0:
            counts[EVENTS] += 1
            word, index = switch(event, y, m, w)
            logged = note(t, word, index, event_value(word, index, m, w), log, logged)
            restart = True
        else:
            grow = 0.9 * max(err, 1e-8) ** -0.14 * max(e_old, 1e-4) ** 0.08
            wish = h * min(1.0 if rejected else 2.0, max(0.2, grow))
            h_wish = max(wish, h_wish) if at_limit else wish
            e_old = max(err, 1e-4)
        rejected = False
        if t - guard_start > 10 * GUARD_WINDOW_S:
            hopeless = 0
        while b < b_last and orders.boundary_s[b] <= t + 1e-12:
            work[P_DRIVE] += _cross_boundary(b, y, orders, m, w)
            b += 1
            restart = True
        if t >= block_end:
            quiet_blocks = quiet_blocks + 1 if block_fastest < orders.rest_speed_m_s else 0
            block_end, block_fastest = t + REST_BLOCK_S, 0.0
            if quiet_blocks >= 2:
                status = AT_REST
                break
    counts[STATUS] = status
    counts[SAMPLES] = next_sample
    counts[7] = logged
    record.audit[0], record.audit[1], record.audit[2] = worst, turned, t
    for q in range(POWERS):
        record.audit[3 + q] = work[q]
    for i in range(n):
        record.final[i] = y[i]
