"""What happens at an event: the mode that ended its validity gives way to the next one.

Event functions lie in the order elements, gates, contacts, drives (two each), points (one each).
"""

from __future__ import annotations

import numpy as np

from sim.dynamics.jit import compiled, part
from sim.dynamics.rhs import rhs
from sim.dynamics.tables import (
    DAMP_PURE,
    FREE,
    LIMIT_MINUS,
    LIMIT_PLUS,
    LIVE,
    MOVING,
    SLACK,
    SLIDE_MINUS,
    SLIDE_PLUS,
    STUCK,
    TAUT,
)

# Words of the event log; the second half of the list comes from the clock, not from here.
(
    EV_SLACK,
    EV_TAUT,
    EV_LIMIT,
    EV_UNLIMIT,
    EV_STICK,
    EV_SLIDE,
    EV_STAND,
    EV_SLIP,
    EV_CONTACT,
    EV_LIFT,
    EV_OFF_PLATFORM,
    EV_GUARD,
) = range(12)


@part
def _one_sided(mode, second, pure, tau):
    """Next mode of line or floor contact when its first or second event function has ended it."""
    if mode == SLACK:
        return TAUT if (pure or tau == 0.0) else LIMIT_PLUS
    if pure:
        if not second:
            return SLACK
        return LIMIT_MINUS if mode == TAUT else TAUT
    if tau == 0.0:
        return SLACK
    if mode == TAUT:
        return LIMIT_MINUS if second else LIMIT_PLUS
    return SLACK if second else TAUT


@part
def _word(before, after, slack_word, taut_word):
    """The event's word for a change between two one-sided modes."""
    if after == SLACK:
        return slack_word
    if before == SLACK:
        return taut_word
    return EV_UNLIMIT if after == TAUT else EV_LIMIT


@part
def switch(q, y, m, w):
    """Change the mode whose event function q fell below zero. Returns (word, index of the part)."""
    n_e, n_g, n_c, n_d = len(m.elements), len(m.gates), len(m.contacts), len(m.drives)
    second = q % 2 == 1
    if q < 2 * n_e:
        e = q // 2
        before = w.mode_e[e]
        w.mode_e[e] = _one_sided(before, second, m.elements[e].law == DAMP_PURE, m.elements[e].tau)
        return _word(before, w.mode_e[e], EV_SLACK, EV_TAUT), e
    q -= 2 * n_e
    if q < 2 * n_g:
        j = q // 2
        if w.mode_g[j] == STUCK:
            w.mode_g[j] = SLIDE_MINUS if second else SLIDE_PLUS
            w.held[j] = 1.0
            return EV_SLIDE, j
        w.mode_g[j] = STUCK
        y[m.gates[j].state] = 0.0
        return EV_STICK, j
    q -= 2 * n_g
    if q < 2 * n_c:
        c = q // 2
        before = w.mode_c[c]
        w.mode_c[c] = _one_sided(before, second, False, m.contacts[c].tau)
        return _word(before, w.mode_c[c], EV_LIFT, EV_CONTACT), c
    q -= 2 * n_c
    if q < 2 * n_d:
        d = q // 2
        if w.mode_b[d] == STUCK:
            w.mode_b[d] = SLIDE_MINUS if second else SLIDE_PLUS
            w.held[n_g + d] = 1.0
            return EV_SLIP, d
        w.mode_b[d] = STUCK
        y[m.drives[d].state + 1] = 0.0
        return EV_STAND, d
    i = q - 2 * n_d
    w.mode_p[i] = MOVING
    return EV_OFF_PLATFORM, i


@part
def note(t, word, index, value, log, logged):
    """Write one event; beyond the log's end only the count goes on."""
    if logged < len(log):
        log[logged, 0], log[logged, 1], log[logged, 2], log[logged, 3] = t, word, index, value
    return logged + 1


@part
def event_value(word, i, m, w):
    """The figure of an event: rate of slack (m/s), force at friction or brake (N), speed at the floor (m/s)."""
    if word == EV_SLACK or word == EV_TAUT or word == EV_LIMIT or word == EV_UNLIMIT:
        return w.strain[i, 1] * m.elements[i].share * w.chord[m.elements[i].span, 0]
    if word == EV_STICK or word == EV_SLIDE:
        return w.node[i, 0]
    if word == EV_STAND or word == EV_SLIP:
        return w.node[len(m.gates) + i, 0]
    if word == EV_CONTACT or word == EV_LIFT:
        return w.vel[m.contacts[i].point, 2]
    return 0.0


@compiled
def change(t, q, y, log, logged, m, w):
    """Change the mode that event function q ended and write it down. Returns the new length of the log."""
    word, index = switch(q, y, m, w)
    return note(t, word, index, event_value(word, index, m, w), log, logged)


@part
def settle(t, y, dy, allowed, log, logged, m, w):
    """After a restart, change every mode that does not hold at once, until all hold.

    allowed (events,): how far below zero counts as rounding. Returns (settled, new length of the log).
    """
    limit = 10 + 4 * len(w.g)
    for _ in range(limit):
        if not rhs(t, y, dy, m, w):
            return False, logged
        worst, which = 1.0, np.int64(-1)  # a bare -1 would compile what follows twice
        for q in range(len(w.g)):
            if w.g[q] < -allowed[q]:
                excess = w.g[q] / allowed[q]
                if which < 0 or excess < worst:
                    worst, which = excess, q
        if which < 0:
            return True, logged
        logged = change(t, which, y, log, logged, m, w)
    return False, logged


@part
def hold_guard(q, m, w):
    """The last resort against events without progress: friction holds until its capacity is exceeded by 0.1 %.

    Returns False where the event is none of friction.
    """
    n_e, n_g, n_c = len(m.elements), len(m.gates), len(m.contacts)
    if 2 * n_e <= q < 2 * (n_e + n_g):
        j = (q - 2 * n_e) // 2
        if w.mode_g[j] == FREE:
            return False
        w.mode_g[j] = STUCK
        w.held[j] = 1.001
        return True
    q -= 2 * (n_e + n_g + n_c)
    if 0 <= q < 2 * len(m.drives) and w.mode_d[q // 2] == LIVE:
        w.mode_b[q // 2] = STUCK
        w.held[n_g + q // 2] = 1.001
        return True
    return False
