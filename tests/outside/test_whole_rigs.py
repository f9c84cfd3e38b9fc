"""Whole rigs against models built apart: a general physics engine, and an ODE library. To 1 % of the first peak.

The engine knows no friction between line and sheave and no sheave inertia on a line through points, so those rigs have
neither; the two-sheave model has both, with dry friction as two states found by events, not smoothed.
"""

import dataclasses
from typing import Any

import numpy as np
import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, apart, package
from tests.outside.reference import physics_engine, two_span_ode
from tests.outside.reference.motion import trapezoid
from tests.outside.reference.peaks import largest
from tests.outside.rigs import G

ENGINE = package("MuJoCo, tendons that only pull")
LIBRARY = apart("SciPy solve_ivp (DOP853), equations from textbook mechanics")

STIFFNESS_N, MASS_KG = 400e3, 84.0
LEAD, HEAD, WINCH = (0.0, 12.6), (14.0, 12.6), (0.0, 0.4)
BELOW_M = 1.6
DROP = trapezoid(0.5, 8.4, 6.0, 5.0, 8.0)
DROP_MOVE = rigs.move(8.4, 6.0, 5.0, 8.0, start_s=0.5)
STOP_S = 1.8
LIGHT_KG_M2 = 1e-4
"""Too little inertia to matter, enough not to ring for a million steps."""


def flat(place: tuple[float, float]) -> list[str]:
    return rigs.at(place[0], 0, place[1])


def drop_text(sheaves: dict[str, Any], stops: list[dict[str, Any]], brakes: list[dict[str, Any]], end_s: float) -> str:
    return rigs.scenario(
        performers={"flyer": rigs.performer(MASS_KG, rigs.at(HEAD[0], 0, HEAD[1] - BELOW_M))},
        lines={"line": rigs.line(STIFFNESS_N, ["winch", "lead", "head", "flyer"])},
        sheaves=sheaves,
        drives={"winch": rigs.winch(flat(WINCH), brakes=brakes)},
        moves=[DROP_MOVE],
        stops=stops,
        duration_s=end_s,
    )


def free_sheaves() -> dict[str, Any]:
    return {
        name: rigs.sheave(flat(place), inertia_kg_m2=LIGHT_KG_M2) for name, place in (("lead", LEAD), ("head", HEAD))
    }


SLOWED = {"name": "stop", "category": "2", "when": rigs.of(STOP_S, "s"), "deceleration": "60 m/s^2"}
PERFORMER_SPAN = "tension_N:line:head -> flyer"


@pytest.mark.parametrize("case", ["planned", "stop"])
def test_straight_drop_in_a_physics_engine(case: str, agrees: Agrees):
    motion = DROP if case == "planned" else DROP.stopped(STOP_S, 60.0)
    route = float(np.hypot(*np.subtract(LEAD, WINCH)) + np.hypot(*np.subtract(HEAD, LEAD)))
    engine = physics_engine.straight_drop(
        mass_kg=MASS_KG, stretch_stiffness_N=STIFFNESS_N, hang_m=BELOW_M, route_m=route, motion=motion, duration_s=2.7
    )
    text = drop_text(free_sheaves(), [SLOWED], [], 2.7)
    run = rigs.run(text) if case == "planned" else rigs.run_stop(text, "stop")
    window = (1.9, 2.7) if case == "planned" else (STOP_S, 2.2)
    expected, when = engine.largest(*window)
    found, time_s = largest(run.trace.time_s, run.trace.columns[PERFORMER_SPAN], *window)
    rig = "straight drop, planned" if case == "planned" else "straight drop, stopped"
    agrees(f"{rig}: peak at the performer", ENGINE, found, expected, 0.01, "N")
    agrees(f"{rig}: instant of the peak", ENGINE, time_s, when, unit="s", allowed_abs=0.01)
    lowest = -float(np.min(engine.height_m[engine.time_s < window[1]]))
    program = run.trace.columns["height_m:flyer"][run.trace.time_s < window[1]]
    agrees(f"{rig}: farthest below the head sheave", ENGINE, HEAD[1] - float(program.min()), lowest, 1e-3, "m")


