"""What is looked at: forces, heights, speeds and g in the state last passed to the right-hand side."""

from __future__ import annotations

import math

from sim.dynamics.forces import drive_motion, end_pull, end_tension
from sim.dynamics.jit import compiled, part
from sim.dynamics.tables import (
    FOLLOWING,
    MOVING,
    OBS_CONTACT,
    OBS_DRIVE,
    OBS_DRIVE_SPEED,
    OBS_ELEMENT,
    OBS_END,
    OBS_FELT,
    OBS_G,
    OBS_HELD,
    OBS_PAID,
    OBS_PIN,
    OBS_SAME,
    OBS_SPAN,
    OBS_SPEED,
    OBS_SPRING,
    OBS_VZ,
    OBS_X,
    OBS_Y,
    OBS_Z,
    SLACK,
    STUCK,
)


@part
def _span_tension(i, m, w):
    """Largest tension anywhere in a span (N): its elements' ends."""
    most = 0.0
    for e in range(m.spans[i].first, m.spans[i].first + m.spans[i].count):
        most = max(most, end_tension(e, False, m, w), end_tension(e, True, m, w))
    return most


@part
def _gate_tension(j, m, w):
    """Tension at a line's end (N)."""
    if m.gates[j].after >= 0:
        return end_tension(m.gates[j].after, False, m, w)
    return end_tension(m.gates[j].before, True, m, w)


@part
def _leg(e, at_end, c, m, w):
    """Component c of the pull of an element's end on what it meets (N): along the chord, and the weight across it."""
    i = m.elements[e].span
    along = end_pull(e, at_end, m, w)
    force = -along * w.unit[i, c] if at_end else along * w.unit[i, c]
    across = w.ten[e, 6]
    if across > 0.0:
        down = w.unit[i, 2] * w.unit[i, c] - (1.0 if c == 2 else 0.0)
        force += across * down / w.chord[i, 2]
    return force


@part
def _pin_load(first, m, w):
    """Force on a sheave's pin or a tied end (N): all legs on it and its own weight."""
    total = 0.0
    for c in range(3):
        force = -m.gates[first].weight if c == 2 else 0.0
        j = first
        while j >= 0:
            if m.gates[j].before >= 0:
                force += _leg(m.gates[j].before, True, c, m, w)
            if m.gates[j].after >= 0:
                force += _leg(m.gates[j].after, False, c, m, w)
            j = m.gates[j].also
        total += force * force
    return math.sqrt(total)


@part
def _spring_force(k, m, w):
    """Force a mount carries (N)."""
    total = 0.0
    i, o = m.springs[k].point, m.springs[k].other
    rest = (m.springs[k].x, m.springs[k].y, m.springs[k].z)
    load = (m.springs[k].px, m.springs[k].py, m.springs[k].pz)
    for x in range(3):
        away = w.pos[i, x] - (w.pos[o, x] if o >= 0 else rest[x])
        speed = w.vel[i, x] - (w.vel[o, x] if o >= 0 else 0.0)
        force = load[x] - m.springs[k].stiffness * away - m.springs[k].damping * speed
        total += force * force
    return math.sqrt(total)


@part
def _felt(i, dy, m, w):
    """Acceleration a point feels (m/s2): its own less gravity; gravity itself for one that is held."""
    k = m.points[i].state
    if k < 0 or w.mode_p[i] != MOVING:
        return m.gravity
    ax, ay, az = dy[k + 3], dy[k + 4], dy[k + 5] + m.gravity
    return math.sqrt(ax * ax + ay * ay + az * az)


@part
def _drive_force(d, m, w):
    """Line force at a drive (N), all its lines together."""
    total = 0.0
    j = m.drives[d].gate
    while j >= 0:
        total += _gate_tension(j, m, w)
        j = m.gates[j].also
    return total


@part
def _held_force(i, m, w):
    """What holds a held or standing point (N); nothing once it moves."""
    if w.mode_p[i] == MOVING:
        return 0.0
    return math.sqrt(w.frc[i, 0] ** 2 + w.frc[i, 1] ** 2 + w.frc[i, 2] ** 2)


@part
def _contact_force(k, m, w):
    """Push of the floor (N)."""
    if w.mode_c[k] == SLACK:
        return 0.0
    i = m.contacts[k].point
    depth = m.contacts[k].level + m.contacts[k].below - w.pos[i, 2]
    return max(0.0, m.contacts[k].stiffness * (depth - m.contacts[k].tau * w.vel[i, 2]))


@part
def _paid_out(t, d, y, m, w):
    """Line paid out at a drive (m) and its speed (m/s)."""
    if w.mode_d[d] == FOLLOWING:
        return drive_motion(t, d, m, w)
    k = m.drives[d].state
    return y[k], 0.0 if w.mode_b[d] == STUCK else y[k + 1]


@compiled
def observe(t, y, dy, out, m, w):
    """Fill out (observables,) from the scratch of the last right-hand side at this state."""
    for o in range(len(m.observables)):
        kind, i = m.observables[o].kind, m.observables[o].index
        value = 0.0
        if kind == OBS_SPAN:
            value = _span_tension(i, m, w)
        elif kind == OBS_PIN:
            value = _pin_load(i, m, w)
        elif kind == OBS_END:
            value = _gate_tension(i, m, w)
        elif kind == OBS_ELEMENT:
            value = w.ten[i, 0]
        elif kind == OBS_DRIVE:
            value = _drive_force(i, m, w)
        elif kind == OBS_SPRING:
            value = _spring_force(i, m, w)
        elif kind == OBS_G or kind == OBS_FELT:
            value = _felt(i, dy, m, w)
        elif kind == OBS_X:
            value = w.pos[i, 0]
        elif kind == OBS_Y:
            value = w.pos[i, 1]
        elif kind == OBS_Z:
            value = w.pos[i, 2]
        elif kind == OBS_VZ:
            value = w.vel[i, 2]
        elif kind == OBS_SPEED:
            value = math.sqrt(w.vel[i, 0] ** 2 + w.vel[i, 1] ** 2 + w.vel[i, 2] ** 2)
        elif kind == OBS_HELD:
            value = _held_force(i, m, w)
        elif kind == OBS_CONTACT:
            value = _contact_force(i, m, w)
        elif kind == OBS_PAID:
            value = _paid_out(t, i, y, m, w)[0]
        elif kind == OBS_SAME:
            value = out[i]
        elif kind == OBS_DRIVE_SPEED:
            value = _paid_out(t, i, y, m, w)[1]
        out[o] = value * m.observables[o].scale + m.observables[o].shift
