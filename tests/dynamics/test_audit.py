"""The energy books close in every kind of rig and at every kind of stop, and the closer the smaller the tolerance.

That the books close says the stepping and the forces fit together, not that the forces are right. That they could fail
to close is shown by an account of energy kept here from the traces alone.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics import modes as md
from sim.dynamics import tables as tb
from sim.dynamics.run import Raw, Ready, ready, run
from sim.rig.case import Case
from sim.rig.line import Damping
from sim.rig.rig import Rig
from tests.dynamics.rigs import DEMOS, G, built, demo_cases, history

END_S = 4.0
PASS_MARK = 1e-5

SNATCH = """
title: a fall of two masses onto a line, with drag, on to the floor
floor: 0 m
performers:
  weight: {mass: 80 kg, at: [0 m, 0 m, 5.2 m], start: held, release: 0.1 s, body_below: 1.2 m, drag_area: 0.7 m^2,
           body: {lagging_mass: 25 %, frequency: 5 Hz, damping_ratio: 0.3}, HARNESS}
lines:
  line: {type: {stiffness_EA: 60 kN, mass_per_length: 50 g/m, damping_time: 3 ms}, slack: SLACK,
         route: [jib, weight], elements_per_span: COUNT}
mounts:
  jib tip: {at: [0.3 m, 0 m, 8 m], stiffness: 200 kN/m, mass: 30 kg, damping_ratio: 0.03}
anchors:
  jib: {mount: jib tip}
stops: none
limits: none
"""
SPRUNG = "harness: {stiffness: 45 kN/m, damping_ratio: 0.15}"
RIGID = "harness: rigid, hook_mass: 1 kg"

BLOCK = """
title: a carried block and a guided counterweight
performers:
  weight: {mass: 80 kg, at: [4 m, 0 m, 3 m], harness: {stiffness: 45 kN/m, damping_ratio: 0.15}}
lines:
  hoist: {type: HMPE 12-strand, diameter: 6 mm, route: [winch, head, block, dead end], elements_per_span: COUNT}
  balance: {type: HMPE 12-strand, diameter: 6 mm, route: [carriage, over, above, weight]}
counterweights:
  carriage: {mass: 20 kg, at: [0 m, 0 m, 6 m], guide: vertical}
sheaves:
  head: {at: [3.9 m, 0 m, 12 m], tread_diameter: 120 mm, mass: 1 kg, bearing: plain}
  block: {carried_by: weight, tread_diameter: 100 mm, mass: 0.7 kg, bearing: plain, bending_loss: 1 %}
  over: {at: [0 m, 0 m, 12 m], turns: no, line_friction: 0.05}
  above: {at: [4 m, 0 m, 12 m], tread_diameter: 120 mm, mass: 1 kg, bearing: ball}
anchors:
  dead end: {at: [4.1 m, 0 m, 12 m]}
drives:
  winch: {kind: winch, at: [-6 m, 1 m, 0 m], moving_mass: 60 kg, brakes: [{force: 2 kN, delay: 80 ms, rise: 60 ms}]}
moves:
  - {drive: winch, start: 0.2 s, take_in: 5 m, speed: 4 m/s, acceleration: 6 m/s^2, deceleration: 6 m/s^2}
stops:
  - {name: power loss, category: 0, when: 0.9 s}
  - {name: slowed, category: 1, when: 0.9 s, deceleration: 8 m/s^2}
  - {name: held, category: 2, when: 0.9 s, deceleration: 8 m/s^2}
