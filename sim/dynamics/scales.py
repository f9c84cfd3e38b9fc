"""How exact every state has to be: errors weighed by the energy they stand for, so that all states count alike."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.dynamics import tables as tb
from sim.dynamics.start import Start

# An event function this far below zero, per tolerance and reference force, is zero but for the error of the step.
EVENT_ROUNDING = 0.1


def state_scales(start: Start) -> NDArray:
    """Error (SI) of each state that a tolerance of 1 allows: what the reference weight does to it."""
    m, y, ref = start.model, start.state, start.reference_N
    k_element = [_stiffness(m, e) / float(y[m.elements[e]["state"]]) for e in range(len(m.elements))]
    scale = np.full(len(y), np.inf)
    k_point = np.zeros(len(m.points))
    mass_point = np.array([float(p["mass"]) for p in m.points])
    for e, row in enumerate(m.elements):
        scale[row["state"]] = ref / k_element[e]
        lump = 0.5 * row["rho"] * y[row["state"]]
        for end in ("a", "b"):
            i = int(m.spans[row["span"]][end])
            k_point[i] += k_element[e]
            mass_point[i] += lump
    for g in m.gates:
        if g["state"] >= 0:
            ea, eb = int(g["before"]), int(g["after"])
            lump = 0.5 * sum(float(m.elements[e]["rho"]) * y[m.elements[e]["state"]] for e in (ea, eb))
            scale[g["state"]] = ref / np.sqrt((k_element[ea] + k_element[eb]) * (float(g["mass"]) + lump))
    for s in m.springs:
        for i in (int(s["point"]), int(s["other"])):
            if i >= 0:
                k_point[i] += float(s["stiffness"])
    for i, p in enumerate(m.points):
        if p["state"] >= 0:
            k = k_point[i] or mass_point[i] * m.gravity / 0.01
            scale[p["state"] : p["state"] + 3] = ref / k
            scale[p["state"] + 3 : p["state"] + 6] = ref / np.sqrt(k * mass_point[i])
    for i, s in enumerate(m.spans):
        if s["sag"] >= 0:
            _sag_scale(m, y, i, k_element[s["first"]], ref, scale)
    for d in m.drives:
        e = int(m.gates[d["gate"]]["after"] if m.gates[d["gate"]]["after"] >= 0 else m.gates[d["gate"]]["before"])
        scale[d["state"]] = ref / k_element[e]
        scale[d["state"] + 1] = ref / np.sqrt(k_element[e] * float(d["mass"]))
        if d["gain"] > 0.0:
            scale[d["state"] + 2] = ref
    return scale


def _stiffness(m: tb.Model, e: int) -> float:
    """Largest stiffness of an element's stretch curve (N)."""
    return float(m.curves["c1"][m.elements[e]["curve"]].max())


def _sag_scale(m: tb.Model, y: NDArray, i: int, k: float, ref: float, scale: NDArray) -> None:
    """A sag error counts by the stretch it makes, 16 d / (3 l) per metre, and by its kinetic energy."""
    s, span = y[m.elements[m.spans[i]["first"]]["state"]], m.spans[i]["sag"]
    sag = max(abs(y[span]), 0.01 * s)
    inertia = tb.SAG_INERTIA * float(m.elements[m.spans[i]["first"]]["rho"]) * s
    scale[span] = ref / k * 3 * s / (16 * sag)
    scale[span + 1] = ref / np.sqrt(k * inertia)


def event_rounding(start: Start, tolerance: float) -> NDArray:
    """How far below zero (N) each event function may be and still count as zero."""
    return np.full(len(start.model.events), EVENT_ROUNDING * tolerance * start.reference_N)
