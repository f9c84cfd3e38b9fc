"""The line's part of the right-hand side: flows, tensions, and the motion of line over sheaves.

Unstretched length s flows through gates; the state of a gate is the real line speed w. Elastic energy s*Phi(strain),
Phi the integral of the stretch curve f, gives the force conjugate to unstretched length Psi = T (1 + strain) - Phi and
so every force below by virtual power (Lagrange's equations for a system through which mass flows). Within one set of
modes every law is smooth; the borders of the modes are the event functions g, each positive while its mode is valid.

What cannot change is not computed: chords between fixed points stand in the scratch from the start, and forces on fixed
points are nobody's.
"""

from __future__ import annotations

import math

from sim.dynamics.curve import curve_at
from sim.dynamics.hanging import ends_of_hanging, hang
from sim.dynamics.jit import at, part
from sim.dynamics.tables import (
    DAMP_PURE,
    DRIVE_END,
    FOLLOWING,
    FREE,
    INTERIOR,
    LIMIT_PLUS,
    LOCKED,
    MOVING,
    P_FRICTION,
    P_VISCOUS,
    PARTED,
    SLACK,
    SPEED_AS_FORCE,
    STUCK,
    TAUT,
)


@part
def drive_motion(t, d, m, w):
    """Paid-out length and speed asked of a drive at time t, from the piece it is on."""
    k = w.drives[d].piece
    while k + 1 < w.drives[d].piece_end and t >= m.motions[at(k + 1)].start:
        k += 1
    piece = m.motions[at(k)]
    x = t - piece.start
    c1, c2, c3 = piece.c1, piece.c2, piece.c3
    return piece.c0 + x * (c1 + x * (c2 + x * c3)), c1 + x * (2 * c2 + x * 3 * c3)


@part
def brake_capacity(t, d, m, w):
    """Force of the brakes of a drive at the line (N), once it is live."""
    k = w.drives[d].brake_piece
    return m.brakes[k].force + (t - m.brakes[k].start) * m.brakes[k].rise


@part
def read_state(t, y, m, w):
    """Positions and velocities of points that move, real line speed at every gate."""
    for i in range(len(m.points)):
        k = m.points[i].state
        if k < 0:
            continue
        p = w.points[i]
        p.mass = m.points[i].mass
        p.fx = 0.0
        p.fy = 0.0
        p.fz = 0.0
        p.x = y[at(k)]
        p.y = y[at(k + 1)]
        p.z = y[at(k + 2)]
        if p.mode == MOVING:
            p.vx = y[at(k + 3)]
            p.vy = y[at(k + 4)]
            p.vz = y[at(k + 5)]
        else:
            p.vx = 0.0
            p.vy = 0.0
            p.vz = 0.0
    for j in range(len(m.gates)):
        k = m.gates[j].state
        if w.gates[j].mode == STUCK or w.gates[j].mode == LOCKED:
            w.gates[j].speed = 0.0
        elif k >= 0:
            w.gates[j].speed = y[at(k)]
        elif m.gates[j].kind == DRIVE_END:
            d = m.gates[j].drive
            if w.drives[d].mode == FOLLOWING:
                speed = drive_motion(t, d, m, w)[1]
            elif w.drives[d].brake == STUCK:
                speed = 0.0
            else:
                speed = y[at(m.drives[d].state + 1)]
            w.gates[j].speed = m.gates[j].sign * speed


