"""A heavy line stopped at its drive, in a physics engine and by finite elements of a multibody library: to 1 %.

30 m of wire of 5 kg over a performer of 84 kg, lowered at 2 m/s and stopped within 4 ms: a front runs down, doubles at
the performer and comes back. The engine has the wire as lumps with springs between, the library as cable elements with
mass of their own. Neither lets line with mass run off a drum or over a sheave: in both the end stands still and all
else is seen from it, and no line is paid out while it stops (4 mm here). The library takes the trapezoidal rule, the
engine a method of order 4, both at 50 microseconds.
"""

from functools import cache

import numpy as np
import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form
from tests.outside.packages import BOTH, Package
from tests.outside.reference.line_with_mass import HangingLine
from tests.outside.reference.peaks import largest

RIG = HangingLine(
    stretch_stiffness_N=1985.8e3,
    mass_kg_m=0.1637,
    length_m=30.0,
    performer_kg=84.0,
    speed_m_s=2.0,
    stop_s=4e-3,
    duration_s=0.075,
    pieces=40,
    step_s=5e-5,
)
FRONT_N = RIG.speed_m_s * float(np.sqrt(RIG.stretch_stiffness_N * RIG.mass_kg_m))
UP_S, ALONG_S = 4.0, 0.5
PAID_OUT_M = RIG.speed_m_s * (UP_S / 2 + ALONG_S)
STOPS_AT_S = 0.1 + UP_S + ALONG_S
"""When the drive begins to stop; RIG.length_m of unstretched line hangs there then."""


@cache
def stopped(elements: int = RIG.pieces) -> rigs.Run:
    strain = RIG.strain(0.0)
    start_m = (RIG.length_m + RIG.sunk_m(RIG.length_m)) - PAID_OUT_M
    deceleration = RIG.speed_m_s / RIG.stop_s
    down_m = PAID_OUT_M + 0.5 * RIG.speed_m_s * RIG.stop_s
    assert strain < 1e-3
    text = rigs.scenario(
        performers={"flyer": rigs.performer(RIG.performer_kg, rigs.at(0, 0, 50.0 - start_m))},
        lines={
            "line": rigs.line(
                RIG.stretch_stiffness_N,
                ["winch", "flyer"],
                mass_kg_m=RIG.mass_kg_m,
                elements=elements,
                damping_s=1e-6,
            )
        },
        drives={"winch": rigs.winch(rigs.at(0, 0, 50))},
        moves=[rigs.move(down_m, RIG.speed_m_s, RIG.speed_m_s / UP_S, deceleration, start_s=0.1)],
        duration_s=STOPS_AT_S + RIG.duration_s,
        sample_rate_Hz=20_000,
        tolerance=1e-6,
    )
    return rigs.run(text)


def _front(time_s: np.ndarray, force_N: np.ndarray) -> float:
    """What the front adds at the drive: mean between the end of the stop and the front's return."""
    within = (time_s > RIG.stop_s + 1e-3) & (time_s < 2 * RIG.transit_s - 2e-3)
    before = force_N[(time_s > -1e-3) & (time_s <= 0.0)].mean() if time_s[0] < 0 else force_N[0]
    return float(force_N[within].mean() - before)


@pytest.mark.parametrize("package", BOTH, ids=lambda package: package.name)
def test_line_with_waves(package: Package, agrees: Agrees):
    theirs = package.hanging_line(RIG)
    run = stopped()
    time_s = run.trace.time_s - STOPS_AT_S
    rig = f"{package.name}: line with waves"
    performer = run.trace.columns["force_N:flyer harness"]
    found, when = largest(time_s, performer, 0.0, RIG.duration_s)
    expected, theirs_when = largest(theirs.time_s, theirs.performer_N, 0.0, RIG.duration_s)
    agrees(f"{rig}: peak at the performer", package.masses, found, expected, 0.01, "N")
    agrees(f"{rig}: instant of the peak", package.masses, when, theirs_when, unit="s", allowed_abs=1e-3)
    first = largest(time_s, performer, 0.0, 0.02)[0]
    expected = largest(theirs.time_s, theirs.performer_N, 0.0, 0.02)[0]
    agrees(f"{rig}: first front at the performer", package.masses, first, expected, 0.02, "N")
    front = _front(time_s, run.trace.columns["force_N:winch"])
    agrees(f"{rig}: front at the drive", package.masses, front, _front(theirs.time_s, theirs.drive_N), 0.02, "N")


def test_front_at_the_drive(agrees: Agrees):
    run = stopped()
    front = _front(run.trace.time_s - STOPS_AT_S, run.trace.columns["force_N:winch"])
    source = closed_form("v sqrt(EA rho), waves in bars, theory-of-elasticity textbooks")
    agrees("front at the drive", source, front, FRONT_N, 0.02, "N")
