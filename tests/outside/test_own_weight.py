"""What a long hang weighs counts once: in the force at its upper end, by statics, and in no reduction."""

from __future__ import annotations

import math

import pytest

import sim
from sim.strength.judge import judge
from tests.outside.rigs import G

LONG = """
title: A long hang
performers:
  p: {{mass: 80 kg, at: [0 m, 0 m, 5 m], harness: rigid, hook_mass: 1 kg}}
lines:
  wire:
    type: 7x19 galvanised
    diameter: 8 mm
    breaking_strength: {{value: 41 kN, from: certificate}}
    route: [anchor, p]
    terminations: {{anchor: spelter socket, p: spelter socket}}
anchors:
  anchor: {{at: [0 m, 0 m, {top} m], breaking_strength: 100 kN}}
stops: none
limits: {{design_factor: 10}}
run: {{duration: 0.2 s}}
"""


@pytest.mark.parametrize("length_m", [10, 100, 200])
def test_the_weight_of_the_hang_is_in_the_force_at_its_upper_end(length_m: int) -> None:
    # Statics: 80 kg, 1 kg of hook and 0.2438 kg/m of wire (EN 12385 mass of 7x19, Feyrer, Wire Ropes, Table 1.9).
    scenario = sim.read_text(LONG.format(top=5 + length_m), "long.yaml")
    rig = sim.build_rig(scenario)
    case = sim.simulate(rig, sim.planned_case(rig), audited=False).case
    weight_N = (80.0 + 1.0 + 0.2438 * length_m) * G
    wire = judge(scenario, {"planned move": case}).elements["wire"]
    assert wire.static_N == pytest.approx(weight_N, rel=1e-3)
    assert wire.design_factor.static == pytest.approx(41e3 / weight_N, rel=1e-3)
    assert math.prod(each.factor for place in wire.places for each in place.reductions) == 1.0
    assert case.static_N["anchor"] == pytest.approx(weight_N, rel=1e-3)