limits: none
"""


def damped(rig: Rig, law: Damping, limit: float = 1.0) -> Rig:
    """The rig with that damping law and limit in all its lines but the harness."""
    change = {"damping": law, "damping_limit": limit}
    lines = (x if x.strap else replace(x, material=replace(x.material, **change)) for x in rig.lines)
    return replace(rig, lines=tuple(lines))


@cache
def demo(path: Path) -> Ready:
    return ready(sim.build_rig(sim.read_file(path)))


def closes(of: Ready, case: Case) -> Raw:
    """The run at 1e-6, having closed; and closing better than at 1e-4, better still at 1e-8."""
    coarse, asked, fine = (run(of, case, tolerance, None, END_S) for tolerance in (1e-4, 1e-6, 1e-8))
    assert asked.status in (0, 1)
    assert asked.residual < PASS_MARK
    assert coarse.residual < 100 * PASS_MARK
    # In proportion to the tolerance it would be 1e4; less where steps are as short as stability has them anyway.
    assert fine.residual < coarse.residual / 100 + 1e-12
    assert fine.residual < asked.residual < coarse.residual
    assert (asked.work_J[1:] <= 0.0).all()
    return asked


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_demos(path: Path):
    of = demo(path)
    for case in demo_cases(of.rig):
        closes(of, case)


@pytest.mark.parametrize(("law", "limit"), [("limited", 1.0), ("limited", 0.3), ("pure", 1.0)])
@pytest.mark.parametrize("count", [1, 4])
@pytest.mark.parametrize("harness", [SPRUNG, RIGID], ids=["sprung", "rigid"])
@pytest.mark.parametrize("slack", ["0.8 m", "4 m"], ids=["caught", "on the floor"])
def test_falls(law: Damping, limit: float, count: int, harness: str, slack: str):
    text = SNATCH.replace("COUNT", str(count)).replace("HARNESS", harness).replace("SLACK", slack)
    of = ready(damped(built(text), law, limit))
    raw = closes(of, sim.planned_case(of.rig))
    assert raw.work_J[tb.P_DRAG] < 0.0
    assert raw.work_J[tb.P_SPRING] < 0.0
    if slack == "0.8 m":
        assert md.EV_TAUT in raw.log[:, 1]
        assert raw.work_J[tb.P_VISCOUS] < 0.0
    else:
        assert md.EV_CONTACT in raw.log[:, 1]
        assert raw.work_J[tb.P_FLOOR] < 0.0


@pytest.mark.parametrize("count", [1, 3])
def test_blocks_bars_and_counterweights(count: int):
    of = ready(built(BLOCK.replace("COUNT", str(count))))
    for case in demo_cases(of.rig):
        raw = closes(of, case)
        assert raw.work_J[tb.P_FRICTION] < 0.0
        assert (raw.work_J[tb.P_BRAKE] < 0.0) == (case.name == "power loss")


def test_books_kept_from_the_traces_alone_say_the_same():
    """Energy of a weight on a nearly massless line, read off the traces: what came in is the drive's pull times speed.

    m g z + m v^2 / 2 + T^2 s / (2 EA) - integral T v dt stays what it was, here without loss. The line on the drum
    keeps the stretch it had at rest, so what leaves the drum brings its energy of stretch along.
    """
    stiffness, mass, long_m = 60e3, 80.0, 8.0
    text = f"""
title: a weight that is lowered
performers:
  weight: {{mass: {mass - 0.001} kg, hook_mass: 0.001 kg, at: [0 m, 0 m, 2 m], harness: rigid}}
lines:
  line:
    type: {{stiffness_EA: {stiffness} N, mass_per_length: 0.000001 g/m, damping_time: 0 s}}
    route: [winch, weight]
drives:
  winch: {{kind: winch, at: [0 m, 0 m, {2 + long_m} m], moving_mass: 50 kg}}
moves:
  - {{drive: winch, start: 0.1 s, pay_out: 1.5 m, speed: 2 m/s, acceleration: 6 m/s^2, deceleration: 9 m/s^2}}
stops: none
limits: none
"""
    of = ready(built(text))
    raw = run(of, sim.planned_case(of.rig), 1e-7, 20_000.0, 2.0)
    tension, speed = history(raw, "force_N:winch"), history(raw, "speed_m_s:weight")
    height, paid_out = history(raw, "height_m:weight"), history(raw, "line_speed_m_s:winch")
    wound = mass * G / stiffness
    unstretched = long_m / (1 + wound) + history(raw, "paid_out_m:winch") / (1 + wound)
    stretch = tension**2 * unstretched / (2 * stiffness)
    # Through the drum's edge: line at strain e takes its pull's work out and its stretch with it.
    power = -(tension * (1 + tension / stiffness) - tension**2 / (2 * stiffness)) * paid_out / (1 + wound)
    work = np.concatenate(([0.0], np.cumsum(0.5 * (power[1:] + power[:-1]) * np.diff(raw.time_s))))
    energy = mass * G * height + 0.5 * mass * speed**2 + stretch
    turned = float(np.abs(np.diff(mass * G * height)).sum())
    assert turned > 1000.0
    balance = energy - energy[0] - work
    assert np.abs(balance).max() / turned < 1e-5
    assert work[-1] == pytest.approx(raw.work_J[tb.P_DRIVE], rel=1e-5)
    # A book with a force that is off by 0.1 % does not close.
    assert np.abs(energy - energy[0] - 1.001 * work).max() / turned > 1e-4
