"""The mass that a sheave or a bar lacks so that it can be stepped."""

from __future__ import annotations

from collections.abc import Mapping

from sim.dynamics import tables as tb

# Highest frequency (rad/s) a sheave without inertia on line without mass may have: below this much mass it gets more.
# At this limit no peak of a random rig moved by more than 0.01 % (at 3000 rad/s one moved by 1.9 %).
FASTEST_GATE_RAD_S = 12000.0


def add_gate_mass(model: tb.Model, lengths_m: Mapping[int, float]) -> dict[int, float]:
    """Give gates that are lighter than the solver's fastest allowed frequency the mass they lack (in place).

    lengths_m: unstretched length of every element at the start. Returns the mass added (kg) to each sheave's gate.
    """
    added: dict[int, float] = {}
    for j, gate in enumerate(model.gates):
        if gate["kind"] != tb.SHEAVE:
            continue
        stiffness, line_mass = 0.0, 0.0
        for e in (int(gate["before"]), int(gate["after"])):
            element = model.elements[e]
            stiffness += model.curves["c1"][element["curve"]].max() / lengths_m[e]
            line_mass += 0.5 * element["rho"] * lengths_m[e]
        least = stiffness / FASTEST_GATE_RAD_S**2
        if gate["mass"] + line_mass < least:
            added[j] = float(least - line_mass - gate["mass"])
            gate["mass"] = least - line_mass
    return added
