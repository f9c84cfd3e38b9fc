"""Rigs of many kinds of parts in small fixed steps: Newton's law for every body, massless straight springs of line.

A line is a row of springs, one a span; a sheave between two is a mass at the rim, driven by the difference of their
pulls and held back by dry friction, which in each step takes away all speed or as much as it can. A drum follows a
speed, or reaches it through a grip, or a motor under a speed loop within a force and a power, or is under its brake
alone. Semi-implicit steps (speeds first, then places): no events, no error control, nothing of the program's. Laws of
any mechanics textbook. The parts are in plain_rig.py.
"""

from __future__ import annotations

from typing import NamedTuple

import numba
import numpy as np
from numpy.typing import NDArray

G = 9.80665
AIR_KG_M3 = 1.225
Floats = NDArray[np.float64]


class Tables(NamedTuple):
    mass: Floats
    kind: NDArray[np.int64]  # 0 fixed, 1 free, 2 upright only
    free_s: Floats
    drag: Floats
    mount: Floats  # (bodies, 8): stiffness, damping, place, force at rest
    floor: Floats  # (bodies, 4)
    ends: NDArray[np.int64]  # (spans, 2)
    offset: Floats  # (spans, 2, 3)
    line: Floats  # (spans, 3): stiffness, damping time, parts at
    between: NDArray[np.int64]  # (wheels, 2) spans
    wheel: Floats  # (wheels, 5): rim mass, journal, bending, weight, caught at
    drum_span: NDArray[np.int64]  # (drums, 2): span, 1 at its first end and -1 at its last
    drum: Floats  # (drums, 8): mass, off, grip, wound, force, power, gain, natural
    lag: Floats  # (springs, 3): stiffness, damping, weight it holds up
    lag_of: NDArray[np.int64]  # (springs, 2)


@numba.njit(cache=True)
def _limited(force: float, viscous: float) -> float:
    return force + min(max(viscous, -force), force)


@numba.njit(cache=True)
def _dry(speed: float, most: float) -> float:
    """A speed less what dry friction takes of it in a step."""
    return max(speed - most, 0.0) if speed > 0.0 else min(speed + most, 0.0)


@numba.njit(cache=True)
def _chords(x, s, tab, way, strain):
    """Directions of the spans, and how far each is stretched."""
    for i in range(len(s)):
        way[i] = x[tab.ends[i, 1]] + tab.offset[i, 1] - x[tab.ends[i, 0]] - tab.offset[i, 0]
        chord = np.sqrt((way[i] ** 2).sum())
        way[i] /= chord
        strain[i] = chord / s[i] - 1.0


@numba.njit(cache=True)
def _flows(rim, out_speed, strain, tab, flow):
    """Unstretched line that runs into each span at its first end and out at its last (m/s)."""
    flow[:] = 0.0
    for j in range(len(rim)):
        a, b = tab.between[j, 0], tab.between[j, 1]
        through = rim[j] / (1.0 + 0.5 * (max(strain[a], 0.0) + max(strain[b], 0.0)))
        flow[a, 1] += through
        flow[b, 0] += through
    for d in range(len(out_speed)):
        end = 0 if tab.drum_span[d, 1] > 0 else 1
        flow[tab.drum_span[d, 0], end] += tab.drum_span[d, 1] * out_speed[d] * tab.drum[d, 3]


@numba.njit(cache=True)
def _pulls(t, v, s, way, strain, flow, tab, pull, force):
    """Pull of every span, and what it and the lagging bodies' springs do to their ends."""
    force[:] = 0.0
    for i in range(len(s)):
        a, b = tab.ends[i, 0], tab.ends[i, 1]
        rate = (way[i] * (v[b] - v[a])).sum() - (1.0 + strain[i]) * (flow[i, 0] - flow[i, 1])
        elastic = tab.line[i, 0] * strain[i]
        bears = strain[i] > 0.0 and t < tab.line[i, 2]
        pull[i] = _limited(elastic, tab.line[i, 1] * tab.line[i, 0] * rate / s[i]) if bears else 0.0
        force[a] += pull[i] * way[i]
        force[b] -= pull[i] * way[i]