def test_moving_block_in_a_physics_engine(agrees: Agrees):
    drive, head, anchor, flyer = (-5.0, 0.0), (0.0, 12.0), (0.4, 12.0), (0.2, 8.0)
    engine = physics_engine.moving_block(
        mass_kg=MASS_KG, stretch_stiffness_N=STIFFNESS_N, drive_at_m=drive, head_at_m=head, anchor_at_m=anchor,
        performer_at_m=flyer, motion=trapezoid(0.2, 4.0, 3.0, 6.0, 6.0).stopped(1.0, 60.0), duration_s=1.4,
    )  # fmt: skip
    text = rigs.scenario(
        performers={"flyer": rigs.performer(MASS_KG, flat(flyer))},
        lines={"line": rigs.line(STIFFNESS_N, ["winch", "head", "block", "anchor"])},
        sheaves={
            "head": rigs.sheave(flat(head), inertia_kg_m2=LIGHT_KG_M2),
            "block": rigs.sheave(carried_by="flyer", inertia_kg_m2=LIGHT_KG_M2),
        },
        anchors={"anchor": {"at": flat(anchor)}},
        drives={"winch": rigs.winch(flat(drive))},
        moves=[rigs.move(4.0, 3.0, 6.0, 6.0, start_s=0.2)],
        stops=[{"name": "stop", "category": "2", "when": "1 s", "deceleration": "60 m/s^2"}],
        duration_s=1.4,
    )
    run = rigs.run_stop(text, "stop")
    expected, when = engine.largest(1.0, 1.3)
    for span in ("winch -> head", "head -> block", "block -> anchor"):
        found, time_s = largest(run.trace.time_s, run.trace.columns[f"tension_N:line:{span}"], 1.0, 1.3)
        agrees(f"moving block, stopped: peak, {span}", ENGINE, found, expected, 0.01, "N")
        agrees(f"moving block, stopped: instant of the peak, {span}", ENGINE, time_s, when, unit="s", allowed_abs=0.01)
    before = float(np.interp(0.99, engine.time_s, engine.height_m))
    height = np.interp(0.99, run.trace.time_s, run.trace.columns["height_m:flyer"])
    agrees("moving block: height just before the stop", ENGINE, height, before, unit="m", allowed_abs=2e-3)


def test_swing_in_a_physics_engine(agrees: Agrees):
    """Released from 55 degrees on a soft line (EA 60 kN) that is slack-taut at the start: bounce and swing together."""
    soft, angle, length = 60e3, np.radians(55.0), 9.0
    place = (length * np.sin(angle), -length * np.cos(angle))
    engine = physics_engine.swing(
        mass_kg=MASS_KG, stretch_stiffness_N=soft, performer_from_top_m=place, start_tension_N=0.0, duration_s=2.5
    )
    text = rigs.scenario(
        performers={"flyer": rigs.performer(MASS_KG, rigs.at(place[0], 0, 20 + place[1]), release_s=0.1)},
        lines={"line": rigs.line(soft, ["anchor", "flyer"], length_m=length)},
        anchors={"anchor": {"at": rigs.at(0, 0, 20)}},
        duration_s=2.6,
    )
    run = rigs.run(text)
    tension = run.trace.columns["tension_N:line:anchor -> flyer"]
    for time_s in (0.1, 0.3, 0.7, 1.1, 1.5, 1.9, 2.3):
        expected = float(np.interp(time_s, engine.time_s, engine.tension_N))
        found = float(np.interp(time_s + 0.1, run.trace.time_s, tension))
        near = 0.01 * float(engine.tension_N.max())
        agrees(f"swing: tension {time_s:.1f} s after release", ENGINE, found, expected, unit="N", allowed_abs=near)
    agrees("swing: largest tension", ENGINE, tension.max(), engine.tension_N.max(), 0.01, "N")


