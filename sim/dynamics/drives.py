"""What a drive does to its line and the line to it: followed motion, a motor under its speed loop, or a brake.

The motor of a driven winch. With m the moving mass, e the speed asked less the speed of the drum, both paying out,

    m dv/dt = T_line + F,   F = k e + I,   dI/dt = k w e / 2,   k = 2 m w

a proportional-integral speed loop, critically damped at its natural frequency w on the drive's own mass (pole placement
for a first-order system, Astrom and Murray, Feedback Systems, chapter on PID control). I starts at the force that holds
the load at rest, so nothing creeps before the move. F is never more than the motor's force nor than its power over the
speed, either way. While one of them limits it the integral does not run ahead: it is what the limit leaves of it,
limit - k e, and the motor comes off its limit when k de/dt + dI/dt turns from it faster than the limit itself moves.
That is the incremental form of the loop, which cannot wind up (Astrom and Hagglund, PID Controllers, on windup); an
integral merely held would leave and meet the limit without end wherever k de/dt is against it and dI/dt is for it.

What a motor gives at a speed is one curve for all: a force up to a knee, beyond it (a hyperbola) power over speed; of
people, who only pull, Hill's hyperbola over the speed at which they take in. See sim.rig.motor and sim.rig.pull_team.

The grip of an exact winch. Motor and brake reach the moving mass through a grip, dry friction of one force: below it
the mass follows the motion, above it m dv/dt = T_line + grip until both are as fast again. The brake gives no more.
The grip of a driven winch is the same: what turns before it weighs nothing, so while it slips the motor gives just the
grip's force F, runs at asked + (I - F)/k, and its integral goes on, dI/dt = w (F - I)/2.

Hands of a team. What hangs on the line beyond their grip pulls it out through them: they stand where they are and hold
with that friction, the line alone (loose) moving; so it stays, as people burnt by a line do not go on with their move.
"""

from __future__ import annotations

import math

from sim.dynamics.forces import brake_capacity
from sim.dynamics.jit import at, part
from sim.dynamics.tables import (
    AT_FORCE,
    AT_GRIP,
    AT_POWER,
    DRIVEN,
    FOLLOWING,
    GRIPPED,
    LIVE,
    LOCKED,
    P_BRAKE,
    P_DRIVE,
    P_FRICTION,
    SLIDE_MINUS,
    SLIDE_PLUS,
    SPEED_AS_FORCE,
    STUCK,
    WITHIN,
)


@part
def drives(t, y, dy, m, w):
    """Acceleration of drives that do not just follow their motion; power of every drive into the line."""
    for d in range(len(m.drives)):
        pull = _line_pull(d, m, w)
        k, mode = m.drives[d].state, w.drives[d].mode
        dy[k] = 0.0
        dy[k + 1] = 0.0
        if mode == FOLLOWING:
            continue
        if m.drives[d].hands > 0.0:
            w.g[m.drives[d].event + 2] = m.drives[d].hands - pull if mode == DRIVEN else 1.0
        if mode == DRIVEN:
            _under_motor(t, d, pull, y, dy, m, w)
        elif mode == GRIPPED:
            _through_grip(t, d, pull, y, dy, m, w)
        else:
            _under_brake(t, d, pull, y, dy, m, w)


@part
def _line_pull(d, m, w):
    """Force of its lines on the moving mass of a drive (N), by virtual power; what line flow carries to the books."""
    pull, feed = 0.0, 0.0
    j = m.drives[d].gate
    while j >= 0:
        gate = m.gates[at(j)]
        if w.gates[at(j)].mode == LOCKED:
            j = gate.also
            continue
        e = at(gate.after if gate.after >= 0 else gate.before)
        now = w.elements[e]
        inflow = gate.sign * w.gates[at(j)].flow
        rho_g = m.elements[e].rho * m.gravity
        rise = w.points[gate.point].z - now.height
        pull += (now.psi + gate.wound_energy + rho_g * rise) * gate.wound
        feed += (rho_g * now.height - now.psi) * inflow
        j = gate.also
    w.power[P_DRIVE] += feed
    w.drives[d].pull = pull
    return pull


@part
def _under_brake(t, d, pull, y, dy, m, w):
    """A drive without power: its moving mass under line pull and brake."""
    drive, k, q = w.drives[d], m.drives[d].state, m.drives[d].event
    if m.drives[d].gain > 0.0:
        dy[k + 2] = 0.0
    cap, brake = brake_capacity(t, d, m, w), drive.brake
    drive.capacity = cap
    if brake == STUCK:
        w.g[q] = drive.held * cap - pull
        w.g[q + 1] = drive.held * cap + pull
    else:
        speed = y[k + 1]
        w.g[q] = brake * speed * SPEED_AS_FORCE
        w.g[q + 1] = 1.0
        dy[k] = speed
        dy[k + 1] = (pull - brake * cap) / m.drives[d].loose
        w.power[P_DRIVE] += pull * speed
        w.power[P_BRAKE] -= brake * cap * speed


@part
def _wanted(t, d, m, w):
    """Speed asked of a drive and its rate (m/s, m/s2)."""
    k = w.drives[d].piece
    while k + 1 < w.drives[d].piece_end and t >= m.motions[k + 1].start:
        k += 1
    x = t - m.motions[k].start
    c1, c2, c3 = m.motions[k].c1, m.motions[k].c2, m.motions[k].c3
    return c1 + x * (2.0 * c2 + x * 3.0 * c3), 2.0 * c2 + x * 6.0 * c3


@part
def _counted(d, speed, m):
    """Speed that takes force from a motor: either way, or of people only taking in (m/s)."""
    return -speed if m.drives[d].pulls_only == 1 else abs(speed)


