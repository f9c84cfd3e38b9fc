"""What happens at an event: the mode that ended its validity gives way to the next one."""

from __future__ import annotations

import numpy as np

from sim.dynamics.drives import change_grip, change_limit, slip_through_hands
from sim.dynamics.jit import compiled, part
from sim.dynamics.rhs import rhs
from sim.dynamics.tables import (
    AT_FORCE,
    AT_GRIP,
    DAMP_PURE,
    DRIVEN,
    FREE,
    GRIPPED,
    LIMIT_MINUS,
    LIMIT_PLUS,
    LIVE,
    LOCKED,
    MOVING,
    ON_CONTACT,
    ON_DRIVE,
    ON_ELEMENT,
    ON_GATE,
    SLACK,
    SLIDE_MINUS,
    SLIDE_PLUS,
    STUCK,
    TAUT,
    WITHIN,
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
    EV_PUSH_LIMIT,
    EV_PUSH_UNLIMIT,
    EV_AT_FORCE,
    EV_AT_POWER,
    EV_WITHIN,
    EV_GRIP_SLIPS,
    EV_GRIP_HOLDS,
    EV_HANDS_SLIP,
) = range(20)


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
def _word(before, after, slack_word, taut_word, limit_word, below_word):
    """The event's word for a change between two one-sided modes."""
    if after == SLACK:
        return slack_word
    if before == SLACK:
        return taut_word
    return below_word if after == TAUT else limit_word


@part
def switch(t, q, y, m, w):
    """Change the mode whose event function q fell below zero. Returns (word, index of the part)."""
    on, i, second = m.events[q].on, m.events[q].index, m.events[q].second == 1
    if on == ON_ELEMENT:
        before = w.elements[i].mode
        after = _one_sided(before, second, m.elements[i].law == DAMP_PURE, m.elements[i].tau)
        w.elements[i].mode = after
        return _word(before, after, EV_SLACK, EV_TAUT, EV_LIMIT, EV_UNLIMIT), i
    if on == ON_GATE:
        if w.gates[i].mode == STUCK:
            w.gates[i].mode = SLIDE_MINUS if second else SLIDE_PLUS
            w.gates[i].held = 1.0
            return EV_SLIDE, i
        w.gates[i].mode = STUCK
        y[m.gates[i].state] = 0.0
        return EV_STICK, i
    if on == ON_CONTACT:
        before = w.contacts[i].mode
        after = _one_sided(before, second, False, m.contacts[i].tau)
        w.contacts[i].mode = after
        return _word(before, after, EV_LIFT, EV_CONTACT, EV_PUSH_LIMIT, EV_PUSH_UNLIMIT), i
    if on == ON_DRIVE:
        if m.events[q].second == 2:
            slip_through_hands(i, y, m, w)
            return EV_HANDS_SLIP, i
        if w.drives[i].mode == DRIVEN:
            before = w.drives[i].limit
            change_limit(t, i, second, y, m, w)
            if w.drives[i].limit == WITHIN:
                return (EV_GRIP_HOLDS if before == AT_GRIP else EV_WITHIN), i
            if w.drives[i].limit == AT_GRIP:
                return EV_GRIP_SLIPS, i
            return (EV_AT_FORCE if w.drives[i].limit == AT_FORCE else EV_AT_POWER), i
        if w.drives[i].mode == GRIPPED:
            change_grip(t, i, second, y, m, w)
            return (EV_GRIP_HOLDS if w.drives[i].sense == 0 else EV_GRIP_SLIPS), i
        if w.drives[i].brake == STUCK:
            w.drives[i].brake = SLIDE_MINUS if second else SLIDE_PLUS
            w.drives[i].held = 1.0
            return EV_SLIP, i
        w.drives[i].brake = STUCK
        y[m.drives[i].state + 1] = 0.0
        return EV_STAND, i
    w.points[i].mode = MOVING
    return EV_OFF_PLATFORM, i


@part
def note(t, word, index, value, log, logged):
    """Write one event; beyond the log's end only the count goes on."""
    if logged < len(log):
        log[logged, 0], log[logged, 1], log[logged, 2], log[logged, 3] = t, word, index, value
    return logged + 1


@part
def event_value(word, i, m, w):
    """The figure of an event: rate of slack (m/s), force at friction, brake or motor (N), speed at the floor (m/s)."""
    if word == EV_SLACK or word == EV_TAUT or word == EV_LIMIT or word == EV_UNLIMIT:
        return w.elements[i].rate * m.elements[i].share * w.spans[m.elements[i].span].length
    if word == EV_STICK or word == EV_SLIDE:
        return w.gates[i].force
    if word == EV_STAND or word == EV_SLIP:
        return w.drives[i].pull
    if word >= EV_AT_FORCE:
        return w.drives[i].motor
    if word == EV_CONTACT or word == EV_LIFT or word == EV_PUSH_LIMIT or word == EV_PUSH_UNLIMIT:
        return w.points[m.contacts[i].point].vz
    return 0.0


@compiled
def change(t, q, y, log, logged, m, w):
    """Change the mode that event function q ended and write it down. Returns the new length of the log."""
    word, index = switch(t, q, y, m, w)
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
    on, i = m.events[q].on, m.events[q].index
    if on == ON_GATE and w.gates[i].mode != FREE and w.gates[i].mode != LOCKED:
        w.gates[i].mode = STUCK
        w.gates[i].held = 1.001
        return True
    if on == ON_DRIVE and w.drives[i].mode == LIVE:
        w.drives[i].brake = STUCK
        w.drives[i].held = 1.001
        return True
    if on == ON_DRIVE and w.drives[i].mode == GRIPPED:
        w.drives[i].sense = 0
        w.drives[i].held = 1.001
        return True
    return False
