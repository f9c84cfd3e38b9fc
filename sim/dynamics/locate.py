"""Where in a step the first event function falls below zero: root-finding on the step's interpolant."""

from __future__ import annotations

import math

from sim.dynamics.jit import compiled, entry, part
from sim.dynamics.rhs import rhs
from sim.dynamics.stepper import NODE, dense_state

EVENT_TIME_S = 1e-10  # events are located this closely
MOST_TURNS = 100
# A dip is looked into when the cubic's lowest place is below zero or above it by less than this share of its depth.
DIP_MARGIN = 0.02


@part
def _suspect(q, x):
    """Whether an event function was seen below zero in the step, or may have dipped there unseen."""
    return min(x.first[q], x.dip[q]) <= 1.0


@part
def candidate(x):
    """Whether any event function is suspect."""
    for q in range(len(x.first)):
        if _suspect(q, x):
            return True
    return False


@compiled
def _negative(t, h, theta, y, at, x, m, w):
    """Evaluate the event functions on the interpolant into at; True if one that may have fallen is below zero there."""
    dense_state(theta, h, y, x.dense, x.tmp)
    if not rhs(t + theta * h, x.tmp, x.dtmp, m, w):
        return False
    found = False
    for q in range(len(at)):
        at[q] = w.g[q]
        if _suspect(q, x) and w.g[q] < 0.0:
            found = True
    return found


@part
def _seen_by(theta, x):
    """Whether a stage up to theta saw an event function below zero, or a dip is expected there."""
    for q in range(len(x.first)):
        if min(x.first[q], x.dip[q]) <= theta:
            return True
    return False


@part
def watch_dips(h, x, w):
    """Mark every slack line and clear floor whose event function may dip below zero between two stages.

    It falls at the step's start and rises at its end, so it has a lowest place inside: that of the cubic through both
    values and slopes (Hermite). In free flight that cubic is nearly exact, so a pulse of any length is seen.
    """
    for q in range(len(x.first)):
        start, end = -h * x.fall_start[q], -h * w.fall[q]
        x.dip[q] = 2.0
        if start >= 0.0 or end <= 0.0:
            continue
        low, high, rise = x.g_start[q], w.g[q], w.g[q] - x.g_start[q]
        c2, c3 = 3.0 * rise - 2.0 * start - end, start + end - 2.0 * rise
        # the place where start + 2 c2 theta + 3 c3 theta^2 rises through zero, in the form that does not cancel
        root = math.sqrt(max(c2 * c2 - 3.0 * c3 * start, 0.0))
        theta = -start / (c2 + root) if c2 + root > 0.0 else 0.5
        if not 0.0 < theta < 1.0:
            continue
        least = low + theta * (start + theta * (c2 + theta * c3))
        if least < DIP_MARGIN * (max(low, high) - least):
            x.dip[q] = theta


@part
def _next_place(theta, x):
    """The next place after theta to try the interpolant: a stage's abscissa, or where a dip is expected."""
    after = 2.0
    for s in range(len(NODE)):
        if NODE[s] > theta:
            after = min(after, NODE[s])
    for q in range(len(x.first)):
        if x.dip[q] > theta:
            after = min(after, x.dip[q])
    return after


@part
def _first_bracket(t, h, y, x, m, w):
    """The first place where the interpolant too is below zero, and evaluations; 2 if it nowhere is."""
    evals, theta = 0, 0.0
    while theta < 1.0:
        theta = _next_place(theta, x)
        if theta <= 1.0 and _seen_by(theta, x):
            evals += 1
            if _negative(t, h, theta, y, x.g_high, x, m, w):
                return theta, evals
    return 2.0, evals


@part
def _guess(low, high, turn, h, x):
    """The next place to look: the first secant of any function below zero at high, now and then the middle."""
    theta = high
    for q in range(len(x.first)):
        if _suspect(q, x) and x.g_high[q] < 0.0:
            above = max(x.g_low[q], 0.0)
            theta = min(theta, low + (high - low) * above / (above - x.g_high[q]))
    if turn % 3 == 2:
        theta = 0.5 * (low + high)
    edge = 0.25 * EVENT_TIME_S / h
    theta = min(max(theta, low + edge), high - edge)
    if turn % 3 == 1 and (high - low) * h > 4 * EVENT_TIME_S:
        theta = min(theta + 2 * edge, high)
    return theta


@entry
def locate(t, h, y, x, m, w):
    """First fall below zero of any event function in the step.

    Returns (fraction of the step just after it, which function, evaluations); which is -1 if the stages had seen a dip
    that the interpolant does not have.
    """
    high, evals = _first_bracket(t, h, y, x, m, w)
    if high > 1.5:
        return high, -1, evals
    low = 0.0
    for q in range(len(x.first)):
        x.g_low[q] = x.g_start[q]
    for turn in range(MOST_TURNS):
        if (high - low) * h < EVENT_TIME_S:
            break
        theta = _guess(low, high, turn, h, x)
        evals += 1
        if _negative(t, h, theta, y, x.g_mid, x, m, w):
            high = theta
            for q in range(len(x.first)):
                x.g_high[q] = x.g_mid[q]
        else:
            low = theta
            for q in range(len(x.first)):
                x.g_low[q] = x.g_mid[q]
    which = -1
    for q in range(len(x.first)):
        if _suspect(q, x) and x.g_high[q] < 0.0 and (which < 0 or x.g_low[q] < x.g_low[which]):
            which = q
    return high, which, evals