@part
def _beyond(d, counted, m):
    """Most force of a motor beyond its knee (N): a hyperbola, and never less than nothing."""
    return max(m.drives[d].power / (counted + m.drives[d].shift) - m.drives[d].drop, 0.0)


@part
def _under_motor(t, d, pull, y, dy, m, w):
    """A drive under power: its moving mass under line pull and motor, or under what the motor's grip lets through."""
    drive, k, q = w.drives[d], m.drives[d].state, m.drives[d].event
    speed, gain, natural = y[k + 1], m.drives[d].gain, m.drives[d].natural
    asked, asked_rate = _wanted(t, d, m, w)
    one_way, counted = m.drives[d].pulls_only == 1, _counted(d, speed, m)
    integral_rate = 0.5 * gain * natural * (asked - speed)
    limit, limit_rate, above = m.drives[d].force, 0.0, counted - m.drives[d].knee
    if drive.limit == AT_POWER or (drive.limit == WITHIN and above > 0.0):
        limit = _beyond(d, counted, m)
    if drive.limit == WITHIN:
        force = gain * (asked - speed) + y[k + 2]
        w.g[q] = (0.0 if one_way else limit) - force
        w.g[q + 1] = limit + force
        dy[k + 2] = integral_rate
        acceleration = (pull + force) / m.drives[d].mass
    elif drive.limit == AT_GRIP:
        force = drive.sense * m.drives[d].grip
        acceleration = (pull + force) / m.drives[d].mass
        slip = asked - speed + (y[k + 2] - force) / gain
        w.g[q] = drive.sense * gain * slip
        w.g[q + 1] = 1.0
        dy[k + 2] = 0.5 * natural * (force - y[k + 2])
        w.power[P_DRIVE] += force * slip
        w.power[P_FRICTION] -= force * slip
    else:
        nothing = one_way and drive.sense > 0
        force = 0.0 if nothing else drive.sense * limit
        acceleration = (pull + force) / m.drives[d].mass
        if drive.limit == AT_POWER:
            faster = -acceleration if one_way else math.copysign(acceleration, acceleration * speed)
            limit_rate = -(limit + m.drives[d].drop) * faster / (counted + m.drives[d].shift)
        turning = drive.sense * (gain * (asked_rate - acceleration) + integral_rate) - limit_rate
        w.g[q] = turning / natural
        w.g[q + 1] = 1.0 if nothing else gain * (above if drive.limit == AT_POWER else -above)
        dy[k + 2] = 0.0
    dy[k] = speed
    dy[k + 1] = acceleration
    drive.motor = force
    w.power[P_DRIVE] += (pull + force) * speed


@part
def _through_grip(t, d, pull, y, dy, m, w):
    """A drive whose motor, exact, reaches its moving mass through a grip."""
    drive, k, q = w.drives[d], m.drives[d].state, m.drives[d].event
    speed, mass, grip = y[k + 1], m.drives[d].mass, m.drives[d].grip
    asked, acceleration = _wanted(t, d, m, w)
    if drive.sense == 0:
        force = mass * acceleration - pull
        w.g[q] = drive.held * grip - force
        w.g[q + 1] = drive.held * grip + force
    else:
        force = drive.sense * grip
        acceleration = (pull + force) / mass
        w.g[q] = drive.sense * (asked - speed) * SPEED_AS_FORCE
        w.g[q + 1] = 1.0
    dy[k] = speed
    dy[k + 1] = acceleration
    drive.motor = force
    w.power[P_DRIVE] += pull * speed + force * asked
    w.power[P_FRICTION] -= force * (asked - speed)


@part
def change_grip(t, d, second, y, m, w):
    """A grip slips, or holds again."""
    drive = w.drives[d]
    if drive.sense == 0:
        drive.sense = -1 if second else 1
        drive.held = 1.0
    else:
        drive.sense = 0
        y[m.drives[d].state + 1] = _wanted(t, d, m, w)[0]


@part
def change_limit(t, d, second, y, m, w):
    """The next limit of a motor when its first or second event function has ended the present one."""
    drive, k = w.drives[d], m.drives[d].state
    speed = y[k + 1]
    counted, one_way = _counted(d, speed, m), m.drives[d].pulls_only == 1
    if drive.limit == WITHIN:
        drive.sense = -1 if second else 1
        if counted > m.drives[d].knee and not (one_way and not second):
            drive.limit = AT_POWER
        else:
            drive.limit = AT_GRIP if m.drives[d].grip > 0.0 else AT_FORCE
    elif drive.limit == AT_GRIP:
        drive.limit = WITHIN
    elif second:
        drive.limit = AT_FORCE if drive.limit == AT_POWER else AT_POWER
    else:
        limit = _beyond(d, counted, m) if drive.limit == AT_POWER else m.drives[d].force
        force = 0.0 if one_way and drive.sense > 0 else drive.sense * limit
        y[k + 2] = force - m.drives[d].gain * (_wanted(t, d, m, w)[0] - speed)
        drive.limit = WITHIN


@part
def let_loose(d, speed, m, w):
    """From here a drive moves under brake or hand alone; the energy of those who stop by themselves stays with them."""
    w.drives[d].mode = LIVE
    w.drives[d].kept += 0.5 * (m.drives[d].mass - m.drives[d].loose) * speed * speed


@part
def slip_through_hands(d, y, m, w):
    """Line runs out through the hands of a team, which stands and holds with their friction."""
    let_loose(d, y[m.drives[d].state + 1], m, w)
    w.drives[d].motor = -m.drives[d].hands
    w.drives[d].held = 1.0
    w.drives[d].brake = SLIDE_PLUS if y[m.drives[d].state + 1] >= 0.0 else SLIDE_MINUS
    w.drives[d].brake_piece = m.drives[d].brake_first
