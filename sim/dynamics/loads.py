"""What line does to the points it meets: pull, weight, its own moving mass, sag, and the momentum it carries."""

from __future__ import annotations

from sim.dynamics.jit import part
from sim.dynamics.tables import DRIVE_END, INTERIOR, P_DRIVE, P_SAG, SHEAVE


@part
def _end_velocity(j, i, at_b, m, w):
    """What a gate's end of an element moves with: line speed through it, and whether that is relative to its point.

    Returns (relative flow, 1 if line runs over a sheave or drum; absolute axial speed of a tied or interior end).
    """
    kind = m.gates[j].kind
    if kind == SHEAVE or kind == DRIVE_END:
        return 1, w.flow[j, 1]
    if kind == INTERIOR:
        return 2, w.flow[j, 1]
    p = m.spans[i].b if at_b else m.spans[i].a
    return 0, w.unit[i, 0] * w.vel[p, 0] + w.unit[i, 1] * w.vel[p, 1] + w.unit[i, 2] * w.vel[p, 2]


@part
def element_loads(y, dy, m, w):
    """Line pulls, weight, moving line mass and the momentum that flowing line carries, onto points and gates."""
    for e in range(len(m.elements)):
        i = m.elements[e].span
        a, b = m.spans[i].a, m.spans[i].b
        s, rho = y[m.elements[e].state], m.elements[e].rho
        pull = m.elements[e].share * w.ten[e, 5]
        for c in range(3):
            w.frc[a, c] += pull * w.unit[i, c]
            w.frc[b, c] -= pull * w.unit[i, c]
        weight, phi = rho * m.gravity * s, m.elements[e].centre
        w.frc[a, 2] -= (1.0 - phi) * weight
        w.frc[b, 2] -= phi * weight
        if m.spans[i].sag >= 0:
            _sag(e, i, a, b, weight, y, dy, m, w)
        _transport(e, i, a, b, s, rho, m, w)
    for j in range(len(m.gates)):
        if m.gates[j].kind == INTERIOR:
            i = m.gates[j].span
            a, b, phi = m.spans[i].a, m.spans[i].b, m.gates[j].fraction
            for c in range(3):
                w.frc[a, c] -= (1.0 - phi) * w.node[j, 0] * w.unit[i, c]
                w.frc[b, c] -= phi * w.node[j, 0] * w.unit[i, c]


@part
def _sag(e, i, a, b, weight, y, dy, m, w):
    """A sagging span's own coordinate: parabola, Irvine, Cable Structures, ch. 1; its weight turns with the chord."""
    k = m.spans[i].sag
    sag, rate, chord, cosine = y[k], y[k + 1], w.chord[i, 0], w.chord[i, 2]
    inertia = 8.0 / 15.0 * m.elements[e].rho * y[m.elements[e].state]
    grow = 8.0 / 15.0 * m.elements[e].rho * dy[m.elements[e].state]
    force = 2.0 / 3.0 * weight * cosine - w.ten[e, 0] * 16.0 * sag / (3.0 * chord)
    dy[k] = rate
    dy[k + 1] = (force - m.spans[i].sag_damping * rate - 0.5 * grow * rate) / inertia
    w.power[P_SAG] -= m.spans[i].sag_damping * rate * rate
    if cosine > 1e-9:
        turn = 2.0 / 3.0 * weight * sag / chord
        for c in range(3):
            level = w.unit[i, c] / cosine if c < 2 else 0.0
            side = turn * (level - cosine * w.unit[i, c])
            w.frc[b, c] += side
            w.frc[a, c] -= side


@part
def _transport(e, i, a, b, s, rho, m, w):
    """Momentum of the line flowing through an element's middle.

    It carries the mean of both ends' velocities, so each end lump gets half the flow times the difference; flows are
    paired with flows and points with points, which keeps the energy of the moving lumps exactly.
    """
    ja, jb = m.elements[e].gate_in, m.elements[e].gate_out
    half = 0.25 * rho * (w.flow[ja, 0] + w.flow[jb, 0])
    ka, va = _end_velocity(ja, i, False, m, w)
    kb, vb = _end_velocity(jb, i, True, m, w)
    if ka == 2 and kb == 2:
        w.node[ja, 3] += half * (va - vb)
        w.node[jb, 3] += half * (va - vb)
        return
    lump = 0.5 * rho * s
    for c in range(3):
        u = w.unit[i, c]
        if ka < 2:
            across = w.vel[b, c] if kb == 0 else (vb * u if kb == 2 else w.vel[b, c] + (vb * u if ka == 0 else 0.0))
            own = w.vel[a, c]
            w.frc[a, c] += half * (own - across)
        if kb < 2:
            across = w.vel[a, c] if ka == 0 else (va * u if ka == 2 else w.vel[a, c] + (va * u if kb == 0 else 0.0))
            own = w.vel[b, c]
            w.frc[b, c] += half * (across - own)
    if ka < 2 and m.gates[ja].kind != DRIVE_END:
        w.mass[a] += lump
    if kb < 2 and m.gates[jb].kind != DRIVE_END:
        w.mass[b] += lump
    if ka > 0 and m.gates[ja].state >= 0:
        far = vb
        if ka == 2 and kb == 1:
            far += w.unit[i, 0] * w.vel[b, 0] + w.unit[i, 1] * w.vel[b, 1] + w.unit[i, 2] * w.vel[b, 2]
        w.node[ja, 3] += half * (va - far)
    if kb > 0 and m.gates[jb].state >= 0:
        far = va
        if kb == 2 and ka == 1:
            far += w.unit[i, 0] * w.vel[a, 0] + w.unit[i, 1] * w.vel[a, 1] + w.unit[i, 2] * w.vel[a, 2]
        w.node[jb, 3] += half * (far - vb)
    if m.gates[ja].kind == DRIVE_END:
        w.power[P_DRIVE] += half * va * vb
    if m.gates[jb].kind == DRIVE_END:
        w.power[P_DRIVE] -= half * va * vb
