"""What happens at a known time: next piece of a motion or brake, release, power off; line that catches or parts."""

from __future__ import annotations

from sim.dynamics.drives import let_loose
from sim.dynamics.forces import drive_motion
from sim.dynamics.jit import part
from sim.dynamics.orders import (
    BOUNDARY_BRAKE,
    BOUNDARY_LIVE,
    BOUNDARY_LOCK,
    BOUNDARY_MOTION,
    BOUNDARY_PART,
    BOUNDARY_RELEASE,
)
from sim.dynamics.rhs import rhs
from sim.dynamics.tables import (
    FOLLOWING,
    HELD,
    LIVE,
    LOCKED,
    MOVING,
    P_DRIVE,
    P_FRICTION,
    PARTED,
    SAG_INERTIA,
    SLIDE_MINUS,
    SLIDE_PLUS,
    STUCK,
)

SAME_TIME_S = 1e-12


@part
def cross_boundary(b, y, orders, x, m, w):
    """Carry out boundary number b; energy (J) that comes to the books from outside, or is lost, is written there."""
    what, i, t = orders.boundary_what[b], orders.boundary_index[b], orders.boundary_s[b]
    if what == BOUNDARY_MOTION:
        _next_motion_pieces(i, t, m, w)
    elif what == BOUNDARY_BRAKE:
        w.drives[i].brake_piece = _brake_piece(i, t, m)
    elif what == BOUNDARY_RELEASE:
        if w.points[i].mode == HELD:
            w.points[i].mode = MOVING
    elif what == BOUNDARY_LIVE:
        x.work[P_DRIVE] += _turn_live(i, t, y, m, w)
    elif what == BOUNDARY_LOCK or what == BOUNDARY_PART:
        rhs(t, y, x.k[0], m, w)
        x.work[P_FRICTION] -= _lock(i, y, m, w) if what == BOUNDARY_LOCK else _part(i, y, m, w)


@part
def _next_motion_pieces(d, t, m, w):
    """The run of pieces that starts at time t: up to the next boundary the integrator steps on."""
    k = m.drives[d].motion_first
    last = m.drives[d].motion_last - 1
    while k < last and m.motions[k + 1].start <= t + SAME_TIME_S:
        k += 1
    w.drives[d].piece = k
    k += 1
    while k <= last and m.motions[k].corner == 0:
        k += 1
    w.drives[d].piece_end = k


@part
def _brake_piece(d, t, m):
    """The brakes' piece that starts at time t."""
    k = m.drives[d].brake_first
    while k + 1 < m.drives[d].brake_last and m.brakes[k + 1].start <= t + SAME_TIME_S:
        k += 1
    return k


@part
def _lock(j, y, m, w):
    """Line catches at a gate and stays there. Returns the energy of the motion that ends (J)."""
    k, speed, lost = m.gates[j].state, w.gates[j].speed, 0.0
    if k >= 0:
        y[k] = 0.0
        lost = 0.5 * w.gates[j].mass * speed * speed
    w.gates[j].mode = LOCKED
    return lost


@part
def _part(e, y, m, w):
    """An element of line bears nothing from here on. Returns the energy that was stored in it and in its sag (J)."""
    s, k = y[m.elements[e].state], m.spans[m.elements[e].span].sag
    lost = s * w.elements[e].energy
    if k >= 0:
        lost += 0.5 * SAG_INERTIA * m.elements[e].rho * s * y[k + 1] * y[k + 1]
        y[k + 1] = 0.0
    w.elements[e].mode = PARTED
    return lost


@part
def _turn_live(d, t, y, m, w):
    """Power off: from here the drive's moving mass runs under line pull and brake, starting with the speed it has.

    Returns the energy of a mass that only followed until now, and so was in no book.
    """
    state, followed = m.drives[d].state, w.drives[d].mode == FOLLOWING
    if followed:
        y[state], y[state + 1] = drive_motion(t, d, m, w)
    speed = y[state + 1]
    if w.drives[d].mode != LIVE:
        let_loose(d, speed, m, w)
    w.drives[d].motor = 0.0
    w.drives[d].held = 1.0
    w.drives[d].brake_piece = _brake_piece(d, t, m)
    if abs(speed) < 1e-9:
        y[state + 1] = 0.0
        w.drives[d].brake = STUCK
        return 0.0
    w.drives[d].brake = SLIDE_PLUS if speed > 0.0 else SLIDE_MINUS
    return 0.5 * m.drives[d].mass * speed * speed if followed else 0.0
