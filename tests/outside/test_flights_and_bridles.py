"""Flying in space on several lines, in a physics engine and a multibody library: to 1 % of the peak.

A flight on two winches of which one stops while the other goes on, and a bridle of three legs that loses one. What both
packages leave out stands in test_whole_rigs.py; here, too, lines have no mass, so the leg that parts is simply gone,
where the program keeps its weight, and nothing damps: late history, after several snatches, is compared no more.
"""

from functools import cache

import numpy as np
import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees
from tests.outside.packages import BOTH, Package
from tests.outside.reference import scenes
from tests.outside.reference.peaks import largest
from tests.outside.reference.scene import Histories
from tests.outside.two_line_flight import FLIGHT_S, FLOWN, HEADS, MASS_KG, START, STIFFNESS_N, flight_text

AXES = {"x_m": 0, "y_m": 1, "height_m": 2}
in_packages = pytest.mark.parametrize("package", BOTH, ids=lambda package: package.name)


@cache
def flown() -> rigs.Run:
    return rigs.run_stop(flight_text(1e-4), "left stops")


@in_packages
def test_two_line_flight_of_which_one_winch_stops(package: Package, agrees: Agrees):
    theirs = package.play(
        scenes.flight(
            mass_kg=MASS_KG,
            stretch_stiffness_N=STIFFNESS_N,
            heads=HEADS,
            performer_at_m=START,
            motions=FLOWN,
            duration_s=FLIGHT_S,
        )
    )
    run = flown()
    rig = f"{package.name}: two-line flight"
    for name in HEADS:
        found, time_s = largest(
            run.trace.time_s, run.trace.columns[f"tension_N:{name}:{name} head -> flyer"], 0.0, FLIGHT_S
        )
        expected, when = theirs.largest(name)
        agrees(f"{rig}: peak, {name}", package.cords, found, expected, 0.01, "N")
        agrees(f"{rig}: instant of the peak, {name}", package.cords, time_s, when, unit="s", allowed_abs=0.01)
    _same_way(run, theirs, (0.7, 1.0, FLIGHT_S), rig, package, agrees)


BEAMS = {"near": (-3.0, -1.5, 9.0), "far": (3.0, -2.0, 9.5), "back": (0.5, 3.0, 10.0)}
APEX, BELOW_M, PARTS_S, END_S = (0.2, -0.3, 6.0), 2.5, 0.3, 1.25


@cache
def parted() -> rigs.Run:
    text = rigs.scenario(
        performers={"flyer": rigs.performer(MASS_KG, rigs.at(APEX[0], APEX[1], APEX[2] - BELOW_M))},
        junctions={"apex": {"at": rigs.at(*APEX), "mass": "1.5 kg"}},
        lines={
            **{name: rigs.line(STIFFNESS_N, [f"{name} beam", "apex"]) for name in BEAMS},
            "drop": rigs.line(STIFFNESS_N, ["apex", "flyer"]),
        },
        anchors={f"{name} beam": rigs.anchor(*at) for name, at in BEAMS.items()},
        faults=[{"parted line": "back", "when": rigs.of(PARTS_S, "s")}],
        duration_s=END_S,
    )
    return rigs.run_stop(text, "parted line, back")


@in_packages
def test_bridle_with_one_line_parting(package: Package, agrees: Agrees):
    theirs = package.play(
        scenes.bridle(
            mass_kg=MASS_KG,
            apex_kg=1.5,
            stretch_stiffness_N=STIFFNESS_N,
            beams=BEAMS,
            apex_at_m=APEX,
            drop_m=BELOW_M,
            parts="back",
            parts_s=PARTS_S,
            duration_s=END_S,
        )
    )
    run = parted()
    rig = f"{package.name}: bridle, one leg parts"
    spans = {name: f"tension_N:{name}:{name} beam -> apex" for name in ("near", "far")}
    for name, column in {**spans, "drop": "tension_N:drop:apex -> flyer"}.items():
        expected, when = theirs.largest(name, PARTS_S)
        found, time_s = largest(run.trace.time_s, run.trace.columns[column], PARTS_S, END_S)
        agrees(f"{rig}: peak, {name}", package.cords, found, expected, 0.01, "N")
        agrees(f"{rig}: instant of the peak, {name}", package.cords, time_s, when, unit="s", allowed_abs=0.01)
    _same_way(run, theirs, (0.6, 0.9, 1.2), rig, package, agrees)


def _same_way(
    run: rigs.Run, theirs: Histories, times_s: tuple[float, ...], rig: str, package: Package, agrees: Agrees
) -> None:
    """Where the performer is at some instants, each axis within 2 mm."""
    for time_s in times_s:
        for axis, index in AXES.items():
            found = float(np.interp(time_s, run.trace.time_s, run.trace.columns[f"{axis}:flyer"]))
            expected = theirs.at("performer", index, time_s)
            case = f"{rig}: {axis.removesuffix('_m')} after {time_s} s"
            agrees(case, package.cords, found, expected, unit="m", allowed_abs=2e-3)
