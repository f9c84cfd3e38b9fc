"""The right-hand side: forces and accelerations of points, line and drives in one state and one set of modes.

Unstretched length s flows through gates; the state of a gate is the real line speed w. Elastic energy s*Phi(strain),
Phi the integral of the stretch curve f, gives the force conjugate to unstretched length Psi = T (1 + strain) - Phi and
so every force below by virtual power (Lagrange's equations for a system through which mass flows). Within one set of
modes every law is smooth; the borders of the modes are the event functions g, each positive while its mode is valid.
"""

from __future__ import annotations

import math

from sim.dynamics.curve import curve_at
from sim.dynamics.jit import part
from sim.dynamics.tables import (
    DAMP_PURE,
    DRIVE_END,
    FOLLOWING,
    FREE,
    INTERIOR,
    LIMIT_PLUS,
    MOVING,
    P_FRICTION,
    P_VISCOUS,
    SHEAVE,
    SLACK,
    SPEED_AS_FORCE,
    STUCK,
    TAUT,
)


@part
def drive_motion(t, d, m, w):
    """Paid-out length and speed asked of a drive at time t, from the piece it is on."""
    k = w.piece[d, 0]
    while k + 1 < w.piece[d, 1] and t >= m.motion_t[k + 1]:
        k += 1
    x = t - m.motion_t[k]
    c1, c2, c3 = m.motion_c[k, 1], m.motion_c[k, 2], m.motion_c[k, 3]
    return m.motion_c[k, 0] + x * (c1 + x * (c2 + x * c3)), c1 + x * (2 * c2 + x * 3 * c3)


@part
def brake_capacity(t, d, m, w):
    """Force of the brakes of a drive at the line (N), once it is live."""
    k = w.piece[d, 2]
    return m.brake_c[k, 0] + (t - m.brake_t[k]) * m.brake_c[k, 1]


@part
def read_state(t, y, m, w):
    """Positions and velocities of points, real line speed at every gate."""
    for i in range(len(m.points)):
        k = m.points[i].state
        w.mass[i] = m.points[i].mass
        w.frc[i, 0] = 0.0
        w.frc[i, 1] = 0.0
        w.frc[i, 2] = 0.0
        if k >= 0:
            for c in range(3):
                w.pos[i, c] = y[k + c]
                w.vel[i, c] = y[k + 3 + c] if w.mode_p[i] == MOVING else 0.0
    for j in range(len(m.gates)):
        kind = m.gates[j].kind
        if kind == DRIVE_END:
            d = m.gates[j].drive
            if w.mode_d[d] == FOLLOWING:
                speed = drive_motion(t, d, m, w)[1]
            elif w.mode_b[d] == STUCK:
                speed = 0.0
            else:
                speed = y[m.drives[d].state + 1]
            w.flow[j, 1] = m.gates[j].sign * speed
        elif m.gates[j].state >= 0:
            w.flow[j, 1] = 0.0 if w.mode_g[j] == STUCK else y[m.gates[j].state]


@part
def geometry(y, m, w):
    """Directions, chord lengths and their rates; strain of every element. Returns False if line has run out."""
    for i in range(len(m.spans)):
        a, b = m.spans[i].a, m.spans[i].b
        dx = w.pos[b, 0] + m.spans[i].bx - w.pos[a, 0] - m.spans[i].ax
        dy = w.pos[b, 1] + m.spans[i].by - w.pos[a, 1] - m.spans[i].ay
        dz = w.pos[b, 2] + m.spans[i].bz - w.pos[a, 2] - m.spans[i].az
        length = math.sqrt(dx * dx + dy * dy + dz * dz)
        if not length > 0.0:
            return False
        inv = 1.0 / length
        ux, uy, uz = dx * inv, dy * inv, dz * inv
        w.unit[i, 0], w.unit[i, 1], w.unit[i, 2] = ux, uy, uz
        w.chord[i, 0] = length
        w.chord[i, 1] = (
            ux * (w.vel[b, 0] - w.vel[a, 0]) + uy * (w.vel[b, 1] - w.vel[a, 1]) + uz * (w.vel[b, 2] - w.vel[a, 2])
        )
        if m.spans[i].sag >= 0:
            w.chord[i, 2] = math.sqrt(ux * ux + uy * uy)
    for e in range(len(m.elements)):
        i = m.elements[e].span
        s = y[m.elements[e].state]
        if not s > 0.0:
            return False
        length = m.elements[e].share * w.chord[i, 0]
        if m.spans[i].sag >= 0:
            sag = y[m.spans[i].sag]
            length += 8.0 * sag * sag / (3.0 * w.chord[i, 0])
        w.strain[e, 0] = length / s - 1.0
    return True


