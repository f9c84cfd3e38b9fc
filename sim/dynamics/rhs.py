"""The right-hand side put together: line, drives, springs, floor and points; and the energy of a state."""

from __future__ import annotations

import math

from sim.dynamics.drives import drives
from sim.dynamics.forces import (
    borders,
    flows,
    gate_forces,
    gate_motion,
    geometry,
    limited,
    read_state,
    tensions,
)
from sim.dynamics.jit import at, entry, merged, merged_entry, part
from sim.dynamics.loads import element_loads
from sim.dynamics.tables import (
    DAMP_LIMITED,
    FOLLOWING,
    LIVE,
    MOVING,
    P_DRAG,
    P_FLOOR,
    P_SPRING,
    SAG_INERTIA,
    SLACK,
    STANDING,
    STUCK,
)


@part
def spring_force(k, m, w):
    """Force (x, y, z) of a mount or a lagging body mass on its point (N), and the speed of its travel squared."""
    p, st, c = w.points[m.springs[k].point], m.springs[k].stiffness, m.springs[k].damping
    x, y, z, vx, vy, vz = p.x, p.y, p.z, p.vx, p.vy, p.vz
    if m.springs[k].other >= 0:
        o = w.points[at(m.springs[k].other)]
        x, y, z, vx, vy, vz = x - o.x, y - o.y, z - o.z, vx - o.vx, vy - o.vy, vz - o.vz
    else:
        x, y, z = x - m.springs[k].x, y - m.springs[k].y, z - m.springs[k].z
    fx = m.springs[k].px - st * x - c * vx
    fy = m.springs[k].py - st * y - c * vy
    fz = m.springs[k].pz - st * z - c * vz
    return fx, fy, fz, vx * vx + vy * vy + vz * vz


@part
def _springs(m, w):
    """Mounts and lagging body masses: linear spring and damper in all directions."""
    for k in range(len(m.springs)):
        fx, fy, fz, speed2 = spring_force(k, m, w)
        p = w.points[m.springs[k].point]
        p.fx += fx
        p.fy += fy
        p.fz += fz
        if m.springs[k].other >= 0:
            o = w.points[at(m.springs[k].other)]
            o.fx -= fx
            o.fy -= fy
            o.fz -= fz
        w.power[P_SPRING] -= m.springs[k].damping * speed2


@part
def _floor(m, w):
    """One-sided floor: spring and limited damper upwards, a dashpot along it while in contact."""
    for k in range(len(m.contacts)):
        p, q = w.points[m.contacts[k].point], m.contacts[k].event
        depth = m.contacts[k].level + m.contacts[k].below - p.z
        mode, st = w.contacts[k].mode, m.contacts[k].stiffness
        if mode == SLACK or p.mode != MOVING:
            w.g[at(q)] = -depth * st if p.mode == MOVING else 1.0
            w.g[at(q + 1)] = 1.0
            w.fall[at(q)] = -p.vz * st
            continue
        w.fall[at(q)] = 0.0
        viscous = -m.contacts[k].tau * st * p.vz
        force = st * depth
        push = limited(force, viscous, force, mode)
        w.g[q], w.g[at(q + 1)] = borders(force, force, viscous, force, mode, DAMP_LIMITED, m.contacts[k].tau)
        drag = m.contacts[k].drag
        p.fx -= drag * p.vx
        p.fy -= drag * p.vy
        p.fz += push
        w.power[P_FLOOR] += (push - force) * p.vz - drag * (p.vx * p.vx + p.vy * p.vy)


