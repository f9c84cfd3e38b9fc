"""What acts on a body by several ways at once, beside the same rigs in small fixed steps of Newton's law.

Three lines on a harness, two of them off its middle, with unlike brakes and a lagging body: what the harness bears is
what it puts on both parts of the body, each by its own acceleration. A performer who reaches the floor while a brake
rises. Lines are massless there and 10 mg/m here. Peaks to 0.3 %, with the floor to 0.5 %.
"""

from __future__ import annotations

import numpy as np

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees
from tests.outside.reference.motion import trapezoid
from tests.outside.reference.plain_rig import Body, Drum, PlainRig, Rope, Vector, Wheel
from tests.outside.rigs import G
from tests.outside.small_step_rigs import BALL, LINE, PLAIN, SMALL_STEPS, braked, compare, sheave, strapped


def test_a_harness_on_three_lines_with_a_lagging_body(agrees: Agrees):
    """What the harness bears is what it puts on both parts of the body, each by its own acceleration."""
    line = f"damping_time: 2 ms, {LINE}}}, route"
    text = f"""
title: hips
performers:
  flyer: {{mass: 80 kg, at: [0 m, 0 m, 6 m], hook_mass: 1 kg, harness: {{stiffness: rigid, points: {{
    left hip: {{offset: [0 m, 0.25 m, -0.1 m]}}, right hip: {{offset: [0 m, -0.25 m, -0.1 m]}}}}}},
    body: {{lagging_mass: 30 %, frequency: 5 Hz, damping_ratio: 0.3}}}}
lines:
  left: {{type: {{stiffness_EA: 150 kN, {line}: [left winch, left sheave, left hip]}}
  right: {{type: {{stiffness_EA: 200 kN, {line}: [right winch, right sheave, right hip]}}
  third: {{type: {{stiffness_EA: 200 kN, {line}: [third winch, third sheave, flyer]}}
sheaves:
  left sheave: {sheave("at: [0 m, 4 m, 13 m]", 1, "plain", 1)}
  right sheave: {sheave("at: [1 m, -3 m, 12 m]", 1, "plain", 1)}
  third sheave: {sheave("at: [-2 m, 0 m, 13 m]", 1, "ball", 0)}
drives:
  left winch: {{kind: winch, at: [0 m, 8 m, 1 m], moving_mass: 50 kg,
    brakes: [{{force: 3 kN, delay: 80 ms, rise: 60 ms}}]}}
  right winch: {{kind: winch, at: [2 m, -8 m, 1 m], moving_mass: 70 kg,
    brakes: [{{force: 1.5 kN, delay: 160 ms, rise: 200 ms}}]}}
  third winch: {{kind: winch, at: [-8 m, 0 m, 1 m], moving_mass: 70 kg,
    brakes: [{{force: 1.5 kN, delay: 10 ms, rise: 20 ms}}]}}
moves:
  - {{drives: [left winch, right winch], start: 0.2 s, take_in: 2 m, speed: 2 m/s, acceleration: 5 m/s^2,
     deceleration: 5 m/s^2}}
stops: [{{name: power loss, category: 0, when: 0.8 s}}]
limits: none
run: {{duration: 2 s, tolerance: 1e-7}}
"""
    found = rigs.run_stop(text, "power loss")
    tops: dict[str, Vector] = {"left": (0, 4, 13), "right": (1, -3, 12), "third": (-2, 0, 13)}
    hips: dict[str, Vector] = {"left": (0, 0.25, -0.1), "right": (0, -0.25, -0.1), "third": (0, 0, 0)}
    ways = [np.subtract(np.subtract(tops[k], (0, 0, 6)), hips[k]) for k in tops]
    pulls = np.linalg.solve(np.array([way / np.linalg.norm(way) for way in ways]).T, [0.0, 0.0, 81 * G])
    move = trapezoid(0.2, -2.0, 2.0, 5.0, 5.0).speed
    winches: dict[str, Vector] = {"left": (0, 8, 1), "right": (2, -8, 1), "third": (-8, 0, 1)}
    stiff = {"left": 150e3, "right": 200e3, "third": 200e3}
    ends = {"left": "left hip", "right": "right hip", "third": "flyer"}
    theirs = PlainRig(
        bodies={
            **{f"{k} w": Body(at) for k, at in winches.items()},
            **{f"{k} s": Body(at) for k, at in tops.items()},
            "flyer": Body((0, 0, 6), 57.0),
            "lag": Body((0, 0, 6), 24.0),
        },
        wheels={
            "left sheave": Wheel("left s", 0.5, PLAIN, 0.01, G),
            "right sheave": Wheel("right s", 0.5, PLAIN, 0.01, G),
            "third sheave": Wheel("third s", 0.5, BALL, 0.0, G),
        },
        drums={
            "left winch": Drum("left w", 50.0, move, 0.8, braked(0.8, (3000.0, 0.08, 0.06))),
            "right winch": Drum("right w", 70.0, move, 0.8, braked(0.8, (1500.0, 0.16, 0.2))),
            "third winch": Drum("third w", 70.0, lambda t: 0.0, 0.8, braked(0.8, (1500.0, 0.01, 0.02))),
        },
        ropes={
            k: Rope(
                *((f"{k} winch", f"{k} sheave", ends[k]), stiff[k], 2e-3, float(pull)),
                ends={ends[k]: ("flyer", hips[k])},
            )
            for k, pull in zip(tops, pulls, strict=True)
        },
        lagging=[("lag", "flyer", 5.0, 0.3)],
    ).run(2.0, every=10)
    compare(agrees, "three lines on a harness", found, theirs)
    t = theirs["time_s"]
    felt = np.zeros(len(t) - 2)
    for c in "xyz":
        parts = [
            m * np.diff(theirs[f"{c}:{who}"], 2) / (t[1] - t[0]) ** 2 for m, who in ((56.0, "flyer"), (24.0, "lag"))
        ]
        felt = np.hypot(felt, sum(parts) + (80.0 * G if c == "z" else 0.0))
    on_harness = found.case.peaks["flyer harness"].force_N
    agrees("three lines on a harness: harness", SMALL_STEPS, on_harness, float(felt.max()), 3e-3, "N")