@part
def flows(m, w):
    """Unstretched metres per second through every gate."""
    for j in range(len(m.gates)):
        kind = m.gates[j].kind
        if kind == SHEAVE or kind == INTERIOR:
            ea, eb = m.gates[j].before, m.gates[j].after
            mean = 1.0 + 0.5 * (max(w.strain[ea, 0], 0.0) + max(w.strain[eb, 0], 0.0))
            speed = w.flow[j, 1]
            if kind == INTERIOR:
                i = m.gates[j].span
                a, b, phi = m.spans[i].a, m.spans[i].b, m.gates[j].fraction
                for c in range(3):
                    speed -= w.unit[i, c] * ((1.0 - phi) * w.vel[a, c] + phi * w.vel[b, c])
            w.flow[j, 0] = speed / mean
        elif kind == DRIVE_END:
            w.flow[j, 0] = w.flow[j, 1] / (1.0 + m.gates[j].wound_strain)


@part
def limited(force, viscous, mode):
    """Elastic plus viscous force in a mode: the rate part never exceeds the elastic part."""
    if mode == TAUT:
        return force + viscous
    if mode == LIMIT_PLUS:
        return 2.0 * force
    return 0.0


@part
def borders(taut, force, viscous, mode, law, tau):
    """The two event functions (N) of an element or a floor contact in its mode; taut: strain or depth as a force."""
    if mode == SLACK:
        return -taut, 1.0
    if law == DAMP_PURE:
        return taut, (force + viscous if mode == TAUT else -force - viscous)
    if tau == 0.0:
        return taut, 1.0
    if mode == TAUT:
        return force - viscous, force + viscous
    if mode == LIMIT_PLUS:
        return viscous - force, taut
    return -viscous - force, taut


@part
def _middle_height(e, i, m, w):
    """Height of an element's middle (m)."""
    a, b, phi = m.spans[i].a, m.spans[i].b, m.elements[e].centre
    return (1.0 - phi) * (w.pos[a, 2] + m.spans[i].az) + phi * (w.pos[b, 2] + m.spans[i].bz)


@part
def tensions(y, dy, m, w):
    """Rates of unstretched length, tensions and what is conjugate to the flow.

    Leaves in w.ten: tension, psi, stored energy per metre, half the weight along the chord, height of the middle, pull
    along the chord, and half the weight across the chord, which only a sagging span hands to its ends as such.
    """
    for e in range(len(m.elements)):
        i = m.elements[e].span
        s = y[m.elements[e].state]
        ds = w.flow[m.elements[e].gate_in, 0] - w.flow[m.elements[e].gate_out, 0]
        dy[m.elements[e].state] = ds
        rate = m.elements[e].share * w.chord[i, 1]
        if m.spans[i].sag >= 0:
            k = m.spans[i].sag
            ratio = y[k] / w.chord[i, 0]
            rate += w.chord[i, 1] * (-8.0 / 3.0) * ratio * ratio + 16.0 / 3.0 * ratio * y[k + 1]
        strain = w.strain[e, 0]
        strain_rate = (rate - (1.0 + strain) * ds) / s
        w.strain[e, 1] = strain_rate
        mode = w.mode_e[e]
        tau = m.elements[e].tau
        taut = strain * m.curve_c[m.elements[e].curve, 0, 1]
        if mode == SLACK:
            w.ten[e, 0] = w.ten[e, 1] = w.ten[e, 2] = 0.0
            w.g[2 * e], w.g[2 * e + 1] = -taut, 1.0
            w.fall[2 * e] = strain_rate * m.curve_c[m.elements[e].curve, 0, 1]
        else:
            w.fall[2 * e] = 0.0
            force, slope, energy = curve_at(m.curve_x, m.curve_c, m.elements[e].curve, strain)
            viscous = tau * slope * strain_rate
            tension = limited(force, viscous, mode)
            w.ten[e, 0] = tension
            w.ten[e, 1] = tension * (1.0 + max(strain, 0.0)) - energy
            w.ten[e, 2] = energy
            w.g[2 * e], w.g[2 * e + 1] = borders(taut, force, viscous, mode, m.elements[e].law, tau)
            w.power[P_VISCOUS] -= s * (tension - force) * strain_rate
        w.ten[e, 4] = _middle_height(e, i, m, w)
        rise = m.elements[e].share * w.unit[i, 2] * w.chord[i, 0]
        w.ten[e, 3] = 0.5 * m.elements[e].rho * m.gravity * rise
        w.ten[e, 5] = w.ten[e, 0]
        if m.spans[i].sag >= 0:
            rho_g = m.elements[e].rho * m.gravity
            sag = y[m.spans[i].sag] / w.chord[i, 0]
            w.ten[e, 1] += 2.0 / 3.0 * rho_g * y[m.spans[i].sag] * w.chord[i, 2]
            w.ten[e, 5] *= 1.0 - 8.0 / 3.0 * sag * sag
            w.ten[e, 6] = 0.5 * rho_g * s * w.chord[i, 2]


