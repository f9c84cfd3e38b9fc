"""What the model leaves out, each with a run that shows it.

- **Point sheaves.** Lines turn at the middle of a sheave; the tread's radius is in inertia, friction and bending only.
  A performer who swings winds line on and off the tread, which shortens and lengthens the pendulum.
- **Straight spans.** A span cut into several elements, so that waves travel in it, hangs straight from end to end: its
  sag and what that gives is left out. A span of one element sags.
- **Slack line straight below its anchor.** Line without tension between ends within 3 degrees of plumb weighs nothing
  until it is tight; further aside it hangs as a catenary, and swings. The figure is a fall on heavy rope.
- **One element a span: no waves.** A drive that stops sends a front down the line, which doubles at the performer. A
  line of one element is a spring and a share of its mass, and misses most of a front (v sqrt(EA rho)) of the peak: too
  low, on the side that harms. `elements_per_span` brings waves in.
- **Friction in the sheave's plane.** The loss at a sheave is the same however askew the line leaves it; what the line
  rubs on the flange is left out. The figure beside it takes the push on the flange times a friction of 0.15.
- **Kelvin-Voigt damping.** The line's loss rises with frequency, while that of textile hardly does: damping set for one
  performer's bounce is twice as much for one of a quarter of the weight, whose peak comes out too low. `damping_limit`
  takes that from large movements (the climbing rope has one); other types have none, as nobody measured it.
- **Temperature is a static factor.** A line keeps the strength of the temperature stated; what it is heated by rubbing
  is not followed. The figure spreads all that a bar takes over the line that ran over it, and leaves the bar cold.
- **Bodies do not rotate.** A performer swings as a point. A stretched-out body that turns with its line swings slower.

Not shown by a run: bending stiffness of the line, torsion, wind, people who move or hold on, structures that are not
said to be on a mount, wear, and everything a scenario does not say.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.integrate import solve_ivp

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, apart, closed_form
from tests.outside.packages import MUJOCO
from tests.outside.rigs import G
from tests.outside.test_closed_forms import kelvin_voigt_peak
from tests.outside.test_line_with_waves import RIG, STOPS_AT_S, stopped
from tests.outside.test_slack_falls import chain_peak_N
from tests.outside.test_slack_falls import ours_N as fall_ours_N
from tests.outside.test_two_segment_cable import KIP_N, ours, theirs

MASS_KG, HEAD_M = 84.0, 20.0


@cache
def swung(length_m: float, angle_deg: float) -> rigs.Run:
    angle = np.radians(angle_deg)
    stiffness = 20e6
    text = rigs.scenario(
        performers={
            "weight": rigs.performer(
                MASS_KG, rigs.at(length_m * np.sin(angle), 0, HEAD_M - length_m * np.cos(angle)), release_s=0.1
            )
        },
        lines={
            "line": rigs.line(
                stiffness,
                ["anchor", "weight"],
                damping_s=1e-3,
                length_m=length_m / (1 + MASS_KG * G * np.cos(angle) / stiffness),
            )
        },
        anchors={"anchor": rigs.anchor(0, 0, HEAD_M)},
        duration_s=0.1 + 0.8 * np.pi * np.sqrt(length_m / G),
    )
    return rigs.run(text)


def bottom_s(run: rigs.Run) -> float:
    """When the swing first passes below its anchor, after the release."""
    aside, time_s = run.trace.columns["x_m:weight"], run.trace.time_s
    i = int(np.flatnonzero(aside <= 0)[0])
    part = aside[i - 1] / (aside[i - 1] - aside[i])
    return float(time_s[i - 1] + (time_s[i] - time_s[i - 1]) * part) - 0.1


def test_point_sheaves(agrees: Agrees):
    """A pendulum that winds on a cylinder: (l - r a) a'' = r a'^2 - g sin a, tension m (g cos a + (l - r a) a'^2)."""
    radius, length, angle = 0.06, 5.0, np.radians(40.0)

    def slope(_: float, y: np.ndarray) -> list[float]:
        free = length - radius * y[0]
        return [y[1], (radius * y[1] ** 2 - G * np.sin(y[0])) / free]

    found = solve_ivp(slope, (0.0, 1.8), [angle, 0.0], rtol=1e-9, atol=1e-9, max_step=1e-3)
    tension = MASS_KG * (G * np.cos(found.y[0]) + (length - radius * found.y[0]) * found.y[1] ** 2)
    source = apart("SciPy solve_ivp, pendulum that winds on a cylinder, Lagrange's equation")
    ours_N = swung(length, 40.0).case.peaks["line"].force_N
    agrees("swing of 40 degrees on 5 m over a tread of 120 mm: peak", source, ours_N, tension.max(), 0.02, "N")


def test_straight_spans(agrees: Agrees):
    source = apart("SciPy root, elastic catenaries in balance")
    case = "two-segment cable, four elements a span: pull on the left end"
    pull = theirs(8 * KIP_N).tension_N["left"][0][0]
    agrees(case, source, ours(8 * KIP_N, 4).case.static_N["left end"], pull, 0.01, "N")


def test_slack_line_below_its_anchor(agrees: Agrees):
    aside_m, below_m, end_s = 0.01, 0.5, 0.8
    theirs_N = chain_peak_N(aside_m, below_m, end_s)
    case = "100 kg falls 1.33 m below its anchor onto 1.83 m of rope of 77 g/m: peak"
    agrees(case, apart("chain of twenty lumps"), fall_ours_N(aside_m, below_m, end_s), theirs_N, 0.02, "N")


def test_no_waves_in_one_element(agrees: Agrees):
    run, case = stopped(1), "30 m of wire stopped from 2 m/s: peak, one element"
    ours_N = float(run.trace.columns["force_N:flyer harness"][run.trace.time_s > STOPS_AT_S].max())
    theirs_N = float(MUJOCO.hanging_line(RIG).performer_N.max())
    assert ours_N < theirs_N
    agrees(case, MUJOCO.masses, ours_N, theirs_N, 0.25, "N")


def test_friction_in_the_plane_of_the_sheave(agrees: Agrees):
    fleet = np.radians(10.0)
    text = rigs.scenario(
        performers={"weight": rigs.performer(100.0, rigs.at(0, 0, 10))},
        lines={"line": rigs.line(200e3, ["winch", "sheave", "weight"], damping_s=0.05, mass_kg_m=1e-3)},
        sheaves={"sheave": rigs.sheave(rigs.at(0, 0, HEAD_M), journal=0.01, inertia_kg_m2=0.002)},
        drives={"winch": rigs.winch(rigs.at(-10 * np.cos(fleet), 10 * np.sin(fleet), HEAD_M))},
        moves=[rigs.move(-3.0, 0.5, 1.0, 1.0)],
        duration_s=5.0,
    )
    run = rigs.run(text)
    late = (run.trace.time_s > 3.5) & (run.trace.time_s < 5.0)
    found = float(run.trace.columns["force_N:winch"][late].mean()) / (100.0 * G)
    source = closed_form("the push on the flange times a friction of 0.15 on top (friction from memory)")
    agrees("line that leaves a sheave 10 degrees askew, hauling: lead over load", source, found,
           found * (1.0 + 0.15 * np.sin(fleet)), 0.04)  # fmt: skip


def test_damping_that_rises_with_frequency(agrees: Agrees):
    """A line damped 3 % for 80 kg, a drive that starts at once below 20 kg; a constant loss would be 3 % there too."""
    stiffness, length, mass, speed = 50e3, 1000.0, 20.0, 0.3
    damping_s = 2 * 0.03 / np.sqrt(stiffness / 80.0)
    text = rigs.scenario(
        performers={"weight": rigs.performer(mass, rigs.at(0, 0, 100))},
        lines={"line": rigs.line(stiffness * length, ["winch", "weight"], damping_s=damping_s)},
        drives={"winch": rigs.winch(rigs.at(0, 0, 100 + length))},
        moves=[rigs.move(-1.0, speed, start_s=0.05)],
        duration_s=0.2,
    )
    added = rigs.run(text).case.peaks["line"].force_N - mass * G
    constant = kelvin_voigt_peak(0.03) * speed * np.sqrt(stiffness * mass)
    source = closed_form("mass on spring and dashpot of 3 %, vibration textbooks")
    agrees("line damped for 80 kg below 20 kg, drive started at once: force added", source, added, constant, 0.06, "N")


def test_temperature_as_a_static_factor(agrees: Agrees):
    mass, friction, way, line_kg_m = 100.0, 0.2, 6.0, 0.05
    text = rigs.scenario(
        performers={"weight": rigs.performer(mass, rigs.at(0, 0, 15))},
        lines={"line": rigs.line(200e3, ["winch", "bar", "weight"], damping_s=0.05, mass_kg_m=line_kg_m)},
        sheaves={"bar": rigs.bar(rigs.at(0, 0, HEAD_M), friction)},
        drives={"winch": rigs.winch(rigs.at(0, 0, 0))},
        moves=[rigs.move(way, 1.0, 1.0, 1.0)],
        duration_s=8.0,
    )
    run = rigs.run(text)
    paid_out, held = run.trace.columns["paid_out_m:winch"], run.trace.columns["force_N:winch"]
    fallen = float(run.trace.columns["height_m:weight"][0] - run.trace.columns["height_m:weight"][-1])
    taken_J = mass * G * fallen - float(np.trapezoid(held, paid_out))
    source = closed_form("work left at the bar over heat capacity, 1.3 kJ/(kg K) for polyester (from memory)")
    warmer = taken_J / (line_kg_m * way * 1300.0)
    case = "100 kg lowered 6 m over a bar, half a turn, friction 0.2: line gets warmer"
    agrees(case, source, 0.0, warmer, unit="K", allowed_abs=10.0)


def test_bodies_do_not_rotate(agrees: Agrees):
    """A rod of 1.7 m whose middle hangs 3 m below the anchor and turns with the line: period sqrt(1 + k^2 / d^2)."""
    hangs, gyration = 3.0, 1.7 / np.sqrt(12.0)
    quarter = 0.5 * np.pi * np.sqrt(hangs / G) * np.sqrt(1.0 + (gyration / hangs) ** 2)
    source = closed_form("compound pendulum, mechanics textbooks")
    agrees("small swing of a body stretched out on 3 m of line: a quarter of the period", source,
           bottom_s(swung(hangs, 5.0)), quarter, 0.03, "s")  # fmt: skip