@numba.njit(cache=True)
def _accelerations(t, x, v, tab, force):
    """From the forces of lines to the accelerations of all bodies, in place."""
    for k in range(len(tab.lag)):
        a, b = tab.lag_of[k, 0], tab.lag_of[k, 1]
        back = -tab.lag[k, 0] * (x[a] - x[b]) - tab.lag[k, 1] * (v[a] - v[b])
        back[2] += tab.lag[k, 2]
        force[a] += back
        force[b] -= back
    for p in range(len(x)):
        if tab.mount[p, 0] > 0.0:
            force[p] += tab.mount[p, 5:8] - tab.mount[p, 0] * (x[p] - tab.mount[p, 2:5]) - tab.mount[p, 1] * v[p]
        depth = tab.floor[p, 0] - x[p, 2]
        if tab.floor[p, 1] > 0.0 and depth > 0.0:
            force[p, 2] += _limited(tab.floor[p, 1] * depth, -tab.floor[p, 2] * tab.floor[p, 1] * v[p, 2])
            force[p, :2] -= tab.floor[p, 3] * v[p, :2]
        force[p] -= 0.5 * AIR_KG_M3 * tab.drag[p] * np.sqrt((v[p] ** 2).sum()) * v[p]
        force[p] /= tab.mass[p]
        force[p, 2] -= G
        if tab.kind[p] == 0 or t < tab.free_s[p]:
            force[p] = 0.0
        elif tab.kind[p] == 2:
            force[p, :2] = 0.0


@numba.njit(cache=True)
def _wheels(t, h, rim, pull, way, tab):
    """Speeds of the sheaves' rims after a step."""
    for j in range(len(rim)):
        a, b = tab.between[j, 0], tab.between[j, 1]
        on_pin = pull[b] * way[b] - pull[a] * way[a]
        on_pin[2] -= tab.wheel[j, 3]
        most = tab.wheel[j, 1] * np.sqrt((on_pin**2).sum()) + tab.wheel[j, 2] * 0.5 * (pull[a] + pull[b])
        speed = rim[j] + h * (pull[b] - pull[a]) / tab.wheel[j, 0]
        rim[j] = 0.0 if t >= tab.wheel[j, 4] else _dry(speed, h * most / tab.wheel[j, 0])


@numba.njit(cache=True)
def _drums(n, h, out_speed, held, pull, asked, brake, tab):
    """Speeds of the drums after a step."""
    for d in range(len(out_speed)):
        mass, on_line, now = tab.drum[d, 0], pull[tab.drum_span[d, 0]], out_speed[d]
        if n * h >= tab.drum[d, 1] - 0.5 * h:
            out_speed[d] = _dry(now + h * on_line / mass, h * brake[n, d] / mass)
        elif tab.drum[d, 6] > 0.0:
            most = min(tab.drum[d, 4], tab.drum[d, 5] / max(abs(now), 1e-9))
            error = asked[n, d] - now
            wish = tab.drum[d, 6] * error + held[d]
            given = min(max(wish, -most), most)
            held[d] += given - wish if given != wish else 0.5 * h * tab.drum[d, 6] * tab.drum[d, 7] * error
            out_speed[d] += h * (on_line + given) / mass
        elif tab.drum[d, 2] > 0.0:
            slip = now + h * on_line / mass - asked[n + 1, d]
            out_speed[d] = asked[n + 1, d] + _dry(slip, h * tab.drum[d, 2] / mass)
        else:
            out_speed[d] = asked[n + 1, d]


@numba.njit(cache=True)
def small_steps(steps, bodies_now, line_now, asked, brake, tab, seen):
    """Run; seen (rows, spans + 4 bodies + drums): pulls, places and felt acceleration over g, line paid out."""
    count, h, every = steps
    x, v = bodies_now
    s, rim, out_speed, held = line_now
    spans, bodies = len(s), len(x)
    pull, way, flow = np.zeros(spans), np.zeros((spans, 3)), np.zeros((spans, 2))
    strain, rates, paid = np.zeros(spans), np.zeros((bodies, 3)), np.zeros(len(out_speed))
    for n in range(count):
        t = n * h
        _chords(x, s, tab, way, strain)
        _flows(rim, out_speed, strain, tab, flow)
        _pulls(t, v, s, way, strain, flow, tab, pull, rates)
        _accelerations(t + 0.5 * h, x, v, tab, rates)
        if n % every == 0:
            seen[n // every, :spans] = pull
            for p in range(bodies):
                seen[n // every, spans + 4 * p : spans + 4 * p + 3] = x[p]
                felt = np.sqrt(rates[p, 0] ** 2 + rates[p, 1] ** 2 + (rates[p, 2] + G) ** 2)
                seen[n // every, spans + 4 * p + 3] = felt / G
            seen[n // every, spans + 4 * bodies :] = paid
        _wheels(t, h, rim, pull, way, tab)
        _drums(n, h, out_speed, held, pull, asked, brake, tab)
        paid += h * out_speed
        for i in range(spans):
            s[i] += h * (flow[i, 0] - flow[i, 1])
        v += h * rates
        x += h * v