@part
def end_pull(e, at_end, m, w):
    """The part of the end tension along the chord."""
    if at_end:
        return max(w.ten[e, 5] + w.ten[e, 3], 0.0)
    return max(w.ten[e, 5] - w.ten[e, 3], 0.0)


@part
def end_tension(e, at_end, m, w):
    """Tension at the first (at_end False) or last end of an element: that of its middle and half its weight."""
    along = end_pull(e, at_end, m, w)
    across = w.ten[e, 6]
    return along if across == 0.0 else math.sqrt(along * along + across * across)


@part
def _capacity(j, m, w):
    """Largest tension difference dry friction can hold at a sheave or a bar (N).

    Bearing friction acts on the resultant of both legs and the sheave's own weight, bending loss on the mean tension;
    a bar that does not turn holds as a capstan does (Euler and Eytelwein).
    """
    ea, eb = m.gates[j].before, m.gates[j].after
    ia, ib = m.elements[ea].span, m.elements[eb].span
    ta, tb = end_tension(ea, True, m, w), end_tension(eb, False, m, w)
    if m.gates[j].bar > 0.0:
        cosine = 0.0
        for c in range(3):
            cosine += w.unit[ia, c] * w.unit[ib, c]
        wrap = math.acos(min(1.0, max(-1.0, cosine)))
        return (math.exp(m.gates[j].bar * wrap) - 1.0) * min(ta, tb)
    px = tb * w.unit[ib, 0] - ta * w.unit[ia, 0]
    py = tb * w.unit[ib, 1] - ta * w.unit[ia, 1]
    pz = tb * w.unit[ib, 2] - ta * w.unit[ia, 2] - m.gates[j].weight
    return m.gates[j].bearing * math.sqrt(px * px + py * py + pz * pz) + m.gates[j].bending * 0.5 * (ta + tb)


@part
def gate_forces(y, m, w):
    """Force that drives the line through sheaves and interior gates, and the mass it drives."""
    for j in range(len(m.gates)):
        kind = m.gates[j].kind
        if kind != SHEAVE and kind != INTERIOR:
            continue
        ea, eb = m.gates[j].before, m.gates[j].after
        weight = m.gravity * (m.elements[ea].rho * w.ten[ea, 4] - m.elements[eb].rho * w.ten[eb, 4])
        mean = 1.0 + 0.5 * (max(w.strain[ea, 0], 0.0) + max(w.strain[eb, 0], 0.0))
        w.node[j, 0] = (w.ten[eb, 1] - w.ten[ea, 1] + weight) / mean
        lump = 0.5 * (m.elements[ea].rho * y[m.elements[ea].state] + m.elements[eb].rho * y[m.elements[eb].state])
        w.node[j, 2] = m.gates[j].mass + lump
        w.node[j, 3] = 0.0


@part
def gate_motion(dy, m, w):
    """Acceleration of the line at every gate under its driving force, the momentum that flows in and dry friction."""
    base = 2 * len(m.elements)
    for j in range(len(m.gates)):
        kind = m.gates[j].kind
        if kind != SHEAVE and kind != INTERIOR:
            continue
        net = w.node[j, 0] + w.node[j, 3]
        mode = w.mode_g[j]
        if mode != FREE:
            cap = _capacity(j, m, w)
            w.node[j, 1] = cap
            if mode == STUCK:
                w.g[base + 2 * j] = w.held[j] * cap - net
                w.g[base + 2 * j + 1] = w.held[j] * cap + net
                net = 0.0
            else:
                speed = w.flow[j, 1]
                w.g[base + 2 * j] = mode * speed * SPEED_AS_FORCE
                w.g[base + 2 * j + 1] = 1.0
                net -= mode * cap
                w.power[P_FRICTION] -= cap * mode * speed
        dy[m.gates[j].state] = net / w.node[j, 2]
