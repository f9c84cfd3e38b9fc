"""The right-hand side put together: line, drives, springs, floor and points; and the energy of a state."""

from __future__ import annotations

import math

from sim.dynamics.forces import (
    borders,
    brake_capacity,
    flows,
    gate_forces,
    gate_motion,
    geometry,
    limited,
    read_state,
    tensions,
)
from sim.dynamics.jit import compiled, part
from sim.dynamics.loads import element_loads
from sim.dynamics.tables import (
    DAMP_LIMITED,
    FOLLOWING,
    INTERIOR,
    LIVE,
    MOVING,
    P_BRAKE,
    P_DRAG,
    P_DRIVE,
    P_FLOOR,
    P_SPRING,
    SHEAVE,
    SLACK,
    SPEED_AS_FORCE,
    STANDING,
    STUCK,
)


@part
def _drives(t, y, dy, m, w):
    """Acceleration of live drives: moving mass under line pull and brake; power of every drive into the line."""
    base = 2 * (len(m.elements) + len(m.gates) + len(m.contacts))
    n_g = len(m.gates)
    for d in range(len(m.drives)):
        pull, feed = 0.0, 0.0
        j = m.drives[d].gate
        while j >= 0:
            e = m.gates[j].after if m.gates[j].after >= 0 else m.gates[j].before
            middle = w.ten[e, 4]
            inflow = m.gates[j].sign * w.flow[j, 0]
            height = w.pos[m.gates[j].point, 2]
            rho_g = m.elements[e].rho * m.gravity
            pull += (w.ten[e, 1] + m.gates[j].wound_energy + rho_g * (height - middle)) / (
                1.0 + m.gates[j].wound_strain
            )
            feed += (rho_g * middle - w.ten[e, 1]) * inflow
            j = m.gates[j].also
        w.power[P_DRIVE] += feed
        w.node[n_g + d, 0] = pull
        k = m.drives[d].state
        if w.mode_d[d] == FOLLOWING:
            dy[k] = 0.0
            dy[k + 1] = 0.0
            continue
        cap, mode = brake_capacity(t, d, m, w), w.mode_b[d]
        w.node[n_g + d, 1] = cap
        if mode == STUCK:
            dy[k] = 0.0
            dy[k + 1] = 0.0
            w.g[base + 2 * d] = w.held[n_g + d] * cap - pull
            w.g[base + 2 * d + 1] = w.held[n_g + d] * cap + pull
            continue
        speed = y[k + 1]
        w.g[base + 2 * d] = mode * speed * SPEED_AS_FORCE
        w.g[base + 2 * d + 1] = 1.0
        dy[k] = speed
        dy[k + 1] = (pull - mode * cap) / m.drives[d].mass
        w.power[P_DRIVE] += pull * speed
        w.power[P_BRAKE] -= mode * cap * speed


@part
def _springs(m, w):
    """Mounts and lagging body masses: linear spring and damper in all directions."""
    for k in range(len(m.springs)):
        i, o, st, c = m.springs[k].point, m.springs[k].other, m.springs[k].stiffness, m.springs[k].damping
        rest = (m.springs[k].x, m.springs[k].y, m.springs[k].z)
        load = (m.springs[k].px, m.springs[k].py, m.springs[k].pz)
        for x in range(3):
            away = w.pos[i, x] - (w.pos[o, x] if o >= 0 else rest[x])
            speed = w.vel[i, x] - (w.vel[o, x] if o >= 0 else 0.0)
            force = load[x] - st * away - c * speed
            w.frc[i, x] += force
            if o >= 0:
                w.frc[o, x] -= force
            w.power[P_SPRING] -= c * speed * speed


@part
def _floor(m, w):
    """One-sided floor: spring and limited damper upwards, a dashpot along it while in contact."""
    base = 2 * (len(m.elements) + len(m.gates))
    for k in range(len(m.contacts)):
        i = m.contacts[k].point
        depth = m.contacts[k].level + m.contacts[k].below - w.pos[i, 2]
        mode, st = w.mode_c[k], m.contacts[k].stiffness
        if mode == SLACK or w.mode_p[i] != MOVING:
            w.g[base + 2 * k] = -depth * st if w.mode_p[i] == MOVING else 1.0
            w.g[base + 2 * k + 1] = 1.0
            w.fall[base + 2 * k] = -w.vel[i, 2] * st
            continue
        w.fall[base + 2 * k] = 0.0
        viscous = -m.contacts[k].tau * st * w.vel[i, 2]
        force = st * depth
        push = limited(force, viscous, mode)
        w.g[base + 2 * k], w.g[base + 2 * k + 1] = borders(force, force, viscous, mode, DAMP_LIMITED, m.contacts[k].tau)
        drag = m.contacts[k].drag
        w.frc[i, 2] += push
        w.frc[i, 0] -= drag * w.vel[i, 0]
        w.frc[i, 1] -= drag * w.vel[i, 1]
        w.power[P_FLOOR] += (push - force) * w.vel[i, 2] - drag * (w.vel[i, 0] ** 2 + w.vel[i, 1] ** 2)