@part
def geometry(y, m, w):
    """Directions, chords and their rates; strain of every element. Returns False if line runs out or taut ends meet."""
    for i in range(len(m.spans)):
        if m.spans[i].still == 1:
            continue
        a, b = w.points[m.spans[i].a], w.points[m.spans[i].b]
        dx = b.x + m.spans[i].bx - a.x - m.spans[i].ax
        dy = b.y + m.spans[i].by - a.y - m.spans[i].ay
        dz = b.z + m.spans[i].bz - a.z - m.spans[i].az
        length = math.sqrt(dx * dx + dy * dy + dz * dz)
        if not length > 0.0:
            return False
        inverse = 1.0 / length
        ux, uy, uz = dx * inverse, dy * inverse, dz * inverse
        span = w.spans[i]
        span.ux, span.uy, span.uz, span.length = ux, uy, uz, length
        span.rate = ux * (b.vx - a.vx) + uy * (b.vy - a.vy) + uz * (b.vz - a.vz)
    for e in range(len(m.elements)):
        i = m.elements[e].span
        s = y[m.elements[e].state]
        if not s > 0.0:
            return False
        length = m.elements[e].share * w.spans[i].length
        if w.spans[i].length < m.spans[i].least and w.elements[e].mode != SLACK:
            return False
        if m.spans[i].sag >= 0:
            hang(i, y, m, w)
            length = w.spans[i].line
        inverse = 1.0 / s
        w.elements[e].inverse = inverse
        w.elements[e].strain = length * inverse - 1.0
        if m.spans[i].still == 0:
            a, b, phi = m.spans[i].a, m.spans[i].b, m.elements[e].centre
            w.elements[e].height = (1.0 - phi) * (w.points[a].z + m.spans[i].az) + phi * (w.points[b].z + m.spans[i].bz)
    return True


@part
def flows(m, w):
    """Unstretched metres per second through every gate."""
    for j in range(len(m.gates)):
        speed = w.gates[j].speed
        if m.gates[j].state >= 0:
            ea, eb = at(m.gates[j].before), at(m.gates[j].after)
            relaxed = 1.0 / (1.0 + 0.5 * (max(w.elements[ea].strain, 0.0) + max(w.elements[eb].strain, 0.0)))
            w.gates[j].relaxed = relaxed
            if m.gates[j].kind == INTERIOR:
                i, phi = m.gates[j].span, m.gates[j].fraction
                a, b, u = w.points[m.spans[i].a], w.points[m.spans[i].b], w.spans[i]
                speed -= (1.0 - phi) * (u.ux * a.vx + u.uy * a.vy + u.uz * a.vz)
                speed -= phi * (u.ux * b.vx + u.uy * b.vy + u.uz * b.vz)
            w.gates[j].flow = 0.0 if w.gates[j].mode == LOCKED else speed * relaxed
        elif m.gates[j].kind == DRIVE_END:
            w.gates[j].flow = speed * m.gates[j].wound


@part
def limited(force, viscous, most, mode):
    """Elastic plus viscous force in a mode: the rate part never exceeds the most it may be (all in N)."""
    if mode == TAUT:
        return force + viscous
    if mode == LIMIT_PLUS:
        return force + most
    return force - most


@part
def borders(taut, force, viscous, most, mode, law, tau):
    """The two event functions (N) of an element or a floor contact in its mode; taut: strain or depth as a force."""
    if mode == SLACK:
        return -taut, 1.0
    if law == DAMP_PURE:
        return taut, (force + viscous if mode == TAUT else -force - viscous)
    if tau == 0.0:
        return taut, 1.0
    if mode == TAUT:
        return most - viscous, most + viscous
    if mode == LIMIT_PLUS:
        return viscous - most, taut
    return -viscous - most, taut


@part
def _ends_of_straight(e, tension, m, w):
    """Pull of a straight element and the tension at both ends: that of its middle and half its weight along it (N)."""
    now, u = w.elements[e], w.spans[m.elements[e].span]
    share, rho_g = m.elements[e].share, m.elements[e].rho * m.gravity
    pull, along = share * tension, 0.5 * rho_g * share * u.uz * u.length
    now.x, now.y, now.z = pull * u.ux, pull * u.uy, pull * u.uz
    now.first, now.last = max(tension - along, 0.0), max(tension + along, 0.0)


