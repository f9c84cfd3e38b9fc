"""What is looked at: forces, heights, speeds and g in the state last passed to the right-hand side."""

from __future__ import annotations

import math

import numpy as np

from sim.dynamics.forces import drive_motion, limited
from sim.dynamics.jit import at, entry, merged, part
from sim.dynamics.rhs import spring_force
from sim.dynamics.tables import (
    FOLLOWING,
    MOVING,
    OBS_BORNE,
    OBS_CONTACT,
    OBS_DRIVE,
    OBS_DRIVE_SPEED,
    OBS_ELEMENT,
    OBS_END,
    OBS_G,
    OBS_HELD,
    OBS_JOINT,
    OBS_MOTOR,
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
        most = max(most, w.elements[e].first, w.elements[e].last)
    return most


@part
def _gate_tension(j, m, w):
    """Tension at a line's end (N)."""
    gate = m.gates[at(j)]
    return w.elements[at(gate.after)].first if gate.after >= 0 else w.elements[at(gate.before)].last


@part
def _leg(e, way, m, w):
    """Pull (x, y, z) of an element's end on what it meets (N); way: 1 at its first end, -1 at its last."""
    i, now = m.elements[e].span, w.elements[e]
    if m.spans[i].sag >= 0:
        return way * now.x, way * now.y, way * now.z - now.half
    along = now.first if way > 0.0 else -now.last
    return along * w.spans[i].ux, along * w.spans[i].uy, along * w.spans[i].uz


@part
def _pin_load(first, m, w):
    """Force on a sheave's pin or a tied end (N): all legs on it and its own weight."""
    fx, fy, fz, j = 0.0, 0.0, -m.gates[first].weight, np.int64(first)
    while j >= 0:
        gate = m.gates[at(j)]
        if gate.before >= 0:
            x, y, z = _leg(at(gate.before), -1.0, m, w)
            fx, fy, fz = fx + x, fy + y, fz + z
        if gate.after >= 0:
            x, y, z = _leg(at(gate.after), 1.0, m, w)
            fx, fy, fz = fx + x, fy + y, fz + z
        j = gate.also
    return math.sqrt(fx * fx + fy * fy + fz * fz)


@part
def _spring_load(k, m, w):
    """Force a mount carries (N)."""
    fx, fy, fz, _ = spring_force(k, m, w)
    return math.sqrt(fx * fx + fy * fy + fz * fz)


@part
def _felt(i, dy, m, w):
    """Acceleration a point feels (m/s2): its own less gravity; gravity itself for one that is held."""
    k = m.points[i].state
    if k < 0 or w.points[i].mode != MOVING:
        return m.gravity
    ax, ay, az = dy[at(k + 3)], dy[at(k + 4)], dy[at(k + 5)] + m.gravity
    return math.sqrt(ax * ax + ay * ay + az * az)


@part
def _contact_force(k, m, w):
    """Push of the floor (N)."""
    if w.contacts[k].mode == SLACK:
        return 0.0
    p = w.points[m.contacts[k].point]
    force = m.contacts[k].stiffness * (m.contacts[k].level + m.contacts[k].below - p.z)
    viscous = -m.contacts[k].tau * m.contacts[k].stiffness * p.vz
    return max(0.0, limited(force, viscous, force, w.contacts[k].mode))


@part
def _borne(i, mass, dy, m, w):
    """Force that a rigid harness puts on a body at a point (N): mass of the body there times what it feels, less what
    else acts on it. mass (kg): without hook, sheaves and what lags behind, whose spring pulls on the body.
    """
    p, k = w.points[i], m.points[i].state
    fx, fy, fz = 0.0, 0.0, mass * m.gravity
    if p.mode == MOVING:
        fx, fy, fz = mass * dy[at(k + 3)], mass * dy[at(k + 4)], fz + mass * dy[at(k + 5)]
        speed = math.sqrt(p.vx * p.vx + p.vy * p.vy + p.vz * p.vz)
        drag = 0.5 * m.air * m.points[i].drag_area * speed
        fx, fy, fz = fx + drag * p.vx, fy + drag * p.vy, fz + drag * p.vz
    for s in range(len(m.springs)):
        if m.springs[s].other == i:
            x, y, z, _ = spring_force(s, m, w)
            fx, fy, fz = fx + x, fy + y, fz + z
    for c in range(len(m.contacts)):
        if m.contacts[c].point == i and w.contacts[c].mode != SLACK and p.mode == MOVING:
            along = m.contacts[c].drag
            fx, fy, fz = fx + along * p.vx, fy + along * p.vy, fz - _contact_force(c, m, w)
    return math.sqrt(fx * fx + fy * fy + fz * fz)


@part
def _drive_force(d, m, w):
    """Line force at a drive (N), all its lines together."""
    total = 0.0
    j = m.drives[d].gate
    while j >= 0:
        total += _gate_tension(j, m, w)
        j = m.gates[at(j)].also
    return total


@part
def _joint_force(first, m, w):
    """What passes through a junction (N): the largest end tension of the lines on it, each borne by all the others."""
    most, j = 0.0, np.int64(first)
    while j >= 0:
        most = max(most, _gate_tension(j, m, w))
        j = m.gates[at(j)].also
    return most


@part
def _speed(i, w):
    """Speed of a point (m/s)."""
    p = w.points[i]
    return math.sqrt(p.vx * p.vx + p.vy * p.vy + p.vz * p.vz)


@part
def _held_force(i, w):
    """What holds a held or standing point (N); nothing once it moves."""
    p = w.points[i]
    if p.mode == MOVING:
        return 0.0
    return math.sqrt(p.fx * p.fx + p.fy * p.fy + p.fz * p.fz)


@part
def _paid_out(t, d, y, m, w):
    """Line paid out at a drive (m) and its speed (m/s)."""
    if w.drives[d].mode == FOLLOWING:
        return drive_motion(t, d, m, w)
    k = m.drives[d].state
    return y[k], 0.0 if w.drives[d].brake == STUCK else y[k + 1]


@merged
def watch(t, y, dy, out, m, w):
    """Fill out (observables,) from the scratch of the last right-hand side at this state."""
    for o in range(len(m.observables)):
        kind, i = m.observables[o].kind, m.observables[o].index
        value = 0.0
        if kind == OBS_SPAN:
            value = _span_tension(i, m, w)
        elif kind == OBS_PIN:
            value = _pin_load(i, m, w)
        elif kind == OBS_JOINT:
            value = _joint_force(i, m, w)
        elif kind == OBS_END:
            value = _gate_tension(i, m, w)
        elif kind == OBS_ELEMENT:
            value = w.elements[i].tension
        elif kind == OBS_DRIVE:
            value = _drive_force(i, m, w)
        elif kind == OBS_SPRING:
            value = _spring_load(i, m, w)
        elif kind == OBS_G:
            value = _felt(i, dy, m, w)
        elif kind == OBS_BORNE:
            value = _borne(i, m.observables[o].mass, dy, m, w)
        elif kind == OBS_X:
            value = w.points[i].x
        elif kind == OBS_Y:
            value = w.points[i].y
        elif kind == OBS_Z:
            value = w.points[i].z
        elif kind == OBS_VZ:
            value = w.points[i].vz
        elif kind == OBS_SPEED:
            value = _speed(i, w)
        elif kind == OBS_HELD:
            value = _held_force(i, w)
        elif kind == OBS_CONTACT:
            value = _contact_force(i, m, w)
        elif kind == OBS_PAID:
            value = _paid_out(t, i, y, m, w)[0]
        elif kind == OBS_SAME:
            value = out[i]
        elif kind == OBS_DRIVE_SPEED:
            value = _paid_out(t, i, y, m, w)[1]
        elif kind == OBS_MOTOR:
            value = w.drives[i].motor
        out[o] = value * m.observables[o].scale + m.observables[o].shift


@entry
def observe(t, y, dy, out, m, w):
    """`watch` as a function of its own, for every place but the samples."""
    watch(t, y, dy, out, m, w)
