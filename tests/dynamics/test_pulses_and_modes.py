"""Short pulses are not missed; modes change where they must; runs end with a reason and are repeatable."""

from __future__ import annotations

import dataclasses
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

import sim
from sim.dynamics.run import ready, run
from sim.results.model import Outcome
from tests.benchmarks.lsoda import lsoda_run

SNATCH = """
title: a light weight dropped onto a stiff line, taut for a few milliseconds
performers:
  weight: {mass: 2 kg, hook_mass: 0.01 kg, at: [0 m, 0 m, 9 m], start: held, release: 0.1 s}
lines:
  line:
    type: {stiffness_EA: 2000 kN, mass_per_length: 0.001 g/m, damping_time: 0 s}
    slack: 1 m
    route: [anchor, weight]
anchors:
  anchor: {at: [0 m, 0 m, 10 m]}
stops: none
limits: none
run: {duration: 0.8 s}
"""


def test_a_pulse_shorter_than_the_natural_step_is_found():
    """Taut for about 10 ms, between samples 50 ms apart; the weight falls freely before in steps as long as those."""
    rig = sim.build_rig(sim.read_text(SNATCH, "snatch"))
    of, case = ready(rig), sim.planned_case(rig)
    column = next(i for i, c in enumerate(of.columns) if c.column == "force_N:anchor")
    # Energy: 1 m of free fall, then the stretch of 2 m of line (any textbook on strength of materials).
    weight, stiffness = 2.01 * 9.80665, 2000e3 / 2.0
    exact = weight + np.sqrt(weight**2 + 2 * weight * stiffness * 1.0)
    coarse, fine = run(of, case, 1e-6, 20.0), run(of, case, 1e-6, 2000.0)
    library = lsoda_run(of, case, 0.8, rtol=1e-8, sample_s=1e-4)
    taut = [row[0] for row in coarse.log if row[1] in (0.0, 1.0)]
    assert taut[1] - taut[0] < 0.011
    assert coarse.peak[column] == pytest.approx(exact, rel=1e-4)
    assert coarse.peak[column] == fine.peak[column]
    assert library.peak[column] == pytest.approx(exact, rel=1e-3)


def test_a_jerk_of_three_milliseconds_at_the_drive_is_felt():
    text = """
title: a drive that jerks
performers:
  weight: {mass: 80 kg, hook_mass: 1 kg, at: [0 m, 0 m, 2 m]}
lines:
  line: {type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_time: 1 ms}, route: [winch, weight]}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 12 m], moving_mass: 50 kg}
moves:
  - {drive: winch, start: 1.0 s, take_in: 9 mm, speed: 6 m/s, acceleration: 4000 m/s^2, deceleration: 4000 m/s^2}
stops: none
limits: none
run: {duration: 1.5 s}
"""
    rig = sim.build_rig(sim.read_text(text, "jerk"))
    of, case = ready(rig), sim.planned_case(rig)
    assert 0.002 < rig.drives[0].motion.end_s - rig.drives[0].motion.start_s < 0.004
    column = next(i for i, c in enumerate(of.columns) if c.column == "force_N:winch")
    seldom, library = run(of, case, 1e-6, 2.0), lsoda_run(of, case, 1.5, rtol=1e-8)
    assert seldom.peak[column] > 1.3 * 81 * 9.80665
    assert seldom.peak[column] == pytest.approx(library.peak[column], rel=1e-3)


def test_the_line_running_out_stops_the_run_with_a_sentence():
    text = """
title: two blocked
performers:
  weight: {mass: 80 kg, hook_mass: 1 kg, at: [0 m, 0 m, 2 m]}
lines:
  line: {type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_time: 1 ms}, route: [winch, weight]}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 5 m], moving_mass: 50 kg}
moves:
  - {drive: winch, take_in: 4 m, speed: 2 m/s, acceleration: 2 m/s^2, deceleration: 2 m/s^2}
stops: none
limits: none
"""
    rig = sim.build_rig(sim.read_text(text, "two blocked"))
    found = sim.simulate(rig, sim.planned_case(rig))
    assert found.case.outcome == Outcome.STOPPED
    assert "no line is left in line, winch -> weight" in found.case.reason
    assert found.case.remedy
    assert all(np.isfinite(values).all() for values in found.trace.columns.values())