@part
def _points(dy, m, w):
    """Weight, drag and acceleration of every point; the load on points that are held or stand."""
    base = 2 * (len(m.elements) + len(m.gates) + len(m.contacts) + len(m.drives))
    for i in range(len(m.points)):
        k = m.points[i].state
        if k < 0:
            continue
        w.frc[i, 2] -= m.points[i].mass * m.gravity
        mode = w.mode_p[i]
        w.g[base + i] = 1.0
        if mode != MOVING:
            if mode == STANDING:
                w.g[base + i] = -w.frc[i, 2]
            for c in range(6):
                dy[k + c] = 0.0
            continue
        if m.points[i].drag_area > 0.0:
            speed = math.sqrt(w.vel[i, 0] ** 2 + w.vel[i, 1] ** 2 + w.vel[i, 2] ** 2)
            drag = 0.5 * m.air * m.points[i].drag_area * speed
            for c in range(3):
                w.frc[i, c] -= drag * w.vel[i, c]
            w.power[P_DRAG] -= drag * speed * speed
        inverse = 1.0 / w.mass[i]
        if m.points[i].guided == 1:
            gx, gy, gz = m.points[i].gx, m.points[i].gy, m.points[i].gz
            along = gx * w.frc[i, 0] + gy * w.frc[i, 1] + gz * w.frc[i, 2]
            w.frc[i, 0], w.frc[i, 1], w.frc[i, 2] = along * gx, along * gy, along * gz
        for c in range(3):
            dy[k + c] = w.vel[i, c]
            dy[k + 3 + c] = w.frc[i, c] * inverse


@compiled
def rhs(t, y, dy, m, w):
    """Derivative of the state in the present modes. Returns False where a line has run out or two ends meet.

    t in s; y, dy (n,). Leaves tensions, forces, event functions and audit powers in w.
    """
    for k in range(len(w.power)):
        w.power[k] = 0.0
    read_state(t, y, m, w)
    if not geometry(y, m, w):
        return False
    flows(m, w)
    tensions(y, dy, m, w)
    gate_forces(y, m, w)
    element_loads(y, dy, m, w)
    gate_motion(dy, m, w)
    _drives(t, y, dy, m, w)
    _springs(m, w)
    _floor(m, w)
    _points(dy, m, w)
    return True


@compiled
def energy(y, m, w):
    """Kinetic and potential energy (J) of the state last passed to rhs, and of its modes."""
    kinetic, potential = 0.0, 0.0
    for j in range(len(m.gates)):
        if m.gates[j].kind == SHEAVE or m.gates[j].kind == INTERIOR:
            ea, eb = m.gates[j].before, m.gates[j].after
            lump = m.elements[ea].rho * y[m.elements[ea].state] + m.elements[eb].rho * y[m.elements[eb].state]
            kinetic += 0.5 * (m.gates[j].mass + 0.5 * lump) * w.flow[j, 1] ** 2
    for e in range(len(m.elements)):
        i, s = m.elements[e].span, y[m.elements[e].state]
        if w.mode_e[e] != SLACK:
            potential += s * w.ten[e, 2]
        weight = m.elements[e].rho * m.gravity * s
        potential += weight * w.ten[e, 4]
        k = m.spans[i].sag
        if k >= 0:
            potential -= 2.0 / 3.0 * weight * y[k] * w.chord[i, 2]
            kinetic += 4.0 / 15.0 * m.elements[e].rho * s * y[k + 1] ** 2
    for i in range(len(m.points)):
        if m.points[i].state >= 0:
            kinetic += 0.5 * w.mass[i] * (w.vel[i, 0] ** 2 + w.vel[i, 1] ** 2 + w.vel[i, 2] ** 2)
            potential += m.points[i].mass * m.gravity * w.pos[i, 2]
    for d in range(len(m.drives)):
        if w.mode_d[d] == LIVE and w.mode_b[d] != STUCK:
            kinetic += 0.5 * m.drives[d].mass * y[m.drives[d].state + 1] ** 2
    for k in range(len(m.springs)):
        i, o = m.springs[k].point, m.springs[k].other
        rest = (m.springs[k].x, m.springs[k].y, m.springs[k].z)
        load = (m.springs[k].px, m.springs[k].py, m.springs[k].pz)
        for x in range(3):
            away = w.pos[i, x] - (w.pos[o, x] if o >= 0 else rest[x])
            potential += 0.5 * m.springs[k].stiffness * away * away - load[x] * away
    for k in range(len(m.contacts)):
        i = m.contacts[k].point
        if w.mode_c[k] != SLACK and w.mode_p[i] == MOVING:
            depth = m.contacts[k].level + m.contacts[k].below - w.pos[i, 2]
            potential += 0.5 * m.contacts[k].stiffness * depth * depth
    return kinetic, potential
