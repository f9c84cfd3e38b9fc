"""One step of the explicit Runge-Kutta pair 5(4) of Dormand and Prince (J. Comput. Appl. Math. 6, 1980); dense output.

The interpolant of order four is Shampine's (Math. Comp. 46, 1986); the tests hold its coefficients against SciPy's.
"""

from __future__ import annotations

import math

import numpy as np

from sim.dynamics.jit import merged_entry, part
from sim.dynamics.rhs import derivative
from sim.dynamics.tables import POWERS

STAGES = 7
MOST_ERROR = 1e200  # a step with more than this has overflowed
NODE = np.array([0.0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1.0, 1.0])
WEIGHT = np.array(
    [
        [0, 0, 0, 0, 0, 0],
        [1 / 5, 0, 0, 0, 0, 0],
        [3 / 40, 9 / 40, 0, 0, 0, 0],
        [44 / 45, -56 / 15, 32 / 9, 0, 0, 0],
        [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729, 0, 0],
        [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656, 0],
        [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
    ]
)
ERROR = np.array([-71 / 57600, 0, 71 / 16695, -71 / 1920, 17253 / 339200, -22 / 525, 1 / 40])
DENSE = np.array(
    [
        [1, -8048581381 / 2820520608, 8663915743 / 2820520608, -12715105075 / 11282082432],
        [0, 0, 0, 0],
        [0, 131558114200 / 32700410799, -68118460800 / 10900136933, 87487479700 / 32700410799],
        [0, -1754552775 / 470086768, 14199869525 / 1410260304, -10690763975 / 1880347072],
        [0, 127303824393 / 49829197408, -318862633887 / 49829197408, 701980252875 / 199316789632],
        [0, -282668133 / 205662961, 2019193451 / 616988883, -1453857185 / 822651844],
        [0, 40617522 / 29380423, -110615467 / 29380423, 69997945 / 29380423],
    ]
)


@part
def _stage_state(s, h, y, k, tmp):
    """State at stage s: y and h times the weighted slopes so far; each written out, so that a state is read once."""
    a, b, c = WEIGHT[s, 0], WEIGHT[s, 1], WEIGHT[s, 2]
    d, e, f = WEIGHT[s, 3], WEIGHT[s, 4], WEIGHT[s, 5]
    if s == 1:
        for i in range(len(y)):
            tmp[i] = y[i] + h * (a * k[0, i])
    elif s == 2:
        for i in range(len(y)):
            tmp[i] = y[i] + h * (a * k[0, i] + b * k[1, i])
    elif s == 3:
        for i in range(len(y)):
            tmp[i] = y[i] + h * (a * k[0, i] + b * k[1, i] + c * k[2, i])
    elif s == 4:
        for i in range(len(y)):
            tmp[i] = y[i] + h * (a * k[0, i] + b * k[1, i] + c * k[2, i] + d * k[3, i])
    elif s == 5:
        for i in range(len(y)):
            tmp[i] = y[i] + h * (a * k[0, i] + b * k[1, i] + c * k[2, i] + d * k[3, i] + e * k[4, i])
    else:
        for i in range(len(y)):
            tmp[i] = y[i] + h * (a * k[0, i] + c * k[2, i] + d * k[3, i] + e * k[4, i] + f * k[5, i])


@part
def _watch_events(node, g, first):
    """Note where an event function was first seen below zero."""
    below = 0
    for q in range(len(g)):
        below += g[q] < 0.0
    if below > 0:
        for q in range(len(g)):
            if g[q] < 0.0 and first[q] > node:
                first[q] = node


@merged_entry
def step(t, h, y, k, tmp, work_done, first_power, first, m, w):
    """All stages of one step; the new state is left in tmp and k[6] is its derivative.

    k (7, n), k[0] given. work_done (POWERS,) gets the work of this step; first (events,) the fraction of the step at
    which each event function was first seen below zero, 2 for those that never were. Returns False if line ran out.
    """
    for q in range(POWERS):
        work_done[q] = h * WEIGHT[6, 0] * first_power[q]
    for q in range(len(first)):
        first[q] = 2.0
    for s in range(1, STAGES):
        _stage_state(s, h, y, k, tmp)
        if not derivative(t + NODE[s] * h, tmp, k[s], m, w):
            return False
        if s < 6:
            share = h * WEIGHT[6, s]
            for q in range(POWERS):
                work_done[q] += share * w.power[q]
        _watch_events(NODE[s], w.g, first)
    return True


@part
def error_norm(h, k, scale):
    """Error of the step over the allowed error of each state; the largest decides. Infinite where it is no number."""
    worst = 0.0
    for i in range(k.shape[1]):
        error = ERROR[0] * k[0, i] + ERROR[2] * k[2, i] + ERROR[3] * k[3, i]
        error += ERROR[4] * k[4, i] + ERROR[5] * k[5, i] + ERROR[6] * k[6, i]
        error = abs(h * error) * scale[i]
        if not error <= MOST_ERROR:
            return math.inf
        worst = max(worst, error)
    return worst


@part
def prepare_dense(k, dense):
    """Coefficients (4, n) of the interpolant from the stages."""
    for c in range(4):
        for i in range(k.shape[1]):
            dense[c, i] = (
                DENSE[0, c] * k[0, i]
                + DENSE[2, c] * k[2, i]
                + DENSE[3, c] * k[3, i]
                + DENSE[4, c] * k[4, i]
                + DENSE[5, c] * k[5, i]
                + DENSE[6, c] * k[6, i]
            )


@part
def dense_state(theta, h, y, dense, out):
    """State at the fraction theta of the step that started from y."""
    scale = h * theta
    for i in range(len(y)):
        out[i] = y[i] + scale * (dense[0, i] + theta * (dense[1, i] + theta * (dense[2, i] + theta * dense[3, i])))