def test_counterweight_in_a_physics_engine(agrees: Agrees):
    """Performer heavier by a tenth over a sheave of 0.05 kg m2, let go with too little tension: the line snatches."""
    common = {"performer_kg": 110.0, "counterweight_kg": 100.0, "inertia_kg_m2": 0.05, "tread_radius_m": 0.15}
    engine = physics_engine.counterweight(
        **common, stretch_stiffness_N=STIFFNESS_N, performer_hang_m=6.0, counterweight_hang_m=8.0,
        start_tension_N=400.0, duration_s=1.0,
    )  # fmt: skip
    text = rigs.scenario(
        performers={"flyer": rigs.performer(110.0, rigs.at(0, 0, 14), release_s=0.1)},
        lines={"line": rigs.line(STIFFNESS_N, ["weight", "sheave", "flyer"], start_tension_N=400.0)},
        sheaves={"sheave": rigs.sheave(rigs.at(0, 0, 20), tread_m=0.3, inertia_kg_m2=0.05)},
        counterweights={"weight": {"mass": "100 kg", "at": rigs.at(0, 0, 12), "start": "held", "release": "0.1 s"}},
        duration_s=1.1,
    )
    run = rigs.run(text)
    pairs = (("sheave -> flyer", engine.performer_tension_N), ("weight -> sheave", engine.counterweight_tension_N))
    for span, expected in pairs:
        column = run.trace.columns[f"tension_N:line:{span}"]
        theirs = largest(engine.time_s, expected, 0.0, 0.3)[0]
        ours = largest(run.trace.time_s, column, 0.1, 0.4)[0]
        agrees(f"counterweight, snatch: peak, {span}", ENGINE, ours, theirs, 0.01, "N")
    rise = run.trace.columns["height_m:flyer"]
    agrees("counterweight: way in a second", ENGINE, rise[-1] - rise[0], engine.performer_rise_m[-1], 0.01, "m")


# --- two sheaves with friction and inertia, by an ODE library ---------------------------------------------------

JOURNAL, BENDING, SHEAVE_KG, TREAD_M = 0.01, 0.005, 0.9, 0.12
BRAKE = {"force": "2.8 kN", "delay": "80 ms", "rise": "60 ms"}


def two_sheaves() -> two_span_ode.TwoSheaves:
    inertia = 0.5 * SHEAVE_KG * (TREAD_M / 2) ** 2
    lead, head = (two_span_ode.Sheave(at, inertia, TREAD_M / 2, JOURNAL, BENDING, SHEAVE_KG * G) for at in (LEAD, HEAD))
    return two_span_ode.TwoSheaves(WINCH, (lead, head), BELOW_M, MASS_KG, STIFFNESS_N, DROP)


def rubbing_sheaves() -> dict[str, Any]:
    places = (("lead", LEAD), ("head", HEAD))
    return {
        name: rigs.sheave(flat(at), tread_m=TREAD_M, journal=JOURNAL, bending=BENDING, mass_kg=SHEAVE_KG)
        for name, at in places
    }


@pytest.mark.parametrize("case", ["planned", "stop", "power loss"])
def test_two_rubbing_sheaves_by_an_ode_library(case: str, agrees: Agrees):
    """First peaks of all three spans to 0.3 %, though 1 % is asked: both models treat friction exactly."""
    model = two_sheaves()
    if case == "stop":
        model = dataclasses.replace(model, motion=DROP.stopped(STOP_S, 60.0))
    elif case == "power loss":
        model = dataclasses.replace(model, power_off=two_span_ode.PowerOff(STOP_S, 60.0, 2800.0, 0.08, 0.06))
    expected = two_span_ode.solve(model, 2.7, rtol=1e-8)
    power = {"name": "power loss", "category": "0", "when": rigs.of(STOP_S, "s")}
    text = drop_text(rubbing_sheaves(), [SLOWED, power], [BRAKE], 2.7)
    run = rigs.run(text) if case == "planned" else rigs.run_stop(text, case)
    window = (1.9, 2.7) if case == "planned" else (STOP_S, 2.25)
    for i, span in enumerate(("winch -> lead", "lead -> head", "head -> flyer")):
        force, when = expected.largest(i, *window)
        found, time_s = largest(run.trace.time_s, run.trace.columns[f"tension_N:line:{span}"], *window)
        agrees(f"two rubbing sheaves, {case}: peak, {span}", LIBRARY, found, force, 3e-3, "N")
        instant = f"two rubbing sheaves, {case}: instant of the peak, {span}"
        agrees(instant, LIBRARY, time_s, when, unit="s", allowed_abs=0.01)
    lowest = float(expected.below_m[expected.time_s < window[1]].max())
    program = run.trace.columns["height_m:flyer"][run.trace.time_s < window[1]]
    below = HEAD[1] - float(program.min())
    agrees(f"two rubbing sheaves, {case}: farthest below the head sheave", LIBRARY, below, lowest, 1e-3, "m")
    if case == "power loss":
        travel = float(np.trapezoid(expected.drum_speed_m_s, expected.time_s))
        paid_out = run.trace.columns["paid_out_m:winch"][-1]
        agrees("two rubbing sheaves, power loss: line paid out", LIBRARY, paid_out, travel, 2e-3, "m")
