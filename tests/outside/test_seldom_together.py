"""Rigs that combine what is seldom met together, beside the same rigs in small fixed steps of Newton's law.

A block on plain bearings with a slipping grip and a lagging body; two performers of unlike mass under one junction,
whose winches stop at once, one slowed and braked, the other by loss of power; a motor at its power limit in a stop;
line that catches over a mount that yields. Lines are massless there and 10 mg/m here. Peaks of every span to 0.3 %.
After several snatches a small difference grows (line wound on a drum at another tension stores its stretch here, and
slips there), so the second rig is compared until 1.9 s.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees
from tests.outside.reference.motion import trapezoid
from tests.outside.reference.plain_rig import Body, Drum, PlainRig, Rope, Wheel
from tests.outside.rigs import G
from tests.outside.small_step_rigs import BALL, LINE, PLAIN, SMALL_STEPS, braked, compare, sheave, slowed, strapped


@pytest.mark.parametrize("grip_N", [None, 650.0])
def test_a_block_on_plain_bearings_behind_a_grip(grip_N: float | None, agrees: Agrees):
    grip = "" if grip_N is None else f"grip: {grip_N} N, "
    text = f"""
title: block
performers:
  flyer: {{mass: 90 kg, at: [6 m, 0 m, 6 m], hook_mass: 2 kg, body_below: 1.2 m,
    harness: {{stiffness: 40 kN/m, damping_ratio: 0.1}},
    body: {{lagging_mass: 30 %, frequency: 5 Hz, damping_ratio: 0.3}}}}
lines:
  line: {{type: {{stiffness_EA: 300 kN, {LINE}, damping_time: 0.5 ms}}, route: [winch, head, block, dead end]}}
sheaves:
  head: {sheave("at: [5.5 m, 0 m, 16 m]", 1.2, "plain", 1)}
  block: {sheave("carried_by: flyer", 3, "{friction: 0.1, pin_diameter: 30 mm}", 2)}
anchors: {{dead end: {{at: [6.5 m, 0 m, 16 m]}}}}
drives:
  winch: {{kind: winch, at: [0 m, 0 m, 1 m], moving_mass: 50 kg, {grip}brakes: [
    {{force: 1.6 kN, delay: 80 ms, rise: 60 ms}}, {{force: 0.5 kN, delay: 200 ms, rise: 0 ms}}]}}
moves: [{{drive: winch, start: 0.3 s, take_in: 3 m, speed: 3 m/s, acceleration: 6 m/s^2, deceleration: 6 m/s^2}}]
stops: [{{name: power loss, category: 0, when: 1.0 s}}]
limits: none
run: {{duration: 2.0 s, tolerance: 1e-7}}
"""
    found = rigs.run_stop(text, "power loss")
    rest, strap = strapped(90.0, 40e3, 0.1)
    brake = braked(1.0, (1600.0, 0.08, 0.06), (500.0, 0.2, 0.0))
    theirs = PlainRig(
        bodies={
            "winch": Body((0, 0, 1)),
            "head": Body((5.5, 0, 16)),
            "dead end": Body((6.5, 0, 16)),
            "flyer": Body((6, 0, 6), 5.0),
            "body": Body((6, 0, 6 - rest), 63.0),
            "lag": Body((6, 0, 6 - rest), 27.0),
        },
        wheels={"head": Wheel("head", 0.6, PLAIN, 0.01, 1.2 * G), "block": Wheel("flyer", 1.5, 0.025, 0.02, 3 * G)},
        drums={
            "winch": Drum(
                *("winch", 50.0, trapezoid(0.3, -3.0, 3.0, 6.0, 6.0).speed, 1.0),
                lambda t: min(brake(t), grip_N or np.inf),
                grip_N or 0.0,
            )
        },
        ropes={
            "line": Rope(("winch", "head", "block", "dead end"), 300e3, 0.5e-3, 95 * G / (20 / np.hypot(0.5, 10))),
            "strap": strap,
        },
        lagging=[("lag", "body", 5.0, 0.3)],
    ).run(2.0)
    case = "block" if grip_N is None else "block behind a grip"
    compare(agrees, case, found, theirs)
    pulled, felt = found.case.peaks["flyer harness"].force_N, found.case.performers["flyer"].peak_g
    agrees(f"{case}: harness", SMALL_STEPS, pulled, theirs["strap:flyer -> body"].max(), 3e-3, "N")
    agrees(f"{case}: what the torso feels", SMALL_STEPS, felt, theirs["g:body"].max(), 3e-3)
    paid = found.case.drives["winch"].paid_out_m
    agrees(f"{case}: paid out", SMALL_STEPS, paid, theirs["paid_out:winch"][-1], unit="m", allowed_abs=0.002)


def test_two_performers_whose_winches_stop_in_different_ways(agrees: Agrees):
    line = f"{{type: {{stiffness_EA: 250 kN, {LINE}, damping_time: 1 ms}}, route"
    text = f"""
