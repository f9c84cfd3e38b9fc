"""What line does to the points it meets: pull, weight, its own moving mass, sag, and the momentum it carries."""

from __future__ import annotations

from sim.dynamics.hanging import swing
from sim.dynamics.jit import part
from sim.dynamics.tables import DRIVE_END, ENDS_INSIDE, ENDS_RUNNING, ENDS_TIED, INTERIOR, P_DRIVE


@part
def element_loads(y, dy, m, w):
    """Line pulls, weight, moving line mass and the momentum that flowing line carries, onto points and gates."""
    for e in range(len(m.elements)):
        i = m.elements[e].span
        a, b, now = w.points[m.spans[i].a], w.points[m.spans[i].b], w.elements[e]
        s, rho, phi = y[m.elements[e].state], m.elements[e].rho, m.elements[e].centre
        weight = rho * m.gravity * s
        if m.elements[e].moves_a == 1:
            a.fx += now.x
            a.fy += now.y
            a.fz += now.z - (1.0 - phi) * weight
        if m.elements[e].moves_b == 1:
            b.fx -= now.x
            b.fy -= now.y
            b.fz -= now.z + phi * weight
        if m.spans[i].sag >= 0:
            swing(e, weight, y, dy, m, w)
        _transport(e, i, s, rho, m, w)
    for j in range(len(m.gates)):
        if m.gates[j].kind == INTERIOR:
            i, phi, force = m.gates[j].span, m.gates[j].fraction, w.gates[j].force
            a, b, u = w.points[m.spans[i].a], w.points[m.spans[i].b], w.spans[i]
            a.fx -= (1.0 - phi) * force * u.ux
            a.fy -= (1.0 - phi) * force * u.uy
            a.fz -= (1.0 - phi) * force * u.uz
            b.fx -= phi * force * u.ux
            b.fy -= phi * force * u.uy
            b.fz -= phi * force * u.uz


@part
def _transport(e, i, s, rho, m, w):
    """Momentum of the line flowing through an element's middle.

    It carries the mean of both ends' velocities, so each end lump gets half the flow times the difference; flows are
    paired with flows and points with points, which keeps the energy of the moving lumps exactly.
    """
    ja, jb = m.elements[e].gate_in, m.elements[e].gate_out
    ka, kb = m.elements[e].end_a, m.elements[e].end_b
    half = 0.25 * rho * (w.gates[ja].flow + w.gates[jb].flow)
    va, vb = w.gates[ja].speed, w.gates[jb].speed
    if ka == ENDS_INSIDE and kb == ENDS_INSIDE:
        w.gates[ja].inflow += half * (va - vb)
        w.gates[jb].inflow += half * (va - vb)
        return
    a, b, u = w.points[m.spans[i].a], w.points[m.spans[i].b], w.spans[i]
    if ka == ENDS_TIED:
        va = u.ux * a.vx + u.uy * a.vy + u.uz * a.vz
    if kb == ENDS_TIED:
        vb = u.ux * b.vx + u.uy * b.vy + u.uz * b.vz
    lump = 0.5 * rho * s
    if ka != ENDS_INSIDE and m.elements[e].moves_a == 1:
        # what flows across the middle: the far point's velocity, and along the line where the far end only runs
        point = 0.0 if kb == ENDS_INSIDE else half
        line = half * vb if (kb == ENDS_INSIDE or (kb == ENDS_RUNNING and ka == ENDS_TIED)) else 0.0
        a.fx += half * a.vx - point * b.vx - line * u.ux
        a.fy += half * a.vy - point * b.vy - line * u.uy
        a.fz += half * a.vz - point * b.vz - line * u.uz
        if m.gates[ja].kind != DRIVE_END:
            a.mass += lump
    if kb != ENDS_INSIDE and m.elements[e].moves_b == 1:
        point = 0.0 if ka == ENDS_INSIDE else half
        line = half * va if (ka == ENDS_INSIDE or (ka == ENDS_RUNNING and kb == ENDS_TIED)) else 0.0
        b.fx += point * a.vx + line * u.ux - half * b.vx
        b.fy += point * a.vy + line * u.uy - half * b.vy
        b.fz += point * a.vz + line * u.uz - half * b.vz
        if m.gates[jb].kind != DRIVE_END:
            b.mass += lump
    if ka != ENDS_TIED and m.gates[ja].state >= 0:
        far = vb
        if ka == ENDS_INSIDE and kb == ENDS_RUNNING:
            far += u.ux * b.vx + u.uy * b.vy + u.uz * b.vz
        w.gates[ja].inflow += half * (va - far)
    if kb != ENDS_TIED and m.gates[jb].state >= 0:
        far = va
        if kb == ENDS_INSIDE and ka == ENDS_RUNNING:
            far += u.ux * a.vx + u.uy * a.vy + u.uz * a.vz
        w.gates[jb].inflow += half * (far - vb)
    if m.gates[ja].kind == DRIVE_END:
        w.power[P_DRIVE] += half * va * vb
    if m.gates[jb].kind == DRIVE_END:
        w.power[P_DRIVE] -= half * va * vb