def test_the_floor_is_reached_while_a_brake_rises(agrees: Agrees):
    text = f"""
title: landing
floor: 0 m
performers:
  flyer: {{mass: 75 kg, at: [6 m, 0.3 m, 6 m], hook_mass: 1.5 kg, body_below: 1.4 m,
    harness: {{stiffness: 40 kN/m, damping_ratio: 0.1}},
    body: {{lagging_mass: 25 %, frequency: 4 Hz, damping_ratio: 0.25}}}}
lines:
  line: {{type: {{stiffness_EA: 150 kN, {LINE}, damping_time: 1 ms}}, route: [winch, lead, head, flyer]}}
sheaves:
  lead: {sheave("at: [0 m, 0 m, 12 m]", 2, "plain", 1)}
  head: {sheave("at: [6 m, 0.3 m, 12 m]", 1.2, "plain", 1)}
drives:
  winch: {{kind: winch, at: [0 m, 0 m, 1 m], moving_mass: 40 kg,
    brakes: [{{force: 2 kN, delay: 250 ms, rise: 400 ms}}]}}
moves: [{{drive: winch, start: 0.2 s, pay_out: 5 m, speed: 4 m/s, acceleration: 5 m/s^2, deceleration: 6 m/s^2}}]
stops: [{{name: power loss, category: 0, when: 1.2 s}}]
limits: none
run: {{duration: 2.2 s, tolerance: 1e-7}}
"""
    found = rigs.run_stop(text, "power loss")
    rest, strap = strapped(75.0, 40e3, 0.1, 1.4)
    legs = (1.4 - rest, 30e3, 0.6 / np.sqrt(30e3 / 75.0), 500.0)
    theirs = PlainRig(
        bodies={
            "w": Body((0, 0, 1)),
            "l": Body((0, 0, 12)),
            "h": Body((6, 0.3, 12)),
            "flyer": Body((6, 0.3, 6), 1.5),
            "body": Body((6, 0.3, 6 - rest), 0.75 * 75.0, floor=legs),
            "lag": Body((6, 0.3, 6 - rest), 0.25 * 75.0),
        },
        wheels={"lead": Wheel("l", 1.0, PLAIN, 0.01, 2 * G), "head": Wheel("h", 0.6, PLAIN, 0.01, 1.2 * G)},
        drums={
            "winch": Drum("w", 40.0, trapezoid(0.2, 5.0, 4.0, 5.0, 6.0).speed, 1.2, braked(1.2, (2000.0, 0.25, 0.4)))
        },
        ropes={"line": Rope(("winch", "lead", "head", "flyer"), 150e3, 1e-3, 76.5 * G), "strap": strap},
        lagging=[("lag", "body", 4.0, 0.25)],
    ).run(2.2)
    compare(agrees, "floor while a brake rises", found, theirs, 5e-3)
    felt = found.case.performers["flyer"].peak_g
    agrees("floor while a brake rises: what the torso feels", SMALL_STEPS, felt, theirs["g:body"].max(), 5e-3)
