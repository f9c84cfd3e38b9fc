"""Whole rigs in two packages built for other things, a physics engine and a multibody library: to 1 % of the peak.

Straight drop with stop, moving block, pendulum on elastic line, counterweight with pulley inertia. Both packages know a
line only as a massless linear spring that pulls and slides freely over points. Neither can represent friction between
line and sheave, a sheave's inertia on a line through points, line that carries its own weight over a sheave, a stretch
curve that is not straight, or damping limited to the elastic force, and both put every event inside a fixed step: so
the rigs here have none of that, and sheaves of 0.03 kg at the rim. The counterweight's sheave turns in both, between
two separate springs whose lengths it changes; the multibody library hands line over as if unstretched.
"""

from functools import cache

import numpy as np
import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees
from tests.outside.moving_block import BLOCK, END_S, FLYER, LOWERED, SPANS, block_text
from tests.outside.packages import BOTH, Package
from tests.outside.reference import scenes
from tests.outside.reference.peaks import largest
from tests.outside.straight_drop import (
    BELOW_M,
    DROP,
    HEAD,
    MASS_KG,
    PERFORMER_SPAN,
    ROUTE_M,
    SLOWED,
    STIFFNESS_N,
    STOP_S,
    drop_text,
    sheaves,
)

LIGHT_KG_M2 = 1e-4
"""Too little inertia to matter, enough not to ring for a million steps."""
in_packages = pytest.mark.parametrize("package", BOTH, ids=lambda package: package.name)


@cache
def dropped(case: str) -> rigs.Run:
    text = drop_text(sheaves(inertia_kg_m2=LIGHT_KG_M2), [SLOWED], [], 2.7)
    return rigs.run(text) if case == "planned" else rigs.run_stop(text, "stop")


@in_packages
@pytest.mark.parametrize("case", ["planned", "stopped"])
def test_straight_drop(case: str, package: Package, agrees: Agrees):
    theirs = package.play(
        scenes.straight_drop(
            mass_kg=MASS_KG,
            stretch_stiffness_N=STIFFNESS_N,
            hang_m=BELOW_M,
            route_m=ROUTE_M,
            motion=DROP if case == "planned" else DROP.stopped(STOP_S, 60.0),
            duration_s=2.7,
        )
    )
    run = dropped(case)
    window = (1.9, 2.7) if case == "planned" else (STOP_S, 2.2)
    expected, when = theirs.largest("line", *window)
    found, time_s = largest(run.trace.time_s, run.trace.columns[PERFORMER_SPAN], *window)
    rig = f"{package.name}: straight drop, {case}"
    agrees(f"{rig}: peak at the performer", package.cords, found, expected, 0.01, "N")
    agrees(f"{rig}: instant of the peak", package.cords, time_s, when, unit="s", allowed_abs=0.01)
    lowest = float(theirs.place_m["performer"][theirs.time_s < window[1], 2].min())
    program = float(run.trace.columns["height_m:flyer"][run.trace.time_s < window[1]].min())
    agrees(f"{rig}: farthest below the head sheave", package.cords, HEAD[1] - program, -lowest, 1e-3, "m")


@cache
def lowered_by_a_block() -> rigs.Run:
    return rigs.run_stop(block_text(LIGHT_KG_M2), "stop")


@in_packages
def test_moving_block(package: Package, agrees: Agrees):
    theirs = package.play(
        scenes.moving_block(
            mass_kg=MASS_KG,
            stretch_stiffness_N=STIFFNESS_N,
            fixed=BLOCK,
            performer_at_m=FLYER,
            motion=LOWERED,
            duration_s=END_S,
        )
    )
    run = lowered_by_a_block()
    rig = f"{package.name}: moving block, stopped"
    expected, when = theirs.largest("line", 1.0, 1.3)
    for span in SPANS:
        found, time_s = largest(run.trace.time_s, run.trace.columns[f"tension_N:line:{span}"], 1.0, 1.3)
        agrees(f"{rig}: peak, {span}", package.cords, found, expected, 0.01, "N")
        agrees(f"{rig}: instant of the peak, {span}", package.cords, time_s, when, unit="s", allowed_abs=0.01)
    height = np.interp(0.99, run.trace.time_s, run.trace.columns["height_m:flyer"])
    before = theirs.at("performer", 2, 0.99)
    agrees(f"{rig}: height just before", package.cords, height, before, unit="m", allowed_abs=2e-3)


