"""Where in a step the first event function falls below zero: root-finding on the step's interpolant."""

from __future__ import annotations

from sim.dynamics.jit import compiled, part
from sim.dynamics.rhs import rhs
from sim.dynamics.stepper import dense_state

EVENT_TIME_S = 1e-10  # events are located this closely
MOST_TURNS = 100


@part
def candidate(gmin):
    """Whether any event function was seen below zero in the step."""
    for q in range(len(gmin)):
        if gmin[q] < 0.0:
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
        if x.gmin[q] < 0.0 and w.g[q] < 0.0:
            found = True
    return found


@part
def _seen_by(theta, x):
    """Whether a stage up to theta saw an event function below zero."""
    for q in range(len(x.gmin)):
        if x.gmin[q] < 0.0 and x.first[q] <= theta:
            return True
    return False


@part
def _first_bracket(t, h, y, x, m, w):
    """The first of a few places where the interpolant too is below zero, and evaluations; 2 if it nowhere is."""
    evals = 0
    for s in range(4):
        theta = 1.0 if s == 3 else (0.2 if s == 0 else (0.5 if s == 1 else 0.8))
        if _seen_by(theta, x):
            evals += 1
            if _negative(t, h, theta, y, x.g_high, x, m, w):
                return theta, evals
    return 2.0, evals


@part
def _guess(low, high, turn, h, x):
    """The next place to look: the first secant of any function below zero at high, now and then the middle."""
    theta = high
    for q in range(len(x.gmin)):
        if x.gmin[q] < 0.0 and x.g_high[q] < 0.0:
            above = max(x.g_low[q], 0.0)
            theta = min(theta, low + (high - low) * above / (above - x.g_high[q]))
    if turn % 3 == 2:
        theta = 0.5 * (low + high)
    edge = 0.25 * EVENT_TIME_S / h
    theta = min(max(theta, low + edge), high - edge)
    if turn % 3 == 1 and (high - low) * h > 4 * EVENT_TIME_S:
        theta = min(theta + 2 * edge, high)
    return theta


@compiled
def locate(t, h, y, x, m, w):
    """First fall below zero of any event function in the step.

    Returns (fraction of the step just after it, which function, evaluations); which is -1 if the stages had seen a dip
    that the interpolant does not have.
    """
    high, evals = _first_bracket(t, h, y, x, m, w)
    if high > 1.5:
        return high, -1, evals
    low = 0.0
    for q in range(len(x.gmin)):
        x.g_low[q] = x.g_start[q]
    for turn in range(MOST_TURNS):
        if (high - low) * h < EVENT_TIME_S:
            break
        theta = _guess(low, high, turn, h, x)
        evals += 1
        if _negative(t, h, theta, y, x.g_mid, x, m, w):
            high = theta
            for q in range(len(x.gmin)):
                x.g_high[q] = x.g_mid[q]
        else:
            low = theta
            for q in range(len(x.gmin)):
                x.g_low[q] = x.g_mid[q]
    which = -1
    for q in range(len(x.gmin)):
        if x.gmin[q] < 0.0 and x.g_high[q] < 0.0 and (which < 0 or x.g_low[q] < x.g_low[which]):
            which = q
    return high, which, evals
