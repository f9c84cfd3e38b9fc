"""A weight hoisted by one winch: the smallest rig with a stop at every instant, for the tests of studies."""

from __future__ import annotations

import sim
from sim.rig.rig import Rig

HOIST = """
title: a hoist
floor: 0 m
performers:
  weight: {mass: 80 kg, hook_mass: 1 kg, at: [0 m, 0 m, 2 m], body_below: 1 m}
lines:
  line:
    type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}
    route: [winch, weight]
drives:
  winch:
    {kind: winch, at: [0 m, 0 m, 5 m], moving_mass: 50 kg, brakes: [{force: 3 kN, delay: 50 ms, rise: 50 ms}]}
moves:
  - {drive: winch, start: 0.2 s, take_in: TAKE m, speed: 2 m/s, acceleration: 4 m/s^2, deceleration: 4 m/s^2}
stops:
  - {name: power loss, category: 0, when: every instant}
limits: {clearance: 0.1 m}
"""


def hoist_text(take_m: float = 1.5, mass: str = "80 kg", force: str = "3 kN", delay: str = "50 ms") -> str:
    """The scenario, its weight hoisted by so much, with these inputs."""
    text = HOIST.replace("TAKE", f"{take_m:g}").replace("mass: 80 kg", f"mass: {mass}")
    return text.replace("force: 3 kN", f"force: {force}").replace("delay: 50 ms", f"delay: {delay}")


def hoist(take_m: float = 1.5) -> Rig:
    """Its rig."""
    return sim.build_rig(sim.read_text(hoist_text(take_m), "hoist"))


SPREAD = {
    "mass": "{value: 80 kg, within: 5 kg}",
    "force": "{value: 3 kN, within: 10 %}",
    "delay": "{value: 50 ms, range: [40 ms, 70 ms]}",
}
"""Inputs with a spread, for hoist_text(**SPREAD)."""
