"""How a rig starts: lengths cut, sags found, everything at rest; and the state vector of that."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sim.dynamics import tables as tb
from sim.dynamics.assemble import Layout, assemble
from sim.dynamics.curve import curve_of
from sim.dynamics.cutting import Balance, balance, free_points, in_newtons, start_positions
from sim.dynamics.equilibrium import find_rest
from sim.dynamics.gate_mass import add_gate_mass
from sim.dynamics.hanging import catenary
from sim.dynamics.rhs import rhs
from sim.dynamics.sagging import hanging_sag
from sim.rig.curve import slope_at, strain_at
from sim.rig.line import Line
from sim.rig.rig import Rig, RigError

# Sag is left out of a span where it softens the line by less than this at a third of its tension at rest.
SAG_MATTERS = 1e-3
SAG_TENSION_SHARE = 1.0 / 3.0
# Line without tension between ends nearer to plumb than this weighs nothing until it is tight: its quick swing would
# take most of a fall's steps. What that does to the peak: test_slack_falls.py, test_slack_at_rest.py among the tests.
PLUMB = 0.05
# Damping ratio of a sagging span's own swing: small, common practice for bare line in air, no source.
SAG_DAMPING_RATIO = 0.02
# Forces left at rest over the heaviest weight: what is looked for, and what is good enough to begin from.
AT_REST = 1e-7
NEARLY_AT_REST = 1e-5


@dataclass(frozen=True, eq=False)
class Start:
    """A rig at rest, ready to run: its tables, state vector, modes and what to say about it."""

    layout: Layout
    model: tb.Model
    state: NDArray[np.float64]
    mode_e: NDArray[np.int64]
    mode_g: NDArray[np.int64]
    reference_N: float
    """The heaviest weight that hangs: what forces are measured against."""
    remarks: tuple[str, ...]


def _path(rig: Rig, line: Line, at: NDArray) -> list[float]:
    ends = [at[rig.index(p.point)] + np.array(p.offset_m) for p in line.route]
    return [float(np.linalg.norm(b - a)) for a, b in pairwise(ends)]


def _slack_span(rig: Rig, line: Line) -> int:
    """Where slack hangs at first: next to what moves, or in the last span."""
    moving = [k for k, p in enumerate(line.route) if rig.point(p.point).start != "fixed"]
    return min(max(moving[-1] - 1, 0), len(line.route) - 2) if moving else len(line.route) - 2


def _cut_lengths(rig: Rig, lay: Layout, at: NDArray, tension: Balance) -> NDArray:
    """Unstretched length of every element (m), without sag."""
    m = lay.model
    s = np.zeros(len(m.elements))
    for line in rig.lines:
        path = _path(rig, line, at)
        curve = lay.curves[line.name]
        x, c = curve_of(m.curves, curve)
        shares = [p / (1.0 + strain_at(x, c, t)) for p, t in zip(path, tension.tension_N[line.name], strict=True)]
        if line.cut.slack_m is not None:
            shares[_slack_span(rig, line)] += line.cut.slack_m
        if line.cut.length_m is not None:
            extra = line.cut.length_m - sum(path)
            shares = [p * line.cut.length_m / sum(path) for p in path] if extra <= 0 else path
            shares[_slack_span(rig, line)] += max(extra, 0.0)
        for span, share in zip(lay.line_spans[line.name], shares, strict=True):
            first, count = int(m.spans[span]["first"]), int(m.spans[span]["count"])
            s[first : first + count] = share / count
    return s


def _slope_at(m: tb.Model, e: int, tension: float) -> float:
    """Stiffness f' (N) of an element's line at a tension."""
    x, c = curve_of(m.curves, int(m.elements[e]["curve"]))
    return slope_at(x, c, strain_at(x, c, tension))


def _choose_sags(rig: Rig, lay: Layout, at: NDArray, tension: Balance, s: NDArray, states: int) -> tuple[int, NDArray]:
    """Give a sag coordinate to every span whose weight softens it; returns the states then and the sags (spans,)."""
    m = lay.model
    sags = np.zeros(len(m.spans))
    for line in rig.lines:
        for k, i in enumerate(lay.line_spans[line.name]):
            span, e = m.spans[i], int(m.spans[i]["first"])
            ends = [at[rig.index(p.point)] + np.array(p.offset_m) for p in line.route[k : k + 2]]
            way = ends[1] - ends[0]
            chord = float(np.linalg.norm(way))
            level = float(np.hypot(way[0], way[1]))
            rho = float(m.elements[e]["rho"])
            weight = rho * m.gravity * chord
            if span["count"] > 1 or line.strap or weight < 1e-6:
                continue
            t = tension.tension_N[line.name][k]
            low = t * SAG_TENSION_SHARE
            across = weight * level / chord
            if t == 0.0 and level < PLUMB * chord:
                continue
            if low > 0 and across**2 * _slope_at(m, e, low) / (12 * low**3) < SAG_MATTERS:
                continue
            m.spans[i]["sag"] = states
            states += 2
            if t > 0:
                sags[i] = across * chord / (8 * t)
                if line.cut.length_m is None:  # a length that is given has its sag in it
                    s[e] *= catenary(sags[i], level**2, float(way[2]))[0] / chord
            else:
                sags[i] = hanging_sag(m, e, s[e], level, float(way[2]))
            own2 = 10 * max(t, weight) / (rho * s[e] ** 2)
            m.spans[i]["sag_damping"] = 2 * SAG_DAMPING_RATIO * np.sqrt(own2) * tb.SAG_INERTIA * rho * s[e]
    return states, sags


def _state(rig: Rig, m: tb.Model, states: int, at: NDArray, s: NDArray, sags: NDArray) -> NDArray:
    y = np.zeros(states)
    for i in range(len(rig.points)):
        k = int(m.points[i]["state"])
        if k >= 0:
            y[k : k + 3] = at[i]
    for e in range(len(m.elements)):
        y[m.elements[e]["state"]] = s[e]
    for i in range(len(m.spans)):
        if m.spans[i]["sag"] >= 0:
            y[m.spans[i]["sag"]] = sags[i]
    return y


def _hold_lagging(rig: Rig, m: tb.Model) -> None:
    """A lagging mass hangs on its torso where it was put."""
    for row, spring in zip(m.springs, rig.springs, strict=True):
        if spring.other is not None:
            row["pz"] = m.points[row["point"]]["mass"] * m.gravity


def _hold_mounts(m: tb.Model, w: tb.Work, y: NDArray) -> None:
    """A mount carries what it needs to be where it was said to be under load."""
    dy = np.zeros(len(y))
    rhs(0.0, y, dy, m, w)
    for row in m.springs:
        if row["other"] < 0:
            on = w.points[row["point"]]
            row["px"], row["py"], row["pz"] = -on["fx"], -on["fy"], -on["fz"]


def _reference(rig: Rig) -> float:
    """The heaviest weight among performers and counterweights (N)."""
    weights = [p.weight_N for p in rig.performers]
    weights += [rig.point(c).mass_kg * rig.gravity_m_s2 for c in rig.counterweights]
    weights += [p.mass_kg * rig.gravity_m_s2 for p in rig.points if p.start != "fixed"]
    return max(weights, default=1.0)


def _friction_modes(m: tb.Model) -> NDArray:
    """Gates that have dry friction start held, the others free."""
    modes = np.full(len(m.gates), tb.FREE, np.int64)
    for j, g in enumerate(m.gates):
        if g["kind"] == tb.SHEAVE and (g["bearing"] > 0 or g["bending"] > 0 or g["bar"] > 0):
            modes[j] = tb.STUCK
    return modes


def _mass_remarks(rig: Rig, m: tb.Model, added: Mapping[int, float]) -> tuple[str, ...]:
    """Where a sheave or a bar was given mass so that it can be stepped."""
    return tuple(
        f"{rig.points[m.gates[j]['point']].name}: too light on so stiff a line to be computed as it is; "
        f"given {1000 * mass:.2g} g of inertia at the line."
        for j, mass in added.items()
    )


def start_at_rest(rig: Rig) -> Start:
    """Cut the lines, find the state of rest. Raises RigError where there is none, with the imbalance in newtons."""
    lay = assemble(rig)
    m, at = lay.model, start_positions(rig)
    tension = balance(rig, at)
    s = _cut_lengths(rig, lay, at, tension)
    states, sags = _choose_sags(rig, lay, at, tension, s, lay.states)
    added = add_gate_mass(m, dict(enumerate(s)))
    _hold_lagging(rig, m)
    y = _state(rig, m, states, at, s, sags)
    w = tb.new_work(m)
    _set_modes_for_rest(rig, lay, m, w)
    reference = _reference(rig)
    free = free_points(rig) + [
        rig.index(x.point) for x in rig.springs if x.other is not None and rig.point(x.point).start == "moving"
    ]
    rest = find_rest(m, w, y, free, gates=not tension.on_friction, enough_N=AT_REST * reference)
    if not rest.left_over_N <= NEARLY_AT_REST * reference:
        raise RigError([_no_rest(rig, lay, rest.where, rest.left_over_N, NEARLY_AT_REST * reference)])
    _hold_mounts(m, w, rest.state)
    return Start(
        layout=lay,
        model=m,
        state=rest.state,
        mode_e=w.elements["mode"].copy(),
        mode_g=_friction_modes(m),
        reference_N=reference,
        remarks=_mass_remarks(rig, m, added),
    )


def _set_modes_for_rest(rig: Rig, lay: Layout, m: tb.Model, w: tb.Work) -> None:
    """Held and standing points stay; springs of mounts stay; everything else may move."""
    w.points["mode"] = lay.start_modes
    for spring in rig.springs:
        if spring.other is None:
            w.points["mode"][rig.index(spring.point)] = tb.HELD


def _no_rest(rig: Rig, lay: Layout, where: str, force: float, most: float) -> str:
    """What stays unbalanced, at which place, as a sentence."""
    if not np.isfinite(force):
        return "The rig cannot be put as described: a line has no length left, or its ends meet."
    kind, _, number = where.partition(" ")
    m, what = lay.model, "a line"
    if kind == "point":
        what = rig.points[int(number)].name
    elif kind == "gate":
        i = int(m.gates[int(number)]["point"])
        what = f"the line at {rig.points[i].name}"
    elif kind == "span":
        names = {i: (line, k) for line in rig.lines for k, i in enumerate(lay.line_spans[line.name])}
        line, k = names[int(number)]
        what = f"the sag of {line.name}, {line.span_name(k)}"
    return (
        f"The rig does not come to rest as described: {in_newtons(force)} stay unbalanced on {what}, "
        f"where at most {in_newtons(most)} may."
    )
