"""One step of the explicit Runge-Kutta pair 5(4) of Dormand and Prince (J. Comput. Appl. Math. 6, 1980); dense output.

The interpolant of order four is Shampine's (Math. Comp. 46, 1986); the tests hold its coefficients against SciPy's.
"""

from __future__ import annotations

import math

import numpy as np

from sim.dynamics.jit import compiled, part
from sim.dynamics.rhs import rhs
from sim.dynamics.tables import POWERS

STAGES = 7
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
    """State at stage s: y and h times the weighted slopes so far, row by row so that many go at once."""
    n = len(y)
    a = h * WEIGHT[s, 0]
    for i in range(n):
        tmp[i] = y[i] + a * k[0, i]
    for r in range(1, s):
        a = h * WEIGHT[s, r]
        if a != 0.0:
            for i in range(n):
                tmp[i] += a * k[r, i]


@part
def _watch_events(node, g, gmin, first_negative):
    """Keep the least value of every event function, and where it first was below zero."""
    below = 0
    for q in range(len(g)):
        gmin[q] = min(gmin[q], g[q])
        below += g[q] < 0.0
    if below > 0:
        for q in range(len(g)):
            if g[q] < 0.0 and first_negative[q] > 1.5:
                first_negative[q] = node


@compiled
def step(t, h, y, k, tmp, work_done, first_power, gmin, first_negative, m, w):
    """All stages of one step; the new state is left in tmp and k[6] is its derivative.

    k (7, n), k[0] given. work_done (POWERS,) gets the work of this step; gmin the least value of every event function
    after the start and first_negative the abscissa where it first fell below zero. Returns False if line ran out.
    """
    for q in range(POWERS):
        work_done[q] = h * WEIGHT[6, 0] * first_power[q]
    for q in range(len(gmin)):
        gmin[q] = 1.0
        first_negative[q] = 2.0
    for s in range(1, STAGES):
        _stage_state(s, h, y, k, tmp)
        if not rhs(t + NODE[s] * h, tmp, k[s], m, w):
            return False
        if s < 6:
            share = h * WEIGHT[6, s]
            for q in range(POWERS):
                work_done[q] += share * w.power[q]
        _watch_events(NODE[s], w.g, gmin, first_negative)
    return True


@part
def error_norm(h, k, scale, room):
    """Error of the step over the allowed error of each state; the largest decides. room (n,) is overwritten."""
    n = k.shape[1]
    for i in range(n):
        room[i] = ERROR[0] * k[0, i]
    for s in range(2, STAGES):
        for i in range(n):
            room[i] += ERROR[s] * k[s, i]
    worst = 0.0
    for i in range(n):
        worst = max(worst, abs(h * room[i]) * scale[i])
        if not math.isfinite(room[i]):
            return math.inf
    return worst


@part
def prepare_dense(k, dense):
    """Coefficients (4, n) of the interpolant from the stages."""
    n = k.shape[1]
    for c in range(4):
        for i in range(n):
            dense[c, i] = DENSE[0, c] * k[0, i]
        for s in range(2, STAGES):
            for i in range(n):
                dense[c, i] += DENSE[s, c] * k[s, i]


@part
def dense_state(theta, h, y, dense, out):
    """State at the fraction theta of the step that started from y."""
    scale = h * theta
    for i in range(len(y)):
        out[i] = y[i] + scale * (dense[0, i] + theta * (dense[1, i] + theta * (dense[2, i] + theta * dense[3, i])))