title: bridle
performers:
  heavy: {{mass: 95 kg, at: [0 m, 0 m, 5 m], hook_mass: 1 kg, harness: rigid}}
  light: {{mass: 45 kg, at: [0 m, 0 m, 3 m], hook_mass: 1 kg, harness: rigid, drag_area: 0.5 m^2}}
junctions: {{apex: {{at: [0 m, 0 m, 9 m], mass: 2 kg}}}}
lines:
  left line: {line}: [left winch, left sheave, apex]}}
  right line: {line}: [right winch, right sheave, apex]}}
  heavy drop: {line}: [apex, heavy]}}
  light drop: {line}: [apex, light]}}
sheaves:
  left sheave: {sheave("at: [-4 m, 0 m, 14 m]", 1, "plain", 1)}
  right sheave: {sheave("at: [4 m, 0 m, 14 m]", 1, "ball", 0)}
drives:
  left winch: {{kind: winch, at: [-8 m, 0 m, 1 m], moving_mass: 50 kg,
    brakes: [{{force: 3 kN, delay: 80 ms, rise: 60 ms}}]}}
  right winch: {{kind: winch, at: [8 m, 0 m, 1 m], moving_mass: 70 kg,
    brakes: [{{force: 2 kN, delay: 60 ms, rise: 100 ms}}]}}
moves:
  - {{drive: left winch, start: 0.2 s, take_in: 2 m, speed: 2 m/s, acceleration: 5 m/s^2, deceleration: 5 m/s^2}}
  - {{drive: right winch, start: 0.3 s, pay_out: 3 m, speed: 3 m/s, acceleration: 6 m/s^2, deceleration: 6 m/s^2}}
stops:
  - {{name: slowed, category: 1, when: 0.9 s, deceleration: 8 m/s^2, drives: [left winch]}}
  - {{name: power loss, category: 0, when: 0.900001 s, drives: [right winch], during: slowed}}
limits: none
run: {{duration: 1.9 s, tolerance: 1e-7}}
"""
    found = rigs.run_stop(text, "power loss")
    left, stands_s = slowed(trapezoid(0.2, -2.0, 2.0, 5.0, 5.0), 0.9, 8.0)
    tension = (95 + 45 + 2 + 2) * G / (10 / np.hypot(4, 5))
    theirs = PlainRig(
        bodies={
            "lw": Body((-8, 0, 1)),
            "rw": Body((8, 0, 1)),
            "ls": Body((-4, 0, 14)),
            "rs": Body((4, 0, 14)),
            "apex": Body((0, 0, 9), 2.0),
            "heavy": Body((0, 0, 5), 96.0),
            "light": Body((0, 0, 3), 46.0, drag_area_m2=0.5),
        },
        wheels={"left sheave": Wheel("ls", 0.5, PLAIN, 0.01, G), "right sheave": Wheel("rs", 0.5, BALL, 0.0, G)},
        drums={
            "left winch": Drum("lw", 50.0, left, stands_s + 0.14, lambda t: 3000.0),
            "right winch": Drum(
                "rw", 70.0, trapezoid(0.3, 3.0, 3.0, 6.0, 6.0).speed, 0.9, braked(0.9, (2000.0, 0.06, 0.1))
            ),
        },
        ropes={
            "left line": Rope(("left winch", "left sheave", "apex"), 250e3, 1e-3, tension),
            "right line": Rope(("right winch", "right sheave", "apex"), 250e3, 1e-3, tension),
            "heavy drop": Rope(("apex", "heavy"), 250e3, 1e-3, 96 * G),
            "light drop": Rope(("apex", "light"), 250e3, 1e-3, 46 * G),
        },
    ).run(1.9)
    compare(agrees, "two under one junction", found, theirs)


def test_a_motor_at_its_power_limit_in_a_stop(agrees: Agrees):
    text = f"""
title: driven
performers: {{flyer: {{mass: 90 kg, at: [6 m, 0 m, 12 m], hook_mass: 2 kg, harness: rigid}}}}
lines:
  line: {{type: {{stiffness_EA: 300 kN, {LINE}, damping_time: 2 ms}}, route: [dead end, block, head, winch]}}
sheaves:
  head: {sheave("at: [5.5 m, 0 m, 16 m]", 1.2, "ball", 1)}
  block: {sheave("carried_by: flyer", 3, "ball", 2)}
anchors: {{dead end: {{at: [6.5 m, 0 m, 16 m]}}}}
drives:
  winch: {{kind: winch, at: [0 m, 0 m, 1 m], control: driven, force: 1.5 kN, power: 2.2 kW, top_speed: 5 m/s,
    bandwidth: 4 Hz, moving_mass: 40 kg, brakes: [{{force: 1.6 kN, delay: 80 ms, rise: 60 ms}}]}}
