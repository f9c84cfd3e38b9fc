"""How a span hangs: the catenary, however steep its ends lie and however slack it is, from one coordinate, its sag.

The catenary of length l between ends h apart level and v apart in height has sqrt(l^2 - v^2) = 2 a sinh(h / 2a), and
its weight lies a^2 (sinh(h / a) / 2 - h / 2a) / l deeper than half-way between its ends (any text on the catenary): the
height of the ends counts in the level length e = sqrt(l^2 - v^2) only. With the sag d chosen so that the weight lies
2/3 d e / l deeper, which for a flat span makes it the sag of the parabola, d / h as a function of e / h is

    e^2 = h^2 + 16/3 d^2 + 256/45 d^4 / (h^2 + 16/5 d^2)

right to the fourth power of d / h where the line is nearly straight, right again where it hangs double from one place
(e = 8/3 d), and nowhere off by more than 0.2 % of e.
"""

from __future__ import annotations

import math

from sim.dynamics.jit import at, part
from sim.dynamics.tables import P_SAG, PARTED, SAG_INERTIA

_TINY = 1e-200  # where ends lie plumb over one another and the line is straight, instead of a division by zero


def catenary(d, h2, v):
    """Length of the line and how deep its weight sinks (m) at sag d; h2 (m2): level way squared, v (m): height.

    Returns (length, sink, then the derivatives of both): of the length per level way over that way (1/m), per height,
    per sag; of the sink the same three.
    """
    d2 = d * d
    share = d2 / max(h2 + 3.2 * d2, _TINY)
    level2 = h2 + (16.0 / 3.0 + 256.0 / 45.0 * share) * d2
    level = math.sqrt(level2)
    inverse = 1.0 / math.sqrt(v * v + level2)
    by_h = 1.0 - 256.0 / 45.0 * share * share
    by_d = d * (16.0 / 3.0 + 256.0 / 45.0 * share * (2.0 - 3.2 * share))
    deep = d * level * inverse
    steep = v * inverse
    turns = d * steep * steep * inverse / max(level, _TINY)
    return (
        (v * v + level2) * inverse,
        deep,
        by_h * inverse,
        steep,
        by_d * inverse,
        turns * by_h,
        -deep * steep * inverse,
        level * inverse + turns * by_d,
    )


_catenary = part(catenary)


@part
def hang(i, y, m, w):
    """Line and its rate, sink, and the derivatives of both, of a span that hangs, from its ends and its sag."""
    k, now = m.spans[i].sag, w.spans[i]
    a, b = w.points[m.spans[i].a], w.points[m.spans[i].b]
    hx, hy, v = now.ux * now.length, now.uy * now.length, now.uz * now.length
    line, sink, line_h, line_v, line_d, sink_h, sink_v, sink_d = _catenary(y[at(k)], hx * hx + hy * hy, v)
    now.line, now.line_h, now.line_v, now.line_d = line, line_h, line_v, line_d
    now.sink, now.sink_h, now.sink_v, now.sink_d = sink, sink_h, sink_v, sink_d
    now.line_rate = line_h * (hx * (b.vx - a.vx) + hy * (b.vy - a.vy)) + line_v * (b.vz - a.vz) + line_d * y[at(k + 1)]


@part
def ends_of_hanging(e, weight, tension, m, w):
    """Pull of a span that hangs, from its first point towards its second, and the tension at both ends (N).

    tension: of its line, as the work it does on the line's length; weight (N): its own, half of it at either end.
    """
    now, u = w.elements[e], w.spans[m.elements[e].span]
    level = u.length * (tension * u.line_h - 2.0 / 3.0 * weight * u.sink_h)
    now.x, now.y = level * u.ux, level * u.uy
    now.z = tension * u.line_v - 2.0 / 3.0 * weight * u.sink_v
    now.half = 0.5 * weight
    level2 = now.x * now.x + now.y * now.y
    now.first = math.sqrt(level2 + (now.z - now.half) * (now.z - now.half))
    now.last = math.sqrt(level2 + (now.z + now.half) * (now.z + now.half))


@part
def swing(e, weight, y, dy, m, w):
    """How the sag moves: under the weight of its line, against its tension."""
    i = m.elements[e].span
    k, u = m.spans[i].sag, w.spans[i]
    rate = y[at(k + 1)]
    if w.elements[e].mode == PARTED:
        dy[at(k)], dy[at(k + 1)] = 0.0, 0.0  # where it falls to is nobody's force: its weight stays where it was
        return
    inertia = SAG_INERTIA * m.elements[e].rho * y[m.elements[e].state]
    grow = SAG_INERTIA * m.elements[e].rho * dy[m.elements[e].state]
    force = 2.0 / 3.0 * weight * u.sink_d - w.elements[e].tension * u.line_d
    dy[at(k)] = rate
    dy[at(k + 1)] = (force - m.spans[i].sag_damping * rate - 0.5 * grow * rate) / inertia
    w.power[P_SAG] -= m.spans[i].sag_damping * rate * rate
