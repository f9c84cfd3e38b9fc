"""Peaks are values that were there, light sheaves are told of, and a run whose line comes to nothing says so."""

from __future__ import annotations

import pytest

import sim
from sim.dynamics import orders as od
from sim.dynamics.run import ready, run

HANGING = """
title: a start with limited jerk
performers:
  flyer: {mass: 80 kg, at: [6 m, 0 m, 8 m], harness: rigid}
lines:
  line:
    type: {stiffness_EA: 300 kN, mass_per_length: 27 g/m, damping_time: 0.3 ms}
    route: [winch, head, flyer]
sheaves:
  head: {at: [6 m, 0 m, 12 m], tread_diameter: 120 mm, mass: 0.9 kg, bearing: ball}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 0.5 m], moving_mass: 60 kg}
moves:
  - drive: winch
    start: 0.05 s
    pay_out: 0.4 m
    speed: 2 m/s
    acceleration: 3 m/s^2
    deceleration: 3 m/s^2
    jerk: 20 m/s^3
stops: none
limits: none
"""

FALLING_ON_THE_SHEAVE = """
title: a fall onto the sheave
performers:
  flyer:
    {mass: 80 kg, at: [6 m, 0 m, 13 m], start: held, release: 0.2 s, harness: {stiffness: 40 kN/m, damping_ratio: 0.1}}
lines:
  line:
    type: {stiffness_EA: 300 kN, mass_per_length: 27 g/m, damping_time: 0.3 ms}
    route: [winch, head, flyer]
    slack: 0.4 m
sheaves:
  head: {at: [6 m, 0 m, 12 m], tread_diameter: 120 mm, mass: 0.9 kg, bearing: ball}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 0.5 m], moving_mass: 60 kg}
moves:
  - {drive: winch, start: 5 s, pay_out: 0.4 m, speed: 2 m/s, acceleration: 3 m/s^2, deceleration: 3 m/s^2}
stops: none
limits: none
"""


def test_a_peak_is_never_above_every_value():
    """While a winch pays out with growing speed its tension only falls: its peak is the force at rest."""
    rig = sim.build_rig(sim.read_text(HANGING, "hanging"))
    of = ready(rig)
    raw = run(of, sim.planned_case(rig), 1e-6, 20_000.0, 0.12)
    o = next(k for k, c in enumerate(of.columns) if c.column == "force_N:winch")
    assert raw.peak[o] == pytest.approx(raw.samples[0, o], rel=1e-9)
    assert raw.samples[-1, o] < raw.samples[0, o]


def test_a_peak_is_no_lower_than_any_sample():
    """Samples 50 us apart find nothing above the reported peak by more than their own spacing allows."""
    rig = sim.build_rig(sim.read_text(HANGING, "hanging"))
    of = ready(rig)
    raw = run(of, sim.planned_case(rig), 1e-8, 20_000.0, 3.0)
    for o, c in enumerate(of.columns):
        if c.peak:
            extreme = (c.peak * raw.samples[:, o]).max()
            assert c.peak * raw.peak[o] >= extreme - 2e-6 * abs(extreme), c.column


def test_who_falls_onto_the_sheave_has_no_line_left():
    """The ends of the last span meet: the run says so, and is no finished run."""
    rig = sim.build_rig(sim.read_text(FALLING_ON_THE_SHEAVE, "falling"))
    raw = run(ready(rig), sim.planned_case(rig), 1e-6, None)
    assert raw.status == od.LINE_RAN_OUT


@pytest.mark.parametrize(("mass", "said"), [("0.9 kg", False), ("0.0001 kg", True)])
def test_mass_that_nobody_wrote_is_told(mass: str, said: bool):
    """A sheave of 0.1 g on stiff line without mass is given some inertia, and the remarks say how much."""
    text = HANGING.replace("mass: 0.9 kg", f"mass: {mass}").replace("27 g/m", "0.001 g/m")
    remarks = ready(sim.build_rig(sim.read_text(text, "light"))).start.remarks
    assert any("head" in r and "inertia" in r for r in remarks) == said