moves: [{{drive: winch, start: 0.3 s, pay_out: 6 m, speed: 4 m/s, acceleration: 5 m/s^2, deceleration: 5 m/s^2}}]
stops: [{{name: slowed, category: 1, when: 1.5 s, deceleration: 20 m/s^2}}]
limits: none
run: {{duration: 3 s, tolerance: 1e-7}}
"""
    found = rigs.run_stop(text, "slowed")
    speed, stands_s = slowed(trapezoid(0.3, 6.0, 4.0, 5.0, 5.0), 1.5, 20.0)
    natural = 2.0 * np.pi * 4.0 / np.sqrt(3.0 + np.sqrt(10.0))
    theirs = PlainRig(
        bodies={
            "w": Body((0, 0, 1)),
            "h": Body((5.5, 0, 16)),
            "dead end": Body((6.5, 0, 16)),
            "flyer": Body((6, 0, 12), 95.0),
        },
        wheels={"head": Wheel("h", 0.6, BALL, 0.01, 1.2 * G), "block": Wheel("flyer", 1.5, BALL, 0.02, 3 * G)},
        drums={"winch": Drum("w", 40.0, speed, stands_s + 0.14, lambda t: 1600.0, motor=(1500.0, 2200.0, natural))},
        ropes={"line": Rope(("dead end", "block", "head", "winch"), 300e3, 2e-3, 95 * G / (8 / np.hypot(0.5, 4)))},
    ).run(3.0)
    assert any(event.what == "motor at its power limit" and event.time_s > 1.5 for event in found.case.events)
    compare(agrees, "driven, power limit in a stop", found, theirs)


def test_line_catches_over_a_mount_that_yields(agrees: Agrees):
    text = f"""
title: snag
performers: {{flyer: {{mass: 85 kg, at: [4 m, 0 m, 5 m], hook_mass: 1 kg, harness: rigid}}}}
counterweights: {{carriage: {{mass: 50 kg, at: [0 m, 0 m, 7 m], guide: vertical}}}}
lines:
  balance: {{type: {{stiffness_EA: 300 kN, {LINE}, damping_time: 2 ms}}, route: [carriage, over, fly, flyer]}}
  hoist: {{type: {{stiffness_EA: 200 kN, {LINE}, damping_time: 2 ms}}, route: [winch, head, flyer]}}
sheaves:
  over: {sheave("at: [0 m, 0 m, 14 m]", 1, "plain", 1)}
  fly: {sheave("mount: jib", 1, "plain", 1)}
  head: {sheave("mount: jib", 1, "ball", 1)}
mounts: {{jib: {{at: [4 m, 0 m, 14 m], stiffness: 200 kN/m, mass: 20 kg, damping_ratio: 0.05}}}}
drives:
  winch: {{kind: winch, at: [9 m, 0 m, 1 m], moving_mass: 50 kg, brakes: [{{force: 2 kN, delay: 80 ms, rise: 200 ms}}]}}
moves: [{{drive: winch, start: 0.3 s, pay_out: 2 m, speed: 2 m/s, acceleration: 5 m/s^2, deceleration: 5 m/s^2}}]
stops: [{{name: power loss, category: 0, when: 1.0 s}}]
faults: [{{snag: {{line: balance, sheave: over}}, when: 1.0 s, then: power loss}}]
limits: none
run: {{duration: 1.8 s, tolerance: 1e-7}}
"""
    found = rigs.run_stop(text, "snag, balance, then power loss")
    theirs = PlainRig(
        bodies={
            "w": Body((9, 0, 1)),
            "o": Body((0, 0, 14)),
            "jib": Body((4, 0, 14), 22.0, mount=(200e3, 0.1 * np.sqrt(200e3 * 22.0))),
            "flyer": Body((4, 0, 5), 86.0),
            "carriage": Body((0, 0, 7), 50.0, upright=True),
        },
        wheels={
            "over": Wheel("o", 0.5, PLAIN, 0.01, G),
            "fly": Wheel("jib", 0.5, PLAIN, 0.01, G),
            "head": Wheel("jib", 0.5, BALL, 0.01, G),
        },
        drums={
            "winch": Drum("w", 50.0, trapezoid(0.3, 2.0, 2.0, 5.0, 5.0).speed, 1.0, braked(1.0, (2000.0, 0.08, 0.2)))
        },
        ropes={
            "balance": Rope(("carriage", "over", "fly", "flyer"), 300e3, 2e-3, 50 * G, caught=("over", 1.0)),
            "hoist": Rope(("winch", "head", "flyer"), 200e3, 2e-3, 36 * G),
        },
    ).run(1.8)
    compare(agrees, "line caught over a mount", found, theirs)
