"""What stands: a state to begin from anew, an event, a step, each with its books, peaks and samples."""

from __future__ import annotations

import math

from sim.dynamics.jit import merged, part
from sim.dynamics.modes import change, settle
from sim.dynamics.observe import observe, watch
from sim.dynamics.orders import (
    EVALS,
    EVENTS,
    LINE_RAN_OUT,
    LOGGED,
    NO_PROGRESS,
    NOW_ENERGY,
    NOW_FASTEST,
    NOW_H_BEFORE,
    NOW_POTENTIAL,
    NOW_T,
    NOW_TURNED,
    NOW_WORST,
    RESTARTS,
    SAMPLES,
    STEPS,
)
from sim.dynamics.peaks import inner_peaks, keep_peaks, keep_slack, may_peak, read_pulls, take_samples
from sim.dynamics.rhs import energy, rhs
from sim.dynamics.stepper import prepare_dense
from sim.dynamics.tables import P_DRIVE, POWERS


@part
def copy(source, target):
    """Copy one row of numbers into another."""
    for i in range(len(target)):
        target[i] = source[i]


@part
def restart_at(y, allowed, orders, record, x, m, w):
    """Settle the modes after a discontinuity and read everything anew. Returns a status, or -1 to go on."""
    t = x.now[NOW_T]
    ok, record.counts[LOGGED] = settle(t, y, x.k[0], allowed, record.log, record.counts[LOGGED], m, w)
    record.counts[EVALS] += 1
    record.counts[RESTARTS] += 1
    if not ok:
        return NO_PROGRESS if rhs(t, y, x.k[0], m, w) else LINE_RAN_OUT
    copy(w.power, x.first_power)
    copy(w.g, x.g_start)
    copy(w.fall, x.fall_start)
    read_pulls(x.pull, m, w)
    observe(t, y, x.k[0], x.start, m, w)
    keep_peaks(t, x.start, record, m)
    copy(x.start, x.before)
    if record.counts[RESTARTS] == 1:
        kinetic, potential = energy(y, m, w)
        x.now[NOW_ENERGY], x.now[NOW_POTENTIAL] = kinetic + potential, potential
        if orders.sample_step_s > 0.0:
            copy(x.start, record.samples[0])
            record.counts[SAMPLES] = 1
    return -1


@part
def happen(event, y, record, x, m, w):
    """Change the mode that ended where the step does; peaks and samples may have left the scratch somewhere inside."""
    counts, t = record.counts, x.now[NOW_T]
    rhs(t, y, x.k[0], m, w)
    counts[EVALS] += 1
    counts[EVENTS] += 1
    counts[LOGGED] = change(t, event, y, record.log, counts[LOGGED], m, w)


@part
def _books(x, m, w):
    """Energy at the step's end against what went in and out; how much was turned over."""
    for q in range(POWERS):
        x.work[q] += x.step_work[q]
    kinetic, potential = energy(x.tmp, m, w)
    x.now[NOW_TURNED] += abs(x.step_work[P_DRIVE]) + abs(potential - x.now[NOW_POTENTIAL])
    x.now[NOW_POTENTIAL] = potential
    balance = kinetic + potential - x.now[NOW_ENERGY]
    for q in range(POWERS):
        balance -= x.work[q]
    x.now[NOW_WORST] = max(x.now[NOW_WORST], abs(balance))


@part
def _fastest(m, w):
    """Speed of the fastest point (m/s)."""
    most = 0.0
    for i in range(len(m.points)):
        if m.points[i].state >= 0:
            p = w.points[i]
            most = max(most, p.vx * p.vx + p.vy * p.vy + p.vz * p.vz)
    return math.sqrt(most)


@merged
def accept(h, t_new, y, orders, record, x, m, w):
    """The step stands: books, peaks and samples while the scratch still belongs to its end; then the clock moves on."""
    t = x.now[NOW_T]
    copy(w.g, x.g_start)
    copy(w.fall, x.fall_start)
    copy(w.power, x.first_power)
    _books(x, m, w)
    x.now[NOW_FASTEST] = max(x.now[NOW_FASTEST], _fastest(m, w))
    watch(t_new, x.tmp, x.k[6], x.seen, m, w)
    keep_slack(h, record, x, m, w)
    copy(x.tmp, x.end)
    peaks_due = may_peak(x.before, x.start, x.seen, x.now[NOW_H_BEFORE] / h, record, m)
    next_sample = record.counts[SAMPLES]
    samples_due = orders.sample_step_s > 0.0 and next_sample * orders.sample_step_s <= t_new
    if peaks_due or samples_due:
        prepare_dense(x.k, x.dense)
    if peaks_due:
        record.counts[EVALS] += inner_peaks(t, h, y, record, x, m, w)
    keep_peaks(t_new, x.seen, record, m)
    if samples_due:
        record.counts[SAMPLES] = take_samples(t, h, t_new, y, next_sample, orders.sample_step_s, record, x, m, w)
    copy(x.end, y)
    copy(x.k[6], x.k[0])
    copy(x.start, x.before)
    copy(x.seen, x.start)
    x.now[NOW_T], x.now[NOW_H_BEFORE] = t_new, h
    record.counts[STEPS] += 1