@part
def tensions(y, dy, m, w):
    """Rates of unstretched length, tensions and what is conjugate to the flow."""
    for e in range(len(m.elements)):
        now, i, q = w.elements[e], m.elements[e].span, m.elements[e].event
        s, hangs = y[m.elements[e].state], m.spans[i].sag >= 0
        ds = w.gates[m.elements[e].gate_in].flow - w.gates[m.elements[e].gate_out].flow
        dy[m.elements[e].state] = ds
        rate = w.spans[i].line_rate if hangs else m.elements[e].share * w.spans[i].rate
        strain = now.strain
        strain_rate = (rate - (1.0 + strain) * ds) * now.inverse
        now.rate = strain_rate
        first = m.curves[m.elements[e].curve, 0].c1
        taut, tension, psi, stored = strain * first, 0.0, 0.0, 0.0
        if now.mode == SLACK:
            w.g[at(q)] = -taut
            w.g[at(q + 1)] = 1.0
            w.fall[at(q)] = strain_rate * first
        elif now.mode == PARTED:
            w.g[at(q)], w.g[at(q + 1)], w.fall[at(q)] = 1.0, 1.0, 0.0
        else:
            tau = m.elements[e].tau
            w.fall[at(q)] = 0.0
            force, slope, stored = curve_at(m.curves, m.elements[e].curve, strain)
            viscous = tau * slope * strain_rate
            most = m.elements[e].limit * force
            tension = limited(force, viscous, most, now.mode)
            psi = tension * (1.0 + max(strain, 0.0)) - stored
            w.g[q], w.g[at(q + 1)] = borders(taut, force, viscous, most, now.mode, m.elements[e].law, tau)
            w.power[P_VISCOUS] -= s * (tension - force) * strain_rate
        now.tension = tension
        now.energy = stored
        if hangs:
            rho_g = m.elements[e].rho * m.gravity
            psi += 2.0 / 3.0 * rho_g * w.spans[i].sink
            ends_of_hanging(e, rho_g * s, tension, m, w)
        else:
            _ends_of_straight(e, tension, m, w)
        now.psi = psi


@part
def _capacity(j, m, w):
    """Largest tension difference dry friction can hold at a sheave or a bar (N).

    Bearing friction acts on the resultant of both legs and the sheave's own weight, bending loss on the mean tension;
    a bar that does not turn holds as a capstan does (Euler and Eytelwein).
    """
    ea, eb = at(m.gates[j].before), at(m.gates[j].after)
    ua, ub = w.spans[m.elements[ea].span], w.spans[m.elements[eb].span]
    ta, tb = w.elements[ea].last, w.elements[eb].first
    if m.gates[j].bar > 0.0:
        cosine = ua.ux * ub.ux + ua.uy * ub.uy + ua.uz * ub.uz
        wrap = math.acos(min(1.0, max(-1.0, cosine)))
        return (math.exp(m.gates[j].bar * wrap) - 1.0) * min(ta, tb)
    px = tb * ub.ux - ta * ua.ux
    py = tb * ub.uy - ta * ua.uy
    pz = tb * ub.uz - ta * ua.uz - m.gates[j].weight
    return m.gates[j].bearing * math.sqrt(px * px + py * py + pz * pz) + m.gates[j].bending * 0.5 * (ta + tb)


@part
def gate_forces(y, m, w):
    """Force that drives the line through sheaves and interior gates, and the mass it drives."""
    for j in range(len(m.gates)):
        if m.gates[j].state < 0:
            continue
        ea, eb, now = at(m.gates[j].before), at(m.gates[j].after), w.gates[j]
        rho_a, rho_b = m.elements[ea].rho, m.elements[eb].rho
        weight = m.gravity * (rho_a * w.elements[ea].height - rho_b * w.elements[eb].height)
        now.force = (w.elements[eb].psi - w.elements[ea].psi + weight) * now.relaxed
        now.mass = m.gates[j].mass + 0.5 * (rho_a * y[m.elements[ea].state] + rho_b * y[m.elements[eb].state])
        if now.mode == LOCKED:
            now.force = 0.0
        now.inflow = 0.0


@part
def gate_motion(dy, m, w):
    """Acceleration of the line at every gate under its driving force, the momentum that flows in and dry friction."""
    for j in range(len(m.gates)):
        if m.gates[j].state < 0:
            continue
        now, q = w.gates[j], m.gates[j].event
        net = now.force + now.inflow
        if now.mode == LOCKED:
            net = 0.0
            if q >= 0:
                w.g[at(q)], w.g[at(q + 1)] = 1.0, 1.0
        elif now.mode != FREE:
            cap = _capacity(j, m, w)
            now.capacity = cap
            if now.mode == STUCK:
                w.g[at(q)] = now.held * cap - net
                w.g[at(q + 1)] = now.held * cap + net
                net = 0.0
            else:
                speed = now.speed
                w.g[at(q)] = now.mode * speed * SPEED_AS_FORCE
                w.g[at(q + 1)] = 1.0
                net -= now.mode * cap
                w.power[P_FRICTION] -= cap * now.mode * speed
        dy[at(m.gates[j].state)] = net / now.mass
