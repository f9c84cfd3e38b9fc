"""Where everything is over time, for drawing: held against geometry, and against the figures made without it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics.run import ready, run
from sim.results.drawn import Carried
from sim.rig.rig import Rig
from sim.studies.carried import carried
from sim.studies.cases import stop_case
from sim.studies.drawing import drawing
from sim.studies.failures import rig_failing
from sim.studies.places import watched_everywhere

SCENARIOS = Path(__file__).parents[2] / "scenarios"


def rig_of(demo: str) -> Rig:
    return sim.build_rig(sim.read_file(SCENARIOS / f"{demo}.yaml"))


def test_looking_at_places_changes_no_other_figure() -> None:
    rig = rig_of("weathercocks-bridle")
    case = sim.planned_case(rig)
    plain, more = (run(of, case, 1e-6, 2000.0) for of in (ready(rig), watched_everywhere(ready(rig))))
    n = plain.samples.shape[1]
    assert more.samples.shape[1] == n + 6
    assert np.array_equal(plain.samples, more.samples[:, :n])
    assert np.array_equal(plain.peak, more.peak[:n])
    assert (plain.evaluations, plain.residual) == (more.evaluations, more.residual)


def test_a_leg_that_bears_is_as_long_as_it_is_between_its_drawn_ends() -> None:
    """Geometry: from ring to hip it is the leg's length and its stretch, a few per cent at most; slack, less."""
    rig = rig_of("weathercocks-bridle")
    parted = next(stop for stop in rig.stops if stop.name == "parted line, left leg")
    run_ = sim.simulate(rig, stop_case(rig, parted, 1.2), audited=False).trace
    columns, drawn = run_.columns, drawing(rig)
    assert drawn.carried["right hip"] == Carried("weathercock", (0.0, -0.25, 0.0))
    ring = np.array([columns[f"{axis}:ring"] for axis in ("x_m", "y_m", "z_m")])
    hook = np.array([columns[f"{axis}:weathercock"] for axis in ("x_m", "y_m", "height_m")])
    at_start_m = float(np.hypot(1.0, 0.25))  # the ring is 1 m above the hips, which are 0.25 m to either side
    for hip, side_m in (("right hip", -0.25), ("left hip", 0.25)):
        length_m = np.linalg.norm(ring - hook - np.array([[0.0], [side_m], [0.0]]), axis=0)
        taut = columns[f"taut:{hip.replace('hip', 'leg')}:ring -> {hip}"] == 1.0
        assert length_m[0] == pytest.approx(at_start_m, abs=1e-6)
        assert np.all(np.abs(length_m[taut] - at_start_m) < 0.03 * at_start_m)
        if hip == "left hip":
            assert np.array_equal(taut, run_.time_s < 1.2)  # parted then, and its ends are where they are
            assert np.ptp(length_m[~taut]) > 0.1


def test_line_is_taut_where_its_ends_are_farther_apart_than_it_is_long() -> None:
    """Geometry: the stonemason falls on a line of known length from a beam that stands still."""
    rig = rig_of("stonemasons-fall")
    trace = sim.simulate(rig, sim.planned_case(rig), audited=False).trace
    line, columns = rig.line("catch line"), trace.columns
    anchor = np.array(rig.point(line.route[0].point).position_m)[:, None]
    hook = np.array([columns[f"{axis}:stonemason"] for axis in ("x_m", "y_m", "height_m")])
    apart_m = np.linalg.norm(hook - anchor, axis=0)
    taut = columns["taut:catch line:beam anchor -> stonemason"] == 1.0
    assert 0.05 < taut.mean() < 0.95
    assert apart_m[~taut].max() <= apart_m[taut].min() + 1e-3


def test_a_body_in_an_elastic_harness_has_its_own_place() -> None:
    """At rest the harness stretches by weight over stiffness: 84 kg on 45 kN/m, 18.3 mm."""
    rig = rig_of("lamplighters-drop")
    columns = sim.simulate(rig, sim.planned_case(rig), audited=False).trace.columns
    reach_m = columns["height_m:lamplighter"][0] - columns["body_height_m:lamplighter"][0]
    assert reach_m == pytest.approx(1.3, abs=1e-6)
    hook_to_body_m = columns["height_m:lamplighter"] - columns["z_m:lamplighter body"]
    swing_m = float(np.ptp(hook_to_body_m))
    most_N = float(columns["force_N:lamplighter harness"].max())
    assert swing_m <= 1.05 * most_N / 45e3
    assert swing_m > 0.01


MOUNTED = """
title: a sheave on a mount
floor: 0 m
performers: {weight: {mass: 60 kg, at: [0 m, 0 m, 3 m], body_below: 1 m, harness: rigid}}
mounts: {jib: {at: [0 m, 0 m, 6 m], stiffness: 300 kN/m, damping_ratio: 10 %, mass: 20 kg}}
sheaves:
  head: {mount: jib, tread_diameter: 100 mm, mass: 2 kg, bearing: ball}
lines:
  line:
    type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}
    route: [winch, head, weight]
drives: {winch: {kind: winch, at: [-4 m, 0 m, 1 m], moving_mass: 50 kg, brakes: [{force: 3 kN, delay: 0 s, rise: 0 s}]}}
moves: [{drive: winch, start: 0.2 s, take_in: 0.5 m, speed: 1 m/s, acceleration: 2 m/s^2, deceleration: 2 m/s^2}]
stops: none
faults: [{lost point: head, when: 0.6 s}]
limits: none
"""


def test_what_sits_on_a_mount_moves_with_it_until_it_is_lost() -> None:
    rig = sim.build_rig(sim.read_text(MOUNTED, "mounted"))
    assert carried(rig)["head"] == Carried("jib")
    stop = rig.stops[0]
    failing = rig_failing(rig, stop.failure)
    trace = sim.simulate(failing, stop_case(failing, stop, 0.6), audited=False).trace
    fell_m = trace.columns["z_m:head"][0] - trace.columns["z_m:head"]
    before = trace.time_s < 0.6
    assert np.all(np.abs(fell_m[before]) < 1e-9)
    # Line pulls it down and to the winch: it goes faster than it would fall (s = g t^2 / 2).
    soon = np.searchsorted(trace.time_s, 0.7)
    assert fell_m[soon] > 0.5 * 9.80665 * 0.099**2
    assert trace.columns["x_m:head"][soon] < -0.01


def test_the_rig_is_drawn_as_it_hangs_and_not_as_it_was_guessed() -> None:
    text = (SCENARIOS / "weathercocks-bridle.yaml").read_text().replace(
        "route: [ring, left hip]", "route: [ring, left hip]\n    length: 1.1 m"
    ).replace("route: [ring, right hip]", "route: [ring, right hip]\n    length: 1.1 m")  # fmt: skip
    rig = sim.build_rig(sim.read_text(text, "guessed"))
    drawn = drawing(rig, {"planned move": sim.simulate(rig, sim.planned_case(rig), audited=False)})
    place = {p.name: p.position_m for p in drawn.points}
    leg = next(line for line in drawn.lines if line.name == "left leg")
    # Legs of 1.1 m to hips 0.25 m aside: sqrt(1.1^2 - 0.25^2) = 1.071 m above them, less than 5 mm of stretch.
    assert place["ring"][2] - place["weathercock"][2] == pytest.approx(1.0712, abs=0.005)
    assert leg.path_m[0] == place["ring"]
    assert leg.path_m[1][2] == place["weathercock"][2] == place["weathercock body"][2] + 1.3
