"""Dry friction is exact: at rest nothing creeps, and what holds, holds as the laws say."""

from __future__ import annotations

import math

import numpy as np
import pytest

import sim

OFF_BALANCE = """
title: a counterweight that is too heavy
performers:
  weight: {mass: 80 kg, hook_mass: 1 kg, at: [3 m, 0 m, 5 m]}
lines:
  line:
    type: {stiffness_EA: 500 kN, mass_per_length: 20 g/m, damping_time: 1 ms}
    route: [counterweight, first, second, weight]
sheaves:
  first: {at: [0 m, 0 m, 12 m], SHEAVE}
  second: {at: [3 m, 0 m, 12 m], SHEAVE}
counterweights:
  counterweight: {mass: HEAVY kg, at: [0 m, 0 m, 5 m]}
stops: none
limits: none
run: {duration: 60 s}
"""
PLAIN = "tread_diameter: 120 mm, mass: 1 kg, bearing: plain, bending_loss: 0.5 %"
BAR = "turns: no, line_friction: 0.2"


def _run(sheave: str, heavy: float, duration: str = "60 s"):
    text = OFF_BALANCE.replace("SHEAVE", sheave).replace("HEAVY", f"{heavy:.4f}").replace("60 s", duration)
    rig = sim.build_rig(sim.read_text(text, "off balance"))
    return sim.simulate(rig, sim.planned_case(rig))


@pytest.mark.parametrize("sheave", [PLAIN, BAR], ids=["sheave", "bar"])
def test_no_creep_in_a_minute(sheave: str):
    """2 kg off balance, held by friction for a minute: far under 1 mm (a smoothed friction would run away for ever)."""
    heights = _run(sheave, 83.0).trace.columns["height_m:weight"]
    assert np.ptp(heights) < 1e-6


def test_a_bar_holds_as_euler_and_eytelwein_say():
    """Two quarter turns at mu 0.2 hold up to exp(0.2 pi) (capstan law, any mechanics textbook); just more does not."""
    ratio = math.exp(0.2 * math.pi)
    held = _run(BAR, 81.0 * ratio * 0.99, "2 s")
    assert np.ptp(held.trace.columns["height_m:weight"]) < 1e-6
    with pytest.raises(sim.RigError, match="left over"):
        _run(BAR, 81.0 * ratio * 1.01, "2 s")


def test_dry_friction_damps_a_bounce_and_the_books_still_close():
    """The tops of a bounce over a rubbing sheave fall without end; how fast is an outside check (closed forms)."""
    text = """
title: a mass that bounces over a sheave
performers:
  weight: {mass: 80 kg, hook_mass: 0.001 kg, at: [0 m, 0 m, 5 m]}
lines:
  line:
    type: {stiffness_EA: 200 kN, mass_per_length: 0.001 g/m, damping_time: 0 s}
    route: [winch, sheave, weight]
sheaves:
  sheave: {at: [0 m, 0 m, 15 m], tread_diameter: 100 mm, bearing: {friction: 0, pin_diameter: 10 mm}, bending_loss: 1 %}
drives:
  winch: {kind: winch, at: [0.1 m, 0 m, 14.9 m], moving_mass: 10 kg}
moves:
  - {drive: winch, start: 0.1 s, pay_out: 0.1 m, speed: 5 m/s, acceleration: 200 m/s^2, deceleration: 200 m/s^2}
stops: none
limits: none
run: {duration: 4 s, tolerance: 1e-8}
"""
    rig = sim.build_rig(sim.read_text(text, "bounce"))
    run = sim.simulate(rig, sim.planned_case(rig))
    assert run.case.audit is not None
    assert run.case.audit.energy_residual < 1e-7
    heights = run.trace.columns["height_m:weight"][run.trace.time_s > 0.5]
    turns = np.flatnonzero((heights[1:-1] >= heights[:-2]) & (heights[1:-1] > heights[2:])) + 1
    tops = heights[turns]
    assert len(tops) > 5
    assert np.all(np.diff(tops) < 0.0)