def test_pure_damping_jumps_where_limited_does_not():
    """Kelvin and Voigt's law jumps to c v when slack is taken up at speed; the limited law starts from nothing."""
    rig = sim.build_rig(sim.read_text(SNATCH.replace("damping_time: 0 s", "damping_time: 0.5 ms"), "snatch"))
    pure = dataclasses.replace(
        rig,
        lines=tuple(
            dataclasses.replace(x, material=dataclasses.replace(x.material, damping="pure")) for x in rig.lines
        ),
    )
    for which, jumps in ((rig, False), (pure, True)):
        raw = run(ready(which), sim.planned_case(which), 1e-6, 100_000.0)
        column = next(i for i, c in enumerate(raw.ready.columns) if c.column == "force_N:anchor")
        taut = next(row[0] for row in raw.log if row[1] == 1.0)
        just_after = raw.samples[np.searchsorted(raw.time_s, taut), column]
        speed = np.sqrt(2 * 9.80665 * 1.0)
        assert (just_after > 0.8 * 0.5e-3 * 1e6 * speed) == jumps
        assert raw.residual < 1e-5


@pytest.mark.parametrize("tolerance", [1e-4, 1e-6])
def test_energy_closes_in_every_kind_of_rig(tolerance: float):
    text = """
title: everything at once
floor: 0 m
performers:
  weight:
    mass: 80 kg
    at: [0 m, 0 m, 5 m]
    body_below: 1.2 m
    drag_area: 0.7 m^2
    body: {lagging_mass: 25 %, frequency: 5 Hz, damping_ratio: 0.3}
    harness:
      stiffness: 45 kN/m
      damping_ratio: 0.15
      points: {left hip: {offset: [0 m, 0.2 m, 0 m]}, right hip: {offset: [0 m, -0.2 m, 0 m]}}
lines:
  fall: {type: HMPE 12-strand, diameter: 6 mm, route: [winch, jib sheave, apex], elements_per_span: 3}
  left leg: {type: HMPE 12-strand, diameter: 6 mm, route: [apex, left hip]}
  right leg: {type: HMPE 12-strand, diameter: 6 mm, route: [apex, right hip]}
sheaves:
  jib sheave: {mount: jib tip, tread_diameter: 120 mm, mass: 1 kg}
mounts:
  jib tip: {at: [0 m, 0 m, 12 m], stiffness: 200 kN/m, mass: 30 kg, damping_ratio: 0.03}
junctions:
  apex: {at: [0 m, 0 m, 6 m], mass: 1 kg}
drives:
  winch: {kind: winch, at: [-6 m, 1 m, 0 m], moving_mass: 60 kg, brakes: [{force: 3 kN, delay: 80 ms, rise: 60 ms}]}
moves:
  - {drive: winch, start: 0.2 s, pay_out: 5 m, speed: 5 m/s, acceleration: 6 m/s^2, slow_down_in: 0.8 m}
stops:
  - {name: power loss, category: 0, when: 0.8 s}
limits: {clearance: 0 m}
"""
    rig = sim.build_rig(sim.read_text(text, "everything"))
    for case in (sim.planned_case(rig), sim.stop_case(rig, rig.stops[0], 0.8)):
        raw = run(ready(rig), case, tolerance, None, 2.5)
        assert raw.residual < 1e-5 * max(1.0, tolerance / 1e-6)
        assert raw.status == 0


def test_runs_are_repeatable_alone_and_side_by_side():
    rig = sim.build_rig(sim.read_text(SNATCH, "snatch"))
    of, case = ready(rig), sim.planned_case(rig)
    one = run(of, case, 1e-6, 500.0)
    with ThreadPoolExecutor(2) as pool:
        others = list(pool.map(lambda _: run(of, case, 1e-6, 500.0), range(4)))
    assert all(np.array_equal(one.samples, other.samples) for other in others)
    assert all(np.array_equal(one.peak, other.peak) for other in others)
