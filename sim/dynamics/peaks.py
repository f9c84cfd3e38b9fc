"""Peaks and samples of a step, both from its interpolant."""

from __future__ import annotations

from sim.dynamics.jit import at, part
from sim.dynamics.observe import observe
from sim.dynamics.rhs import rhs
from sim.dynamics.stepper import dense_state


@part
def keep_peaks(t, seen, record, m):
    """Let values at time t stand as peaks where they are the highest or lowest so far."""
    for o in range(len(seen)):
        want = m.observables[o].peak
        if want != 0 and want * seen[o] > want * record.peak[o]:
            record.peak[o], record.peak_s[o] = seen[o], t


@part
def may_peak(before, start, end, ratio, record, m):
    """Whether any peak could lie inside the step: the record is within reach, and the value may turn before the end.

    ratio: the length of the step before over this one's. A value that goes on towards its record at more than 0.8 of
    the rate of the step before does not turn inside: a sine that turned would need steps of over two radians for that.
    """
    for o in range(len(end)):
        want = m.observables[o].peak
        if want == 0:
            continue
        last, now = want * (start[o] - before[o]), want * (end[o] - start[o])
        if last > 0.0 and now * ratio > 0.8 * last:
            continue
        reach = 1.5 * max(abs(now), abs(last)) + 1e-6 * abs(record.peak[o])
        if max(want * start[o], want * end[o]) + reach > want * record.peak[o] and reach > 0.0:
            return True
    return False


@part
def read_pulls(into, m, w):
    """The pull of all lines on every performer, over the least that bears: into (performers,)."""
    for p in range(len(into)):
        into[p] = 0.0
    for b in range(len(m.bearers)):
        into[m.bearers[b].who] += w.elements[at(m.bearers[b].element)].tension / m.bearers[b].least


@part
def keep_slack(h, record, x, m, w):
    """Add the part of a step in which no line bore a performer; within the step the pull is taken as straight."""
    read_pulls(x.pull_end, m, w)
    for p in range(len(x.pull)):
        low, high = min(x.pull[p], x.pull_end[p]), max(x.pull[p], x.pull_end[p])
        if high < 1.0:
            record.slack_s[p] += h
        elif low < 1.0:
            record.slack_s[p] += h * (1.0 - low) / (high - low)
        x.pull[p] = x.pull_end[p]


@part
def _place_of_top(want, left, mid, right):
    """Where the parabola through three values a unit apart has its extreme of the wanted sense, from the middle one.

    2 where it has none between the outer two.
    """
    curve = left - 2.0 * mid + right
    if want * curve >= 0.0:
        return 2.0
    shift = 0.5 * (left - right) / curve
    return shift if abs(shift) <= 1.0 else 2.0


@part
def _look_inside(theta, t, h, y, out, x, m, w):
    """Observe the interpolant at the fraction theta of the step."""
    dense_state(theta, h, y, x.dense, x.tmp)
    rhs(t + theta * h, x.tmp, x.dtmp, m, w)
    observe(t + theta * h, x.tmp, x.dtmp, out, m, w)


@part
def inner_peaks(t, h, y, record, x, m, w):
    """Peaks inside a step: the interpolant at its quarters, and where the parabolas through them have their tops.

    A parabola only says where to look; what counts as a peak is a value of the interpolant. Returns evaluations.
    """
    evals = 3
    for i in range(3):
        theta = 0.25 * (i + 1)
        _look_inside(theta, t, h, y, x.inner[i], x, m, w)
        keep_peaks(t + theta * h, x.inner[i], record, m)
    for o in range(len(x.seen)):
        want = m.observables[o].peak
        if want == 0:
            continue
        for i in range(3):
            left = x.start[o] if i == 0 else x.inner[i - 1, o]
            right = x.seen[o] if i == 2 else x.inner[i + 1, o]
            mid = x.inner[i, o]
            shift = _place_of_top(want, left, mid, right)
            # the parabola's top stands this much above its middle value
            if shift <= 1.0 and want * (mid - 0.25 * (left - right) * shift) > want * record.peak[o]:
                theta = 0.25 * (i + 1 + shift)
                _look_inside(theta, t, h, y, x.inner[3], x, m, w)
                keep_peaks(t + theta * h, x.inner[3], record, m)
                evals += 1
    return evals


@part
def take_samples(t, h, t_new, y, next_sample, step_s, record, x, m, w):
    """Write every sample due up to t_new; returns the number of the next one."""
    while next_sample * step_s <= t_new and next_sample < len(record.samples):
        ts = next_sample * step_s
        dense_state((ts - t) / h, h, y, x.dense, x.tmp)
        rhs(ts, x.tmp, x.dtmp, m, w)
        observe(ts, x.tmp, x.dtmp, record.samples[next_sample], m, w)
        next_sample += 1
    return next_sample