SOFT_N, ASIDE, SWING_M = 60e3, np.radians(55.0), 9.0
ASIDE_M = (float(SWING_M * np.sin(ASIDE)), 0.0, float(-SWING_M * np.cos(ASIDE)))


@cache
def swung() -> rigs.Run:
    text = rigs.scenario(
        performers={"flyer": rigs.performer(MASS_KG, rigs.at(ASIDE_M[0], 0, 20 + ASIDE_M[2]), release_s=0.1)},
        lines={"line": rigs.line(SOFT_N, ["anchor", "flyer"], length_m=SWING_M)},
        anchors={"anchor": rigs.anchor(0, 0, 20)},
        duration_s=2.6,
    )
    return rigs.run(text)


@in_packages
def test_pendulum_on_an_elastic_line(package: Package, agrees: Agrees):
    """Let go from 55 degrees on a soft line (EA 60 kN) that is slack-taut at the start: bounce and swing together."""
    theirs = package.play(
        scenes.swing(
            mass_kg=MASS_KG,
            stretch_stiffness_N=SOFT_N,
            performer_from_top_m=ASIDE_M,
            start_tension_N=0.0,
            duration_s=2.5,
        )
    )
    run = swung()
    tension, most = run.trace.columns["tension_N:line:anchor -> flyer"], float(theirs.tension_N["line"].max())
    rig = f"{package.name}: pendulum"
    for time_s in (0.1, 0.3, 0.7, 1.1, 1.5, 1.9, 2.3):
        expected = float(np.interp(time_s, theirs.time_s, theirs.tension_N["line"]))
        found = float(np.interp(time_s + 0.1, run.trace.time_s, tension))
        case = f"{rig}: tension {time_s:.1f} s after release"
        agrees(case, package.cords, found, expected, unit="N", allowed_abs=round(0.01 * most, 1))
    agrees(f"{rig}: largest tension", package.cords, tension.max(), most, 0.01, "N")


@cache
def counterweighted() -> rigs.Run:
    text = rigs.scenario(
        performers={"flyer": rigs.performer(110.0, rigs.at(0, 0, 14), release_s=0.1)},
        lines={"line": rigs.line(STIFFNESS_N, ["weight", "sheave", "flyer"], start_tension_N=400.0)},
        sheaves={"sheave": rigs.sheave(rigs.at(0, 0, 20), tread_m=0.3, inertia_kg_m2=0.05)},
        counterweights={"weight": {"mass": "100 kg", "at": rigs.at(0, 0, 12), "start": "held", "release": "0.1 s"}},
        duration_s=1.1,
    )
    return rigs.run(text)


@in_packages
def test_counterweight_with_pulley_inertia(package: Package, agrees: Agrees):
    """Performer heavier by a tenth over a sheave of 0.05 kg m2, let go with too little tension: the line snatches."""
    theirs = package.counterweight(
        performer_kg=110.0, counterweight_kg=100.0, inertia_kg_m2=0.05, tread_radius_m=0.15,
        stretch_stiffness_N=STIFFNESS_N, performer_hang_m=6.0, counterweight_hang_m=8.0, start_tension_N=400.0,
        duration_s=1.0,
    )  # fmt: skip
    run = counterweighted()
    rig = f"{package.name}: counterweight"
    pairs = (("sheave -> flyer", theirs.performer_tension_N), ("weight -> sheave", theirs.counterweight_tension_N))
    for span, tension in pairs:
        column = run.trace.columns[f"tension_N:line:{span}"]
        expected = largest(theirs.time_s, tension, 0.0, 0.3)[0]
        found = largest(run.trace.time_s, column, 0.1, 0.4)[0]
        agrees(f"{rig}, snatch: peak, {span}", package.cords, found, expected, 0.01, "N")
    rise = run.trace.columns["height_m:flyer"]
    agrees(f"{rig}: way in a second", package.cords, rise[-1] - rise[0], theirs.performer_rise_m[-1], 0.01, "m")