@part
def _points(dy, m, w):
    """Weight, drag and acceleration of every point; the load on points that are held or stand."""
    for i in range(len(m.points)):
        k = m.points[i].state
        if k < 0:
            continue
        p = w.points[i]
        p.fz -= m.points[i].mass * m.gravity
        if p.mode != MOVING:
            if p.mode == STANDING:
                w.g[m.points[i].event] = -p.fz
            for c in range(6):
                dy[at(k + c)] = 0.0
            continue
        if m.points[i].event >= 0:
            w.g[m.points[i].event] = 1.0
        if m.points[i].drag_area > 0.0:
            speed = math.sqrt(p.vx * p.vx + p.vy * p.vy + p.vz * p.vz)
            drag = 0.5 * m.air * m.points[i].drag_area * speed
            p.fx -= drag * p.vx
            p.fy -= drag * p.vy
            p.fz -= drag * p.vz
            w.power[P_DRAG] -= drag * speed * speed
        if m.points[i].guided == 1:
            gx, gy, gz = m.points[i].gx, m.points[i].gy, m.points[i].gz
            along = gx * p.fx + gy * p.fy + gz * p.fz
            p.fx, p.fy, p.fz = along * gx, along * gy, along * gz
        inverse = 1.0 / p.mass
        dy[at(k)] = p.vx
        dy[at(k + 1)] = p.vy
        dy[at(k + 2)] = p.vz
        dy[at(k + 3)] = p.fx * inverse
        dy[at(k + 4)] = p.fy * inverse
        dy[at(k + 5)] = p.fz * inverse


@merged
def derivative(t, y, dy, m, w):
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
    drives(t, y, dy, m, w)
    _springs(m, w)
    _floor(m, w)
    _points(dy, m, w)
    return True


@entry
def rhs(t, y, dy, m, w):
    """`derivative` as a function of its own, for every place but the steps themselves."""
    return derivative(t, y, dy, m, w)


@part
def _spring_energy(k, m, w):
    """Energy a spring stores (J), less what its load at no travel does."""
    p = w.points[m.springs[k].point]
    x, y, z = p.x, p.y, p.z
    if m.springs[k].other >= 0:
        o = w.points[at(m.springs[k].other)]
        x, y, z = x - o.x, y - o.y, z - o.z
    else:
        x, y, z = x - m.springs[k].x, y - m.springs[k].y, z - m.springs[k].z
    stored = 0.5 * m.springs[k].stiffness * (x * x + y * y + z * z)
    return stored - m.springs[k].px * x - m.springs[k].py * y - m.springs[k].pz * z


@merged_entry
def energy(y, m, w):
    """Kinetic and potential energy (J) of the state last passed to rhs, and of its modes."""
    kinetic, potential = 0.0, 0.0
    for j in range(len(m.gates)):
        if m.gates[j].state >= 0:
            kinetic += 0.5 * w.gates[j].mass * w.gates[j].speed * w.gates[j].speed
    for e in range(len(m.elements)):
        k, s = m.spans[m.elements[e].span].sag, y[m.elements[e].state]
        weight = m.elements[e].rho * m.gravity * s
        potential += s * w.elements[e].energy + weight * w.elements[e].height
        if k >= 0:
            potential -= 2.0 / 3.0 * weight * w.spans[m.elements[e].span].sink
            kinetic += 0.5 * SAG_INERTIA * m.elements[e].rho * s * y[k + 1] * y[k + 1]
    for i in range(len(m.points)):
        if m.points[i].state >= 0:
            p = w.points[i]
            kinetic += 0.5 * p.mass * (p.vx * p.vx + p.vy * p.vy + p.vz * p.vz)
            potential += m.points[i].mass * m.gravity * p.z
    for d in range(len(m.drives)):
        kinetic += w.drives[d].kept
        if w.drives[d].mode != FOLLOWING and w.drives[d].brake != STUCK:
            speed = y[m.drives[d].state + 1]
            mass = m.drives[d].loose if w.drives[d].mode == LIVE else m.drives[d].mass
            kinetic += 0.5 * mass * speed * speed
    for k in range(len(m.springs)):
        potential += _spring_energy(k, m, w)
    for k in range(len(m.contacts)):
        p = w.points[m.contacts[k].point]
        if w.contacts[k].mode != SLACK and p.mode == MOVING:
            depth = m.contacts[k].level + m.contacts[k].below - p.z
            potential += 0.5 * m.contacts[k].stiffness * depth * depth
    return kinetic, potential
